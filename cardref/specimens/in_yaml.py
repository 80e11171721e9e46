r"""A user's own file in YAML: lists of specimens, wants and sales, read like a file of the dataset.

>>> import tempfile, pathlib
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.yaml"
>>> _ = path.write_text("specimens:\n  - id: s-1\n    price: 5 EUR\n")
>>> entry, = YamlFile(path).entries()
>>> entry.said(("price",)), str(entry.place(("price",)))
('specimen s-1, price', 'mine.yaml:3:12')
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from attrs import frozen

from cardref.checks.mending import edits
from cardref.checks.rule import Mend
from cardref.finding import Edit, Fix, Severity
from cardref.location import Place, Pointer
from cardref.model.kinds import OWN_KINDS, Kind
from cardref.specimens.entry import Entry, OwnFile, id_of, read_own
from cardref.storage.scalars import written
from cardref.storage.yamltext import Document, Fault, Spot, decode, read_text, spots
from cardref.text import clip, closest, quoted

__all__ = ["LISTS", "YamlFile"]

LISTS: Final = {kind.plural: kind for kind in OWN_KINDS.values()}
"""The lists that a file of one's own may have."""

_SHOWN: Final = 60


class YamlFile(OwnFile):
    """A user's file in YAML.

    Errors: DatasetError where there is no file that can be read.
    """

    def __init__(self, path: Path, name: str = "") -> None:
        super().__init__(path, name)
        self._text = ""
        self._document = Document(None)
        self._spots: dict[Pointer, Spot] | None = None
        self._open()

    def entries(self) -> Iterator[Entry]:
        """Its records in order, well-formed or not."""
        value = self._document.value
        for plural, kind in LISTS.items():
            items = value.get(plural) if isinstance(value, dict) else None
            if isinstance(items, list):
                for number, item in enumerate(items):
                    yield _Record(kind, item, self, (plural, number))

    def _open(self) -> None:
        data = read_own(self.path)
        text, faults = decode(data)
        if not faults:
            self._text = text
            self._document = read_text(text)
            faults = self._document.faults
        for fault in faults:
            self._fault_of_yaml(fault)
        value = self._document.value
        if value is None:
            self.readable = False
            if not faults:
                message = "there is nothing in it: it needs specimens, wants or sales"
                self.fault("empty-file", message, Place(self.name))
            return
        if not isinstance(value, dict):
            self.readable = False
            message = "it must be a mapping with specimens, wants or sales at its top"
            self.fault("wrong-type", message, Place(self.name, 1, 1))
            return
        self._lists(value)
        for pointers, on_key in ((self._document.odd_keys, True), (self._document.odd, False)):
            for pointer in pointers:
                self._odd(pointer, on_key=on_key)

    def _fault_of_yaml(self, fault: Fault) -> None:
        place = Place(self.name, fault.line, fault.column, fault.line, fault.end_column)
        if fault.rule == "file-size":
            fault = Fault(fault.rule, f"{fault.message}, or keep it as CSV")
        self.fault(fault.rule, fault.message, place, fault.value)

    def _lists(self, value: dict[str, Any]) -> None:
        for key, items in value.items():
            if key not in LISTS:
                near = closest(key, [name for name in LISTS if name not in value], 1)
                hint = f"did you mean {near[0]}?" if near else f"there may be {', '.join(LISTS)}"
                fix = (
                    Fix(f"write {near[0]}", False, self.edits((key,), near[0], on_key=True)) if near else None
                )
                message = f"there is no list {quoted(key)}; {hint}"
                self.fault("unknown-key", message, self.place((key,), on_key=True), key, fix=fix)
            elif not isinstance(items, list):
                message = f"{key} must be a list: each record begins with a dash; [] where there is none"
                self.fault("wrong-type", message, self.place((key,)))

    def _odd(self, pointer: Pointer, *, on_key: bool) -> None:
        value: Any = self._document.value
        for step in pointer:
            value = value[step]
        if not on_key and not isinstance(value, str):
            return  # told as a fault of shape
        spot = self.spots.get(pointer)
        if spot is None:
            return
        name = str(pointer[-1]) if on_key else value
        message = f"{clip(name, _SHOWN)} without quotes is no text to other programs: put it in quotes"
        fix = Fix("put it in quotes", True, self._made(pointer, Mend("", quote=True), on_key=on_key))
        place = self.place(pointer, on_key=on_key)
        self.fault("written-form", message, place, name, severity=Severity.WARNING, fix=fix)

    @property
    def spots(self) -> dict[Pointer, Spot]:
        """Where every value of a YAML file stands."""
        if self._spots is None:
            self._spots = spots(self._text)
        return self._spots

    def place(self, pointer: Pointer, *, on_key: bool = False) -> Place:
        """Where a value of a YAML file stands; the nearest one around it where it is absent."""
        while pointer and pointer not in self.spots:
            pointer, on_key = pointer[:-1], False
        spot = self.spots.get(pointer)
        if spot is None:
            return Place(self.name)
        if on_key:
            return Place(self.name, spot.key_line, spot.key_column, spot.key_line, spot.key_end_column)
        return Place(self.name, spot.line, spot.column, spot.end_line, spot.end_column)

    def edits(self, pointer: Pointer, text: str, *, on_key: bool = False) -> tuple[Edit, ...]:
        """The edits of a YAML file that put ``text`` there."""
        return self._made(pointer, Mend("", written(text, flow=True)), on_key=on_key)

    def _made(self, pointer: Pointer, mend: Mend, *, on_key: bool) -> tuple[Edit, ...]:
        return edits(self.name, self._text, self.spots, pointer, mend, on_key=on_key)


@frozen
class _Record:
    """An item of a list in a YAML file."""

    _kind: Kind
    raw: Any
    _file: YamlFile
    _pointer: Pointer

    @property
    def kind(self) -> str:
        return self._kind.name

    @property
    def id(self) -> str:
        return id_of(self.raw)

    def start(self) -> Place:
        return self._file.place(self._pointer)

    def place(self, pointer: Pointer, *, on_key: bool = False) -> Place:
        return self._file.place((*self._pointer, *pointer), on_key=on_key)

    def said(self, pointer: Pointer) -> str:
        name = clip(self.id, _SHOWN) or str(int(self._pointer[-1]) + 1)
        field = ".".join(step for step in pointer if isinstance(step, str) and step != "currency")
        return f"{self.kind} {name}{', ' if field else ''}{clip(field, _SHOWN)}"

    def edits(self, pointer: Pointer, text: str, *, on_key: bool = False) -> tuple[Edit, ...]:
        return self._file.edits((*self._pointer, *pointer), text, on_key=on_key)

    def formulas(self) -> Iterator[tuple[Pointer, Place, str, str]]:
        return iter(())
