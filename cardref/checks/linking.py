"""Every reference to nothing, found in one pass and shared by the rules that talk about it.

Who is at fault differs: the reference may be misspelt, the record may be retired, or the whole file that it
stood in may be missing. The rules share one list, so that each reference is told by exactly one of them.

>>> import pathlib, tempfile
>>> from cardref.checks.sample import SAMPLE, write_sample
>>> from cardref.storage.loader import load_tree
>>> figures = SAMPLE["lines/lanternfish/line.yaml"].replace("bell-ringer]", "bell-rigner]")
>>> files = {**SAMPLE, "lines/lanternfish/line.yaml": figures}
>>> loaded = load_tree(write_sample(pathlib.Path(tempfile.mkdtemp()), files=files))
>>> [(one.entry.id, one.target) for one in broken(loaded, Ids.all_of(loaded, None), all_targets(loaded))]
[('lanternfish/wave/po-2', 'lanternfish/figure/bell-rigner')]
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from attrs import frozen

from cardref.index import Index
from cardref.location import Pointer
from cardref.model.kinds import KINDS, Scope, full_id, kind_of
from cardref.storage.loader import Entry, Loaded
from cardref.storage.references import Link, links, walk

__all__ = [
    "AllTargets",
    "Broken",
    "Ids",
    "Targets",
    "all_targets",
    "broken",
    "key_in",
    "used",
    "values",
    "written_in",
]


@frozen
class Broken:
    """A reference in ``entry`` at ``pointer`` to ``target``, a full id (a feature's stays short), that is not
    there. ``kinds`` says what may stand there; ``on_key`` that the reference is a key.
    """

    entry: Entry
    pointer: Pointer
    kinds: tuple[str, ...]
    target: str
    on_key: bool


@frozen
class Ids:
    """The ids there are: kind -> full ids, well-formed records or not, with those of the layer below."""

    of: Mapping[str, frozenset[str]]

    @classmethod
    def all_of(cls, loaded: Loaded, under: Index | None) -> "Ids":
        """Gather them."""
        found = {
            kind: {entry.id for entry in entries if entry.id} for kind, entries in loaded.entries.items()
        }
        if under is not None:
            for kind, table in under.tables.items():
                found[kind].update(table)
        return cls({kind: frozenset(ids) for kind, ids in found.items()})

    def kinds(self, full: str) -> tuple[str, ...]:
        """Every kind that has a record with this id; tombstones and waivers are none."""
        told = kind_of(full)
        kinds = (told,) if told else tuple(k for k, v in KINDS.items() if v.scope is Scope.MAKER)
        return tuple(kind for kind in kinds if full in self.of[kind])


@frozen
class Targets:
    """What one field of all records refers to.

    Attributes:
        all: every id there, each once.
        repeats: whether some list there has an id twice.
    """

    all: frozenset[str] = frozenset()
    repeats: bool = False

    @classmethod
    def of(cls, entries: list[Entry], link: Link) -> "Targets":
        """Gather them with as little as possible done for each record: most fields of a dataset are sound."""
        head, rest = link.path[0], link.path[1:]
        values: list[Any] = [
            value for entry in entries if entry.record is not None and (value := getattr(entry.record, head))
        ]
        if rest:
            values = [inner for value in values for _, inner in walk(value, rest, ()) if inner]
        if not values:
            return cls()
        if isinstance(values[0], str):
            return cls(frozenset(values))
        if isinstance(values[0], tuple):
            distinct = set(values)
            repeats = any(len(set(value)) != len(value) for value in distinct if len(value) > 1)
            return cls(frozenset().union(*distinct), repeats)
        return cls(frozenset().union(*(v.values() if link.on == "item" else v for v in values)))


AllTargets = Mapping[tuple[str, Link], Targets]


def all_targets(loaded: Loaded) -> AllTargets:
    """What every field that refers refers to, by kind and field."""
    return {
        (kind, link): Targets.of(entries, link)
        for kind, entries in loaded.entries.items()
        for link in links(kind)
    }


def used(targets: AllTargets, kind: str) -> frozenset[str]:
    """The ids of all records of ``kind`` that another record refers to."""
    return frozenset().union(*(found.all for (_, link), found in targets.items() if kind in link.kinds))


def broken(loaded: Loaded, ids: Ids, targets: AllTargets) -> tuple[Broken, ...]:
    """All references to nothing, by kind, in the order of the files."""
    found: list[Broken] = []
    for (kind, link), there in targets.items():
        if link.kinds == ("feature",):
            general = {f.removeprefix("feature/") for f in ids.of["feature"] if f.startswith("feature/")}
            if not general.issuperset(there.all):
                found += _features(loaded.entries[kind], link, ids, general)
        else:
            missing = there.all.difference(*(ids.of[kind] for kind in link.kinds))
            if missing:
                found += _missing(loaded.entries[kind], link, missing)
    return tuple(found)


def values(entries: Iterable[Entry], link: Link) -> Iterator[tuple[Entry, Pointer, Any]]:
    """What stands in one field of each record, where something does, with the way to it."""
    head, rest = link.path[0], link.path[1:]
    for entry in entries:
        if entry.record is None:
            continue
        value = getattr(entry.record, head)
        if not value:
            continue
        if rest:
            for pointer, inner in walk(value, rest, (head,)):
                if inner:
                    yield entry, pointer, inner
        else:
            yield entry, (head,), value


def _missing(entries: list[Entry], link: Link, missing: frozenset[str]) -> Iterator[Broken]:
    kinds, on = link.kinds, link.on
    for entry, pointer, value in values(entries, link):
        if isinstance(value, str):
            if value in missing:
                yield Broken(entry, pointer, kinds, value, on_key=False)
        elif isinstance(value, tuple):
            for number, item in enumerate(value):
                if item in missing:
                    yield Broken(entry, (*pointer, number), kinds, item, on_key=False)
        else:
            for key, item in value.items():
                target = key if on == "key" else item
                if target in missing:
                    yield Broken(entry, (*pointer, str(key)), kinds, target, on_key=on == "key")


def _features(entries: list[Entry], link: Link, ids: Ids, general: set[str]) -> Iterator[Broken]:
    """Features are written short: the line's own comes before a general one of the same name."""
    known: dict[str, set[str]] = {}
    for entry, pointer, value in values(entries, link):
        line = entry.file.line
        if line not in known:
            own = f"{line}/feature/"
            known[line] = general | {
                full.removeprefix(own) for full in ids.of["feature"] if full.startswith(own)
            }
        if isinstance(value, str):
            if value not in known[line]:
                yield Broken(entry, pointer, link.kinds, value, on_key=False)
        else:
            for slug in value:
                if slug not in known[line]:
                    yield Broken(entry, (*pointer, slug), link.kinds, slug, on_key=True)


def written_in(entry: Entry, kind: str, full: str) -> str:
    """``full``, the id of a record of ``kind``, as short as it can be written in the file of ``entry``."""
    parts = full.split("/")
    file = entry.file
    for size in range(1, len(parts)):
        short = "/".join(parts[-size:])
        if full_id(kind, short, file.line, file.maker) == full:
            return short
    return full


def key_in(loaded: Loaded, entry: Entry, kind: str, way: Pointer) -> Pointer:
    """``way`` ends in a full id that is a key; the same way with the key as the file writes it."""
    holder = loaded.raw(entry)
    for step in way[:-1]:
        holder = holder[step]
    for key in holder:
        if full_id(kind, key, entry.file.line, entry.file.maker) == way[-1]:
            return (*way[:-1], key)
    return way
