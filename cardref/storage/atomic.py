r"""Files written whole or not at all, and never over somebody else's work.

Each new text goes to a hidden file beside the old one, is flushed to the disk, and takes the old one's name
in one step (``rename`` of POSIX.1-2017: readers see the old file or the new one, nothing between). Before
that the file on disk is compared with what the change was made from: what somebody else wrote in between is
not overwritten.

Several files cannot change in one step. All new texts are on the disk before the first name changes, and what
was renamed is put back when a later step fails. A process that is killed between two renames leaves each file
whole, old or new, and a note of what is to be done (:mod:`cardref.storage.unfinished`): the next change of
that dataset finishes this one first, :func:`finish` does it alone, and a check of the dataset tells it.

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
import time
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from attrs import frozen

from cardref.errors import DatasetError
from cardref.storage import unfinished
from cardref.storage.unfinished import SUFFIX, UNFINISHED, Step, digest, is_ours
from cardref.text import count_of, quoted, visible

try:
    import fcntl
except ImportError:  # no such lock on this system; the comparison before the rename remains
    fcntl = None  # type: ignore[assignment] # stands for a missing module

_LOCKS = fcntl is not None

__all__ = ["Change", "ChangedMeanwhile", "finish", "read_bytes", "write_changes"]

PATIENCE = 30.0
"""Seconds to wait for another writer: a change takes far less; whoever takes longer hangs or is stopped."""


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


def write_changes(root: Path, changes: Sequence[Change], *, apart: bool = False) -> None:
    """Write ``changes`` into the dataset at ``root``: all of them, or none and an error that says why.

    Args:
        root: what the paths of the changes are relative to.
        changes: one for each file.
        apart: the files have nothing to do with each other, so that a change that is cut off needs no
            finishing: those that were not written can be changed again.

    Errors: ChangedMeanwhile where a file is not what its change was made from; DatasetError where the disk or
    the file system refuses, or somebody else keeps on writing. In all these cases every file is as it was;
    where the disk does not even let us put back what was renamed, the error says that, and what to do.
    """
    wanted = [change for change in changes if change.before != change.after]
    if not wanted:
        return
    folders = {(root / change.path).parent for change in wanted}
    with _locked(root, folders):
        _finish(root)
        for change in wanted:
            if read_bytes(root, change.path) != change.before:
                raise ChangedMeanwhile(
                    f"{quoted(change.path)} has changed since it was read; nothing was written.\n"
                    "Run the command again to work from what is there now"
                )
        _sweep({root, *folders})
        _write(root, wanted, noted=len(wanted) > 1 and not apart)  # one file changes in one step


def finish(root: Path) -> tuple[str, ...]:
    """Finish a change of the files at ``root`` that was cut off; the files that this put in place.

    Errors: DatasetError where that cannot be done: a file is neither what it was nor what it was to be, or
    the disk refuses.
    """
    steps = unfinished.read(root)
    if steps is None:
        return ()
    with _locked(root, {(root / step.path).parent for step in steps}):
        return _finish(root)  # what was under way may be done by now


def _finish(root: Path) -> tuple[str, ...]:
    steps = unfinished.read(root)
    if steps is None:
        return ()
    left = []
    for step in steps:
        now = digest(read_bytes(root, step.path))
        if now == step.after:
            continue
        new = None if not step.new else (Path(step.path).parent / step.new).as_posix()
        held = step.after if new is None else digest(read_bytes(root, new))
        if now != step.before or held != step.after:
            raise DatasetError(
                f"a change of {count_of(len(steps), 'file')} was cut off, and cannot be finished: "
                f"{quoted(step.path)} is neither what it was nor what it was to be. Look at what changed "
                f"(such as with `git diff`), then delete {quoted(str(root / UNFINISHED))}"
            )
        left.append(step)
    at = steps[0]
    try:
        for at in left:
            _put(root / at.path, (root / at.path).parent / at.new if at.new else None)
        _settle((root / step.path).parent for step in steps)
        (root / UNFINISHED).unlink()
        _settle([root])
    except OSError as error:
        raise DatasetError(_refusal(at.path, error, _HALF)) from error
    return tuple(step.path for step in left)


def _write(root: Path, changes: Sequence[Change], *, noted: bool) -> None:
    prepared: list[Path] = []
    at = [changes[0].path]
    try:
        _carry_out(root, changes, prepared, at, noted=noted)
    except BaseException as error:  # an interrupt must not leave half of the files changed either
        try:
            back = _put_back(root, changes, noted=noted)
        finally:
            if not (root / UNFINISHED).exists():
                for new in prepared:
                    _forget(new)
        if isinstance(error, OSError):
            state = _WHOLE if back else _HALF if noted else _APART
            raise DatasetError(_refusal(at[0], error, state)) from error
        raise


def _carry_out(
    root: Path, changes: Sequence[Change], prepared: list[Path], at: list[str], *, noted: bool
) -> None:
    """Make all changes; ``prepared`` and ``at`` are kept up to say what was begun and what is at hand."""
    steps = []
    for change in changes:
        at[0] = change.path
        new = None if change.after is None else _prepare(root / change.path, change.after, prepared)
        steps.append((change, new))
    folders = {(root / change.path).parent for change in changes}
    if noted:
        _settle(folders)
        note = [
            Step(change.path, new.name if new else "", digest(change.before), digest(change.after))
            for change, new in steps
        ]
        _put(root / UNFINISHED, _prepare(root / UNFINISHED, unfinished.written(note), prepared))
        _settle([root])
    for change, new in steps:
        at[0] = change.path
        _put(root / change.path, new)
    _settle(folders)
    if noted:
        with contextlib.suppress(OSError):  # all is done: a note that stays says so itself
            (root / UNFINISHED).unlink()
        _settle([root])


def _put_back(root: Path, changes: Sequence[Change], *, noted: bool) -> bool:
    """Undo what was done of the changes; False where the disk does not let us, and the note stays."""
    try:
        # What the files hold, and not what we remember: an interrupt can come right behind a rename.
        done = [change for change in changes if read_bytes(root, change.path) == change.after]
        if done:
            back = [Change(change.path, change.after, change.before) for change in reversed(done)]
            _carry_out(root, back, [], [""], noted=noted)
        elif noted:
            (root / UNFINISHED).unlink(missing_ok=True)
    except (OSError, DatasetError):
        return False
    return True


def _forget(new: Path) -> None:
    with contextlib.suppress(OSError):
        new.unlink(missing_ok=True)


def _sweep(folders: Iterable[Path]) -> None:
    """Clear away what writers that were killed have left: we hold the lock, nobody is at it."""
    for folder in folders:
        with contextlib.suppress(OSError):
            for path in list(folder.iterdir()):
                if is_ours(path.name):
                    _forget(path)


def _prepare(target: Path, data: bytes, prepared: list[Path]) -> Path:
    """The data in a hidden file beside ``target``, on the disk, with the mode and owner of ``target``.

    It is named in ``prepared`` before it is there, so that whoever cleans up knows of it at every moment.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    new = target.with_name(f".{target.name}.{secrets.token_hex(6)}{SUFFIX}")
    prepared.append(new)
    handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    with os.fdopen(handle, "wb") as stream:
        if hasattr(os, "fchmod"):
            with contextlib.suppress(FileNotFoundError):
                _give(handle, os.lstat(target))
        stream.write(data)
        stream.flush()
        os.fsync(handle)
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


