"""A list of one's own, one row a card: found, added, or told why not, at its cell; no record changes."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import cardref
from cardref.cli import main
from cardref.starting.start import Beginning, start
from cardref.storage.atomic import ChangedMeanwhile, write_changes
from cardref.tables.gathering import COLUMNS, read_list
from cardref.tables.work import Import

EXAMPLES = Path(__file__).parents[2] / "examples"
BEGINNING = Beginning(
    line="Tidewrack", maker="Quay & Marl Playworks", maker_id="quay-marl", years="1979/1982", bare=True
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A new dataset without examples."""
    folder = tmp_path / "mine"
    folder.mkdir()
    write_changes(folder, start(folder, BEGINNING).changes)
    return folder


def _list(root: Path, text: str) -> Path:
    path = root.parent / "list.csv"
    path.write_text(text, encoding="utf-8")
    return path


def _add(root: Path, text: str) -> Import:
    result = read_list(_list(root, text), root)
    write_changes(root, result.changes)
    return result


def _kinds(result: Import) -> list[str]:
    return [kind for kind, _ in result.added]


def test_a_row_makes_what_is_not_there_yet(root: Path) -> None:
    """A figure, a back, a face and a card, with what the row says where it belongs."""
    result = _add(
        root,
        "figure,back,code,number,seen,source,standing,note,released,languages\n"
        "Ropewalk Ada,25B,7K 2042/031,'0609,2,first-card,Reported,Bought at a fair,1982-03,en\n",
    )
    assert result.findings == ()
    assert _kinds(result) == ["figure", "back", "face", "card"]
    ref = cardref.load(root)
    (card,) = ref.cards.values()
    face, back = ref.faces[card.face], ref.backs[card.back]
    assert ref.figure("Ropewalk Ada").id == face.figure == "tidewrack/figure/ropewalk-ada"
    assert (str(back.designation), back.count, back.series) == ("25B", 25, "tidewrack/series/tidewrack")
    assert (face.codes, face.number, face.languages) == (("7K 2042/031",), "0609", ("en",))
    assert (card.seen, card.standing, card.note, str(card.released)) == (
        2,
        "reported",
        "Bought at a fair",
        "1982-03",
    )
    assert (card.id, back.id, face.id) == tuple(
        f"tidewrack/quay-marl/{i}" for i in ("c-001", "b-001", "f-001")
    )
    assert cardref.check(root).clean


def test_what_is_there_is_found(root: Path) -> None:
    """The same figure, back or face is not made twice, within a list and from one list to the next."""
    first = _add(root, "figure,back,codes\nFog Piper,25A,A1\nFOG  piper,25B,A1\nFog Piper,25B,\n")
    assert _kinds(first) == ["figure", "back", "face", "card", "back", "card"]
    assert first.known == 1
    second = _add(root, "figure,back,codes\nFog Piper,25B,A1\nFog Piper,25B,A2\n")
    assert _kinds(second) == ["face", "card"]
    assert second.known == 1
    assert [c.id.rpartition("/")[2] for c in cardref.load(root).cards.values()] == ["c-001", "c-002", "c-003"]


def test_the_same_list_twice_adds_nothing(root: Path) -> None:
    """Whoever imports again after a correction need not take out the rows that went in."""
    path = EXAMPLES / "shelf_later.csv"
    write_changes(root, read_list(path, root).changes)
    again = read_list(path, root)
    assert (again.changes, again.added, again.findings) == ((), (), ())
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))
    assert again.known == len(rows) - 1


def test_ids_go_on_behind_the_highest_and_over_retired_ones(root: Path) -> None:
    """An id is never given twice, also when its record is gone."""
    _add(root, "figure,back\nFog Piper,25A\nFog Piper,25B\n")
    retire = ["retire", "tidewrack/quay-marl/c-002", "--reason", "seen wrongly", "--dataset", str(root)]
    assert main(retire) == 0
    _add(root, "figure,back\nFog Piper,25C\n")
    assert list(cardref.load(root).cards) == ["tidewrack/quay-marl/c-001", "tidewrack/quay-marl/c-003"]


def test_a_bare_count_is_the_one_back_with_it(root: Path) -> None:
    """Of several the letter must be said."""
    _add(root, "figure,back\nFog Piper,25A\n")
    assert _kinds(_add(root, "figure,back\nBell Keeper,25\n")) == ["figure", "face", "card"]
    _add(root, "figure,back\nFog Piper,25B\n")
    (finding,) = _add(root, "figure,back\nSalvage Nan,25\n").findings
    assert "25 may be 25A or 25B: write the letter" in finding.message
    assert _kinds(_add(root, "figure,back\nSalvage Nan,10\n")) == ["figure", "back", "face", "card"]


