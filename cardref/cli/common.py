"""What verbs share: which dataset is meant, tables, JSON."""

import argparse
import codecs
import io
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from cardref.reference import Reference, load
from cardref.storage.cells import guarded_within, is_formula
from cardref.text import columns, visible

__all__ = [
    "add_dataset",
    "add_format",
    "add_over",
    "for_spreadsheet",
    "layered",
    "open_reference",
    "print_csv",
    "print_json",
    "print_table",
    "printable",
]


BUNDLED = "bundled"
"""What stands for the bundled reference where a directory could be named."""


def add_dataset(parser: argparse.ArgumentParser) -> None:
    """The options ``--dataset`` and ``--over``."""
    parser.add_argument(
        "--dataset",
        metavar="DIR",
        help="the dataset to ask (default: ./dataset if there is one, else the bundled one)",
    )
    add_over(parser, "lay that dataset over this one; several times for several layers")


def add_over(parser: argparse.ArgumentParser, what: str) -> None:
    """The option ``--over``, which can be given several times: each lies under the one before."""
    parser.add_argument(
        "--over",
        metavar="DIR",
        action="append",
        default=[],
        help=f"{what}; `{BUNDLED}` is the bundled one",
    )


def add_format(parser: argparse.ArgumentParser, *formats: str) -> None:
    """The option ``--format``; the first is the default."""
    parser.add_argument("--format", choices=formats, default=formats[0], help=f"default: {formats[0]}")


def open_reference(args: argparse.Namespace) -> Reference:
    """The dataset that is meant, with what it lies over; which they are, is said on standard error."""
    given = getattr(args, "dataset", None)
    if given is None and Path("dataset/dataset.yaml").is_file():
        given = "dataset"
    below = layered(getattr(args, "over", ()))
    reference = load(given, over=below)
    said = f"{visible(reference.name)} {visible(reference.version)}"
    if below is not None:
        said += f" over {', '.join(map(visible, below.layers))}"
    invented = any(dataset.invented for dataset in reference.index.datasets)
    print(f"dataset: {said}{', invented demo data' if invented else ''}", file=sys.stderr)
    return reference


def layered(names: Sequence[str]) -> Reference | None:
    """The datasets of ``--over``, each lying over the next; None where there is none."""
    below: Reference | None = None
    for name in reversed(names):
        path = None if name == BUNDLED and not Path(name).is_dir() else name
        below = load(path, over=below)
    return below


def print_json(value: Any) -> None:
    """``value`` as JSON whose text cannot command a terminal.

    JSON is UTF-8 (RFC 8259, 8.1); where standard output has another encoding, its own escapes take the place
    of all that is not ASCII, so that it is read alike everywhere.
    """
    import json  # noqa: PLC0415 - text needs neither json nor csv

    plain = codecs.lookup(sys.stdout.encoding or "utf-8").name != "utf-8"
    print(json.dumps(printable(value), indent=2, ensure_ascii=plain))


def printable(value: Any) -> Any:
    """``value`` with every text in it made visible."""
    if isinstance(value, str):
        return visible(value)
    if isinstance(value, dict):
        return {visible(str(key)): printable(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [printable(item) for item in value]
    return value


def print_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Rows under a head, columns aligned by what they take on a terminal."""
    shown = [[visible(cell) for cell in row] for row in (head, *rows)]
    widths = [max(columns(row[at]) for row in shown) for at in range(len(head))]
    for row in shown:
        line = "  ".join(
            cell + " " * (width - columns(cell)) for cell, width in zip(row, widths, strict=True)
        )
        print(line.rstrip())


def print_csv(head: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Rows as CSV (RFC 4180). A cell that a spreadsheet would run as a formula gets a leading apostrophe.

    It is UTF-8 whatever standard output is set to, as all our tables are: CSV has no escapes for what another
    encoding does not have, and nobody could tell what was lost.
    """
    import csv  # noqa: PLC0415 - as above

    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8", errors="backslashreplace")
    writer = csv.writer(sys.stdout, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow(map(for_spreadsheet, row))


def for_spreadsheet(cell: str) -> str:
    """A cell as CSV may hold it: visible, and with an apostrophe before what would be run as a formula, also
    where a program splits the row at semicolons.
    """
    shown = visible(cell)
    return guarded_within(f"'{shown}" if is_formula(shown) else shown)
