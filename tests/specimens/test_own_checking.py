"""Bad input in a user's own files: each fault is told once, at its place; nothing is lost or overwritten."""

import datetime as dt
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardref.errors import DatasetError
from cardref.finding import Edit, Finding, Fix, Report, Severity
from cardref.location import Place
from cardref.specimens.checking import MOST_FINDINGS, check_own
from cardref.specimens.collection import read_collection
from cardref.specimens.mending import _apart, mend_own
from cardref.specimens.table import row_text
from tests.specimens.made import BACK, CARD, FIGURE, reference, write

DAY = dt.date(2026, 11, 25)


def _found(folder: Path, text: str | bytes, name: str = "mine.csv") -> Report:
    return check_own([write(folder, name, text)], reference(), today=DAY)


def _only(report: Report) -> Finding:
    (finding,) = report.findings
    return finding


@pytest.mark.parametrize(
    ("cells", "rule", "says"),
    [
        ({"price": '"12,50"', "currency": "EUR"}, "decimal-comma", "did you mean 12.50 EUR?"),
        ({"price": '"1,234"', "currency": "EUR"}, "decimal-comma", "1.234 EUR or 1234 EUR"),
        ({"price": "12.50"}, "unknown-currency", "has no currency"),
        ({"price": "$12"}, "unknown-currency", "12 USD or 12 CAD or 12 AUD"),
        ({"price": "12", "currency": "EURO"}, "unknown-currency", "did you mean 12 EUR?"),
        ({"price": "12", "currency": "QQQ"}, "unknown-currency", "there is no currency 'QQQ'"),
        ({"price": "cheap", "currency": "EUR"}, "ill-formed", "'cheap EUR' is no price"),
        ({"date": "3/4/24"}, "ambiguous-date", "2024-04-03 or 2024-03-04"),
        ({"date": "13/4/24"}, "ill-formed", "2024-04-13"),
        ({"date": "Mar-82"}, "ill-formed", "1982-03"),
        ({"date": "long ago"}, "ill-formed", "must be a date in EDTF"),
        ({"date": "2027"}, "future-date", "still to come"),
        ({"status": "owed"}, "wrong-value", "did you mean owned?"),
        ({"trade": "perhaps"}, "wrong-type", "neither yes nor no"),
        ({"bubble": "dent"}, "wrong-value", "did you mean dented?"),
        ({"bubble colour": "strow"}, "unknown-state", "did you mean straw?"),
        ({"defects": "bubble"}, "wrong-type", "must be a list"),
        ({"defects": "bubbel: dent"}, "wrong-value", "did you mean bubble?"),
        ({"readings": "gulls"}, "wrong-type", "must be a mapping"),
        ({"readings": "gull=3"}, "unknown-link", "did you mean gulls?"),
        ({"readings": "gulls=many"}, "unknown-state", "write a whole number"),
        ({"readings": "gulls=5"}, "reading-differs", "has 3"),
        ({"figure": "lamp-divr"}, "unknown-link", f"did you mean {FIGURE}?"),
        ({"figure": "Lamp Diver"}, "name-for-id", f"write its id {FIGURE}"),
        ({"back": "quay-marl 25B"}, "name-for-id", f"write its id {BACK}"),
        ({"back": "12A"}, "unknown-link", "may mean"),
        ({"back": "tidewrack/quay-marl/b-018"}, "parts-disagree", "one of the two is a slip"),
        ({"figure": "tidewrack/figure/fog-piper"}, "parts-disagree", "Fog Piper"),
        ({"designation": "25C"}, "relettered-back", "25B today"),
        ({"designation": "25c"}, "ill-formed", "a designation such as 25B"),
        ({"card": "tidewrack/quay-marl/c-0201"}, "retired-link", "c-0200 and tidewrack/quay-marl/c-0202"),
        ({"card": BACK}, "wrong-kind-link", "is a back, and a card is wanted"),
        ({"card": "tidewrack/quay-marl/c-O213"}, "unknown-link", f"did you mean {CARD}"),
        ({"id": "Box 1"}, "ill-formed", "a short name"),
        ({"note": "=1+1"}, "formula-cell", "run as a formula"),
        ({"note": "@sum"}, "formula-cell", "run as a formula"),
        ({"note": "a\x1b[31mb"}, "control-character", "column"),
    ],
)
def test_a_fault_is_told_once_at_its_row_and_column(
    cells: dict[str, str], rule: str, says: str, tmp_path: Path
) -> None:
    """One bad cell is one finding, with what is wrong, at the line and the cell, in words as well."""
    row = {"id": "1", "card": CARD, **cells}
    report = _found(tmp_path, ",".join(row) + "\n" + ",".join(row.values()) + "\n")
    finding = _only(report)
    assert (finding.rule, finding.place.line) == (rule, 2)
    assert says in finding.message
    assert finding.message.startswith("row 2, column ")
    line = (tmp_path / "mine.csv").read_text().splitlines()[1]
    at_fault = line[finding.place.column - 1 : finding.place.end_column - 1]
    assert at_fault in cells.values()


