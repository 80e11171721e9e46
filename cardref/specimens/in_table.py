r"""A user's own file as a table: one specimen a row, the headers of its columns in the first.

>>> import tempfile, pathlib
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.csv"
>>> _ = path.write_text("id,price\n7,\"12,50\"\n")
>>> entry, = TableFile(path).entries()
>>> entry.raw, entry.said(("price",)), str(entry.place(("price",)))
({'id': '7', 'price': '12,50'}, 'row 2, column B (price)', 'mine.csv:2:3')
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from attrs import frozen

from cardref.errors import DatasetError
from cardref.finding import Edit, Fix, Related
from cardref.location import Place, Pointer
from cardref.specimens.columns import COLUMNS, CURRENCY, Column, Reader, column_named
from cardref.specimens.entry import Entry, OwnFile, id_of, look_at
from cardref.specimens.table import MAX_BYTES, Row, Table, row_text
from cardref.storage.cells import harmless, is_formula
from cardref.text import closest, quoted

__all__ = ["TableFile"]

_UNSEEN: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff]")
_NOT_UTF8: Final = re.compile("[\ud800-\udfff]")
_EITHER: Final = re.compile(f"{_UNSEEN.pattern}|{_NOT_UTF8.pattern}")


class TableFile(OwnFile):
    """A user's file as CSV. Read row by row.

    Errors: DatasetError where there is no file that can be read.
    """

    def __init__(self, path: Path, name: str = "") -> None:
        super().__init__(path, name)
        self.table: Table | None = None
        self.columns: list[Column | None] = []
        self._open()

    def entries(self) -> Iterator[Entry]:
        """Its records in order, well-formed or not."""
        if self.table is not None:
            yield from self._rows(self.table)

    def _open(self) -> None:
        found = look_at(self.path)
        try:
            with self.path.open("rb") as stream:
                begins = stream.read(2)
        except OSError as error:
            raise DatasetError(f"{quoted(str(self.path))} cannot be read ({error.strerror})") from error
        if found.st_size > MAX_BYTES:
            message = f"the table has {found.st_size} bytes; the most is {MAX_BYTES}: split it in parts"
            self._refuse("file-size", message)
        elif begins in (b"\xff\xfe", b"\xfe\xff"):
            self._refuse("encoding", "it is UTF-16, not UTF-8: save it as `CSV UTF-8`")
        else:
            self._read_header()

    def _refuse(self, rule: str, message: str) -> None:
        self.readable = False
        self.fault(rule, message, Place(self.name))

    def _read_header(self) -> None:
        table = Table(self.path, lambda header: column_named(header) is not None, self.name)
        head = table.header
        if not any(cell.strip() for cell in head.cells):
            self._refuse("empty-file", "the first row is empty: it must hold the headers of the columns")
            return
        self.table = table
        seen: dict[str, int] = {}
        columns: list[Column | None] = []
        unknown: list[tuple[int, str]] = []
        for at, cell in enumerate(head.cells):
            column = column_named(cell)
            columns.append(column)
            if column is None:
                if cell.strip():
                    unknown.append((at, cell.strip()))
            elif column.header in seen:
                columns[-1] = None
                message = (
                    f"the column {column.header} stands here and in column {_letters(seen[column.header])}: "
                    "only the first is read; put both into one"
                )
                related = (Related(head.place(seen[column.header]), "the other one"),)
                self.fault("repeated-column", message, head.place(at), column.header, related=related)
            else:
                seen[column.header] = at
        self.columns = columns
        self._reader = Reader(columns)
        self._unknown_columns(head, unknown, seen)
        self._has_ids = "id" in seen
        if not self._has_ids:
            # Without ids no finding, trade or contribution could name its specimen when rows move.
            message = (
                "there is no column id: give each specimen a short name that stays, such as 1, 2, 3 down the "
                "first column"
            )
            self.fault("missing-column", message, head.place(0), "id")

    def _unknown_columns(self, head: Row, unknown: list[tuple[int, str]], seen: dict[str, int]) -> None:
        free = [column.header for column in COLUMNS if column.header not in seen]
        for at, name in unknown:
            plain = name.lower().replace("_", " ")
            near = closest(plain, free, 1)
            hint = f"did you mean {near[0]}?" if near else f"the columns are {', '.join(free)}"
            place = head.place(at)
            fix = Fix(f"write {near[0]}", False, (Edit(place, near[0]),)) if near else None
            message = f"there is no column {quoted(name)}, so it is not read; {hint}"
            self.fault("unknown-column", message, place, name, fix=fix)

    def _rows(self, table: Table) -> Iterator[Entry]:
        width = len(table.header.cells)
        told = 0
        for row in table.rows():
            told = self._bad_rows(table, told)
            if len(row.cells) > width and any(cell.strip() for cell in row.cells[width:]):
                message = (
                    f"row {row.number} has {len(row.cells)} cells under {width} columns: a text that holds "
                    f"{_sign(table.separator)} must stand in double quotes"
                )
                self.fault("row-length", message, row.place(width), str(len(row.cells)))
            if _EITHER.search(row.text):
                self._signs(row)
            raw = self._reader.raw(row.cells)
            if not self._has_ids:
                raw["id"] = f"row-{row.number}"  # its absence is told once, and the rest is looked at
            yield _TableRow(row, raw, self.columns)
        self._bad_rows(table, told)

    def _bad_rows(self, table: Table, told: int) -> int:
        for bad in table.bad[told:]:
            rest = " Nothing after it is read." if bad.last else ""
            message = f"row {bad.number} cannot be read: {bad.why}.{rest}"
            self.fault("csv-syntax", message, Place(self.name, bad.line, 1, bad.line, 2), bad.why)
        return len(table.bad)

    def _signs(self, row: Row) -> None:
        for at, cell in enumerate(row.cells):
            for rule, wanted, what in (
                ("encoding", _NOT_UTF8, "is not UTF-8: save the table as `CSV UTF-8`"),
                ("control-character", _UNSEEN, "holds a control character: remove it"),
            ):
                found = wanted.search(cell)
                if found:
                    message = f"row {row.number}, column {_letters(at)}: {quoted(cell)} {what}"
                    self.fault(rule, message, row.place(at), found.group())


def _sign(separator: str) -> str:
    return {",": "a comma", ";": "a semicolon"}.get(separator, "a tab")


def _letters(at: int) -> str:
    """A column as a spreadsheet calls it.

    >>> _letters(0), _letters(25), _letters(26)
    ('A', 'Z', 'AA')
    """
    name = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


@frozen
class _TableRow:
    """A row of a table."""

    row: Row
    raw: dict[str, Any]
    columns: list[Column | None]

    @property
    def kind(self) -> str:
        return "specimen"

    @property
    def id(self) -> str:
        return id_of(self.raw)

    def _at(self, pointer: Pointer) -> int:
        """The cell that holds the value; -1 where none does. A currency may have a cell of its own."""
        if pointer == ("price", "currency") and self.currency_at() >= 0:
            return self.currency_at()
        return next(
            (
                at
                for at, column in enumerate(self.columns)
                if column is not None
                and column is not CURRENCY
                and pointer
                and column.pointer == pointer[: len(column.pointer)]
            ),
            -1,
        )

    def currency_at(self) -> int:
        """The cell that holds the currency apart from the price; -1 where none does."""
        at = next((at for at, column in enumerate(self.columns) if column is CURRENCY), -1)
        return at if 0 <= at < len(self.row.cells) and self.row.cells[at].strip() else -1

    def start(self) -> Place:
        return Place(self.row.path, self.row.line, 1, self.row.line, 2)

    def place(self, pointer: Pointer, *, on_key: bool = False) -> Place:  # noqa: ARG002 - cells have no key
        return self.row.place(max(0, self._at(pointer)))

    def said(self, pointer: Pointer) -> str:
        at = self._at(pointer)
        if at < 0:
            return f"row {self.row.number}"
        column = self.columns[at]
        header = f" ({column.header})" if column is not None else ""
        return f"row {self.row.number}, column {_letters(at)}{header}"

    def edits(self, pointer: Pointer, text: str, *, on_key: bool = False) -> tuple[Edit, ...]:
        at = self._at(pointer)
        column = self.columns[at] if at >= 0 else None
        if on_key or column is None or len(pointer) > len(column.pointer):
            return ()
        if pointer == ("price",) and self.currency_at() >= 0:
            amount, _, code = text.partition(" ")
            if self.row.cells[self.currency_at()].strip() == code:
                return self._edit(at, amount)
            return () if self.row.cells[at].strip() != amount else self._edit(self.currency_at(), code)
        return self._edit(at, text)

    def _edit(self, at: int, text: str) -> tuple[Edit, ...]:
        cell = row_text([harmless(text)], self.row.separator, "")
        return (Edit(self.row.place(at), cell),)

    def formulas(self) -> Iterator[tuple[Pointer, Place, str, str]]:
        for at, cell in enumerate(self.row.cells):
            if is_formula(cell):
                column = self.columns[at] if at < len(self.columns) else None
                pointer = column.pointer if column is not None else ()
                header = f" ({column.header})" if column is not None else ""
                where = f"row {self.row.number}, column {_letters(at)}{header}"
                yield pointer, self.row.place(at), where, cell
