"""A directory to records: what is kept of each file, where things stand, what is wrong with its frame."""

import gc
from pathlib import Path

import pytest

from cardref.errors import DatasetError
from cardref.location import Place
from cardref.model.kinds import KINDS
from cardref.storage.layout import DOCUMENTS, path_for, spec_of
from cardref.storage.loader import load_tree
from cardref.storage.yamltext import MAX_BYTES

BACKS = "lines/l/backs/m.yaml"
TEXT = """\
line: l
maker: m
backs:
  - id: b-1
    designation: "25B"
    series: s
    count: 25
    note: |
      two
      lines
  - id: b-2
    designation: 25C
    series: s
    count: x
"""


def _tree(root: Path, **files: str) -> Path:
    for name, text in files.items():
        path = root / (BACKS if name == "backs" else f"{name}.yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


# --- records and places ----------------------------------------------------------------------------------


def test_records_are_kept_with_full_ids_and_the_way_to_them(tmp_path: Path) -> None:
    """Those that fit and those that do not, in the order of the file; the latter without a record."""
    loaded = load_tree(_tree(tmp_path, backs=TEXT))
    one, two = loaded.entries["back"]
    assert (one.id, one.pointer, one.kind, one.file.path) == ("l/m/b-1", ("backs", 0), "back", BACKS)
    assert one.record is not None
    assert (two.id, two.pointer, two.record) == ("l/m/b-2", ("backs", 1), None)
    assert loaded.record_count == 2
    assert (one.file.line, one.file.maker, one.file.readable, one.file.complete) == ("l", "m", True, True)


@pytest.mark.parametrize(
    ("pointer", "on_key", "place"),
    [
        (("backs", 0, "count"), False, (7, 12, 7, 14)),
        (("backs", 0, "count"), True, (7, 5, 7, 10)),
        (("backs", 0, "designation"), False, (5, 18, 5, 23)),
        (("backs", 0, "note"), False, (8, 11, 8, 12)),  # a block: its first sign
        (("backs", 0), False, (4, 5, 4, 6)),
        (("backs", 1, "nothing"), True, (11, 5, 11, 6)),  # the nearest that is there, and not its key
        (("backs", 9, "x"), False, (4, 3, 4, 4)),
        ((), False, (1, 1, 1, 2)),
    ],
)
def test_a_value_has_its_place(
    tmp_path: Path, pointer: tuple[str | int, ...], on_key: bool, place: tuple[int, int, int, int]
) -> None:
    """The span of a value or of its key, from 1; of what is absent, the start of what would hold it."""
    loaded = load_tree(_tree(tmp_path, backs=TEXT))
    assert loaded.place(BACKS, pointer, on_key=on_key) == Place(BACKS, *place)


def test_what_cannot_be_read_is_placed_as_a_file(tmp_path: Path) -> None:
    """No line is told where none can be true: of a file with faults, and of one that changed meanwhile."""
    loaded = load_tree(_tree(tmp_path, backs="a: &x 1\n", sources="sources: []\n"))
    assert loaded.place(BACKS, ("a",)) == Place(BACKS)
    assert loaded.value(BACKS) is None
    _tree(tmp_path, sources="sources: [] # longer\n")
    assert loaded.place("sources.yaml", ("sources",)) == Place("sources.yaml")
    assert (loaded.text("sources.yaml"), loaded.value("sources.yaml")) == ("", None)


def test_texts_and_values_are_read_again_as_they_are(tmp_path: Path) -> None:
    """The text, its lines and what it says, of one file and of the tenth that is asked for after it."""
    files = {f"lines/l/backs/m{number}.yaml": f"maker: m{number}\n" for number in range(12)}
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    loaded = load_tree(tmp_path)
    for _ in range(2):
        for name, text in files.items():
            assert loaded.text(name) == text
            assert loaded.value(name) == {"maker": text.split()[1]}
            assert loaded.lines(name) == [text.rstrip(), ""]
            assert loaded.place(name, ("maker",), on_key=True) == Place(name, 1, 1, 1, 6)


def test_an_entry_s_plain_values_are_those_of_its_file(tmp_path: Path) -> None:
    """As written, ids short; the record at a file's top without the lists that stand beside it."""
    line = "id: l\ntitle: L\nhome: m\nseries:\n  - id: s\n    title: S\n"
    (tmp_path / "lines/l").mkdir(parents=True)
    (tmp_path / "lines/l/line.yaml").write_text(line)
    loaded = load_tree(_tree(tmp_path, backs=TEXT))
    (top,), (series,) = loaded.entries["line"], loaded.entries["series"]
    assert loaded.raw(top) == {"id": "l", "title": "L", "home": "m"}
    assert loaded.raw(series) == {"id": "s", "title": "S"}
    assert loaded.raw(loaded.entries["back"][1])["count"] == "x"
    (tmp_path / BACKS).write_text("backs: []\n")
    assert load_tree(tmp_path).entries["back"] == []


# --- the frame of a file ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("line: l\nmaker: m\nbacks: []\n", []),
        ("backs: []\n", [("missing-key", (), "line"), ("missing-key", (), "maker")]),
        ("line: x\nmaker: m\nbacks: []\n", [("misplaced-file", ("line",), "x")]),
        ("line: l\nmaker: 7\nbacks: []\n", [("misplaced-file", ("maker",), "7")]),
        ("line: l\nmaker: m\n", [("missing-key", (), "backs")]),
        ("line: l\nmaker: m\nbacks:\n", [("wrong-type", ("backs",), "")]),
        ("line: l\nmaker: m\nbacks: x\n", [("wrong-type", ("backs",), "")]),
        ("line: l\nmaker: m\nbacks: [x, {}]\n", [("wrong-type", ("backs", 0), "")]),
        ("line: l\nmakr: m\nbacks: []\n", [("unknown-key", ("makr",), "makr")]),
        ("line: l\nmaker: m\nbaks: []\n", [("unknown-key", ("baks",), "baks")]),
        ("line: l\nmaker: m\nbacks: []\nx: 1\n", [("unknown-key", ("x",), "x")]),
        ("- a\n", [("wrong-type", (), "")]),
    ],
)
def test_what_is_wrong_with_a_frame(tmp_path: Path, text: str, problems: list[tuple[object, ...]]) -> None:
    """Whom a file belongs to, its lists, its keys: each fault once, by its rule and the way to it."""
    (file,) = load_tree(_tree(tmp_path, backs=text)).files.values()
    assert [(one.rule, one.pointer, one.value) for one in file.misshapen] == problems
    assert file.readable
    whole = {"missing-key": "backs", "wrong-type": "", "unknown-key": "baks"}
    assert file.complete == all(whole.get(str(rule)) != value for rule, _, value in problems)


