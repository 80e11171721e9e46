"""Vet a CSV of listings: which claims agree with the reference, which contradict it, and what to ask for.

    python examples/vet_listings.py                    the listings of examples/listings.csv
    python examples/vet_listings.py mine.csv title     a file of yours, and the column with the words

What speaks against itself comes first, then what is open, then what is recorded just so. A *yes* means that
such a card is recorded and nothing speaks against it, not that this one is genuine: nothing here
authenticates a card. Prices are handed through and never judged. Listings and reference are invented demo
data.
"""

import argparse
import csv
import sys
import textwrap
from pathlib import Path

import cardref

GRAVEST_FIRST = ("no", "unknown", "yes")


def main() -> int:
    """Vet every row and tell the gravest first."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("file", nargs="?", type=Path, default=Path(__file__).with_name("listings.csv"))
    parser.add_argument("column", nargs="?", default="title")
    args = parser.parse_args()
    with args.file.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    if not rows or args.column not in rows[0]:
        print(f"{args.file} has no rows, or no column {args.column!r}", file=sys.stderr)
        return 2
    reference = cardref.load()
    vetted = [(row, reference.vet(row[args.column])) for row in rows if row[args.column].strip()]
    vetted.sort(key=lambda pair: GRAVEST_FIRST.index(pair[1].verdict.value))
    for row, vetting in vetted:
        shown = "".join(sign if sign.isprintable() else "?" for sign in row[args.column])
        print(f"{vetting.verdict.value:7}  {shown}")
        print(textwrap.fill(vetting.because, 100, initial_indent=" " * 9, subsequent_indent=" " * 9))
        for statement in vetting.statements:
            if statement.status.value == "contradicted":
                against = f"against it: {statement.because}"
                print(textwrap.fill(against, 100, initial_indent=" " * 9, subsequent_indent=" " * 11))
        if vetting.asks:
            print(f"         ask for: {vetting.asks[0].photo}")
    cautions = dict.fromkeys(caution for _, vetting in vetted for caution in vetting.cautions)
    print("\n".join(cautions))
    return 0


if __name__ == "__main__":
    sys.exit(main())
