"""Every place in a dataset's files where the id of a record is written, and how it is written there.

Fields that refer are read off the model's declarations (:mod:`cardref.storage.references`); besides them ids
stand in tombstones and waivers, in the tables of code schemes, and at the top of files.

>>> import tempfile, pathlib
>>> from cardref.checks.sample import write_sample
>>> from cardref.index import from_loaded
>>> from cardref.storage.draft import Draft
>>> draft = Draft(write_sample(pathlib.Path(tempfile.mkdtemp())))
>>> values = {path: draft.value(path) for path in draft.loaded.files}
>>> found = [one for one in mentions(draft.loaded, from_loaded(draft.loaded), values)
...          if one.full == "lanternfish/figure/reef-pilot"]
>>> len(found), found[0].entry.id, found[0].field, found[2].field
(9, 'lanternfish/wave/po-1', 'debuts', 'segments.table.014')
"""

from collections.abc import Iterator
from typing import Any

from attrs import frozen

from cardref.index import Index
from cardref.location import Pointer
from cardref.model.kinds import full_id
from cardref.storage.loader import Entry, Loaded
from cardref.storage.references import links

__all__ = ["Mention", "mentions", "short_form"]


@frozen
class Mention:
    """One place where an id is written.

    Attributes:
        entry: the record that mentions it.
        pointer: the way from the file's top to the text; where ``on_key``, to the key.
        kind: the kind it is read as, which decides how short it may be written; "" for a full id.
        full: the full id that it means.
        on_key: the id is the key of a mapping.
        listed: it is one of a list, where several may stand.
    """

    entry: Entry
    pointer: Pointer
    kind: str
    full: str
    on_key: bool = False
    listed: bool = False

    @property
    def field(self) -> str:
        """The field of the record, dotted, without positions."""
        way = self.pointer[len(self.entry.pointer) :]
        return ".".join(step for step in way if isinstance(step, str))


def short_form(kind: str, full: str, line: str, maker: str) -> str:
    """The shortest way to write a full id in a file of ``line`` and ``maker`` that is read as that id.

    >>> short_form("back", "tidewrack/quay-marl/b-017", "tidewrack", "quay-marl")
    'b-017'
    >>> short_form("back", "tidewrack/quay-marl/b-017", "tidewrack", "fjellvik")
    'quay-marl/b-017'
    >>> short_form("", "tidewrack/quay-marl/b-017", "tidewrack", "quay-marl")
    'tidewrack/quay-marl/b-017'
    """
    parts = full.split("/")
    if kind == "feature":
        return parts[-1]  # whether it is the line's own or a general one is looked up, never written
    if kind:
        for count in range(1, len(parts)):
            short = "/".join(parts[-count:])
            if full_id(kind, short, line, maker) == full:
                return short
    return full


def mentions(loaded: Loaded, index: Index, values: dict[str, Any]) -> Iterator[Mention]:
    """Every mention in a loaded dataset. ``values`` holds what each file says, as written."""
    for kind, entries in loaded.entries.items():
        for entry in entries:
            raw: Any = values[entry.file.path]
            for step in entry.pointer:
                raw = raw[step]
            yield from _of_record(kind, entry, raw, index)


def _of_record(kind: str, entry: Entry, raw: Any, index: Index) -> Iterator[Mention]:
    line, maker = entry.file.line, entry.file.maker
    for link in links(kind):
        for way, value in _at(raw, link.path, entry.pointer):
            yield from _read(entry, way, value, link.kinds[0], link.on, index)
    if kind == "tombstone":
        for number, full in enumerate(_texts(raw.get("replaced_by"))):
            yield Mention(entry, (*entry.pointer, "replaced_by", number), "", full, listed=True)
    elif kind == "waiver" and isinstance(raw.get("record"), str):
        yield Mention(entry, (*entry.pointer, "record"), "", raw["record"])
    elif kind == "scheme":
        for way, segment in _at(raw, ("segments", "*"), entry.pointer):
            meaning = segment.get("meaning") if isinstance(segment, dict) else ""
            table = segment.get("table") if isinstance(segment, dict) else None
            if meaning in ("series", "figure") and isinstance(table, dict):
                for key, says in table.items():
                    if isinstance(says, str):
                        yield Mention(
                            entry, (*way, "table", key), meaning, full_id(meaning, says, line, maker)
                        )


def _texts(value: Any) -> list[str]:
    return [item if isinstance(item, str) else "" for item in value] if isinstance(value, list) else []


def _at(value: Any, path: tuple[str, ...], way: Pointer) -> Iterator[tuple[Pointer, Any]]:
    if not path:
        yield way, value
    elif path[0] == "*":
        if isinstance(value, list):
            for number, item in enumerate(value):
                yield from _at(item, path[1:], (*way, number))
    elif isinstance(value, dict) and path[0] in value:
        yield from _at(value[path[0]], path[1:], (*way, path[0]))


def _read(entry: Entry, way: Pointer, value: Any, kind: str, on: str, index: Index) -> Iterator[Mention]:
    def full(text: str) -> str:
        if kind == "feature":
            own = f"{entry.file.line}/feature/{text}"
            return own if own in index.features else f"feature/{text}"
        return full_id(kind, text, entry.file.line, entry.file.maker)

    if on == "value":
        if isinstance(value, str):
            yield Mention(entry, way, kind, full(value))
        for number, text in enumerate(_texts(value)):
            yield Mention(entry, (*way, number), kind, full(text), listed=True)
    elif isinstance(value, dict):
        for key, item in value.items():
            if on == "key":
                yield Mention(entry, (*way, key), kind, full(key), on_key=True)
            elif isinstance(item, str):
                yield Mention(entry, (*way, key), kind, full(item))
