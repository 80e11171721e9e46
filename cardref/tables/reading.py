"""Tables back into the dataset: what a spreadsheet changed becomes the smallest edit of the YAML.

Records that were not touched keep their text and comments; a record that is not in a table stays. Whatever is
wrong is a finding at its row and column, and a row with a finding is not imported.
"""

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from attrs import define, field, frozen

from cardref.errors import DatasetError, UsageError
from cardref.finding import Finding, Fix, Severity
from cardref.location import Place, Pointer
from cardref.model.kinds import Kind
from cardref.schema.explain import problems
from cardref.storage.atomic import Change
from cardref.storage.draft import Draft
from cardref.storage.layout import spec_of
from cardref.tables.cells import TEXT, CellError, cell_of, is_eaten, unguarded, value_of
from cardref.tables.columns import FILE, Column, columns
from cardref.tables.writing import KINDS_IN_TABLES, at, features_in, records_of
from cardref.text import clip, closest, quoted, visible

__all__ = ["Import", "read_tables"]

MAX_BYTES = 64 << 20
"""The largest table that is read: about a million rows of cards."""


@frozen
class Import:
    """What an import would do: the changes to the files, what was changed, what is wrong.

    Attributes:
        changes: to be written by :func:`cardref.storage.atomic.write_changes`.
        edited: full description of each edit: record and header.
        added: ids of new records.
        findings: what is wrong, at row (line) and column (cell) of a table.
    """

    changes: tuple[Change, ...]
    edited: tuple[str, ...]
    added: tuple[str, ...]
    findings: tuple[Finding, ...]


@define
class _Work:
    draft: Draft
    edited: list[str] = field(factory=list)
    added: list[str] = field(factory=list)
    findings: list[Finding] = field(factory=list)

    def tell(
        self, rule: str, table: str, row: int, cell: int, message: str, *, record: str = "", value: str = "",
        fix: Fix | None = None, severity: Severity = Severity.ERROR,
    ) -> None:  # fmt: skip
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


def read_tables(folder: Path, root: Path) -> Import:
    """What importing the tables in ``folder`` into the dataset at ``root`` would do. Nothing is written.

    Errors: UsageError where there is no table; DatasetError where the dataset cannot be read.
    """
    work = _Work(Draft(root))
    found = False
    for kind in KINDS_IN_TABLES:
        path = folder / f"{kind.plural}.csv"
        if path.is_file():
            found = True
            _table(work, kind, path)
    if not found:
        names = ", ".join(f"{kind.plural}.csv" for kind in KINDS_IN_TABLES[:4])
        raise UsageError(f"{quoted(str(folder))} holds no table: it needs one of {names} ...")
    return Import(work.draft.changes(), tuple(work.edited), tuple(work.added), tuple(work.findings))


def _text(work: _Work, path: Path) -> str | None:
    try:
        data = path.read_bytes() if path.stat().st_size <= MAX_BYTES else b""
    except OSError as error:
        work.tell("unreadable-table", path.name, 1, 1, f"it cannot be read ({error.strerror})")
        return None
    if not data:
        work.tell("unreadable-table", path.name, 1, 1, "it is empty, or larger than 64 MiB: export it again")
        return None
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        row = data[: error.start].count(b"\n") + 1
        work.tell("encoding", path.name, row, 1, "it is not UTF-8: save it as `CSV UTF-8` and import again")
        return None
    if "\0" in text:
        work.tell("encoding", path.name, 1, 1, "it holds NUL signs: save it as `CSV UTF-8` and import again")
        return None
    return text


def _table(work: _Work, kind: Kind, path: Path) -> None:
    text = _text(work, path)
    if text is None:
        return
    known = columns(kind.name, features_in(work.draft.loaded, kind.name))
    first = text.partition("\n")[0]
    separator = max(",;\t|", key=lambda sign: sum(c.header in first.rstrip("\r").split(sign) for c in known))
    csv.field_size_limit(1 << 20)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        head = next(rows)
        chosen = _header(work, kind, path.name, [visible(name.strip()) for name in head], known)
        if chosen is not None:
            _rows(work, kind, path.name, rows, chosen, len(head))
    except csv.Error as error:
        work.tell(
            "unreadable-table",
            path.name,
            rows.line_num,
            1,
            f"no CSV from here on ({error}): check its quotes",
        )


