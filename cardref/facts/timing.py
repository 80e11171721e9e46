"""When things were made and sold, as far as the records tell: bounds, debuts, order of printing.

A date that is written is one witness; the wave that a back pictures, the years of its series, its maker's
years and the printing that it follows are others. Each bound says which record sets it. A comparison is only
ever made of dates as :class:`cardref.Date` compares them: what is uncertain decides nothing.

>>> from cardref.notation.edtf import Date
>>> spring, year, about = map(Date.parse, ("1981-03", "1982", "1982~"))
>>> surely_before(spring, year), surely_before(about, Date.parse("1985"))
(True, False)
"""

import heapq
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

from attrs import frozen

from cardref.facts.answer import Answer
from cardref.facts.called import called, figure_name
from cardref.facts.kept import kept
from cardref.facts.pictures import backs_picturing
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.line import Wave
from cardref.model.maker import Maker
from cardref.notation.edtf import Date, Day

__all__ = [
    "Bounds",
    "Debut",
    "Earlier",
    "Limit",
    "debut",
    "debut_waves",
    "earlier_backs",
    "first_back",
    "maker_of",
    "out_of_order",
    "outside",
    "place_of_wave",
    "printed_before",
    "printing_order",
    "released",
    "run",
    "started",
    "surely_before",
    "was_active",
]


@lru_cache(maxsize=1 << 16)
def _before(one: Date, other: Date) -> bool | None:
    return one.before(other)


def surely_before(one: Date | None, other: Date | None) -> bool:
    """Whether both dates are known and ``one`` was over before ``other`` began, whatever they leave open."""
    return one is not None and other is not None and _before(one, other) is True


def outside(date: Date | None, frame: Date | None) -> str:
    """``"before"`` or ``"after"`` where ``date`` surely has no day in common with ``frame``, else ""."""
    if date is None or frame is None:
        return ""
    if _before(date, frame) is True:
        return "before"
    return "after" if _before(frame, date) is True else ""


def maker_of(index: Index, full: str) -> Maker | None:
    """The maker in whose part of a line a back, face or card (full id) is kept."""
    parts = full.split("/")
    return index.makers.get(f"maker/{parts[1]}") if len(parts) == 3 else None


def was_active(index: Index, maker: str, date: Date) -> Answer:
    """Whether a maker (full id) made or sold carded toys at ``date``."""
    record = index.makers.get(maker)
    if record is None or record.active is None:
        return Answer.unknown(f"when {called(index, maker)} was active is not recorded")
    said = f"{called(index, maker)} was active {record.active}"
    grounds = (maker,), record.sources
    if outside(date, record.active):
        return Answer.no(said, *grounds)
    if date.within(record.active):
        return Answer.yes(said, *grounds)
    return Answer.unknown(f"{said}, which leaves {date} open", *grounds)


# --- bounds ----------------------------------------------------------------------------------------------


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


def _frames(index: Index, full: str, series: str) -> tuple[list[Limit], list[Limit]]:
    lows: list[Limit] = []
    highs: list[Limit] = []
    years = index.series[series].years if series in index.series else None
    lows += _low(years, series, "its series was sold")
    highs += _high(years, series, "its series was sold")
    maker = maker_of(index, full)
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


# --- waves and debuts ------------------------------------------------------------------------------------


@kept
def place_of_wave(index: Index) -> Mapping[str, int]:
    """Wave id -> its place among its maker's waves of the line, from 0. Files list waves in their order."""
    return {wave.id: place for waves in index.waves_by_maker.values() for place, wave in enumerate(waves)}


@kept
def debut_waves(index: Index) -> Mapping[tuple[str, str], tuple[Wave, ...]]:
    """``(maker id, figure id)`` -> the waves that debut the figure for that maker, in order."""
    found: dict[tuple[str, str], list[Wave]] = {}
    for (_, maker), waves in index.waves_by_maker.items():
        for wave in waves:
            for figure in dict.fromkeys(wave.debuts):
                found.setdefault((maker, figure), []).append(wave)
    return {key: tuple(waves) for key, waves in found.items()}


