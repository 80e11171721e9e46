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

__all__ = ["KINDS_IN_TABLES", "Records", "at", "rows_of", "written"]

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


Place = tuple[str, Pointer]


class Records:
    """The records of a dataset as they are written, kind by kind; the files of a kind are read once."""

    def __init__(self, loaded: Loaded) -> None:
        self._loaded = loaded
        self._kept: dict[str, list[tuple[Place, dict[str, Any]]]] = {}

    def of(self, kind: str) -> list[tuple[Place, dict[str, Any]]]:
        """``(file, pointer)`` and plain values of every record of a kind."""
        if kind not in self._kept:
            values = ((entry, self._loaded.raw(entry)) for entry in self._loaded.entries[kind])
            self._kept[kind] = [
                ((entry.file.path, entry.pointer), value)
                for entry, value in values
                if isinstance(value, dict)
            ]
        return self._kept[kind]

    def features(self, kind: str) -> tuple[str, ...]:
        """The features that records of a kind use, in the order of the catalogue, unknown ones last."""
        used: set[str] = set()
        for _, record in self.of(kind):
            states = record.get("features")
            used.update(map(str, states) if isinstance(states, dict) else ())
        catalogue = [record.get("id") for _, record in self.of("feature")]
        return tuple(slug for slug in dict.fromkeys([*map(str, catalogue), *sorted(used)]) if slug in used)


def at(record: Any, pointer: Pointer) -> Any:
    """The value inside a record, None where it is absent."""
    for step in pointer:
        if not isinstance(record, dict) or step not in record:
            return None
        record = record[str(step)]
    return record


def rows_of(records: Records, kind: str, table: tuple[Column, ...]) -> Iterator[list[str]]:
    """The rows of a kind's table."""
    for (path, _), record in records.of(kind):
        yield [
            path if column.header == FILE else cell_of(at(record, column.pointer), column.holds)
            for column in table
        ]


def written(loaded: Loaded) -> dict[str, bytes]:
    """Every table by file name, and README.txt. Kinds without records get a table with its header alone."""
    files = {"README.txt": _README.encode()}
    records = Records(loaded)
    for kind in KINDS_IN_TABLES:
        table = columns(kind.name, records.features(kind.name))
        stream = io.StringIO()
        writer = csv.writer(stream, lineterminator="\r\n")
        writer.writerow([column.header for column in table])
        writer.writerows(rows_of(records, kind.name, table))
        files[f"{kind.plural}.csv"] = stream.getvalue().encode("utf-8-sig", "backslashreplace")
    return files
