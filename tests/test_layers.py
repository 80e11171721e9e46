"""Layers: records of one's own over another dataset, and which of them won is told everywhere."""

import copy
import json
import pickle
from pathlib import Path

import pytest

import cardref
from cardref.checks.sample import write_sample
from cardref.cli import main
from cardref.index import from_compiled
from cardref.storage.bundle import compile_dataset, home

BACK = "tidewrack/quay-marl/b-017"
HEAD = "line: tidewrack\nmaker: quay-marl\n"


def _layer(folder: Path, backs: str = "", **files: str) -> Path:
    """A dataset of some backs of Quay & Marl, and other files at its top."""
    place = folder / "lines" / "tidewrack" / "backs"
    place.mkdir(parents=True)
    (folder / "dataset.yaml").write_text(
        f'id: {folder.name}\ntitle: Of {folder.name}\nversion: "2026.11"\nlicence: MIT\nmodel: 1\n'
    )
    if backs:
        (place / "quay-marl.yaml").write_text(f"{HEAD}backs:\n{backs}")
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text)
    return folder


def _back(name: str, designation: str, more: str = "") -> str:
    count = designation.rstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return (
        f"  - id: {name}\n    designation: {designation}\n    series: tidewrack\n    count: {count}\n"
        f"    pictures: {{based_on: b-016}}\n{more}"
    )


@pytest.fixture(scope="module")
def ref() -> cardref.Reference:
    """The bundled demo reference."""
    return cardref.load()


@pytest.fixture
def three(tmp_path: Path, ref: cardref.Reference) -> cardref.Reference:
    """A top layer over a middle one over the bundled reference."""
    middle = _layer(tmp_path / "middle", _back("b-017", "25Y") + _back("b-900", "25X"))
    top = _layer(tmp_path / "top", _back("b-017", "25Z") + _back("b-901", "25W"))
    return cardref.load(top, over=cardref.load(middle, over=ref))


def test_the_record_on_top_wins_however_many_layers_there_are(three: cardref.Reference) -> None:
    """Each id is told with the layer that won, also from below the middle."""
    top, middle, bundled = three.layers
    assert str(three.back(BACK).designation) == "25Z"
    assert [three.layer_of(full) for full in (BACK, "tidewrack/quay-marl/b-901")] == [top, top]
    assert three.layer_of("tidewrack/quay-marl/b-900") == middle
    assert three.layer_of("tidewrack/quay-marl/b-016") == bundled
    assert three.layer_of("tidewrack/quay-marl/b-999") == ""
    assert (three.version, [d.id for d in three.index.datasets][:2]) == ("2026.11", ["top", "middle"])


def test_layers_that_are_put_together_in_another_order_are_the_same(
    tmp_path: Path, ref: cardref.Reference
) -> None:
    """(top over middle) over base is top over (middle over base)."""
    middle = cardref.load(_layer(tmp_path / "middle", _back("b-017", "25Y") + _back("b-900", "25X")))
    top = cardref.load(_layer(tmp_path / "top", _back("b-017", "25Z") + _back("b-901", "25W")))
    left = top.index.over(middle.index, "top", "middle").over(ref.index, "both", "base")
    right = top.index.over(middle.index.over(ref.index, "middle", "base"), "top", "both")
    assert left.fingerprint == right.fingerprint
    assert left.origin == right.origin
    assert left.layers == right.layers == ("top", "middle", "base")
    assert list(left.backs) == list(right.backs)


def test_a_tombstone_takes_a_record_out_of_the_layer_below(tmp_path: Path, ref: cardref.Reference) -> None:
    """What was retired on top is found no more, and its id leads to what took its place."""
    stone = (
        f"retired:\n  - {{id: {BACK}, replaced_by: [tidewrack/quay-marl/b-018], reason: the same printing,"
        " date: 2026-11-01}\n"
    )
    mine = cardref.load(_layer(tmp_path / "mine", retired=stone), over=ref)
    assert BACK not in mine.backs
    assert BACK in ref.backs
    assert mine.find(BACK) == (ref.backs["tidewrack/quay-marl/b-018"],)
    assert mine.layer_of(BACK) == mine.name


