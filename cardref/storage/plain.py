"""Records to plain values: what a file, an export or a JSON answer says of them.

>>> from cardref.model.source import Source, SourceKind
>>> plain(Source(id="source/a", kind=SourceKind.CATALOGUE, citation="Spring list (invented)"))
{'id': 'source/a', 'kind': 'catalogue', 'citation': 'Spring list (invented)'}
"""

import enum
import json
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

import attrs

from cardref.model.kinds import Record

__all__ = ["fingerprint", "plain", "plain_value"]


@cache
def _fields(record: type) -> tuple[tuple[str, Any], ...]:
    return tuple((field.name, field.default) for field in attrs.fields(record))


def plain_value(value: Any) -> Any:
    """One value of a record as JSON and YAML can write it."""
    if isinstance(value, enum.Enum):
        return value.value
    if value is None or isinstance(value, (str, int, float)):
        return value
    if isinstance(value, (tuple, list)):
        return [plain_value(item) for item in value]
    if isinstance(value, Mapping):
        return {str(plain_value(key)): plain_value(item) for key, item in value.items()}
    if attrs.has(type(value)):
        return plain(value)
    return str(value)


def plain(record: Any) -> dict[str, Any]:
    """``record`` as plain values that JSON and YAML can write; fields at their default are left out."""
    return {
        name: plain_value(getattr(record, name))
        for name, default in _fields(record.__class__)
        if getattr(record, name) != default
    }


def fingerprint(records: Iterable[tuple[str, Record]]) -> str:
    """16 hex digits for what ``(kind, record)`` pairs say, whatever their order, files and layout."""
    import hashlib  # noqa: PLC0415 - slow to load, and most answers do not need it

    lines = sorted(
        json.dumps([kind, plain(record)], sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        for kind, record in records
    )
    return hashlib.sha256("\n".join(lines).encode("utf-8", "surrogatepass")).hexdigest()[:16]
