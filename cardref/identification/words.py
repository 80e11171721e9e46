"""The sentences of an identification: the answer first, then why, then what to do next.

>>> recorded((("red", 0.5), ("blue", 0.5))), recorded(None)
('red or blue', 'not recorded')
"""

from collections.abc import Iterable, Mapping, Sequence

from cardref.identification.answer import Beside, Candidate, Conclusion, Ending, Fit, Look, Pair
from cardref.identification.channel import Cell
from cardref.text import clip, count_of, quoted

__all__ = ["LOOK_AGAIN", "beside", "conclusion", "contradiction", "fits", "prior", "recorded", "verdict"]

FEW = 5
"""So many candidates, features or pairs are named in a sentence."""


def recorded(cell: Cell) -> str:
    """A cell in words."""
    if cell is None:
        return "not recorded"
    if isinstance(cell, tuple):
        return _listed((clip(str(state), 40) for state, _ in cell), " or ")
    return str(cell)


def _listed(items: Iterable[object], between: str = ", ", most: int = FEW) -> str:
    texts = [str(item) for item in items]
    more = f" and {len(texts) - most} more" if len(texts) > most else ""
    return between.join(texts[:most]) + more


def _first(looks: Sequence[Look], most: int) -> str:
    return ", ".join(map(str, looks[:most]))


def fits(candidate: Candidate) -> list[str]:
    """What speaks for and against a candidate, and what says nothing; a line each."""
    lines = []
    for says, found in (("For", candidate.matches), ("Against", candidate.misfits)):
        if found:
            lines.append(f"{says} {candidate.name}: {_some(found)}.")
    silent = [fit for fit in candidate.fits if fit.agrees is None]
    if silent:
        lines.append(f"Not recorded of it: {_listed(fit.title for fit in silent)}.")
    return lines


def _some(found: Sequence[Fit]) -> str:
    return _listed(found, "; ", 8)


def conclusion(end: Conclusion, candidates: int, looked_at: int, tolerance: int) -> list[str]:
    """The conclusion in words, with what speaks for it and what to do next.

    Args:
        end: the conclusion.
        candidates: how many there are.
        looked_at: how many looks told something.
        tolerance: how many misfits were put down to misreading.
    """
    lines = verdict(end, candidates, looked_at, tolerance)
    if looked_at:
        lines += fits(end.remaining[0])
    if end.ending is Ending.UNRECORDED:
        lines.append(LOOK_AGAIN)
    elif end.ending is Ending.IDENTIFIED and end.looks:
        lines.append(f"To be surer, look at: {_first(end.looks, 2)}.")
    elif end.ending is Ending.OPEN:
        lines.append(f"Look next at: {_first(end.looks, 3)}.")
    return lines


LOOK_AGAIN = "Look again at what speaks against it; if that stands, it may be new to this reference."


def verdict(end: Conclusion, candidates: int, looked_at: int, tolerance: int) -> list[str]:
    """The conclusion alone; the arguments are those of :func:`conclusion`."""
    top = end.remaining[0]
    if end.ending is Ending.UNRECORDED:
        start = f"Probably not recorded: what was seen goes with none of {count_of(candidates, 'candidate')}"
        return [
            f"{start} ({count_of(looked_at, 'look')}, {tolerance} of them allowed to be misread).",
            f"Nearest: {top}, if it is recorded at all.",
        ]
    if end.ending is Ending.IDENTIFIED:
        return [f"Identified as far as recorded: {top}."]
    named = ", ".join(map(str, end.remaining[:FEW]))
    if end.count > FEW:
        named += f" and {end.count - FEW} more"
    if end.ending is Ending.ALIKE:
        return _alike(end, named, looked_at)
    if not looked_at:
        return [f"Nothing was looked at yet: {count_of(candidates, 'candidate')} to choose from."]
    if end.count == 1:
        return [f"Most probably {top}, not certain yet."]
    return [f"{end.count} remain: {named}."]


def _alike(end: Conclusion, named: str, looked_at: int) -> list[str]:
    if end.count == 1:
        start = f"Most probably {end.remaining[0]}" if looked_at else f"There is only one: {end.remaining[0]}"
        return [f"{start}; nothing left to look at would make it surer."]
    never = [pair for pair in end.pairs if not pair.tried]
    tried = [pair for pair in end.pairs if pair.tried]
    names = {candidate.id: candidate.name for candidate in end.remaining}
    lines = [f"What is left to look at cannot tell these apart: {named}."]
    if never:
        pairs = _listed((_pair(pair, names) for pair in never), "; ", 3)
        lines.append(f"No recorded feature tells apart: {pairs}.")
    if tried:
        pairs = _listed(
            (f"{_pair(pair, names)} by {_listed(map(quoted, pair.tried))}" for pair in tried),
            "; ",
            3,
        )
        lines.append(f"Told apart only by what was looked at already, a closer look may help: {pairs}.")
    return lines


def _pair(pair: Pair, names: Mapping[str, str]) -> str:
    return f"{names[pair.one]} and {names[pair.other]}"


def contradiction(feature: str, above: Sequence[str]) -> str:
    """That a reading does not go with those of the features on which it hangs."""
    parents = " and ".join(map(quoted, above))
    return f"What was read of {quoted(feature)} does not go with what was read of {parents}: one was misread."


def prior(*, given: bool) -> str:
    """What was assumed before anything was seen."""
    return (
        "Weighted by how common each candidate is said to be."
        if given
        else "All candidates were taken to be equally common."
    )


def beside(one: Beside) -> str:
    """What the looks say of a candidate kept beside."""
    if one.bits >= 1.0:
        says = "the looks speak for it"
    elif one.bits <= -1.0:
        says = "the looks speak against it"
    else:
        says = "the looks do not tell the two apart"
    look = f"; look at: {_first(one.looks, 2)}" if one.looks else "; nothing recorded would tell more"
    return f"Beside that, {one.name} instead of {one.of_name}: {says}{look}."
