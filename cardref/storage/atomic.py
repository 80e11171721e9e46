r"""Files written whole or not at all, and never over somebody else's work.

Each new text goes to a hidden file beside the old one, is flushed to the disk, and takes the old one's name
in one step (``rename`` of POSIX.1-2017: readers see the old file or the new one, nothing between). Before
that the file on disk is compared with what the change was made from: what somebody else wrote in between is
not overwritten.

Several files cannot change in one step. All new texts are on the disk before the first name changes, and what
was renamed is put back when a later step fails; only a process that is killed between two renames leaves some
files new and some old, each of them whole.

>>> import tempfile, pathlib
>>> folder = pathlib.Path(tempfile.mkdtemp())
>>> _ = (folder / "sources.yaml").write_bytes(b"sources: []\n")
>>> change = Change("sources.yaml", b"sources: []\n", b"sources: [] # none yet\n")
>>> print(change.diff(), end="")
--- sources.yaml
+++ sources.yaml
@@ -1 +1 @@
-sources: []
+sources: [] # none yet
>>> write_changes(folder, [change])
>>> (folder / "sources.yaml").read_bytes()
b'sources: [] # none yet\n'
>>> write_changes(folder, [change])
Traceback (most recent call last):
    ...
cardref.storage.atomic.ChangedMeanwhile: 'sources.yaml' has changed since it was read; nothing was written.
Run the command again to work from what is there now
"""

import contextlib
import difflib
import errno
import os
import secrets
import stat
from collections.abc import Iterator, Sequence
from pathlib import Path

from attrs import frozen

from cardref.errors import DatasetError
from cardref.text import quoted, visible

try:
    import fcntl
except ImportError:  # no such lock on this system; the comparison before the rename remains
    fcntl = None  # type: ignore[assignment] # stands for a missing module

_LOCKS = fcntl is not None

__all__ = ["Change", "ChangedMeanwhile", "read_bytes", "write_changes"]

_SUFFIX = ".cardref-new"


class ChangedMeanwhile(DatasetError):  # noqa: N818 - reads as what happened, like the other errors here
    """A file is not what the change was made from: somebody else wrote it. Nothing was written."""


@frozen
class Change:
    """One file's old and new bytes. ``before`` is None for a new file, ``after`` None for one that goes.

    ``path`` is relative to the dataset, with ``/``.
    """

    path: str
    before: bytes | None
    after: bytes | None

    def diff(self) -> str:
        """The change as a unified diff, safe to print; "" where nothing changes."""
        if self.before == self.after:
            return ""
        name = visible(self.path)
        old, new = (_lines(side) for side in (self.before, self.after))
        shown = []
        for line in difflib.unified_diff(
            old,
            new,
            "/dev/null" if self.before is None else name,
            "/dev/null" if self.after is None else name,
            lineterm="",
        ):
            shown.append(f"{line[0]}{visible(line[1:])}\n" if line[:1] in "+- " else f"{line}\n")
            if line.endswith(_NO_END):
                shown[-1] = f"{line[0]}{visible(line[1 : -len(_NO_END)])}\n\\ No newline at end of file\n"
        return "".join(shown)


_NO_END = "\x00"  # marks a last line without a line end; no text that can be read holds this sign


def _lines(side: bytes | None) -> list[str]:
    text = (side or b"").decode("utf-8", "replace")
    if not text:
        return []
    lines = text.split("\n")
    return lines[:-1] if lines[-1] == "" else [*lines[:-1], lines[-1] + _NO_END]


def read_bytes(root: Path, path: str) -> bytes | None:
    """What the file holds now; None where there is none. Errors: DatasetError where it cannot be read."""
    target = root / path
    try:
        if not stat.S_ISREG(os.lstat(target).st_mode):
            raise DatasetError(f"{quoted(path)} is no regular file: it is left alone")
        return target.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise DatasetError(f"{quoted(path)} cannot be read ({error.strerror})") from error