@frozen
class Debut:
    """When a maker first sold a figure.

    Attributes:
        figure, maker, wave: full ids.
        date: the wave's date, or None.
        again: ids of later waves that debut it anew, as a reissue does.
    """

    figure: str
    maker: str
    wave: str
    date: Date | None
    again: tuple[str, ...] = ()


def debut(index: Index, figure: str, maker: str) -> Debut | None:
    """The debut of ``figure`` for ``maker`` (full ids); None where no wave of theirs names it."""
    waves = debut_waves(index).get((maker, figure))
    if not waves:
        return None
    return Debut(figure, maker, waves[0].id, waves[0].date, tuple(wave.id for wave in waves[1:]))


# --- order of printing -----------------------------------------------------------------------------------


def started(index: Index, back: Back) -> Date | None:
    """The date that tells best when a back came: its own, else that of the wave it pictures."""
    if back.released is not None:
        return back.released
    wave = index.waves.get(back.wave)
    return wave.date if wave is not None else None


@kept
def _followed(index: Index) -> Mapping[str, frozenset[str]]:
    """Back id -> every back that is recorded as an earlier printing, step by step; circles end quietly."""
    found: dict[str, frozenset[str]] = {}

    def of(back: Back, on_way: frozenset[str]) -> frozenset[str]:
        if back.id not in found:
            earlier: set[str] = set()
            for step in _steps(back):
                record = index.backs.get(step)
                if record is not None and step not in on_way:
                    earlier |= {step} | of(record, on_way | {back.id})
            found[back.id] = frozenset(earlier - {back.id})
        return found[back.id]

    for ids in printing_order(index).values():  # earlier ones first, so that no way is long
        for full in ids:
            of(index.backs[full], frozenset((full,)))
    return found


def _steps(back: Back) -> tuple[str, ...]:
    base = back.pictures.based_on if back.pictures is not None else ""
    return tuple(step for step in dict.fromkeys((back.after, base)) if step)


@kept
def printing_order(index: Index) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """``(line, maker)``, short names -> back ids in the order in which they were printed, as far as known.

    What a back is recorded to follow comes before it; else the earlier date; else the smaller count, and the
    letter. It is one possible order: :func:`printed_before` says what is known of two backs.
    """
    groups: dict[tuple[str, str], list[Back]] = {}
    for back in index.backs.values():
        line, maker, _ = back.id.split("/")
        groups.setdefault((line, maker), []).append(back)
    return {key: tuple(_in_order(index, backs)) for key, backs in groups.items()}


def _in_order(index: Index, backs: list[Back]) -> Iterator[str]:
    here = {back.id: back for back in backs}
    waiting = {back.id: {step for step in _steps(back) if step in here and step != back.id} for back in backs}
    next_ones: dict[str, list[str]] = {}
    for full, steps in waiting.items():
        for step in steps:
            next_ones.setdefault(step, []).append(full)

    def key(full: str) -> tuple[tuple[float, ...], int, str, str]:
        back = here[full]
        date = started(index, back)
        if date is None and back.series in index.series:
            date = index.series[back.series].years
        day: tuple[float, ...] = date.earliest if date is not None and date.earliest else (float("inf"),)
        return day, back.count, back.designation.letter or "", full

    ready = [key(full) for full, steps in waiting.items() if not steps]
    heapq.heapify(ready)
    done: set[str] = set()
    while len(done) < len(here):
        if not ready:  # a circle: begin with the one that seems earliest
            ready = [min(key(full) for full in here if full not in done)]
        full = heapq.heappop(ready)[-1]
        if full in done:
            continue
        done.add(full)
        yield full
        for other in next_ones.get(full, ()):
            waiting[other].discard(full)
            if not waiting[other] and other not in done:
                heapq.heappush(ready, key(other))