@pytest.mark.parametrize(
    ("text", "rule", "row", "cell", "word"),
    [
        ("figure,back\nFog Piper,\n", "missing-cell", 2, 2, "the back is missing"),
        ("figure,back\n,25B\n", "missing-cell", 2, 1, "the figure is missing"),
        ("figure,back\nFog Piper,25-B\n", "ill-formed-cell", 2, 2, "write it like 25B"),
        ("figure,back\nFog Piper,Oct-10\n", "eaten-cell", 2, 2, "a spreadsheet program has changed it"),
        ("figure,back,barcode\nFog Piper,25B,4.00E+12\n", "eaten-cell", 2, 3, "apostrophe"),
        ("figure,back,released\nFog Piper,25B,Mar-82\n", "ill-formed", 2, 3, "write '1982-03"),
        ("figure,back,seen,source\nFog Piper,25B,3,\n", "missing-cell", 2, 3, "no source says"),
        ("figure,back,seen\nFog Piper,25B,3\n", "missing-column", 1, 1, "the column sources is missing"),
        ("figure,back\n", "unreadable-table", 1, 1, "one row a card under the header"),
        ("figure,back,seen,source\nFog Piper,25B,a few,first-card\n", "ill-formed-cell", 2, 3, "number"),
        ("figure,back,source\nFog Piper,25B,frist-card\n", "unknown-name", 2, 3, "did you mean first-card?"),
        ("figure,back,maker\nFog Piper,25B,Quay\n", "unknown-name", 2, 3, "no maker is called"),
        ("figure,back,line\nFog Piper,25B,Tidewrak\n", "unknown-name", 2, 3, "did you mean"),
        ("figure,back,series\nFog Piper,25B,nowhere\n", "unknown-name", 2, 3, "no series is called"),
        ("figure,back,standing\nFog Piper,25B,certain\n", "wrong-value", 2, 3, "confirmed"),
        ("figure,back\n파도길,25B\n", "unknown-name", 2, 1, "gives no short id"),
        ("figure,back,note\nFog Piper,25B,tab\there\n", "ill-formed-cell", 2, 3, "control character"),
        (f"figure,back,note\nFog Piper,25B,{'x' * 20000}\n", "ill-formed-cell", 2, 3, "shorten it"),
        ("figure,back,figure\nA,25B,B\n", "repeated-column", 1, 3, "keep one of them"),
        ("figure,back,code,codes\nA,25B,B,C\n", "repeated-column", 1, 4, "keep one of them"),
        ("figure,bakc\nA,25B\n", "unknown-column", 1, 2, "did you mean back?"),
        ("figure,colour\nA,red\n", "unknown-column", 1, 2, "the columns are line, maker"),
        ("figure,note\nA,B\n", "missing-column", 1, 1, "the column back is missing"),
        ("", "unreadable-table", 1, 1, "empty"),
    ],
)
def test_what_is_wrong_is_told_at_its_cell(
    root: Path, text: str, rule: str, row: int, cell: int, word: str
) -> None:
    """One sentence with the next step, at row and column; nothing of such a row is kept."""
    result = _add(root, text)
    finding = result.findings[0]
    assert (finding.rule, finding.place.line, finding.place.column) == (rule, row, cell), finding.message
    assert word in finding.message
    assert (result.changes, result.added) == ((), ())


def test_a_wrong_row_keeps_no_other_from_its_place(root: Path) -> None:
    """What is right goes in, what is wrong is told, and after the correction the whole list can be added."""
    text = "figure,back\nFog Piper,25A\nBell Keeper,25-B\nFog Piper,25C\n"
    result = _add(root, text)
    assert [f.place.line for f in result.findings] == [3]
    assert len(cardref.load(root).cards) == 2
    result = _add(root, text.replace("25-B", "25B"))
    assert (result.findings, result.known) == ((), 2)
    assert len(cardref.load(root).cards) == 3


def test_a_slip_in_a_name_makes_no_new_figure(root: Path) -> None:
    """The rarer spelling is told, wherever it stands; names that differ in a number are two."""
    text = "figure,back\nLamp Divr,25A\nLamp Diver,25A\nLamp Diver,25B\nKite 1,25A\nKite 2,25A\n"
    (finding,) = _add(root, text).findings
    assert finding.place.line == 2
    assert "one slip away from 'Lamp Diver'" in finding.message
    assert {figure.name for figure in cardref.load(root).figures.values()} == {
        "Lamp Diver",
        "Kite 1",
        "Kite 2",
    }
    (finding,) = _add(root, "figure,back\nLamp Driver,25C\n").findings
    assert "one slip away from 'Lamp Diver'" in finding.message