def test_a_record_on_top_outlives_a_tombstone_below(tmp_path: Path) -> None:
    """The check tells it as a conflict; the reference answers with the record that is there."""
    base = write_sample(tmp_path / "base")
    gone = "lanternfish/pell-orrin/b-900"
    old = (base / "retired.yaml").read_text()
    (base / "retired.yaml").write_text(
        f"{old.replace('retired: []', 'retired:')}  - {{id: {gone}, reason: none such, date: 2026-11-01}}\n"
    )
    mine = _layer(tmp_path / "mine")
    backs = mine / "lines" / "lanternfish" / "backs"
    backs.mkdir(parents=True)
    (backs / "pell-orrin.yaml").write_text(
        "line: lanternfish\nmaker: pell-orrin\nbacks:\n"
        "  - {id: b-900, designation: 4Q, series: lanternfish, count: 4}\n"
    )
    layered = cardref.load(mine, over=base)
    assert layered.back(gone).id == gone
    assert layered.index.current(gone) == (gone,)


def test_a_layered_reference_can_be_pickled_and_copied(three: cardref.Reference) -> None:
    """Names of layers and who won survive; the fingerprint is the same."""
    for twin in (pickle.loads(pickle.dumps(three)), copy.copy(three), copy.deepcopy(three)):  # noqa: S301 - our own
        assert twin.layers == three.layers
        assert twin.layer_of(BACK) == three.layer_of(BACK)
        assert twin.fingerprint == three.fingerprint
        assert str(twin.back(BACK).designation) == "25Z"


def test_the_fingerprint_covers_every_layer(three: cardref.Reference, ref: cardref.Reference) -> None:
    """An answer that cites it can be told from one of any single layer."""
    alone = cardref.load(three.name)
    assert len({three.fingerprint, ref.fingerprint, alone.fingerprint}) == 3


def test_a_layer_lies_over_a_compiled_reference_as_well(tmp_path: Path, ref: cardref.Reference) -> None:
    """The bundled reference of an installed program gives the same answers as its source files."""
    for name, content in compile_dataset(home().dataset).items():
        path = tmp_path / "compiled" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    mine = cardref.load(_layer(tmp_path / "mine", _back("b-017", "25Z")))
    compiled = mine.index.over(from_compiled(tmp_path / "compiled" / "data"), "mine", "base")
    plain = mine.index.over(ref.index, "mine", "base")
    assert compiled.fingerprint == plain.fingerprint
    assert compiled.origin == plain.origin


def test_decoding_asks_all_layers(three: cardref.Reference) -> None:
    """A code whose scheme stands below is read, and names the backs of every layer."""
    decoding = three.decode("7K 2046/031")
    assert decoding.known.value == "yes"
    assert decoding.best is not None
    assert {"b-901", "b-900", "b-016"} <= {full.rpartition("/")[2] for full in decoding.best.backs}


def test_vetting_asks_all_layers(three: cardref.Reference) -> None:
    """A claimed designation that stands only on top is known."""
    verdict = three.vet(maker="quay-marl", back="25W", line="tidewrack")
    assert verdict.backs == ("tidewrack/quay-marl/b-901",)


def test_identification_asks_all_layers(three: cardref.Reference) -> None:
    """Candidates come from every layer."""
    found = three.identify(line="tidewrack", maker="quay-marl", back_count=25)
    ids = {candidate.id.rpartition("/")[2] for candidate in found.candidates}
    assert {"b-017", "b-900", "b-901", "b-016"} <= ids


def test_the_command_line_tells_the_layer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Verbs show and list, as text and JSON, with `--over bundled`."""
    mine = str(_layer(tmp_path / "mine", _back("b-017", "25Z")))
    over = ["--dataset", mine, "--over", "bundled"]
    assert main(["show", BACK, *over]) == 0
    shown = capsys.readouterr()
    assert f"from: {mine}, which lies over bundled" in shown.out
    assert f"{mine} 2026.11 over bundled, invented demo data" in shown.err
    assert main(["show", "tidewrack/quay-marl/b-016", *over, "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)["layer"] == "bundled"
    assert main(["list", "backs", "maker=quay-marl", *over, "--format", "json"]) == 0
    layers = {row["id"]: row["layer"] for row in json.loads(capsys.readouterr().out)}
    assert {full for full, layer in layers.items() if layer == mine} == {BACK}
    assert main(["list", "backs", f"layer={mine}", *over]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "1 back"
    assert main(["show", BACK]) == 0
    assert "from:" not in capsys.readouterr().out
    assert main(["show", BACK, "--dataset", mine, "--over", "nowhere"]) == 2
