"""Decode a column of a spreadsheet: what each code means, what had to be changed to read it, what is wrong.

    python examples/decode_column.py                              the column of examples/codes.csv
    python examples/decode_column.py mine.csv Code > decoded.csv  a column of yours

Every row comes out as it went in, with six columns behind it. Codes are read kindly (a letter O for a zero, a
dash for a stroke), and every change is told. *Known* says whether exactly this code is recorded, *consistent*
whether its parts agree; not recorded is not wrong. Keep the column as text in your spreadsheet program: it
takes zeros off the front of a number. The bundled reference is invented demo data; nothing here authenticates
a card.
"""

import argparse
import csv
import sys
from pathlib import Path

import cardref

NEW = ("read as", "figure", "backs", "known", "consistent", "changes or advice")


def decoded(reference: cardref.Reference, text: str) -> list[str]:
    """The six cells for what stands in one cell."""
    if not text.strip():
        return [""] * len(NEW)
    decoding = reference.decode(text)
    best = decoding.best
    if best is None:
        return ["", "", "", "", "", decoding.problem]
    figures = [reference.figures[figure].name for figure in best.figures if figure in reference.figures]
    backs = [str(reference.backs[back].designation) for back in best.backs]
    advice = [str(change) for change in best.changes]
    if decoding.suggestions:
        advice.append(f"perhaps {' or '.join(decoding.suggestions)}")
    return [
        best.value,
        # A code with an unreadable sign may stand for many; a cell is no place for all of them.
        "; ".join(figures) if len(figures) <= 3 else f"{len(figures)} figures",
        "; ".join(backs) if len(backs) <= 8 else f"{len(backs)} backs",
        decoding.known.value,
        decoding.consistent.value,
        "; ".join(advice),
    ]


def main() -> int:
    """Read the file, write it with what the codes mean, and say how many are known."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("file", nargs="?", type=Path, default=Path(__file__).with_name("codes.csv"))
    parser.add_argument("column", nargs="?", default="Code as I read it")
    args = parser.parse_args()
    with args.file.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.reader(stream))
    if not rows or args.column not in rows[0]:
        print(f"{args.file} has no column {args.column!r}; its columns are {rows[:1]}", file=sys.stderr)
        return 2
    at = rows[0].index(args.column)
    reference = cardref.load()
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow([*rows[0], *NEW])
    known = 0
    for row in rows[1:]:
        cells = decoded(reference, row[at] if at < len(row) else "")
        known += cells[3] == "yes"
        # A spreadsheet program would run a cell that begins like a formula.
        writer.writerow([*row, *(f"'{cell}" if cell[:1] in ("=", "+", "-", "@") else cell for cell in cells)])
    print(
        f"{known} of {len(rows) - 1} rows have a recorded code; reference {reference.version}",
        file=sys.stderr,
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
