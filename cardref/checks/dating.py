"""Which dates are doubted already, and by which rule: a wrong year contradicts many things at once.

The rules about time stand in an order: the future, the maker's years, the series' years, the wave, other
printings. A date is told by the first of them that it contradicts, and the later ones pass it over; what is
held against a doubted date says nothing.

>>> import datetime as dt, pathlib, tempfile
>>> from cardref.checks.sample import SAMPLE, write_sample
>>> from cardref.storage.loader import load_tree
>>> slipped = SAMPLE["lines/lanternfish/line.yaml"].replace("date: 1982-02", "date: 1928-02")
>>> files = {**SAMPLE, "lines/lanternfish/line.yaml": slipped}
>>> corpus = Corpus(load_tree(write_sample(pathlib.Path(tempfile.mkdtemp()), files=files)), dt.date.today())
>>> dict(doubted(corpus))
{'lanternfish/wave/po-2': 'outside-maker'}
"""

from collections.abc import Iterator, Mapping
from typing import Final

from cardref.checks.blame import Shared, by_shared
from cardref.checks.corpus import Corpus
from cardref.facts.timing import debut_waves, outside, started, surely_before
from cardref.index import Index
from cardref.model.back import Back
from cardref.notation.edtf import Date

__all__ = [
    "ENOUGH",
    "backs_before_waves",
    "doubted",
    "future",
    "held_makers",
    "misplaced_waves",
    "outside_series",
]


ENOUGH: Final = 3
"""So many dates outside a stretch of years put the stretch in doubt, and not the dates."""


def future(corpus: Corpus, date: Date | None) -> bool:
    """Whether ``date`` surely lies after today."""
    return surely_before(_today(corpus), date)


def _today(corpus: Corpus) -> Date:
    return Date.parse(corpus.today.isoformat())


def doubted(corpus: Corpus) -> Mapping[str, str]:
    """Full id of a wave, back, card, sticker, scheme or series -> id of the rule that tells its date."""
    return corpus.once(_doubted)


def _doubted(corpus: Corpus) -> dict[str, str]:
    index = corpus.index
    found: dict[str, str] = {}
    for full, date, makers, series in _dated(index):
        if future(corpus, date):
            found[full] = "future-date"
        elif _outside_makers(index, date, makers):
            found[full] = "outside-maker"
        elif series in index.series and outside(date, index.series[series].years):
            found[full] = "outside-series"
    for shared in outside_series(index, found):
        if shared.at_fault:
            found[shared.key] = "outside-series"
    for odd, _ in misplaced_waves(index, found):
        found[odd] = "wave-order"
    for older in backs_before_waves(index, found):
        if older.at_fault:
            found[older.key] = "back-before-wave"
        found.update((back.id, "back-before-wave") for back in older.items)
    _doubt_cards(index, found)
    return found


def outside_series(index: Index, found: Mapping[str, str]) -> Iterator[Shared[str]]:
    """Waves and backs (full ids) that are dated outside the years of their series, by series."""
    clashes: list[tuple[str, str]] = []
    checked: dict[str, int] = {}
    for full, _, _, series in _dated(index):
        if series in index.series and index.series[series].years is not None:
            checked[series] = checked.get(series, 0) + 1
            if found.get(full) == "outside-series":
                clashes.append((series, full))
    yield from by_shared(clashes, checked, ENOUGH)


def _doubt_cards(index: Index, found: dict[str, str]) -> None:
    """Add the cards that are older than their figure's debut or their back."""
    debuts = debut_waves(index)
    for card in index.cards.values():
        if card.released is None or card.id in found:
            continue
        face, back = index.faces.get(card.face), index.backs.get(card.back)
        waves = debuts.get((f"maker/{face.maker}", face.figure)) if face is not None else None
        if waves and waves[0].id not in found and surely_before(card.released, waves[0].date):
            found[card.id] = "before-debut"
        elif back is not None and back.id not in found and surely_before(card.released, started(index, back)):
            found[card.id] = "card-before-back"


def _dated(index: Index) -> Iterator[tuple[str, Date, tuple[str, ...], str]]:
    for wave in index.waves.values():
        if wave.date is not None:
            yield wave.id, wave.date, (wave.maker,), wave.series
    for back in index.backs.values():
        if back.released is not None:
            yield back.id, back.released, (f"maker/{back.maker}",), back.series
    for card in index.cards.values():
        if card.released is not None:
            yield card.id, card.released, (f"maker/{card.maker}",), ""
    for scheme in index.schemes.values():
        if scheme.valid is not None:
            yield scheme.id, scheme.valid, scheme.makers, ""
    for sticker in index.stickers.values():
        if sticker.released is not None:
            yield sticker.id, sticker.released, sticker.by, ""


def held_makers(index: Index, makers: tuple[str, ...]) -> tuple[str, ...]:
    """``makers`` where the years of all of them are recorded, so that a date can be held against them."""
    known = index.makers
    if all(maker in known and known[maker].active is not None for maker in makers):
        return makers
    return ()


def _outside_makers(index: Index, date: Date, makers: tuple[str, ...]) -> bool:
    held = held_makers(index, makers)
    return bool(held) and all(outside(date, index.makers[maker].active) for maker in held)


def misplaced_waves(index: Index, found: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Waves that are dated before the one they are listed behind: the odd one of the two, and the other."""
    for waves in index.waves_by_maker.values():
        dated = [wave for wave in waves if wave.date is not None and wave.id not in found]
        for number in range(1, len(dated)):
            one, other = dated[number - 1], dated[number]
            if surely_before(other.date, one.date):
                after = dated[number + 1].date if number + 1 < len(dated) else None
                before = dated[number - 2].date if number > 1 else None
                # The one that does not fit its other neighbour either is out of place.
                first = surely_before(after, one.date) and not surely_before(other.date, before)
                yield (one.id, other.id) if first else (other.id, one.id)


def backs_before_waves(index: Index, found: Mapping[str, str]) -> Iterator[Shared[Back]]:
    """Backs that are older than the wave they picture, by wave; without the dates that are in ``found``."""
    clashes: list[tuple[str, Back]] = []
    checked: dict[str, int] = {}
    for back in index.backs.values():
        wave = index.waves.get(back.wave)
        if back.released is None or wave is None or wave.date is None or wave.id in found or back.id in found:
            continue
        checked[wave.id] = checked.get(wave.id, 0) + 1
        if surely_before(back.released, wave.date):
            clashes.append((wave.id, back))
    yield from by_shared(clashes, checked)