def test_a_misspelt_key_of_a_frame_is_told_at_the_key(tmp_path: Path) -> None:
    """With the key that was meant, where it is not there already."""
    (file,) = load_tree(_tree(tmp_path, backs="line: l\nmaker: m\nbaks: []\nline2: x\n")).files.values()
    first, second = file.misshapen
    assert (first.on_key, first.meant) == (True, "backs")
    assert (second.on_key, second.meant) == (True, "")
    assert "did you mean backs?" in first.message
    assert "the keys are line, maker, backs" in second.message


def test_a_line_file_belongs_to_its_folder(tmp_path: Path) -> None:
    """Its id repeats the folder's name; another one is told where it stands."""
    (tmp_path / "lines/l").mkdir(parents=True)
    (tmp_path / "lines/l/line.yaml").write_text("id: other\ntitle: L\nhome: m\n")
    (file,) = load_tree(tmp_path).files.values()
    assert [(one.rule, one.pointer, one.value) for one in file.misshapen] == [
        ("misplaced-file", ("id",), "other")
    ]


# --- files and folders -----------------------------------------------------------------------------------


def test_files_are_read_in_one_order_and_hidden_ones_not(tmp_path: Path) -> None:
    """By name, a file before its parts and before the folders beside it; notes and licences are left out."""
    for name in (
        *("lines/l/cards/m.b.yaml", "lines/l/cards/m.yaml", "lines/l/cards/m.a.yaml", "lines/l/line.yaml"),
        *("sources.yaml", "makers.yaml", ".git/x.yaml", ".hidden.yaml", "README.md", "LICENSE", "notes.txt"),
        *("lines/a/line.yaml", "lines/l/backs/m.yaml"),
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("")
    assert list(load_tree(tmp_path).files) == [
        *("makers.yaml", "sources.yaml", "lines/a/line.yaml", "lines/l/line.yaml", "lines/l/backs/m.yaml"),
        *("lines/l/cards/m.yaml", "lines/l/cards/m.a.yaml", "lines/l/cards/m.b.yaml"),
    ]


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("makers.yml", "files end in .yaml"),
        ("maker.yaml", "did you mean makers.yaml?"),
        ("zzz.yaml", "a dataset has no file 'zzz.yaml'"),
        ("lines/l/bakcs/m.yaml", "a dataset has no file"),
        ("lines/L/line.yaml", "a dataset has no file"),
    ],
)
def test_a_file_that_no_dataset_has_is_told(tmp_path: Path, name: str, hint: str) -> None:
    """With what was probably meant."""
    (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / name).write_text("a: 1\n")
    (file,) = load_tree(tmp_path).files.values()
    assert [fault.rule for fault in file.faults] == ["unknown-file"]
    assert hint in file.faults[0].message
    assert (file.spec, file.readable) == (None, False)


