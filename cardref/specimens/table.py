r"""A CSV table, row by row, with the place of every cell: however long it is, one row is held at a time.

The format is that of RFC 4180, read by Python's own ``csv``: cells in double quotes may hold separators, line
ends and, doubled, quotes. The separator is the one of comma, semicolon and tab under which most headers of
the first row are known; a byte order mark is passed over. What is not CSV is told for its own row, and the
row after it is read again.

>>> import tempfile, pathlib
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.csv"
>>> _ = path.write_bytes(b'\xef\xbb\xbfid;note\r\n7;"two\r\nlines; one cell"\r\n')
>>> table = Table(path, lambda header: header in ("id", "note"))
>>> row, = table.rows()
>>> row.number, row.line, row.cells, str(row.place(1))
(2, 2, ['7', 'two\r\nlines; one cell'], 'mine.csv:2:3')
"""

import csv
from collections import deque
from collections.abc import Callable, Iterator
from io import StringIO, TextIOWrapper
from pathlib import Path
from typing import Final

from attrs import frozen

from cardref.location import Place

__all__ = ["MAX_BYTES", "SEPARATORS", "BadRow", "Row", "Table", "row_text"]

MAX_BYTES: Final = 64 << 20
"""The largest table that is read: some hundred thousand rows."""

SEPARATORS: Final = (",", ";", "\t")

_MOST_BAD: Final = 20
"""After so many rows that are no CSV the rest is not read: each may have cost a long look ahead."""


@frozen
class Row:
    """One row.

    Attributes:
        number: its number as a spreadsheet shows it, from 1; the header is row 1.
        line: the line of the file on which it begins, from 1.
        cells: what it holds, byte values that are not UTF-8 as lone surrogates (PEP 383).
        text: the row as it stands in the file, line end and all.
    """

    number: int
    line: int
    cells: list[str]
    text: str
    path: str
    separator: str

    def place(self, at: int) -> Place:
        """Where the cell ``at`` (from 0) stands, its quotes included; the row's end where there is none."""
        spans = _spans(self.text, self.separator)
        start, end = spans[at] if at < len(spans) else (spans[-1][1], spans[-1][1])
        return Place(self.path, *self._line_and_column(start), *self._line_and_column(end))

    def _line_and_column(self, offset: int) -> tuple[int, int]:
        before = self.text[:offset].replace("\r\n", "\n").replace("\r", "\n")
        return self.line + before.count("\n"), len(before) - before.rfind("\n")


@frozen
class BadRow:
    """A row that is no CSV, and why. ``last``: nothing after it is read."""

    number: int
    line: int
    why: str
    last: bool = False


class _Lines:
    """The lines of a file, those of the row at hand kept."""

    def __init__(self, lines: Iterator[str]) -> None:
        self._lines = lines
        self._again: deque[str] = deque()
        self.taken: list[str] = []

    def __iter__(self) -> "_Lines":
        return self

    def __next__(self) -> str:
        line = self._again.popleft() if self._again else next(self._lines)
        self.taken.append(line)
        return line

    def give_back(self, lines: list[str]) -> None:
        """Have lines come once more."""
        self._again.extendleft(reversed(lines))


class Table:
    """A CSV file.

    ``known`` says whether a header is one that is known; it decides the separator. ``name`` is the path that
    places have, else the file's name.

    Attributes:
        separator: what stands between cells.
        header: the first row.
        line_end: how its lines end.
        bad: rows that were no CSV, as far as :meth:`rows` has come.
    """

    def __init__(self, path: Path, known: Callable[[str], bool], name: str = "") -> None:
        self._path = path
        self._name = name or path.name
        self.bad: list[BadRow] = []
        with self._open() as stream:
            head = next(iter(stream), "")
        self.separator = max(SEPARATORS, key=lambda sign: sum(map(known, _split(head, sign))))
        self.header = Row(1, 1, _split(head, self.separator), head, self._name, self.separator)
        self.line_end = "\r\n" if head.endswith("\r\n") else "\n"

    def _open(self) -> TextIOWrapper:
        return self._path.open(encoding="utf-8-sig", errors="surrogateescape", newline="")

    def rows(self) -> Iterator[Row]:
        """The rows below the header, blank ones left out."""
        self.bad.clear()
        with self._open() as stream:
            lines = _Lines(iter(stream))
            reader = csv.reader(lines, delimiter=self.separator, strict=True)
            number, line = 0, 1
            while True:
                number += 1
                try:
                    cells = next(reader)
                except StopIteration:
                    return
                except csv.Error as error:
                    last = len(self.bad) + 1 >= _MOST_BAD
                    self.bad.append(BadRow(number, line, _why(str(error)), last))
                    if last:
                        return
                    lines.give_back(lines.taken[1:])
                    del lines.taken[1:]
                    cells = []
                text = "".join(lines.taken)
                if number > 1 and any(cell.strip() for cell in cells):
                    yield Row(number, line, cells, text, self._name, self.separator)
                line += len(lines.taken)
                lines.taken.clear()


def _split(line: str, separator: str) -> list[str]:
    """The cells of one line; [] where it is no CSV."""
    try:
        return next(csv.reader([line], delimiter=separator), [])
    except csv.Error:
        return []


def _why(error: str) -> str:
    if "expected after" in error:
        return "text stands behind a closing quote; a quote inside of a cell is written twice"
    if "unexpected end" in error or "larger than" in error:
        return "a quote is opened here and not closed"
    return f"it is no CSV ({error})"


def _spans(text: str, separator: str) -> list[tuple[int, int]]:
    """Where the cells of a row that was read stand in its text, quotes included."""
    found = []
    at, size = 0, len(text)
    while True:
        start = at
        if text[at : at + 1] == '"':
            at += 1
            while at < size and (text[at] != '"' or text[at : at + 2] == '""'):
                at += 2 if text[at] == '"' else 1
            at += 1
        while at < size and text[at] != separator and text[at] not in "\r\n":
            at += 1
        found.append((start, at))
        if at >= size or text[at] != separator:
            return found
        at += 1


def row_text(cells: list[str], separator: str, line_end: str) -> str:
    r"""A row as it is written to a file (RFC 4180), line end and all.

    >>> row_text(["a", "say 'b'", "c;d"], ";", "\r\n")
    'a;say \'b\';"c;d"\r\n'
    """
    stream = StringIO(newline="")
    # Python puts a cell in quotes for the signs of the line end that it writes, so it has to write both.
    csv.writer(stream, delimiter=separator, lineterminator="\r\n").writerow(cells)
    return stream.getvalue().removesuffix("\r\n") + line_end
