"""What the series and back segments of codes say, held against the records they stand on.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> dict(series_faults(Index({kind: {} for kind in KINDS})))
{}
"""

from collections import Counter
from collections.abc import Mapping
from typing import NamedTuple

from attrs import frozen

from cardref.facts.called import called, figure_name
from cardref.facts.codebook import CodeBook
from cardref.facts.codes import CodeRead, codes_read, expected_segments, plain_sense
from cardref.facts.counting import backs_called, disputed_pictures, trusted_lists
from cardref.facts.kept import kept
from cardref.facts.pictures import backs_picturing, leaves_out
from cardref.facts.timing import surely_before
from cardref.facts.witnesses import figure_witnesses
from cardref.index import Index
from cardref.model.face import Face
from cardref.model.maker import BackPolicy

__all__ = [
    "BackFault",
    "Front",
    "SeriesFault",
    "TableDoubt",
    "back_faults",
    "doubted_tables",
    "fronts",
    "series_faults",
]


@frozen
class SeriesFault:
    """A code whose series segment means another series than its face.

    Attributes:
        named: the series that it means; none where its scheme does not tell.
        usual: the segment of the face's own series, where the scheme tells.
    """

    named: tuple[str, ...]
    usual: str


@kept
def series_faults(index: Index) -> Mapping[tuple[str, int], SeriesFault]:
    """``(face, place of the code)`` -> what is wrong with its series segment; only where it is."""
    found: dict[tuple[str, int], SeriesFault] = {}
    for read in codes_read(index):
        if read.book is None or read.code is None:
            continue
        own = index.faces[read.face].series
        plain = plain_sense(read, "series")
        if plain is not None and plain.record == own:
            continue
        text = read.code.meaning("series")
        if not text.strip("?"):
            continue
        named = tuple(sense.record for sense in read.book.senses(read.code, "series"))
        usual = expected_segments(index, read.book.scheme.id, own)
        if own not in named and (named or usual):
            found[read.face, read.at] = SeriesFault(named, usual[0] if usual else "")
    return found


@frozen
class BackFault:
    """A code whose back segment cannot be right.

    Attributes:
        why: a clause.
        rests_on: series (full ids) whose years this rests on.
    """

    why: str
    rests_on: tuple[str, ...] = ()


@kept
def back_faults(index: Index) -> Mapping[tuple[str, int], BackFault]:
    """``(face, place of the code)`` -> why its back segment cannot be right; only where it cannot.

    A code that names another back than the one under it is none of these: fronts were left over. Codes and
    faces that are doubted for their figure or series are passed over.
    """
    found: dict[tuple[str, int], BackFault] = {}
    known: dict[tuple[str, str, str, int], BackFault | None] = {}
    doubted, off_series = figure_witnesses(index), series_faults(index)
    for read in codes_read(index):
        if read.book is None or read.code is None:
            continue
        count = read.book.count(read.code)
        if count is None or read.face in doubted or (read.face, read.at) in off_series:
            continue
        face = index.faces[read.face]
        key = (read.book.scheme.id, face.series, face.figure, count)
        if key not in known:
            known[key] = _back_fault(index, read.book, face, count)
        fault = known[key]
        if fault is not None:
            found[read.face, read.at] = fault
    return found


def _back_fault(index: Index, book: CodeBook, face: Face, count: int) -> BackFault | None:
    """Why no front of this figure and series was printed for a back of ``count``; None where one may be."""
    makers = [maker.rpartition("/")[2] for maker in book.scheme.makers]
    backs = [full for maker in makers for full in backs_called(index).get((book.line, maker, count), ())]
    if not backs:
        return None  # a table that means a count which is not there is told as that
    years = index.series[face.series].years if face.series in index.series else None
    of = dict.fromkeys(index.backs[full].series for full in backs)
    later = [index.series[series] for series in of if series in index.series]
    if later and all(surely_before(years, series.years) for series in later):
        why = f"such backs came with {called(index, later[0].id)}, after the face's series"
        return BackFault(why, (face.series, *(series.id for series in later)))
    why = _too_early(index, makers, face, count, backs)
    return BackFault(why) if why else None


def _too_early(index: Index, makers: list[str], face: Face, count: int, backs: list[str]) -> str:
    """Why the figure cannot have had a front for these backs: it was not out yet."""
    disputed, sound = disputed_pictures(index), trusted_lists(index)
    for full in backs:
        left_out = full in sound and leaves_out(index, full, face.figure)
        if not left_out or (full, face.figure) in disputed:
            return ""
    for maker in makers:
        record = index.makers.get(f"maker/{maker}")
        if record is None or record.backs is BackPolicy.GENERIC:
            return ""
    own = [index.backs[full] for full in backs_picturing(index, face.figure) if full.split("/")[1] in makers]
    if not own:
        return ""
    first = min(back.count for back in own)
    name = figure_name(index, face.figure)
    if count < first:
        return f"{name} is pictured from the count of {first} on"
    return f"no back of {count} pictures {name}"


@frozen
class TableDoubt:
    """An entry of a scheme's back table that most fronts which carry it speak against.

    Attributes:
        count: what the table says.
        usual: the count on which these fronts are mostly found.
        faces: the faces (full ids) none of whose cards stands on a back of ``count``.
        of: how many faces with cards carry the segment.
    """

    count: int
    usual: int
    faces: tuple[str, ...]
    of: int


class Front(NamedTuple):
    """A code whose back segment is known, and the backs under the fronts that carry it.

    Attributes:
        read: the code as read.
        named: the back count that it names.
        stands: ``(card, back count)`` for every card of the face whose back is recorded.
    """

    read: CodeRead
    named: int
    stands: tuple[tuple[str, int], ...]


@kept
def fronts(index: Index) -> tuple[Front, ...]:
    """Every code that names one back count, with the backs on which its face is found."""
    found: list[Front] = []
    cards, backs, by_face = index.cards, index.backs, index.cards_by_face
    for read in codes_read(index):
        plain = plain_sense(read, "back")
        if plain is not None and plain.count is not None:
            own = [(full, cards[full].back) for full in by_face.get(read.face, ())]
            stands = tuple([(full, backs[back].count) for full, back in own if back in backs])
            found.append(Front(read, plain.count, stands))
    return tuple(found)


@kept
def doubted_tables(index: Index) -> Mapping[tuple[str, str], TableDoubt]:
    """``(scheme, back segment)`` -> why its table is in doubt: three fronts at least, and most, differ."""
    checked: Counter[tuple[str, str]] = Counter()
    off: dict[tuple[str, str], list[Front]] = {}
    for front in fronts(index):
        read = front.read
        if front.stands and read.book is not None and read.code is not None:
            key = (read.book.scheme.id, read.code.meaning("back"))
            checked[key] += 1
            if all(count != front.named for _, count in front.stands):
                off.setdefault(key, []).append(front)
    found: dict[tuple[str, str], TableDoubt] = {}
    sound = trusted_lists(index)
    for key, group in off.items():
        if len(group) < 3 or 2 * len(group) <= checked[key]:
            continue
        counts = Counter(
            count for one in group for card, count in set(one.stands) if index.cards[card].back in sound
        )
        # Backs that are doubted themselves speak against nothing.
        if counts:
            faces = tuple(one.read.face for one in group)
            usual = counts.most_common(1)[0][0]
            found[key] = TableDoubt(group[0].named, usual, faces, checked[key])
    return found
