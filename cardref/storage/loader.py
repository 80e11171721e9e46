r"""A dataset directory to records: every file read once, every fault kept with its place.

Nothing here judges meaning. What could not be read or does not fit the model stands in the result beside what
could, so that one broken file does not hide the rest.

>>> import tempfile, pathlib
>>> folder = pathlib.Path(tempfile.mkdtemp())
>>> _ = (folder / "sources.yaml").write_text("sources:\n  - id: a\n    kind: catalogue\n")
>>> loaded = load_tree(folder)
>>> [entry.id for entry in loaded.entries["source"]]
['source/a']
"""

import os
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from attrs import define, field

from cardref.collector import uncollected
from cardref.errors import DatasetError
from cardref.location import Place, Pointer
from cardref.model.dataset import MODEL_VERSION
from cardref.model.kinds import BY_PLURAL, KINDS, Record
from cardref.storage.hooks import fitting
from cardref.storage.layout import AT_ROOT, UNFINISHED, FileSpec, spec_of
from cardref.storage.problem import Problem
from cardref.storage.references import Expander
from cardref.storage.yamltext import MAX_BYTES, Fault, Spot, decode, read_text, spots
from cardref.text import clip, closest, quoted

__all__ = ["Entry", "Loaded", "LoadedFile", "load_description", "load_tree", "refuse_newer"]

MAX_TOLD = 100
"""So many faults of one sort are told one by one in the frame of a file; of the rest it is said how many."""


@define(eq=False)
class Entry:
    """One record of a file: what it says, and where it stands.

    ``id`` is its full id, or "" where it has none that can be read. ``record`` is None where it does not fit
    the model. ``pointer`` leads to it from the file's top.
    """

    kind: str
    id: str
    record: Record | None
    file: "LoadedFile"
    pointer: Pointer


@define(eq=False)
class LoadedFile:
    """One file of the dataset. ``faults`` have lines; ``misshapen`` have pointers.

    ``odd`` and ``odd_keys`` lead to values and keys written plain that other YAML tools read as something
    else. ``digest`` stands for its bytes as long as this process runs. ``complete`` says that every list of
    records could be taken, well-formed or not. ``tidy`` says that no text in it has signs or spaces that need
    a second look.
    """

    path: str
    spec: FileSpec | None
    digest: int = 0
    faults: tuple[Fault, ...] = ()
    misshapen: tuple[Problem, ...] = ()
    odd: tuple[Pointer, ...] = ()
    odd_keys: tuple[Pointer, ...] = ()
    readable: bool = False
    complete: bool = False
    tidy: bool = True

    @property
    def line(self) -> str:
        """Short name of the line it belongs to, or ""."""
        return self.spec.line if self.spec else ""

    @property
    def maker(self) -> str:
        """Short name of the maker it belongs to, or ""."""
        return self.spec.maker if self.spec else ""