def printed_before(index: Index, one: str, other: str) -> Answer:
    """Whether back ``one`` was first printed before back ``other`` (full ids).

    By what each is recorded to follow, then by dates, then by the waves they picture; unknown where these say
    nothing, since neither letters nor counts do.
    """
    first, second = index.backs.get(one), index.backs.get(other)
    if first is None or second is None:
        return Answer.unknown("one of the two is not recorded")
    names = called(index, one), called(index, other)
    both = one, other
    followed = _followed(index)
    if one in followed[other]:
        return Answer.yes(f"{names[1]} is recorded as a later printing than {names[0]}", both)
    if other in followed[one]:
        return Answer.no(f"{names[0]} is recorded as a later printing than {names[1]}", both)
    dates = started(index, first), started(index, second)
    sources = index.sources_of(both)
    if surely_before(*dates):
        return Answer.yes(f"{names[0]} dates from {dates[0]}, {names[1]} from {dates[1]}", both, sources)
    if surely_before(dates[1], dates[0]):
        return Answer.no(f"{names[0]} dates from {dates[0]}, {names[1]} from {dates[1]}", both, sources)
    waves = first.wave, second.wave
    if waves[0] != waves[1]:
        places = place_of_wave(index)
        one_wave, other_wave = index.waves.get(waves[0]), index.waves.get(waves[1])
        if one_wave is not None and other_wave is not None and one_wave.maker == other_wave.maker:
            of = called(index, waves[0]), called(index, waves[1])
            says = f"{names[0]} pictures {of[0]}, {names[1]} pictures {of[1]}"
            if places[waves[0]] < places[waves[1]]:
                return Answer.yes(says, (*both, *waves), sources)
            return Answer.no(says, (*both, *waves), sources)
    return Answer.unknown(f"nothing recorded tells which of {names[0]} and {names[1]} came first", both)


def out_of_order(index: Index, later: Back, earlier: Back) -> str:
    """Why back ``earlier`` cannot have been printed before ``later``, a clause; "" where it can."""
    dates = started(index, later), started(index, earlier)
    if surely_before(*dates):
        return f"it dates from {dates[0]} and {called(index, earlier.id)} from {dates[1]}"
    waves = index.waves.get(later.wave), index.waves.get(earlier.wave)
    if waves[0] is not None and waves[1] is not None and waves[0].maker == waves[1].maker:
        places = place_of_wave(index)
        if places[waves[0].id] < places[waves[1].id]:
            return (
                f"it pictures {called(index, waves[0].id)} and {called(index, earlier.id)} the later "
                f"{called(index, waves[1].id)}"
            )
    return ""


@frozen
class Earlier:
    """The backs of one maker and line that are surely, and that are perhaps, earlier than a given one."""

    surely: tuple[str, ...]
    perhaps: tuple[str, ...]


def earlier_backs(index: Index, back: str) -> Earlier:
    """How many backs of the same maker and line were printed before ``back`` (full id)."""
    line, maker, _ = back.split("/")
    surely, perhaps = [], []
    for other in printing_order(index).get((line, maker), ()):
        if other != back:
            verdict = printed_before(index, other, back).verdict
            if verdict == "yes":
                surely.append(other)
            elif verdict == "unknown":
                perhaps.append(other)
    return Earlier(tuple(surely), tuple(perhaps))


# --- a figure's run --------------------------------------------------------------------------------------


def run(index: Index, figure: str, maker: str = "") -> tuple[str, ...]:
    """The backs that picture ``figure`` (full id), in the order of printing; of one maker where given.

    ``maker`` is a full id. Maker by maker, in the order of ``index.backs``.
    """
    picturing = set(backs_picturing(index, figure))
    wanted = maker.removeprefix("maker/")
    return tuple(
        full
        for (_, of), ids in printing_order(index).items()
        if wanted in ("", of)
        for full in ids
        if full in picturing
    )


def first_back(index: Index, figure: str, maker: str) -> Answer:
    """The first back of ``maker`` that pictures ``figure`` (full ids), as the first of the answer's records.

    Yes where nothing known can be earlier; unknown where others, told in ``records`` behind it, may be; no
    where none pictures it.
    """
    backs = run(index, figure, maker)
    if not backs:
        return Answer.no(
            f"no back of {called(index, maker)} is recorded to picture {figure_name(index, figure)}"
        )
    first = backs[0]
    rivals = tuple(other for other in backs[1:] if printed_before(index, first, other).verdict != "yes")
    name = called(index, first)
    if rivals:
        return Answer.unknown(f"{name} seems the first, but others may be as early", (first, *rivals))
    return Answer.yes(f"{name} is the first", (first,), index.backs[first].sources)
