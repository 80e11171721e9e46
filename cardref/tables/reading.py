r"""Tables back into the dataset: what a spreadsheet changed becomes the smallest edit of the YAML.

Records that were not touched keep their text and comments; a record that is not in a table stays. Whatever is
wrong is a finding at its row and column, and a row with a finding is not imported.

>>> import tempfile, pathlib
>>> from cardref.checks.sample import write_sample
>>> root = write_sample(pathlib.Path(tempfile.mkdtemp()) / "dataset")
>>> tables = pathlib.Path(tempfile.mkdtemp())
>>> _ = (tables / "sources.csv").write_text("id,citation\nbinder,The second binder (invented)\n")
>>> done = read_tables(tables, root)
>>> done.edited, [line for line in done.changes[0].diff().splitlines() if line[0] == "+"][1:]
(('source binder: citation',), ['+    citation: The second binder (invented)'])
"""

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Any

from cardref.errors import DatasetError, UsageError
from cardref.finding import Fix, Severity
from cardref.location import Pointer
from cardref.model.kinds import Kind
from cardref.schema.explain import problems
from cardref.storage.draft import Draft
from cardref.storage.layout import FileSpec, path_for, spec_of
from cardref.tables.cells import (
    LIST,
    TEXT,
    CellError,
    as_month,
    cell_of,
    dropped_zero,
    is_eaten,
    looks_eaten,
    unguarded,
    value_of,
)
from cardref.tables.columns import FILE, Column, columns
from cardref.tables.sheetfile import Row, SheetError, letters, load_rows
from cardref.tables.work import Import, Work
from cardref.tables.writing import KINDS_IN_TABLES, at
from cardref.text import clip, closest, quoted, visible

__all__ = ["read_tables"]


def read_tables(folder: Path, root: Path) -> Import:
    """What importing the tables in ``folder`` into the dataset at ``root`` would do. Nothing is written.

    Errors: UsageError where there is no table; DatasetError where the dataset cannot be read.
    """
    if not folder.is_dir():
        raise UsageError(
            f"{quoted(str(folder))} is no folder: name the one that `cardref tables export` wrote; a list of "
            "cards of your own goes in by `cardref tables add`"
        )
    work = Work.on(root)
    found = False
    for kind in KINDS_IN_TABLES:
        path = folder / f"{kind.plural}.csv"
        if path.exists():
            found = True
            try:
                _table(work, kind, path)
            except SheetError as fault:
                work.tell(fault.rule, path.name, fault.row, 1, str(fault))
    if not found:
        names = ", ".join(f"{kind.plural}.csv" for kind in KINDS_IN_TABLES[:4])
        raise UsageError(f"{quoted(str(folder))} holds no table: it needs one of {names} ...")
    return work.result()


def _table(work: Work, kind: Kind, path: Path) -> None:
    known = columns(kind.name, work.records.features(kind.name))
    head, *rows = load_rows(path, [column.header for column in known])
    chosen = _header(work, kind, path.name, [visible(name.strip()) for name in head.cells], known)
    if chosen is not None:
        _rows(work, kind, path.name, rows, chosen, len(head.cells))