@define(eq=False)
class Loaded:
    """Everything that a directory holds.

    ``model`` is the version of the model that it says it is written in, also where its description does not
    fit the model of this library otherwise; None where it says none.
    """

    root: Path
    model: int | None = None
    files: dict[str, LoadedFile] = field(factory=dict)
    entries: dict[str, list[Entry]] = field(factory=lambda: {kind: [] for kind in KINDS})
    _texts: dict[str, str] = field(factory=dict)
    _spots: dict[str, dict[Pointer, Spot]] = field(factory=dict)
    _values: dict[str, Any] = field(factory=dict)
    _lines: dict[str, list[str]] = field(factory=dict)

    @property
    def record_count(self) -> int:
        """How many records were found, well-formed or not."""
        return sum(map(len, self.entries.values()))

    def text(self, path: str) -> str:
        """The text of a file, read again: positions are needed only where there is a finding."""
        if path not in self._texts:
            data = _read_bytes(self.root / path)
            text = decode(data)[0] if isinstance(data, bytes) else ""
            if isinstance(data, bytes) and self.files[path].digest not in (0, hash(data)):
                text = ""  # changed since it was read: no position would be true
            if len(self._texts) > 8:
                self._texts.clear()
                self._spots.clear()
                self._values.clear()
                self._lines.clear()
            self._texts[path] = text
        return self._texts[path]

    def lines(self, path: str) -> list[str]:
        """The lines of a file, without their ends."""
        if path not in self._lines:
            text = self.text(path)  # may make room, so it comes first
            self._lines[path] = text.split("\n")
        return self._lines[path]

    def spots(self, path: str) -> dict[Pointer, Spot]:
        """Positions of all values in a file."""
        if path not in self._spots:
            text = self.text(path)
            self._spots[path] = spots(text) if text and self.files[path].readable else {}
        return self._spots[path]

    def place(self, path: str, pointer: Pointer, *, on_key: bool = False) -> Place:
        """Where a value (or its key) stands; the nearest enclosing value where it is absent."""
        known = self.spots(path)
        way = pointer
        while way and way not in known:
            way, on_key = way[:-1], False
        spot = known.get(way)
        if spot is None:
            return Place(path)
        if on_key:
            return Place(path, spot.key_line, spot.key_column, spot.key_line, spot.key_end_column)
        # Of what spans many lines the first sign is where the eye should go.
        end = spot.end_column if spot.end_line == spot.line else spot.column + 1
        return Place(path, spot.line, spot.column, spot.line, end)

    def value(self, path: str) -> Any:
        """What a file says, whole, as plain values, read again; None where it could not be read."""
        if path not in self._values:
            text = self.text(path)  # may make room, so it comes first
            self._values[path] = read_text(text).value if text and self.files[path].readable else None
        return self._values[path]

    def raw(self, entry: Entry) -> Any:
        """What the file says for an entry, as plain values, read again."""
        value = self.value(entry.file.path)
        try:
            for step in entry.pointer:
                value = value[step]
        except (KeyError, IndexError, TypeError):
            return None
        if entry.file.spec and entry.file.spec.top == entry.kind and isinstance(value, dict):
            return {key: v for key, v in value.items() if key not in entry.file.spec.lists}
        return value


def _read_bytes(path: Path) -> bytes | str:
    """The bytes of a regular file, or why they cannot be had."""
    try:
        # Opened without waiting, so that a pipe in the tree cannot hang us, then looked at before it is read.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0))
    except OSError as error:
        return f"it cannot be opened ({error.strerror}): see who may read it"
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            return "this is no ordinary file: put its records in one"
        with os.fdopen(handle, "rb", closefd=False) as stream:
            return stream.read(MAX_BYTES + 1)
    except OSError as error:
        return f"it cannot be read ({error.strerror}): see whether the disk is sound"
    finally:
        os.close(handle)


def _tree(root: Path) -> Iterator[tuple[str, str]]:
    """Relative path and fault ("" for none) of every visible file, in order; no link is followed."""
    top = os.path.realpath(root)
    waiting = [""]
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(root / folder) as scan:
                # A file comes before its parts: "quay-marl.yaml" before "quay-marl.saltglass.yaml".
                items = sorted(scan, key=lambda item: item.name.removesuffix(".yaml"))
        except OSError as error:
            yield folder, f"the folder cannot be read ({error.strerror})"
            continue
        folders = []
        for item in items:
            if item.name.startswith("."):
                continue
            path = f"{folder}/{item.name}" if folder else item.name
            if item.is_symlink():
                target = os.path.realpath(item.path)
                inside = target == top or target.startswith(top + os.sep)
                if not inside:
                    yield path, "a symbolic link that leads out of the dataset: put the file itself here"
                elif os.path.isfile(target):  # noqa: PTH113 - what the entry says fails on links in a circle
                    yield path, "a symbolic link to another file of the dataset: keep each record once"
                else:
                    yield path, "a symbolic link to a folder or to nothing: remove it"
            elif item.is_dir():
                folders.append(path)
            else:
                yield path, ""
        waiting += reversed(folders)


