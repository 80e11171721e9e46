"""Lenient reading that shows its work: what was given, what was changed and why, and what came out.

>>> from cardref.notation.designation import Designation
>>> seen = Designation.read("25 b back")
>>> str(seen.value)
'25B'
>>> for change in seen.changes:
...     print(change, "-", change.why)
' ' left out at column 3 - none of it is written inside a designation
b read as B at column 4 - a capital letter stands here
' back' left out at column 5 - it says only what the number is

A lenient reader never raises on text. Where nothing could be read, ``value`` is None and ``problem`` says
what stood in the way.
"""

from collections.abc import Sequence
from typing import Any, Generic, TypeVar

from cardref.errors import NotationError
from cardref.notation.value import Value
from cardref.text import quoted, visible

__all__ = ["Change", "Traced", "account"]

T = TypeVar("T")


class Change(Value):
    """One thing that a lenient reader did to the text.

    Attributes:
        what: what was done, such as ``O read as 0``.
        column: where, in characters of the text as given, from 1.
        why: the reason, as a short sentence without a full stop.
    """

    __slots__ = ("column", "what", "why")

    what: str
    column: int
    why: str

    def __init__(self, what: str, column: int, why: str) -> None:
        _set_what(self, what)
        _set_column(self, column)
        _set_why(self, why)

    def __str__(self) -> str:
        return f"{self.what} at column {self.column}"

    def __repr__(self) -> str:
        return f"Change({self.what!r}, {self.column}, {self.why!r})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Change):
            return NotImplemented
        return (self.what, self.column, self.why) == (other.what, other.column, other.why)

    def __hash__(self) -> int:
        return hash((self.what, self.column, self.why))

    def __reduce__(self) -> tuple[Any, ...]:
        return Change, (self.what, self.column, self.why)


_set_what = Change.__dict__["what"].__set__
_set_column = Change.__dict__["column"].__set__
_set_why = Change.__dict__["why"].__set__


class Traced(Value, Generic[T]):
    """The outcome of a lenient reading.

    Attributes:
        text: what was given, whole.
        value: what it was read as, or None.
        changes: what had to be changed to read it, from left to right; empty when it was written exactly.
        problem: why nothing could be read, or None.
    """

    __slots__ = ("changes", "problem", "text", "value")

    text: str
    value: T | None
    changes: tuple[Change, ...]
    problem: NotationError | None

    def __init__(
        self,
        text: str,
        value: T | None,
        changes: tuple[Change, ...] = (),
        problem: NotationError | None = None,
    ) -> None:
        _set_text(self, text)
        _set_value(self, value)
        _set_changes(self, changes)
        _set_problem(self, problem)

    @property
    def well_formed(self) -> bool:
        """Whether anything could be read. It says nothing about whether anybody knows such a thing."""
        return self.value is not None

    @property
    def exact(self) -> bool:
        """Whether the text could be read without changing anything."""
        return self.value is not None and not self.changes

    def __repr__(self) -> str:
        return f"Traced({self.text!r}, {self.value!r}, {self.changes!r}, {self.problem!r})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Traced):
            return NotImplemented
        return (self.text, self.value, self.changes, str(self.problem)) == (
            other.text,
            other.value,
            other.changes,
            str(other.problem),
        )

    def __hash__(self) -> int:
        return hash((self.text, self.value, self.changes))

    def __reduce__(self) -> tuple[Any, ...]:
        return Traced, (self.text, self.value, self.changes, self.problem)


_set_text = Traced.__dict__["text"].__set__
_set_value = Traced.__dict__["value"].__set__
_set_changes = Traced.__dict__["changes"].__set__
_set_problem = Traced.__dict__["problem"].__set__


def account(text: str, reads: Sequence[tuple[str, str]]) -> tuple[Change, ...]:
    """What was changed, when each sign of ``text`` was read as ``reads`` says.

    ``reads`` has one pair for each sign: what it was read as ("" when it was left out) and why, in case that
    differs. Neighbours that were left out are told together, with the weightier reason: the last one given
    among those that are not merely spaces.

    >>> for change in account("o-1", [("0", "a digit stands here"), ("", "no dash"), ("1", "")]):
    ...     print(change)
    o read as 0 at column 1
    '-' left out at column 2
    """
    changes: list[Change] = []
    at, size = 0, len(text)
    while at < size:
        sign, why = reads[at]
        start = at
        at += 1
        if sign:
            if sign != text[start]:
                changes.append(Change(f"{visible(text[start])} read as {sign}", start + 1, why))
            continue
        while at < size and not reads[at][0]:
            why = why if text[at].isspace() else reads[at][1]
            at += 1
        changes.append(Change(f"{quoted(text[start:at])} left out", start + 1, why))
    return tuple(changes)
