"""How a file is laid out by meaning: the order of keys and records, read off the model's declarations.

Keys stand in the order in which the model declares them, what a kind shares with others (standing, sources)
last. Records stand in the order in which people look for them, where one is certain: backs by designation,
faces, cards and retired ids by id. All other lists keep their order, since it says something: waves follow
each other, figures came out in turn, a name that stands first is the usual one.

>>> from cardref.storage.layout import spec_of
>>> shape = shape_of(spec_of("lines/tidewrack/backs/quay-marl.yaml"))
>>> shape.order, shape.fields["backs"].sort
(('line', 'maker', 'backs'), 'back')
>>> shape.fields["backs"].each.order[:4], shape.fields["backs"].each.order[-4:]
(('id', 'designation', 'series', 'wave'), ('standing', 'sources', 'sides', 'note'))
"""

import re
import typing
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any, TypeVar

import attrs
from attrs import field, frozen

from cardref.errors import NotationError
from cardref.model.face import Face
from cardref.model.kinds import BY_PLURAL, KINDS
from cardref.notation.designation import Designation
from cardref.storage.layout import FileSpec, spec_of

__all__ = ["FREE", "Shape", "by_meaning", "in_order", "record_shape", "shape_at", "shape_of"]

T = TypeVar("T")


@frozen
class Shape:
    """How one value is laid out.

    Attributes:
        order: the keys of a mapping in their order; none where the author's order stays.
        fields: the shapes of values by key.
        each: the shape of every item of a list.
        sort: the kind by whose meaning the items of a list are ordered, or "".
        records: its items are a file's records: a blank line sets each off.
        codes: it holds signs as printed, which always stand in quotes.
    """

    order: tuple[str, ...] = ()
    fields: Mapping[str, "Shape"] = field(factory=dict)
    each: "Shape | None" = None
    sort: str = ""
    records: bool = False
    codes: bool = False


FREE = Shape()
"""What is not ours to order."""

_CODES = Shape(codes=True, each=Shape(codes=True))
_AS_PRINTED = {(Face, "codes"), (Face, "number"), (Face, "barcode")}
_SORTED = frozenset({"back", "face", "card", "tombstone"})


@cache
def record_shape(record: type) -> Shape:
    """The shape of a record, or of a part of one, from its class in the model."""
    hints = typing.get_type_hints(record)
    declared = attrs.fields(record)
    fields = {}
    for one in declared:
        if (record, one.name) in _AS_PRINTED:
            fields[one.name] = _CODES
            continue
        many = typing.get_origin(hints[one.name]) is tuple
        inner = next(
            (h for h in (hints[one.name], *typing.get_args(hints[one.name])) if attrs.has(h)),
            None,
        )
        if inner is not None:
            fields[one.name] = Shape(each=record_shape(inner)) if many else record_shape(inner)
    return Shape(order=tuple(one.name for one in declared), fields=fields)


@cache
def shape_of(spec: FileSpec) -> Shape:
    """The shape of a file of the dataset."""
    top = record_shape(KINDS[spec.top].record) if spec.top else FREE
    lists = {}
    for plural in spec.lists:
        kind = BY_PLURAL[plural]
        each = record_shape(kind.record)
        lists[plural] = Shape(each=each, sort=kind.name if kind.name in _SORTED else "", records=True)
    return Shape(order=(*spec.header, *top.order, *spec.lists), fields={**top.fields, **lists})


def shape_at(path: str) -> Shape:
    """The shape of a dataset's file; a file that is none of a dataset's keeps the order of its keys."""
    spec = spec_of(path)
    return shape_of(spec) if spec else FREE


# --- orders -----------------------------------------------------------------------------------------------


def in_order(keys: Iterable[str], order: tuple[str, ...]) -> list[str]:
    """``keys`` by ``order``; one that is not in it stays behind the one it followed.

    >>> in_order(["note", "x-own", "id"], ("id", "note"))
    ['id', 'note', 'x-own']
    """
    rank = {key: number for number, key in enumerate(order)}
    return _sorted(list(keys), rank.get)


def by_meaning(sort: str, items: list[Any], value: Callable[[Any], Any]) -> list[Any]:
    """The items of a list in the order of the kind ``sort``; ``value`` gives an item's plain values."""
    return _sorted(items, lambda item: _meaning(sort, value(item))) if sort else items


def _sorted(items: list[T], key: Callable[[T], Any]) -> list[T]:
    """Sorted, an item without a key behind the one it followed."""
    leading: list[T] = []
    groups: list[tuple[Any, list[T]]] = []
    for item in items:
        found = key(item)
        if found is not None:
            groups.append((found, [item]))
        elif groups:
            groups[-1][1].append(item)
        else:
            leading.append(item)
    groups.sort(key=lambda group: group[0])
    return leading + [item for _, group in groups for item in group]


def _meaning(sort: str, value: Any) -> Any:
    """What a record is ordered by; None where it cannot be told."""
    written = value.get("id") if isinstance(value, dict) else None
    if not isinstance(written, str):
        return None
    if sort != "back":
        return _natural(written)
    said = value.get("designation")
    try:
        return (Designation.parse(said), _natural(written)) if isinstance(said, str) else None
    except NotationError:
        return None


def _natural(text: str) -> list[tuple[int, int, str]]:
    """A key by which b-9 comes before b-10."""
    return [
        (0, int(part), part) if part.isdecimal() else (1, 0, part)
        for part in re.split("([0-9]+)", text)
        if part
    ]
