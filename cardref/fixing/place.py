r"""Which dataset is meant by a path, and which of its files.

>>> import tempfile, pathlib
>>> folder = pathlib.Path(tempfile.mkdtemp())
>>> (folder / "lines" / "a").mkdir(parents=True)
>>> _ = (folder / "dataset.yaml").write_text("id: a\n")
>>> _ = (folder / "lines/a/figures.yaml").write_text("line: a\n")
>>> target = target_of([str(folder / "lines")])
>>> target.root == folder, target.paths
(True, ('lines/a/figures.yaml',))
"""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from attrs import frozen

from cardref.errors import DatasetError
from cardref.storage.layout import spec_of
from cardref.text import quoted

__all__ = ["Target", "root_of", "target_of"]


@frozen
class Target:
    """A dataset and files of it, as paths relative to it with ``/``, in order."""

    root: Path
    paths: tuple[str, ...]


def root_of(given: str | os.PathLike[str] | None) -> Path:
    """The dataset that is meant: ``given``, else ``./dataset``. The bundled one is never written to.

    Errors: DatasetError where there is none.
    """
    if given is None:
        if Path("dataset/dataset.yaml").is_file():
            return Path("dataset")
        raise DatasetError(
            "there is no ./dataset here, and the bundled dataset is never written to: name a dataset, or "
            "start one with `cardref init DIR`"
        )
    root = Path(given)
    if not (root / "dataset.yaml").is_file():
        raise DatasetError(f"{quoted(str(root))} holds no dataset.yaml: name the directory of a dataset")
    return root


def target_of(
    paths: Sequence[str | os.PathLike[str]], dataset: str | os.PathLike[str] | None = None
) -> Target:
    """The files that are meant by ``paths`` (directories or files), or the whole dataset without any.

    A directory means the files of the dataset in it, not whatever else is there. A file that belongs to no
    dataset stands for itself, in the directory that it is in.
    Errors: DatasetError where a path is not there, or where two belong to different datasets.
    """
    if not paths:
        root = root_of(dataset)
        return Target(root, tuple(_files(root, root)))
    roots: dict[Path, list[str]] = {}
    for path in map(Path, paths):
        if not path.exists():
            raise DatasetError(f"{quoted(str(path))} does not exist: name a dataset's directory, or a file")
        root = Path(dataset) if dataset is not None else _above(path)
        if path.is_dir():
            root_of(root)
        try:
            found = _files(root, path) if path.is_dir() else iter([_relative(root, path)])
            roots.setdefault(root, []).extend(found)
        except ValueError as error:
            raise DatasetError(f"{quoted(str(path))} is not in the dataset {quoted(str(root))}") from error
    if len(roots) > 1:
        raise DatasetError("these files belong to several datasets: name those of one at a time")
    ((root, names),) = roots.items()
    return Target(root, tuple(dict.fromkeys(names)))


def _above(path: Path) -> Path:
    """The nearest directory at or above ``path`` that holds a dataset; its own where there is none."""
    start = path if path.is_dir() else path.parent
    for folder in (start, *start.absolute().parents):
        if (folder / "dataset.yaml").is_file():
            return folder
    return start


def _relative(root: Path, path: Path) -> str:
    return path.absolute().relative_to(root.absolute()).as_posix()


def _files(root: Path, folder: Path) -> Iterator[str]:
    """Every file of the dataset at or below ``folder``; links are left alone."""
    for base, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            path = Path(base) / name
            relative = _relative(root, path)
            if spec_of(relative) is not None and path.is_file() and not path.is_symlink():
                yield relative
