"""Feature states: what they can be, what follows from a parent's, and which of them tell backs apart.

A feature that hangs on another (``applies``) follows it: where the parent is in another state the child does
not apply, and where the child was seen the parent must have been in that state.

>>> from cardref.model.feature import FeatureKind, Side
>>> rope = Feature(id="feature/rope", title="Rope", where="back", how="Measure.", kind=FeatureKind.LENGTH,
...                side=Side.BACK, tool=Tool.RULER)
>>> state_fault(rope, "600-700 mm"), state_fault(rope, "4-5 mm")
('no card is 650 mm long', '')
>>> overlap(rope, "3-4 mm", "4.2-6 mm"), overlap(rope, "3-4 mm", "6-7 mm")
(True, False)
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Final

from attrs import frozen

from cardref.errors import NotationError
from cardref.facts.kept import kept
from cardref.facts.pictures import pictures_of
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.evidence import Standing
from cardref.model.feature import MISREAD, NOT_APPLICABLE, PRESENCE, Feature, FeatureKind, Tool
from cardref.model.kinds import short_id
from cardref.notation.length import Length
from cardref.text import closest

__all__ = [
    "LONGEST",
    "RESOLUTION",
    "Separation",
    "Separator",
    "Siblings",
    "as_length",
    "features_of_line",
    "misread_of",
    "overlap",
    "resolution_of",
    "separation",
    "siblings",
    "state_fault",
    "states_allowed",
    "states_of",
    "states_of_originals",
]

RESOLUTION: Final[Mapping[Tool, float]] = {Tool.RULER: 1.0, Tool.LOUPE: 0.1}
"""How finely a tool tells lengths, in mm. Common practice, no source: school ruler, loupe with a scale."""

_BY_EYE: Final = 5.0

LONGEST: Final = 500
"""No length on a card is larger, in mm. Common practice, no source."""


def misread_of(feature: Feature) -> float:
    """The share of looks at a feature that go wrong: its own, else its kind's."""
    return MISREAD[feature.kind] if feature.misread is None else feature.misread


def resolution_of(feature: Feature) -> float:
    """How finely the feature's tool tells lengths, in mm; by eye 5."""
    return RESOLUTION.get(feature.tool, _BY_EYE)


# --- one state -------------------------------------------------------------------------------------------


@lru_cache(maxsize=4096)
def as_length(state: str) -> Length | None:
    """A state of a length, or None where it cannot be read."""
    try:
        return Length.parse(state)
    except NotationError:
        return None


def states_allowed(feature: Feature) -> tuple[str, ...]:
    """The states of a presence or choice; empty for counts and lengths."""
    if feature.kind is FeatureKind.PRESENCE:
        return PRESENCE
    return feature.states if feature.kind is FeatureKind.CHOICE else ()


def state_fault(feature: Feature, state: str) -> str:
    """Why a feature cannot be in this state, a clause; "" where it can."""
    if state == NOT_APPLICABLE:
        return "" if feature.applies is not None else "it applies to every card: it hangs on no other feature"
    if feature.kind is FeatureKind.COUNT:
        return _count_fault(feature, state)
    if feature.kind is FeatureKind.LENGTH:
        return _length_fault(state)
    known = states_allowed(feature)
    if state in known:
        return ""
    near = closest(state, known, 1)
    hint = f"; did you mean {near[0]}?" if near else ""
    return f"its states are {', '.join(known)}{hint}"


def _count_fault(feature: Feature, state: str) -> str:
    if not (state.isascii() and state.isdigit() and len(state) <= 6):
        return "it is a count: write a whole number"
    number = int(state)
    if feature.least is not None and number < feature.least:
        return f"its least count is {feature.least}"
    if feature.most is not None and number > feature.most:
        return f"its greatest count is {feature.most}"
    return ""


def _length_fault(state: str) -> str:
    try:
        length = Length.parse(state)
    except NotationError as error:
        return f"{error.problem or 'it is no length'}: write {error.expected}"
    if length.value > LONGEST:
        return f"no card is {float(length.value):g} mm long"
    return ""


@lru_cache(maxsize=1 << 16)
def _gap(one: str, other: str) -> float | None:
    """How far apart two lengths are, in mm; 0 where they overlap or touch, None where one cannot be read."""
    first, second = as_length(one), as_length(other)
    if first is None or second is None:
        return None
    return max(0.0, float(max(first.low, second.low) - min(first.high, second.high)))


