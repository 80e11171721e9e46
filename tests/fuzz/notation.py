"""Coverage-guided fuzzing of the readers of text (see :mod:`tests.fuzz.harness`).

Each target says what must hold for every text whatever; a broken claim stops the run with the input.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import atheris  # type: ignore[import-untyped]  # the harness says why

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.fuzz.harness import Target, fuzz, holds, text_of

with atheris.instrument_imports(include=["cardref"]):
    from cardref.errors import NotationError
    from cardref.notation.code import CodeLayout, PackageCode, Segment
    from cardref.notation.designation import Designation
    from cardref.notation.edtf import Date
    from cardref.notation.gtin import Gtin
    from cardref.notation.length import Length
    from cardref.notation.names import NameIndex
    from cardref.notation.nearest import Suggester, distance, weight
    from cardref.notation.running import findall
    from cardref.notation.trace import Traced

_LETTERED = CodeLayout(
    [
        Segment("series", 2, "alphanumeric", meaning="series"),
        Segment("figure", 4, meaning="figure", before=" "),
        Segment("back", 3, meaning="back", before="/"),
    ]
)
_CHECKED = CodeLayout(
    [
        Segment("maker", 1, "upper"),
        Segment("figure", 5, meaning="figure", before="-"),
        Segment("check", 1, meaning="check", before="-"),
    ],
    digits="devanagari",
    check="mod11-10",
)
_NAMES = NameIndex(
    [("figure", "lamp-diver", "Lamp Diver"), ("maker", "anemoni", "Ανεμώνη Παιχνίδια"), ("line", "x", "Ærø")]
)
_KNOWN = Suggester(["7K 2046/031", "7K 2048/031", "8A 1307/043", "quay-marl"])


def strictly(text: str, parse: Callable[[str], Any], is_valid: Callable[[object], bool]) -> None:
    """Parsing raises a NotationError and nothing else; what it takes is written the same again."""
    try:
        value = parse(text)
    except NotationError as error:
        holds(not is_valid(text), "parse refuses what is_valid takes")
        start, end = error.span
        holds(0 <= start <= end <= len(error.text), "a span outside of the text")
        holds(bool(str(error)), "an error without a word")
        return
    holds(is_valid(text), "parse takes what is_valid refuses")
    holds(parse(str(value)) == value, "what is written is read as something else")


def leniently(text: str, seen: "Traced[Any]", parse: Callable[[str], Any]) -> None:
    """A lenient reading has a value or a problem, and its changes stand in the text."""
    holds((seen.value is None) != (seen.problem is None), "a value and a problem, or neither")
    holds(all(1 <= change.column <= len(text) + 1 for change in seen.changes), "a change outside of the text")
    if seen.value is not None:
        holds(parse(str(seen.value)) == seen.value, "a lenient value that is not strictly written")
        holds(bool(seen.changes) or str(seen.value) == text or text.isdigit(), "a change that is not told")


def designation(text: str) -> None:
    """Designations, strictly and leniently."""
    strictly(text, Designation.parse, Designation.is_valid)
    leniently(text, Designation.read(text), Designation.parse)


def code(text: str) -> None:
    """Package codes by two layouts, strictly and leniently."""
    for layout in (_LETTERED, _CHECKED):

        def parse(text: str, layout: CodeLayout = layout) -> PackageCode:
            return PackageCode.parse(text, layout)

        def is_valid(text: object, layout: CodeLayout = layout) -> bool:
            return PackageCode.is_valid(text, layout)

        strictly(text, parse, is_valid)
        seen = PackageCode.read(text, layout)
        leniently(text, seen, parse)
        if seen.value is not None:
            holds(seen.value.possible >= 1, "a code that cannot be")
            holds(seen.value.matches(seen.value), "a code unlike itself")


def date(text: str) -> None:
    """Dates."""
    strictly(text, Date.parse, Date.is_valid)


def length(text: str) -> None:
    """Lengths."""
    strictly(text, Length.parse, Length.is_valid)


def gtin(text: str) -> None:
    """Barcode numbers, strictly and leniently."""
    strictly(text, Gtin.parse, Gtin.is_valid)
    leniently(text, Gtin.read(text), Gtin.parse)


def running(text: str) -> None:
    """Running text: every hit says which part of the text it is, and none overlaps."""
    done = 0
    for hit in findall(text, (_LETTERED, _CHECKED), _NAMES):
        start, end = hit.span
        holds(done <= start < end <= len(text), "hits that overlap, or stand nowhere")
        holds(text[start:end] == hit.text, "a hit that says another text")
        done = end if hit.kind not in ("figure", "maker", "line") else start


def suggestion(text: str) -> None:
    """Suggestions never fail, and a distance is one."""
    for near in _KNOWN.suggest(text):
        holds(near.weight >= 0, "nearer than near")
    one, _, other = text[:40].partition(" ")
    holds(distance(one, other) == distance(other, one), "a one-way distance")
    holds((weight(one, other) == 0) == (one == other), "no distance between two")


SEEDS = (
    "25B",
    "the 25-b back",
    "7K 2046/031",
    "7k2O46-03l",
    "A-30418-2",
    "1983-06?/..",
    "{1982,1983~}",
    "1/16 in",
    "3 ± 0.5 mm",
    "2-3 mm",
    "036000291452",
    "6 291041 500213",
    "Lamp Dvier 25 back B, no creases, $25 or 25 cm",
)
"""Texts to start from: the fuzzer would take long to find a check digit by itself."""


def _fuzzed(read: Callable[[str], None]) -> Target:
    return lambda data: read(text_of(data))


if __name__ == "__main__":
    READERS = (designation, code, date, length, gtin, running, suggestion)
    fuzz({each.__name__: (_fuzzed(each), [seed.encode() for seed in SEEDS]) for each in READERS})