def _settle(folders: Iterable[Path]) -> None:
    """Have the new names on the disk as well; a file system that cannot do that is not a fault."""
    for folder in folders:
        with contextlib.suppress(OSError):
            handle = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)


_WHOLE = "Every file is as it was"
_APART = (
    "What was changed before could not be put back either: each file is whole, but some are new and some old"
)
_HALF = f"{_APART}. The next command that changes this dataset, such as `cardref fmt`, finishes it first"


def _refusal(path: str, error: OSError, state: str) -> str:
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        why = "there is no room left for it: make room, then run the command again"
    elif error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        why = "its folder cannot be written to: ask for the right to write there, or work on a copy"
    else:
        why = f"the system says {error.strerror}"
    return f"{quoted(path)} was not written: {why}. {state}"


@contextlib.contextmanager
def _locked(root: Path, folders: Iterable[Path]) -> Iterator[None]:
    """Wait until no other of our writers is at ``root`` or one of ``folders``.

    A file can be reached from several roots (``cardref fix box/mine.csv``, ``cardref own add mine.csv``), so
    the folder that it lies in is locked too; always in one order, so that no two writers wait for each other.
    The system takes the locks off when we die.
    """
    if not _LOCKS:
        yield
        return
    handles: dict[tuple[int, int], int] = {}
    try:
        for folder in (root, *folders):
            try:
                handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
            except OSError as error:
                if folder == root:
                    raise DatasetError(f"{quoted(str(root))} cannot be opened ({error.strerror})") from error
                continue  # not there yet; the comparison remains
            found = os.fstat(handle)
            if (found.st_dev, found.st_ino) in handles:  # locked twice, it would wait for itself
                os.close(handle)
            else:
                handles[found.st_dev, found.st_ino] = handle
        until = time.monotonic() + PATIENCE
        for _, handle in sorted(handles.items()):
            _lock(handle, root, until)
        yield
    finally:
        for handle in handles.values():
            os.close(handle)


def _lock(handle: int, root: Path, until: float) -> None:
    """Lock one folder. Errors: DatasetError where somebody else still holds it at ``until``."""
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                raise DatasetError(
                    f"another command has been writing to {quoted(str(root))} for {PATIENCE:.0f} seconds; "
                    "nothing was written. See whether one hangs or is stopped, end it, and run this one again"
                ) from None
            time.sleep(0.01)
        except OSError:  # a file system without locks: the comparison remains
            return
        else:
            return
