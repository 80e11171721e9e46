"""A change of several files that was cut off: told by who reads, finished by who writes, not guessed."""

import errno
import json
import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import cardref
from cardref.checks.sample import write_sample
from cardref.cli import main
from cardref.errors import DatasetError
from cardref.storage import atomic, unfinished
from cardref.storage.atomic import Change, finish, write_changes
from cardref.storage.unfinished import UNFINISHED, Step, digest

OLD, NEW = b"makers: []\n", b"makers: []  # none\n"


def _tree(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if stat.S_ISREG(path.lstat().st_mode)
    }


def _prepared(root: Path, path: str, data: bytes) -> str:
    """A new text beside its file, as a killed writer leaves it."""
    name = f".{path.rpartition('/')[2]}.0123456789ab.cardref-new"
    (root / path).with_name(name).write_bytes(data)
    return name


def _cut_off(root: Path) -> None:
    """As if a change of makers.yaml and glossary.yaml had been cut off behind the first."""
    old = {name: (root / name).read_bytes() for name in ("makers.yaml", "glossary.yaml")}
    new = {name: data + b"# changed\n" for name, data in old.items()}
    steps = [
        Step(name, _prepared(root, name, new[name]), digest(old[name]), digest(new[name])) for name in old
    ]
    (root / UNFINISHED).write_bytes(unfinished.written(steps))
    (root / steps[0].new).replace(root / "makers.yaml")


@pytest.fixture
def cut(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A dataset in ./dataset with half a change."""
    monkeypatch.chdir(tmp_path)
    root = write_sample(tmp_path / "dataset")
    assert main(["fmt"]) == 0
    _cut_off(root)
    return root


def test_whoever_reads_is_told(cut: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A check names the note, and a dataset that is half changed is no reference; nothing is written."""
    before = _tree(cut)
    (finding,) = cardref.check(cut).findings
    assert (finding.rule, finding.place.path) == ("unfinished-change", UNFINISHED)
    with pytest.raises(DatasetError, match="cut off, or is under way"):
        cardref.load(cut)
    for words in (["fmt", "--check"], ["fmt", "--diff"], ["fix", "--diff"],
                  ["retire", "glossy-four", "--reason", "x", "--diff"]):  # fmt: skip
        assert main(words) == 2
        assert "run the command without --diff or --check" in capsys.readouterr().err
    assert _tree(cut) == before


def test_whoever_writes_finishes_it_and_says_so(cut: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The next command puts the second file in place, leaves no trace, and goes on with its own work."""
    assert main(["retire", "glossy-four", "--reason", "not theirs"]) == 0
    assert "had been cut off and is finished now: 1 file put in place" in capsys.readouterr().err
    assert (cut / "makers.yaml").read_bytes().endswith(b"# changed\n")
    assert (cut / "glossary.yaml").read_bytes().endswith(b"# changed\n")
    assert b"not theirs" in (cut / "retired.yaml").read_bytes()
    assert [path for path in _tree(cut) if path.rpartition("/")[2].startswith(".")] == []
    assert cardref.check(cut).clean


def test_the_library_finishes_it_before_its_own_change(cut: Path) -> None:
    """Whoever writes without the command line does not write between the halves either."""
    text = (cut / "sources.yaml").read_bytes()
    write_changes(cut, [Change("sources.yaml", text, text + b"# mine\n")])
    assert (cut / "glossary.yaml").read_bytes().endswith(b"# changed\n")
    assert (cut / "sources.yaml").read_bytes().endswith(b"# mine\n")
    assert not (cut / UNFINISHED).exists()
    assert finish(cut) == ()


def test_what_somebody_wrote_meanwhile_is_not_overwritten(
    cut: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where the second file is neither old nor new, nothing is touched, and the way out is told."""
    (cut / "glossary.yaml").write_text("terms:   []\n")
    before = _tree(cut)
    assert main(["fmt"]) == 2
    said = capsys.readouterr().err
    assert "'glossary.yaml' is neither what it was nor what it was to be" in said
    assert f"then delete 'dataset/{UNFINISHED}'" in said
    assert _tree(cut) == before
    (cut / UNFINISHED).unlink()
    assert main(["fmt"]) == 0
    assert (cut / "glossary.yaml").read_text() == "terms: []\n"
    assert [path for path in _tree(cut) if path.startswith(".")] == []  # swept with the change of its folder


def test_a_change_that_was_all_done_needs_its_note_taken_away_only(cut: Path) -> None:
    """Killed behind the last rename: no file changes any more."""
    assert finish(cut) == ("glossary.yaml",)
    (cut / UNFINISHED).write_bytes(unfinished.written([Step("makers.yaml", "", digest(b"x"), "")]))
    (cut / "makers.yaml").unlink()  # what was to go has gone
    assert finish(cut) == ()
    assert not (cut / UNFINISHED).exists()


def _steps(*steps: Any) -> bytes:
    return json.dumps({"format": 1, "steps": steps}).encode()


def _step(**said: Any) -> dict[str, Any]:
    new = ".a.yaml.0123456789ab.cardref-new"
    return {"path": "a.yaml", "new": new, "before": digest(OLD), "after": digest(NEW)} | said


@pytest.mark.parametrize(
    "note",
    [b"", b"\xff", b"null", b"[]", b"{}", b"[" * 100_000, b"1" * 5000, b'{"format": 2, "steps": []}',
     _steps(), _steps(None), _steps({})]
    + [_steps(_step(path=path)) for path in (
        None, 5, "", "../a.yaml", "b/../../a.yaml", "/etc/a.yaml", "b//a.yaml", "./a.yaml", "out/a.yaml",
        "b\\a.yaml", "a\0.yaml", "x" * 5000,
    )]
    + [_steps(_step(new=new)) for new in (
        None, "", "a.yaml", "../.a.yaml.0123456789ab.cardref-new", ".b.yaml.0123456789ab.cardref-new",
        ".a.yaml.x/0123456789ab.cardref-new",
    )]
    + [_steps(_step(after="")), _steps(_step(before=[]))],
)  # fmt: skip
def test_a_note_from_a_stranger_cannot_reach_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], note: bytes
) -> None:
    """A note that is none of ours, or leads out of the dataset, is refused with a word; nothing changes."""
    root = tmp_path / "dataset"
    write_sample(root)
    for folder in (tmp_path, root):
        (folder / "a.yaml").write_bytes(OLD)
        _prepared(folder, "a.yaml", NEW)
    (root / "out").symlink_to(tmp_path)
    (root / UNFINISHED).write_bytes(note)
    before = _tree(tmp_path)
    assert main(["fmt", str(root)]) == 2
    assert "cut off" in capsys.readouterr().err
    assert _tree(tmp_path) == before
    assert "unfinished-change" in {finding.rule for finding in cardref.check(root).findings}


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir, lambda path: path.symlink_to("makers.yaml")])
def test_a_note_that_is_no_file_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], make: Callable[[Path], None]
) -> None:
    """A pipe is not waited for, a link is not followed, a folder is told."""
    root = write_sample(tmp_path / "dataset")
    make(root / UNFINISHED)
    assert main(["fmt", str(root)]) == 2
    assert "should tell of a change that was cut off" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["\0", "x" * 5000, "file/below", "nowhere"])
