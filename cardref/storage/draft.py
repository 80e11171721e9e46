r"""A dataset's files as they would be: read once, edited by pointer, and given as changes at the end.

>>> import tempfile
>>> folder = Path(tempfile.mkdtemp())
>>> _ = (folder / "glossary.yaml").write_text("terms:\n  - id: back\n    what: reverse\n")
>>> draft = Draft(folder)
>>> draft.sheet("glossary.yaml").set(("terms", 0, "what"), "the printed reverse")
>>> change, = draft.changes()
>>> print(change.after.decode(), end="")
terms:
  - id: back
    what: the printed reverse
"""

from pathlib import Path
from typing import Any

from cardref.errors import DatasetError
from cardref.finding import Finding, Severity
from cardref.location import Place
from cardref.storage.atomic import Change, read_bytes
from cardref.storage.canonical import canonical
from cardref.storage.edit import Sheet
from cardref.storage.loader import Loaded, load_tree, refuse_newer
from cardref.storage.shape import shape_at
from cardref.storage.yamltext import decode, read_text
from cardref.text import quoted

__all__ = ["Draft", "kept_canonical"]


def kept_canonical(path: str, before: str, after: str) -> str:
    """``after``, in the canonical layout if ``before`` was: whoever keeps to it need not format again."""
    shape = shape_at(path)
    try:
        return canonical(after, shape) if canonical(before, shape) == before else after
    except DatasetError:
        return after


class Draft:
    """What is to become of a dataset's files.

    Errors: DatasetError where a file cannot be read: what it says of other records would be missed; and where
    the dataset is written in a newer version of the model.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self.loaded: Loaded = load_tree(root)
        refuse_newer(self.loaded, str(root))
        self._data: dict[str, bytes] = {}
        self._values: dict[str, Any] = {}
        self._sheets: dict[str, Sheet] = {}
        self._new: dict[str, str] = {}
        self._moved: dict[str, str] = {}
        for file in self.loaded.files.values():
            if file.spec is not None and not file.readable:
                why = file.faults[0].message if file.faults else "it cannot be read"
                line = file.faults[0].line if file.faults else 0
                finding = Finding(
                    rule=file.faults[0].rule if file.faults else "unreadable-file",
                    severity=Severity.ERROR,
                    message=why,
                    place=Place(file.path, line),
                )
                raise DatasetError(
                    f"{quoted(file.path)} cannot be read (line {line}: {why}); put that right first, so that "
                    "nothing in it is missed",
                    [finding],
                )

    def text(self, path: str) -> str:
        """The text of a file as it is on disk; "" for a new one."""
        if path not in self._data:
            data = read_bytes(self.root, path)
            if data is None:
                return ""
            self._data[path] = data
        return decode(self._data[path])[0]

    def value(self, path: str) -> Any:
        """What a file says before any edit, as plain values. Not to be changed."""
        if path not in self._values:
            self._values[path] = read_text(self.text(path)).value
        return self._values[path]

    def sheet(self, path: str) -> Sheet:
        """The file to be edited."""
        if path not in self._sheets:
            self._sheets[path] = Sheet(self.text(path), shape_at(path), path)
        return self._sheets[path]

    def create(self, path: str, text: str) -> None:
        """A file that is not there yet."""
        self._new[path] = text

    def move(self, path: str, new: str) -> None:
        """The file has another name from now on."""
        if (self.root / new).exists():
            raise DatasetError(f"{quoted(new)} is there already: nothing was changed")
        self._moved[path] = new
        self.text(path)

    def changes(self) -> tuple[Change, ...]:
        """Everything that would be written, in the order of paths."""
        found = [Change(path, None, text.encode()) for path, text in self._new.items()]
        for path in {*self._sheets, *self._moved}:
            before = self.text(path)
            sheet = self._sheets.get(path)
            after = before if sheet is None else sheet.done()
            if after != before:
                after = kept_canonical(path, before, after)
            if path in self._moved:
                found.append(Change(path, self._data[path], None))
                found.append(Change(self._moved[path], None, after.encode()))
            elif after != before:
                found.append(Change(path, self._data[path], after.encode()))
        return tuple(sorted(found, key=lambda change: (change.after is None, change.path)))
