"""A dataset of an older version of the model is read, with a note; one of a newer version is refused."""

from collections.abc import Callable
from pathlib import Path

import pytest

import cardref
from cardref.checks.sample import write_sample
from cardref.errors import DatasetError
from cardref.finding import Finding, Severity
from cardref.model.dataset import MODEL_VERSION, OLDEST_MODEL
from tests.hostile.kit import run

NEWER = MODEL_VERSION + 1

Made = Callable[[str], Path]


@pytest.fixture
def made(tmp_path: Path) -> Made:
    """Makes the sample dataset with other words in place of the line that tells the model."""

    def make(line: str) -> Path:
        folder = write_sample(tmp_path / "dataset")
        path = folder / "dataset.yaml"
        text = path.read_text(encoding="utf-8")
        assert f"\nmodel: {MODEL_VERSION}\n" in text
        path.write_text(text.replace(f"\nmodel: {MODEL_VERSION}\n", f"\n{line}\n"), encoding="utf-8")
        return folder

    return make


def _about(folder: Path) -> list[Finding]:
    return list(cardref.check(folder).findings)


@pytest.mark.parametrize("version", range(OLDEST_MODEL, MODEL_VERSION))
def test_an_older_model_is_read_with_a_note(made: Made, version: int) -> None:
    """All records are there as ever; the one finding is a note, at the number, and says what to write."""
    folder = made(f"model: {version}")
    (finding,) = _about(folder)
    assert (finding.rule, finding.severity, finding.field) == ("older-model", Severity.NOTE, "model")
    assert f"`model: {MODEL_VERSION}`" in finding.message
    before = cardref.load(folder).backs
    assert run(["check", str(folder)]).status == 0  # a note fails nobody's run
    assert run(["fix", "--unsafe", str(folder)]).status == 0
    assert _about(folder) == []
    assert cardref.load(folder).backs == before


def test_what_an_older_model_has_no_more_is_told_beside_the_note(made: Made) -> None:
    """A key of old times that nobody knows now is a finding of its own: nothing is dropped without a word."""
    folder = made("model: 0\npublisher: somebody")
    noted, unknown = _about(folder)
    assert (noted.rule, unknown.rule) == ("older-model", "unknown-key")
    assert "publisher" in unknown.message


@pytest.mark.parametrize(
    "line",
    [
        f"model: {NEWER}",
        f"model: {10**15}",
        f"model: {NEWER}\nkeeper: somebody",  # a field that this program does not know
        f"model: {NEWER}\nlicence: [CC0-1.0, CC-BY-4.0]",  # one that has another shape by then
    ],
)
def test_a_newer_model_is_refused_and_nothing_else_is_said(made: Made, line: str) -> None:
    """One finding, with what to do, also where the description has what this program cannot read."""
    folder = made(line)
    if "licence" in line:
        path = folder / "dataset.yaml"
        path.write_text(
            path.read_text(encoding="utf-8").replace("licence: CC0-1.0\n", "", 1), encoding="utf-8"
        )
    (finding,) = _about(folder)
    assert (finding.rule, finding.severity) == ("model-version", Severity.ERROR)
    assert "use a newer cardref" in finding.message
    with pytest.raises(DatasetError, match="install a newer cardref"):
        cardref.load(folder)


VERBS = """
decode 4A --dataset DATASET
identify --dataset DATASET
vet back=4A --dataset DATASET
show pell-orrin --dataset DATASET
list backs --dataset DATASET
list backs --dataset SAMPLE --over DATASET
gaps --dataset DATASET
fmt DATASET
retire glossy-four --reason x --dataset DATASET
compare DATASET SAMPLE
compare SAMPLE DATASET
check SAMPLE --base DATASET
check SAMPLE --since DATASET
check SAMPLE --over DATASET
tables export OUT --dataset DATASET
export json OUT --dataset DATASET
export sqlite OUT --dataset DATASET
""".strip().split("\n")


@pytest.mark.parametrize("line", VERBS)
def test_no_verb_works_on_a_newer_model(made: Made, tmp_path: Path, line: str) -> None:
    """Whatever asks, writes or compares stops with the clear word and status 2; every file is as it was."""
    folder = made(f"model: {NEWER}")
    sample = write_sample(tmp_path / "sample")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    out = str(tmp_path / "out")
    words = [
        word.replace("DATASET", str(folder)).replace("SAMPLE", str(sample)).replace("OUT", out)
        for word in line.split()
    ]
    ran = run(words)
    assert ran.status == 2, ran
    assert b"install a newer cardref" in ran.err
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("model: -1", "out-of-range"),
        ("model: 1.0", "wrong-type"),
        ("model: true", "wrong-type"),
        ("model: [1]", "wrong-type"),
        ('model: "1"', "wrong-type"),
        ("model: one", "wrong-type"),
        ("model: 1e3", "wrong-type"),
        ("model: .inf", "wrong-type"),
        ("model: 0x1", "wrong-type"),
        ("model:", "wrong-type"),
        ("edition: 1", "missing-key"),
        (f"model: {'9' * 5000}", "wrong-type"),
        (f"model: -{'9' * 5000}", "wrong-type"),
    ],
)
def test_a_version_that_is_none_is_told(made: Made, line: str, rule: str) -> None:
    """An error at the number, where it should be a whole one from 0 on; without it nothing is loaded."""
    folder = made(line)
    found = _about(folder)
    assert rule in {finding.rule for finding in found if finding.severity is Severity.ERROR}, found
    with pytest.raises(DatasetError, match=r"dataset\.yaml"):
        cardref.load(folder)
