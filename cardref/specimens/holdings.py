"""What a collection comes to: have, missing, double; my earliest backs; condition; spent; sales seen.

What is counted is a figure on a back. *Missing* means recorded by the reference and not had; a refuted card,
a proof and one that was only announced are not missed. Sums are by currency and never added up; sales seen
are listed and never turned into an estimate.

>>> from cardref.reference import load
>>> from cardref.specimens.collection import Collection, Held
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> one = Specimen(id="1", card="tidewrack/quay-marl/c-0213")
>>> found = holdings(index, Collection((Held(one, placed(index, one)),)))
>>> row, = found.groups("line")
>>> row.name, row.figures.have, row.pairs.have
('Tidewrack', 1, 1)
>>> first, = found.earliest
>>> first.back, len(first.earlier), len(first.perhaps)
('tidewrack/quay-marl/b-017', 12, 0)
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Final

from attrs import frozen

from cardref.facts.called import figure_name
from cardref.facts.kept import kept
from cardref.facts.printings import printed_before, printing_order
from cardref.frozen import FrozenMap
from cardref.index import Index, fold
from cardref.model.card import Made
from cardref.model.condition import NOT_SEEN, PARTS
from cardref.model.evidence import Standing
from cardref.model.kinds import short_id
from cardref.model.specimen import Sale, Specimen, Status
from cardref.notation.money import totals
from cardref.specimens.collection import Collection, Held
from cardref.specimens.meaning import Pair
from cardref.specimens.wanting import Wanted, met_by
from cardref.text import clip

__all__ = [
    "GROUPS",
    "Double",
    "Earliest",
    "Group",
    "Holdings",
    "PartStates",
    "SalesOf",
    "Share",
    "holdings",
    "recorded_pairs",
]

GROUPS: Final = ("line", "series", "wave", "maker", "figure")
"""By what holdings are grouped."""


@kept
def recorded_pairs(index: Index) -> Mapping[Pair, tuple[str, ...]]:
    """Figure and back -> the cards of them that were sold, as far as recorded."""
    found: dict[Pair, list[str]] = {}
    for card in index.cards.values():
        face = index.faces.get(card.face)
        if face is not None and card.standing is not Standing.REFUTED and card.made is Made.PRODUCTION:
            found.setdefault((face.figure, card.back), []).append(card.id)
    return {pair: tuple(cards) for pair, cards in found.items()}


@frozen
class Share:
    """How many of how many."""

    have: int
    of: int

    def __str__(self) -> str:
        return f"{self.have} of {self.of}"


@frozen
class Group:
    """What is had of a line, series, wave, maker or figure.

    Attributes:
        kind, id, name: of what; ``name`` is safe to print.
        specimens: how many are owned.
        figures: of the figures recorded in it.
        pairs: of the figures on backs recorded in it.
        double: how many owned specimens are one of several alike.
        missing: full ids of the figures not had; for a figure, of its backs not had.
    """

    kind: str
    id: str
    name: str
    specimens: int
    figures: Share
    pairs: Share
    double: int
    missing: tuple[str, ...]


@frozen
class Double:
    """Several owned specimens of one card, or of one figure on one back where the card is not known.

    Attributes:
        card: full id, or "".
        figure, back: full ids.
        specimens: in the order of the files.
    """

    card: str
    figure: str
    back: str
    specimens: tuple[Specimen, ...]

    @property
    def spare(self) -> int:
        """How many there are beyond one."""
        return len(self.specimens) - 1


@frozen
class Earliest:
    """The earliest back of a figure by one maker that is owned, and which recorded ones came before.

    Attributes:
        figure, maker, back: full ids.
        specimens: ids of the specimens on it.
        earlier: backs with a recorded card of the figure that surely came before.
        perhaps: those of which nothing recorded tells whether they did.
    """

    figure: str
    maker: str
    back: str
    specimens: tuple[str, ...]
    earlier: tuple[str, ...]
    perhaps: tuple[str, ...]


@frozen
class PartStates:
    """What the owned specimens tell of one part.

    Attributes:
        part: its name.
        states: state -> how many specimens, the most first.
        untold: how many say nothing of it, or could not be looked at there.
    """

    part: str
    states: Mapping[str, int]
    untold: int

    @property
    def title(self) -> str:
        """What to call the part in a sentence."""
        return PARTS[self.part].title


@frozen
class SalesOf:
    """Sales seen of one card, of a figure on a back, or of a figure, by date."""

    card: str
    figure: str
    back: str
    sales: tuple[Sale, ...]


@frozen
class Holdings:
    """What a collection comes to.

    Attributes:
        count: status -> how many specimens.
        rows: kind of group -> its groups of which something is owned, in the order of the reference.
        doubles, earliest, condition, wants, sales: see their classes.
        spent: currency -> sum of what was paid for specimens owned or gone.
        priced, unpriced: for how many of these a price is told, and is not.
        unplaced: ids of owned specimens of which no figure is known.
        unrecorded: ids of owned specimens whose figure is recorded on no such back: news for the dataset.
        left_out: records that could not be read and are counted nowhere.
    """

    count: Mapping[Status, int]
    rows: Mapping[str, tuple[Group, ...]]
    doubles: tuple[Double, ...]
    earliest: tuple[Earliest, ...]
    condition: tuple[PartStates, ...]
    wants: tuple[Wanted, ...]
    sales: tuple[SalesOf, ...]
    spent: Mapping[str, Decimal]
    priced: int
    unpriced: int
    unplaced: tuple[str, ...]
    unrecorded: tuple[str, ...]
    left_out: int

    def groups(self, kind: str) -> tuple[Group, ...]:
        """The groups of one kind: line, series, wave, maker or figure."""
        return self.rows[kind]


def holdings(index: Index, mine: Collection) -> Holdings:
    """What a collection comes to, beside the reference."""
    owned = mine.owned
    doubles = tuple(_doubles(owned))
    paid = [held.record for held in mine.specimens if held.record.status in (Status.OWNED, Status.GONE)]
    prices = [specimen.price for specimen in paid if specimen.price is not None]
    return Holdings(
        count=Counter(held.record.status for held in mine.specimens),
        rows=FrozenMap({kind: tuple(_groups(index, owned, doubles, kind)) for kind in GROUPS}),
        doubles=doubles,
        earliest=tuple(_earliest(index, owned)),
        condition=tuple(_condition(owned)),
        wants=tuple(met_by(want, owned) for want in mine.wants),
        sales=tuple(_sales(mine.sales)),
        spent=FrozenMap(totals(prices)),
        priced=len(prices),
        unpriced=len(paid) - len(prices),
        unplaced=tuple(held.record.id for held in owned if not held.where.figure),
        unrecorded=tuple(held.record.id for held in owned if all(held.where.pair) and not held.where.cards),
        left_out=mine.left_out,
    )


# --- groups ----------------------------------------------------------------------------------------------


@kept
def _universe(index: Index) -> Mapping[str, Mapping[str, tuple[Pair, ...]]]:
    """Kind of group -> id -> the recorded pairs in it."""
    waves: dict[Pair, list[str]] = {}
    for wave in index.waves.values():
        for figure in wave.debuts:
            waves.setdefault((figure, wave.maker), []).append(wave.id)
    found: dict[str, dict[str, list[Pair]]] = {kind: {} for kind in GROUPS}
    for pair in recorded_pairs(index):
        figure, back = pair
        record = index.backs.get(back)
        maker = f"maker/{back.split('/')[1]}"
        for kind, ids in (
            ("line", [back.partition("/")[0]]),
            ("series", [record.series] if record is not None else []),
            ("wave", waves.get((figure, maker), [])),
            ("maker", [maker]),
            ("figure", [figure]),
        ):
            for one in ids:
                found[kind].setdefault(one, []).append(pair)
    return {kind: {one: tuple(pairs) for one, pairs in ids.items()} for kind, ids in found.items()}


def _groups(
    index: Index, owned: tuple[Held[Specimen], ...], doubles: tuple[Double, ...], kind: str
) -> Iterator[Group]:
    universe = _universe(index)[kind]
    mine: dict[str, list[Held[Specimen]]] = {}
    for held in owned:
        for one in _groups_of(index, held, kind):
            mine.setdefault(one, []).append(held)
    spare: Counter[str] = Counter()
    known = {(held.where.card, *held.where.pair): held for held in owned}
    for double in doubles:
        for one in _groups_of(index, known[double.card, double.figure, double.back], kind):
            spare[one] += double.spare
    order = {one: at for at, one in enumerate(index.tables[kind])}
    for one in sorted(mine, key=lambda one: (order.get(one, len(order)), one)):
        pairs = set(universe.get(one, ()))
        had = {held.where.pair for held in mine[one]}
        figures = {figure for figure, _ in pairs}
        has = {held.where.figure for held in mine[one]}
        if kind == "figure":
            missing = _in_order(index, "back", {back for _, back in pairs - had})
        else:
            missing = _in_order(index, "figure", figures - has)
        yield Group(
            kind,
            one,
            _name(index, kind, one),
            len(mine[one]),
            Share(len(figures & has), len(figures)),
            Share(len(pairs & had), len(pairs)),
            spare[one],
            missing,
        )


def _groups_of(index: Index, held: Held[Specimen], kind: str) -> tuple[str, ...]:
    where = held.where
    if kind == "wave":
        maker = where.maker
        return tuple(
            wave.id
            for wave in index.waves_by_maker.get((where.line, maker), ())
            if where.figure in wave.debuts
        )
    one: str = getattr(where, kind)
    return (one,) if one and (kind != "maker" or where.figure) else ()


def _in_order(index: Index, kind: str, ids: Iterable[str]) -> tuple[str, ...]:
    wanted = set(ids)
    table: Iterable[str] = index.backs if kind == "back" else index.tables[kind]
    return tuple(one for one in table if one in wanted)


def _name(index: Index, kind: str, one: str) -> str:
    if kind == "figure":
        name = figure_name(index, one)
        alike = index.names.get(fold(name), ())
        return f"{name} ({clip(short_id(one), 60)})" if len(alike) > 1 else name
    record = index.get(one)
    title = getattr(record, "title", "") or getattr(record, "latin", "") or getattr(record, "name", "")
    return clip(title or short_id(one), 60)


# --- the rest --------------------------------------------------------------------------------------------


def _doubles(owned: Iterable[Held[Specimen]]) -> Iterator[Double]:
    alike: dict[tuple[str, str, str], list[Specimen]] = {}
    for held in owned:
        where = held.where
        if where.figure and where.back:
            alike.setdefault((where.card, where.figure, where.back), []).append(held.record)
    for (card, figure, back), specimens in alike.items():
        if len(specimens) > 1:
            yield Double(card, figure, back, tuple(specimens))


def _earliest(index: Index, owned: Iterable[Held[Specimen]]) -> Iterator[Earliest]:
    on: dict[tuple[str, str], dict[str, list[str]]] = {}
    for held in owned:
        where = held.where
        if where.figure and where.back in index.backs:
            on.setdefault((where.figure, where.maker), {}).setdefault(where.back, []).append(held.record.id)
    recorded: dict[tuple[str, str], list[str]] = {}
    for figure, back in recorded_pairs(index):
        if back in index.backs:
            recorded.setdefault((figure, f"maker/{back.split('/')[1]}"), []).append(back)
    for (figure, maker), backs in on.items():
        line = next(iter(backs)).partition("/")[0]
        order = printing_order(index)[line, maker.removeprefix("maker/")]
        mine = next(back for back in order if back in backs)
        earlier, perhaps = [], []
        for other in sorted(recorded.get((figure, maker), ()), key=order.index):
            if other not in backs:
                verdict = printed_before(index, other, mine).verdict
                if verdict == "yes":
                    earlier.append(other)
                elif verdict == "unknown":
                    perhaps.append(other)
        yield Earliest(figure, maker, mine, tuple(backs[mine]), tuple(earlier), tuple(perhaps))


def _condition(owned: tuple[Held[Specimen], ...]) -> Iterator[PartStates]:
    reports = [held.record.condition for held in owned]
    for part in PARTS:
        words = [report.state(part) for report in reports if report is not None]
        states = Counter(word for word in words if word and word != NOT_SEEN)
        if states:
            yield PartStates(part, FrozenMap(dict(states.most_common())), len(owned) - states.total())


def _sales(sales: Iterable[Held[Sale]]) -> Iterator[SalesOf]:
    of: dict[tuple[str, str, str], list[Sale]] = {}
    for held in sales:
        where = held.where
        of.setdefault((where.card, where.figure, where.back), []).append(held.record)
    for (card, figure, back), seen in of.items():
        yield SalesOf(card, figure, back, tuple(sorted(seen, key=lambda sale: sale.date.sort_key)))
