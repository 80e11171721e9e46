"""One id takes another's place: everything that mentions it follows, and a tombstone says so.

Fields that mention a record are rewritten in place, as short as their file allows. Where a list would name
one record twice it names it once; where a record would mention itself the mention goes.

>>> import tempfile, pathlib
>>> from cardref.checks.sample import write_sample
>>> from cardref.index import from_loaded
>>> draft = Draft(write_sample(pathlib.Path(tempfile.mkdtemp())))
>>> plan = Succession(draft, from_loaded(draft.loaded), "one figure under two names", "2026",
...                   {"lanternfish/figure/bell-ringer": ("lanternfish/figure/tide-clerk",)})
>>> gone = next(one for one in draft.loaded.entries["figure"] if one.id in plan.mapping)
>>> done = carry_out(plan, [gone])
>>> [change.path for change in done.changes if "retired" in change.path], done.followed[:1]
(['retired.yaml'], ('lanternfish/scheme/po',))
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from attrs import field, frozen

from cardref.errors import DatasetError, UsageError
from cardref.fixing.mentions import Mention, mentions, short_form
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.kinds import KINDS, full_id, short_id
from cardref.storage.atomic import Change
from cardref.storage.canonical import block_lines, canonical
from cardref.storage.draft import Draft
from cardref.storage.layout import FileSpec, path_for, spec_of
from cardref.storage.loader import Entry
from cardref.storage.shape import shape_of
from cardref.text import quoted

__all__ = ["Retiring", "Succession", "carry_out", "raw_of"]


@frozen
class Retiring:
    """What would be changed.

    Attributes:
        changes: the files.
        retired: old full id -> the full ids that take its place.
        followed: full ids of the records in which a mention now says the new id.
        notes: what a person should look at, one sentence each.
    """

    changes: tuple[Change, ...]
    retired: Mapping[str, tuple[str, ...]]
    followed: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@frozen
class Succession:
    """What goes, what takes its place, and why.

    Attributes:
        draft, index: the dataset.
        reason, date: what the tombstones say.
        mapping: old full id -> the full ids that take its place.
        choose: where only one of several can stand: full id of the record that mentions it, or ``*`` for all
            others -> the successor, full or short.
        notes: what a person should look at.
        moves: old path -> new path, where files move with an id.
        settled: places (path and pointer) that have been seen to already.
    """

    draft: Draft
    index: Index
    reason: str
    date: str
    mapping: dict[str, tuple[str, ...]]
    choose: Mapping[str, str] = field(factory=dict)
    notes: list[str] = field(factory=list)
    moves: dict[str, str] = field(factory=dict)
    settled: set[tuple[str, Pointer]] = field(factory=set)


def raw_of(plan: Succession, entry: Entry) -> dict[str, Any]:
    """What a record says, as written."""
    value: Any = plan.draft.value(entry.file.path)
    for step in entry.pointer:
        value = value[step]
    return dict(value)


def carry_out(plan: Succession, gone: list[Entry], comments: Sequence[str] = ()) -> Retiring:
    """Edit every file: mentions follow, records go or get their new ids, tombstones are set."""
    draft = plan.draft
    paths = {entry.file.path for entries in draft.loaded.entries.values() for entry in entries}
    values = {path: draft.value(path) for path in paths}
    followed = _follow(plan, gone, list(mentions(draft.loaded, plan.index, values)))
    held: list[str] = list(comments)
    for entry in gone:
        sheet = draft.sheet(entry.file.path)
        held = sheet.comments(entry.pointer) + held
        sheet.remove(entry.pointer, with_comments=True)
    by_id = {entry.id: entry for entries in draft.loaded.entries.values() for entry in entries}
    removed = {entry.id for entry in gone}
    for old, new in plan.mapping.items():
        entry = by_id[old]
        if old not in removed:
            sheet = draft.sheet(entry.file.path)
            says = raw_of(plan, entry).get("id")
            if says is not None and says != short_id(new[0]):
                sheet.set((*entry.pointer, "id"), short_id(new[0]))
    _headers(plan)
    _bury(plan, held)
    for path, new_path in plan.moves.items():
        draft.move(path, new_path)
    return Retiring(draft.changes(), dict(plan.mapping), tuple(dict.fromkeys(followed)), tuple(plan.notes))


def _context(plan: Succession, entry: Entry) -> tuple[str, str]:
    """The line and maker of the file that the record will stand in."""
    spec = spec_of(plan.moves.get(entry.file.path, entry.file.path))
    return (spec.line, spec.maker) if spec else ("", "")


def _follow(plan: Succession, gone: list[Entry], found: list[Mention]) -> list[str]:
    """Rewrite what mentions a retired id. Errors: DatasetError where it cannot be told what to write."""
    removed = {id(entry) for entry in gone}
    followed = []
    stuck = []
    lists: dict[tuple[str, Pointer], list[Mention]] = {}
    for mention in found:
        if id(mention.entry) in removed or (mention.entry.file.path, mention.pointer) in plan.settled:
            continue
        heirs = plan.mapping.get(mention.full, (mention.full,))
        if mention.listed:
            lists.setdefault((mention.entry.file.path, mention.pointer[:-1]), []).append(mention)
            continue
        if len(heirs) > 1:
            chosen = _chosen(plan, mention, heirs)
            heirs = (chosen,) if chosen else ()
        if heirs and _is_itself(plan, mention, heirs[0]):
            plan.draft.sheet(mention.entry.file.path).remove(mention.pointer)
            plan.notes.append(f"{heirs[0]} mentioned {mention.full} as {mention.field}: that was taken out")
        elif heirs:
            if _write(plan, mention, heirs[0]):
                followed.append(mention.entry.id or mention.entry.file.path)
        elif mention.entry.kind != "waiver":
            stuck.append(mention)
    for items in lists.values():
        stuck += _write_list(plan, items, followed)
    if stuck:
        raise _refused(plan, stuck)
    return followed


def _is_itself(plan: Succession, mention: Mention, full: str) -> bool:
    """Whether a record would come to mention itself, where it mentioned another before."""
    return mention.full != full and plan.mapping.get(mention.entry.id, (mention.entry.id,))[0] == full


def _chosen(plan: Succession, mention: Mention, heirs: tuple[str, ...]) -> str:
    said = plan.choose.get(mention.entry.id) or plan.choose.get("*", "")
    fitting = [heir for heir in heirs if said in (heir, short_id(heir))]
    if said and not fitting:
        raise UsageError(f"{quoted(said)} is not among {', '.join(heirs)}")
    return fitting[0] if fitting else ""


def _refused(plan: Succession, stuck: list[Mention]) -> DatasetError:
    old = stuck[0].full
    heirs = plan.mapping[old]
    places = [f"{mention.entry.id or mention.entry.file.path} ({mention.field})" for mention in stuck]
    shown = ", ".join(list(dict.fromkeys(places))[:8])
    more = f" and {len(places) - 8} more" if len(places) > 8 else ""
    if heirs:
        what = (
            f"say for each which of {' or '.join(map(short_id, heirs))} it is to mention, or one for all (*)"
        )
    else:
        what = "say what takes its place, or change these first"
    return DatasetError(f"{old} is still mentioned by {shown}{more}: {what}. Nothing was changed")


def _form(plan: Succession, mention: Mention, full: str) -> str:
    line, maker = _context(plan, mention.entry)
    return short_form(mention.kind, full, line, maker)


def _text(plan: Succession, mention: Mention) -> str:
    """What is written there now."""
    value: Any = plan.draft.value(mention.entry.file.path)
    for step in mention.pointer[:-1]:
        value = value[step]
    last = mention.pointer[-1]
    return str(last) if mention.on_key else str(value[last])


def _unmoved(plan: Succession, mention: Mention, full: str) -> bool:
    """Whether what is written there already means the id, from where it will stand."""
    if mention.full == full and mention.entry.file.path not in plan.moves:
        return True
    now = _text(plan, mention)
    if mention.kind in ("", "feature"):
        return now == _form(plan, mention, full)
    return full_id(mention.kind, now, *_context(plan, mention.entry)) == full


def _write(plan: Succession, mention: Mention, full: str) -> bool:
    """Have the mention say ``full``; whether that was a change of its text."""
    if _unmoved(plan, mention, full):
        return False
    sheet = plan.draft.sheet(mention.entry.file.path)
    if mention.on_key:
        sheet.rename_key(mention.pointer, _form(plan, mention, full))
    else:
        sheet.set(mention.pointer, _form(plan, mention, full))
    return True


def _write_list(plan: Succession, items: list[Mention], followed: list[str]) -> list[Mention]:
    """Rewrite the ids of one list, each new one once. Gives back those that nothing takes the place of."""
    sheet = plan.draft.sheet(items[0].entry.file.path)
    affected = [m for m in items if m.full in plan.mapping or m.entry.file.path in plan.moves]
    if not affected:
        return []
    stuck = [m for m in items if m.full in plan.mapping and not plan.mapping[m.full]]
    if stuck:
        # A tombstone may go on saying that a retired id took the place of another.
        return [] if stuck[0].entry.kind == "tombstone" else stuck
    there = {m.full for m in items if m.full not in plan.mapping}
    for mention in items:
        heirs = list(plan.mapping.get(mention.full, (mention.full,)))
        if mention.full in plan.mapping:
            heirs = [full for full in heirs if full not in there and not _is_itself(plan, mention, full)]
            there.update(heirs)
        changed = not heirs or len(heirs) > 1
        if not heirs:
            sheet.remove(mention.pointer)
        elif _write(plan, mention, heirs[0]):
            changed = True
        for full in heirs[1:]:
            sheet.append(mention.pointer[:-1], _form(plan, mention, full))
        if changed:
            followed.append(mention.entry.id or mention.entry.file.path)
    return []


def _headers(plan: Succession) -> None:
    """The keys at the top of files that repeat whom the file belongs to."""
    for path, new in plan.moves.items():
        before, after = spec_of(path), spec_of(new)
        if before is None or after is None:
            continue
        sheet = plan.draft.sheet(path)
        for key, now in (("line", after.line), ("maker", after.maker)):
            if key in before.header and sheet.value.get(key) != now:
                sheet.set((key,), now)


def _bury(plan: Succession, comments: list[str]) -> None:
    """Set a tombstone for every id that goes."""
    path = path_for("tombstone")
    stones: list[dict[str, Any]] = []
    for old, heirs in plan.mapping.items():
        stone: dict[str, Any] = {"id": old}
        if heirs:
            stone["replaced_by"] = list(heirs)
        stone["reason"] = plan.reason
        if plan.date:
            stone["date"] = plan.date
        stones.append(stone)
    draft = plan.draft
    plural = KINDS["tombstone"].plural
    if path not in draft.loaded.files:
        draft.create(path, _first_stones(draft, plural, stones, comments))
        return
    sheet = draft.sheet(path)
    if not isinstance(sheet.value, dict) or not isinstance(sheet.value.get(plural), list):
        raise DatasetError(f"{path} holds no list of retired ids: run `cardref check` and put it right first")
    for number, stone in enumerate(stones):
        sheet.append((plural,), stone, comments if number == 0 else ())


def _first_stones(draft: Draft, plural: str, stones: list[dict[str, Any]], comments: list[str]) -> str:
    """The text of a first ``retired.yaml``, with the same hint for editors as the dataset's other files."""
    shape = shape_of(_spec(path_for("tombstone")))
    hint = re.match("# yaml-language-server: .*", draft.text("dataset.yaml"))
    lines = [hint.group().rstrip("\r").replace("dataset.schema", "retired.schema")] if hint else []
    lines += [
        "# Ids that are no longer used, and what took their place. An id is never given twice.",
        f"{plural}:",
    ]
    lines += [f"  {line}" for line in comments]
    lines += block_lines(stones, shape.fields[plural], 2)
    return canonical("\n".join(lines) + "\n", shape)


def _spec(path: str) -> FileSpec:
    spec = spec_of(path)
    if spec is None:  # pragma: no cover - the layout has the file
        raise ValueError(path)
    return spec
