"""Files made to confuse, crash or mislead: each is told of at its place, with libyaml and without it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.finding import Report
from cardref.storage import yamltext
from tests.hostile.kit import FILES, TODAY, Ran, raw_signs, run

EXPECTED: dict[str, list[str]] = yaml.safe_load(FILES.with_name("expected.yaml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample dataset; a test lays its file in as ``glossary.yaml``."""
    return write_sample(tmp_path_factory.mktemp("sample"))


def _report(sample: Path, data: bytes) -> Report:
    (sample / "glossary.yaml").write_bytes(data)
    return check(sample, today=TODAY)


def test_every_file_is_expected() -> None:
    """The folder and the table beside it name the same files."""
    assert sorted(EXPECTED) == sorted(path.name for path in FILES.iterdir())


@pytest.mark.parametrize("name", EXPECTED)
def test_what_is_found_in_a_hostile_file(sample: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Exactly the findings of the table, at their line and column; without libyaml the same report."""
    data = (FILES / name).read_bytes()
    report = _report(sample, data)
    found = [f"{f.place.line}:{f.place.column} {f.rule}" for f in report.findings]
    assert found == EXPECTED[name]
    assert all(f.place.path == "glossary.yaml" for f in report.findings)
    monkeypatch.setattr(yamltext, "_FastParser", None)
    assert _report(sample, data) == report


def test_messages_are_short(sample: Path) -> None:
    """However long the text at fault is, the message about it fits on a few lines."""
    for name in EXPECTED:
        for finding in _report(sample, (FILES / name).read_bytes()).findings:
            assert len(finding.message) <= 400, name


# --- every verb ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def museum(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample dataset with every hostile file in it, as a part of a maker's backs."""
    folder = write_sample(tmp_path_factory.mktemp("museum") / "dataset")
    for path in FILES.iterdir():
        part = f"lines/lanternfish/backs/pell-orrin.{path.stem}.yaml"
        (folder / part).write_bytes(path.read_bytes())
    return folder


VERBS = """
check DATASET
check DATASET --format json
check DATASET --format sarif
check DATASET --format annotations
check DATASET --fail-on note --over SAMPLE
check DATASET --since SAMPLE
check DATASET --base SAMPLE --format json
check DATASET --write-baseline OUT/baseline.json
fmt --check DATASET
fmt --diff DATASET
fix --diff DATASET
fix --diff --unsafe DATASET
list backs --dataset DATASET
list cards --dataset SAMPLE --over DATASET
show pell-orrin --dataset DATASET
explain back --dataset DATASET
decode 25B --dataset DATASET
vet back=7A --dataset DATASET
identify --dataset DATASET --line lanternfish
compare SAMPLE DATASET
compare DATASET SAMPLE --format json
compare SAMPLE DATASET --format markdown
retire glossy-four --reason x --diff --dataset DATASET
tables export OUT/tables --dataset DATASET
tables import OUT/tables --dataset DATASET --diff
export datapackage OUT/package --dataset DATASET
export sqlite OUT/sqlite --dataset DATASET
export json OUT/json --dataset DATASET
""".strip().split("\n")


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder to write into."""
    return tmp_path_factory.mktemp("out")


def _words(line: str, museum: Path, sample: Path, out: Path) -> Iterator[str]:
    for word in line.split():
        yield word.replace("DATASET", str(museum)).replace("SAMPLE", str(sample)).replace("OUT", str(out))


@pytest.mark.parametrize("line", VERBS)
def test_no_verb_fails_on_hostile_files(
    museum: Path, tmp_path_factory: pytest.TempPathFactory, out: Path, line: str
) -> None:
    """Every verb ends with an exit status of its own, and nothing of the files is written raw."""
    plain = write_sample(tmp_path_factory.mktemp("plain"))
    ran = run(list(_words(line, museum, plain, out)))
    assert ran.status in (0, 1, 2), ran
    assert ran.out or ran.err
    assert raw_signs(ran.out + ran.err) == []


def test_what_can_be_laid_out_is_and_nothing_else_is_touched(museum: Path) -> None:
    """Only files without a fault are laid out by fmt, and the others keep every byte."""
    before = {path.name: path.read_bytes() for path in FILES.iterdir()}
    ran: Ran = run(["fmt", str(museum)])
    assert ran.status == 1
    faulty = {
        name for name, found in EXPECTED.items() if any(word.split()[1] in _UNREADABLE for word in found)
    }
    for name in faulty:
        path = museum / f"lines/lanternfish/backs/pell-orrin.{name}"
        assert path.read_bytes() == before[name], name


_UNREADABLE = frozenset(
    "byte-order-mark control-character duplicate-key empty-file encoding line-end merge-conflict nesting "
    "scalar-length several-documents tab yaml-feature yaml-syntax".split()
)
