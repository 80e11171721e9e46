"""Two commands that write at once: one wins, the other is told, runs again, and nothing is lost."""

import subprocess
import sys
import tempfile
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

import cardref
from cardref.checks.sample import write_sample
from cardref.cli import main
from cardref.errors import DatasetError
from cardref.specimens.collection import read_collection
from cardref.storage import atomic
from cardref.storage.atomic import Change, write_changes

ROOT = Path(__file__).parents[2]

_PAUSED = """
import sys
from cardref.cli import main

event, *words = sys.argv[1:]
paused = False

def hook(name, args):
    global paused
    if name == event and not paused:
        paused = True
        print("paused", flush=True)
        sys.stdin.readline()

sys.addaudithook(hook)
status = main(words)
print(f"exit {status}", flush=True)
"""


@contextmanager
def _paused(folder: Path, event: str, *words: str) -> Iterator["subprocess.Popen[str]"]:
    """A command that stands still right before its first ``event``, until a line is written to it."""
    with subprocess.Popen(
        [sys.executable, "-c", _PAUSED, event, *words],
        cwd=folder,
        env={"PYTHONPATH": str(ROOT), "PATH": "", "PYTHONDONTWRITEBYTECODE": "1"},  # which renames files too
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "paused\n", process.stderr and process.stderr.read()
        yield process


def _goes_on(process: "subprocess.Popen[str]") -> tuple[int, str]:
    """Let it go on; its exit status, and what it said."""
    out, err = process.communicate("\n")
    return int(out.rpartition("exit ")[2]), out + err


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working directory with the sample in ./dataset."""
    monkeypatch.chdir(tmp_path)
    write_sample(tmp_path / "dataset")
    return tmp_path


_ADD = ("own", "add", "mine.yaml", "--back", "pell-orrin 4B", "--figure")


@pytest.mark.parametrize("begun", [True, False])
def test_two_add_to_a_file_of_their_own(here: Path, begun: bool) -> None:
    """Both have read the file, one writes; the other is told, runs it again, and both specimens are there."""
    if begun:
        Path("mine.yaml").write_text("specimens:\n  - {id: s-007, card: lanternfish/pell-orrin/c-001}\n")
    with _paused(here, "fcntl.flock", *_ADD, "reef pilot") as first:
        assert main([*_ADD, "tide clerk"]) == 0
        status, said = _goes_on(first)
    assert (status, "has changed since it was read" in said) == (2, True)
    assert main([*_ADD, "reef pilot"]) == 0
    mine = read_collection(["mine.yaml"], cardref.load("dataset"))
    figures = [str(held.record.figure).rpartition("/")[2] for held in mine.specimens]
    assert figures[-2:] == ["tide-clerk", "reef-pilot"]
    assert len(figures) == 2 + begun


def test_two_add_lists_to_a_dataset(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two lists at once: the second is told before a file has changed; again, it gets ids of its own."""
    Path("one.csv").write_text("figure,maker,series,back\nFog Piper,pell-orrin,lanternfish,6A\n")
    rows = "Salvage Nan,pell-orrin,lanternfish,6A\nFog Piper,pell-orrin,lanternfish,4A\n"
    Path("two.csv").write_text(f"figure,maker,series,back\n{rows}")
    with _paused(here, "fcntl.flock", "tables", "add", "one.csv") as first:
        assert main(["tables", "add", "two.csv"]) == 0
        status, said = _goes_on(first)
    assert (status, "nothing was written" in said) == (2, True)
    capsys.readouterr()
    assert main(["tables", "add", "one.csv"]) == 0
    assert "1 card added in 1 file" in capsys.readouterr().out  # the figure and its front are there already
    reference = cardref.load("dataset")
    assert [len(reference.cards_of(name)) for name in ("fog piper", "salvage nan")] == [2, 1]


def test_two_retire_at_once(here: Path) -> None:
    """Two tombstones: the second is told, since both go into one file; again, both are there."""
    with _paused(here, "fcntl.flock", "retire", "glossy-four", "--reason", "x") as first:
        assert main(["retire", "reef pilot", "--rename-to", "reef-guide"]) == 0
        status, said = _goes_on(first)
    assert (status, "nothing was written" in said) == (2, True)
    assert main(["retire", "glossy-four", "--reason", "x"]) == 0
    text = Path("dataset/retired.yaml").read_text()
    assert "glossy-four" in text
    assert "reef-guide" in text


def test_whoever_finds_another_writing_waits(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one is between its files another waits, and says so when it has waited long enough."""
    monkeypatch.setattr(atomic, "PATIENCE", 0.05)
    before = {path: path.read_bytes() for path in here.rglob("*.yaml")}
    with _paused(here, "os.rename", "fmt") as first:  # it holds the lock
        with pytest.raises(DatasetError, match="another command has been writing"):
            write_changes(Path("dataset"), [Change("new.yaml", None, b"x")])
        assert {path: path.read_bytes() for path in here.rglob("*.yaml")} == before
        status, _ = _goes_on(first)
    assert status == 0
    assert not Path("dataset/new.yaml").exists()
    assert main(["fmt", "--check"]) == 0


def test_a_file_has_one_lock_whatever_it_is_reached_by(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """``fix box/mine.csv`` from above and ``own add mine.csv`` in the box do not write at once."""
    monkeypatch.setattr(atomic, "PATIENCE", 0.05)
    Path("box").mkdir()
    text = 'id,figure,back,price\n7,reef pilot,pell-orrin 4A,"12,50 EUR"\n'
    Path("box/mine.csv").write_text(text)
    with _paused(here, "os.rename", "fix", "--unsafe", "box/mine.csv") as first:
        monkeypatch.chdir("box")
        dataset = ["--dataset", str(here / "dataset")]
        add = ["own", "add", "mine.csv", "--figure", "tide clerk", "--back", "pell-orrin 4A", *dataset]
        assert main(add) == 2
        assert Path("mine.csv").read_text() == text
        status, _ = _goes_on(first)
    assert status == 0
    assert main(add) == 0
    assert Path("mine.csv").read_text().count("\n") == 3
    assert "12.50 EUR" in Path("mine.csv").read_text()


def test_two_files_in_two_folders_never_wait_for_each_other(tmp_path: Path) -> None:
    """Locks are taken in one order: writers of the same folders, named in any order, all come to an end."""
    for name in ("a", "b", "c"):
        (tmp_path / name).mkdir()
    code = """
    import sys
    from pathlib import Path
    from cardref.storage import atomic
    from cardref.storage.atomic import Change, read_bytes, write_changes

    root, names = Path(sys.argv[1]), sys.argv[2].split(",")
    sys.stdin.readline()
    for number in range(40):
        while True:
            old = [read_bytes(root, f"{name}/n") for name in names]
            new = [b"%d" % (int(data or b"0") + 1) for data in old]
            try:
                write_changes(root, [Change(f"{n}/n", o, w) for n, o, w in zip(names, old, new)], apart=True)
                break
            except atomic.ChangedMeanwhile:
                pass
    """
    orders = ("a,b,c", "c,b,a", "b,a,c")
    started: list[subprocess.Popen[Any]] = [
        subprocess.Popen(
            [sys.executable, "-c", textwrap.dedent(code), str(tmp_path), order],
            cwd=ROOT,
            stdin=subprocess.PIPE,
        )
        for order in orders
    ]
    for process in started:
        assert process.stdin is not None
        process.stdin.write(b"go\n")
        process.stdin.flush()
    for process in started:
        process.communicate()
        assert process.returncode == 0
    assert {(tmp_path / name / "n").read_bytes() for name in "abc"} == {b"120"}  # nothing is lost


_AS_NOBODY = """
import os, sys
from cardref.cli import main

WORDS = (
    ["fmt"], ["retire", "glossy-four", "--reason", "x"], ["tables", "add", "list.csv"],
    ["own", "add", "mine.yaml", "--figure", "reef pilot", "--back", "pell-orrin 4A"],
    ["tables", "export", "sheets"], ["export", "json", "out"], ["init", "new", "--line", "A", "--maker", "B"],
    ["own", "report", "box.csv", "--svg", "drawn.svg"],
)
os.chdir("free")  # once where all may be written: later Python itself may be out of reach
print("status", [main(words) for words in WORDS])
os.chdir("../shut")
if os.geteuid() == 0:  # to whom nothing is read-only
    os.setgid(65534)
    os.setuid(65534)
print("::", file=sys.stderr)
print("status", [main(words) for words in WORDS])
"""


def test_where_nothing_may_be_written_each_verb_says_so() -> None:
    """In folders that are read-only every verb that writes ends with 2 and a word, and nothing changes."""
    # Not below pytest's own folder, which only its owner may enter.
    with tempfile.TemporaryDirectory() as name:
        for folder in (Path(name) / "free", Path(name) / "shut"):
            write_sample(folder / "dataset")
            (folder / "list.csv").write_text(
                "figure,maker,series,back\nFog Piper,pell-orrin,lanternfish,6A\n"
            )
            (folder / "box.csv").write_text("id,figure,back\n7,reef pilot,pell-orrin 4A\n")
        Path(name).chmod(0o755)
        folders = [folder, *(path for path in folder.rglob("*") if path.is_dir())]
        before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
        for path in folders:
            path.chmod(0o555)
        done = subprocess.run(
            [sys.executable, "-c", _AS_NOBODY],
            cwd=name,
            env={"PYTHONPATH": str(ROOT), "PATH": ""},
            capture_output=True,
            text=True,
            check=False,
        )
        for path in folders:
            path.chmod(0o755)
        said = done.stderr.partition("::\n")[2]
        assert "Traceback" not in done.stderr, done.stderr
        assert [line for line in done.stdout.splitlines() if line.startswith("status")] == [
            f"status {[0] * 8}",
            f"status {[2] * 8}",
        ]
        assert said.count("cardref: ") == 8, said
        assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
