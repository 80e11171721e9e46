"""Writing: the old file or the new one, whole; never over somebody else's work; clear words when it fails."""

import errno
import os
import resource
import signal
import stat
import subprocess
import sys
import tempfile
import textwrap
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cardref.errors import DatasetError
from cardref.storage import atomic
from cardref.storage.atomic import Change, ChangedMeanwhile, read_bytes, write_changes

ROOT = Path(__file__).parents[2]


def _hidden(folder: Path) -> list[str]:
    return [path.name for path in folder.rglob(".*")]


def test_all_files_are_written(tmp_path: Path) -> None:
    """New, changed and removed files, in folders not there yet, are all as asked; nothing is left over."""
    (tmp_path / "a.yaml").write_bytes(b"old")
    (tmp_path / "c.yaml").write_bytes(b"gone")
    write_changes(
        tmp_path,
        [
            Change("a.yaml", b"old", b"new"),
            Change("d/e/b.yaml", None, b"born"),
            Change("c.yaml", b"gone", None),
            Change("same.yaml", None, None),
        ],
    )
    assert (tmp_path / "a.yaml").read_bytes() == b"new"
    assert (tmp_path / "d/e/b.yaml").read_bytes() == b"born"
    assert not (tmp_path / "c.yaml").exists()
    assert _hidden(tmp_path) == []


@pytest.mark.parametrize("now", [b"theirs", None])
def test_what_somebody_else_wrote_is_not_overwritten(tmp_path: Path, now: bytes | None) -> None:
    """A file that is not what the change was made from stays as it is, and so do all others of the change."""
    (tmp_path / "a.yaml").write_bytes(b"old")
    if now is not None:
        (tmp_path / "b.yaml").write_bytes(now)
    with pytest.raises(ChangedMeanwhile, match=r"'b.yaml' has changed"):
        write_changes(tmp_path, [Change("a.yaml", b"old", b"new"), Change("b.yaml", b"mine", b"new")])
    assert (tmp_path / "a.yaml").read_bytes() == b"old"
    assert read_bytes(tmp_path, "b.yaml") == now


def test_a_new_file_never_replaces_one(tmp_path: Path) -> None:
    """A file that was to be new is not written over one that has come meanwhile."""
    (tmp_path / "a.yaml").write_bytes(b"theirs")
    with pytest.raises(ChangedMeanwhile):
        write_changes(tmp_path, [Change("a.yaml", None, b"mine")])
    assert (tmp_path / "a.yaml").read_bytes() == b"theirs"


def test_the_mode_is_kept(tmp_path: Path) -> None:
    """Permissions of a file stay; a new one has those that the user's mask gives."""
    (tmp_path / "a.yaml").write_bytes(b"old")
    (tmp_path / "a.yaml").chmod(0o640)
    (tmp_path / "plain").write_bytes(b"")
    write_changes(tmp_path, [Change("a.yaml", b"old", b"new"), Change("b.yaml", None, b"x")])
    assert stat.S_IMODE((tmp_path / "a.yaml").stat().st_mode) == 0o640
    assert (tmp_path / "b.yaml").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_links_and_folders_are_left_alone(tmp_path: Path) -> None:
    """A symbolic link is not followed and not replaced; neither is anything else that is no regular file."""
    (tmp_path / "real").write_bytes(b"old")
    (tmp_path / "a.yaml").symlink_to("real")
    (tmp_path / "b.yaml").mkdir()
    for name in ("a.yaml", "b.yaml"):
        with pytest.raises(DatasetError, match="no regular file"):
            write_changes(tmp_path, [Change(name, b"old", b"new")])
    assert (tmp_path / "real").read_bytes() == b"old"
    assert (tmp_path / "a.yaml").is_symlink()


def _fail(number: int) -> Callable[..., Any]:
    def failing(*_: Any, **__: Any) -> Any:
        raise OSError(number, os.strerror(number))

    return failing


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO])
def test_a_full_disk_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    """Where the disk takes no more the error says so in words, and every file is as it was."""
    (tmp_path / "a.yaml").write_bytes(b"old")
    monkeypatch.setattr(os, "fsync", _fail(number))
    with pytest.raises(DatasetError, match="Every file is as it was"):
        write_changes(tmp_path, [Change("a.yaml", b"old", b"new"), Change("b.yaml", None, b"x")])
    assert (tmp_path / "a.yaml").read_bytes() == b"old"
    assert not (tmp_path / "b.yaml").exists()
    assert _hidden(tmp_path) == []