def overlap(feature: Feature, one: str, other: str) -> bool:
    """Whether two states may be one: equal, or lengths closer than the feature's tool can tell."""
    if one == other:
        return True
    if feature.kind is not FeatureKind.LENGTH:
        return False
    gap = _gap(one, other)
    return gap is None or gap < resolution_of(feature)


# --- the states of a record ------------------------------------------------------------------------------


@kept
def _features_by_line(index: Index) -> Mapping[str, Mapping[str, Feature]]:
    found: dict[str, dict[str, Feature]] = {"": {}}
    for full, feature in index.features.items():
        line = full.partition("/")[0]
        found.setdefault("" if line == "feature" else line, {})[short_id(full)] = feature
    general = found[""]
    return {line: {**general, **own} for line, own in found.items()}


def features_of_line(index: Index, line: str) -> Mapping[str, Feature]:
    """Slug -> feature, as records of a line mean it: the line's own before the general one."""
    by_line = _features_by_line(index)
    return by_line.get(line, by_line[""])


def states_of(index: Index, full: str) -> Mapping[str, tuple[str, ...]]:
    """Slug -> the states of a back, face, card or reproduction (full id), recorded or following from others.

    Several states mean that all of them exist. Absent keys are unknown. ``not-applicable`` follows where the
    parent is recorded in other states; the parent's state follows where the child was seen.
    """
    record = index.get(full)
    recorded: Mapping[str, tuple[str, ...]] | None = getattr(record, "features", None)
    if recorded is None:
        return {}
    return followed(features_of_line(index, full.partition("/")[0]), recorded)


def followed(
    features: Mapping[str, Feature], recorded: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[str, ...]]:
    """``recorded`` states with those that follow from them, by the features of a line."""
    found = dict(recorded)
    # Parents from children first, deepest last: a chain is seldom longer than two.
    for slug in recorded:
        _parents(features, slug, found)
    for slug in features:
        if slug not in found and _unreachable(features, slug, found):
            found[slug] = (NOT_APPLICABLE,)
    return found


def _parents(features: Mapping[str, Feature], slug: str, found: dict[str, tuple[str, ...]]) -> None:
    for _ in range(len(features)):
        feature = features.get(slug)
        if feature is None or feature.applies is None:
            return
        parent, states = feature.applies.feature, found[slug]
        if parent in found or parent not in features:
            return
        if NOT_APPLICABLE not in states:
            found[parent] = (feature.applies.state,)
        elif (
            len(states) == 1
            and features[parent].kind is FeatureKind.PRESENCE
            and not features[parent].applies
        ):
            found[parent] = (PRESENCE[feature.applies.state == PRESENCE[0]],)
        else:
            return
        slug = parent


