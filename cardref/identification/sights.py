"""What there is to look at on a card: where it is, how to look, and how the engine is to take it.

Some of it stands in a dataset's catalogue of features; the rest is here: maker, series, counts, languages,
figure, code, stickers, origin. The letter of a designation is not among them: it is printed nowhere, it is
what an identification ends with.

>>> from cardref.reference import load
>>> catalogued(load().index, "tidewrack")["rope-length"].tool
'ruler'
"""

from collections.abc import Iterable, Mapping

from attrs import evolve, frozen

from cardref.errors import UsageError
from cardref.facts.cautions import care
from cardref.facts.features import features_of_line, misread_of, resolution_of, states_allowed
from cardref.frozen import FrozenMap
from cardref.identification.answer import Look
from cardref.identification.feature import Feature
from cardref.index import Index
from cardref.model import feature as model
from cardref.model.feature import PRESENCE, FeatureKind, Tool
from cardref.text import clip

__all__ = [
    "ANOTHER",
    "BACK_ONLY",
    "OWN",
    "SEGMENT",
    "CardLook",
    "Sight",
    "catalogued",
    "name_of",
    "of_picture",
    "of_segment",
    "rooted",
]

ANOTHER = "another"
"""What is read where it is none of the recorded ones: a maker, figure or sticker that the reference lacks."""

SEGMENT = "code-"
"""Before the name of a code's segment, in the name of what is read of it."""


@frozen
class Sight:
    """One thing to look at.

    Attributes:
        feature: how the engine takes it.
        where: where to look.
        how: how to look, a sentence.
        tool: what the look needs.
        labels: what states are called, where their names do not say it.
    """

    feature: Feature
    where: str
    how: str
    tool: str = Tool.EYE.value
    labels: Mapping[str, str] = FrozenMap()

    @property
    def id(self) -> str:
        """Its name."""
        return self.feature.id

    def with_states(self, states: Iterable[str], labels: Mapping[str, str] | None = None) -> "Sight":
        """The same with the states that occur."""
        known = tuple(dict.fromkeys(states))
        return evolve(
            self, feature=evolve(self.feature, states=known), labels=FrozenMap(dict(labels or self.labels))
        )


@frozen
class CardLook(Look):
    """A look at a card that is worth making: where, how, and with what.

    Attributes:
        kind: presence, choice, count or length.
        where: where to look.
        how: how to look, a sentence.
        tool: what the look needs: eye, ruler, loupe ...
        states: what can be read of a presence or choice, each with what it is called; else empty.
        cautions: what to take care of.
    """

    kind: str = ""
    where: str = ""
    how: str = ""
    tool: str = ""
    states: Mapping[str, str] = FrozenMap()
    cautions: tuple[str, ...] = ()

    @classmethod
    def at(cls, sight: Sight, look: Look) -> "CardLook":
        """A look of the engine, with what it takes to make it."""
        feature = sight.feature
        states = PRESENCE if feature.kind is FeatureKind.PRESENCE else feature.states
        labels = FrozenMap({state: clip(sight.labels.get(state, ""), 60) for state in states})
        return cls(
            look.feature, look.title, look.bits, look.effort, feature.kind.value,
            clip(sight.where, 160), clip(sight.how, 300), sight.tool, labels, care(sight.tool),
        )  # fmt: skip


def _own(
    name: str,
    kind: FeatureKind,
    title: str,
    where: str,
    how: str,
    effort: float = 1.0,
    misread: float | None = None,
    parent: str = "",
) -> Sight:
    # A choice needs its states; those that occur are put in with the table.
    states = (ANOTHER,) if kind is FeatureKind.CHOICE else ()
    when = PRESENCE[:1] if parent else ()
    return Sight(Feature(name, kind, states, misread, effort, parent, when, title=title), where, how)


_CHOICE, _COUNT, _PRESENCE = FeatureKind.CHOICE, FeatureKind.COUNT, FeatureKind.PRESENCE

