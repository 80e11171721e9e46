"""Counts against lists: what a back says, what it pictures, and what its maker's waves add up to.

Three witnesses tell how many figures a back pictures: its designation, its count, and the list of what it
pictures. Where two of them agree against the third, the third is at fault.

>>> from cardref.index import Index
>>> from cardref.model.back import Back, Pictures
>>> from cardref.model.kinds import KINDS
>>> from cardref.notation.designation import Designation
>>> tables = {kind: {} for kind in KINDS}
>>> tables["back"] = {"l/m/b-1": Back(id="l/m/b-1", designation=Designation(2), series="l/series/s", count=2,
...                                   pictures=Pictures(plus=("l/figure/a",)))}
>>> said = counts(Index(tables))["l/m/b-1"]
>>> said.designation, said.count, said.shown
(2, 2, 1)
>>> said.gap, said.odd
(-1, 'pictures')
"""

from collections import Counter
from collections.abc import Mapping

from attrs import frozen

from cardref.facts.kept import kept
from cardref.facts.pictures import pictures_of, shown_on
from cardref.facts.timing import debut_waves, place_of_wave
from cardref.index import Index
from cardref.model.evidence import Standing
from cardref.model.maker import BackPolicy
from cardref.model.wave import Wave

__all__ = [
    "Counts",
    "Difference",
    "Range",
    "backs_called",
    "counts",
    "disputed_by_maker",
    "disputed_pictures",
    "range_after",
    "range_differences",
    "trusted_lists",
]


@frozen
class Counts:
    """What is said of how many figures a back pictures.

    Attributes:
        designation, count: what these fields say.
        shown: how many pictures the list comes to, printer's slips included; None where it is not known.
        base_gap: the gap of the back it is based on, which it takes over with the list; 0 without one.
        needless: figures that its ``plus`` names although they are there already, once for each time.
        undone: figures that its ``minus`` names although they are not there, or are added again.
    """

    designation: int
    count: int
    shown: int | None
    base_gap: int = 0
    needless: tuple[str, ...] = ()
    undone: tuple[str, ...] = ()

    @property
    def gap(self) -> int:
        """How many pictures more than the count the list comes to; 0 where that is not known."""
        return 0 if self.shown is None else self.shown - self.count

    @property
    def own_gap(self) -> int:
        """The part of the gap that this back brings in itself, apart from figures named in vain."""
        explained = self.gap + len(self.needless) - len(self.undone)
        return 0 if self.gap == self.base_gap or explained in (self.base_gap, 0) else self.gap

    @property
    def odd(self) -> str:
        """The witness that stands alone: ``designation``, ``count``, ``pictures``, or "" where none does."""
        agree = self.own_gap == 0
        if self.designation == self.count:
            return "" if agree else "pictures"
        if self.shown is None or self.designation != self.shown - (self.base_gap if agree else 0):
            # No third witness, or three that differ: the count is what everything else is held against.
            return "designation" if agree else "count"
        return "count"


@kept
def counts(index: Index) -> Mapping[str, Counts]:
    """Back id -> what is said of its count."""
    found: dict[str, Counts] = {}
    lists = pictures_of(index)
    shown_there = shown_on(index)
    for full, back in index.backs.items():
        seen = lists[full]
        base_gap = 0
        needless: tuple[str, ...] = ()
        undone: tuple[str, ...] = ()
        if seen is not None and back.pictures is not None:
            base = back.pictures.based_on
            there = set(shown_there.get(base, ()))
            if base:
                # Slips belong to one printing, so only the list itself is taken over.
                base_gap = len(there) - index.backs[base].count + _slips(index, base)
            undone = tuple(f for f in back.pictures.minus if f not in there or f in back.pictures.plus)
            there.difference_update(back.pictures.minus)
            extra = []
            for figure in back.pictures.plus:
                if figure in there:
                    extra.append(figure)
                there.add(figure)
            needless = tuple(extra)
        found[full] = Counts(
            back.designation.count,
            back.count,
            seen.shown if seen is not None else None,
            base_gap,
            needless,
            undone,
        )
    return found


def _slips(index: Index, back: str) -> int:
    pictures = index.backs[back].pictures
    return sum(slip.times - 1 for slip in pictures.slips) if pictures is not None else 0


@kept
def backs_called(index: Index) -> Mapping[tuple[str, str, int], tuple[str, ...]]:
    """``(line, maker, count)``, short names -> the backs that say this count, in either place.

    Where the two differ either may be wrong, and neither should be held against anything else.
    """
    found: dict[tuple[str, str, int], list[str]] = {}
    for full, back in index.backs.items():
        line, maker, _ = full.split("/")
        for count in {back.count, back.designation.count}:
            found.setdefault((line, maker, count), []).append(full)
    return {key: tuple(ids) for key, ids in found.items()}


@kept
def trusted_lists(index: Index) -> frozenset[str]:
    """Backs whose list of figures agrees with count and designation, so that more can be judged by it."""
    return frozenset(
        full
        for full, said in counts(index).items()
        if said.shown is not None and said.gap == 0 and said.designation == said.count
    )


# --- what waves add up to --------------------------------------------------------------------------------


@frozen
class Range:
    """What a maker sells once a wave has reached the shops.

    Attributes:
        wave: the wave's full id.
        figures: debuts and returns up to then, without what was dropped; anew where a range starts over.
    """

    wave: str
    figures: frozenset[str]


