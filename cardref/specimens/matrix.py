"""Figures by backs: what is recorded, owned, wanted, and what cannot be; one panel a line and maker.

>>> from cardref.reference import load
>>> from cardref.model.specimen import Specimen
>>> from cardref.specimens.collection import Collection, Held
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> one = Specimen(id="1", card="tidewrack/quay-marl/c-0213")
>>> panel, = panels(index, Collection((Held(one, placed(index, one)),)))
>>> mark = panel.marks["tidewrack/figure/lamp-diver", "tidewrack/quay-marl/b-017"]
>>> mark.owned, mark.recorded, len(panel.figures), len(panel.backs)
(1, True, 45, 40)
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from attrs import frozen

from cardref.errors import UsageError
from cardref.facts.answer import Verdict
from cardref.facts.cards import exists
from cardref.facts.pictures import shown_on
from cardref.facts.printings import printing_order
from cardref.index import Index
from cardref.model.specimen import Want
from cardref.specimens.collection import Collection, Held
from cardref.specimens.holdings import recorded_pairs
from cardref.specimens.meaning import Pair

__all__ = ["Mark", "Panel", "panels"]


@frozen
class Mark:
    """What is to be told of one figure on one back.

    Attributes:
        owned: how many specimens.
        wanted: whether one is wanted.
        recorded: whether a card of it that was sold is recorded.
        impossible: whether a recorded fact excludes it.
    """

    owned: int = 0
    wanted: bool = False
    recorded: bool = False
    impossible: bool = False


NOTHING: Final = Mark()
"""It could be, and nobody has recorded it."""


@frozen
class Panel:
    """The figures and backs of one maker in one line.

    Attributes:
        line, maker: full ids.
        figures: rows, full ids, in the order of the reference.
        backs: columns, full ids, in the order of printing as far as known.
        marks: figure and back -> mark; what could be and is not recorded is left out.
        loose: figure -> how many owned specimens of this maker whose back is not known.
    """

    line: str
    maker: str
    figures: tuple[str, ...]
    backs: tuple[str, ...]
    marks: Mapping[Pair, Mark]
    loose: Mapping[str, int]


def panels(index: Index, mine: Collection, *, line: str = "", maker: str = "") -> tuple[Panel, ...]:
    """A panel for each line and maker of which something is owned; of one line or maker (full ids) only.

    Errors: UsageError where there is none.
    """
    owned: Counter[Pair] = Counter()
    loose: Counter[tuple[str, str, str]] = Counter()
    for held in mine.owned:
        where = held.where
        if where.figure and where.back:
            owned[where.pair] += 1
        elif where.figure and where.maker:
            loose[where.line, where.maker, where.figure] += 1
    wanted = set(_wanted(index, mine.wants))
    keys = {(_line(back), _maker(back)) for _, back in owned} | {(of, by) for of, by, _ in loose}
    chosen = [key for key in keys if line in ("", key[0]) and maker in ("", key[1])]
    if not chosen:
        raise UsageError("nothing of that is owned, so nothing can be drawn: see `cardref own report FILE`")
    found = []
    for of, by in sorted(chosen):
        has = {figure: number for (one, other, figure), number in loose.items() if (one, other) == (of, by)}
        found.append(_panel(index, of, by, owned, wanted, has))
    return tuple(found)


def _line(back: str) -> str:
    return back.partition("/")[0]


def _maker(back: str) -> str:
    return f"maker/{back.split('/')[1]}"


def _panel(
    index: Index,
    line: str,
    maker: str,
    owned: Mapping[Pair, int],
    wanted: set[Pair],
    loose: Mapping[str, int],
) -> Panel:
    backs = printing_order(index).get((line, maker.removeprefix("maker/")), ())
    here = set(backs)
    recorded = recorded_pairs(index)
    known = {figure for figure, back in (*recorded, *owned, *wanted) if back in here}
    known |= {figure for back in backs for figure in shown_on(index).get(back, ())} | loose.keys()
    figures = tuple(figure for figure in index.figures if figure in known)
    marks: dict[Pair, Mark] = {}
    for figure in figures:
        for back in backs:
            pair = figure, back
            mark = Mark(
                owned=owned.get(pair, 0),
                wanted=pair in wanted,
                recorded=pair in recorded,
                impossible=pair not in recorded and exists(index, figure, back).verdict is Verdict.NO,
            )
            if mark != NOTHING:
                marks[pair] = mark
    return Panel(line, maker, figures, backs, marks, loose)


def _wanted(index: Index, wants: Iterable[Held[Want]]) -> Iterator[Pair]:
    """The recorded figures on backs that a want asks for; a figure on any back is on every recorded one."""
    for want in wants:
        where = want.where
        if where.figure and where.back:
            yield where.pair
        elif where.figure or where.back:
            for figure, back in recorded_pairs(index):
                fits = where.figure in ("", figure) and where.back in ("", back)
                if fits and where.maker in ("", _maker(back)):
                    yield figure, back
