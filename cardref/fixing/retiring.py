"""Ids that are no longer used: records retired, renamed, merged and split, with tombstones.

An id lives for ever: collectors have it in their own lists. Whoever takes one out of use leaves a tombstone
in ``retired.yaml`` that says why and what took its place, so that a look-up by the old id still finds
something. Everything in the dataset that mentions the id follows; comments on a record that goes move to its
tombstone.

Nothing is written here: :attr:`Retiring.changes` are given to :func:`cardref.storage.atomic.write_changes`.

>>> import tempfile, pathlib
>>> from cardref.checks.sample import write_sample
>>> folder = write_sample(pathlib.Path(tempfile.mkdtemp()))
>>> done = rename(folder, "reef pilot", "reef-guide")
>>> done.retired
{'lanternfish/figure/reef-pilot': ('lanternfish/figure/reef-guide',)}
>>> len(done.followed), done.changes[0].path
(9, 'lines/lanternfish/backs/morvane.yaml')
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from cardref.errors import AmbiguousRecord, DatasetError, UnknownRecord, UsageError
from cardref.fixing.succession import Retiring, Succession, carry_out, raw_of
from cardref.index import from_loaded
from cardref.model.forms import FORMS, is_slug
from cardref.model.kinds import KINDS, Scope, short_id
from cardref.notation.edtf import Date
from cardref.storage.canonical import flow_text, same
from cardref.storage.draft import Draft
from cardref.storage.layout import path_for
from cardref.storage.loader import Entry
from cardref.text import count_of, quoted

__all__ = ["Retiring", "merge", "rename", "retire", "split"]

_OWN = frozenset({"id", "designation", "standing"})
"""What a merged record does not give away: its own name, and how well it was supported."""
_ORDERED = frozenset({"segments", "states"})
"""Lists that say something only as a whole."""


def retire(
    root: Path,
    asked: str,
    *,
    reason: str,
    date: str = "",
    replaced_by: Sequence[str] = (),
    choose: Mapping[str, str] | None = None,
) -> Retiring:
    """Take a record out of use.

    Args:
        root: the dataset.
        asked: the record: an id, ``maker designation``, or a name.
        reason: why, in a sentence; it stands in the tombstone.
        date: when, EDTF; "" for not said.
        replaced_by: records that take its place. What mentions the record follows: to the one, or in lists to
            all. Where there are several and only one can stand, ``choose`` must say which.
        choose: full id of a record that mentions it -> the successor it is to mention; ``*`` for all others.

    Errors: UnknownRecord, AmbiguousRecord; DatasetError where something still mentions a record that nothing
        takes the place of, or where the dataset cannot be read; UsageError for an ill-written argument.
    """
    plan = _plan(root, reason, date, choose)
    entry = _entry(plan, asked)
    _alone(plan, entry)
    heirs = tuple(dict.fromkeys(_entry(plan, one).id for one in replaced_by))
    if entry.id in heirs:
        raise UsageError(f"{entry.id} cannot take its own place")
    for heir in heirs:
        _same_kind(plan, entry, heir)
    plan.mapping[entry.id] = heirs
    return carry_out(plan, [entry])


def rename(root: Path, asked: str, new: str, *, reason: str = "", date: str = "") -> Retiring:
    """Give a record another id. All that mention it follow; a maker's or line's files and records move along.

    ``new`` is a short id. Errors as for :func:`retire`; DatasetError where the new id is or was in use.
    """
    plan = _plan(root, reason or "renamed", date, None)
    entry = _entry(plan, asked)
    if not is_slug(new):
        raise UsageError(f"{quoted(new)} is no short id: it must be {FORMS['slug'].noun}")
    old = entry.id
    head = old.rpartition("/")[0]
    fresh = f"{head}/{new}" if head else new
    _unused(plan, entry, fresh)
    plan.mapping[old] = (fresh,)
    if entry.kind in ("maker", "line"):
        _move_all(plan, entry, new)
    return carry_out(plan, [])


def merge(root: Path, asked: str, into: str, *, reason: str, date: str = "") -> Retiring:
    """Say that two records are one: ``asked`` goes, ``into`` stays and takes over what only the other said.

    Where both say something and differ, ``into`` is kept, and what the other said stands as a comment above
    the tombstone. Errors as for :func:`retire`.
    """
    plan = _plan(root, reason, date, None)
    entry, target = _entry(plan, asked), _entry(plan, into)
    if entry.id == target.id:
        raise UsageError(f"{entry.id} cannot be merged with itself: name the other record")
    _same_kind(plan, entry, target.id)
    _alone(plan, entry)
    plan.mapping[entry.id] = (target.id,)
    comments = _take_over(plan, entry, target)
    return carry_out(plan, [entry], comments)


def split(
    root: Path,
    asked: str,
    into: Sequence[str],
    *,
    reason: str,
    date: str = "",
    choose: Mapping[str, str] | None = None,
) -> Retiring:
    """Say that one record is several: each new short id in ``into`` gets a copy, to be told apart by hand.

    What mentions the old one follows as for :func:`retire`; ``choose`` may name the new ids short.
    Errors as for :func:`retire`.
    """
    plan = _plan(root, reason, date, choose)
    entry = _entry(plan, asked)
    _alone(plan, entry)
    if len(set(into)) < 2 or len(set(into)) < len(into):
        raise UsageError("a record is split into at least two new ids, each given once")
    head = entry.id.rpartition("/")[0]
    fresh = []
    for new in into:
        if not is_slug(new):
            raise UsageError(f"{quoted(new)} is no short id: it must be {FORMS['slug'].noun}")
        fresh.append(f"{head}/{new}")
        _unused(plan, entry, fresh[-1])
    plan.mapping[entry.id] = tuple(fresh)
    sheet = plan.draft.sheet(entry.file.path)
    raw = raw_of(plan, entry)
    for full in fresh[1:]:
        sheet.append(entry.pointer[:-1], {**raw, "id": short_id(full)})
    shown = " and ".join(fresh)
    plan.notes.append(f"{shown} say the same so far: change what tells them apart, the designation first")
    # The first copy is the record itself under its new id, so that its comments stay with it.
    return carry_out(plan, [])


# --- what is asked for ------------------------------------------------------------------------------------


def _plan(root: Path, reason: str, date: str, choose: Mapping[str, str] | None) -> Succession:
    if not reason.strip():
        raise UsageError("say why in a sentence: it stands in the tombstone for whoever looks for the old id")
    if date and not Date.is_valid(date):
        raise UsageError(f"{quoted(date)} is no date: it must be {FORMS['edtf'].noun}")
    draft = Draft(root)
    return Succession(draft, from_loaded(draft.loaded), reason.strip(), date, {}, dict(choose or {}))


def _entry(plan: Succession, asked: str) -> Entry:
    """The one record that is meant, which must stand in this dataset."""
    found = plan.index.find(asked)
    if not found:
        raise UnknownRecord(asked, "record", plan.index.suggest(asked))
    if len(found) > 1:
        raise AmbiguousRecord(asked, found)
    if asked.strip().lower() in plan.index.retired:
        raise DatasetError(f"{asked.strip().lower()} is retired already; {found[0]} stands in its place")
    for entry in plan.draft.loaded.entries[plan.index.kind(found[0])]:
        if entry.id == found[0]:
            return entry
    raise UnknownRecord(asked)  # pragma: no cover - what is in the index has an entry


def _below(plan: Succession, entry: Entry) -> list[Entry]:
    """The records whose ids begin with a maker's or line's."""
    name = short_id(entry.id)
    found = []
    for kind, entries in plan.draft.loaded.entries.items():
        scope = KINDS[kind].scope
        for other in entries:
            parts = other.id.split("/")
            if scope is Scope.NONE or other is entry or len(parts) != 3:
                continue
            if parts[0] == name if entry.kind == "line" else scope is Scope.MAKER and parts[1] == name:
                found.append(other)
    return found


def _alone(plan: Succession, entry: Entry) -> None:
    if entry.kind in ("dataset", "tombstone", "waiver"):
        raise UsageError(f"a {entry.kind} has no id that could be retired: edit its file")
    below = _below(plan, entry) if entry.kind in ("maker", "line") else []
    if below:
        raise DatasetError(
            f"{entry.id} is part of the ids of {count_of(len(below), 'record')}, such as {below[0].id}: "
            "retire or merge those first, or rename it"
        )
    if entry.kind == "line":
        raise DatasetError(f"{entry.id} holds no records any more: remove its directory by hand")


def _same_kind(plan: Succession, entry: Entry, heir: str) -> None:
    kind = plan.index.kind(heir)
    if kind != entry.kind:
        raise UsageError(
            f"{heir} is a {kind}, {entry.id} is a {entry.kind}: one cannot take the other's place"
        )


def _unused(plan: Succession, entry: Entry, full: str) -> None:
    if full in plan.index:
        raise DatasetError(f"{full} is in use already: choose another id")
    if full in plan.index.retired:
        raise DatasetError(f"{full} was in use once, and an id is never used again: choose another")
    if entry.kind in ("dataset", "tombstone", "waiver"):
        raise UsageError(f"a {entry.kind} has no id that could be renamed: edit its file")
    if entry.kind == "maker" and short_id(full) in KINDS:
        raise UsageError(f"{short_id(full)} is the name of a kind: choose another id")


def _move_all(plan: Succession, entry: Entry, new: str) -> None:
    """The files and records of a maker or line move with it."""
    old = short_id(entry.id)
    for other in _below(plan, entry):
        parts = other.id.split("/")
        parts[0 if entry.kind == "line" else 1] = new
        plan.mapping[other.id] = ("/".join(parts),)
    for file in plan.draft.loaded.files.values():
        if file.spec is None:
            continue
        if entry.kind == "line" and file.line == old:
            plan.moves[file.path] = f"lines/{new}/" + file.path.split("/", 2)[2]
        elif entry.kind == "maker" and file.maker == old:
            folder, _, name = file.path.rpartition("/")
            plan.moves[file.path] = f"{folder}/{new}{name.removeprefix(old)}"


# --- what a merged record gives away ----------------------------------------------------------------------


def _take_over(plan: Succession, entry: Entry, target: Entry) -> list[str]:
    """Give ``target`` what only ``entry`` says; what both say differently comes back as comments."""
    if (entry.file.line, entry.file.maker) != (target.file.line, target.file.maker):
        raise DatasetError(
            f"{entry.id} and {target.id} belong to different makers or lines, so their ids are written "
            f"differently: bring what {entry.id} says over by hand, then retire it"
        )
    sheet = plan.draft.sheet(target.file.path)
    mine, theirs = raw_of(plan, entry), raw_of(plan, target)
    names = (target.id, short_id(target.id))  # a record cannot mention itself
    lost: dict[str, Any] = {}
    for key, value in mine.items():
        if key in _OWN or (isinstance(value, str) and value in names):
            continue
        if theirs.get(key) in (entry.id, short_id(entry.id)) and not same(value, theirs.get(key)):
            # It followed the other one: now it follows what that one followed.
            sheet.set((*target.pointer, key), value)
            plan.settled.add((target.file.path, (*target.pointer, key)))
            continue
        more, rest = _joined(theirs.get(key), value, key, names)
        for step in more:
            way, given = (*target.pointer, key, *step[:-1]), step[-1]
            if isinstance(theirs.get(key), list):
                sheet.append(way, given)
            else:
                sheet.set(way, given)
        if rest is not None:
            lost[key] = rest
    if lost:
        plan.notes.append(
            f"{target.id} keeps what it says of {' and '.join(lost)}; what {entry.id} said of that stands as "
            f"a comment in {path_for('tombstone')}"
        )
    return [f"# {short_id(entry.id)} said {key}: {flow_text(value)}" for key, value in lost.items()]


def _joined(has: Any, gives: Any, key: str, names: tuple[str, ...]) -> tuple[list[tuple[Any, ...]], Any]:
    """What a field gains (each with the way to it), and what it cannot take since it says something else."""
    if has is None:
        return [(gives,)], None
    if same(has, gives):
        return [], None
    if isinstance(has, list) and isinstance(gives, list) and key not in _ORDERED:
        new = [item for item in gives if item not in names and not any(same(item, other) for other in has)]
        return [(item,) for item in new], None
    if isinstance(has, dict) and isinstance(gives, dict) and key == "features":
        differ = {name: state for name, state in gives.items() if name in has and not same(state, has[name])}
        return [(name, state) for name, state in gives.items() if name not in has], differ or None
    return [], gives
