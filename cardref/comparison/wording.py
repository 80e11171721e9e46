"""Changes in words: what happened to a record, and to each of its fields.

>>> field_words("released", "1982", "1982-03")
'released narrowed from 1982 to 1982-03'
>>> field_words("standing", "reported", "confirmed")
'standing raised from reported to confirmed'
>>> field_words("sources", ["source/a"], ["source/a", "source/b"])
'source added: b'
>>> field_words("codes", ["7K 2046/031"], ["7K 2046/043"])
'code changed from 7K 2046/031 to 7K 2046/043'
>>> field_words("features", {}, {"rope-length": ["4 mm"]})
'feature recorded: rope-length 4 mm'
>>> field_words("names", [{"text": "Ada", "language": "en"}], [{"text": "Ropewalk Ada", "language": "en"}])
'name (language en): text changed from Ada to Ropewalk Ada'
"""

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from cardref.errors import NotationError
from cardref.facts.called import called, listed
from cardref.facts.changes import Change, Sort
from cardref.index import Index
from cardref.model.fields import one_of
from cardref.model.kinds import KINDS, short_id
from cardref.notation.edtf import Date
from cardref.storage.references import links
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
    label, refers = name.replace("_", " "), name in _referring()
    if isinstance(old or new, dict) and isinstance(new or old, dict):
        return "; ".join(_mapping(label, old or {}, new or {}, refers=refers))
    if isinstance(old or new, list) and isinstance(new or old, list):
        return "; ".join(_list(label, old or [], new or [], refers=refers)) or f"{label} in another order"
    was, is_ = _said(old, refers=refers), _said(new, refers=refers)
    if old is None:
        return f"{label} recorded: {is_}"
    if new is None:
        return f"{label} taken out: {was}"
    verb = "changed"
    if name == "standing" and old in _STANDINGS and new in _STANDINGS:
        verb = "raised" if _STANDINGS.index(new) > _STANDINGS.index(old) else "lowered"
    elif _within(new, old):
        verb = "narrowed"
    elif _within(old, new):
        verb = "widened"
    return f"{label} {verb} from {was} to {is_}"


@cache
def _referring() -> frozenset[str]:
    """The fields that hold ids, which are shown short."""
    return frozenset(str(link.path[0]) for kind in KINDS for link in links(kind))


def _within(one: Any, other: Any) -> bool:
    """Whether ``one`` is a date that lies within the date ``other``."""
    try:
        return Date.parse(one).within(Date.parse(other)) is True
    except (NotationError, TypeError):
        return False


def _mapping(label: str, old: dict[str, Any], new: dict[str, Any], *, refers: bool) -> Iterator[str]:
    one = one_of(label)
    for key, value in new.items():
        name = f"{one} {clip(key, 60)}".lstrip()
        if key not in old:
            recorded = f"{one} recorded: {clip(key, 60)}" if one else f"{name} recorded:"
            yield f"{recorded} {_said(value, refers=refers)}"
        elif old[key] != value:
            yield f"{name} changed from {_said(old[key], refers=refers)} to {_said(value, refers=refers)}"
    for key, value in old.items():
        if key not in new:
            gone = f"{one} taken out:" if one else "taken out:"
            yield f"{gone} {clip(key, 60)} {_said(value, refers=refers)}"


def _list(label: str, old: list[Any], new: list[Any], *, refers: bool) -> Iterator[str]:
    added = [item for item in new if item not in old]
    gone = [item for item in old if item not in new]
    one = one_of(label)
    for item in [item for item in added if isinstance(item, dict)]:
        was = _earlier(item, gone)
        if was is not None:
            added.remove(item)
            gone.remove(was)
            alike = ", ".join(
                f"{key} {_said(value, refers=refers)}" for key, value in item.items() if was.get(key) == value
            )
            yield f"{one} ({clip(alike, 80)}): {'; '.join(_mapping('', was, item, refers=refers))}"
    if label != "sources" and len(added) == len(gone) == 1 and not isinstance(added[0], dict):
        yield f"{one} changed from {_said(gone[0], refers=refers)} to {_said(added[0], refers=refers)}"
        return
    for verb, items in (("added", added), ("taken out", gone)):
        if items:
            yield f"{one} {verb}: {listed([_said(item, refers=refers) for item in items], 12)}"


def _earlier(item: dict[str, Any], gone: list[Any]) -> dict[str, Any] | None:
    """Of the nested records that are gone the one that ``item`` is a version of: half of it is the same."""
    best, most = None, 0
    for old in gone:
        if isinstance(old, dict):
            alike = sum(item.get(key) == value for key, value in old.items())
            if alike > most and 2 * alike >= len(old):
                best, most = old, alike
    return best


_ID = re.compile(r"(?:[a-z0-9-]+/){1,2}[a-z0-9-]*[a-z0-9]")


def _said(value: Any, *, refers: bool) -> str:
    if isinstance(value, dict):
        return clip(", ".join(f"{key} {_said(item, refers=refers)}" for key, item in value.items()), 100)
    if isinstance(value, list):
        return listed([_said(item, refers=refers) for item in value])
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return clip(short_id(text) if refers and _ID.fullmatch(text) else text, 80)