OWN: dict[str, Sight] = {
    sight.id: sight
    for sight in (
        _own("maker", _CHOICE, "Maker", "the small print, mostly at the foot of the reverse",
             "Read which company's name stands there; front and reverse may name two."),
        _own("series-back", _CHOICE, "Series on the reverse", "the reverse, top",
             "Read the title over the pictures."),
        _own("back-count", _COUNT, "Back count", "the pictures on the reverse",
             "Count the pictures; do not read the number in the slogan. A blank reverse has 0.", 2.0),
        _own("claimed-total", _COUNT, "Claimed total", "the slogan on the reverse",
             "Read how many figures it says there are; - where it says nothing.", 1.5),
        _own("languages", _CHOICE, "Languages of the reverse", "the text on the reverse",
             "Name all its languages, joined by +, such as en+fr; a + at the end where there may be more."),
        _own("silhouettes", _COUNT, "Blacked-out pictures", "the pictures on the reverse",
             "Count the pictures that are blacked out."),
        _own("pictured-twice", _PRESENCE, "A figure pictured twice", "the pictures on the reverse",
             "See whether one figure is pictured two times.", 3.0),
        _own("series-front", _CHOICE, "Series on the front", "the front, top",
             "Read the title; it may differ from that of the reverse."),
        _own("languages-front", _CHOICE, "Languages of the front", "the text on the front",
             "Name all its languages, joined by +; a + at the end where there may be more."),
        _own("figure", _CHOICE, "Figure", "the figure, or the name under the bubble",
             "Say who it is, by the name on the front or by any other name of it."),
        _own("code-printed", _PRESENCE, "Package code", "the front, near an edge",
             "See whether a small code of figures and letters is printed there; a sticker or the bubble may "
             "hide it.", 1.5),
        _own("code-layout", _CHOICE, "How the code is written", "the package code on the front",
             "See how many signs it has and what stands between them.", 1.5, parent="code-printed"),
        _own("sticker", _CHOICE, "Sticker", "front and reverse",
             "Read what is stuck on it, or see that nothing is.", 1.0, 0.05),
        _own("origin-board", _CHOICE, "Country printed on the board", "the small print",
             "Read in which country it says that it was made or printed.", 1.5),
        _own("origin-mould", _CHOICE, "Country in the mould", "the figure, under a foot or on the back",
             "Read the country's name in the mould, through the bubble.", 4.0),
        _own("origin-sticker", _CHOICE, "Country on a sticker", "the stickers",
             "Read the country's name on a sticker.", 1.5),
    )
}  # fmt: skip
"""What every line has, by name. Efforts are relative to a glance; assumed, common practice, no source."""

BACK_ONLY = frozenset(
    {"series-back", "back-count", "claimed-total", "languages", "silhouettes", "pictured-twice"}
)
"""What stands on the reverse; the rest of ``OWN`` but the maker stands on the front or on the whole card."""


def of_segment(name: str, where: str) -> Sight:
    """What one segment of package codes is read as."""
    return _own(
        SEGMENT + name, _CHOICE, f"Code, segment {name}", where or "the package code on the front",
        f"Read the part of the code that tells the {name}, with ? for a sign that cannot be read.", 1.5,
        parent="code-printed",
    )  # fmt: skip


def of_picture(slug: str, name: str) -> Sight:
    """Whether a figure is pictured, where backs with one count differ in it."""
    return _own(
        f"pictures-{slug}", _PRESENCE, f"{name} among the pictures", "the pictures on the reverse",
        f"See whether {name} is pictured, blacked out or not.", 2.0,
    )  # fmt: skip


def name_of(slug: str) -> str:
    """The name under which a catalogued feature is asked for: its own, unless every line has it already."""
    taken = slug in OWN or slug in ("code", "line", "by") or slug.startswith((SEGMENT, "pictures-"))
    return f"feature-{slug}" if taken else slug


def catalogued(index: Index, line: str) -> dict[str, Sight]:
    """What the catalogue of a line has, by slug, signs of copies among it.

    Where a definition makes no sense (the checker tells), as much of it is used as does.
    """
    found: dict[str, Sight] = {}
    for slug, feature in features_of_line(index, line).items():
        taken = _taken(slug, feature)
        if taken is not None:
            found[slug] = Sight(taken, feature.where, feature.how, feature.tool.value)
    return found


def _taken(slug: str, feature: model.Feature) -> Feature | None:
    states = tuple(dict.fromkeys(states_allowed(feature))) if feature.kind is FeatureKind.CHOICE else ()
    applies = feature.applies
    try:
        return Feature(
            name_of(slug),
            feature.kind,
            states,
            min(0.5, misread_of(feature)),
            feature.effort,
            name_of(applies.feature) if applies else "",
            (applies.state,) if applies else (),
            resolution_of(feature),
            feature.title,
        )
    except UsageError:
        return None


def rooted(features: Mapping[str, Feature]) -> dict[str, Feature]:
    """The features without the parents that are not among them, or cannot be parents."""
    found = dict(features)
    for name, feature in features.items():
        if feature.parent and not _is_parent(features, feature):
            found[name] = evolve(feature, parent="", when=())
    return found


def _is_parent(features: Mapping[str, Feature], child: Feature) -> bool:
    parent = features.get(child.parent)
    if parent is None or parent.kind is FeatureKind.LENGTH:
        return False
    try:
        for state in child.when:
            parent.state(state)
    except UsageError:
        return False
    above, seen = parent, {child.id}
    while above.parent in features and above.id not in seen:
        seen.add(above.id)
        above = features[above.parent]
    return above.id not in seen