def load_tree(root: str | os.PathLike[str]) -> Loaded:
    """Read the dataset in the directory ``root``.

    Errors: DatasetError where ``root`` is no directory. Everything else that is wrong is kept in the result.
    """
    path = Path(root)
    if not os.path.isdir(path):  # noqa: PTH112 - says no to a name that is too long, where Path would stop
        kind = "is a file, not a directory" if os.path.exists(path) else "does not exist"  # noqa: PTH110 - the same
        raise DatasetError(f"{quoted(str(path))} {kind}: name a directory that holds dataset.yaml")
    loaded = Loaded(path)
    with uncollected():
        if os.path.lexists(path / UNFINISHED):
            loaded.files[UNFINISHED] = LoadedFile(UNFINISHED, None, faults=(_CUT_OFF,))
        for relative, fault in _tree(path):
            _load_file(loaded, relative, fault)
    return loaded


def load_description(root: Path) -> Loaded:
    """``dataset.yaml`` alone, for who need not know the records; nothing where there is none."""
    loaded = Loaded(root)
    if os.path.lexists(root / "dataset.yaml"):
        _load_file(loaded, "dataset.yaml", "")
    return loaded


def refuse_newer(loaded: Loaded, name: str) -> None:
    """Go on only with a dataset whose model is known: what a newer one means, nobody here knows.

    Args:
        loaded: what was read.
        name: what the user calls it.

    Errors: DatasetError where it says that it is written in a newer version of the model.
    """
    if loaded.model is not None and loaded.model > MODEL_VERSION:
        raise DatasetError(
            f"{quoted(name)} is written in model version {clip(str(loaded.model), 20)}; this cardref reads "
            f"up to {MODEL_VERSION}: install a newer cardref"
        )


# Faults in whose place a value is missing or was made up, so that nothing the file says can be relied on.
_SPOILING = frozenset({"yaml-feature", "scalar-length"})
_CUT_OFF = Fault(
    "unfinished-change",
    "a change of several files was cut off, or is under way: some are new, some old. The next command that "
    "changes this dataset, such as `cardref fmt`, finishes it",
)
_OTHER_SUFFIXES = (".md", ".txt", ".license")


def _load_file(loaded: Loaded, path: str, fault: str) -> None:
    spec = spec_of(path)
    if fault:
        rule = "symbolic-link" if fault.startswith("a symbolic") else "unreadable-file"
        loaded.files[path] = LoadedFile(path, spec, faults=(Fault(rule, fault),))
        return
    name = path.rpartition("/")[2]
    if spec is None:
        if name.endswith(_OTHER_SUFFIXES) or name in ("LICENSE", "LICENCE"):
            return
        loaded.files[path] = LoadedFile(path, None, faults=(Fault("unknown-file", _unknown_file(path)),))
        return
    data = _read_bytes(loaded.root / path)
    if isinstance(data, str):
        loaded.files[path] = LoadedFile(path, spec, faults=(Fault("unreadable-file", data),))
        return
    text, faults = decode(data)
    file = loaded.files[path] = LoadedFile(path, spec, hash(data), faults)
    if faults:
        return
    document = read_text(text)
    file.faults, file.odd, file.odd_keys = document.faults, document.odd, document.odd_keys
    file.tidy = document.tidy
    if document.value is None and not document.faults:
        nothing = "the file says nothing: add its records, or delete it"
        file.faults = (Fault("empty-file", nothing, 1, 1, 1),)
    if document.value is None or any(fault.rule in _SPOILING for fault in document.faults):
        return
    file.readable = True
    _take(loaded, file, spec, document.value)


def _unknown_file(path: str) -> str:
    hint = ""
    if path.endswith(".yml"):
        hint = "; files end in .yaml"
    elif "/" not in path:
        near = closest(path, AT_ROOT, 1)
        hint = f"; did you mean {near[0]}?" if near else ""
    return f"a dataset has no file {quoted(path)}{hint}"


