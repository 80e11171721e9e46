"""The columns of a kind's table, read off the model's declarations.

>>> [column.header for column in columns("sticker")][:4]
['file', 'id', 'kind', 'text']
>>> [column.header for column in columns("back", ("rope-length",))][7:11]
['pictures.based_on', 'pictures.plus', 'pictures.minus', 'pictures.silhouettes']
"""

import types
import typing
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import attrs

from cardref.location import Pointer
from cardref.model.kinds import KINDS
from cardref.storage.shape import in_order, record_shape
from cardref.tables.cells import FLAG, LIST, NUMBER, TEXT, YAML

__all__ = ["FILE", "Column", "columns"]

FILE = "file"
"""The header of the column that says in which file a record stands."""


@attrs.frozen
class Column:
    """One column: its header, the way to its value in a record, what its cells hold, and what it is about."""

    header: str
    pointer: Pointer
    holds: str
    about: str = ""


def columns(kind: str, features: Iterable[str] = ()) -> tuple[Column, ...]:
    """The columns of a kind; each of ``features`` (slugs) gets one, where the kind has features."""
    return (
        Column(FILE, (), TEXT, "The file in which the record stands."),
        *_fields(KINDS[kind].record, (), tuple(features)),
    )


def _fields(record: type, lead: tuple[str, ...], features: tuple[str, ...]) -> Iterator[Column]:
    hints = typing.get_type_hints(record)
    declared = {field.name: field for field in attrs.fields(record)}
    for name in in_order(declared, record_shape(record).order):
        yield from _field(declared[name], hints[name], (*lead, name), features)


def _field(
    field: "attrs.Attribute[Any]", hint: Any, pointer: tuple[str, ...], features: tuple[str, ...]
) -> Iterator[Column]:
    about, header = field.metadata["about"], ".".join(pointer)
    members = [arg for arg in typing.get_args(hint) if arg is not type(None)]
    if isinstance(hint, types.UnionType):
        hint = members[0] if len(members) == 1 else int if int in members else tuple[str, ...]
    if field.metadata.get("keys_refer") == "feature":
        for slug in features:
            yield Column(f"{header}.{slug}", (*pointer, slug), TEXT, f"Feature {slug}.")
    elif isinstance(hint, type) and attrs.has(hint):
        yield from _fields(hint, pointer, ())
    else:
        yield Column(header, pointer, _holds(hint), about)


def _holds(hint: Any) -> str:
    if hint is bool:
        return FLAG
    if hint in (int, float):
        return NUMBER
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin is tuple:
        return YAML if args[0] is int or (isinstance(args[0], type) and attrs.has(args[0])) else LIST
    return YAML if origin is Mapping else TEXT
