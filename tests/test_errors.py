"""The exceptions: what they say, what they carry, and that they survive the way to another process."""

import copy
import pickle

import pytest

from cardref.errors import (
    AmbiguousRecord,
    CardrefError,
    DatasetError,
    NotationError,
    UnknownRecord,
    UsageError,
)
from cardref.finding import Finding, Severity
from cardref.location import Place
from cardref.tables.sheetfile import SheetError

FINDING = Finding(rule="tab", severity=Severity.ERROR, message="a tab", place=Place("line.yaml", 3, 1))
ERRORS = [
    NotationError("25B!", (3, 4), "nothing after the letter", suggestions=["25B"]),
    DatasetError("it cannot be used", [FINDING]),
    UsageError("no such field"),
    UnknownRecord("quay-mral", "maker", ["quay-marl"]),
    AmbiguousRecord("25", ["l/m/b-1", "l/m/b-2"]),
    SheetError("csv-syntax", 3, "a quote is not closed"),
]


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_survives_copying_and_pickling(error: CardrefError) -> None:
    """A worker's error says in the parent what it said there, and carries the same."""
    for other in (pickle.loads(pickle.dumps(error)), copy.copy(error), copy.deepcopy(error)):  # noqa: S301 - our own bytes
        assert type(other) is type(error)
        assert str(other) == str(error)
        assert vars(other) == vars(error)


@pytest.mark.parametrize(
    ("text", "span", "problem"),
    [
        ("25B!", (3, 4), "not expected here: '!'"),
        ("25", (2, 2), "something is missing"),
        ("", (0, 0), "empty"),
        ("a\x1bb", (1, 2), r"not expected here: '\x1b'"),
    ],
)
def test_a_problem_is_named_by_what_stands_there(text: str, span: tuple[int, int], problem: str) -> None:
    """Where nobody says what is wrong: the sign that is there, or that nothing is."""
    assert NotationError(text, span, "a letter").problem == problem


def test_a_notation_error_draws_its_place() -> None:
    """Message, text, carets under the span, what was expected, what was probably meant; each on a line."""
    told = str(NotationError("25B!", (3, 4), "the end", "a sign too many", ["25B", "25"])).split("\n")
    assert told == ["a sign too many", "  25B!", "     ^", "expected: the end", "perhaps: 25B, 25"]
    assert str(NotationError("", (0, 0), "a date")) == "empty\nexpected: a date"


@pytest.mark.parametrize(
    ("count", "shown", "more"), [(2, 2, ""), (8, 8, ""), (9, 8, " and 1 more"), (30, 8, " and 22 more")]
)
def test_of_many_matches_eight_are_shown(count: int, shown: int, more: str) -> None:
    """An ambiguous name lists eight records at most and says how many more there are; it carries all."""
    matches = [f"l/m/b-{number}" for number in range(count)]
    error = AmbiguousRecord("25", matches)
    assert (
        str(error) == f"'25' names {count} records: {', '.join(matches[:shown])}{more}; ask for one of these"
    )
    assert error.matches == tuple(matches)


def test_an_unknown_record_tells_what_was_meant() -> None:
    """The kind, the text, and the nearest names where there are any."""
    assert str(UnknownRecord("x", "back", ["a", "b"])) == "no back is called 'x'; did you mean a or b?"
    assert str(UnknownRecord("x")) == (
        "no record is called 'x'; `cardref list KIND` lists the records of a kind"
    )
    assert str(UnknownRecord("x", "line", otherwise="try y")) == "no line is called 'x'; try y"
    assert "try y" not in str(UnknownRecord("x", "line", ["z"], "try y"))


def test_errors_are_what_a_caller_expects_to_catch() -> None:
    """A wrong text is a ValueError, a name that leads nowhere or to many a LookupError, all of them ours."""
    assert issubclass(NotationError, ValueError)
    assert issubclass(UsageError, ValueError)
    assert issubclass(UnknownRecord, LookupError)
    assert issubclass(AmbiguousRecord, LookupError)
    assert all(isinstance(error, CardrefError) for error in ERRORS)