def _header(
    work: Work, kind: Kind, table: str, head: list[str], known: tuple[Column, ...]
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


def _feature_column(work: Work, name: str, kind: Kind) -> Column | None:
    """A feature that no record of this kind has used so far."""
    lead, _, slug = name.partition(".")
    catalogue = {record.get("id") for _, record in work.records.of("feature")}
    has_features = any(column.pointer[:1] == ("features",) for column in columns(kind.name, (slug,)))
    if lead == "features" and slug in catalogue and has_features:
        return Column(name, ("features", slug), TEXT)
    return None


Key = tuple[str, str]
_spec = lru_cache(1024)(spec_of)


def _rows(
    work: Work, kind: Kind, table: str, rows: Iterable[Row], chosen: dict[int, Column], width: int
) -> None:
    records: dict[Key, tuple[str, Pointer, dict[str, Any]]] = {}
    homes: dict[str, list[str]] = {}
    for (path, pointer), record in work.records.of(kind.name):
        name = str(record.get("id", ""))
        records[path, name] = path, pointer, record
        homes.setdefault(name, []).append(path)
    seen: dict[Key, int] = {}
    for row in rows:
        line = row.number
        if len(row.cells) > width and any(cell.strip() for cell in row.cells[width:]):
            message = f"{len(row.cells)} cells under {width} columns: a separator too many"
            work.tell("row-length", table, line, width + 1, message)
            continue
        cells = {
            column.header: (number + 1, row.cells[number] if number < len(row.cells) else "")
            for number, column in chosen.items()
        }
        key = _key(work, kind, table, line, cells, homes)
        if key is None:
            continue
        if key in seen:
            message = f"{quoted(key[1])} stands here and in row {seen[key]}: keep one of them"
            cell = cells["id"][0] if "id" in cells else 1
            work.tell("repeated-row", table, line, cell, message, record=key[1])
            continue
        seen[key] = line
        if key in records:
            _edit(work, kind, table, line, chosen, row.cells, records[key])
        else:
            _add(work, kind, table, line, chosen, row.cells, key)


def _key(
    work: Work,
    kind: Kind,
    table: str,
    line: int,
    cells: dict[str, tuple[int, str]],
    homes: dict[str, list[str]],
) -> Key | None:
    at_file, path = cells.get(FILE, (1, ""))
    number, name = cells.get("id", (1, ""))
    path, name = unguarded(path).strip(), unguarded(name).strip()
    if not name and "id" in cells:
        work.tell("missing-id", table, line, number, "a record needs an id: a short name of its own")
        return None
    if path:
        spec = _spec(path)
        if spec is None or (kind.plural not in spec.lists and spec.top != kind.name):
            message = f"{kind.plural} are not kept in {quoted(path)}: copy `file` from a neighbour"
            work.tell("wrong-file", table, line, at_file, message, record=name, value=path)
            return None
        if spec.top == kind.name and name != spec.line and path not in homes.get(name, ()):
            message = (
                f"{quoted(name)} does not stand in {quoted(path)}: a {kind.name} has a file of its own id"
            )
            work.tell("wrong-file", table, line, at_file, message, record=name, value=path)
            return None
        there = [home for home in homes.get(name, []) if home != path and _beside(home, spec)]
        if there:
            message = (
                f"{quoted(name)} stands in {quoted(there[0])}: an import moves no record. Write that file "
                "here, or give a new record an id of its own"
            )
            work.tell("wrong-file", table, line, at_file, message, record=name, value=path)
            return None
        return path, name
    if kind.name == "line":
        return path_for("line", name), name
    # A record that is there tells its file; of a new one it is plain where the dataset has only one.
    found = homes.get(name) or work.homes(kind)
    if len(found) == 1:
        return found[0], name
    message = "say in which `file`: " + (
        f"{quoted(name)} stands in several" if name in homes else f"{quoted(name)} is new"
    )
    work.tell("missing-file", table, line, number, message, record=name)
    return None


def _beside(path: str, spec: FileSpec) -> bool:
    """Whether a file is another part of what ``spec`` is about, so that ids in both must differ."""
    other = _spec(path)
    return other is not None and (other.line, other.maker) == (spec.line, spec.maker)


def _parsed(
    work: Work, table: str, line: int, number: int, column: Column, cell: str, name: str
) -> tuple[bool, Any]:
    try:
        value = value_of(cell, column.holds)
    except CellError as error:
        message = f"{column.header} of {quoted(name)} is {quoted(cell)}: {error}"
        work.tell("ill-formed-cell", table, line, number, message, record=name, value=clip(cell, 100))
        return False, None
    return True, None if value in ([], {}) else value


def _edit(
    work: Work, kind: Kind, table: str, line: int, chosen: dict[int, Column], row: list[str],
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
        if _is_eaten(was, cell, column):
            message = (
                f"{column.header} of {quoted(name)} was {quoted(unguarded(old))} and is {quoted(cell)} now: "
                "a spreadsheet program has changed it. The old value is kept"
            )
            fix = Fix(f"write '{clip(unguarded(old), 60)} with an apostrophe in front", safe=True)
            work.tell("eaten-cell", table, line, number + 1, message, record=name, value=cell, fix=fix,
                      severity=Severity.WARNING)  # fmt: skip
            continue
        fits, value = _parsed(work, table, line, number + 1, column, cell, name)
        if not fits:
            return
        if value != was:
            wanted.append((number, column, value))
    if wanted and _fits(work, kind, table, line, _with(record, wanted), wanted, name):
        for number, column, value in wanted:
            try:
                _set(work.draft, path, pointer, column.pointer, value, record)
            except DatasetError as error:
                cell = f"{letters(number + 1)}{line}"
                message = f"{table} {cell}: {column.header} of {quoted(name)} cannot be changed: {error}"
                raise DatasetError(f"{message}. Nothing was imported") from error
            work.edited.append(f"{kind.name} {name}: {column.header}")


def _is_eaten(was: Any, cell: str, column: Column) -> bool:
    """Whether the cell, or an item of it, is what a spreadsheet program makes of the old value."""
    if column.holds == LIST and isinstance(was, list):
        parts = [part.strip() for part in unguarded(cell).split(";")]
        return len(parts) == len(was) and any(
            isinstance(text, str) and is_eaten(text, part) for text, part in zip(was, parts, strict=True)
        )
    return isinstance(was, str) and is_eaten(was, cell)


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
    work: Work, kind: Kind, table: str, line: int, record: dict[str, Any],
    wanted: list[tuple[int, Column, Any]], name: str,
) -> bool:  # fmt: skip
    faults = problems(kind.name, record)
    for fault in faults:
        cell = next((n + 1 for n, c, _ in wanted if c.pointer == fault.pointer[: len(c.pointer)]), 1)
        month = as_month(fault.value)
        hint = f"; a spreadsheet program has changed it, write '{month}" if month else ""
        message = f"{quoted(name)}: {fault.message}{hint}"
        work.tell(fault.rule, table, line, cell, message, record=name, value=fault.value)
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
    work: Work, kind: Kind, table: str, line: int, chosen: dict[int, Column], row: list[str], key: Key
) -> None:
    path, name = key
    wanted: list[tuple[int, Column, Any]] = []
    for number, column in chosen.items():
        cell = row[number] if number < len(row) else ""
        if column.header == FILE or not cell.strip():
            continue
        eaten = _eaten_anew(work, kind, path, column, cell)
        if eaten:
            message = f"{column.header} of {quoted(name)} is {quoted(cell)}: {eaten}"
            fix = Fix("write what is printed, with an apostrophe in front", safe=False)
            work.tell(
                "eaten-cell", table, line, number + 1, message, record=name, value=clip(cell, 100), fix=fix
            )
            return
        fits, value = _parsed(work, table, line, number + 1, column, cell, name)
        if not fits:
            return
        wanted.append((number, column, value))
    record = _with({}, wanted)
    if not _fits(work, kind, table, line, record, wanted, name):
        return
    problem = work.add(kind, path, record)
    if problem:
        work.tell("missing-file", table, line, 1, problem, record=name)


def _eaten_anew(work: Work, kind: Kind, path: str, column: Column, cell: str) -> str:
    """Why a new record's cell is probably not what is printed; "" where nothing says so."""
    if column.header not in _CODED:
        return ""
    if looks_eaten(cell):
        return "a spreadsheet program has changed it. Write what is printed, with an apostrophe in front"
    return dropped_zero(
        cell.strip(),
        (
            text
            for (file, _), record in work.records.of(kind.name)
            if file == path
            for text in _texts(at(record, column.pointer))
        ),
    )


def _texts(value: Any) -> list[str]:
    return [item for item in (value if isinstance(value, list) else [value]) if isinstance(item, str)]


_CODED = frozenset({"number", "barcode", "codes", "designation", "claimed"})
"""Columns of signs as printed, in which no month and no power of ten can be meant."""
