"""Tables: the dataset goes out and comes back unchanged; what a spreadsheet changed is the smallest edit."""

import csv
import io
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import cardref
from cardref.checks.sample import write_sample
from cardref.cli import main
from cardref.errors import DatasetError
from cardref.finding import Severity
from cardref.starting.start import Beginning, start
from cardref.storage.atomic import write_changes
from cardref.storage.loader import load_tree
from cardref.tables.cells import (
    FLAG,
    LIST,
    NUMBER,
    TEXT,
    YAML,
    cell_of,
    guarded,
    is_eaten,
    unguarded,
    value_of,
)
from cardref.tables.reading import read_tables
from cardref.tables.work import Import
from cardref.tables.writing import written

DATASET = Path(__file__).parents[2] / "dataset"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A copy of the bundled dataset."""
    return Path(shutil.copytree(DATASET, tmp_path / "data"))


@pytest.fixture(scope="module")
def exported() -> dict[str, bytes]:
    """The tables of the bundled dataset."""
    return written(load_tree(DATASET))


@pytest.fixture
def folder(exported: dict[str, bytes], tmp_path: Path) -> Path:
    """A folder with these tables."""
    folder = tmp_path / "sheets"
    folder.mkdir()
    for name, content in exported.items():
        (folder / name).write_bytes(content)
    return folder


Rows = list[dict[str, str]]


def _change(folder: Path, name: str, change: Callable[[Rows], object]) -> None:
    path = folder / name
    rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))
    head = list(rows[0])
    change(rows)
    stream = io.StringIO()
    writer = csv.DictWriter(stream, head, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    path.write_text(stream.getvalue(), encoding="utf-8", newline="")


def _row(rows: Rows, file: str, name: str) -> dict[str, str]:
    return next(row for row in rows if row["id"] == name and file in row["file"])


def _back(rows: Rows) -> dict[str, str]:
    return _row(rows, "tidewrack/backs/quay-marl", "b-017")


def _import(folder: Path, root: Path) -> Import:
    result = read_tables(folder, root)
    write_changes(root, result.changes)
    return result


def _text(root: Path) -> dict[str, str]:
    return {
        p.relative_to(root).as_posix(): p.read_text(encoding="utf-8") for p in sorted(root.rglob("*.yaml"))
    }


def test_a_round_trip_changes_no_byte(folder: Path, root: Path) -> None:
    """Exported and imported without a change, every file is what it was."""
    before = _text(root)
    result = _import(folder, root)
    assert (result.changes, result.findings) == ((), ())
    assert _text(root) == before


def test_one_changed_cell_is_one_changed_line(folder: Path, root: Path) -> None:
    """Everything else keeps its text and comments."""
    before = _text(root)
    _change(folder, "backs.csv", lambda rows: _back(rows).update(released="1982-04"))
    result = _import(folder, root)
    assert result.edited == ("back b-017: released",)
    after = _text(root)
    (path,) = [path for path in after if after[path] != before[path]]
    old, new = before[path].splitlines(), after[path].splitlines()
    assert [pair for pair in zip(old, new, strict=True) if pair[0] != pair[1]] == [
        ('    released: "1982-03"', '    released: "1982-04"')
    ]


@pytest.mark.parametrize(
    ("header", "cell", "expected"),
    [
        ("note", "Seen with a shorter rope: 3.5 mm, not 4", "Seen with a shorter rope: 3.5 mm, not 4"),
        ("languages", "en; fr", ["en", "fr"]),
        ("count", "26", 26),
        ("features.gulls", "4", ("4",)),
        ("features.gulls", "", None),
        ("after", "", None),
        ("concordance", "", None),
        ("pictures.plus", "lamp-diver; fog-piper", ["lamp-diver", "fog-piper"]),
        ("concordance", '[{reference: skerry-list, designation: "25B"}]', [{"reference": "skerry-list"}]),
    ],
)
def test_every_sort_of_cell_can_be_changed(
    folder: Path, root: Path, header: str, cell: str, expected: Any
) -> None:
    """Texts, numbers, lists, feature states, parts of nested records, and taking a value out."""
    before = cardref.load(root).back("tidewrack/quay-marl/b-017")
    _change(folder, "backs.csv", lambda rows: _back(rows).update({header: cell}))
    result = _import(folder, root)
    assert not result.findings
    back: Any = cardref.load(root).back("tidewrack/quay-marl/b-017")
    if header == "note":
        assert back.note == expected
    elif header == "languages":
        assert list(back.languages) == expected
    elif header == "count":
        assert back.count == expected
    elif header == "features.gulls":
        others = {name: states for name, states in before.features.items() if name != "gulls"}
        assert back.features == (others if expected is None else {**others, "gulls": expected})
    elif header == "after":
        assert back.after == ""
    elif header == "pictures.plus":
        assert [figure.rpartition("/")[2] for figure in back.pictures.plus] == expected
    elif header == "concordance":
        assert len(back.concordance) == (0 if expected is None else 1)


def test_a_new_row_is_a_new_record(folder: Path, root: Path) -> None:
    """A row with an id of its own and a neighbour's `file` is added where its kind's order puts it."""

    def add(rows: Rows) -> None:
        new = dict.fromkeys(rows[0], "")
        new |= {
            "file": _back(rows)["file"],
            "id": "b-950",
            "designation": "25Q",
            "series": "tidewrack",
            "count": "25",
        }
        rows.append(new)

    _change(folder, "backs.csv", add)
    assert _import(folder, root).added == (("back", "b-950"),)
    assert str(cardref.load(root).back("tidewrack/quay-marl/b-950").designation) == "25Q"


def test_a_row_left_out_leaves_its_record(folder: Path, root: Path) -> None:
    """Deleting rows in a spreadsheet deletes nothing."""
    before = _text(root)
    _change(folder, "cards.csv", lambda rows: rows.__delitem__(slice(5, None)))
    _import(folder, root)
    assert _text(root) == before


def test_eaten_zeros_and_dates_are_recognised_and_kept(folder: Path, root: Path) -> None:
    """`31` for `031` and `Mar-82` for `1982-03` are told with the old value, which stays."""
    before = _text(root)

    def eat(rows: Rows) -> None:
        _back(rows)["released"] = "Mar-82"

    def eat_number(rows: Rows) -> None:
        row = next(row for row in rows if row["number"].startswith("'0"))
        row["number"] = row["number"][1:].lstrip("0")

    _change(folder, "backs.csv", eat)
    _change(folder, "faces.csv", eat_number)
    result = _import(folder, root)
    assert [f.rule for f in result.findings] == ["eaten-cell", "eaten-cell"]
    assert all(f.fix is not None and f.fix.safe for f in result.findings)
    assert _text(root) == before


def _wrong(rows: Rows) -> None:
    _back(rows).update(count="many", released="1983-13", standing="certain")


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (lambda rows: _back(rows).update(count="3 or 4"), "ill-formed-cell"),
        (lambda rows: _back(rows).update(released="1983-13"), "ill-formed"),
        (lambda rows: _back(rows).update(standing="certain"), "wrong-value"),
        (lambda rows: _back(rows).update(id=""), "missing-id"),
        (lambda rows: _back(rows).update(file="elsewhere.yaml"), "wrong-file"),
        (lambda rows: _back(rows).update(file="", id="b-999"), "missing-file"),
        (lambda rows: rows.append(dict(_back(rows))), "repeated-row"),
        (lambda rows: _back(rows).update(concordance="[{a"), "ill-formed-cell"),
    ],
)
def test_a_wrong_cell_is_told_at_its_row_and_column_and_nothing_is_lost(
    folder: Path, root: Path, change: Callable[[Rows], None], rule: str
) -> None:
    """The finding has row and cell; the row's record stays as it is in the dataset."""
    before = _text(root)
    _change(folder, "backs.csv", change)
    result = _import(folder, root)
    (finding,) = result.findings
    assert finding.rule == rule
    assert finding.severity is Severity.ERROR
    assert finding.place.path == "backs.csv"
    assert finding.place.line > 1
    assert _text(root) == before


