"""A dataset as a folder of CSV: one table a kind, with a note on how to read it.

>>> from cardref.storage.bundle import home
>>> from cardref.storage.loader import load_tree
>>> loaded = load_tree(home().dataset)
>>> sorted(written(loaded))[:3]
['README.txt', 'backs.csv', 'cards.csv']
"""

import csv
import io
from collections.abc import Iterator
from typing import Any

from cardref.location import Pointer
from cardref.model.kinds import KINDS
from cardref.storage.loader import Loaded
from cardref.tables.cells import cell_of
from cardref.tables.columns import FILE, Column, columns

__all__ = ["KINDS_IN_TABLES", "at", "features_in", "records_of", "rows_of", "written"]

KINDS_IN_TABLES = tuple(kind for kind in KINDS.values() if kind.name not in ("dataset", "waiver"))
"""Kinds that have a table: not the dataset itself, and not waivers, which have no id to find them by."""

_README = """This folder holds a cardref dataset as tables, one for each kind of record.

Open them in any spreadsheet program as CSV, UTF-8, separated by commas. Leave the header row as it is.
- `file` says where a record stands, `id` which one it is. For a new record copy `file` from its neighbours
  and give it an id of its own. A record that is left out here stays in the dataset.
- Words in one cell are separated by `; `. What stands in [ ] or { } is YAML on one line.
- An apostrophe in front keeps a spreadsheet program from changing the cell (031 into 31): leave it there.
Bring it back with: cardref tables import FOLDER --dataset DIR
"""


def features_in(loaded: Loaded, kind: str) -> tuple[str, ...]:
    """The features that records of a kind use, in the order of the catalogue, unknown ones last."""
    used: set[str] = set()
    for _, record in records_of(loaded, kind):
        states = record.get("features")
        used.update(map(str, states) if isinstance(states, dict) else ())
    catalogue = [record.get("id") for _, record in records_of(loaded, "feature")]
    return tuple(slug for slug in dict.fromkeys([*map(str, catalogue), *sorted(used)]) if slug in used)


def records_of(loaded: Loaded, kind: str) -> Iterator[tuple[tuple[str, Pointer], dict[str, Any]]]:
    """``(file, pointer)`` and plain values, as written, of every record of a kind."""
    for entry in loaded.entries[kind]:
        value = loaded.raw(entry)
        if isinstance(value, dict):
            yield (entry.file.path, entry.pointer), value


def at(record: Any, pointer: Pointer) -> Any:
    """The value inside a record, None where it is absent."""
    for step in pointer:
        if not isinstance(record, dict) or step not in record:
            return None
        record = record[str(step)]
    return record


def rows_of(loaded: Loaded, kind: str, table: tuple[Column, ...]) -> Iterator[list[str]]:
    """The rows of a kind's table."""
    for (path, _), record in records_of(loaded, kind):
        yield [
            path if column.header == FILE else cell_of(at(record, column.pointer), column.holds)
            for column in table
        ]


def written(loaded: Loaded) -> dict[str, bytes]:
    """Every table by file name, and README.txt. Kinds without records get a table with its header alone."""
    files = {"README.txt": _README.encode()}
    for kind in KINDS_IN_TABLES:
        table = columns(kind.name, features_in(loaded, kind.name))
        stream = io.StringIO()
        writer = csv.writer(stream, lineterminator="\r\n")
        writer.writerow([column.header for column in table])
        writer.writerows(rows_of(loaded, kind.name, table))
        files[f"{kind.plural}.csv"] = stream.getvalue().encode("utf-8-sig", "backslashreplace")
    return files