@pytest.mark.parametrize("error", [OSError(errno.ENOSPC, "full"), KeyboardInterrupt()])
def test_a_failure_between_two_files_puts_the_first_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    """When the second of three files cannot be put in place, the first is what it was before."""
    for name in ("a.yaml", "b.yaml", "c.yaml"):
        (tmp_path / name).write_bytes(b"old")
    real = atomic._put

    def put(target: Path, new: Path | None) -> None:
        if target.name == "b.yaml":
            raise error
        real(target, new)

    monkeypatch.setattr(atomic, "_put", put)
    with pytest.raises(DatasetError if isinstance(error, OSError) else KeyboardInterrupt):
        write_changes(tmp_path, [Change(f"{name}.yaml", b"old", b"new") for name in "abc"])
    assert {path.read_bytes() for path in tmp_path.iterdir()} == {b"old"}
    assert len(list(tmp_path.iterdir())) == 3


_CHILD = """
import sys
from pathlib import Path
from cardref.errors import DatasetError
from cardref.storage.atomic import Change, write_changes
"""


def _child(code: str, *words: str, **more: Any) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-c", _CHILD + textwrap.dedent(code), *words],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **more,
    )


def test_a_real_limit_on_file_size_is_told(tmp_path: Path) -> None:
    """The system's own limit stands for a full disk: the file is as it was, and the message helps."""
    (tmp_path / "a.yaml").write_bytes(b"old")
    code = """
    try:
        write_changes(Path(sys.argv[1]), [Change("a.yaml", b"old", b"x" * 100_000)])
    except DatasetError as error:
        print(error)
    """

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    out, _ = _child(code, str(tmp_path), preexec_fn=limit).communicate()
    assert "no room left" in out
    assert (tmp_path / "a.yaml").read_bytes() == b"old"
    assert _hidden(tmp_path) == []


def test_a_folder_that_cannot_be_written_to_is_told() -> None:
    """In a read-only folder nothing changes, and the message names the file and the way out."""
    code = """
    import os
    if os.geteuid() == 0:  # to whom nothing is read-only
        os.setgid(65534); os.setuid(65534)
    try:
        write_changes(Path(sys.argv[1]), [Change("a.yaml", b"old", b"new")])
    except DatasetError as error:
        print(error)
    """
    # Not below pytest's own folder, which only its owner may enter.
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "a.yaml").write_bytes(b"old")
        folder.chmod(0o555)
        out, err = _child(code, name).communicate()
        folder.chmod(0o755)
        assert "cannot be written to" in out, err
        assert (folder / "a.yaml").read_bytes() == b"old"


def test_of_two_writers_one_wins_and_the_other_is_told(tmp_path: Path) -> None:
    """Two processes that change the same files from the same text: one writes, one learns it came second."""
    code = """
    import time
    root, name, start = Path(sys.argv[1]), sys.argv[2], float(sys.argv[3])
    time.sleep(max(0, start - time.time()))
    try:
        write_changes(root, [Change(path, b"old", name.encode()) for path in ("a.yaml", "b.yaml")])
        print("won")
    except DatasetError as error:
        print("told" if "has changed since" in str(error) else error)
    """
    for _ in range(3):
        for name in ("a.yaml", "b.yaml"):
            (tmp_path / name).write_bytes(b"old")
        start = str(time.time() + 0.7)
        pair = [_child(code, str(tmp_path), name, start) for name in ("one", "two")]
        said = [process.communicate()[0].strip() for process in pair]
        assert sorted(said) == ["told", "won"]
        winner = b"one" if said[0] == "won" else b"two"
        assert (tmp_path / "a.yaml").read_bytes() == (tmp_path / "b.yaml").read_bytes() == winner


def test_a_writer_killed_at_any_moment_leaves_whole_files(tmp_path: Path) -> None:
    """A process killed while it writes again and again leaves each file whole, old or new, and no lock."""
    size = 200_000
    code = f"""
    root, number = Path(sys.argv[1]), 0
    print("ready", flush=True)
    while True:
        old = (root / "a.yaml").read_bytes()
        number = (number + 1) % 10
        write_changes(root, [Change("a.yaml", old, str(number).encode() * {size})])
    """
    (tmp_path / "a.yaml").write_bytes(b"0" * size)
    for delay in (0.001, 0.003, 0.007, 0.013, 0.021, 0.034):
        process = _child(code, str(tmp_path))
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(delay)
        process.send_signal(signal.SIGKILL)
        process.communicate()
        data = (tmp_path / "a.yaml").read_bytes()
        assert len(data) == size
        assert len(set(data)) == 1
    write_changes(tmp_path, [Change("a.yaml", data, b"end")])
    assert _hidden(tmp_path) == []  # what the killed ones left is cleared away by the next writer


def test_a_diff_cannot_command_a_terminal() -> None:
    """A diff shows control signs as escapes, and a missing line end as such."""
    shown = Change("a\x1b[31m.yaml", b"a\n", b"b\x1b[2J\nc").diff()
    assert "\x1b" not in shown
    assert "b\\x1b[2J" in shown
    assert shown.endswith("+c\n\\ No newline at end of file\n")
    assert Change("a", b"x", b"x").diff() == ""
    assert "--- /dev/null" in Change("a", None, b"x\n").diff()