def _head(folder: Path, name: str, change: Callable[[str], str]) -> None:
    path = folder / name
    text = path.read_text(encoding="utf-8-sig")
    head, _, rest = text.partition("\r\n")
    path.write_text(change(head) + "\r\n" + rest, encoding="utf-8", newline="")


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (lambda head: head.replace(",released,", ",relased,"), "unknown-column"),
        (lambda head: head.replace(",where,", ",kind,"), "repeated-column"),
        (lambda head: head.replace("file,id,", "file,key,"), "unknown-column"),
    ],
)
def test_columns_renamed_missing_or_twice_are_told(
    folder: Path, root: Path, change: Callable[[str], str], rule: str
) -> None:
    """A renamed column is told with the one that was meant; without `id` nothing is imported."""
    before = _text(root)
    _head(folder, "stickers.csv", change)
    result = _import(folder, root)
    assert rule in {finding.rule for finding in result.findings}
    assert result.findings[0].place.line == 1
    assert _text(root) == before


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators_and_a_byte_order_mark_are_read(folder: Path, root: Path, separator: str) -> None:
    """Spreadsheets of other countries write semicolons; some write a mark first, or UTF-16."""
    path = folder / "stickers.csv"
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")))
    stream = io.StringIO()
    csv.writer(stream, delimiter=separator).writerows(rows)
    for encoding in ("utf-8-sig", "utf-16"):
        path.write_text(stream.getvalue(), encoding=encoding, newline="")
        assert _import(folder, root).findings == ()


