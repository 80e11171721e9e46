"""What each field of a record takes: one strict hook a field, read off the model's declarations.

A hook takes a value as it is or refuses it; nothing is turned into something else on the way, so that 1983
never becomes '1983' and True never becomes 1. :func:`assemble` puts a record together from its fields' hooks.

>>> made = assemble("source", {"id": "source/a", "kind": "catalogue", "citation": "Spring list"})
>>> made.citation
'Spring list'
"""

import enum
import types
import typing
from collections.abc import Callable, Mapping
from functools import cache
from math import isfinite
from typing import Any

import attrs

from cardref.errors import NotationError
from cardref.frozen import FrozenMap
from cardref.model.forms import FORMS, is_full_id, is_slug
from cardref.model.kinds import Record, kind_named
from cardref.notation.value import Value

__all__ = ["Hook", "Refused", "assemble", "field_hooks", "fitting"]

Hook = Callable[[Any], Any]


class Refused(ValueError):  # noqa: N818 - says what happened to the value
    """A value that the field does not take."""


def _text(value: Any) -> str:
    if type(value) is not str or not value:
        raise Refused
    return value


def _whole(value: Any) -> int:
    if type(value) is not int:
        raise Refused
    return value


def _number(value: Any) -> float:
    if type(value) is not int and (type(value) is not float or not isfinite(value)):
        raise Refused
    return float(value)


def _flag(value: Any) -> bool:
    if type(value) is not bool:
        raise Refused
    return value


def _notation(parse: Callable[[str], Any]) -> Hook:
    known: dict[str, Any] = {}  # a dataset writes the same few dates and designations again and again

    def hook(value: Any) -> Any:
        if type(value) is not str:
            raise Refused
        found = known.get(value)
        if found is None:
            found = parse(value)
            if len(known) < 10_000:
                known[value] = found
        return found

    return hook


@cache
def _notation_of(kind: Any) -> Hook:
    """The hook of a notation's class; one for all its fields, since they share values."""
    return _notation(kind.parse)


def _member(kind: type[enum.StrEnum]) -> Hook:
    members: dict[Any, Any] = {member.value: member for member in kind}

    def hook(value: Any) -> Any:
        if type(value) is not str:
            raise Refused
        return members[value]

    return hook


def _states(value: Any) -> FrozenMap[str, tuple[str, ...]]:
    """Feature states: one state or several, a text or a whole number each."""
    if type(value) is not dict:
        raise Refused
    found: dict[str, tuple[str, ...]] = {}
    for key, given in value.items():
        if key not in _KNOWN_FEATURES and not is_slug(key):
            raise Refused
        if type(given) is str and given:  # by far the most
            found[key] = _ONE_STATE[given]
        else:
            found[key] = _several(given)
    if len(_KNOWN_FEATURES) < 1_000:
        _KNOWN_FEATURES.update(found)
    return FrozenMap(found)


class _OneState(dict[str, tuple[str, ...]]):
    """A state -> the tuple of it alone, one for all records that have it."""

    def __missing__(self, state: str) -> tuple[str, ...]:
        if len(self) > 1_000:
            self.clear()
        alone = self[state] = (state,)
        return alone


_ONE_STATE = _OneState()
_KNOWN_FEATURES: set[str] = set()


def _several(given: Any) -> tuple[str, ...]:
    several = given if type(given) is list else [given]
    if not several:
        raise Refused
    for one in several:
        if (type(one) is not str or not one) and type(one) is not int:
            raise Refused
    return tuple(map(str, several))


def _many(inner: Hook, least: int = 0) -> Hook:
    def hook(value: Any) -> Any:
        if type(value) is not list or len(value) < least:
            raise Refused
        return tuple([inner(item) for item in value])

    return hook


def _texts(inner: Hook) -> Hook:
    """A list of texts. Equal lists give one tuple: a dataset names the same few sources again and again."""
    known: dict[tuple[Any, ...], tuple[str, ...]] = {}

    def hook(value: Any) -> Any:
        if type(value) is not list:
            raise Refused
        try:
            found = known.get(given := tuple(value))
        except TypeError:  # a list or a mapping in it
            raise Refused from None
        if found is None:
            found = tuple([inner(item) for item in value])
            if len(known) < 10_000:
                known[given] = found
        return found

    return hook


def _table(key: Hook, inner: Hook) -> Hook:
    def hook(value: Any) -> Any:
        if type(value) is not dict:
            raise Refused
        return FrozenMap({key(k): inner(v) for k, v in value.items()})

    return hook