def test_a_dropped_zero_is_seen_beside_the_others(root: Path) -> None:
    """`451` among numbers of four digits, some with a zero in front; with an apostrophe it is meant."""
    text = "figure,back,number\nFog Piper,25A,'0609\nBell Keeper,25A,1421\nSalvage Nan,25A,451\n"
    (finding,) = _add(root, text).findings
    assert (finding.rule, finding.place.line, finding.place.column) == ("eaten-cell", 4, 3)
    assert "Write '0451" in finding.message


def test_a_list_changes_no_record(root: Path) -> None:
    """A row that says otherwise than the card is told, with where to correct it."""
    _add(root, "figure,back,standing\nFog Piper,25A,reported\n")
    (finding,) = _add(root, "figure,back,standing\nFog Piper,25A,confirmed\n").findings
    assert finding.rule == "recorded-otherwise"
    assert "'confirmed', but card c-001 says 'reported'" in finding.message
    (card,) = cardref.load(root).cards.values()
    assert card.standing == "reported"


def test_other_makers_get_files_of_their_own(root: Path) -> None:
    """A recorded maker without files gets them, with the header that a file needs."""
    path = root / "makers.yaml"
    maker = '  - id: fjellvik\n    name: Fjellvik Leker\n    country: "NO"\n    languages: [nb]\n'
    path.write_text(path.read_text(encoding="utf-8").rstrip("\n") + f"\n{maker}", encoding="utf-8")
    result = _add(root, "figure,back,maker\nVrakvann,10A,Fjellvik Leker\n")
    assert result.findings == ()
    ref = cardref.load(root)
    assert list(ref.cards) == ["tidewrack/fjellvik/c-001"]
    assert ref.figure("Vrakvann").names[0].language == "nb"
    parts = [
        str(root / "lines" / "tidewrack" / part / "fjellvik.yaml") for part in ("backs", "faces", "cards")
    ]
    assert main(["fmt", "--check", *parts]) == 0


def test_parts_of_a_dataset_keep_their_text_and_comments(root: Path) -> None:
    """What stands in the files already stands there afterwards, line for line."""
    before = {p: p.read_text(encoding="utf-8").splitlines() for p in root.rglob("*.yaml")}
    _add(root, "figure,back\nFog Piper,25A\n")
    for path, lines in before.items():
        after = path.read_text(encoding="utf-8").splitlines()
        lost = [line for line in lines if line not in after and not line.endswith(": []")]
        assert lost == [], path


