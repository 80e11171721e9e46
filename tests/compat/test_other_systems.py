"""Habits of other systems: line ends, file names in another case, code that lies in a zip archive."""

import io
import itertools
import ntpath
import os
import string
import subprocess
import sys
import zipfile
from pathlib import Path, PureWindowsPath

import pytest

import cardref
from cardref.checks.rules.reading.reserved_name import RESERVED
from cardref.checks.sample import write_sample
from cardref.cli.dispatch import main
from tests.hostile.kit import run

ROOT = Path(__file__).parents[2]


def _with_crlf(folder: Path) -> Path:
    for path in folder.rglob("*.yaml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    return folder


def _spoil(folder: Path) -> Path:
    for name, right, wrong in (
        ("dataset.yaml", b"model: 1", b"model: 0"),
        ("lines/lanternfish/backs/pell-orrin.yaml", b"count: 4", b"count: 5"),
    ):
        data = (folder / name).read_bytes()
        assert right in data
        (folder / name).write_bytes(data.replace(right, wrong, 1))
    return folder


def test_findings_stand_at_the_same_places_with_either_line_end(tmp_path: Path) -> None:
    """A file with CR LF has the findings of the one with LF, line and column, and the same records."""
    plain, other = (_spoil(write_sample(tmp_path / name)) for name in ("lf", "crlf"))
    _with_crlf(other)
    found = [cardref.check(folder).findings for folder in (plain, other)]
    assert found[0] == found[1]
    assert {finding.rule for finding in found[0]} >= {"older-model", "count-mismatch"}
    assert cardref.load(plain).backs == cardref.load(other).backs


@pytest.mark.parametrize(
    "line", ["fix --unsafe DATASET", "fmt DATASET", "retire glossy-four --reason gone --dataset DATASET"]
)
def test_who_writes_keeps_the_line_ends_of_a_file(tmp_path: Path, line: str) -> None:
    """What is changed differs from what becomes of the file with LF by its line ends alone."""
    plain, other = (_spoil(write_sample(tmp_path / name)) for name in ("lf", "crlf"))
    _with_crlf(other)
    for folder in (plain, other):
        assert run(line.replace("DATASET", str(folder)).split()).status in (0, 1)
    for path in plain.rglob("*.yaml"):
        made = (other / path.relative_to(plain)).read_bytes()
        if made != path.read_bytes():  # a new file has LF
            assert made == path.read_bytes().replace(b"\n", b"\r\n"), path


def test_a_file_named_in_another_case_is_none_of_the_layout(tmp_path: Path) -> None:
    """``Makers.yaml`` is told on every system, also where it cannot lie beside ``makers.yaml``."""
    folder = write_sample(tmp_path / "dataset")
    (folder / "Makers.yaml").write_bytes((folder / "makers.yaml").read_bytes())
    assert [(f.rule, f.place.path) for f in cardref.check(folder).findings] == [
        ("unknown-file", "Makers.yaml")
    ]


@pytest.mark.parametrize("words", [["list", "makers", "--format", "csv"], ["list", "makers"]])
def test_standard_output_has_the_same_bytes_where_python_would_turn_line_ends(
    monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    """A stream set up as on Windows (CR LF for each line end) writes what one set up as here does."""
    written = []
    for newline in ("\n", "\r\n"):
        out = io.BytesIO()
        monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, "utf-8", newline=newline))
        assert main(words) == 0
        sys.stdout.flush()
        written.append(out.getvalue())
    assert written[0] == written[1]
    assert b"\r\r" not in written[0]


def test_code_in_a_zip_archive_works_on_a_dataset_and_says_that_it_has_none_itself(tmp_path: Path) -> None:
    """The package is imported out of an archive; the bundled reference needs files, as the message says."""
    archive = tmp_path / "cardref.zip"
    with zipfile.ZipFile(archive, "w") as pack:
        for path in (ROOT / "cardref").rglob("*.py"):
            pack.write(path, path.relative_to(ROOT).as_posix())
    sample = write_sample(tmp_path / "sample")

    def ask(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-P", "-m", "cardref", *words],
            env={**os.environ, "PYTHONPATH": str(archive)},
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
        )

    assert ask("check", str(sample)).returncode == 0
    without = ask("decode", "25B")
    assert without.returncode == 2
    assert "zip archive" in without.stderr


def test_the_reserved_names_are_those_that_python_knows_of_windows() -> None:
    """Of all short words, just those that Python's own account of Windows paths calls reserved."""
    signs = string.ascii_lowercase + string.digits
    words = {"".join(some) for some in itertools.product(string.ascii_lowercase, repeat=3)}
    words |= {f"{word}{sign}" for word in ("com", "lpt", "con", "aux", "nul", "prn") for sign in signs}
    told = {word for word in words if _is_reserved(f"{word}.yaml")}
    # Python leaves out the two with 0, which Microsoft's list has had since.
    assert told | {"com0", "lpt0"} == RESERVED


def _is_reserved(name: str) -> bool:
    if sys.version_info >= (3, 13):
        return ntpath.isreserved(name)
    return PureWindowsPath(name).is_reserved()