def test_where_no_directory_can_be_there_is_no_note(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """A name that none can have, or below a file, says nothing here: who makes it says what is wrong."""
    monkeypatch.chdir(tmp_path)
    Path("file").touch()
    assert finish(Path(name)) == ()
    if name != "\0":  # which no command line can hold
        assert main(["init", name, "--line", "A", "--maker", "B"]) == (0 if name == "nowhere" else 2)


def test_a_new_text_that_is_not_what_the_note_says_is_not_taken(tmp_path: Path) -> None:
    """The prepared text is compared byte for byte, by its digest."""
    (tmp_path / "a.yaml").write_bytes(OLD)
    _prepared(tmp_path, "a.yaml", NEW + b"# and more\n")
    (tmp_path / UNFINISHED).write_bytes(_steps(_step()))
    with pytest.raises(DatasetError, match="cannot be finished"):
        finish(tmp_path)
    assert (tmp_path / "a.yaml").read_bytes() == OLD


def test_one_file_needs_no_note(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A change of one file, and of several that have nothing to do with each other, is never noted."""
    seen: list[str] = []
    real = atomic._put

    def put(target: Path, new: Path | None) -> None:
        seen.append(target.name)
        real(target, new)

    monkeypatch.setattr(atomic, "_put", put)
    write_changes(tmp_path, [Change("a", None, b"1")])
    write_changes(tmp_path, [Change("b", None, b"1"), Change("c", None, b"1")], apart=True)
    assert seen == ["a", "b", "c"]
    write_changes(tmp_path, [Change("d", None, b"1"), Change("e", None, b"1")])
    assert seen[3:] == [UNFINISHED, "d", "e"]
    assert sorted(_tree(tmp_path)) == ["a", "b", "c", "d", "e"]


@pytest.mark.parametrize("apart", [True, False])
def test_a_disk_that_stays_full_is_told_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, apart: bool
) -> None:
    """Where nothing can be put back, the error says what is new, and promises to finish only what it can."""
    for name in "ab":
        (tmp_path / name).write_bytes(b"old")
    real = atomic._put

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    def put(target: Path, new: Path | None) -> None:
        if target.name == "b":
            monkeypatch.setattr(os, "fsync", full)  # from now on nothing can be written
            full()
        real(target, new)

    monkeypatch.setattr(atomic, "_put", put)
    with pytest.raises(DatasetError, match="some are new and some old") as caught:
        write_changes(tmp_path, [Change(name, b"old", b"new") for name in "ab"], apart=apart)
    monkeypatch.undo()
    assert ("finishes it first" in str(caught.value)) != apart
    assert ((tmp_path / "a").read_bytes(), (tmp_path / "b").read_bytes()) == (b"new", b"old")
    assert finish(tmp_path) == (() if apart else ("b",))


def test_an_interrupt_while_files_are_put_back_is_finished_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Interrupted twice, in the change and in putting back: the note stays, and the change is finished."""
    for name in "abc":
        (tmp_path / name).write_bytes(b"old")
    real = atomic._put
    count = 0

    def put(target: Path, new: Path | None) -> None:
        nonlocal count
        count += 1
        if count in (3, 4):  # behind the note and the first file; then the note of what is put back
            raise KeyboardInterrupt
        real(target, new)

    with monkeypatch.context() as patch:
        patch.setattr(atomic, "_put", put)
        with pytest.raises(KeyboardInterrupt):
            write_changes(tmp_path, [Change(name, b"old", b"new") for name in "abc"])
    assert (tmp_path / UNFINISHED).exists()
    assert finish(tmp_path) == ("b", "c")
    assert {name: (tmp_path / name).read_bytes() for name in "abc"} == dict.fromkeys("abc", b"new")
    write_changes(tmp_path, [Change("a", b"new", b"newer")])
    assert sorted(_tree(tmp_path)) == ["a", "b", "c"]