def test_another_encoding_is_refused_with_the_next_step(folder: Path, root: Path) -> None:
    """Latin-1 is told, not guessed."""
    path = folder / "figures.csv"
    path.write_bytes(path.read_text(encoding="utf-8-sig").encode("latin-1", "replace") + b"\xe9\r\n")
    (finding,) = _import(folder, root).findings
    assert finding.rule == "encoding"
    assert "CSV UTF-8" in finding.message


def test_a_cell_with_a_line_end_is_read_whole(folder: Path, root: Path) -> None:
    """A note of two lines stays one note."""
    _change(folder, "backs.csv", lambda rows: _back(rows).update(note="first line\nsecond line"))
    assert _import(folder, root).findings == ()
    assert cardref.load(root).back("tidewrack/quay-marl/b-017").note == "first line\nsecond line"


def test_two_imports_at_once_do_not_undo_each_other(folder: Path, root: Path) -> None:
    """The second writer is told that the file has changed; nothing is lost."""
    _change(folder, "backs.csv", lambda rows: _back(rows).update(released="1982-04"))
    first = read_tables(folder, root)
    _change(folder, "backs.csv", lambda rows: _back(rows).update(released="1982-05"))
    second = read_tables(folder, root)
    write_changes(root, first.changes)
    with pytest.raises(cardref.DatasetError, match="changed since"):
        write_changes(root, second.changes)
    assert str(cardref.load(root).back("tidewrack/quay-marl/b-017").released) == "1982-04"