def _header(
    work: _Work, kind: Kind, table: str, head: list[str], known: tuple[Column, ...]
) -> dict[int, Column] | None:
    """Cell number (from 0) -> column; None where rows could not be matched to records."""
    by_header = {column.header: column for column in known}
    chosen: dict[int, Column] = {}
    seen: dict[str, int] = {}
    for number, name in enumerate(head):
        if name in seen:
            message = (
                f"the column {quoted(name)} stands here and in column {seen[name] + 1}: keep one of them"
            )
            work.tell("repeated-column", table, 1, number + 1, message, value=name)
            return None
        seen[name] = number
        column = by_header.get(name) or _feature_column(work, name, kind)
        if column is not None:
            chosen[number] = column
        elif name:
            near = closest(name, by_header, 1)
            hint = (
                f"did you mean {near[0]}?"
                if near
                else f"the columns are {', '.join(list(by_header)[:12])} ..."
            )
            message = f"{kind.plural} have no column {quoted(name)}; {hint}"
            work.tell("unknown-column", table, 1, number + 1, message, value=name)
    key = "id" if "id" in by_header else FILE
    if key not in seen:
        work.tell(
            "missing-column", table, 1, 1, f"the column {key} is missing: without it no row can be matched"
        )
        return None
    return chosen


def _feature_column(work: _Work, name: str, kind: Kind) -> Column | None:
    """A feature that no record of this kind has used so far."""
    lead, _, slug = name.partition(".")
    catalogue = {record.get("id") for _, record in records_of(work.draft.loaded, "feature")}
    has_features = any(column.pointer[:1] == ("features",) for column in columns(kind.name, (slug,)))
    if lead == "features" and slug in catalogue and has_features:
        return Column(name, ("features", slug), TEXT)
    return None


Key = tuple[str, str]


def _rows(
    work: _Work, kind: Kind, table: str, rows: Iterator[list[str]], chosen: dict[int, Column], width: int
) -> None:
    records: dict[Key, tuple[str, Pointer, dict[str, Any]]] = {}
    by_id: dict[str, list[Key]] = {}
    for (path, pointer), record in records_of(work.draft.loaded, kind.name):
        name = str(record.get("id", ""))
        records[path, name] = path, pointer, record
        by_id.setdefault(name, []).append((path, name))
    seen: dict[Key, int] = {}
    reader: Any = rows
    for row in rows:
        line = reader.line_num
        if not any(cell.strip() for cell in row):
            continue
        if len(row) > width:
            work.tell(
                "row-length",
                table,
                line,
                width + 1,
                f"{len(row)} cells under {width} columns: a separator too many",
            )
            continue
        cells = {
            column.header: (number + 1, row[number] if number < len(row) else "")
            for number, column in chosen.items()
        }
        key = _key(work, kind, table, line, cells, by_id)
        if key is None:
            continue
        if key in seen:
            message = f"{quoted(key[1])} stands here and in row {seen[key]}: keep one of them"
            work.tell(
                "repeated-row", table, line, cells["id"][0] if "id" in cells else 1, message, record=key[1]
            )
            continue
        seen[key] = line
        if key in records:
            _edit(work, kind, table, line, chosen, row, records[key])
        else:
            _add(work, kind, table, line, chosen, row, key)


def _key(
    work: _Work,
    kind: Kind,
    table: str,
    line: int,
    cells: dict[str, tuple[int, str]],
    by_id: dict[str, list[Key]],
) -> Key | None:
    _, path = cells.get(FILE, (1, ""))
    number, name = cells.get("id", (1, ""))
    path, name = unguarded(path).strip(), unguarded(name).strip()
    if not name and "id" in cells:
        work.tell("missing-id", table, line, number, "a record needs an id: a short name of its own")
        return None
    if path:
        spec = spec_of(path)
        if spec is None or (kind.plural not in spec.lists and spec.top != kind.name):
            message = f"{kind.plural} are not kept in {quoted(path)}: copy `file` from a neighbour"
            work.tell("wrong-file", table, line, cells[FILE][0], message, record=name, value=path)
            return None
        return path, name
    homes = by_id.get(name, [])
    if len(homes) == 1:
        return homes[0]
    message = "say in which `file`: " + (
        f"{quoted(name)} stands in several" if homes else "the record is new"
    )
    work.tell("missing-file", table, line, number, message, record=name)
    return None


def _parsed(
    work: _Work, table: str, line: int, number: int, column: Column, cell: str, name: str
) -> tuple[bool, Any]:
    try:
        return True, value_of(cell, column.holds)
    except CellError as error:
        message = f"{column.header} of {quoted(name)} is {quoted(cell)}: {error}"
        work.tell("ill-formed-cell", table, line, number, message, record=name, value=clip(cell, 100))
        return False, None


