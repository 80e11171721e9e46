"""How fast dates and barcode numbers are read, beside general-purpose packages in the same run.

    python tests/benchmarks/dates.py

Each row: the work; ours and theirs in microseconds for one text; the ratio ours : theirs; the goal. Only the
ratio means something: absolute times drift with the machine. The best of several rounds counts, which are
taken in turns, so that a busy moment hits both.
"""

import contextlib
import io
import random
import sys
import time
import warnings
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[2]))

with warnings.catch_warnings():
    # The package warns about its own grammar when it is imported.
    warnings.simplefilter("ignore")
    import edtf
from stdnum import ean

from cardref.notation import edtf as our_edtf
from cardref.notation.checkdigit import gtin
from cardref.notation.gtin import Gtin

ROUNDS = 7


class Row(NamedTuple):
    """One comparison; times are microseconds for one text."""

    work: str
    ours: float
    beside: str
    their: float
    ratio: float
    goal: str


def run(read: Callable[[str], object], texts: Iterable[str]) -> float:
    """Seconds to read all texts."""
    start = time.perf_counter()
    for text in texts:
        read(text)
    return time.perf_counter() - start


def row(
    work: str,
    texts: list[str],
    ours: Callable[[str], object],
    beside: str,
    theirs: Callable[[str], object],
    *,
    goal: str,
    few: int = 0,
) -> Row:
    """Compare two readers of the same texts; ``few`` limits how many of them the slower one gets."""
    fewer = texts[:few] if few else texts
    mine, other = [], []
    for _ in range(ROUNDS):
        mine.append(run(ours, texts) / len(texts))
        other.append(run(theirs, fewer) / len(fewer))
    return Row(work, min(mine) * 1e6, beside, min(other) * 1e6, min(mine) / min(other), goal)


def repeated_dates() -> list[str]:
    """A hundred thousand dates of two hundred different texts, as a dataset has them."""
    rng = random.Random(1)
    return rng.choices(distinct_dates(200), k=100_000)


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
    parse = our_edtf.Date.parse
    fresh = our_edtf._read

    def theirs(text: str) -> object:
        return edtf.parse_edtf(text)

    with contextlib.redirect_stdout(io.StringIO()):
        return [
            row(
                "date, 100,000 of 200 texts",
                repeated_dates(),
                parse,
                "edtf.parse_edtf",
                theirs,
                goal="none set",
                few=200,
            ),
            row(
                "date, each text new",
                distinct_dates(2000),
                fresh,
                "edtf.parse_edtf",
                theirs,
                goal="none set",
                few=200,
            ),
            row(
                "EAN-13, each new",
                barcodes(20_000),
                Gtin.parse,
                "stdnum.ean.validate",
                ean.validate,
                goal="<= 1",
            ),
        ]


def main() -> None:
    """Print the table."""
    print(f"{'work':28} {'ours':>9} {'theirs':>9} {'ratio':>8}  {'goal':8}  beside")
    for work, ours, beside, their, ratio, goal in rows():
        print(f"{work:28} {ours:7.2f}us {their:7.0f}us {ratio:8.2g}  {goal:8}  {beside}")


if __name__ == "__main__":
    main()