def test_the_largest_file_is_read_and_a_larger_one_is_not(tmp_path: Path) -> None:
    """A mebibyte is read; one byte more is told, and not read to its end."""
    text = "sources: []\n#"
    (tmp_path / "sources.yaml").write_text(text.ljust(MAX_BYTES, "x"))
    assert load_tree(tmp_path).files["sources.yaml"].readable
    (tmp_path / "sources.yaml").write_text(text.ljust(MAX_BYTES * 2, "x"))
    (fault,) = load_tree(tmp_path).files["sources.yaml"].faults
    assert fault.rule == "file-size"


def test_the_collector_is_left_as_it_was(tmp_path: Path) -> None:
    """Loading stops the garbage collector for a while, and only where it ran before."""
    _tree(tmp_path, sources="sources: []\n")
    assert gc.isenabled()
    load_tree(tmp_path)
    assert gc.isenabled()
    gc.disable()
    try:
        load_tree(tmp_path)
        assert not gc.isenabled()
    finally:
        gc.enable()


@pytest.mark.parametrize(("make", "said"), [("file", "is a file, not a directory"), ("", "does not exist")])
def test_what_is_no_directory_is_refused(tmp_path: Path, make: str, said: str) -> None:
    """With what it is, and what to name instead."""
    if make:
        (tmp_path / "x").write_text("")
    with pytest.raises(DatasetError, match=rf"{said}: name a directory that holds dataset\.yaml"):
        load_tree(tmp_path / "x")


# --- the layout ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_file_of_the_layout_is_known_by_its_path(document: str) -> None:
    """The path tells what a file holds and whom it belongs to; a part of a maker's file is one, too."""
    pattern, lists, top = DOCUMENTS[document]
    path = pattern.format(line="tidewrack", maker="quay-marl")
    spec = spec_of(path)
    assert spec is not None
    assert (spec.document, spec.lists, spec.top) == (document, lists, top)
    assert (spec.line, spec.maker) == (
        "tidewrack" if "{line}" in pattern else "",
        "quay-marl" if "{maker}" in pattern else "",
    )
    part = spec_of(path.replace("quay-marl.yaml", "quay-marl.saltglass.yaml"))
    assert part == spec


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "dataset"])
def test_a_record_s_place_is_one_that_holds_it(kind: str) -> None:
    """Where a new record belongs is a file of the layout whose lists, or whose top, are of that kind."""
    for line in ("", "tidewrack"):
        try:
            path = path_for(kind, line, "quay-marl")
        except ValueError:
            continue
        spec = spec_of(path)
        assert spec is not None
        assert KINDS[kind].plural in spec.lists or spec.top == kind
        assert spec.line == line
    with pytest.raises(ValueError, match="inside a line"):
        path_for("back")


@pytest.mark.parametrize(
    "path",
    [
        "", "x.yaml", "lines/l", "lines/l/nothing.yaml", "lines/l/backs/m.yml", "lines/l/backs/M.yaml",
        "lines/l/backs/m.A.yaml", "lines/l/backs/m/x.yaml", "lines/l/backs/.yaml", "line/l/line.yaml",
        "lines/a b/line.yaml", "lines/l/dataset.yaml", "lines/l/backs/a.b.c.yaml",
    ],
)  # fmt: skip
def test_what_is_no_file_of_the_layout(path: str) -> None:
    """Other names, other endings, capitals, deeper folders."""
    assert spec_of(path) is None
