"""How fast codes are decoded, with look-ups and cross-checks, beside a parser of phone numbers.

Distinct codes, nothing kept between them, on the bundled reference.
"""

from collections.abc import Iterator

import phonenumbers
import stdnum.isbn
from schwifty import IBAN

import cardref
from tests.benchmarks.common import Row, race

MANY = 10_000


def rows() -> Iterator[Row]:
    """Decoding beside general-purpose parsers of printed numbers."""
    ref = cardref.load()
    codes = [f"7K {2040 + n % 400:04d}/{n % 97:03d}" for n in range(MANY)]
    numbers = [f"+44208{n:07d}" for n in range(8_000_000, 8_000_000 + MANY)]
    ref.decode(codes[0])

    def ours() -> None:
        for code in codes:
            answer = ref.decode(code)
            _ = answer.well_formed, answer.known, answer.consistent

    def phones() -> None:
        for number in numbers:
            phonenumbers.parse(number)

    def banks() -> None:
        for _ in range(MANY):
            IBAN("DE89370400440532013000")

    def books() -> None:
        for _ in range(MANY):
            stdnum.isbn.format("9780262011532")

    goal = 1 / 1.5
    for name, theirs, wanted in (
        ("phonenumbers.parse", phones, goal),
        ("schwifty IBAN", banks, None),
        ("stdnum isbn.format", books, None),
    ):
        mine, other = race(ours, theirs, 3)
        yield Row("decode one code: well-formed, known, consistent", mine / MANY, name, other / MANY, wanted)