@pytest.mark.parametrize(
    ("text", "rule", "line"),
    [
        (b"", "empty-file", 0),
        (b"\n\n", "empty-file", 0),
        (b"id,card\n1\n", "nothing-named", 2),
        ("id,card\n1,x\n".encode("utf-16"), "encoding", 0),
        (f"id,card,note\n1,{CARD},caf\xe9\n".encode("latin-1"), "encoding", 2),
        (f'id,card\n1,{CARD}\n2,"{CARD}\n3,{CARD}\n'.encode(), "csv-syntax", 3),
        (f"id,card\n1,{CARD}\n1,{CARD}\n".encode(), "duplicate-id", 3),
        (f"id,card,card\n1,{CARD},{CARD}\n".encode(), "repeated-column", 1),
        (f"card\n{CARD}\n".encode(), "missing-column", 1),
        (f"id,card,Noet\n1,{CARD},x\n".encode(), "unknown-column", 1),
        (f"id,card,note\n1,{CARD},a,b\n".encode(), "row-length", 2),
        (f"id,card\n,{CARD}\n".encode(), "missing-key", 2),
    ],
)
def test_a_fault_of_the_table_is_told(text: bytes, rule: str, line: int, tmp_path: Path) -> None:
    """What is wrong with a table as a whole, or with a row of it, is one finding."""
    finding = _only(_found(tmp_path, text))
    assert (finding.rule, finding.place.line) == (rule, line)


@pytest.mark.parametrize(
    ("text", "rule", "place"),
    [
        ("specimen:\n  - id: s\n", "unknown-key", (1, 1)),
        ("specimens: none\n", "wrong-type", (1, 12)),
        ("- id: s\n", "wrong-type", (1, 1)),
        ("specimens:\n\t- id: s\n", "tab", (2, 1)),
        (f"specimens:\n  - id: s\n    card: {CARD}\n    date: 2024-04-03\n", "written-form", (4, 11)),
        (f"specimens:\n  - id: s\n    card: {CARD}\n    price: 12.50\n", "unknown-currency", (4, 12)),
        (f"specimens:\n  - id: s\n    card: {CARD}\n    price: 12,50 EUR\n", "decimal-comma", (4, 12)),
        (f"specimens:\n  - id: 7\n    card: {CARD}\n", "written-form", (2, 9)),
        (f"specimens:\n  - id: s\n    card: {CARD}\n    note: True\n", "written-form", (4, 11)),
        (f"specimens:\n  - id: s\n    cart: {CARD}\n    figure: {FIGURE}\n", "unknown-key", (3, 5)),
        (f"specimens:\n  - id: s\n    card: {CARD}\n    readings: {{gull: 3}}\n", "unknown-link", (4, 16)),
        (f"sales:\n  - id: v\n    card: {CARD}\n    price: 5 EUR\n", "missing-key", (2, 5)),
        (f"wants:\n  - id: w\n    card: {CARD}\n  - id: w\n    card: {CARD}\n", "duplicate-id", (4, 9)),
    ],
)
def test_a_fault_in_yaml_is_told_at_line_and_column(
    text: str, rule: str, place: tuple[int, int], tmp_path: Path
) -> None:
    """In YAML a finding stands at the line and column of what is wrong."""
    finding = _only(_found(tmp_path, text, "mine.yaml"))
    assert (finding.rule, finding.place.line, finding.place.column) == (rule, *place)


