"""How a message names a record: what people say, and the id to look for.

>>> from cardref.model.figure import Figure, Name
>>> said("figure", "tidewrack/figure/lamp-diver",
...      Figure(id="tidewrack/figure/lamp-diver", names=(Name(text="Lamp Diver", language="en"),)))
'figure lamp-diver (Lamp Diver)'
>>> said("back", "tidewrack/quay-marl/b-017", None)
'back quay-marl/b-017'
"""

from cardref.model.back import Back
from cardref.model.face import Face
from cardref.model.figure import Figure
from cardref.model.kinds import KINDS, Record, Scope
from cardref.storage.loader import Entry
from cardref.text import clip

__all__ = ["named", "said"]


def said(kind: str, full: str, record: Record | None) -> str:
    """A record's kind, its id as short as its line allows, and what it is called where that differs."""
    short = full.partition("/")[2] if KINDS[kind].scope is Scope.MAKER else full.rpartition("/")[2]
    called = ""
    if isinstance(record, Back):
        called = f" ({record.designation})"
    elif isinstance(record, Figure) or (isinstance(record, Face) and record.name):
        called = f" ({clip(record.name, 60)})"
    return f"{kind} {clip(short or full, 80)}{called}"


def named(entry: Entry) -> str:
    """The same for an entry; one without an id that can be read is named by where it stands."""
    if entry.id:
        return said(entry.kind, entry.id, entry.record)
    position = entry.pointer[-1] if entry.pointer else ""
    return f"{entry.kind} {position + 1}" if isinstance(position, int) else f"the {entry.kind}"