def _edit(
    work: _Work, kind: Kind, table: str, line: int, chosen: dict[int, Column], row: list[str],
    home: tuple[str, Pointer, dict[str, Any]],
) -> None:  # fmt: skip
    path, pointer, record = home
    name = str(record.get("id", ""))
    wanted: list[tuple[int, Column, Any]] = []
    for number, column in chosen.items():
        if column.header == FILE:
            continue
        was = at(record, column.pointer)
        cell = row[number] if number < len(row) else ""
        old = cell_of(was, column.holds)
        if cell == old or unguarded(cell) == unguarded(old):
            continue
        if isinstance(was, str) and is_eaten(was, cell):
            message = (
                f"{column.header} of {quoted(name)} was {quoted(was)} and is {quoted(cell)} now: a "
                "spreadsheet program has changed it. The old value is kept"
            )
            fix = Fix(f"write '{was} with an apostrophe in front", safe=True)
            work.tell("eaten-cell", table, line, number + 1, message, record=name, value=cell, fix=fix,
                      severity=Severity.WARNING)  # fmt: skip
            continue
        fits, value = _parsed(work, table, line, number + 1, column, cell, name)
        if not fits:
            return
        if value != was:
            wanted.append((number, column, value))
    if wanted and _fits(work, kind, table, line, _with(record, wanted), wanted, name):
        for _, column, value in wanted:
            _set(work.draft, path, pointer, column.pointer, value, record)
            work.edited.append(f"{kind.name} {name}: {column.header}")


def _with(record: dict[str, Any], wanted: list[tuple[int, Column, Any]]) -> dict[str, Any]:
    """A copy of the record with the new values in it."""
    made: dict[str, Any] = _copied(record)
    for _, column, value in wanted:
        holder = made
        for step in column.pointer[:-1]:
            holder = holder.setdefault(str(step), {})
        if value is None:
            holder.pop(str(column.pointer[-1]), None)
        else:
            holder[str(column.pointer[-1])] = value
    return _pruned(made)


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(item) for key, item in value.items()}
    return [_copied(item) for item in value] if isinstance(value, list) else value


def _pruned(record: dict[str, Any]) -> dict[str, Any]:
    """Without mappings that have become empty."""
    return {key: value for key, value in record.items() if value != {}}


def _fits(
    work: _Work, kind: Kind, table: str, line: int, record: dict[str, Any],
    wanted: list[tuple[int, Column, Any]], name: str,
) -> bool:  # fmt: skip
    faults = problems(kind.name, record)
    for fault in faults:
        cell = next((n + 1 for n, c, _ in wanted if c.pointer == fault.pointer[: len(c.pointer)]), 1)
        work.tell(
            fault.rule, table, line, cell, f"{quoted(name)}: {fault.message}", record=name, value=fault.value
        )
    return not faults


def _set(draft: Draft, path: str, pointer: Pointer, way: Pointer, value: Any, record: dict[str, Any]) -> None:
    sheet = draft.sheet(path)
    target = (*pointer, *way)
    if value is not None:
        if len(way) > 1 and at(record, way[:-1]) is None:
            sheet.set((*pointer, *way[:-1]), {way[-1]: value})
        else:
            sheet.set(target, value)
    elif len(way) > 1 and len(at(record, way[:-1]) or {}) == 1:
        sheet.remove((*pointer, *way[:-1]))
    else:
        sheet.remove(target)


def _add(
    work: _Work, kind: Kind, table: str, line: int, chosen: dict[int, Column], row: list[str], key: Key
) -> None:
    path, name = key
    record: dict[str, Any] = {}
    wanted: list[tuple[int, Column, Any]] = []
    for number, column in chosen.items():
        cell = row[number] if number < len(row) else ""
        if column.header == FILE or not cell.strip():
            continue
        fits, value = _parsed(work, table, line, number + 1, column, cell, name)
        if not fits:
            return
        wanted.append((number, column, value))
    record = _with(record, wanted)
    if not _fits(work, kind, table, line, record, wanted, name):
        return
    spec = spec_of(path)
    if path not in work.draft.loaded.files or spec is None or spec.top == kind.name:
        message = f"there is no file {quoted(path)} to put {quoted(name)} into: make it first"
        work.tell("missing-file", table, line, 1, message, record=name)
        return
    try:
        work.draft.sheet(path).append((kind.plural,), record)
    except DatasetError as error:
        work.tell("missing-file", table, line, 1, f"{quoted(name)} cannot be added: {error}", record=name)
        return
    work.added.append(name)