def test_the_command_adds_and_shows(root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`tables add` with --diff writes nothing; findings give exit status 1, a list that is none 2."""
    path = str(_list(root, "figure,back\nFog Piper,25A\n"))
    words = ["tables", "add", path, "--dataset", str(root)]
    assert main([*words, "--diff"]) == 0
    assert "+  - id: fog-piper" in capsys.readouterr().out
    assert not cardref.load(root).cards
    assert main(words) == 0
    assert "1 figure, 1 back, 1 face and 1 card added in 4 files" in capsys.readouterr().out
    assert main(words) == 0
    assert "nothing changed; 1 row says what is recorded already" in capsys.readouterr().out
    _list(root, "figure,back\nFog Piper,25-A\n")
    assert main(words) == 1
    assert "list.csv B2: error:" in capsys.readouterr().out
    assert main(["tables", "add", str(tmp_path), "--dataset", str(root)]) == 2
    assert main(["tables", "import", path, "--dataset", str(root)]) == 2
    assert "cardref tables add" in capsys.readouterr().err


def test_what_is_no_part_of_a_dataset_stays_out_of_its_folder(
    root: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A list or tables in it would be called strangers by the check: that is said before they are there."""
    (root / "list.csv").write_text("figure,back\nFog Piper,25A\n", encoding="utf-8")
    assert main(["tables", "add", str(root / "list.csv"), "--dataset", str(root)]) == 2
    assert "outside" in capsys.readouterr().err
    assert main(["tables", "export", str(root / "sheets"), "--dataset", str(root)]) == 2
    assert not (root / "sheets").exists()


def test_what_every_row_lacks_is_told_once(root: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A column that is not there is one finding at the header, not one a row; all its rows stay out."""
    text = "figure,back,seen\n" + "".join(f"Fog Piper,25{letter},1\n" for letter in "ABCDEFGH")
    words = ["tables", "add", str(_list(root, text)), "--dataset", str(root)]
    assert main(words) == 1
    out = capsys.readouterr().out
    assert out.count("error:") == 1
    assert "list.csv A1: error: the column sources is missing" in out
    assert "8 rows left alone: put right what is wrong and add again" in out
    _list(root, text.replace("seen", "note"))
    assert main(words) == 0
    assert f"next: `cardref check {root}`" in capsys.readouterr().out


def test_a_dataset_of_several_lines_asks_for_the_line_once() -> None:
    """Which lines there are is said."""
    bundled = EXAMPLES.parent / "dataset"
    result = read_list(EXAMPLES / "shelf.csv", bundled)
    (finding,) = result.findings
    assert "say which line, hedgerow-circuit or night-post or tidewrack" in finding.message
    assert (result.alike, result.changes) == (300, ())


@pytest.mark.parametrize(
    ("data", "row", "word"),
    [
        ("figure,back\nFog Pip\xe9r,25B\n".encode("cp1252"), 2, "save it as `CSV UTF-8`"),
        ("figure,back\nFog Piper,25B\n".encode("utf-16-le"), 1, "save it as `CSV UTF-8`"),
        (b"\xff\xfefigur", 1, "save it as `CSV UTF-8`"),
        (b'figure,back\n"Fog Piper,25B\nFog Piper,25C\n', 2, "no CSV from here on"),
        (b'figure,back\nFog Piper,25B\n"Fog" Piper,25C\n', 3, "check its quotes"),
    ],
)
def test_a_list_that_cannot_be_read_changes_nothing(root: Path, data: bytes, row: int, word: str) -> None:
    """Another encoding is told, not guessed, since a guess would spoil names; so is a quote left open."""
    path = root.parent / "list.csv"
    path.write_bytes(data)
    result = read_list(path, root)
    (finding,) = result.findings
    assert word in finding.message
    assert finding.place.line == row
    assert result.changes == ()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("separator", ",;\t|")
def test_lists_of_other_programs_are_read(root: Path, encoding: str, separator: str) -> None:
    """Four separators; UTF-8 with or without a mark, and UTF-16 with one; a cell of two lines stays one."""
    text = f'Figure{separator}Back{separator}Note\r\nFog Pipér{separator}25B{separator}"one\r\ntwo"\r\n'
    path = root.parent / "list.csv"
    path.write_bytes(text.encode(encoding))
    result = read_list(path, root)
    assert result.findings == ()
    write_changes(root, result.changes)
    ref = cardref.load(root)
    assert ref.figure("Fog Pipér").id == "tidewrack/figure/fog-piper"
    assert [card.note for card in ref.cards.values()] == ["one\ntwo"]


def test_two_at_once_lose_nothing(root: Path) -> None:
    """Whoever comes second is told that the files have changed; added again, both lists are there."""
    mine, theirs = root.parent / "mine.csv", root.parent / "theirs.csv"
    mine.write_text("figure,back\nFog Piper,25A\n", encoding="utf-8")
    theirs.write_text("figure,back\nBell Keeper,25A\n", encoding="utf-8")
    first, second = read_list(mine, root), read_list(theirs, root)
    write_changes(root, first.changes)
    with pytest.raises(ChangedMeanwhile, match="Run the command again"):
        write_changes(root, second.changes)
    write_changes(root, read_list(theirs, root).changes)
    ref = cardref.load(root)
    assert [figure.name for figure in ref.figures.values()] == ["Fog Piper", "Bell Keeper"]
    assert len({card.id for card in ref.cards.values()}) == 2


_CELL = st.text(alphabet=st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)
_ODD = st.tuples(
    st.sampled_from([name for name in COLUMNS if name not in ("line", "maker", "series")]), _CELL
)


@given(odd=st.lists(_ODD, min_size=1, max_size=20))
@settings(max_examples=20, deadline=None)
def test_no_list_whatever_stands_in_it_breaks_the_dataset(
    odd: list[tuple[str, str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any text in any cell is a finding or a record that can be loaded, and never an exception."""
    root = tmp_path_factory.mktemp("hostile") / "mine"
    root.mkdir()
    write_changes(root, start(root, BEGINNING).changes)
    stream = io.StringIO()
    writer = csv.DictWriter(stream, list(COLUMNS))
    writer.writeheader()
    for number, (name, cell) in enumerate(odd):
        row = dict.fromkeys(COLUMNS, "") | {"figure": "Fog Piper", "back": f"{number}A"}
        writer.writerow(row | {name: cell})
    path = root.parent / "list.csv"
    path.write_text(stream.getvalue(), encoding="utf-8", newline="")
    result = read_list(path, root)
    write_changes(root, result.changes)
    ref = cardref.load(root)
    wrong = {finding.place.line for finding in result.findings}
    assert len(ref.cards) == len(odd) - len(wrong) - result.known


def test_the_example_list_goes_in_but_for_four_rows(root: Path) -> None:
    """Three hundred rows with four slips: each is told at its cell, the rest is in the dataset, and clean."""
    result = read_list(EXAMPLES / "shelf.csv", root)
    write_changes(root, result.changes)
    assert [(f.place.line, f.rule) for f in result.findings] == [
        (42, "ill-formed"),
        (57, "unknown-name"),
        (123, "unknown-name"),
        (202, "ill-formed-cell"),
    ]
    assert len(cardref.load(root).cards) == 296
    assert not [f for f in cardref.check(root).findings if f.severity != "note"]
