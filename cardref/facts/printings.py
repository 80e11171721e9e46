"""In which order backs were printed, and a figure's run through them, as far as the records tell.

What a back is recorded to follow comes first, then dates, then the waves that are pictured. Neither letters
nor counts say which of two was first.

>>> from cardref.reference import load
>>> index = load().index
>>> first_back(index, "tidewrack/figure/lamp-diver", "maker/quay-marl").because
'back quay-marl 10A (b-001) is the first'
"""

import heapq
from collections.abc import Iterator, Mapping

from attrs import frozen

from cardref.facts.answer import Answer
from cardref.facts.called import called, figure_name
from cardref.facts.kept import kept
from cardref.facts.pictures import backs_picturing
from cardref.facts.timing import place_of_wave, started, surely_before
from cardref.index import Index
from cardref.model.back import Back

__all__ = [
    "Earlier",
    "earlier_backs",
    "first_back",
    "out_of_order",
    "printed_before",
    "printing_order",
    "run",
]


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
