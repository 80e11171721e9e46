"""Feature states: what they can be, which of them a record has, and what follows from a parent's.

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

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import Final

from cardref.errors import NotationError
from cardref.facts.kept import kept
from cardref.index import Index
from cardref.model.feature import MISREAD, NOT_APPLICABLE, PRESENCE, Feature, FeatureKind, Tool
from cardref.model.kinds import short_id
from cardref.notation.length import Length
from cardref.text import closest

__all__ = [
    "LONGEST",
    "RESOLUTION",
    "as_length",
    "features_of_line",
    "followed",
    "gap_between",
    "misread_of",
    "overlap",
    "resolution_of",
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
def gap_between(one: str, other: str) -> float | None:
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
    gap = gap_between(one, other)
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
    full ids), else of the cards that these backs and faces are on, else as known of their makers' originals
    by the feature's sign; () where nothing says.
    """
    wanted = tuple(records)
    found = _recorded_states(index, slug, wanted) or _recorded_states(index, slug, _cards_on(index, wanted))
    if not found:
        for full in wanted:
            line, maker, _ = full.split("/")
            feature = features_of_line(index, line).get(slug)
            if feature is not None and feature.sign is not None:
                found.update(dict.fromkeys(feature.sign.genuine.get(f"maker/{maker}", ())))
    return tuple(found)


def _recorded_states(index: Index, slug: str, records: Iterable[str]) -> dict[str, None]:
    return dict.fromkeys(state for full in records for state in states_of(index, full).get(slug, ()))


def _cards_on(index: Index, records: Iterable[str]) -> Iterator[str]:
    """The cards that backs and faces are on, and their fronts."""
    for full in records:
        for card in (*index.cards_by_back.get(full, ()), *index.cards_by_face.get(full, ())):
            yield from (card, index.cards[card].face)
