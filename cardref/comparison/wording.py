"""Changes in words: what happened to a record, and to each of its fields.

>>> field_words("released", "1982", "1982-03")
'released narrowed from 1982 to 1982-03'
>>> field_words("standing", "reported", "confirmed")
'standing raised from reported to confirmed'
>>> field_words("sources", ["source/a"], ["source/a", "source/b"])
'source added: b'
>>> field_words("features", {}, {"rope-length": ["4 mm"]})
'feature recorded: rope-length 4 mm'
"""

from collections.abc import Iterator
from typing import Any

from cardref.errors import NotationError
from cardref.facts.called import called, listed
from cardref.facts.changes import Change, Sort
from cardref.index import Index
from cardref.model.kinds import KINDS, short_id
from cardref.notation.edtf import Date
from cardref.text import clip

__all__ = ["CLASSES", "class_of", "field_words", "subject", "words"]

CLASSES = {
    "breaking": "what was noted down before must be looked at again",
    "addition": "what was not there before",
    "correction": "facts that are now said otherwise",
    "evidence": "how well it is supported",
    "wording": "notes and explanations",
}
"""The classes of change, gravest first."""

_STANDINGS = ("refuted", "disputed", "unverified", "reported", "confirmed")


def class_of(change: Change) -> str:
    """The class of a change, a key of :data:`CLASSES`."""
    if change.breaking:
        return "breaking"
    if change.sort is Sort.ADDED:
        return "addition"
    if change.sort is Sort.CORRECTED:
        added = change.fields and all(_is_addition(f.old, f.new) for f in change.fields)
        return "addition" if added else "correction"
    return change.sort.value


def _is_addition(old: Any, new: Any) -> bool:
    if old is None:
        return True
    if isinstance(old, dict) and isinstance(new, dict):
        return all(key in new and new[key] == value for key, value in old.items())
    if isinstance(old, list) and isinstance(new, list):
        return len(new) > len(old) and all(item in new for item in old)
    return False


def subject(change: Change, old: Index, new: Index) -> str:
    """What the change is about, as people call it."""
    index = new if change.id in new else old
    named = called(index, change.id)
    return named if KINDS[change.kind].name in named.split() else f"{change.kind} {named}"


def words(change: Change) -> str:
    """What happened, a clause that completes the subject."""
    into = listed(map(short_id, change.into))
    if change.sort is Sort.RELETTERED:
        return "re-lettered: " + "; ".join(field_words(f.name, f.old, f.new) for f in change.fields)
    if change.fields:
        return "; ".join(field_words(f.name, f.old, f.new) for f in change.fields)
    return {
        Sort.ADDED: "added",
        Sort.RENAMED: f"renamed to {into}",
        Sort.MERGED: f"merged into {into}",
        Sort.SPLIT: f"split into {into}",
        Sort.RETIRED: "retired, nothing took its place",
        Sort.REMOVED: "removed without a tombstone",
    }.get(change.sort, change.sort.value)


def field_words(name: str, old: Any, new: Any) -> str:
    """What happened to one field, from its plain values before and after (None where absent)."""
    label = name.replace("_", " ")
    if isinstance(old or new, dict) and isinstance(new or old, dict):
        return "; ".join(_mapping(label, old or {}, new or {}))
    if isinstance(old or new, list) and isinstance(new or old, list):
        return _list(label, old or [], new or [])
    if old is None:
        return f"{label} recorded: {_said(new)}"
    if new is None:
        return f"{label} taken out: {_said(old)}"
    verb = "changed"
    if name == "standing" and old in _STANDINGS and new in _STANDINGS:
        verb = "raised" if _STANDINGS.index(new) > _STANDINGS.index(old) else "lowered"
    elif _within(new, old):
        verb = "narrowed"
    elif _within(old, new):
        verb = "widened"
    return f"{label} {verb} from {_said(old)} to {_said(new)}"


def _within(one: Any, other: Any) -> bool:
    """Whether ``one`` is a date that lies within the date ``other``."""
    try:
        return Date.parse(one).within(Date.parse(other)) is True
    except (NotationError, TypeError):
        return False


_SINGULAR = {
    "sources": "source", "features": "feature", "sightings": "sighting", "stickers": "sticker",
    "languages": "language", "codes": "code", "names": "name", "titles": "title", "sides": "side",
}  # fmt: skip


def _one(label: str) -> str:
    return _SINGULAR.get(label, label)


def _mapping(label: str, old: dict[str, Any], new: dict[str, Any]) -> Iterator[str]:
    for key, value in new.items():
        if key not in old:
            yield f"{_one(label)} recorded: {clip(key, 60)} {_said(value)}".lstrip()
        elif old[key] != value:
            yield f"{_one(label)} {clip(key, 60)} changed from {_said(old[key])} to {_said(value)}".lstrip()
    for key, value in old.items():
        if key not in new:
            yield f"{_one(label)} taken out: {clip(key, 60)} {_said(value)}".lstrip()


def _list(label: str, old: list[Any], new: list[Any]) -> str:
    added = [item for item in new if item not in old]
    gone = [item for item in old if item not in new]
    parts = []
    for item in [item for item in added if isinstance(item, dict)]:
        was = next((old for old in gone if _is_same_item(old, item)), None)
        if was is not None:
            added.remove(item)
            gone.remove(was)
            parts.append(
                f"{_one(label)} {_said(next(iter(item.values())))}: {'; '.join(_mapping('', was, item))}"
            )
    if added:
        parts.append(f"{_one(label)} added: {listed(map(_said, added))}")
    if gone:
        parts.append(f"{_one(label)} taken out: {listed(map(_said, gone))}")
    return "; ".join(parts) or f"{label} in another order"


def _is_same_item(old: Any, new: dict[str, Any]) -> bool:
    """Whether two nested records are versions of one: they agree in the first thing they say."""
    return isinstance(old, dict) and next(iter(old.items()), None) == next(iter(new.items()), None)


def _said(value: Any) -> str:
    if isinstance(value, dict):
        return clip(", ".join(f"{key} {_said(item)}" for key, item in value.items()), 100)
    if isinstance(value, list):
        return listed(map(_said, value))
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return clip(short_id(text) if text.islower() and " " not in text and "://" not in text else text, 80)
