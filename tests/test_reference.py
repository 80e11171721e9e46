"""The public Reference: look-ups that pick nothing silently, layers, and immutability."""

import copy
import pickle
import threading
from pathlib import Path

import pytest

import cardref


@pytest.fixture(scope="module")
def ref() -> cardref.Reference:
    """The bundled demo reference."""
    return cardref.load()


def test_a_back_is_found_by_id_designation_and_short_id(ref: cardref.Reference) -> None:
    """People write designations, records refer by id: both lead to the same record."""
    back = ref.back("tidewrack/quay-marl/b-017")
    ways = "quay-marl 25B|quay-marl 25b|Quay & Marl Playworks 25B|quay-marl b-017|quay-marl/b-017"
    for text in (*ways.split("|"), "tidewrack quay-marl 25B"):
        assert ref.back(text) is back, text


def test_nothing_picks_one_silently(ref: cardref.Reference) -> None:
    """A bare count names several backs: find gives all, back refuses with the matches."""
    found = ref.find("quay-marl 25")
    assert len(found) > 1
    with pytest.raises(cardref.AmbiguousRecord) as caught:
        ref.back("quay-marl 25")
    assert set(caught.value.matches) == {getattr(record, "id", "") for record in found}
    assert isinstance(caught.value, LookupError)


def test_an_unknown_name_gets_a_suggestion(ref: cardref.Reference) -> None:
    """A misspelt id is told with the one that was meant."""
    with pytest.raises(cardref.UnknownRecord) as caught:
        ref.back("quay-mral 25B")
    assert "quay-marl 25B" in caught.value.suggestions
    with pytest.raises(cardref.UnknownRecord):
        ref.figure("")


def test_names_are_found_in_every_script_without_case_or_accents(ref: cardref.Reference) -> None:
    """Every recorded name of every figure leads to it, in capitals too."""
    for figure in ref.figures.values():
        for name in figure.names:
            assert figure in ref.find(name.text.upper(), "figure"), name.text


def test_retired_ids_lead_to_what_took_their_place(ref: cardref.Reference) -> None:
    """An id is never reused, and never a dead end where something took its place."""
    tombstones = ref.index.retired
    assert tombstones
    for old, tombstone in tombstones.items():
        found = {getattr(record, "id", "") for record in ref.find(old)}
        assert found == {new for one in tombstone.replaced_by for new in ref.index.current(one)}


def test_backs_stand_in_semantic_order(ref: cardref.Reference) -> None:
    """Within a maker's line, backs are ordered by designation: 9 before 25 before 25B before 25AA."""
    keys = [(*back.id.split("/")[:2], back.designation) for back in ref.backs.values()]
    assert keys == sorted(keys)


def test_a_reference_cannot_be_changed(ref: cardref.Reference) -> None:
    """Neither the reference nor its records take an assignment."""
    with pytest.raises(AttributeError):
        ref.anything = 1
    with pytest.raises(AttributeError):
        ref.back("quay-marl 25B").count = 3  # type: ignore[misc] # the point of the test
    with pytest.raises(TypeError):
        ref.back("quay-marl 25B").features["x"] = ()  # type: ignore[index] # the point of the test


def test_a_reference_survives_pickling_and_copying(ref: cardref.Reference) -> None:
    """Another process gets an equal one: same fingerprint, same answers."""
    for other in (pickle.loads(pickle.dumps(ref)), copy.deepcopy(ref)):  # noqa: S301 - our own bytes
        assert other.fingerprint == ref.fingerprint
        assert other.decode("7K 2046/031") == ref.decode("7K 2046/031")


def test_threads_get_equal_answers() -> None:
    """One reference, first used by many threads at once, answers each the same."""
    shared = cardref.load()
    answers: list[object] = []

    def ask() -> None:
        answers.append((shared.decode("7K 2046/0?1").readings, tuple(shared.backs), shared.fingerprint))

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(answers) == 8
    assert all(answer == answers[0] for answer in answers)


_MINE = """\
line: tidewrack
maker: quay-marl
backs:
  - id: b-017
    designation: {designation}
    series: tidewrack
    count: 25
  - id: b-900
    designation: "26"
    series: tidewrack
    count: 26
"""


def _mine(folder: Path, designation: str) -> Path:
    (folder / "lines/tidewrack/backs").mkdir(parents=True)
    (folder / "dataset.yaml").write_text(
        "id: mine\ntitle: My corrections\nversion: '2026.11'\nlicence: CC0-1.0\nmodel: 1\n"
    )
    (folder / "lines/tidewrack/backs/quay-marl.yaml").write_text(_MINE.format(designation=designation))
    return folder


def test_layers_remember_which_one_won(tmp_path: Path, ref: cardref.Reference) -> None:
    """One's own records lie over the base; the rest shines through, and each record says where it is from."""
    mine = cardref.load(_mine(tmp_path / "mine", "25Z"), over=ref)
    assert str(mine.back("tidewrack/quay-marl/b-017").designation) == "25Z"
    assert mine.layer_of("tidewrack/quay-marl/b-017").endswith("mine")
    assert mine.layer_of("tidewrack/quay-marl/b-900").endswith("mine")
    assert mine.layer_of("tidewrack/quay-marl/b-001") == ref.name
    assert mine.dataset is not None
    assert mine.dataset.id == "mine"
    assert len(mine.backs) == len(ref.backs) + 1


def test_a_series_that_is_called_like_its_line_is_found(ref: cardref.Reference) -> None:
    """One short id for a line and a series: the kind that is asked for decides."""
    assert ref.find("tidewrack", "series") == (ref.series["tidewrack/series/tidewrack"],)
    assert ref.find("tidewrack", "line") == (ref.line("tidewrack"),)


def test_a_faulty_dataset_is_refused_with_its_findings(tmp_path: Path) -> None:
    """load() needs records it can trust: what cannot be read or does not fit is told with its place."""
    folder = _mine(tmp_path / "bad", "25b")
    with pytest.raises(cardref.DatasetError) as caught:
        cardref.load(folder)
    assert caught.value.findings[0].place.path == "lines/tidewrack/backs/quay-marl.yaml"
    assert caught.value.findings[0].place.line == 5
    assert "cardref check" in str(caught.value)


@pytest.mark.parametrize("make", ["nothing", "file", "empty"])
def test_a_directory_that_is_no_dataset_is_told_with_the_next_step(tmp_path: Path, make: str) -> None:
    """A missing directory, a file, a directory without dataset.yaml: each one clear paragraph."""
    place = tmp_path / make
    if make == "file":
        place.write_text("x")
    elif make == "empty":
        place.mkdir()
    with pytest.raises(cardref.DatasetError, match=r"dataset\.yaml"):
        cardref.load(place)


def test_a_newer_model_version_is_refused(tmp_path: Path) -> None:
    """A dataset written for a newer cardref is not half understood."""
    folder = _mine(tmp_path / "new", "25Z")
    text = (folder / "dataset.yaml").read_text().replace("model: 1", "model: 99")
    (folder / "dataset.yaml").write_text(text)
    with pytest.raises(cardref.DatasetError, match="install a newer cardref"):
        cardref.load(folder)
