"""What to ask a seller for: which photo, of which place, ranked by how much it would settle.

What a seller says is no look of one's own. Each part of the claim is taken to be wrong with a chance of one
in ten, line and figure more seldom (assumed; common practice, no source), and then to be any recorded
alternative: that gives every recorded card a weight. A look is worth the information that it is expected to
bring on which card it is (Shannon 1948): ``(1 - U) (H(q) - h(e))``, with ``U`` the weight of the cards for
which nothing is recorded, ``q`` the shares of what is recorded of the others, and ``h(e)`` what misreading
takes away; by the effort of the look. Looks that one photo shows are asked for together.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("maker", "quay-marl"), ("figure", "lamp-diver"), ("back", "25")]))
>>> best = asks(scene)[0]
>>> best.photo, best.looks[0].field, best.looks[0].states
('the whole reverse', 'picture-order', ('machine', 'keeper', 'diver'))
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from attrs import frozen

from cardref.facts.cautions import care_with
from cardref.facts.features import as_length, misread_of, overlap
from cardref.index import Index
from cardref.model.feature import NOT_APPLICABLE, Feature, FeatureKind, Side, Tool
from cardref.text import clip
from cardref.vetting.on_card import values_on, words_of
from cardref.vetting.scene import Scene

__all__ = ["Ask", "Look", "asks", "chance_of", "photo_of"]

WRONG: Final = 0.1
"""How often a part of a claim is wrong. Assumed; common practice, no source."""

SELDOM_WRONG: Final[Mapping[str, float]] = {"line": 0.005, "figure": 0.01}
"""What any photo shows is seldom claimed wrongly. Assumed; common practice, no source."""


def chance_of(misfits: Iterable[str]) -> float:
    """How probable it is, before anything is seen, that just these parts of a claim are wrong."""
    return math.prod(SELDOM_WRONG.get(field, WRONG) for field in misfits)


LEAST: Final = 0.05
"""A look worth fewer bits is not worth asking for."""

_BESIDE: Final = 0.4
"""A look that settles a smaller part of what the best of its photo does is not told."""

_MOST_CARDS: Final = 200


@frozen
class Look:
    """One thing that a photo would show.

    Attributes:
        field: the field or feature that it tells.
        title: what to call it.
        where: where on the card it is.
        how: how to look.
        states: what it can be, by the recorded cards that the claim leaves; the likeliest first.
        bits: expected information on which recorded card it is.
        effort: cost of the look, relative to a glance (1).
    """

    field: str
    title: str
    where: str
    how: str
    states: tuple[str, ...]
    bits: float
    effort: float = 1.0


@frozen
class Ask:
    """A photo to ask for.

    Attributes:
        photo: what it should show.
        looks: what it tells, the most telling first.
        settles: the share of the doubt that its best look is expected to settle, 0 to 1.
        why: why to ask, where it is not to tell printings apart.
        cautions: what to take care of.
    """

    photo: str
    looks: tuple[Look, ...]
    settles: float = 0.0
    why: str = ""
    cautions: tuple[str, ...] = ()


# --- the photos ------------------------------------------------------------------------------------------

_PHOTOS: Final[Mapping[tuple[Side, Tool], str]] = {
    (Side.FRONT, Tool.EYE): "the whole front",
    (Side.BACK, Tool.EYE): "the whole reverse",
    (Side.FRONT, Tool.RULER): "the front with a ruler laid beside it",
    (Side.BACK, Tool.RULER): "the reverse with a ruler laid beside it",
    (Side.FRONT, Tool.LOUPE): "a close-up of the front",
    (Side.BACK, Tool.LOUPE): "a close-up of the reverse",
    (Side.FRONT, Tool.LAMP): "the front, tilted under one lamp",
    (Side.BACK, Tool.LAMP): "the reverse, tilted under one lamp",
    (Side.BOARD, Tool.EYE): "the whole front",
    (Side.BOARD, Tool.LAMP): "the reverse, tilted under one lamp",
    (Side.BOARD, Tool.LOUPE): "a close-up of the board's edge",
    (Side.BUBBLE, Tool.EYE): "the bubble, from the side",
    (Side.BUBBLE, Tool.LAMP): "the foot of the bubble, from the side, under one lamp",
    (Side.FIGURE, Tool.EYE): "the figure through the bubble, close",
    (Side.FIGURE, Tool.LAMP): "the figure through the bubble, close, under one lamp",
}
"""Which photo shows what has to be looked at. Common practice, no source."""


def photo_of(side: Side, tool: Tool) -> str:
    """What a photo has to show for a look; "" where it cannot be seen on one."""
    if tool in (Tool.SCALES, Tool.ULTRAVIOLET):
        return ""
    return _PHOTOS.get((side, tool), f"a close-up of the {side}")


# --- how much the claim leaves open ----------------------------------------------------------------------


def _weights(scene: Scene) -> dict[str, float]:
    """Recorded cards by how probable the claim makes them, the likeliest only; they sum to 1.

    What is not recorded of a card is no evidence against it: it counts as what is usual among the others.
    """
    usual = {field: _usual(scene, field) for field in scene.telling}
    weights: dict[str, float] = {}
    for misfits, cards in scene.by_misfits.items():
        fit = {card: math.prod(usual[field] for field in scene.open(card)) for card in cards}
        mass = chance_of(misfits) / sum(fit.values())
        weights.update((card, mass * share) for card, share in fit.items())
    kept = sorted(weights, key=lambda card: -weights[card])[:_MOST_CARDS]
    total = sum(weights[card] for card in kept)
    return {card: weights[card] / total for card in kept}


def _usual(scene: Scene, field: str) -> float:
    """The share of the cards of which a part of the claim holds, among those that could tell; above 0."""
    truth = scene.truth[field].values()
    known = sum(holds is not None for holds in truth)
    return (sum(map(bool, truth)) + 1) / (known + 2)


def _entropy(shares: Iterable[float]) -> float:
    return -sum(share * math.log2(share) for share in shares if share > 0.0)


def _outcomes(weights: Mapping[str, float], seen: Mapping[str, tuple[str, ...]]) -> dict[str, float]:
    """What a look can show, with the weight of the cards that have it."""
    outcomes: defaultdict[str, float] = defaultdict(float)
    for card, states in seen.items():
        for state in states:
            outcomes[state] += weights[card] / len(states)
    return outcomes


def _worth(weights: Mapping[str, float], seen: Mapping[str, tuple[str, ...]], misread: float) -> float:
    """Bits that a look is expected to bring, by what is recorded of each card; its states share evenly."""
    outcomes = _outcomes(weights, seen)
    known = sum(outcomes.values())
    if len(outcomes) < 2 or known <= 0.0:
        return 0.0
    within = sum(weights[card] * math.log2(len(states)) for card, states in seen.items())
    lost = known * _entropy((misread, 1.0 - misread)) + known * misread * math.log2(max(1, len(outcomes) - 1))
    return max(0.0, known * _entropy(share / known for share in outcomes.values()) - within - lost)


# --- what can be looked at -------------------------------------------------------------------------------


@frozen
class _Printed:
    """A fact of the card itself that a photo shows."""

    field: str
    title: str
    where: str
    how: str
    side: Side
    tool: Tool = Tool.EYE
    effort: float = 1.0
    misread: float = 0.02


_PRINTED: Final = (
    _Printed("back-count", "how many figures are pictured", "the reverse", "Count the pictures.", Side.BACK),
    _Printed("series", "the title on the front", "the front, top", "Read the title.", Side.FRONT),
    _Printed("back-series", "the title on the reverse", "the reverse, top", "Read the title.", Side.BACK),
    _Printed(
        "maker", "the maker's name", "the small print", "Read who made or sold it.", Side.BACK, effort=1.5
    ),
    _Printed("name", "the figure's name", "the front", "Read it as it is printed.", Side.FRONT),
    _Printed(
        "code", "the package code", "", "Read every sign; ? for one that cannot be read.", Side.FRONT,
        Tool.LOUPE, 1.5, 0.03,
    ),
    _Printed("barcode", "the barcode's digits", "the front", "Read the digits.", Side.FRONT, Tool.LOUPE, 1.5),
)  # fmt: skip
"""What is looked at before any feature. Efforts and misread rates are assumed; common practice, no source."""


def asks(scene: Scene, most: int = 6) -> tuple[Ask, ...]:
    """What to ask for, the most telling first; looks of one photo together."""
    if not any(scene.truth[field][card] for field in scene.telling for card in scene.cards):
        return ()  # nothing claimed is recorded: no recorded card is more likely than another
    weights = _weights(scene)
    doubt = _entropy(weights.values())
    looks = [row for row in _looks(scene, weights) if row[0].bits >= LEAST]
    looks.sort(key=lambda row: (-round(row[0].bits / row[0].effort, 6), row[0].effort))
    photos: dict[str, list[tuple[Look, tuple[str, ...]]]] = {}
    for look, photo, cautions in looks:
        photos.setdefault(photo, []).append((look, cautions))
    found = []
    for photo, rows in photos.items():
        best = tuple(look for look, _ in rows[:3] if look.bits >= _BESIDE * rows[0][0].bits)
        cautions = tuple(dict.fromkeys(text for _, texts in rows[:3] for text in texts))
        found.append(Ask(photo, best, min(1.0, best[0].bits / doubt) if doubt else 0.0, cautions=cautions))
    return tuple(found[:most])


def _looks(scene: Scene, weights: Mapping[str, float]) -> Iterator[tuple[Look, str, tuple[str, ...]]]:
    """Every look, its photo and its cautions."""
    index = scene.index
    for printed in _PRINTED:
        seen = {card: states for card in weights if (states := tuple(values_on(index, printed.field, card)))}
        where = printed.where or _code_place(index, weights)
        photo = photo_of(printed.side, printed.tool)
        if printed.field == "code":
            photo = f"the {where}, close"
        yield _look(printed.field, printed.title, where, printed.how, weights, seen, printed), photo, ()
    claimed = scene.features
    for slug, feature in scene.catalogue.items():
        photo = photo_of(feature.side, feature.tool)
        if not photo or slug in claimed or feature.sign is not None:
            continue
        lines = {line for line in scene.lines if index.feature(slug, line) is feature}
        seen = {
            card: states
            for card in weights
            if card.partition("/")[0] in lines
            and (states := scene.states[card].get(slug, ()))
            and NOT_APPLICABLE not in states
        }
        merged = _merged(feature, seen)
        shown = tuple(map(words_of, _likeliest(weights, merged)))
        bits = _worth(weights, merged, misread_of(feature))
        texts = clip(feature.title, 80), clip(feature.where, 80), clip(feature.how, 200)
        look = Look(slug, *texts, shown, bits, feature.effort)
        yield look, photo, care_with(feature)


def _look(
    field: str, title: str, where: str, how: str, weights: Mapping[str, float],
    seen: Mapping[str, tuple[str, ...]], printed: _Printed,
) -> Look:  # fmt: skip
    bits = _worth(weights, seen, printed.misread)
    return Look(field, title, where, how, _likeliest(weights, seen), bits, printed.effort)


def _code_place(index: Index, weights: Mapping[str, float]) -> str:
    """Where the likeliest card's maker prints the code."""
    for card in weights:
        line, maker, _ = card.split("/")
        for scheme in index.schemes_by_maker.get((line, f"maker/{maker}"), ()):
            if scheme.where:
                return clip(scheme.where, 80)
    return "the front"


def _likeliest(weights: Mapping[str, float], seen: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    outcomes = _outcomes(weights, seen)
    least = 0.03 * sum(outcomes.values())
    ranked = sorted(outcomes.items(), key=lambda item: -item[1])
    return tuple(state for state, weight in ranked[:4] if weight >= least)


def _merged(feature: Feature, seen: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """Lengths that the feature's tool cannot tell apart, as one outcome."""
    if feature.kind is not FeatureKind.LENGTH:
        return dict(seen)
    states = {state for several in seen.values() for state in several}
    named: dict[str, str] = {}
    for state in sorted(states, key=lambda one: (length.value if (length := as_length(one)) else 0, one)):
        named[state] = next(
            (name for name in dict.fromkeys(named.values()) if overlap(feature, name, state)), state
        )
    return {card: tuple(dict.fromkeys(named[one] for one in several)) for card, several in seen.items()}
