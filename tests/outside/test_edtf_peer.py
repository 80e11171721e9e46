"""Dates against the package ``edtf`` as a second opinion, with a written list of reasoned exceptions.

On the published examples and on made-up texts, both must give the same verdict and the same first and last
day, unless one of the exceptions below says why not. An exception that nothing needs any more fails too.
"""

import contextlib
import io
import random
import re
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from cardref.errors import NotationError
from cardref.notation.edtf import Date

with warnings.catch_warnings():
    # The package warns about its own grammar when it is imported; that is no fault of ours.
    warnings.simplefilter("ignore")
    import edtf

EXAMPLES: dict[str, list[Any]] = yaml.safe_load(
    (Path(__file__).parent / "edtf_examples.yaml").read_text("utf-8")
)


class Opinion(NamedTuple):
    """A verdict, and the first and last day as (year, month, day) where there are any."""

    verdict: str
    first: tuple[int, ...] | None = None
    last: tuple[int, ...] | None = None


def ours(text: str) -> Opinion:
    """What cardref says of ``text``."""
    try:
        date = Date.parse(text)
    except NotationError:
        return Opinion("refused")
    return Opinion(
        "read",
        None if date.earliest is None else tuple(date.earliest),
        None if date.latest is None else tuple(date.latest),
    )


def theirs(text: str) -> Opinion:
    """What the package says of ``text``; "broken" where it neither reads nor refuses."""
    # It prints while it fails.
    with contextlib.redirect_stdout(io.StringIO()):
        try:
            parsed = edtf.parse_edtf(text)
        except edtf.EDTFParseException:
            return Opinion("refused")
        except (AttributeError, TypeError, ValueError):
            return Opinion("broken")
        try:
            bounds = [parsed.lower_strict(), parsed.upper_strict()]
        except (AttributeError, TypeError, ValueError):
            return Opinion("broken")
    first, last = (None if isinstance(bound, float) else tuple(bound[:3]) for bound in bounds)
    return Opinion("read", first, last)


Test = Callable[[str, Opinion, Opinion], bool]


class Difference(NamedTuple):
    """Where the two may differ: why, one text that shows it, and when it applies."""

    why: str
    example: str
    applies: Test


def has(pattern: str) -> Callable[[str], bool]:
    """Whether a text has ``pattern`` somewhere."""
    return lambda text: re.search(pattern, text) is not None


in_set = has(r"^[\[{]")
has_x = has("X")
season = has(r"-[?~%]?2[1-4]")
part_of_interval = has("/")


def features(text: str) -> int:
    """How many of the features that may be combined a text has."""
    return (
        in_set(text)
        + has_x(text)
        + len(re.findall("[?~%]", text))
        + season(text)
        + part_of_interval(text)
        + has(r"(^|[/\[{,.])-")(text)  # a negative year
        + has("Y")(text)
        + has(r"(^|/)\.\.|\.\.($|/)|^/|/$")(text)  # an open or unknown end
        + has(r"[^\[{]\.\.[^\]}]")(text)  # a range
    )


DIFFERENCES = [
    Difference(
        "an unknown start or end is ten years away, which nobody wrote",
        "/1985",
        lambda text, mine, other: (
            has("^/|/$")(text)
            and mine.verdict == other.verdict == "read"
            and (mine.first == other.first or text.startswith("/"))
            and (mine.last == other.last or text.endswith("/") or season(text))
        ),
    ),
    Difference(
        "its winter is December alone; ours lasts until February",
        "2001-24",
        lambda text, mine, other: (
            has("-[?~%]?24")(text)
            and mine.verdict == other.verdict == "read"
            and mine.first == other.first
            and mine.last is not None
            and mine.last[1] == 2
        ),
    ),
    Difference(
        "it takes 29 February in any year, and checks no day at all beside a qualifier",
        "1983-02-29",
        lambda text, mine, other: (
            mine.verdict == "refused" and other.verdict == "read" and has("-[?~%]?(29|3[01])")(text)
        ),
    ),
    Difference(
        "it takes an interval or a range that runs backwards",
        "1985/1983",
        lambda text, mine, other: (
            mine.verdict == "refused"
            and other.verdict == "read"
            and has(r"/|\.\.")(text)
            and other.first is not None
            and other.last is not None
        ),
    ),
    Difference(
        "it breaks on a month or a day with one unspecified digit, and on whole ones in an interval",
        "1983-1X",
        lambda text, _, other: (
            other.verdict == "broken" and has(r"-[?~%]?(X\d|\dX)(?!\d)|/.*-XX|-XX.*/")(text)
        ),
    ),
    Difference(
        "it breaks on an open start or end beside unspecified digits, and on one in a set",
        "../198X",
        lambda text, _, other: other.verdict == "broken" and has(r"\.\.")(text),
    ),
    Difference(
        "it breaks on an interval whose other end is open or unknown as well",
        "../",
        lambda text, mine, other: (
            other.verdict in ("broken", "refused")
            and mine.verdict == "read"
            and has(r"^(\.\.)?/(\.\.)?$")(text)
        ),
    ),
    Difference(
        "it reads forms of level 2 that are refused here by name: groupings, exponents, significant digits",
        "2001-34",
        lambda text, mine, other: (
            mine.verdict == "refused"
            and other.verdict in ("read", "broken")
            and has(r"-(2[5-9]|3\d|4[01])\b|E|S")(text)
        ),
    ),
    Difference(
        "it takes blanks, which the format does not have",
        " 1985",
        lambda text, mine, other: mine.verdict == "refused" and other.verdict == "read" and " " in text,
    ),
    Difference(
        "it takes a time of day behind a month or a year",
        "1985-04T23:20:30",
        lambda text, mine, other: (
            mine.verdict == "refused" and other.verdict == "read" and has(r"^-?\d{4}(-\d\d)?T")(text)
        ),
    ),
    Difference(
        "it refuses the leap second and some time zones",
        "1985-04-12T23:59:60",
        lambda text, mine, other: (
            mine.verdict == "read" and other.verdict == "refused" and has(r"T.*(:60|[+-]\d\d)")(text)
        ),
    ),
    Difference(
        "it does not turn unspecified digits of a negative year round: the larger number is the earlier year",
        "{-200X,1984}",
        lambda text, mine, other: (
            mine.verdict == other.verdict == "read" and has(r"-\d*X")(text) and mine.first != other.first
        ),
    ),
    Difference(
        "it takes 29 February of the last year that unspecified digits allow, leap year or not",
        "20X0-02-29",
        lambda text, mine, other: (
            mine.verdict == other.verdict == "read" and has("X.*-02-29")(text) and mine.first == other.first
        ),
    ),
    Difference(
        "it refuses a set of one member, which the standard does not forbid",
        "[1984]",
        lambda text, mine, other: (
            mine.verdict == "read" and other.verdict == "refused" and in_set(text) and "," not in text
        ),
    ),
    Difference(
        "it refuses features of levels 1 and 2 combined, or used twice, which the standard does not forbid",
        "198X/1990?",
        lambda text, mine, other: (
            mine.verdict == "read" and other.verdict == "refused" and features(text) > 1
        ),
    ),
]


