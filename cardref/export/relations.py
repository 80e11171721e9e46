"""The dataset as relations: a table for each kind, and a table for each list inside a record.

Read off the model's declarations, so that a new field appears by itself. A field that holds one value is a
column; a list, a mapping or a nested record is a table of its own with the record's id and the position in
front. Dates keep their EDTF text and get two more columns, the earliest and the latest day.

>>> [column.name for column in relations()[0].columns][:3]
['id', 'title', 'version']
>>> [relation.name for relation in relations() if relation.name.startswith("wave")]
['wave', 'wave_debut', 'wave_return', 'wave_drop', 'wave_source', 'wave_side', 'wave_side_source']
"""

import enum
import types
import typing
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

import attrs

from cardref.export.about import layers
from cardref.export.derived import DERIVED
from cardref.export.relation import Cell, Column, Relation, Row
from cardref.index import Index
from cardref.model.fields import one_of
from cardref.model.kinds import KINDS, Scope
from cardref.notation.edtf import Date

__all__ = ["relations"]

_TYPES: dict[Any, str] = {str: "text", int: "integer", float: "number", bool: "boolean"}


def _bare(hint: Any) -> Any:
    """A type hint without its None."""
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        members = [arg for arg in typing.get_args(hint) if arg is not type(None)]
        return members[0] if len(members) == 1 else members
    return hint


def _is_record(hint: Any) -> bool:
    return isinstance(hint, type) and attrs.has(hint)


def _cell(value: Any) -> Cell:
    if value is None or value == "":
        return None
    if isinstance(value, enum.Enum):
        return str(value.value)
    if isinstance(value, bool):
        return int(value)
    return value if isinstance(value, (str, int, float)) else str(value)


@attrs.frozen
class _Part:
    """A piece of a row: its columns, and how to get their cells from the object that holds the field."""

    columns: tuple[Column, ...]
    cells: Callable[[Any], Row]


def _scalar(field: "attrs.Attribute[Any]", hint: Any) -> _Part:
    meta = field.metadata
    about = meta.get("about", "")
    name = field.name
    if hint is Date:
        columns = (
            Column(name, "text", "", f"{about} As written, in EDTF."),
            Column(
                f"{name}_earliest", "date", "", "The first day that it can be; absent where nothing tells."
            ),
            Column(f"{name}_latest", "date", "", "The last day that it can be; absent where nothing tells."),
        )
        return _Part(columns, lambda holder: _date_cells(getattr(holder, name)))
    refers = meta.get("refers", ())
    # Feature ids stay short in records; which feature is meant depends on the line.
    target = refers[0] if len(refers) == 1 and hint is str and refers != ("feature",) else ""
    required = field.default is attrs.NOTHING
    column = Column(name, _TYPES.get(hint, "text"), target, about, required)
    return _Part((column,), lambda holder: (_cell(getattr(holder, name)),))


def _date_cells(date: Date | None) -> Row:
    if date is None:
        return None, None, None
    return str(date), _day(date.earliest), _day(date.latest)


def _day(day: Any) -> str | None:
    # A date column holds what ISO 8601 writes with four digits of a year; what lies outside is left out.
    return str(day) if day is not None and 0 <= day.year <= 9999 else None


class _Shape:
    """What one attrs class gives: parts of its own row, and relations of what it holds."""

    def __init__(self, record: type) -> None:
        self.parts: list[_Part] = []
        self.inner: list[tuple[str, Any, Any]] = []
        hints = typing.get_type_hints(record)
        for field in attrs.fields(record):
            hint = _bare(hints[field.name])
            if isinstance(hint, list) and tuple[str, ...] in hint:  # a list, or a word in its place
                self.parts.append(_word(field))
                self.inner.append((field.name, field, tuple[str, ...]))
            elif isinstance(hint, list):  # a number, or a word in its place
                self.parts.append(_scalar(field, str))
            elif typing.get_origin(hint) in (tuple, Mapping) or _is_record(hint):
                self.inner.append((field.name, field, hint))
            else:
                self.parts.append(_scalar(field, hint))


def _word(field: "attrs.Attribute[Any]") -> _Part:
    name = field.name
    column = Column(f"{name}_state", "text", "", field.metadata.get("about", ""))
    return _Part(
        (column,), lambda holder: (getattr(holder, name) if isinstance(getattr(holder, name), str) else None,)
    )


@cache
def relations() -> tuple[Relation, ...]:
    """All relations, those of a kind together, kinds in the order of the model; then what follows."""
    return (*(relation for kind in KINDS for relation in _of_kind(kind)), _LAYER, *DERIVED)


_LAYER = Relation(
    "layer",
    (
        Column("id", "text", "", "A record of any kind.", required=True),
        Column(
            "layer", "text", "", "Of several datasets over each other the one it comes from.", required=True
        ),
    ),
    ("id",),
    lambda index: iter(layers(index)),
)


def _holders(kind: str) -> Callable[[Index], Iterator[tuple[Row, Any, str]]]:
    def walk(index: Index) -> Iterator[tuple[Row, Any, str]]:
        table: Mapping[str, Any] = index.backs if kind == "back" else index.tables[kind]
        for full, record in table.items():
            line = full.partition("/")[0] if "/" in full else ""
            yield (full,), record, line

    return walk