def test_both_kinds_of_file_say_the_same(tmp_path: Path) -> None:
    """One specimen as a row and as YAML gives one record."""
    head = (
        "id;Status;card;readings;Hang-Tab;defects;price;currency;from;date;for trade;photos;grade;graded by"
    )
    row = f's;Owned;{CARD};"gulls=3; visor=square|round";;;;;;;;;;'
    table = write(tmp_path, "a.csv", f"{head}\r\n{row}\r\n")
    text = (
        f"specimens:\n  - id: s\n    status: owned\n    card: {CARD}\n"
        "    readings: {gulls: 3, visor: [square, round]}\n"
    )
    both = [read_collection([path], reference()) for path in (table, write(tmp_path, "a.yaml", text))]
    assert both[0].specimens == both[1].specimens
    assert both[0].left_out == both[1].left_out == 0


@pytest.mark.parametrize("name", ["mine.csv", "mine.yaml"])
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=400))
def test_any_bytes_are_findings(name: str, data: bytes, tmp_path: Path) -> None:
    """Whatever bytes a file holds, they are checked without an error, and no finding breaks a line."""
    report = _found(tmp_path, data, name)
    assert all("\n" not in finding.message and "\x1b" not in finding.message for finding in report.findings)


CELLS = st.sampled_from(
    ["", "1", CARD, BACK, FIGURE, "quay-marl 25B", "12,50", "EUR", "$5", "3/4/24", "=1",
     "a;b", 'say "x"', "two\nlines",
     "gulls=3", "whole", "é", "\x00", "'", "yes"]
)  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    columns=st.lists(
        st.sampled_from("id card back figure price currency date note readings bubble x".split()),
        min_size=1,
        max_size=6,
    ),
    rows=st.lists(st.lists(CELLS, max_size=7), max_size=4),
    separator=st.sampled_from(",;\t"),
    data=st.data(),
)
def test_places_are_those_of_the_cells(
    columns: list[str], rows: list[list[str]], separator: str, data: st.DataObject, tmp_path: Path
) -> None:
    """Every finding of a table lies inside of the file, and mending twice is mending once."""
    ends = st.sampled_from(["\n", "\r\n"])
    text = "".join(row_text(row, separator, data.draw(ends)) for row in (columns, *rows))
    path = write(tmp_path, "mine.csv", text)
    lines = text.replace("\r\n", "\n").split("\n")
    for finding in check_own([path], reference(), today=DAY).findings:
        line, column, end_line, end_column = finding.place.span
        assert line <= end_line <= len(lines)
        assert column <= len(lines[line - 1]) + 1
        assert end_column <= len(lines[end_line - 1]) + 1
    once = mend_own([path], reference())
    for change in once.changes:
        assert change.after is not None
        path.write_bytes(change.after)
    assert mend_own([path], reference()).changes == ()


def test_mending_leaves_everything_else_as_it_is(tmp_path: Path) -> None:
    """Only cells at fault change: byte order mark, separators, line ends, quotes and other faults stay."""
    text = (
        b"\xef\xbb\xbfid;card;price;currency;date;note\r\n"
        + f'1;{CARD};12,50;EUR;13/4/24;"says ""hi"""\r\n2;{CARD};;;3/4/24;x\r\n'.encode()
    )
    path = write(tmp_path, "mine.csv", text)
    done = mend_own([path], reference())
    assert done.changes[0].after == text.replace(b"12,50", b"12.50").replace(b"13/4/24", b"2024-04-13")
    assert [finding.rule for finding in done.after.findings] == ["ambiguous-date"]


def test_two_files_share_their_ids(tmp_path: Path) -> None:
    """An id that another file of the collection has is told, with both places."""
    one = write(tmp_path, "a.csv", f"id,card\n1,{CARD}\n")
    two = write(tmp_path, "b.yaml", f'specimens:\n  - id: "1"\n    card: {CARD}\n')
    finding = _only(check_own([one, two], reference()))
    assert finding.rule == "duplicate-id"
    assert finding.related[0].place.path == one.as_posix()


