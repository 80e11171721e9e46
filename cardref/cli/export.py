"""``cardref export FORMAT DIR``: the reference for other tools."""

import argparse
import json
from pathlib import Path

from cardref.cli.common import add_dataset, open_reference
from cardref.cli.schemas import published
from cardref.cli.writing import finish_first
from cardref.errors import CardrefError
from cardref.export.as_json import as_json, schema
from cardref.export.as_package import as_package
from cardref.export.as_sqlite import write_sqlite
from cardref.index import Index
from cardref.storage.atomic import Change, write_changes
from cardref.text import visible

SUMMARY = "Export the dataset as a data package, an SQLite database, one JSON file, or the JSON Schemas."
EXAMPLE = "cardref export sqlite exported"

_FORMATS = ("datapackage", "sqlite", "json", "schemas")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("format", choices=_FORMATS, metavar="FORMAT", help=", ".join(_FORMATS))
    parser.add_argument("dir", metavar="DIR", help="where to write; made if it is not there")
    add_dataset(parser)


def run(args: argparse.Namespace) -> int:
    """Write the files and name them."""
    folder = Path(args.dir)
    index = open_reference(args).index
    if folder.exists() and not folder.is_dir():
        raise CardrefError(f"{visible(args.dir)} is a file: name a directory")
    if (folder / "dataset.yaml").exists():
        raise CardrefError(
            f"{visible(args.dir)} is a dataset, which holds no file but its own: name another directory"
        )
    for name in _write(args.format, index, folder):
        print(visible(str(name)))
    return 0


def _write(form: str, index: Index, folder: Path) -> list[Path]:
    if form == "sqlite":
        folder.mkdir(parents=True, exist_ok=True)
        target = folder / "cardref.sqlite"
        write_sqlite(index, target)
        return [target]
    finish_first(folder)
    files = _files(form, index)
    for name in files:
        if (folder / name).exists():
            said = visible(str(folder / name))
            raise CardrefError(f"{said} exists; nothing is overwritten: name another directory")
    for name in files:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
    write_changes(folder, [Change(name, None, content) for name, content in files.items()])
    return [folder / name for name in files]


def _files(form: str, index: Index) -> dict[str, bytes]:
    if form == "datapackage":
        return as_package(index)
    if form == "json":
        described = json.dumps(schema(), ensure_ascii=False, indent=1).encode() + b"\n"
        return {"cardref.json": as_json(index), "cardref.schema.json": described}
    return {name: text.encode() for name, text in published().items()}
