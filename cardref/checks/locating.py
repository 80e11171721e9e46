"""From hits to findings: places are looked up once a file, however many hits there are in it.

The loader keeps no positions, since a clean dataset needs none. For every file that has a hit its text is
read again, and the places, related places and edits in it are all made then.
"""

from collections.abc import Iterable

from attrs import define, field, frozen

from cardref.checks.mending import Page
from cardref.checks.rule import Hit, Mend, Rule
from cardref.finding import Edit, Finding, Fix, Related
from cardref.location import Place, Pointer
from cardref.storage.loader import Entry, Loaded, LoadedFile
from cardref.text import clip

__all__ = ["Told", "field_of", "findings_of", "whole"]


@frozen
class Told:
    """A hit with the rule that made it, and the rule's row in the table."""

    row: int
    rule: Rule
    hit: Hit


def whole(where: Entry | LoadedFile, pointer: Pointer) -> tuple[str, Pointer]:
    """The path of the file, and the pointer from its top."""
    if isinstance(where, Entry):
        return where.file.path, (*where.pointer, *pointer)
    return where.path, pointer


def field_of(pointer: Pointer) -> str:
    """A pointer inside a record as a dotted field; positions in lists are left out, since they move.

    >>> field_of(("pictures", "plus", 2))
    'pictures.plus'
    """
    return clip(".".join(step for step in pointer if isinstance(step, str)), 200)


_Want = tuple[Pointer, bool]  # pointer from the file's top, and whether its key is meant


@define
class _Wanted:
    """What is to be looked up in one file."""

    places: dict[_Want, Place] = field(factory=dict)
    edits: dict[tuple[Pointer, bool, Mend], tuple[Edit, ...]] = field(factory=dict)


def findings_of(loaded: Loaded, told: Iterable[Told]) -> list[Finding]:
    """The findings for hits, in the order of files, lines, columns and rules."""
    told = list(told)
    wanted: dict[str, _Wanted] = {}
    for one in told:
        hit = one.hit
        path, pointer = whole(hit.where, hit.pointer)
        file = wanted.setdefault(path, _Wanted())
        if hit.place is None:
            file.places[pointer, hit.on_key] = Place(path)
        if hit.mend is not None:
            file.edits[pointer, hit.on_key, hit.mend] = ()
        for also in hit.also:
            other, there = whole(also.entry, also.pointer)
            wanted.setdefault(other, _Wanted()).places[there, False] = Place(other)
    for path, file in wanted.items():
        _look_up(loaded, path, file)
    order = {path: number for number, path in enumerate(loaded.files)}
    made = [(one.row, _finding(one, wanted)) for one in told]
    made.sort(key=lambda pair: _key(pair[1], pair[0], order))
    return [finding for _, finding in made]


def _key(finding: Finding, row: int, order: dict[str, int]) -> tuple[int, str, int, int, int, str, str]:
    place = finding.place
    number = order.get(place.path, len(order))
    return (number, place.path, place.line, place.column, row, finding.message, finding.value)


def _look_up(loaded: Loaded, path: str, file: _Wanted) -> None:
    if path not in loaded.files:
        return
    for pointer, on_key in file.places:
        file.places[pointer, on_key] = loaded.place(path, pointer, on_key=on_key)
    if file.edits:
        page = Page(path, loaded.text(path), loaded.spots(path))
        for pointer, on_key, mend in file.edits:
            file.edits[pointer, on_key, mend] = page.edits(pointer, mend, on_key=on_key)


def _finding(one: Told, wanted: dict[str, _Wanted]) -> Finding:
    hit = one.hit
    path, pointer = whole(hit.where, hit.pointer)
    related, others = [], []
    record = hit.record or (hit.where.id if isinstance(hit.where, Entry) else "")
    for also in hit.also:
        other, there = whole(also.entry, also.pointer)
        related.append(Related(wanted[other].places[there, False], also.message))
        if also.entry.id not in ("", record):
            others.append(also.entry.id)
    fix = None
    if hit.mend is not None:
        changes = wanted[path].edits[pointer, hit.on_key, hit.mend]
        fix = Fix(hit.mend.message, hit.mend.safe and bool(changes), changes)
    return Finding(
        rule=one.rule.id,
        severity=one.rule.severity,
        message=hit.message,
        place=hit.place or wanted[path].places[pointer, hit.on_key],
        record=record,
        field=field_of(hit.pointer),
        value=hit.value,
        related=(*related, *hit.related),
        related_records=tuple(dict.fromkeys(others)),
        fix=fix,
    )