@pytest.mark.parametrize("made", ["absent", "folder", "pipe"])
def test_what_is_no_file_is_refused(made: str, tmp_path: Path) -> None:
    """A missing file, a folder and a pipe are refused with a word, and none is waited for."""
    path = tmp_path / "mine.csv"
    if made == "folder":
        path.mkdir()
    elif made == "pipe":
        os.mkfifo(path)
    with pytest.raises(DatasetError, match=r"does not exist|is no regular file"):
        check_own([path], reference())


def test_findings_are_capped_and_the_rest_is_not_called_clean(tmp_path: Path) -> None:
    """A table with a fault in every row gives so many findings, says that it stopped, and is not clean."""
    rows = "".join(f"{n},{CARD},3/4/24\n" for n in range(MOST_FINDINGS + 500))
    report = _found(tmp_path, f"id,card,date\n{rows}")
    assert len(report.findings) == MOST_FINDINGS
    assert len(report.skipped) == 1
    assert not report.clean


def test_unclosed_quotes_in_every_row_end(tmp_path: Path) -> None:
    """A table of nothing but unclosed quotes is given up after some rows, and that is said."""
    report = _found(tmp_path, "id,card,note\n" + '1,x,"a\n' * 5001)
    assert len([one for one in report.findings if one.rule == "csv-syntax"]) <= 20


@pytest.mark.slow
def test_a_hundred_thousand_rows_are_checked_in_bounded_memory(tmp_path: Path) -> None:
    """100,000 rows are all looked at, the last one too; the ids are all that is kept of them."""
    rows = "".join(f"{n},{CARD},12.50 EUR,2024-04-03,gulls=3\n" for n in range(100_000))
    path = write(tmp_path, "mine.csv", f"id,card,price,date,readings\n{rows}last,{CARD},12.50 EURO,,\n")
    script = (
        "import resource, sys\n"
        "from cardref.reference import load\n"
        "from cardref.specimens.checking import check_own\n"
        "ref = load(); check_own([], ref)\n"
        "before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "report = check_own([sys.argv[1]], ref)\n"
        "after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "print(report.records, [finding.place.line for finding in report.findings], after - before)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True, timeout=300
    )
    records, line, kib = done.stdout.split()
    assert (int(records), line) == (100_001, "[100002]")
    scale = 1 if sys.platform != "darwin" else 1024  # there the unit is a byte
    assert int(kib) / scale < 80 * 1024, "the ids and where they stand are all that is kept"


def test_a_formula_stays_text_all_the_way(tmp_path: Path) -> None:
    """A formula is a note like any other, and a table that is written guards it."""
    path = write(tmp_path, "mine.csv", f"id,card,note\n1,{CARD},=1+1\n")
    assert read_collection([path], reference()).specimens[0].record.note == "=1+1"
    (change,) = mend_own([path], reference()).changes
    path.write_bytes(change.after or b"")
    assert b"'=1+1" in path.read_bytes()
    assert read_collection([path], reference()).specimens[0].record.note == "=1+1"


def test_rows_behind_one_that_cannot_be_used_are_read(tmp_path: Path) -> None:
    """What is left out is counted, and nothing else is left out with it."""
    text = f"specimens:\n  - {{id: a, price: 3}}\n  - {{id: b, card: {CARD}}}\n"
    mine = read_collection([write(tmp_path, "a.yaml", text)], reference())
    assert ([held.record.id for held in mine.specimens], mine.left_out) == (["b"], 1)


def test_fixes_that_lie_apart_are_all_made_in_whatever_order_they_come() -> None:
    """Only what overlaps waits for the next time."""

    def at(column: int, end: int) -> Finding:
        place = Place("mine.csv", 2, column, 2, end)
        return Finding(
            rule="r",
            severity=Severity.ERROR,
            message="m",
            place=place,
            fix=Fix("f", True, (Edit(place, "x"),)),
        )

    late, early, across = at(8, 9), at(2, 4), at(3, 9)
    assert _apart([late, early, across]) == [late, early]