def test_the_command_writes_and_brings_back(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`tables export`, a change, `tables import --diff`, `tables import`."""
    sheets = str(tmp_path / "out")
    assert main(["tables", "export", sheets, "--dataset", str(root)]) == 0
    assert main(["tables", "export", sheets, "--dataset", str(root)]) == 2
    _change(Path(sheets), "backs.csv", lambda rows: _back(rows).update(released="1982-04"))
    assert main(["tables", "import", sheets, "--dataset", str(root), "--diff"]) == 0
    assert '+    released: "1982-04"' in capsys.readouterr().out
    assert '"1982-03"' in (root / _back_file(sheets)).read_text()
    assert main(["tables", "import", sheets, "--dataset", str(root)]) == 0
    assert "1 cell changed" in capsys.readouterr().out
    assert main(["tables", "import", str(tmp_path), "--dataset", str(root)]) == 2


def _back_file(sheets: str) -> str:
    rows = list(
        csv.DictReader(io.StringIO((Path(sheets) / "backs.csv").read_text(encoding="utf-8-sig"), newline=""))
    )
    return _back(rows)["file"]


def test_no_cell_is_run_as_a_formula(folder: Path) -> None:
    """No cell of any table begins with a sign that a spreadsheet program runs."""
    for path in folder.glob("*.csv"):
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline="")):
            assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)


_WORDS = st.text(min_size=1, max_size=30)


@given(_WORDS)
@settings(max_examples=150, deadline=None)
def test_a_text_survives_its_cell(text: str) -> None:
    """Guarding and its reverse are inverse, and a guarded cell is neither a number, a date nor a formula."""
    assert unguarded(guarded(text)) == text
    assert guarded(text)[0] not in "=+-@"


@given(st.lists(st.text("ab ;|\"'=+-@1,\n\t＝", min_size=1, max_size=9), min_size=1, max_size=4))
@example(["a;=1+1"])
@example(['a;"=1+1'])
@example(["first\n=1+1"])
@settings(max_examples=300, deadline=None)
def test_no_cell_is_run_whatever_it_is_split_at(texts: list[str]) -> None:
    """Many programs split at semicolons, whatever a file has: no part is a formula, and all comes back."""
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\r\n").writerow(["id", *map(guarded, texts)])
    for separator in ",;\t|":
        for row in csv.reader(io.StringIO(stream.getvalue(), newline=""), delimiter=separator):
            assert not [cell for cell in row if cell.lstrip().startswith(("=", "+", "-", "@", "＝"))]
    assert [unguarded(guarded(text)) for text in texts] == texts


_TEXTS = st.from_regex(r"[A-Za-zÀ-ž0-9 ;:'\"=+\-@#\[\]{},.?!/]{1,12}", fullmatch=True)
_KEYS = st.from_regex(r"[a-z][a-z_]{0,6}", fullmatch=True)
_PARTS = st.recursive(
    _TEXTS | st.integers(-99, 999) | st.booleans(),
    lambda inner: (
        st.lists(inner, min_size=1, max_size=3) | st.dictionaries(_KEYS, inner, min_size=1, max_size=3)
    ),
    max_leaves=6,
)
_LISTS = st.lists(_PARTS, min_size=1, max_size=3)
_CELLS = st.one_of(
    st.tuples(st.just(TEXT), _TEXTS | _LISTS),
    st.tuples(st.just(NUMBER), st.integers(-99, 9999)),
    st.tuples(st.just(FLAG), st.booleans()),
    st.tuples(st.just(LIST), _LISTS | st.lists(_TEXTS, min_size=1, max_size=3)),
    st.tuples(st.just(YAML), _LISTS | st.dictionaries(_KEYS, _PARTS, min_size=1, max_size=3)),
)


@given(_CELLS)
@example((LIST, ["[x"]))
@example((LIST, ["'x"]))
@settings(max_examples=200, deadline=None)
def test_any_value_survives_its_cell(cell: tuple[str, Any]) -> None:
    """Whatever stands in a record comes back equal from the cell of its column."""
    holds, value = cell
    assert value_of(cell_of(value, holds), holds) == value


@pytest.mark.parametrize(
    ("was", "cell", "eaten"),
    [
        ("031", "31", True),
        ("000", "", False),
        ("0451", "451", True),
        ("0451", "451.0", True),
        ("0451", "452", False),
        ("1982-03", "Mar-82", True),
        ("1982-03", "Mar-92", False),
        ("1982-03", "1982-03-01", True),
        ("1982-03", "01/03/1982", True),
        ("1982-03", "1982-04", False),
        ("1982", "1983", False),
        ("4006381333931", "4.00638E+12", True),
        ("25B", "25C", False),
    ],
)
def test_what_spreadsheets_eat_is_known(was: str, cell: str, *, eaten: bool) -> None:
    """Dropped zeros, months and scientific notation, and nothing that a person might have meant."""
    assert is_eaten(was, cell) is eaten


def _new(rows: Rows, **cells: str) -> None:
    rows.append(dict.fromkeys(rows[0], "") | cells)


def test_a_new_line_with_all_that_is_in_it_can_come_from_tables(folder: Path, root: Path) -> None:
    """Files that are not there are made, in the order in which records need each other."""
    file = "lines/fog-signals"
    _change(folder, "makers.csv", lambda rows: _new(rows, id="bell-house", name="Bell House", languages="en"))
    _change(
        folder,
        "lines.csv",
        lambda rows: _new(
            rows, id="fog-signals", title="Fog Signals", home="bell-house", makers="bell-house"
        ),
    )
    _change(
        folder, "series.csv", lambda rows: _new(rows, file=f"{file}/line.yaml", id="signals", title="Signals")
    )
    names = "[{text: Fog Horn, language: en}]"
    _change(
        folder, "figures.csv", lambda rows: _new(rows, file=f"{file}/figures.yaml", id="horn", names=names)
    )
    _change(
        folder,
        "backs.csv",
        lambda rows: _new(
            rows,
            file=f"{file}/backs/bell-house.yaml",
            id="b-001",
            designation="4A",
            series="signals",
            count="4",
        ),
    )
    result = _import(folder, root)
    assert result.findings == ()
    ref = cardref.load(root)
    assert ref.line("fog-signals").title == "Fog Signals"
    assert ref.series["fog-signals/series/signals"].title == "Signals"
    assert str(ref.backs["fog-signals/bell-house/b-001"].designation) == "4A"
    parts = ["line.yaml", "figures.yaml", "backs/bell-house.yaml"]
    assert main(["fmt", "--check", *(str(root / file / part) for part in parts)]) == 0


@pytest.mark.parametrize(
    "path", ["lines/tidewrak/backs/quay-marl.yaml", "lines/tidewrack/backs/quay-mral.yaml"]
)
def test_no_file_is_made_for_a_misspelt_line_or_maker(folder: Path, root: Path, path: str) -> None:
    """What was probably meant is told."""
    _change(
        folder,
        "backs.csv",
        lambda rows: _new(rows, file=path, id="b-950", designation="25Q", series="tidewrack", count="25"),
    )
    result = _import(folder, root)
    (finding,) = result.findings
    assert "did you mean" in finding.message
    assert result.changes == ()


def test_a_row_is_counted_as_a_spreadsheet_counts(folder: Path, root: Path) -> None:
    """A cell of two lines is one row, so what stands below is told at the row that a person sees."""

    def change(rows: Rows) -> None:
        rows[0]["note"] = "first line\nsecond line"
        rows[1]["count"] = "many or few"

    _change(folder, "backs.csv", change)
    (finding,) = _import(folder, root).findings
    assert finding.place.line == 3


def test_an_import_moves_no_record(folder: Path, root: Path) -> None:
    """Another file of the same maker in the column `file` would make a second record with one id."""
    before = _text(root)
    _change(
        folder,
        "backs.csv",
        lambda rows: _back(rows).update(file="lines/tidewrack/backs/quay-marl.saltglass.yaml"),
    )
    (finding,) = _import(folder, root).findings
    assert finding.rule == "wrong-file"
    assert "moves no record" in finding.message
    assert _text(root) == before


@pytest.mark.parametrize("name", ["tidewrack", "fog-signals"])
def test_a_line_goes_into_the_file_of_its_own_id_only(folder: Path, root: Path, name: str) -> None:
    """In another line's place it would be there twice, or under an id that its folder contradicts."""
    before = _text(root)
    _change(
        folder,
        "lines.csv",
        lambda rows: rows.append(dict(rows[0]) | {"file": "lines/tidewrak/line.yaml", "id": name}),
    )
    (finding,) = _import(folder, root).findings
    assert finding.rule == "wrong-file"
    assert _text(root) == before


def test_what_holds_comments_is_not_replaced_and_the_error_says_where(folder: Path, root: Path) -> None:
    """Nothing is imported; table, cell, record, file and line are named."""
    path = root / "lines/tidewrack/line.yaml"
    text = path.read_text(encoding="utf-8").replace(
        "    segments:\n", "    segments:\n      # as printed\n", 1
    )
    path.write_text(text, encoding="utf-8")
    before = _text(root)

    def widen(rows: Rows) -> None:
        row = _row(rows, "tidewrack/line", "qm-front")
        row["segments"] = row["segments"].replace("width: 2", "width: 3")

    _change(folder, "schemes.csv", widen)
    _change(folder, "backs.csv", lambda rows: _back(rows).update(released="1982-04"))
    with pytest.raises(DatasetError) as caught:
        _import(folder, root)
    said = str(caught.value)
    for part in ("schemes.csv ", "segments of ", "'lines/tidewrack/line.yaml', line ", "comments inside"):
        assert part in said
    assert _text(root) == before


def test_a_code_in_a_list_is_seen_to_be_eaten(folder: Path, root: Path) -> None:
    """Lists are looked at item by item: one that lost its zero is enough to keep the old value."""
    path = root / "lines" / "tidewrack" / "faces" / "quay-marl.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r"codes: \[.*?\]", 'codes: ["0451", "0452"]', text, count=1), encoding="utf-8")
    before = _text(root)
    for name, content in written(load_tree(root)).items():
        (folder / name).write_bytes(content)

    def eat(cell: str) -> None:
        rows = list(csv.reader(io.StringIO((folder / "faces.csv").read_text("utf-8-sig"), newline="")))
        at = rows[0].index("codes")
        row = next(row for row in rows if row[at].strip("'").startswith(("0451", "451")))
        row[at] = cell
        stream = io.StringIO()
        csv.writer(stream).writerows(rows)
        (folder / "faces.csv").write_text(stream.getvalue(), encoding="utf-8", newline="")

    for cell in ("451; 452", "451; 0453"):
        eat(cell)
        (finding,) = _import(folder, root).findings
        assert finding.rule == "eaten-cell"
        assert _text(root) == before
    eat("0451; 0453")
    assert _import(folder, root).findings == ()


@pytest.mark.parametrize(
    ("header", "cell", "word"),
    [
        ("barcode", "4.00638E+12", "spreadsheet program has changed it"),
        ("codes", "Oct-12", "spreadsheet program has changed it"),
        ("number", "421", "Write '0421"),
    ],
)
def test_a_new_record_with_an_eaten_cell_is_not_taken(
    folder: Path, root: Path, header: str, cell: str, word: str
) -> None:
    """Nobody knows what was printed, so nothing is recorded until somebody looks."""
    file = "lines/hedgerow-circuit/faces/pomelloway.yaml"
    cells = {"file": file, "id": "f-950", "figure": "turnip-tess", "series": "circuit", header: cell}
    _change(folder, "faces.csv", lambda rows: _new(rows, **cells))
    result = _import(folder, root)
    (finding,) = result.findings
    assert finding.rule == "eaten-cell"
    assert word in finding.message
    assert result.changes == ()


def test_of_a_new_record_the_file_is_plain_where_there_is_only_one(tmp_path: Path) -> None:
    """Whoever has one line and one maker need not copy `file` down three hundred rows."""
    root, sheets = tmp_path / "mine", tmp_path / "sheets"
    root.mkdir()
    write_changes(root, start(root, Beginning(line="Tidewrack", maker="Quay & Marl Playworks")).changes)
    sheets.mkdir()
    head = "id,designation,series,count\r\n"
    (sheets / "backs.csv").write_text(f"{head}b-002,2A,tidewrack,2\r\n", encoding="utf-8", newline="")
    assert _import(sheets, root).added == (("back", "b-002"),)
    (sheets / "backs.csv").write_text(f"{head}b-003,2-A,tidewrack,2\r\n", encoding="utf-8", newline="")
    assert [finding.place.column for finding in _import(sheets, root).findings] == [2]


_ANY = st.text(alphabet=st.characters(codec="utf-8", exclude_characters="\0"), max_size=12) | st.sampled_from(
    [
        "[]",
        "{}",
        "[1, 2]",
        "{a: b}",
        "[{a: b}]",
        "none",
        "true",
        "-1",
        "1e400",
        "'",
        "''",
        "[",
        "a; b;",
        "~",
        "!x",
        "*a",
        "%",
    ]
)


@given(odd=st.lists(st.tuples(st.integers(0, 500), st.integers(0, 80), _ANY), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_no_table_whatever_stands_in_it_breaks_the_dataset(
    odd: list[tuple[int, int, str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any text in any cell is a finding or a value that can be read again, and never an exception."""
    root = write_sample(tmp_path_factory.mktemp("sample") / "mine")
    sheets = root.parent / "sheets"
    sheets.mkdir()
    for number, (name, content) in enumerate(written(load_tree(root)).items()):
        if not name.endswith(".csv"):
            continue
        rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))
        for at, column, text in odd:
            if len(rows) > 1 and (at + number) % 3 == 0:
                row = rows[1 + at % (len(rows) - 1)]
                row[column % len(row)] = text
        stream = io.StringIO()
        csv.writer(stream).writerows(rows)
        (sheets / name).write_text(stream.getvalue(), encoding="utf-8", newline="")
    result = read_tables(sheets, root)
    write_changes(root, result.changes)
    cardref.load(root)