def explained(text: str, mine: Opinion, other: Opinion) -> list[Difference]:
    """The exceptions that apply to a text on which the two differ."""
    return [difference for difference in DIFFERENCES if difference.applies(text, mine, other)]


def agree(mine: Opinion, other: Opinion) -> bool:
    """Whether both say the same: the same days, or that it cannot be read."""
    return mine == other or (mine.verdict == "refused" and other.verdict == "broken")


def made_up(seed: int, count: int) -> list[str]:
    """Texts in and around the format, the same ones for a seed."""
    rng = random.Random(seed)

    def mark() -> str:
        return rng.choice("?~%") if rng.random() < 0.05 else ""

    def masked(digits: str) -> str:
        return "".join("X" if rng.random() < 0.06 else digit for digit in digits)

    def date() -> str:
        if rng.random() < 0.04:
            return rng.choice(["Y", "Y-"]) + str(rng.randrange(10_000, 10**9))
        sign = "-" if rng.random() < 0.05 else ""
        out = mark() + sign + masked(f"{rng.choice([1983, 1984, 1900, rng.randrange(10_000)]):04}") + mark()
        for most in (rng.choice([13, 25]), 32)[: rng.randrange(3)]:
            out += "-" + mark() + masked(f"{rng.randrange(most + 1):02}") + mark()
        if rng.random() < 0.05:
            clock = f"T{rng.randrange(25):02}:{rng.randrange(60):02}:{rng.randrange(61):02}"
            out += clock + rng.choice(["", "Z", "+04:30", "-08"])
        return out

    def text() -> str:
        kind = rng.random()
        if kind < 0.6:
            return date()
        if kind < 0.85:
            return f"{date() if rng.random() < 0.9 else '..'}/{rng.choice([date(), date(), '', '..'])}"
        members = [rng.choice([date(), date(), f"{date()}..{date()}"]) for _ in range(rng.randrange(1, 4))]
        brackets = rng.choice(["[]", "{}"])
        return brackets[0] + ",".join(members) + brackets[1]

    return [text() for _ in range(count)]


TEXTS = [
    *(row[2] for row in EXAMPLES["read"]),
    *(row[2] for row in EXAMPLES["refused"]),
    *(row[0] for row in EXAMPLES["wrong"]),
    *(difference.example for difference in DIFFERENCES),
    *made_up(seed=1983, count=600),
]


def test_both_agree_or_an_exception_says_why_not() -> None:
    """Same verdict and same days on every text, but for the written exceptions."""
    unexplained = []
    agreed = 0
    for text in TEXTS:
        mine, other = ours(text), theirs(text)
        if agree(mine, other):
            agreed += 1
        elif not explained(text, mine, other):
            unexplained.append((text, mine, other))
    assert not unexplained
    # A second opinion that differs everywhere would be none.
    assert agreed > len(TEXTS) / 2


@pytest.mark.parametrize("difference", DIFFERENCES, ids=lambda difference: difference.example)
def test_each_exception_is_still_needed(difference: Difference) -> None:
    """The text that shows an exception still makes the two differ, in the way that it says."""
    mine, other = ours(difference.example), theirs(difference.example)
    assert not agree(mine, other)
    assert difference in explained(difference.example, mine, other)
