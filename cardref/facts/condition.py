"""Two condition reports of one thing beside each other, part by part.

There is no score: the order of the states of one part is all that is compared, and only where there is one.

>>> from cardref.model.condition import ConditionReport, Defect
>>> before = ConditionReport(bubble="whole", seal="holds")
>>> after = ConditionReport(bubble="dented", seal="holds")
>>> changes = compare_conditions(before, after)
>>> [part.part for part in changes.of(Change.WORSE)], changes.worse
(['bubble'], True)
"""

import enum
from collections.abc import Iterable, Iterator

from attrs import frozen

from cardref.errors import UsageError
from cardref.facts.features import as_length
from cardref.index import Index
from cardref.model.condition import NOT_SEEN, PARTS, ConditionReport, Defect, Effect, Part, PartState
from cardref.model.feature import Feature
from cardref.notation.folding import fold
from cardref.text import clip, closest, quoted

__all__ = [
    "Change",
    "ConditionChanges",
    "PartChange",
    "colour_feature",
    "compare_conditions",
    "defect_told",
    "hurting",
    "state_of",
    "titles_of",
]


def titles_of(parts: Iterable[str]) -> str:
    """Parts by their titles, as a list in a sentence."""
    return ", ".join(PARTS[part].title for part in parts)


def defect_told(defect: Defect) -> str:
    """A defect as a line: what, where, how large; safe to print."""
    words = [clip(defect.what, 80), clip(defect.where, 80), clip(defect.size, 40), clip(defect.note, 200)]
    return ", ".join(word for word in words if word)


def state_of(part: Part, word: str) -> PartState | None:
    """The state of a part that ``word`` names; None for "".

    Errors: UsageError for a state that the part does not have; says what was probably meant.
    """
    if not word:
        return None
    state = part.states.get(word)
    if state is None:
        near = closest(word, part.states, 1)
        hint = f"did you mean {near[0]}?" if near else f"it can be {', '.join(part.states)}"
        raise UsageError(f"{part.title} cannot be {quoted(word)}; {hint}")
    return state


def hurting(report: ConditionReport) -> Iterator[tuple[Part, str]]:
    """The parts of which a report tells a state that hurts, each with the word for it."""
    for part in PARTS.values():
        word = report.state(part.name)
        state = part.states.get(word)
        if state is not None and state.effect is Effect.HURTS:
            yield part, word


class Change(enum.StrEnum):
    """How one part of a specimen differs between two reports."""

    WORSE = "worse"
    BETTER = "better"
    OTHER = "other"
    SAME = "same"
    UNKNOWN = "unknown"


@frozen
class PartChange:
    """One part in two reports.

    Attributes:
        part: its name.
        change: worse, better; other (neither is better); the same; unknown (one report does not tell).
        before, after: the states, "" where nobody looked.
        new, gone: defects that only the later, or only the earlier report has.
        grown: defects that surely grew, as they were and as they are.
    """

    part: str
    change: Change
    before: str
    after: str
    new: tuple[Defect, ...] = ()
    gone: tuple[Defect, ...] = ()
    grown: tuple[tuple[Defect, Defect], ...] = ()

    @property
    def title(self) -> str:
        """What to call the part in a sentence."""
        return PARTS[self.part].title


@frozen
class ConditionChanges:
    """Two reports of one specimen, part by part. ``str()`` of it is the text."""

    parts: tuple[PartChange, ...]

    def of(self, change: Change) -> tuple[PartChange, ...]:
        """The parts that changed so."""
        return tuple(part for part in self.parts if part.change is change)

    @property
    def worse(self) -> bool:
        """Whether any part is surely worse."""
        return bool(self.of(Change.WORSE))

    def __str__(self) -> str:
        return "\n".join(self._lines())

    def _lines(self) -> Iterator[str]:
        titles = (
            (Change.WORSE, "Worse"),
            (Change.OTHER, "Other, and neither is better"),
            (Change.BETTER, "Better, so ask what was done"),
            (Change.UNKNOWN, "Told in one of the two only"),
        )
        for change, title in titles:
            rows = [part for part in self.of(change) if part.before or part.after or part.new or part.gone]
            if rows:
                yield title
            for row in rows:
                yield f"  {row.title}: was {_shown(row.before)}, is {_shown(row.after)}"
                yield from (f"    new: {defect_told(defect)}" for defect in row.new)
                yield from (f"    no longer told: {defect_told(defect)}" for defect in row.gone)
                yield from (
                    f"    grown: {defect_told(was)}; now {defect_told(now)}" for was, now in row.grown
                )
        same = [part.part for part in self.of(Change.SAME)]
        if same:
            yield f"The same: {titles_of(same)}."
        neither = [
            part.part
            for part in self.of(Change.UNKNOWN)
            if not (part.before or part.after or part.new or part.gone)
        ]
        if neither:
            yield f"Looked at in neither: {titles_of(neither)}."


def _shown(word: str) -> str:
    return clip(word.replace("-", " "), 60) if word else "not told"


def compare_conditions(before: ConditionReport, after: ConditionReport) -> ConditionChanges:
    """What changed from one report to another of the same specimen.

    Errors: UsageError for a state that a part does not have.
    """
    return ConditionChanges(tuple(_compared(part, before, after) for part in PARTS.values()))


def _compared(part: Part, before: ConditionReport, after: ConditionReport) -> PartChange:
    words = before.state(part.name), after.state(part.name)
    change = _change(part, *words)
    had = {_key(defect): defect for defect in before.defects if defect.part == part.name}
    has = {_key(defect): defect for defect in after.defects if defect.part == part.name}
    new = tuple(defect for key, defect in has.items() if key not in had)
    gone = tuple(defect for key, defect in had.items() if key not in has)
    grown = tuple((had[key], has[key]) for key in had if key in has and _grew(had[key], has[key]))
    if change is Change.SAME and (grown or (new and not gone)):
        change = Change.WORSE
    elif change is Change.SAME and (new or gone):
        change = Change.OTHER
    return PartChange(part.name, change, *words, new, gone, grown)


def _change(part: Part, before: str, after: str) -> Change:
    if not before or not after or NOT_SEEN in (before, after):
        return Change.UNKNOWN
    if part.states:
        was, now = state_of(part, before), state_of(part, after)
        if was is not None and now is not None and was is not now:
            if was.rank is None or now.rank is None or was.rank == now.rank:
                return Change.OTHER
            return Change.WORSE if now.rank < was.rank else Change.BETTER
    return Change.SAME if before == after else Change.OTHER


def _key(defect: Defect) -> tuple[str, str, str]:
    return defect.part, fold(defect.what), fold(defect.where)


def _grew(was: Defect, now: Defect) -> bool:
    first, second = as_length(was.size), as_length(now.size)
    return first is not None and second is not None and first.before(second) is True


def colour_feature(index: Index) -> Feature | None:
    """The feature that is the bubble's colour, as the dataset marks it; None where it marks none."""
    return next((one for one in index.features.values() if one.condition == "bubble-colour"), None)