def write_changes(root: Path, changes: Sequence[Change]) -> None:
    """Write ``changes`` into the dataset at ``root``: all of them, or none and an error that says why.

    Errors: ChangedMeanwhile where a file is not what its change was made from; DatasetError where the disk or
    the file system refuses. In both cases every file is as it was.
    """
    wanted = [change for change in changes if change.before != change.after]
    if not wanted:
        return
    with _lock(root):
        for change in wanted:
            if read_bytes(root, change.path) != change.before:
                raise ChangedMeanwhile(
                    f"{quoted(change.path)} has changed since it was read; nothing was written.\n"
                    "Run the command again to work from what is there now"
                )
        _write(root, wanted)


def _write(root: Path, changes: list[Change]) -> None:
    prepared: list[Path | None] = []
    done: list[Change] = []
    at = changes[0]
    try:
        for at in changes:
            new = None if at.after is None else _prepare(root / at.path, at.after)
            prepared.append(new)
        for at, new in zip(changes, prepared, strict=True):
            _put(root / at.path, new)
            done.append(at)
        for folder in {(root / change.path).parent for change in changes}:
            _settle(folder)
    except OSError as error:
        _put_back(root, done)
        raise DatasetError(_refusal(at.path, error)) from error
    except BaseException:  # an interrupt must not leave half of the files changed either
        _put_back(root, done)
        raise
    finally:
        for new in prepared[len(done) :]:
            _forget(new)


def _forget(new: Path | None) -> None:
    if new is not None:
        with contextlib.suppress(OSError):
            new.unlink()


def _prepare(target: Path, data: bytes) -> Path:
    """The data in a hidden file beside ``target``, on the disk, with the mode and owner of ``target``."""
    folder = target.parent
    folder.mkdir(parents=True, exist_ok=True)
    for stale in folder.iterdir():
        if stale.name.startswith(f".{target.name}.") and stale.name.endswith(_SUFFIX):
            stale.unlink()  # left by a process that was killed: we hold the lock, nobody is at it
    new = folder / f".{target.name}.{secrets.token_hex(6)}{_SUFFIX}"
    handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            if hasattr(os, "fchmod"):
                with contextlib.suppress(FileNotFoundError):
                    _give(handle, os.lstat(target))
            stream.write(data)
            stream.flush()
            os.fsync(handle)
    except BaseException:
        _forget(new)
        raise
    return new


def _give(handle: int, old: os.stat_result) -> None:
    """Mode and owner of the old file for the new one, as far as the system lets us."""
    os.fchmod(handle, stat.S_IMODE(old.st_mode))
    if (old.st_uid, old.st_gid) != (os.geteuid(), os.getegid()):
        with contextlib.suppress(PermissionError):
            os.fchown(handle, old.st_uid, old.st_gid)


def _put(target: Path, new: Path | None) -> None:
    if new is None:
        target.unlink()
    else:
        new.replace(target)


def _settle(folder: Path) -> None:
    """Have the new names on the disk as well; a file system that cannot do that is not a fault."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _put_back(root: Path, done: list[Change]) -> None:
    """Undo what was renamed, as far as the disk lets us."""
    for change in reversed(done):
        with contextlib.suppress(OSError):
            target = root / change.path
            _put(target, None if change.before is None else _prepare(target, change.before))


def _refusal(path: str, error: OSError) -> str:
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        why = "there is no room left for it: make room, then run the command again"
    elif error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        why = "its folder cannot be written to: ask for the right to write there, or work on a copy"
    else:
        why = f"the system says {error.strerror}"
    return f"{quoted(path)} was not written: {why}. Every file is as it was"


@contextlib.contextmanager
def _lock(root: Path) -> Iterator[None]:
    """Wait until no other of our writers is at this dataset. The system takes the lock off when we die."""
    if not _LOCKS:
        yield
        return
    try:
        handle = os.open(root, os.O_RDONLY)
    except OSError as error:
        raise DatasetError(f"{quoted(str(root))} cannot be opened ({error.strerror})") from error
    try:
        with contextlib.suppress(OSError):  # a file system without locks: the comparison remains
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
