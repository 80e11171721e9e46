"""The immutable index over all records: by id, by name, and by what refers to what.

Two sources make one: a directory of YAML (:func:`from_loaded`) and the compiled bundle
(:func:`from_compiled`); layers lie over each other (:meth:`Index.over`). Relations are built when they are
first asked for, and kept.

>>> from cardref.storage.bundle import home
>>> from cardref.storage.loader import load_tree
>>> index = from_loaded(load_tree(home().dataset))
>>> index.find("Quay & Marl 25B"), index.kind("tidewrack/figure/lamp-diver")
(('tidewrack/quay-marl/b-017',), 'figure')
>>> index.faces_by_figure["tidewrack/figure/lamp-diver"][:1]
('tidewrack/anemoni/f-001',)
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar, cast

from cardref.errors import AmbiguousRecord, NotationError, UnknownRecord
from cardref.lazy import cached_property
from cardref.model.kinds import KINDS, Record, Scope, kind_of, short_id
from cardref.notation.designation import Designation
from cardref.notation.folding import fold
from cardref.storage.bundle import LazyTable, compiled_fingerprint, compiled_tables
from cardref.storage.plain import fingerprint

if TYPE_CHECKING:
    from cardref.model.back import Back
    from cardref.model.bookkeeping import Tombstone
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
    from cardref.notation.nearest import Suggester
    from cardref.storage.loader import Loaded

    class _Named(Protocol):
        """A record that is called something."""

        @property
        def forms(self) -> tuple[str, ...]:
            """Every way in which its names are written."""


__all__ = ["Index", "Layer", "fold", "from_compiled", "from_loaded", "index_in"]

R = TypeVar("R")
Grouped = Mapping[str, tuple[str, ...]]


def _grouped(pairs: Iterable[tuple[str, str]]) -> Grouped:
    groups: defaultdict[str, list[str]] = defaultdict(list)
    for key, value in pairs:
        groups[key].append(value)
    return {key: tuple(values) for key, values in groups.items()}


class _Ordered(Mapping[str, R]):
    """A table in another order."""

    def __init__(self, table: Mapping[str, R], order: tuple[str, ...]) -> None:
        self._table = table
        self._order = order

    def __getitem__(self, key: str) -> R:
        return self._table[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._order)

    def __len__(self) -> int:
        return len(self._order)

    def __contains__(self, key: object) -> bool:
        return key in self._table


class Index:
    """All records of a dataset, or of layers of datasets. Never changed after it is made.

    Attributes:
        tables: kind -> full id -> record, in the order of the files.
        origin: full id -> name of the layer that won, where there are several layers.
        layers: the names of the layers, the one that wins first; () where there is only one.
    """

    def __init__(
        self,
        tables: Mapping[str, Mapping[str, Record]],
        known_fingerprint: Callable[[], str] | None = None,
        origin: Mapping[str, str] | None = None,
        layers: tuple[str, ...] = (),
    ) -> None:
        self.tables = tables
        self.origin = origin or {}
        self.layers = layers
        self._known_fingerprint = known_fingerprint
        self._suggesters: dict[str, Suggester] = {}
        self._derived: dict[Callable[[Index], Any], Any] = {}

    def __getstate__(self) -> dict[str, Any]:
        return {
            "tables": {kind: dict(table) for kind, table in self.tables.items()},
            "origin": dict(self.origin),
            "layers": self.layers,
            "_known_fingerprint": None,
            "_suggesters": {},
            "_derived": {},
        }

    def derived(self, make: Callable[["Index"], R]) -> R:
        """What ``make`` works out from this index: worked out once, and kept with it."""
        if make not in self._derived:
            # Two threads may both come here; they work out equal values, and one of them stays.
            self._derived[make] = make(self)
        return cast("R", self._derived[make])

    def said(self, kind: str, **fields: Any) -> Iterator[tuple[Any, ...]]:
        """``(full id, value, ...)`` of every record of a kind: the fields named, each with its default.

        Of a compiled reference this makes no record, which is why the relations below are built on it.
        """
        table = self.tables[kind]
        if isinstance(table, LazyTable):
            yield from table.said(**fields)
            return
        for full, record in table.items():
            yield full, *(getattr(record, name) for name in fields)

    # --- tables by kind -----------------------------------------------------------------------------

    @property
    def makers(self) -> "Mapping[str, Maker]":
        """Makers by full id."""
        return cast("Mapping[str, Maker]", self.tables["maker"])

    @property
    def sources(self) -> "Mapping[str, Source]":
        """Sources by full id."""
        return cast("Mapping[str, Source]", self.tables["source"])

    @property
    def features(self) -> "Mapping[str, Feature]":
        """Features by full id, general ones and lines' own."""
        return cast("Mapping[str, Feature]", self.tables["feature"])

    @property
    def terms(self) -> "Mapping[str, Term]":
        """Words of the trade by full id."""
        return cast("Mapping[str, Term]", self.tables["term"])

    @property
    def lines(self) -> "Mapping[str, Line]":
        """Lines by id."""
        return cast("Mapping[str, Line]", self.tables["line"])

    @property
    def series(self) -> "Mapping[str, Series]":
        """Series by full id."""
        return cast("Mapping[str, Series]", self.tables["series"])

    @property
    def waves(self) -> "Mapping[str, Wave]":
        """Waves by full id."""
        return cast("Mapping[str, Wave]", self.tables["wave"])

    @property
    def schemes(self) -> "Mapping[str, Scheme]":
        """Code schemes by full id."""
        return cast("Mapping[str, Scheme]", self.tables["scheme"])

    @property
    def figures(self) -> "Mapping[str, Figure]":
        """Figures by full id."""
        return cast("Mapping[str, Figure]", self.tables["figure"])

    @property
    def stickers(self) -> "Mapping[str, Sticker]":
        """Stickers by full id."""
        return cast("Mapping[str, Sticker]", self.tables["sticker"])

    @property
    def reproductions(self) -> "Mapping[str, Reproduction]":
        """Known copies by full id."""
        return cast("Mapping[str, Reproduction]", self.tables["reproduction"])

    @cached_property
    def backs(self) -> "Mapping[str, Back]":
        """Backs by full id: line by line, maker by maker, by designation."""
        keyed = [
            (full.split("/")[:2], Designation.parse(str(designation)), full)
            for full, designation in self.said("back", designation="")
        ]
        table = cast("Mapping[str, Back]", self.tables["back"])
        return _Ordered(table, tuple(full for _, _, full in sorted(keyed)))

    @property
    def faces(self) -> "Mapping[str, Face]":
        """Faces by full id."""
        return cast("Mapping[str, Face]", self.tables["face"])

    @property
    def cards(self) -> "Mapping[str, Card]":
        """Cards by full id."""
        return cast("Mapping[str, Card]", self.tables["card"])

    @property
    def dataset(self) -> "Dataset | None":
        """What the dataset says of itself; the top layer's, where there are several."""
        return next(iter(self.datasets), None)

    @property
    def datasets(self) -> "tuple[Dataset, ...]":
        """What each layer says of itself, the top one first."""
        return tuple(cast("Mapping[str, Dataset]", self.tables["dataset"]).values())

    @cached_property
    def fingerprint(self) -> str:
        """16 hex digits for what all records say."""
        if self._known_fingerprint is not None:
            return self._known_fingerprint()
        return fingerprint((kind, record) for kind, table in self.tables.items() for record in table.values())

    # --- relations ----------------------------------------------------------------------------------

    @cached_property
    def cards_by_face(self) -> Grouped:
        """Face id -> ids of its cards."""
        return _grouped((face, card) for card, face in self.said("card", face=""))

    @cached_property
    def cards_by_back(self) -> Grouped:
        """Back id -> ids of its cards."""
        return _grouped((back, card) for card, back in self.said("card", back=""))

    @cached_property
    def faces_by_figure(self) -> Grouped:
        """Figure id -> ids of its faces."""
        return _grouped((figure, face) for face, figure in self.said("face", figure=""))

    @cached_property
    def faces_by_code(self) -> Grouped:
        """Package code, verbatim -> ids of the faces that carry it."""
        return _grouped(
            (code, face)
            for face, codes in self.said("face", codes=None)
            if isinstance(codes, tuple)
            for code in codes
        )

    @cached_property
    def backs_by_group(self) -> Mapping[tuple[str, str, int], tuple[str, ...]]:
        """``(line, maker, count)``, short names -> ids of the backs, by designation."""
        groups: defaultdict[tuple[str, str, int], list[str]] = defaultdict(list)
        for back in self.backs.values():
            line, maker, _ = back.id.split("/")
            groups[line, maker, back.count].append(back.id)
        return {key: tuple(ids) for key, ids in groups.items()}

    @cached_property
    def waves_by_maker(self) -> "Mapping[tuple[str, str], tuple[Wave, ...]]":
        """``(line, maker id)`` -> that maker's waves in the order of the files."""
        groups: defaultdict[tuple[str, str], list[Wave]] = defaultdict(list)
        for wave in self.waves.values():
            groups[wave.id.split("/")[0], wave.maker].append(wave)
        return {key: tuple(waves) for key, waves in groups.items()}

    @cached_property
    def schemes_by_maker(self) -> "Mapping[tuple[str, str], tuple[Scheme, ...]]":
        """``(line, maker id)`` -> the code schemes that this maker used in the line."""
        groups: defaultdict[tuple[str, str], list[Scheme]] = defaultdict(list)
        for scheme in self.schemes.values():
            for maker in scheme.makers:
                groups[scheme.id.split("/")[0], maker].append(scheme)
        return {key: tuple(schemes) for key, schemes in groups.items()}

    @cached_property
    def retired(self) -> "Mapping[str, Tombstone]":
        """Retired full id -> its tombstone."""
        return cast("Mapping[str, Tombstone]", self.tables["tombstone"])

    def cards_of(self, figure: str) -> "tuple[Card, ...]":
        """The cards of a figure (full id), in the order of its faces."""
        return tuple(
            self.cards[card]
            for face in self.faces_by_figure.get(figure, ())
            for card in self.cards_by_face.get(face, ())
        )

    def feature(self, slug: str, line: str = "") -> "Feature | None":
        """The feature that a record of ``line`` means by ``slug``: the line's own, else the general one."""
        return self.features.get(f"{line}/feature/{slug}") or self.features.get(f"feature/{slug}")

    def retired_named(self, text: str) -> tuple[str, ...]:
        """The retired full ids that ``text`` names, whole or by their last parts: ``quay-marl b-015``."""
        parts = text.lower().replace("/", " ").split()
        return tuple(full for full in self.retired if parts and full.split("/")[-len(parts) :] == parts)

    def current(self, full: str) -> tuple[str, ...]:
        """The ids that stand today for an id that may be retired: itself, its successors, or none."""
        found: list[str] = []
        seen: set[str] = set()
        waiting = [full]
        while waiting:
            one = waiting.pop()
            if one in seen:
                continue
            seen.add(one)
            tombstone = self.retired.get(one)
            if tombstone is None:
                if one in self:
                    found.append(one)
            else:
                waiting += reversed(tombstone.replaced_by)
        return tuple(found)

    # --- look-ups -----------------------------------------------------------------------------------

    def get(self, full: str) -> Record | None:
        """The record with this full id."""
        for kind in self._kinds_of(full):
            record = self.tables[kind].get(full)
            if record is not None:
                return record
        return None

    def kind(self, full: str) -> str:
        """The kind of the record with this full id, or ""."""
        return next((kind for kind in self._kinds_of(full) if full in self.tables[kind]), "")

    def __contains__(self, full: str) -> bool:
        return bool(self.kind(full))

    def sources_of(self, records: Iterable[str]) -> tuple[str, ...]:
        """The sources that these records (full ids) name, each once; what is not recorded names none."""
        named = (source for full in records for source in getattr(self.get(full), "sources", ()))
        return tuple(dict.fromkeys(named))

    @staticmethod
    def _kinds_of(full: str) -> tuple[str, ...]:
        kind = kind_of(full)
        if kind:
            return (kind,)
        return ("back", "face", "card") if full.count("/") == 2 else ()

    @cached_property
    def _by_short_id(self) -> Grouped:
        return _grouped(
            (short_id(full), full)
            for kind, table in self.tables.items()
            if KINDS[kind].scope is not Scope.NONE or kind == "line"
            for full in table
        )

    @cached_property
    def names(self) -> Grouped:
        """Folded name -> ids of the figures, makers, lines, series and words that bear it."""
        return _grouped(self._name_pairs())

    def _name_pairs(self) -> Iterator[tuple[str, str]]:
        groups: tuple[Mapping[str, _Named], ...] = (
            self.figures, self.makers, self.lines, self.series, self.terms,
        )  # fmt: skip
        for group in groups:
            for full, record in group.items():
                yield from ((name, full) for name in dict.fromkeys(map(fold, record.forms)))

    def maker_named(self, text: str) -> tuple[str, ...]:
        """Full ids of the makers that ``text`` names, by short name or name."""
        full = f"maker/{text.strip().lower()}"
        if full in self.makers:
            return (full,)
        return tuple(i for i in self.names.get(fold(text), ()) if i.startswith("maker/"))

    def find(self, text: str, kinds: tuple[str, ...] = ()) -> tuple[str, ...]:
        """Full ids of all records that ``text`` may mean, of ``kinds`` where these are given.

        An id, full or short (a retired one gives what took its place); ``maker id``; ``maker designation``
        where a bare count means all its letters; a name in any language. Case and accents do not matter.
        """
        asked = " ".join(text.split())
        if not asked or len(asked) > 300:
            return ()
        found = [full for full in self._find(asked, kinds) if not kinds or self.kind(full) in kinds]
        return tuple(dict.fromkeys(found))

    def _find(self, asked: str, kinds: tuple[str, ...]) -> Iterator[str]:
        lower = asked.lower()
        # A line's id may also be the short id of a series: then the kind that is asked for decides.
        if lower in self and (not kinds or self.kind(lower) in kinds):
            yield lower
            return
        if lower in self.retired:
            yield from self.current(lower)
            return
        found = [
            *self._by_short_id.get(lower, ()),
            *self._of_maker(asked),
            *self.names.get(fold(asked), ()),
        ]
        yield from found
        if not found:
            for full in self.retired_named(asked):
                yield from self.current(full)

    def _of_maker(self, asked: str) -> Iterator[str]:
        head, _, tail = asked.replace("/", " ").rpartition(" ")
        line, maker = "", head.strip()
        first, _, rest = maker.partition(" ")
        if first.lower() in self.lines and rest:
            line, maker = first.lower(), rest
        makers: tuple[str, ...] = ()
        if maker.lower() in self.lines:
            line = maker.lower()
        elif maker:
            makers = tuple(short_id(full) for full in self.maker_named(maker))
            if not makers:
                return
        for full in self._by_short_id.get(tail.lower(), ()):
            parts = full.split("/")
            if len(parts) == 3 and makers and parts[1] in makers and line in ("", parts[0]):
                yield full
        try:
            wanted = Designation.parse(tail.upper())
        except NotationError:
            return
        for (of_line, of_maker, count), ids in self.backs_by_group.items():
            if count == wanted.count and line in ("", of_line) and (not makers or of_maker in makers):
                yield from (i for i in ids if wanted.covers(self.backs[i].designation))

    def one(self, text: str, kind: str) -> Record:
        """The one record of ``kind`` that ``text`` means.

        Errors: UnknownRecord with the nearest names, AmbiguousRecord with all matches.
        """
        matches = self.find(text, (kind,))
        if not matches:
            there = f"`cardref list {KINDS[kind].plural}` lists them"
            raise UnknownRecord(text, kind, self.suggest(text, kind), there)
        if len(matches) > 1:
            raise AmbiguousRecord(text, matches)
        return self.tables[kind][matches[0]]

    def suggest(self, text: str, kind: str = "") -> tuple[str, ...]:
        """What ``text`` was probably meant to be: ids, designations with their maker, or names near to it."""
        from cardref.notation.nearest import Suggester  # noqa: PLC0415 - only a mistake needs it

        if kind not in self._suggesters:
            self._suggesters[kind] = Suggester(self._callable(kind))
        return tuple(near.text for near in self._suggesters[kind].suggest(text))

    def _callable(self, kind: str) -> Iterator[str]:
        """All that a record of ``kind`` (of any, for "") can be called."""
        if kind in ("", "back"):
            yield from (back.label for back in self.backs.values())
        yield from (name for name, ids in self.names.items() if not kind or kind in map(self.kind, ids))
        for of in (kind,) if kind else tuple(KINDS):
            for full in self.tables[of]:
                yield short_id(full)
                yield full

    # --- layers -------------------------------------------------------------------------------------

    def over(self, base: "Index", name: str, base_name: str) -> "Index":
        """This index laid over ``base``: a record here wins over one there with the same id.

        A tombstone here takes its record out of ``base``, and a record here outlives a tombstone there.
        Waivers belong to the dataset that they were given for, and do not rise. Either index may be layered.
        """
        tables: dict[str, Mapping[str, Record]] = {}
        origin: dict[str, str] = {}
        for kind in KINDS:
            mine, theirs = self.tables[kind], base.tables[kind]
            if kind == "waiver":
                theirs = {}
            elif kind == "tombstone":
                theirs = {full: stone for full, stone in theirs.items() if full not in self}
            elif gone := self.retired.keys() & theirs.keys() - mine.keys():
                theirs = {full: record for full, record in theirs.items() if full not in gone}
            # The dataset on top is the one that the whole is called by, so it stands first.
            tables[kind] = {**mine, **theirs, **mine} if kind == "dataset" else {**theirs, **mine}
            if kind != "dataset":  # whose id may be a line's as well
                origin.update((full, base.origin.get(full, base_name)) for full in theirs)
                origin.update((full, self.origin.get(full, name)) for full in mine)
        return Index(
            tables, origin=origin, layers=(*(self.layers or (name,)), *(base.layers or (base_name,)))
        )


def from_loaded(loaded: "Loaded") -> Index:
    """An index over every record of a directory that could be read; of two with one id, the first."""
    tables: dict[str, Mapping[str, Record]] = {}
    for kind, entries in loaded.entries.items():
        table: dict[str, Record] = {}
        for number, entry in enumerate(entries):
            if entry.record is not None:
                table.setdefault(entry.id or f"{kind}/{number}", entry.record)
        tables[kind] = table
    return Index(tables)


def from_compiled(folder: Path) -> Index:
    """An index over a compiled dataset; tables are read when they are first used."""
    return Index(compiled_tables(folder), known_fingerprint=lambda: compiled_fingerprint(folder))


class Layer(Protocol):
    """Something that holds an index, as a loaded reference does."""

    @property
    def index(self) -> Index:
        """All its records."""


def index_in(given: Layer | Index) -> Index:
    """The index itself, of what holds one or is one."""
    return given if isinstance(given, Index) else given.index
