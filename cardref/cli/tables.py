"""``cardref tables export | import | add``: the dataset as CSV for a spreadsheet, and back; card lists."""

import argparse
from collections import Counter
from pathlib import Path

from cardref.cli.writing import finish_first
from cardref.errors import CardrefError, UsageError
from cardref.facts.called import listed
from cardref.finding import Severity
from cardref.fixing.place import root_of
from cardref.model.kinds import KINDS
from cardref.storage.atomic import Change, write_changes
from cardref.storage.bundle import home
from cardref.storage.draft import Draft
from cardref.tables.gathering import COLUMNS, read_list
from cardref.tables.reading import read_tables
from cardref.tables.sheetfile import letters
from cardref.tables.work import Import
from cardref.tables.writing import written
from cardref.text import clip, count_of, visible

SUMMARY = (
    "The dataset as a folder of CSV for a spreadsheet, and back: only what changed is edited. Or a list of "
    "cards of your own, one row a card, into the dataset."
)
EXAMPLE = """cardref tables add examples/shelf.csv --dataset mine --diff
  cardref tables export sheets --dataset mine
  cardref tables import sheets --dataset mine"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument(
        "action",
        choices=("export", "import", "add"),
        help="write the tables; bring them back; add the cards of a list",
    )
    parser.add_argument(
        "path",
        metavar="PATH",
        help=f"the folder of tables; for add a CSV file with the columns {', '.join(COLUMNS)}",
    )
    parser.add_argument("--dataset", metavar="DIR", help="the dataset (default: ./dataset)")
    parser.add_argument("--diff", action="store_true", help="write nothing, show what would change")


def run(args: argparse.Namespace) -> int:
    """Write the tables, or take in what is in them."""
    path = Path(args.path)
    if args.action == "export":
        if args.diff:
            raise UsageError("--diff is for import and add: export changes nothing in the dataset")
        return _export(path, args.dataset)
    root = root_of(args.dataset)
    _refuse_inside(path, root)
    finish_first(root, dry=args.diff)
    result = read_tables(path, root) if args.action == "import" else read_list(path, root)
    if args.diff:
        print("".join(change.diff() for change in result.changes), end="")
    else:
        write_changes(root, result.changes)
    print("\n".join(_told(result, args.action, root, written=not args.diff)))
    return 1 if result.findings else 0


def _refuse_inside(path: Path, root: Path) -> None:
    if path.resolve().is_relative_to(root.resolve()):
        raise UsageError(
            f"{visible(str(path))} is inside the dataset {visible(str(root))}: keep lists and tables outside "
            "of it, since a dataset holds no file but its own"
        )


def _export(folder: Path, dataset: str | None) -> int:
    if dataset is None and not Path("dataset/dataset.yaml").is_file():
        if home().compiled:
            raise CardrefError("the bundled reference is compiled: name a dataset's directory with --dataset")
        root = home().dataset
    else:
        root = root_of(dataset)
    _refuse_inside(folder, root)
    if folder.exists() and not folder.is_dir():
        raise CardrefError(f"{visible(str(folder))} is a file: name a folder; one that is not there is made")
    finish_first(folder)
    files = written(Draft(root).loaded)
    there = [name for name in files if (folder / name).exists()]
    if there:
        said = visible(str(folder / there[0]))
        raise CardrefError(f"{said} exists; nothing is overwritten: name another folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        said = visible(str(folder))
        raise CardrefError(f"{said} cannot be made ({error.strerror}): name a folder that can") from error
    write_changes(folder, [Change(name, None, content) for name, content in files.items()])
    tables = count_of(len(files) - 1, "table")
    print(f"{tables} written to {visible(str(folder))}; README.txt says how to edit them")
    return 0


def _told(result: Import, action: str, root: Path, *, written: bool) -> list[str]:
    lines = [
        f"{visible(f.place.path)} {letters(f.place.column)}{f.place.line}: {f.severity}: "
        f"{clip(f.message, 400)} [{f.rule}]"
        for f in result.findings[:_MOST]
    ]
    if len(result.findings) > _MOST:
        lines.append(f"and {len(result.findings) - _MOST} more: put these right first")
    changed = "changed" if written else "would be changed"
    cells = f"{count_of(len(result.edited), 'cell')} {changed}" if result.edited else ""
    said = ", ".join(part for part in (cells, _added(result)) if part)
    said = said or "nothing changed"
    if result.changes:
        said += f" in {count_of(len(result.changes), 'file')}"
    if result.known:
        verb = "says" if result.known == 1 else "say"
        said += f"; {count_of(result.known, 'row')} {verb} what is recorded already"
    lines.append(said)
    wrong = [finding for finding in result.findings if finding.severity is Severity.ERROR]
    rows = {(f.place.path, f.place.line) for f in wrong if f.rule not in _OF_TABLES}
    again = f"put right what is wrong and {action} again"
    if rows or result.alike:
        lines.append(f"{count_of(len(rows) + result.alike, 'row')} left alone: {again}")
    elif wrong:
        lines.append(f"next: {again}")
    elif result.changes and written:
        lines.append(f"next: `cardref check {visible(str(root))}`")
    return lines


def _added(result: Import) -> str:
    counts = Counter(kind for kind, _ in result.added)
    said = [count_of(number, kind, KINDS[kind].plural) for kind, number in counts.items()]
    return f"{listed(said, 8)} added" if said else ""


_OF_TABLES = frozenset(
    {"encoding", "unreadable-table", "repeated-column", "unknown-column", "missing-column"}
)
"""Rules whose findings are about a whole table, not a row."""
_MOST = 40
"""Findings that are shown: whoever sees so many begins at the top."""
