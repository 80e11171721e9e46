"""The table of kinds: what each is called, where it is kept, how its ids are built.

A full id is a path. Within a dataset ``maker/quay-marl``; within a line ``tidewrack/figure/lamp-diver``;
within a maker's part of a line ``tidewrack/quay-marl/b-017``; a line itself is ``tidewrack``. In a file an id
is written as short as its place allows: ``b-017`` in the maker's own files, ``quay-marl/b-017`` elsewhere in
the line.

>>> full_id("back", "b-017", line="tidewrack", maker="quay-marl")
'tidewrack/quay-marl/b-017'
>>> kind_of("tidewrack/figure/lamp-diver")
'figure'
"""

import enum
from importlib import import_module
from typing import TYPE_CHECKING, Any

from attrs import frozen

from cardref.lazy import cached_property

if TYPE_CHECKING:
    from cardref.model.back import Back
    from cardref.model.bookkeeping import Tombstone, Waiver
    from cardref.model.card import Card
    from cardref.model.dataset import Dataset
    from cardref.model.face import Face
    from cardref.model.feature import Feature
    from cardref.model.figure import Figure
    from cardref.model.line import Line
    from cardref.model.maker import Maker
    from cardref.model.reproduction import Reproduction
    from cardref.model.scheme import Scheme
    from cardref.model.series import Series
    from cardref.model.source import Source
    from cardref.model.sticker import Sticker
    from cardref.model.term import Term
    from cardref.model.wave import Wave

    Record = (
        Dataset | Maker | Source | Feature | Term | Tombstone | Waiver | Line | Series | Wave | Scheme
        | Figure | Sticker | Reproduction | Back | Face | Card
    )  # fmt: skip
else:
    Record = Any  # any record: whoever decodes one code should not have to import all seventeen classes

__all__ = [
    "BY_PLURAL",
    "KINDS",
    "OWN_KINDS",
    "Kind",
    "Record",
    "Scope",
    "full_id",
    "kind_named",
    "kind_of",
    "short_id",
]


class Scope(enum.Enum):
    """Within what a kind's short ids are unique."""

    DATASET = "dataset"
    LINE = "line"
    MAKER = "maker"
    NONE = "none"


@frozen(slots=False)
class Kind:
    """One kind of record: name, plural (the key of its list in a file), the home of its class, and scope."""

    name: str
    plural: str
    home: str
    scope: Scope

    @cached_property
    def record(self) -> type:
        """The class of its records."""
        found: type = getattr(import_module(f"cardref.model.{self.home}"), self.name.capitalize())
        return found


KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("dataset", "datasets", "dataset", Scope.NONE),
        Kind("maker", "makers", "maker", Scope.DATASET),
        Kind("source", "sources", "source", Scope.DATASET),
        Kind("feature", "features", "feature", Scope.DATASET),  # a line's own features: see full_id
        Kind("term", "terms", "term", Scope.DATASET),
        Kind("tombstone", "retired", "bookkeeping", Scope.NONE),
        Kind("waiver", "waivers", "bookkeeping", Scope.NONE),
        Kind("line", "lines", "line", Scope.NONE),
        Kind("series", "series", "series", Scope.LINE),
        Kind("wave", "waves", "wave", Scope.LINE),
        Kind("scheme", "schemes", "scheme", Scope.LINE),
        Kind("figure", "figures", "figure", Scope.LINE),
        Kind("sticker", "stickers", "sticker", Scope.LINE),
        Kind("reproduction", "reproductions", "reproduction", Scope.LINE),
        Kind("back", "backs", "back", Scope.MAKER),
        Kind("face", "faces", "face", Scope.MAKER),
        Kind("card", "cards", "card", Scope.MAKER),
    )
}
BY_PLURAL: dict[str, Kind] = {kind.plural: kind for kind in KINDS.values()}

OWN_KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("specimen", "specimens", "specimen", Scope.NONE),
        Kind("want", "wants", "specimen", Scope.NONE),
        Kind("sale", "sales", "specimen", Scope.NONE),
    )
}
"""What a user's own file holds. It is no part of a dataset: nothing in a dataset refers to it."""


def kind_named(name: str) -> Kind:
    """The kind called ``name``, a dataset's or a user's own. Errors: KeyError."""
    return KINDS.get(name) or OWN_KINDS[name]


def full_id(kind: str, written: str, line: str = "", maker: str = "") -> str:
    """The full id for what is ``written`` in a file of ``line`` and ``maker`` (short names, or "")."""
    scope = KINDS[kind].scope
    slashes = written.count("/")
    if scope is Scope.MAKER:
        if slashes == 0:
            return f"{line}/{maker}/{written}"
        return f"{line}/{written}" if slashes == 1 else written
    if slashes or scope is Scope.NONE:
        return written
    if scope is Scope.LINE or (kind == "feature" and line):
        return f"{line}/{kind}/{written}"
    return f"{kind}/{written}"


def short_id(full: str) -> str:
    """The last part of a full id."""
    return full.rpartition("/")[2]


def kind_of(full: str) -> str:
    """The kind that a full id's shape tells; "" for a back, face or card, and for what is no id."""
    parts = full.split("/")
    if len(parts) == 1:
        return "line"
    if len(parts) == 2:
        return parts[0] if parts[0] in KINDS else ""
    return parts[1] if len(parts) == 3 and parts[1] in KINDS else ""
