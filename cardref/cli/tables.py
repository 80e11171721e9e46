"""``cardref tables export | import``: the dataset as CSV for a spreadsheet, and back."""

import argparse
from pathlib import Path

from cardref.errors import CardrefError
from cardref.finding import Severity
from cardref.fixing.place import root_of
from cardref.storage.atomic import Change, write_changes
from cardref.storage.bundle import home
from cardref.storage.loader import load_tree
from cardref.tables.reading import Import, read_tables
from cardref.tables.writing import written
from cardref.text import clip, count_of, visible

SUMMARY = "The dataset as a folder of CSV for a spreadsheet, and back: only what changed is edited."
EXAMPLE = "cardref tables export sheets --dataset dataset"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("action", choices=("export", "import"), help="write the tables, or bring them back")
    parser.add_argument("dir", metavar="DIR", help="the folder of tables")
    parser.add_argument("--dataset", metavar="DIR", help="the dataset (default: ./dataset)")
    parser.add_argument("--diff", action="store_true", help="import: write nothing, show what would change")


def run(args: argparse.Namespace) -> int:
    """Write the tables, or import them."""
    folder = Path(args.dir)
    if args.action == "export":
        return _export(folder, args.dataset)
    root = root_of(args.dataset)
    result = read_tables(folder, root)
    if args.diff:
        print("".join(change.diff() for change in result.changes), end="")
    else:
        write_changes(root, result.changes)
    print("\n".join(_told(result, written=not args.diff)))
    return 1 if result.findings else 0


def _export(folder: Path, dataset: str | None) -> int:
    root = Path(dataset) if dataset else Path("dataset")
    if dataset is None and not (root / "dataset.yaml").is_file():
        root = home().dataset
        if home().compiled:
            raise CardrefError("the bundled reference is compiled: name a dataset's directory with --dataset")
    files = written(load_tree(root))
    there = [name for name in files if (folder / name).exists()]
    if there:
        said = visible(str(folder / there[0]))
        raise CardrefError(f"{said} exists; nothing is overwritten: name another folder")
    folder.mkdir(parents=True, exist_ok=True)
    write_changes(folder, [Change(name, None, content) for name, content in files.items()])
    tables = count_of(len(files) - 1, "table")
    print(f"{tables} written to {visible(str(folder))}; README.txt says how to edit them")
    return 0


def _told(result: Import, *, written: bool) -> list[str]:
    lines = [
        f"{f.place.path}: row {f.place.line}, column {f.place.column}: {f.severity}: "
        f"{clip(f.message, 300)} [{f.rule}]"
        for f in result.findings
    ]
    verb = "changed" if written else "would be changed"
    said = f"{count_of(len(result.edited), 'cell')} {verb}, {count_of(len(result.added), 'record')} added"
    errors = sum(f.severity is Severity.ERROR for f in result.findings)
    if errors:
        said += f"; {count_of(errors, 'row')} left alone because of what is wrong in them"
    if result.changes and written:
        said += f" in {count_of(len(result.changes), 'file')}; next: `cardref check`"
    return [*lines, said]
