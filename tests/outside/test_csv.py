"""Tables are read as RFC 4180 (Y. Shafranovich, 2005) defines the format, rule by rule of its section 2.

The texts are the RFC's own examples, under a header; Python's ``csv`` is the second opinion on random tables.
"""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardref.specimens.table import Table, row_text


def _rows(folder: Path, text: str) -> list[list[str]]:
    path = folder / "mine.csv"
    path.write_bytes(text.encode())
    return [row.cells for row in Table(path, lambda _: True).rows()]


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        # 2.1: each record on a line of its own, ended by CRLF.
        ("h,h,h\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        # 2.2: the last record may or may not have a line end.
        ("h,h,h\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        # 2.4: spaces are part of a field.
        ("h,h,h\r\n aaa,bbb ,ccc\r\n", [[" aaa", "bbb ", "ccc"]]),
        # 2.5: fields may or may not stand in double quotes.
        ('h,h,h\r\n"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        # 2.6: line breaks, double quotes and commas stand in double quotes.
        ('h,h,h\r\n"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        # 2.7: a double quote inside of a field is written twice.
        ('h,h,h\r\n"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
    ],
)
def test_the_rules_of_the_rfc(text: str, rows: list[list[str]], tmp_path: Path) -> None:
    """What the RFC's examples say is what is read (RFC 4180, section 2)."""
    assert _rows(tmp_path, text) == rows


CELLS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=6)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(st.lists(CELLS, min_size=2, max_size=4), max_size=5), separator=st.sampled_from(",;\t"))
def test_what_is_written_reads_back(rows: list[list[str]], separator: str, tmp_path: Path) -> None:
    """Rows written by us are read back by us and by Python's csv alike, whatever stands in them."""
    head = ["h", "i"]
    text = "".join(row_text(row, separator, "\r\n") for row in (head, *rows))
    theirs = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))[1:]
    assert theirs == rows
    assert _rows(tmp_path, text) == [row for row in rows if any(cell.strip() for cell in row)]


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(cells=st.lists(CELLS, min_size=2, max_size=5), separator=st.sampled_from(",;\t"))
def test_a_cell_stands_where_it_is_said_to(cells: list[str], separator: str, tmp_path: Path) -> None:
    """The span of a cell, cut out of the file and read as CSV, is the cell."""
    path = tmp_path / "mine.csv"
    text = row_text(["h", "i"], separator, "\n") + row_text([*cells, "end"], separator, "\n")
    path.write_bytes(text.encode())
    (row,) = Table(path, lambda _: True).rows()
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for at, cell in enumerate(row.cells):
        line, column, end_line, end_column = row.place(at).span
        if line == end_line and "\r" not in cell:
            cut = lines[line - 1][column - 1 : end_column - 1]
            assert (next(csv.reader([cut], delimiter=separator), []) or [""]) == [cell]
