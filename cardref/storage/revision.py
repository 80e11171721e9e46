"""An earlier version of a dataset: a directory, or a git revision laid out in a temporary one.

>>> import tempfile
>>> with version_of(Path("."), tempfile.gettempdir()) as folder:
...     folder.is_dir()
True
"""

import io
import os
import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from cardref.errors import UsageError
from cardref.text import clip, quoted

__all__ = ["version_of"]


@contextmanager
def version_of(root: Path, name: str | os.PathLike[str]) -> Iterator[Path]:
    """The directory that ``name`` is, or else the dataset at ``root`` as it was in the git revision ``name``.

    A name that is both is the directory; write ``refs/heads/NAME`` for the revision. Files of a revision are
    gone when the context ends.

    Raises:
        UsageError: it is neither; the message says which of the two failed, and why.
    """
    path = Path(name)
    if os.fspath(name) and os.path.isdir(path):  # noqa: PTH112 - says no to a name that is too long
        yield path
        return
    revision = os.fspath(name)
    commit = _commit(root, revision)
    with tempfile.TemporaryDirectory(prefix="cardref-") as folder:
        _unpack(_git(root, revision, "archive", "--format=tar", commit), Path(folder))
        yield Path(folder)


def _commit(root: Path, revision: str) -> str:
    if not revision or "\0" in revision or not _is_argument(revision):
        raise UsageError("an earlier version is a directory or a git revision, such as HEAD~1 or main")
    _refuse_bare(root, revision)
    wanted = revision + "^{commit}"
    found = _git(root, revision, "rev-parse", "--verify", "--quiet", "--end-of-options", wanted)
    return found.decode("ascii", "replace").strip()


def _is_argument(text: str) -> bool:
    try:
        os.fsencode(text)
    except UnicodeEncodeError:
        return False
    return True


def _refuse_bare(root: Path, revision: str) -> None:
    """Refuse a bare repository that lies among the data: git would take it for the one that was meant, and
    its configuration, which came with the data, can name programs to run.
    """
    here = root.resolve()
    for folder in (here, *here.parents):
        if (folder / ".git").exists():
            return
        if all((folder / name).exists() for name in ("HEAD", "objects", "refs")):
            raise UsageError(
                f"{quoted(os.fspath(folder))} holds the parts of a git repository without a .git folder; "
                f"they are not looked into, so {quoted(revision)} cannot be found. Remove HEAD, objects and "
                "refs, or name a directory with the earlier version"
            )


# Nothing is fetched from anywhere, whatever the repository's configuration says.
_GIT = ("git", "-c", "safe.bareRepository=explicit")
_NOT_FETCHED = {"GIT_ALLOW_PROTOCOL": "none", "GIT_NO_LAZY_FETCH": "1", "GIT_TERMINAL_PROMPT": "0"}


def _git(root: Path, revision: str, *arguments: str) -> bytes:
    try:
        done = subprocess.run(  # noqa: S603 - a fixed program; the revision cannot be taken for an option
            [*_GIT, "-C", os.fspath(root), *arguments],
            env=os.environ | _NOT_FETCHED,
            capture_output=True,
            check=False,
            stdin=subprocess.DEVNULL,
        )
    except OSError as error:
        raise UsageError(
            f"{quoted(revision)} is no directory, and git cannot be run ({error.strerror}): name a directory "
            "with the earlier version"
        ) from None
    if done.returncode == 0:
        return done.stdout
    said = done.stderr.decode("utf-8", "replace").strip().removeprefix("fatal: ")
    why = f" (git says: {clip(said, 200)})" if said else ""
    raise UsageError(
        f"{quoted(revision)} is neither a directory nor a git revision that holds {quoted(os.fspath(root))}"
        f"{why}: name a directory, or a revision such as HEAD~1 or main"
    )


def _unpack(archive: bytes, folder: Path) -> None:
    """Ordinary files only, and none outside of ``folder``."""
    with tarfile.open(fileobj=io.BytesIO(archive)) as tar:
        for member in tar:
            if not member.isreg() or not (stream := tar.extractfile(member)):
                continue
            parts = Path(member.name).parts
            if ".." in parts or Path(member.name).is_absolute():
                continue
            target = folder.joinpath(*parts)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(stream.read())
