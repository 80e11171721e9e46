"""Where records refer to others, read off the model's declarations.

In files an id is written as short as its place allows; in memory every id is full. :func:`expand` does the
step, and :func:`references` lists what a record refers to, with the way to each.

>>> raw = {"id": "b-017", "series": "tidewrack", "pictures": {"plus": ["lamp-diver"]}}
>>> expand("back", raw, "tidewrack", "quay-marl")
>>> raw["id"], raw["series"], raw["pictures"]["plus"]
('tidewrack/quay-marl/b-017', 'tidewrack/series/tidewrack', ['tidewrack/figure/lamp-diver'])
"""

import typing
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import attrs

from cardref.location import Pointer
from cardref.model.forms import is_slug
from cardref.model.kinds import KINDS, Scope, full_id

__all__ = ["Expander", "Link", "expand", "links", "references", "walk"]


@attrs.frozen
class Link:
    """A field that refers. ``path`` leads to it from the record; ``on`` says whether the field's value, each
    key of the mapping there, or each value of it is an id. ``*`` in a path stands for every item of a list.
    """

    path: tuple[str, ...]
    kinds: tuple[str, ...]
    on: str = "value"


def _nested(hint: Any) -> tuple[type | None, bool]:
    """The attrs class inside a type hint, and whether it comes in a list."""
    many = typing.get_origin(hint) is tuple
    for candidate in (hint, *typing.get_args(hint)):
        if isinstance(candidate, type) and attrs.has(candidate):
            return candidate, many
    return None, False


@cache
def _links_in(record: type) -> tuple[Link, ...]:
    hints = typing.get_type_hints(record)
    found: list[Link] = []
    for field in attrs.fields(record):
        meta = field.metadata
        for key, on in (("refers", "value"), ("keys_refer", "key"), ("values_refer", "item")):
            if key in meta:
                kinds = meta[key] if isinstance(meta[key], tuple) else (meta[key],)
                found.append(Link((field.name,), kinds, on))
        inner, many = _nested(hints[field.name])
        if inner is not None:
            lead = (field.name, "*") if many else (field.name,)
            found += [Link(lead + link.path, link.kinds, link.on) for link in _links_in(inner)]
    return tuple(found)


def links(kind: str) -> tuple[Link, ...]:
    """Every field of a kind that refers to other records."""
    return _links_in(KINDS[kind].record)


@cache
def _plan(kind: str) -> tuple[tuple[tuple[str, ...], str, str], ...]:
    # Feature ids stay short: whether one is the line's own or a general one is looked up, not written.
    return tuple((link.path, link.kinds[0], link.on) for link in links(kind) if link.kinds != ("feature",))


class _Full(dict[str, str]):
    """Written id -> full id of one kind, as seen from one place: the same few are written again and again."""

    def __init__(self, kind: str, line: str, maker: str) -> None:
        super().__init__()
        self._kind, self._line, self._maker = kind, line, maker

    def __missing__(self, written: str) -> str:
        full = self[written] = full_id(self._kind, written, self._line, self._maker)
        return full

    def of(self, value: Any) -> Any:
        """``value`` with its ids made full; what is ill-typed stays for the shape check to report."""
        if type(value) is str:
            return self[value]
        if type(value) is list:
            return [self[item] if type(item) is str else item for item in value]
        return value


class Expander:
    """Makes the ids of records full: of one kind, in the files of one line and maker."""

    def __init__(self, kind: str, line: str, maker: str) -> None:
        scoped = KINDS[kind].scope is not Scope.NONE
        self._own = _Full(kind, line, maker) if scoped else None
        ids: dict[str, _Full] = {}
        plan = [(p, ids.setdefault(target, _Full(target, line, maker)), on) for p, target, on in _plan(kind)]
        # By far the most fields hold an id or a list of them at the record's top.
        self._plain = [(path[0], full) for path, full, on in plan if len(path) == 1 and on == "value"]
        self._nested = [step for step in plan if len(step[0]) > 1 or step[2] != "value"]

    def expand(self, raw: dict[str, Any]) -> None:
        """Make every id in ``raw`` full, in place."""
        written = raw.get("id")
        if type(written) is str and self._own is not None:
            # What is no short name cannot become part of an id: emptied, so that the record is refused.
            raw["id"] = self._own[written] if is_slug(written) else ""
        for name, full in self._plain:
            if name in raw:
                value = raw[name]
                raw[name] = full[value] if type(value) is str else full.of(value)
        for path, full, on in self._nested:
            if path[0] in raw:
                _expand_at(raw, path, full, on)


def _expand_at(holder: Any, path: tuple[str, ...], full: _Full, on: str) -> None:
    step = path[0]
    if step == "*":
        if type(holder) is list:
            for item in holder:
                _expand_at(item, path[1:], full, on)
        return
    if type(holder) is not dict or step not in holder:
        return
    value = holder[step]
    if len(path) > 1:
        _expand_at(value, path[1:], full, on)
    elif on == "value":
        holder[step] = full.of(value)
    elif type(value) is dict:
        if on == "key":
            holder[step] = {full[key]: item for key, item in value.items()}
        else:
            holder[step] = {key: full.of(item) for key, item in value.items()}


def expand(kind: str, raw: dict[str, Any], line: str, maker: str) -> None:
    """Make every id in ``raw`` full, in place. What is ill-typed is left for the shape check to report."""
    Expander(kind, line, maker).expand(raw)


def walk(value: Any, path: tuple[str, ...], way: Pointer) -> Iterator[tuple[Pointer, Any]]:
    """What a :class:`Link`'s path leads to from ``value``, each with the way to it behind ``way``."""
    if not path:
        yield way, value
    elif path[0] == "*":
        for number, item in enumerate(value):
            yield from walk(item, path[1:], (*way, number))
    else:
        inner = getattr(value, path[0])
        if inner is not None:
            yield from walk(inner, path[1:], (*way, path[0]))


def references(kind: str, record: Any) -> Iterator[tuple[Pointer, tuple[str, ...], str]]:
    """Every reference in ``record``: the way to it inside the record, the kinds it may be, the id."""
    for link in links(kind):
        for way, value in walk(record, link.path, ()):
            if isinstance(value, str):
                if value and link.on == "value":
                    yield way, link.kinds, value
            elif isinstance(value, tuple):
                for number, item in enumerate(value):
                    yield (*way, number), link.kinds, item
            elif isinstance(value, Mapping):
                for key, item in value.items():
                    yield (*way, str(key)), link.kinds, str(key) if link.on == "key" else item
