r"""A CSV file as spreadsheet programs write it, read with row numbers as those programs show them.

Comma, semicolon, tab or ``|`` between the cells, UTF-8 or UTF-16, with or without a byte order mark. Another
encoding is refused, since a guess would spoil names without a word.

>>> rows = read_rows("id;note\r\na;\"two\nlines\"\r\n\r\nb;x\r\n".encode(), ("id", "note"))
>>> [(row.number, row.cells) for row in rows]
[(1, ['id', 'note']), (2, ['a', 'two\nlines']), (4, ['b', 'x'])]
>>> letters(1), letters(27)
('A', 'AA')
"""

import csv
import io
from collections.abc import Collection
from pathlib import Path
from typing import Any

from attrs import frozen

from cardref.errors import DatasetError

__all__ = ["Row", "SheetError", "letters", "load_rows", "read_rows"]

MAX_BYTES = 64 << 20
"""The largest table that is read: about a million rows of cards."""


class SheetError(DatasetError):
    """A table that cannot be read, from ``row`` on; ``rule`` says why in a word."""

    def __init__(self, rule: str, row: int, message: str) -> None:
        super().__init__(message)
        self.rule = rule
        self.row = row

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.rule, self.row, self.message)


@frozen
class Row:
    """The cells of a row and its number, from 1, the header's row included."""

    number: int
    cells: list[str]


def letters(number: int) -> str:
    """What a spreadsheet calls the column with this number, from 1."""
    name = ""
    while number > 0:
        number, rest = divmod(number - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def load_rows(path: Path, headers: Collection[str]) -> list[Row]:
    """:func:`read_rows` of a file. Errors: SheetError, also where it cannot be opened."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise SheetError("unreadable-table", 1, "it is larger than 64 MiB: split it in parts")
        data = path.read_bytes()
    except OSError as error:
        raise SheetError("unreadable-table", 1, f"it cannot be read ({error.strerror})") from error
    return read_rows(data, headers)


def read_rows(data: bytes, headers: Collection[str]) -> list[Row]:
    """Every row with something in it, the header first; ``headers`` are the columns there may be, by which
    the separator is known.

    Errors: SheetError.
    """
    text = _text(data)
    first = text.partition("\n")[0].rstrip("\r")
    separator = max(",;\t|", key=lambda sign: sum(_bare(name) in headers for name in first.split(sign)))
    csv.field_size_limit(1 << 20)
    found: list[Row] = []
    number = 0
    # Strictly: a quote that is never closed would make one cell of all the rows below it.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for number, cells in enumerate(reader, 1):
            if any(cell.strip() for cell in cells):
                found.append(Row(number, cells))
    except csv.Error as error:
        message = f"no CSV from here on ({error}): check its quotes"
        raise SheetError("unreadable-table", number + 1, message) from error
    if not found:
        raise SheetError("unreadable-table", 1, "it is empty: save it again, with its header row")
    return found


def _bare(name: str) -> str:
    return name.strip().strip('"').lower()


def _text(data: bytes) -> str:
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        raise SheetError("encoding", row, "it is not UTF-8: save it as `CSV UTF-8`") from error
    if "\0" in text:
        raise SheetError("encoding", 1, "it holds NUL signs: save it as `CSV UTF-8`")
    return text
