"""The compiled reference: the records that the YAML says, read and made when they are asked for."""

import json
import threading
from pathlib import Path

import pytest

from cardref.checks.sample import write_sample
from cardref.errors import DatasetError
from cardref.index import Index, from_compiled, from_loaded
from cardref.model.kinds import KINDS
from cardref.storage import bundle
from cardref.storage.bundle import LazyTable, compile_dataset, home
from cardref.storage.loader import load_tree


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[Index, Index, Path]:
    """The bundled dataset read from YAML, the same compiled, and the folder that it was compiled into."""
    folder = tmp_path_factory.mktemp("compiled")
    for name, data in compile_dataset(home().dataset).items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(data)
    return from_loaded(load_tree(home().dataset)), from_compiled(folder / "data"), folder / "data"


@pytest.mark.parametrize("kind", KINDS)
def test_a_compiled_table_equals_the_yaml(pair: tuple[Index, Index, Path], kind: str) -> None:
    """Same ids, same records, same order; and what it is not told it does not hold."""
    read, compiled, _ = pair
    assert list(compiled.tables[kind].items()) == list(read.tables[kind].items())
    assert len(compiled.tables[kind]) == len(read.tables[kind])
    for full in read.tables[kind]:
        assert full in compiled.tables[kind]
    assert "tidewrack/nothing" not in compiled.tables[kind]


def test_fields_are_told_without_making_records(pair: tuple[Index, Index, Path]) -> None:
    """What `said` gives of raw rows is what the records' fields hold, defaults where they are absent."""
    read, compiled, _ = pair
    for kind, fields in (
        ("card", {"face": "", "back": "", "extras": ()}),
        ("face", {"codes": None, "barcode": "", "figure": ""}),
        ("back", {"count": 0, "after": ""}),
    ):
        assert list(compiled.said(kind, **fields)) == list(read.said(kind, **fields))


def test_the_fingerprint_is_the_one_of_the_yaml(pair: tuple[Index, Index, Path]) -> None:
    """It was worked out when the data was compiled, over the same records: 16 hex digits."""
    read, compiled, folder = pair
    assert compiled.fingerprint == read.fingerprint
    assert int(compiled.fingerprint, 16) >= 0
    assert len(compiled.fingerprint) == 16
    assert json.loads((folder / "about.json").read_text())["format"] == 1


def test_a_table_is_read_when_it_is_asked_and_a_record_made_once(pair: tuple[Index, Index, Path]) -> None:
    """Making a table reads nothing; the same record is given each time."""
    LazyTable("back", Path("nowhere") / "back.json")
    table = LazyTable("back", pair[2] / "back.json")
    first = next(iter(table))
    assert table[first] is table[first]
    with pytest.raises(KeyError):
        table["tidewrack/quay-marl/b-999"]


def test_many_threads_may_ask_a_table_first(pair: tuple[Index, Index, Path]) -> None:
    """Whoever comes while another reads gets the same records."""
    table = LazyTable("card", pair[2] / "card.json")
    found: list[list[object]] = []
    start = threading.Barrier(8)

    def ask() -> None:
        start.wait()
        found.append(list(table.values()))

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 8
    assert all(one == found[0] for one in found)


def test_compiling_twice_gives_equal_bytes(tmp_path: Path) -> None:
    """Equal records, equal bytes: one table a kind and what they are all told by."""
    root = write_sample(tmp_path)
    assert compile_dataset(root) == compile_dataset(root)
    assert set(compile_dataset(root)) == {f"data/{name}.json" for name in (*KINDS, "about")}


@pytest.mark.parametrize(
    ("file", "text"),
    [
        ("sources.yaml", "sources:\n  - id: a\n    kind: catalog\n"),
        ("sources.yaml", "sources:\n\t- id: a\n"),
        ("sources.yaml", "sourcs: []\n"),
    ],
)
def test_what_cannot_be_read_is_not_compiled(tmp_path: Path, file: str, text: str) -> None:
    """A record that does not fit, an unreadable file, a wrong frame: told with the next step."""
    root = write_sample(tmp_path)
    (root / file).write_text(text)
    with pytest.raises(DatasetError, match=rf"{file} cannot be compiled: run `cardref check"):
        compile_dataset(root)


def test_the_bundled_data_is_found_where_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Compiled data inside the package goes first, then the checkout beside it; else it is missing."""
    package = tmp_path / "cardref"
    (package / "storage").mkdir(parents=True)
    monkeypatch.setattr(bundle, "__file__", str(package / "storage" / "bundle.py"))
    with pytest.raises(DatasetError, match="install cardref again"):
        home()
    write_sample(tmp_path / "dataset")
    assert (home().compiled, home().dataset) == (False, tmp_path / "dataset")
    (package / "_bundled" / "data").mkdir(parents=True)
    assert (home().compiled, home().dataset) == (True, package / "_bundled" / "data")
