"""Every reference to nothing, found in one pass and shared by the rules that talk about it.

Who is at fault differs: the reference may be misspelt, the record may be retired, or the whole file that it
stood in may be missing. The rules share one list, so that each reference is told by exactly one of them.
"""

from collections.abc import Iterator, Mapping

from attrs import frozen

from cardref.index import Index
from cardref.location import Pointer
from cardref.model.kinds import KINDS, Scope, full_id, kind_of
from cardref.storage.loader import Entry, Loaded
from cardref.storage.references import Link, links, walk

__all__ = ["Broken", "Ids", "broken", "key_in", "used", "written_in"]


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


def broken(loaded: Loaded, ids: Ids) -> tuple[Broken, ...]:
    """All references to nothing, by kind, in the order of the files."""
    return tuple(
        found
        for kind, entries in loaded.entries.items()
        for link in links(kind)
        for found in (
            _features(entries, link, ids) if link.kinds == ("feature",) else _plain(entries, link, ids)
        )
    )


def _values(entries: list[Entry], link: Link) -> Iterator[tuple[Entry, Pointer, object]]:
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


def _plain(entries: list[Entry], link: Link, ids: Ids) -> Iterator[Broken]:
    known = (
        ids.of[link.kinds[0]] if len(link.kinds) == 1 else frozenset().union(*(ids.of[k] for k in link.kinds))
    )
    kinds, on = link.kinds, link.on
    for entry, pointer, value in _values(entries, link):
        if type(value) is str:
            if value not in known:
                yield Broken(entry, pointer, kinds, value, False)
        elif type(value) is tuple:
            if not known.issuperset(value):
                for number, item in enumerate(value):
                    if item not in known:
                        yield Broken(entry, (*pointer, number), kinds, item, False)
        elif isinstance(value, Mapping):
            for key, item in value.items():
                target = key if on == "key" else item
                if target not in known:
                    yield Broken(entry, (*pointer, str(key)), kinds, target, on == "key")


def _features(entries: list[Entry], link: Link, ids: Ids) -> Iterator[Broken]:
    """Features are written short: the line's own comes before a general one of the same name."""
    general = {full.removeprefix("feature/") for full in ids.of["feature"] if full.startswith("feature/")}
    known: dict[str, set[str]] = {}
    for entry, pointer, value in _values(entries, link):
        line = entry.file.line
        if line not in known:
            own = f"{line}/feature/"
            known[line] = general | {
                full.removeprefix(own) for full in ids.of["feature"] if full.startswith(own)
            }
        slugs = known[line]
        if isinstance(value, Mapping):
            if not slugs.issuperset(value):
                for slug in value:
                    if slug not in slugs:
                        yield Broken(entry, (*pointer, slug), link.kinds, slug, True)
        elif isinstance(value, str) and value not in slugs:
            yield Broken(entry, pointer, link.kinds, value, False)


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


def used(loaded: Loaded, kind: str) -> set[str]:
    """The ids of all records of ``kind`` that another record refers to."""
    found: set[str] = set()
    for of, entries in loaded.entries.items():
        for link in links(of):
            if kind not in link.kinds:
                continue
            for _, _, value in _values(entries, link):
                if type(value) is str:
                    found.add(value)
                elif isinstance(value, Mapping) and link.on == "item":
                    found.update(value.values())
                elif isinstance(value, (tuple, Mapping)):
                    found.update(value)
    return found