def _owners(kind: str) -> tuple[Column, ...]:
    """Whose a record is, by its id: its line, and its maker."""
    scope = KINDS[kind].scope
    line = Column("line", "text", "line", "The line it belongs to.", required=True)
    maker = Column("maker", "text", "maker", "The maker whose it is.", required=True)
    if scope is Scope.MAKER:
        return line, maker
    return (line,) if scope is Scope.LINE else ()


def _of_kind(kind: str) -> Iterator[Relation]:
    shape = _Shape(KINDS[kind].record)
    walk = _holders(kind)
    own = [column for part in shape.parts for column in part.columns]
    has_id = any(column.name == "id" for column in own)
    first = own.pop(0) if has_id else Column("id", "text", "", "A running id.", required=True)
    owners = _owners(kind)
    columns = (first, *owners, *own)

    def rows(index: Index) -> Iterator[Row]:
        for key, record, _ in walk(index):
            cells = tuple(cell for part in shape.parts for cell in part.cells(record))
            line, maker = (*str(key[0]).split("/"), "")[:2]
            yield (*key, *(line, f"maker/{maker}")[: len(owners)], *(cells[1:] if has_id else cells))

    yield Relation(kind, columns, ("id",), rows)
    owner = (Column(f"{kind}_id", "text", kind, f"The {kind}.", required=True),)
    for name, field, hint in shape.inner:
        yield from _inner(f"{kind}_{one_of(name)}", owner, walk, name, field, hint)


def _inner(
    name: str,
    owner: tuple[Column, ...],
    walk: Callable[[Index], Iterator[tuple[Row, Any, str]]],
    attribute: str,
    field: "attrs.Attribute[Any]",
    hint: Any,
) -> Iterator[Relation]:
    """The relations for one field that does not fit a column."""
    if typing.get_origin(hint) is Mapping:
        yield _mapping(name, owner, walk, attribute, field)
        return
    many = typing.get_origin(hint) is tuple
    item = typing.get_args(hint)[0] if many else hint
    position = (
        (Column("position", "integer", "", "Place in the list, from 1.", required=True),) if many else ()
    )

    def items(index: Index) -> Iterator[tuple[Row, Any, str]]:
        for key, holder, line in walk(index):
            value = getattr(holder, attribute)
            if many:
                for number, one in enumerate(value if isinstance(value, tuple) else (), 1):
                    yield (*key, number), one, line
            elif value is not None:
                yield key, value, line

    if not _is_record(item):
        meta = field.metadata
        refers = meta.get("refers", ())
        target = refers[0] if len(refers) == 1 and refers[0] != "feature" else ""
        column = Column("value", _TYPES.get(item, "text"), target, meta.get("about", ""), required=True)

        def values(index: Index) -> Iterator[Row]:
            for key, one, _ in items(index):
                yield (*key, _cell(one))

        yield Relation(name, (*owner, *position, column), tuple(c.name for c in (*owner, *position)), values)
        return
    shape = _Shape(item)
    columns = tuple(column for part in shape.parts for column in part.columns)

    def records(index: Index) -> Iterator[Row]:
        for key, one, _ in items(index):
            yield (*key, *(cell for part in shape.parts for cell in part.cells(one)))

    lead = (*owner, *position)
    yield Relation(name, (*lead, *columns), tuple(c.name for c in lead), records)
    inner_owner = (*owner, *(attrs.evolve(c, name=f"{name.rpartition('_')[2]}_position") for c in position))
    for inner_name, inner_field, inner_hint in shape.inner:
        below = f"{name}_{one_of(inner_name)}"
        yield from _inner(below, inner_owner, items, inner_name, inner_field, inner_hint)


def _mapping(
    name: str,
    owner: tuple[Column, ...],
    walk: Callable[[Index], Iterator[tuple[Row, Any, str]]],
    attribute: str,
    field: "attrs.Attribute[Any]",
) -> Relation:
    """A mapping as rows of key and value; several states of one feature are several rows."""
    meta = field.metadata
    of_features = meta.get("keys_refer") == "feature"
    key_target = meta.get("keys_refer", "")
    value_target = meta.get("values_refer", "")

    def rows(index: Index) -> Iterator[Row]:
        for key, holder, line in walk(index):
            for word, value in getattr(holder, attribute).items():
                said = _feature_id(index, str(word), line) if of_features else _cell(word)
                several = value if isinstance(value, tuple) else (value,)
                for number, one in enumerate(several, 1):
                    yield (*key, said, number, _cell(one))

    columns = (
        *owner,
        Column("key", "text", key_target, meta.get("about", ""), required=True),
        Column("position", "integer", "", "Place among the values of this key, from 1.", required=True),
        Column("value", "text", value_target, "What is said of it.", required=True),
    )
    return Relation(name, columns, tuple(c.name for c in columns[:-1]), rows)


def _feature_id(index: Index, slug: str, line: str) -> str:
    feature = index.feature(slug, line)
    return feature.id if feature is not None else slug