@kept
def range_after(index: Index) -> Mapping[str, Range]:
    """Wave id -> the range after it. Refuted waves add nothing."""
    found: dict[str, Range] = {}
    for waves in index.waves_by_maker.values():
        figures: frozenset[str] = frozenset()
        for wave in waves:
            if wave.standing is not Standing.REFUTED:
                start = frozenset() if wave.starts_over else figures
                figures = (start | {*wave.debuts, *wave.returns}) - set(wave.drops)
            found[wave.id] = Range(wave.id, figures)
    return found


@frozen
class Difference:
    """Figures by which the backs of a maker differ from what the waves up to theirs add up to.

    Attributes:
        wave: the first wave whose backs differ so.
        backs: the backs of that wave that do.
        of: how many backs of that wave could be compared.
        later: how many backs of later waves differ by the same figures.
        missing: in the range, but not pictured.
        undebuted: pictured, but debuted by no wave of the maker.
        early: pictured, but debuted by a later wave only.
        dropped: pictured, although a wave dropped them and none brought them back.
    """

    wave: Wave
    backs: tuple[str, ...]
    of: int
    later: int
    missing: tuple[str, ...] = ()
    undebuted: tuple[str, ...] = ()
    early: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()


@kept
def range_differences(index: Index) -> tuple[Difference, ...]:
    """Where the lists of backs and the waves of a maker with its own range disagree, each figure once.

    Compared are backs whose list agrees with their count and whose wave is their own maker's.
    """
    return _differences(index)[0]


@kept
def disputed_pictures(index: Index) -> frozenset[tuple[str, str]]:
    """``(back, figure)`` wherever list and waves disagree, so that neither should be relied on."""
    return _differences(index)[1]


@kept
def disputed_by_maker(index: Index) -> frozenset[tuple[str, str]]:
    """``(maker, figure)`` wherever the lists and waves of a maker (full id) disagree about a figure."""
    return frozenset((f"maker/{back.split('/')[1]}", figure) for back, figure in disputed_pictures(index))


@kept
def _differences(index: Index) -> tuple[tuple[Difference, ...], frozenset[tuple[str, str]]]:
    by_wave: dict[str, list[str]] = {}
    for full in index.backs:
        if full not in trusted_lists(index) or not shown_on(index)[full]:
            continue  # a blank back pictures no range
        back = index.backs[full]
        wave = index.waves.get(back.wave)
        if wave is None or wave.maker != f"maker/{back.maker}" or back.standing is Standing.REFUTED:
            continue
        maker = index.makers.get(wave.maker)
        if maker is not None and maker.backs is BackPolicy.OWN and wave.standing is not Standing.REFUTED:
            by_wave.setdefault(wave.id, []).append(full)
    found: list[Difference] = []
    disputed: set[tuple[str, str]] = set()
    for waves in index.waves_by_maker.values():
        found += _of_maker(index, waves, by_wave, disputed)
    return tuple(found), frozenset(disputed)


def _of_maker(
    index: Index, waves: tuple[Wave, ...], by_wave: dict[str, list[str]], disputed: set[tuple[str, str]]
) -> list[Difference]:
    ranges, shown = range_after(index), shown_on(index)
    found: list[Difference] = []
    told: dict[str, int] = {}  # "+figure" or "-figure" -> where in found it was told
    for wave in waves:
        backs = by_wave.get(wave.id, ())
        wanted = ranges[wave.id].figures
        new: dict[frozenset[str], list[str]] = {}
        lacking = Counter(figure for full in backs for figure in wanted - shown[full])
        for full in backs:
            # A printer who shows one figure twice has left out another, on this back alone.
            own = [figure for figure in sorted(wanted - shown[full]) if lacking[figure] == 1]
            excused = own if len(own) <= _slips(index, full) else []
            signs = {f"-{figure}" for figure in wanted - shown[full] if figure not in excused}
            signs |= {f"+{figure}" for figure in shown[full] - wanted}
            for number in {told[sign] for sign in signs if sign in told}:
                found[number] = _again(found[number])
            disputed.update((full, sign[1:]) for sign in signs)
            fresh = frozenset(sign for sign in signs if sign not in told)
            if fresh:
                new.setdefault(fresh, []).append(full)
        for group, which in new.items():
            told.update(dict.fromkeys(group, len(found)))
            found.append(_difference(index, wave, group, tuple(which), len(backs)))
    return found


def _again(one: Difference) -> Difference:
    return Difference(
        one.wave, one.backs, one.of, one.later + 1, one.missing, one.undebuted, one.early, one.dropped
    )


def _difference(
    index: Index, wave: Wave, signs: frozenset[str], backs: tuple[str, ...], of: int
) -> Difference:
    sorts: dict[str, list[str]] = {"missing": [], "undebuted": [], "early": [], "dropped": []}
    here = place_of_wave(index)[wave.id]
    for sign in sorted(signs):
        figure = sign[1:]
        places = [place_of_wave(index)[one.id] for one in debut_waves(index).get((wave.maker, figure), ())]
        if sign[0] == "-":
            sorts["missing"].append(figure)
        elif not places:
            sorts["undebuted"].append(figure)
        else:
            sorts["early" if min(places) > here else "dropped"].append(figure)
    return Difference(wave, backs, of, 0, **{name: tuple(figures) for name, figures in sorts.items()})
