"""What changed between two versions of a dataset, by meaning: not which lines, but which records and how.

>>> from cardref.model.figure import Figure, Name
>>> from cardref.model.kinds import KINDS
>>> def version(**names):
...     figures = {f"l/figure/{slug}": Figure(id=f"l/figure/{slug}", names=(Name(text=name, language="en"),))
...                for slug, name in names.items()}
...     return Index({kind: figures if kind == "figure" else {} for kind in KINDS})
>>> for change in changes(version(ada="Ada", bo="Bo"), version(ada="Ropewalk Ada", cy="Cy")).items:
...     print(change.sort.value, change.id, [f.name for f in change.fields])
corrected l/figure/ada ['names']
removed l/figure/bo []
added l/figure/cy []

Moving a record to another file, reordering fields or lists whose order says nothing, and writing an id that
was renamed where the old one stood, are no changes. One record can change in several ways at once: each sort
of change is told by itself.
"""

import enum
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from attrs import frozen

from cardref.index import Index
from cardref.model.back import Back
from cardref.model.kinds import KINDS, Record, Scope
from cardref.storage.plain import plain
from cardref.storage.references import links

__all__ = ["Change", "Changes", "Consequence", "FieldChange", "Sort", "changes", "differences"]


class Sort(enum.StrEnum):
    """What sort of change it is.

    - *added*: a record that was not there.
    - *renamed*: the same record under another id; a tombstone leads from the old to the new one.
    - *merged*: a record that was retired in favour of one that was there already, or together with others.
    - *split*: a record that was retired in favour of several.
    - *retired*: a record that was retired, and nothing took its place.
    - *removed*: a record that is gone without a tombstone.
    - *re-lettered*: a back with another letter and the same count.
    - *corrected*: a fact about the thing itself.
    - *evidence*: how well a record is supported, and by what; the sources themselves.
    - *wording*: notes and explanations, nothing that a card could be compared with.
    """

    ADDED = "added"
    RENAMED = "renamed"
    MERGED = "merged"
    SPLIT = "split"
    RETIRED = "retired"
    REMOVED = "removed"
    RELETTERED = "re-lettered"
    CORRECTED = "corrected"
    EVIDENCE = "evidence"
    WORDING = "wording"


_BREAKING = frozenset({Sort.RENAMED, Sort.MERGED, Sort.SPLIT, Sort.RETIRED, Sort.REMOVED, Sort.RELETTERED})
_GONE = frozenset({Sort.RENAMED, Sort.MERGED, Sort.SPLIT, Sort.RETIRED, Sort.REMOVED})
_EVIDENCE = frozenset({"standing", "sources", "sides", "sightings"})
_WORDING = frozenset({"note", "where", "how", "why", "what", "see", "also"})
# Lists whose order says something: the usual name first, segments as printed, steps one after the other.
_ORDERED = frozenset({"names", "segments"})
_TEXTS = frozenset({"term", "feature"})
"""Kinds whose ``where``, ``how``, ``what`` are explanations; elsewhere such fields are facts."""


@frozen
class FieldChange:
    """One field of a record, before and after, as plain values; None where it was or is absent."""

    name: str
    old: Any
    new: Any


@frozen
class Change:
    """One record, and one sort of change to it.

    Attributes:
        sort: what sort of change.
        kind: the record's kind.
        id: its full id; for one that is gone the id it had.
        fields: what changed in it; empty where the whole record came or went.
        into: for a renamed, merged or split record the ids that took its place.
        old, new: the record before and after; None where it was not or is no longer there.
    """

    sort: Sort
    kind: str
    id: str
    fields: tuple[FieldChange, ...] = ()
    into: tuple[str, ...] = ()
    old: Record | None = None
    new: Record | None = None

    @property
    def breaking(self) -> bool:
        """Whether somebody who noted the id or the designation down must look again."""
        return self.sort in _BREAKING

    @property
    def gone(self) -> bool:
        """Whether no record has this id any more."""
        return self.sort in _GONE


@frozen
class Consequence:
    """Something that follows from the changes, the records it is about, and whether it is for the worse."""

    words: str
    records: tuple[str, ...] = ()
    worse: bool = False


@frozen
class Changes:
    """All changes from one version to another, in the order of kinds and files.

    Attributes:
        old_version, new_version: what the two say of themselves; "" where one says nothing.
        items: the changes.
        retired: ids with a tombstone that had none before.
        revived: ids whose tombstone is gone.
        consequences: what follows; () where only the records were compared.
        next_version: the version to publish this as; "" where that was not asked or nothing changed.
    """

    old_version: str
    new_version: str
    items: tuple[Change, ...]
    retired: tuple[str, ...] = ()
    revived: tuple[str, ...] = ()
    consequences: tuple[Consequence, ...] = ()
    next_version: str = ""

    def __bool__(self) -> bool:
        """Whether anything changed."""
        return bool(self.items or self.retired or self.revived) or self.old_version != self.new_version

    def of(self, *sorts: Sort) -> tuple[Change, ...]:
        """The changes of these sorts."""
        return tuple(change for change in self.items if change.sort in sorts)

    @property
    def breaking(self) -> tuple[Change, ...]:
        """The changes that a user of the data must hear of."""
        return tuple(change for change in self.items if change.breaking)

    @property
    def touched(self) -> frozenset[str]:
        """The ids of all records that came, went or changed, and of what took their place."""
        ids = {change.id for change in self.items} | {full for change in self.items for full in change.into}
        return frozenset(ids.union(self.retired, self.revived))


