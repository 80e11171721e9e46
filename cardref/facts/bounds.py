"""The earliest and the latest day on which something can have reached the shops, and which record says so.

A date that is written is one witness; the wave that a back pictures, the years of its series, its maker's
years and the printing that it follows are others.

>>> from cardref.reference import load
>>> bounds = released(load().index, "tidewrack/quay-marl/b-017")
>>> bounds.earliest.because
'released 1982-03'
"""

from collections.abc import Iterable, Iterator, Mapping

from attrs import frozen

from cardref.facts.kept import kept
from cardref.facts.printings import printing_order
from cardref.facts.timing import debut
from cardref.index import Index
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.maker import Maker
from cardref.notation.edtf import Date, Day

__all__ = ["Bounds", "Limit", "released"]


@frozen
class Limit:
    """One end of a stretch of time.

    Attributes:
        day: the day.
        about: the date that it comes from is marked uncertain or approximate.
        record: full id of the record that says so.
        because: what the record says, a clause.
    """

    day: Day
    about: bool
    record: str
    because: str


@frozen
class Bounds:
    """The earliest and latest day on which something can have reached the shops; None where nothing tells."""

    earliest: Limit | None = None
    latest: Limit | None = None

    @property
    def contradicts_itself(self) -> bool:
        """Whether the latest lies before the earliest, neither being uncertain."""
        if self.earliest is None or self.latest is None or self.earliest.about or self.latest.about:
            return False
        return self.latest.day < self.earliest.day


def _low(date: Date | None, record: str, because: str) -> Iterator[Limit]:
    if date is not None and date.earliest is not None:
        yield Limit(date.earliest, date.uncertain or date.approximate, record, f"{because} {date}")


def _high(date: Date | None, record: str, because: str) -> Iterator[Limit]:
    if date is not None and date.latest is not None:
        yield Limit(date.latest, date.uncertain or date.approximate, record, f"{because} {date}")


def _bounds(lows: Iterable[Limit], highs: Iterable[Limit]) -> Bounds:
    # What is sure goes before what is about right, where both are there: an uncertain date must not narrow.
    return Bounds(
        max(lows, key=lambda limit: (not limit.about, limit.day), default=None),
        min(highs, key=lambda limit: (limit.about, limit.day), default=None),
    )


def released(index: Index, full: str) -> Bounds:
    """When a back, face, card, wave or sticker (full id) can have reached the shops.

    From its own date, its wave, its series, its maker, what it is based on and what stands on it. Unknown
    for what is not recorded.
    """
    if full in index.backs:
        return _back_bounds(index)[full]
    face = index.faces.get(full)
    if face is not None:
        return _face_bounds(index, face)
    card = index.cards.get(full)
    if card is not None:
        return _card_bounds(index, card)
    wave = index.waves.get(full)
    if wave is not None:
        return _bounds(_low(wave.date, full, "dated"), _high(wave.date, full, "dated"))
    sticker = index.stickers.get(full)
    if sticker is not None:
        return _bounds(_low(sticker.released, full, "put on"), _high(sticker.released, full, "put on"))
    return Bounds()


def _maker_of(index: Index, full: str) -> Maker | None:
    """The maker in whose part of a line a back, face or card (full id) is kept."""
    parts = full.split("/")
    return index.makers.get(f"maker/{parts[1]}") if len(parts) == 3 else None


def _frames(index: Index, full: str, series: str) -> tuple[list[Limit], list[Limit]]:
    lows: list[Limit] = []
    highs: list[Limit] = []
    years = index.series[series].years if series in index.series else None
    lows += _low(years, series, "its series was sold")
    highs += _high(years, series, "its series was sold")
    maker = _maker_of(index, full)
    if maker is not None:
        lows += _low(maker.active, maker.id, "its maker was active")
        highs += _high(maker.active, maker.id, "its maker was active")
    return lows, highs


@kept
def _back_bounds(index: Index) -> Mapping[str, Bounds]:
    found: dict[str, Bounds] = {}
    for ids in printing_order(index).values():
        for full in ids:
            back = index.backs[full]
            lows, highs = _frames(index, full, back.series)
            lows += _low(back.released, full, "released")
            highs += _high(back.released, full, "released")
            wave = index.waves.get(back.wave)
            if wave is not None:
                lows += _low(wave.date, wave.id, "its wave is dated")
            follows = found.get(back.after)
            if follows is not None and follows.earliest is not None:
                lows.append(follows.earliest)
            found[full] = _bounds(lows, highs)
    return found


def _face_bounds(index: Index, face: Face) -> Bounds:
    lows, highs = _frames(index, face.id, face.series)
    first = debut(index, face.figure, f"maker/{face.maker}")
    if first is not None:
        lows += _low(first.date, first.wave, "its figure's wave is dated")
    return _bounds(lows, highs)


def _card_bounds(index: Index, card: Card) -> Bounds:
    lows = [*_low(card.released, card.id, "released")]
    highs = [*_high(card.released, card.id, "released")]
    face = index.faces.get(card.face)
    if face is not None:
        bounds = _face_bounds(index, face)
        lows += [bounds.earliest] if bounds.earliest else []
        highs += [bounds.latest] if bounds.latest else []
    back = _back_bounds(index).get(card.back)
    # An old back may have been used up later: it only tells from when on.
    lows += [back.earliest] if back and back.earliest else []
    for sticker in card.stickers:
        record = index.stickers.get(sticker)
        if record is not None:
            lows += _low(record.released, sticker, "its sticker was put on")
    return _bounds(lows, highs)
