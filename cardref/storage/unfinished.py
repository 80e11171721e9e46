r"""The note of a change of several files that is under way, so that one that was cut off can be finished.

Several files cannot take their new texts in one step. So, once every new text lies on the disk, this note
goes into the directory, in one step: which file takes which text, and what each held before. It goes away
when the last file is in its place. Whoever finds it later knows that the change was cut off, and has
everything to finish it (a redo log, as in Gray and Reuter, *Transaction Processing*, 1993; from memory).

The note may come from a stranger, in a repository: it names nothing outside of its directory, and only texts
that lie beside the files they are for and are, byte for byte, what it says.

>>> import tempfile, pathlib
>>> folder = pathlib.Path(tempfile.mkdtemp())
>>> read(folder) is None
True
>>> step = Step("sources.yaml", ".sources.yaml.0123456789ab.cardref-new", digest(b"old"), digest(b"new"))
>>> _ = (folder / UNFINISHED).write_bytes(written([step]))
>>> read(folder) == (step,)
True
"""

import hashlib
import json
import os
import re
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from attrs import asdict, frozen

from cardref.errors import DatasetError
from cardref.storage.layout import UNFINISHED
from cardref.text import quoted

__all__ = ["SUFFIX", "UNFINISHED", "Step", "digest", "is_ours", "read", "written"]

SUFFIX = ".cardref-new"
"""The end of the name of a hidden file that holds a new text."""

_OURS = re.compile(r"\..+\.[0-9a-f]{12}" + re.escape(SUFFIX), re.DOTALL)
_MOST = 16 << 20
"""The largest note: some 50,000 files."""


@frozen
class Step:
    """One file of the change.

    Attributes:
        path: the file, relative to the directory, with ``/``.
        new: the name of the file beside it that holds the new text, "" where the file is to go.
        before, after: digests of what it held and is to hold, "" for no file.
    """

    path: str
    new: str
    before: str
    after: str


def digest(data: bytes | None) -> str:
    """What stands for a file's bytes: SHA-256 in hexadecimal, "" where there is no file."""
    return "" if data is None else hashlib.sha256(data).hexdigest()


def is_ours(name: str) -> bool:
    """Whether a file of this name holds a new text that was not yet put in place."""
    return _OURS.fullmatch(name) is not None


def written(steps: Iterable[Step]) -> bytes:
    """The note."""
    said = {"format": 1, "steps": [asdict(step) for step in steps]}
    return json.dumps(said, indent=1).encode() + b"\n"


def read(root: Path) -> tuple[Step, ...] | None:
    """The steps of a change of this directory that is not finished; None where there is none.

    Errors: DatasetError where the note cannot be read, or is none that we wrote.
    """
    note = root / UNFINISHED
    if not os.path.lexists(note):  # also where no directory can have that name: who goes there says it better
        return None
    try:
        # Without waiting, so that a pipe of this name cannot hang us; a link is not followed.
        flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
        handle = os.open(note, flags)
    except FileNotFoundError:  # finished meanwhile
        return None
    except OSError as error:
        raise DatasetError(_no_note(note, f"it cannot be opened ({error.strerror})")) from error
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise DatasetError(_no_note(note, "it is no regular file"))
        with os.fdopen(handle, "rb", closefd=False) as stream:
            data = stream.read(_MOST + 1)
    except OSError as error:
        raise DatasetError(_no_note(note, f"it cannot be read ({error.strerror})")) from error
    finally:
        os.close(handle)
    try:
        said: Any = json.loads(data) if len(data) <= _MOST else None
        steps = tuple(_step(root, one) for one in said["steps"]) if said["format"] == 1 else ()
    except (ValueError, TypeError, KeyError, RecursionError) as error:
        raise DatasetError(_no_note(note, "it is not what cardref writes")) from error
    if not steps:
        raise DatasetError(_no_note(note, "it is not what this version of cardref writes"))
    return steps


def _step(root: Path, said: Any) -> Step:
    """One step, if it stays in the directory. Errors: ValueError, TypeError or KeyError where it does not."""
    step = Step(said["path"], said["new"], said["before"], said["after"])
    if not all(isinstance(value, str) for value in asdict(step).values()):
        raise TypeError(said)
    parts = step.path.split("/")
    inside = (root / step.path).parent.resolve().is_relative_to(root.resolve())
    if not inside or not all(parts) or {".", ".."} & set(parts) or "\\" in step.path:
        raise ValueError(step.path)
    beside = is_ours(step.new) and step.new.startswith(f".{parts[-1]}.") and not set(step.new) & set("/\\")
    if not (beside and step.after if step.new else step.after == ""):
        raise ValueError(step.new)
    return step


def _no_note(note: Path, why: str) -> str:
    return (
        f"{quoted(str(note))} should tell of a change that was cut off, but {why}: look at what changed "
        "(such as with `git diff`), then delete that file"
    )
