"""When things were made and sold: dates compared, makers' years, waves and the figures that they debut.

A comparison is only ever made of dates as :class:`cardref.Date` compares them: what is uncertain decides
nothing.

>>> from cardref.notation.edtf import Date
>>> spring, year, about = map(Date.parse, ("1981-03", "1982", "1982~"))
>>> surely_before(spring, year), surely_before(about, Date.parse("1985"))
(True, False)
"""

from collections.abc import Mapping
from functools import lru_cache

from attrs import frozen

from cardref.facts.answer import Answer
from cardref.facts.called import called
from cardref.facts.kept import kept
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.wave import Wave
from cardref.notation.edtf import Date

__all__ = [
    "Debut",
    "debut",
    "debut_waves",
    "outside",
    "place_of_wave",
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


def started(index: Index, back: Back) -> Date | None:
    """The date that tells best when a back came: its own, else that of the wave it pictures."""
    if back.released is not None:
        return back.released
    wave = index.waves.get(back.wave)
    return wave.date if wave is not None else None