def _unreachable(features: Mapping[str, Feature], slug: str, found: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether a feature's parent, or one further up, is in other states than it needs."""
    for _ in range(len(features)):
        feature = features.get(slug)
        if feature is None or feature.applies is None:
            return False
        slug = feature.applies.feature
        if slug in found:
            return feature.applies.state not in found[slug]
    return False


def states_of_originals(index: Index, slug: str, records: Iterable[str]) -> tuple[str, ...]:
    """The states of a feature that original cards have: as recorded of these records (backs, faces or cards,
    full ids), else as known of their makers' originals by the feature's sign; () where nothing says.
    """
    wanted = tuple(records)
    found: dict[str, None] = {}
    for full in wanted:
        found.update(dict.fromkeys(states_of(index, full).get(slug, ())))
    if not found:
        for full in wanted:
            line, maker, _ = full.split("/")
            feature = features_of_line(index, line).get(slug)
            if feature is not None and feature.sign is not None:
                found.update(dict.fromkeys(feature.sign.genuine.get(f"maker/{maker}", ())))
    return tuple(found)


# --- what tells two backs apart --------------------------------------------------------------------------


@frozen
class Separator:
    """One thing by which two backs differ.

    Attributes:
        feature: slug of a feature, or a fact of the back itself: ``series``, ``languages``, ``pictures`` ...
        misread: share of looks that go wrong.
        gap: for a length how far apart the ranges are, in mm.
    """

    feature: str
    misread: float
    gap: float | None = None


@frozen
class Separation:
    """What tells two backs apart.

    Attributes:
        one, other: full ids.
        by: what separates them for sure, most reliable first.
        close: lengths that differ by less than their tool can tell.
        unknown: features that are recorded for only one of the two.
    """

    one: str
    other: str
    by: tuple[Separator, ...]
    close: tuple[Separator, ...]
    unknown: tuple[str, ...]


def separation(index: Index, one: str, other: str) -> Separation:
    """Which recorded features tell back ``one`` from back ``other`` (full ids), and which might."""
    by: list[Separator] = []
    close: list[Separator] = []
    unknown: list[str] = []
    line = one.partition("/")[0]
    features = features_of_line(index, line)
    first, second = _visible(index)[one], _visible(index)[other]
    for slug in dict.fromkeys((*first, *second)):
        if slug not in first or slug not in second:
            unknown.append(slug)
            continue
        feature = features.get(slug)
        if feature is None:
            if first[slug] != second[slug]:
                by.append(Separator(slug, _INTRINSIC_MISREAD))
            continue
        gap = _apart(feature, first[slug], second[slug])
        if gap is None:
            continue
        separator = Separator(slug, misread_of(feature), gap or None)
        far = feature.kind is not FeatureKind.LENGTH or gap >= resolution_of(feature)
        (by if far else close).append(separator)
    by.sort(key=lambda separator: separator.misread)
    return Separation(one, other, tuple(by), tuple(close), tuple(unknown))


_INTRINSIC_MISREAD: Final = 0.05


def _apart(feature: Feature, one: Sequence[str], other: Sequence[str]) -> float | None:
    """None where the states may be one; else how far apart they are, in mm for a length, 0 for others."""
    if NOT_APPLICABLE in one or NOT_APPLICABLE in other:
        return None  # the difference is the parent's, and is counted there
    if feature.kind is not FeatureKind.LENGTH:
        return None if not set(one).isdisjoint(other) else 0.0
    gaps = [_gap(a, b) for a in one for b in other]
    least = min((0.0 if gap is None else gap for gap in gaps), default=0.0)
    return least or None


@kept
def _visible(index: Index) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Back id -> all states by which it can be told: features, and facts of its own by other names."""
    found: dict[str, Mapping[str, tuple[str, ...]]] = {}
    for full, back in index.backs.items():
        states = followed(features_of_line(index, full.partition("/")[0]), back.features)
        states.update(_intrinsic(index, back))
        found[full] = states
    return found


def _intrinsic(index: Index, back: Back) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield "series", (back.series,)
    if back.languages:
        yield "languages", tuple(sorted(back.languages))
    if back.claimed is not None:
        yield "claimed total", (str(back.count if back.claimed == "same" else back.claimed),)
    seen = pictures_of(index)[back.id]
    if seen is not None:
        slips = sorted(f"{slip.figure}*{slip.times}" for slip in seen.slips)
        yield "pictures", (*sorted(seen.figures), *slips)
        yield "silhouettes", tuple(sorted(seen.silhouettes))


@frozen
class Siblings:
    """Backs of one line, maker and count, and the pairs of them that are hard to tell apart.

    Attributes:
        backs: full ids, by designation.
        alike: pairs that nothing recorded separates, although everything is recorded for both.
        open: pairs that nothing recorded separates, where something is recorded for only one of them.
        thin: pairs that one feature alone separates.
        close: pairs that something separates, but also a length by less than its tool can tell.
    """

    backs: tuple[str, ...]
    alike: tuple[Separation, ...]
    open: tuple[Separation, ...]
    thin: tuple[Separation, ...]
    close: tuple[Separation, ...]


_MOST_SIBLINGS: Final = 60


@kept
def siblings(index: Index) -> tuple[Siblings, ...]:
    """Every group of two or more backs of one line, maker and count; refuted ones do not count.

    Of a group of more than 60 the first 60 are compared: nobody has seen so many, and pairs grow by squares.
    """
    found = []
    for ids in index.backs_by_group.values():
        group = [full for full in ids if index.backs[full].standing is not Standing.REFUTED]
        if len(group) < 2:
            continue
        alike: list[Separation] = []
        unsure: list[Separation] = []
        thin: list[Separation] = []
        close: list[Separation] = []
        for number, one in enumerate(group[:_MOST_SIBLINGS]):
            for other in group[number + 1 : _MOST_SIBLINGS]:
                pair = separation(index, one, other)
                if not pair.by:
                    (unsure if pair.unknown else alike).append(pair)
                    continue
                if len(pair.by) == 1:
                    thin.append(pair)
                if pair.close:
                    close.append(pair)
        found.append(Siblings(tuple(group), tuple(alike), tuple(unsure), tuple(thin), tuple(close)))
    return tuple(found)
