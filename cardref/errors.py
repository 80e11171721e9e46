"""The exceptions of cardref: for misuse, never for faults in data.

A fault in a dataset is a :class:`~cardref.finding.Finding`, a value with a place. What is raised
here says that the caller asked for something that cannot be answered, and what to do instead.

>>> raise NotationError("25B!", (3, 4), "nothing after the letter")
Traceback (most recent call last):
    ...
cardref.errors.NotationError: not expected here: '!'
  25B!
     ^
expected: nothing after the letter
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from cardref.text import clip, pointed, quoted

if TYPE_CHECKING:
    from cardref.finding import Finding

__all__ = ["AmbiguousRecord", "CardrefError", "DatasetError", "NotationError", "UnknownRecord", "UsageError"]


class CardrefError(Exception):
    """The root of everything that cardref raises on purpose."""


class NotationError(CardrefError, ValueError):
    """A text that is not written in the notation asked for.

    Attributes:
        text: what was given, whole.
        span: ``(start, end)``, the part at fault, in characters from 0; empty where something is missing.
        expected: what would have been right there, as a noun phrase.
        problem: what is wrong, as a short sentence without a full stop.
        suggestions: what was probably meant, best first; may be empty.
    """

    def __init__(
        self,
        text: str,
        span: tuple[int, int],
        expected: str,
        problem: str = "",
        suggestions: Iterable[str] = (),
    ) -> None:
        self.text = text
        self.span = span
        self.expected = expected
        start, end = span
        found = text[start:end]
        self.problem = problem or (
            f"not expected here: {quoted(found)}" if found else "something is missing" if text else "empty"
        )
        self.suggestions = tuple(suggestions)
        super().__init__(str(self))

    def __str__(self) -> str:
        lines = [self.problem]
        if self.text:
            lines += pointed(self.text, self.span)
        lines.append(f"expected: {self.expected}")
        if self.suggestions:
            lines.append(f"perhaps: {', '.join(clip(s, 60) for s in self.suggestions)}")
        return "\n".join(lines)

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.text, self.span, self.expected, self.problem, self.suggestions)


class DatasetError(CardrefError):
    """A dataset that cannot be used as a reference. ``findings`` says what is wrong and where."""

    def __init__(self, message: str, findings: Iterable["Finding"] = ()) -> None:
        self.message = message
        self.findings = tuple(findings)
        super().__init__(message)

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.message, self.findings)


class UsageError(CardrefError, ValueError):
    """A call that makes no sense: an unknown kind, field or format. The message names the ones there are."""


class UnknownRecord(CardrefError, LookupError):  # noqa: N818 - the name is part of the public interface
    """No record answers to ``text``. ``suggestions`` are the nearest ids or designations; ``otherwise`` says
    what to do where there are none.
    """

    def __init__(
        self, text: str, what: str = "record", suggestions: Iterable[str] = (), otherwise: str = ""
    ) -> None:
        self.text = text
        self.what = what
        self.suggestions = tuple(suggestions)
        self.otherwise = otherwise or "`cardref list KIND` lists the records of a kind"
        super().__init__(str(self))

    def __str__(self) -> str:
        hint = f"did you mean {' or '.join(self.suggestions)}?" if self.suggestions else self.otherwise
        return f"no {self.what} is called {quoted(self.text)}; {hint}"

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.text, self.what, self.suggestions, self.otherwise)


class AmbiguousRecord(CardrefError, LookupError):  # noqa: N818 - the name is part of the public interface
    """Several records answer to ``text``; ``matches`` are their ids, in the dataset's order."""

    def __init__(self, text: str, matches: Iterable[str]) -> None:
        self.text = text
        self.matches = tuple(matches)
        super().__init__(str(self))

    def __str__(self) -> str:
        shown = ", ".join(self.matches[:8])
        more = f" and {len(self.matches) - 8} more" if len(self.matches) > 8 else ""
        return f"{quoted(self.text)} names {len(self.matches)} records: {shown}{more}; ask for one of these"

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.text, self.matches)