def _formed(form: str) -> Hook:
    holds = FORMS[form].holds
    known: set[str] = set()

    def hook(value: Any) -> str:
        if type(value) is not str or (value not in known and not holds(value)):
            raise Refused
        if len(known) < 1_000:
            known.add(value)
        return value

    return hook


def _full_id(value: Any) -> str:
    if type(value) is not str or not is_full_id(value):
        raise Refused
    return value


def _bounded(inner: Hook, least: float | None, most: float | None) -> Hook:
    def hook(value: Any) -> Any:
        found = inner(value)
        if (least is not None and found < least) or (most is not None and found > most):
            raise Refused
        return found

    return hook


def _one_of(words: tuple[str, ...], other: Hook | None = None) -> Hook:
    allowed = {word: word for word in words if word}

    def hook(value: Any) -> Any:
        if type(value) is str:
            if value in allowed:
                return allowed[value]
        elif other is not None:
            return other(value)
        raise Refused

    return hook


def _plain(hint: Any) -> Hook:
    """The hook for a type hint, whatever the field adds to it."""
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin is types.UnionType or origin is typing.Union:
        # `X | None`: an absent key gives None; a written null is refused like any other wrong type.
        (inner,) = [arg for arg in args if arg is not type(None)]
        return _plain(inner)
    if origin is tuple:
        return _many(_plain(args[0]))
    if origin is Mapping or hint is Mapping:
        return _table(_plain(args[0]), _plain(args[1]))
    if isinstance(hint, type):
        if issubclass(hint, enum.StrEnum):
            return _member(hint)
        if issubclass(hint, Value):
            notation: Any = hint
            return _notation_of(notation)
        if attrs.has(hint):
            return _record_hook(hint)
    return _SCALARS[hint]


_SCALARS: dict[Any, Hook] = {
    str: _text,
    int: _whole,
    float: _number,
    bool: _flag,
}


def _field_hook(field: "attrs.Attribute[Any]", hint: Any) -> Hook:
    meta = field.metadata
    least, most = meta.get("minimum"), meta.get("maximum")
    members = set(typing.get_args(hint)) - {type(None)}
    if meta.get("keys_refer") == "feature":
        return _states
    if "choices" in meta:
        if int in members:
            return _one_of(meta["choices"], _bounded(_whole, least, most))
        if tuple[str, ...] in members:
            return _one_of(meta["choices"], _many(_text, least=1))
        return _one_of(meta["choices"])
    if field.name == "id" and not meta.get("stays_short"):
        return _full_id  # short names were checked where they were made full
    if "form" in meta and str in (hint, *typing.get_args(hint)):
        formed = _formed(meta["form"])
        return _texts(formed) if typing.get_origin(hint) is tuple else formed
    if "keys_form" in meta:
        return _table(_formed(meta["keys_form"]), _plain(typing.get_args(hint)[1]))
    if typing.get_origin(hint) is tuple:
        inner = _plain(typing.get_args(hint)[0])
        if typing.get_args(hint)[0] is int:
            return _many(_bounded(inner, least, most))
        if inner is _text and not least:
            return _texts(inner)
        return _many(inner, least or 0)
    hook = _plain(hint)
    return _bounded(hook, least, most) if least is not None or most is not None else hook


@cache
def field_hooks(record: type) -> Mapping[str, Hook]:
    """Field name -> its hook."""
    hints = typing.get_type_hints(record)
    return {field.name: _field_hook(field, hints[field.name]) for field in attrs.fields(record)}


@cache
def _record_hook(record: type) -> Hook:
    hooks = field_hooks(record)
    needed = frozenset(f.name for f in attrs.fields(record) if f.default is attrs.NOTHING)

    def hook(value: Any) -> Any:
        if type(value) is not dict or not needed <= value.keys():
            raise Refused
        return record(**{key: hooks[key](given) for key, given in value.items()})

    return hook


def assemble(kind: str, raw: dict[str, Any]) -> Record:
    """The record that ``raw`` (with full ids) says.

    Errors: Refused, NotationError or KeyError where it does not.
    """
    made: Record = _record_hook(kind_named(kind).record)(raw)
    return made


def fitting(kind: str, raw: dict[str, Any]) -> Record | None:
    """The record that ``raw`` (with full ids) says, or None where it does not fit the model."""
    try:
        return assemble(kind, raw)
    except (Refused, NotationError, KeyError):
        return None