def changes(old: Index, new: Index) -> Changes:
    """What changed from ``old`` to ``new``."""
    moved = _moved(old, new)
    items = tuple(change for kind in KINDS for change in _of_kind(kind, old, new, moved))
    return Changes(
        old_version=old.dataset.version if old.dataset else "",
        new_version=new.dataset.version if new.dataset else "",
        items=items,
        retired=tuple(full for full in new.retired if full not in old.retired),
        revived=tuple(full for full in old.retired if full not in new.retired),
    )


def _moved(old: Index, new: Index) -> dict[str, str]:
    """Old id -> the one id that stands for it today, of every id that was retired since."""
    found: dict[str, str] = {}
    for full in new.retired:
        if full in old and full not in old.retired:
            current = new.current(full)
            if len(current) == 1:
                found[full] = current[0]
    return found


def _of_kind(kind: str, old: Index, new: Index, moved: Mapping[str, str]) -> Iterator[Change]:
    if KINDS[kind].scope is Scope.NONE and kind != "line":
        return  # the dataset itself, tombstones and waivers are bookkeeping
    before, after = old.tables[kind], new.tables[kind]
    arrived: dict[str, list[str]] = {}
    for full in before:
        if full not in after and full in new.retired:
            for successor in new.current(full):
                arrived.setdefault(successor, []).append(full)
    for full, record in before.items():
        if full not in after:
            yield from _gone(kind, full, record, old, new, arrived, moved)
        elif record is not after[full] and record != after[full]:
            yield from _changed(kind, full, record, after[full], moved)
    renamed = {
        successor
        for successor, ids in arrived.items()
        if successor not in before and len(ids) == 1 and len(new.current(ids[0])) == 1
    }
    for full, record in after.items():
        if full not in before and full not in renamed:
            yield Change(Sort.ADDED, kind, full, new=record)


def _gone(
    kind: str,
    full: str,
    record: Record,
    old: Index,
    new: Index,
    arrived: Mapping[str, list[str]],
    moved: Mapping[str, str],
) -> Iterator[Change]:
    if full not in new.retired:
        yield Change(Sort.REMOVED, kind, full, old=record)
        return
    into = new.current(full)
    if not into:
        yield Change(Sort.RETIRED, kind, full, old=record)
    elif len(into) > 1:
        yield Change(Sort.SPLIT, kind, full, into=into, old=record)
    elif into[0] in old or len(arrived[into[0]]) > 1:
        yield Change(Sort.MERGED, kind, full, into=into, old=record)
    else:
        successor = new.tables[kind].get(into[0])
        yield Change(Sort.RENAMED, kind, full, into=into, old=record, new=successor)
        if successor is not None:
            yield from _changed(kind, into[0], record, successor, moved)


def _changed(kind: str, full: str, record: Record, now: Record, moved: Mapping[str, str]) -> Iterator[Change]:
    """The sorts of change between two versions of one record, the gravest first."""
    by_sort: dict[Sort, list[FieldChange]] = {}
    for one in differences(kind, record, now, moved):
        by_sort.setdefault(_sort(kind, one.name, record, now), []).append(one)
    for sort in Sort:
        if sort in by_sort:
            yield Change(sort, kind, full, tuple(by_sort[sort]), old=record, new=now)


def differences(
    kind: str, record: Record, now: Record, moved: Mapping[str, str] = MappingProxyType({})
) -> Iterator[FieldChange]:
    """The fields in which two versions of one record differ by meaning, in the order of the model.

    ``moved`` says which ids stand for one another: old id -> the one that stands for it today.
    """
    before, after = plain(record), plain(now)
    for name in (*before, *(name for name in after if name not in before)):
        was, is_ = before.get(name), after.get(name)
        if name != "id" and was != is_ and not _same(kind, name, was, is_, moved):
            yield FieldChange(name, was, is_)


def _sort(kind: str, name: str, record: Record, now: Record) -> Sort:
    if kind == "source" or name in _EVIDENCE:
        return Sort.EVIDENCE
    if name == "note" or (name in _WORDING and kind in _TEXTS):
        return Sort.WORDING
    if name == "designation" and isinstance(record, Back) and isinstance(now, Back):
        return Sort.RELETTERED if record.designation.count == now.designation.count else Sort.CORRECTED
    return Sort.CORRECTED


def _same(kind: str, name: str, was: Any, is_: Any, moved: Mapping[str, str]) -> bool:
    """Whether two values of a field say the same, in another order or with ids that were renamed."""
    if moved and any(link.path[0] == name for link in links(kind)):
        was = _renamed(was, moved)
    return bool(_unordered(name, was) == _unordered(name, is_))


def _unordered(name: str, value: Any) -> Any:
    """``value`` with its lists in one order, but for those whose order says something."""
    if isinstance(value, list):
        items = [_unordered("", item) for item in value]
        return items if name in _ORDERED else sorted(items, key=repr)
    if isinstance(value, dict):
        return {key: _unordered(key, item) for key, item in value.items()}
    return value


def _renamed(value: Any, moved: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return moved.get(value, value)
    if isinstance(value, list):
        return [_renamed(item, moved) for item in value]
    if isinstance(value, dict):
        return {moved.get(key, key): _renamed(item, moved) for key, item in value.items()}
    return value