def _take(loaded: Loaded, file: LoadedFile, spec: FileSpec, value: Any) -> None:
    """Sort what a file says into records, and keep what is wrong with its frame."""
    wrong: list[Problem] = []
    if type(value) is not dict:
        keys = ", ".join((*spec.header, *spec.lists)) or "the record's keys"
        file.misshapen = (Problem("wrong-type", f"the file must be a mapping with {keys} at its top"),)
        return
    line = maker = ""
    known = (*spec.header, *spec.lists)
    # A misspelt key is one mistake, told where it is written, and not also a missing one.
    unknown = [] if spec.top else [key for key in value if key not in known]
    meant = {key: _meant(key, known, value) for key in unknown[:MAX_TOLD]}
    file.complete = all(type(value.get(plural, [])) is list for plural in spec.lists)
    if spec.top:
        line = spec.line
        top = {key: v for key, v in value.items() if key not in spec.lists}
        if spec.top == "line" and top.get("id", spec.line) != spec.line:
            wrong.append(_misplaced("id", top["id"], spec.line))
        if spec.top == "dataset" and type(value.get("model")) is int:
            loaded.model = value["model"]
        _record(loaded, file, spec.top, top, (), Expander(spec.top, "", ""))
    else:
        line, maker = _header(value, spec, wrong, meant.values())
    for plural in spec.lists:
        if value.get(plural) is not None:
            _take_list(loaded, file, plural, value[plural], (line, maker), wrong)
        elif plural in value:
            wrong.append(Problem("wrong-type", f"{plural} has no value: write a list of records", (plural,)))
        elif not spec.top:
            file.complete = False
            if plural not in meant.values():
                wrong.append(
                    Problem("missing-key", f"{plural} is missing: write the list of records", value=plural)
                )
    for key, near in meant.items():
        hint = f"did you mean {near}?" if near else f"the keys are {', '.join(known)}"
        message = f"there is no key {quoted(key)} here; {hint}"
        wrong.append(Problem("unknown-key", message, (key,), on_key=True, value=key, meant=near))
    if len(unknown) > MAX_TOLD:
        message = f"from here on {len(unknown) - MAX_TOLD} more keys that no {spec.document} file has"
        wrong.append(Problem("unknown-key", message, (unknown[MAX_TOLD],), on_key=True))
    file.misshapen = tuple(wrong)


def _meant(key: str, known: Iterable[str], value: dict[str, Any]) -> str:
    """The key that was probably meant, of those that are not there."""
    near = closest(key, [other for other in known if other not in value], 1)
    return near[0] if near else ""


def _take_list(
    loaded: Loaded, file: LoadedFile, plural: str, items: Any, owner: tuple[str, str], wrong: list[Problem]
) -> None:
    if type(items) is not list:
        wrong.append(Problem("wrong-type", f"{plural} must be a list of records", (plural,)))
        return
    kind = BY_PLURAL[plural].name
    expander = Expander(kind, *owner)
    none = []  # the items that are no records
    for number, item in enumerate(items):
        if type(item) is dict:
            _record(loaded, file, kind, item, (plural, number), expander)
        else:
            none.append(number)
    message = f"an item of {plural} must be a record (a mapping)"
    wrong += (Problem("wrong-type", message, (plural, number)) for number in none[:MAX_TOLD])
    if none:
        file.complete = False
    if len(none) > MAX_TOLD:
        message = f"from here on {len(none) - MAX_TOLD} more items of {plural} that are no records (mappings)"
        wrong.append(Problem("wrong-type", message, (plural, none[MAX_TOLD])))


def _misplaced(key: str, says: Any, expected: str) -> Problem:
    message = (
        f"{key} says {quoted(str(says))}, but the file's place says {quoted(expected)}: move it or correct it"
    )
    return Problem("misplaced-file", message, (key,), value=clip(str(says), 200))


def _header(
    value: dict[str, Any], spec: FileSpec, wrong: list[Problem], meant: Iterable[str]
) -> tuple[str, str]:
    """Whom the file belongs to. The path decides: a reader looks there first. The content repeats it."""
    for key in spec.header:
        expected = spec.line if key == "line" else spec.maker
        if key not in value:
            if key not in meant:
                message = f"{key} is missing at the top: write {key}: {expected}"
                wrong.append(Problem("missing-key", message, value=key))
        elif value[key] != expected:
            wrong.append(_misplaced(key, value[key], expected))
    return spec.line, spec.maker


def _record(
    loaded: Loaded, file: LoadedFile, kind: str, raw: dict[str, Any], pointer: Pointer, expander: Expander
) -> None:
    expander.expand(raw)
    record = fitting(kind, raw)
    said = raw.get("id", "")
    if record is None:
        said = clip(said, 200) if type(said) is str else ""
    loaded.entries[kind].append(Entry(kind, said, record, file, pointer))
