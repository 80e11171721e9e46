"""What an import is about to do to a dataset: records edited and added, files made, everything wrong told."""

from pathlib import Path
from typing import Any

from attrs import define, field, frozen

from cardref.errors import DatasetError
from cardref.finding import Finding, Fix, Severity
from cardref.location import Place
from cardref.model.kinds import Kind
from cardref.storage.atomic import Change
from cardref.storage.canonical import canonical
from cardref.storage.draft import Draft
from cardref.storage.edit import Sheet
from cardref.storage.layout import FileSpec, spec_of
from cardref.storage.scalars import written
from cardref.storage.shape import shape_at
from cardref.storage.yamltext import MAX_BYTES
from cardref.tables.writing import Records
from cardref.text import closest, quoted

__all__ = ["Import", "Work"]


@frozen
class Import:
    """What an import would do: the changes to the files, what was changed, what is wrong.

    Attributes:
        changes: to be written by :func:`cardref.storage.atomic.write_changes`.
        edited: full description of each edit: record and header.
        added: kind and id of each new record.
        known: how many rows say what is recorded already.
        findings: what is wrong, at row (line) and cell (column) of a table.
        alike: how many rows were left alone for a reason that is told once, at the header.
    """

    changes: tuple[Change, ...]
    edited: tuple[str, ...]
    added: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]
    known: int = 0
    alike: int = 0


@define
class Work:
    """An import under way."""

    draft: Draft
    records: Records
    edited: list[str] = field(factory=list)
    added: list[tuple[str, str]] = field(factory=list)
    findings: list[Finding] = field(factory=list)
    known: int = 0
    alike: int = 0
    _made: dict[str, Sheet] = field(factory=dict)
    _lists: dict[tuple[str, str], list[Any]] = field(factory=dict)
    _ids: dict[str, set[str]] = field(factory=dict)

    @classmethod
    def on(cls, root: Path) -> "Work":
        """Work on the dataset at ``root``. Errors: DatasetError where it cannot be read."""
        draft = Draft(root)
        return cls(draft, Records(draft.loaded))

    def tell(
        self, rule: str, table: str, row: int, cell: int, message: str, *, record: str = "", value: str = "",
        fix: Fix | None = None, severity: Severity = Severity.ERROR,
    ) -> None:  # fmt: skip
        """Note what is wrong at a row and cell (both from 1) of a table."""
        place = Place(table, row, cell, row, cell + 1)
        self.findings.append(
            Finding(
                rule=rule,
                severity=severity,
                message=message,
                place=place,
                record=record,
                value=value,
                fix=fix,
            )
        )

    def homes(self, kind: Kind) -> list[str]:
        """The files of the dataset that hold records of ``kind`` in a list."""
        return [
            path
            for path, file in self.draft.loaded.files.items()
            if file.spec is not None and kind.plural in file.spec.lists
        ]

    def ids(self, kind: str) -> set[str]:
        """Short ids of the records of ``kind`` (those of makers and lines are unique), new ones included."""
        if kind not in self._ids:
            self._ids[kind] = {str(record.get("id", "")) for _, record in self.records.of(kind)}
        return self._ids[kind]

    def add(self, kind: Kind, path: str, record: dict[str, Any]) -> str:
        """Put a new record into the file at ``path``, which is made where it is not there.

        Returns why that cannot be, with the next step; "" where it was done.
        """
        spec = spec_of(path)
        name = str(record.get("id", ""))
        if spec is None or (kind.plural not in spec.lists and spec.top != kind.name):
            return f"{kind.plural} are not kept in {quoted(path)}: copy `file` from a neighbour"
        problem = self._stranger(spec, "" if spec.top == kind.name else spec.line)
        if problem:
            return problem
        try:
            if spec.top == kind.name:
                self._top(path, spec, record)
            elif path not in self.draft.loaded.files:
                self._sheet(path, spec).append((kind.plural,), record)
            elif kind.plural in (self.draft.value(path) or {}):
                self.draft.sheet(path).append((kind.plural,), record)
            else:
                self._lists.setdefault((path, kind.plural), []).append(record)
        except DatasetError as error:
            return f"{quoted(name)} cannot be added: {error}"
        self.ids(kind.name).add(name)
        self.added.append((kind.name, name))
        return ""

    def _stranger(self, spec: FileSpec, line: str) -> str:
        for what, name in (("line", line), ("maker", spec.maker)):
            if name and name not in self.ids(what):
                near = closest(name, self.ids(what), 1)
                hint = f"did you mean {near[0]}?" if near else f"add it to {what}s.csv first"
                return f"there is no {what} {quoted(name)}; {hint}"
        return ""

    def _top(self, path: str, spec: FileSpec, record: dict[str, Any]) -> None:
        if path in self.draft.loaded.files or path in self._made:
            raise DatasetError(f"{quoted(path)} holds another record already")
        lists = "".join(f"{plural}: []\n" for plural in spec.lists)
        sheet = Sheet(f"id: {written(str(record['id']))}\n{lists}", shape_at(path))
        for key, value in record.items():
            if key != "id":
                sheet.set((key,), value)
        self._made[path] = Sheet(sheet.done(), shape_at(path))

    def _sheet(self, path: str, spec: FileSpec) -> Sheet:
        if path not in self._made:
            head = "".join(f"{key}: {written(getattr(spec, key))}\n" for key in spec.header)
            lists = "".join(f"{plural}: []\n" for plural in spec.lists)
            self._made[path] = Sheet(head + lists, shape_at(path))
        return self._made[path]

    def result(self) -> Import:
        """Everything that would be written. To be called once, at the end.

        Errors: DatasetError where a file would become larger than any that is read.
        """
        for (path, plural), records in self._lists.items():
            self.draft.sheet(path).set((plural,), records)
        for path, sheet in self._made.items():
            self.draft.create(path, canonical(sheet.done(), shape_at(path)))
        changes = self.draft.changes()
        for change in changes:
            if change.after is not None and len(change.after) > MAX_BYTES:
                stem = change.path.removesuffix(".yaml")
                raise DatasetError(
                    f"{quoted(change.path)} would be larger than {MAX_BYTES >> 20} MiB, so nothing was "
                    f"changed: move records to a part of it, such as {quoted(stem + '.more.yaml')}"
                )
        told = tuple(self.findings)
        return Import(changes, tuple(self.edited), tuple(self.added), told, self.known, self.alike)
