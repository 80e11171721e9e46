"""How fast dates and barcode numbers are read, beside general-purpose packages in the same run.

    python -m tests.benchmarks.dates

The time of a row is for one text.
"""

import random
import warnings

with warnings.catch_warnings():
    # The package warns about its own grammar when it is imported.
    warnings.simplefilter("ignore")
    import edtf
from stdnum import ean

from cardref.notation import edtf as our_edtf
from cardref.notation.checkdigit import gtin
from cardref.notation.gtin import Gtin
from tests.benchmarks.common import Row, print_table, reading


def distinct_dates(count: int) -> list[str]:
    """Different dates that both can read."""
    rng = random.Random(2)
    found: dict[str, None] = {}
    while len(found) < count:
        year, month, day = rng.randrange(1900, 2000), rng.randrange(1, 13), rng.randrange(1, 29)
        shapes = (f"{year}-{month:02}-{day:02}", f"{year}-{month:02}", f"{year}-{month:02}~", f"{year}/..")
        found[rng.choice(shapes)] = None
    return list(found)


def barcodes(count: int) -> list[str]:
    """Different EAN-13."""
    rng = random.Random(3)
    payloads = (f"{rng.randrange(10**12):012}" for _ in range(count))
    return [payload + str(gtin(payload)) for payload in payloads]


def rows() -> list[Row]:
    """All comparisons."""
    repeated = random.Random(1).choices(distinct_dates(200), k=100_000)
    distinct, numbers = distinct_dates(2000), barcodes(20_000)
    theirs = (edtf.parse_edtf, distinct[:100])
    return [
        reading("date, 100,000 of 200 texts", (our_edtf.Date.parse, repeated), "edtf.parse_edtf", theirs),
        reading("date, each text new", (our_edtf._read, distinct), "edtf.parse_edtf", theirs),
        reading(
            "EAN-13, each new", (Gtin.parse, numbers), "stdnum.ean.validate", (ean.validate, numbers), 1.0
        ),
    ]


if __name__ == "__main__":
    print_table(rows())
