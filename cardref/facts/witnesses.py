"""What tells which figure a face is of: the record, the code, the printed name, the product number.

Where they disagree, the one that stands alone is probably the slip.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> dict(figure_witnesses(Index({kind: {} for kind in KINDS})))
{}
"""

from collections import Counter
from collections.abc import Mapping

from attrs import frozen

from cardref.facts.codes import CodeRead, codes_read, expected_segments, plain_sense
from cardref.facts.kept import kept
from cardref.facts.naming import folded_names, named_by
from cardref.index import Index
from cardref.model.face import Face

__all__ = ["FigureWitnesses", "codes_of_other_figures", "figure_witnesses", "segments_used"]


@kept
def segments_used(index: Index) -> Mapping[tuple[str, str], Mapping[str, int]]:
    """``(scheme, figure segment)`` -> how many faces of each figure carry it."""
    found: dict[tuple[str, str], Counter[str]] = {}
    for read in codes_read(index):
        if read.book is not None and read.code is not None:
            text = read.code.meaning("figure")
            if text and "?" not in text:
                figure = index.faces[read.face].figure
                found.setdefault((read.book.scheme.id, text), Counter())[figure] += 1
    return found


@kept
def _segments_of(index: Index) -> Mapping[tuple[str, str, str], Mapping[str, int]]:
    """``(scheme, series, figure)`` -> how many of its faces carry each figure segment."""
    found: dict[tuple[str, str, str], Counter[str]] = {}
    for read in codes_read(index):
        if read.book is not None and read.code is not None:
            text = read.code.meaning("figure")
            if text and "?" not in text:
                face = index.faces[read.face]
                key = (read.book.scheme.id, face.series, face.figure)
                found.setdefault(key, Counter())[text] += 1
    return found


@frozen
class FigureWitnesses:
    """What tells which figure a face is of, where these do not agree.

    Attributes:
        face: full id of the face.
        recorded: the figure it is recorded for.
        by_code: figures that its code means, by the scheme's table or by what other faces carry.
        by_name: figures that bear the printed name.
        by_number: figures on whose faces the same maker prints the same product number or barcode.
        code: the code that disagrees, or None where codes agree or say nothing.
        usual: the segment that the code of the recorded figure has, where that is known.
        meant: the one figure that two witnesses agree on against the record, or "".
    """

    face: str
    recorded: str
    by_code: tuple[str, ...]
    by_name: tuple[str, ...]
    by_number: tuple[str, ...]
    code: CodeRead | None
    usual: str
    meant: str

    @property
    def name_disagrees(self) -> bool:
        """Whether the printed name is that of other figures only."""
        return bool(self.by_name) and self.recorded not in self.by_name


@kept
def figure_witnesses(index: Index) -> Mapping[str, FigureWitnesses]:
    """Face id -> its witnesses, for every face on which one contradicts the recorded figure."""
    printed, names, numbers = folded_names(index), named_by(index), _numbers(index)
    codes: dict[str, tuple[CodeRead, tuple[str, ...], str]] = {}
    faces = index.faces
    for read in codes_read(index):
        sense = plain_sense(read, "figure")
        if sense is not None and sense.record == faces[read.face].figure:
            continue
        if read.face not in codes:
            against = _against(index, read)
            if against is not None:
                codes[read.face] = (read, *against)
    found: dict[str, FigureWitnesses] = {}
    for face in index.faces.values():
        name = printed.get(face.id)
        by_name = names.get((face.id.partition("/")[0], name), ()) if name else ()
        off_name = bool(by_name) and face.figure not in by_name
        off_code = codes.get(face.id)
        if not off_name and off_code is None:
            continue
        if face.figure not in index.figures:
            continue  # a link to nothing is told as that
        by_code = off_code[1] if off_code else ()
        by_number = _by_number(face, numbers)
        votes: Counter[str] = Counter()
        for voices in (by_code, by_name, by_number):
            votes.update({figure for figure in voices if figure != face.figure and len(voices) == 1})
        top = [figure for figure, count in votes.items() if count > 1]
        stands = (
            (face.figure in by_name) + (face.figure in by_number) + (off_code is None and _coded(index, face))
        )
        meant = top[0] if len(top) == 1 and not stands else ""
        found[face.id] = FigureWitnesses(
            face.id, face.figure, by_code, by_name, by_number,
            off_code[0] if off_code else None, off_code[2] if off_code else "", meant,
        )  # fmt: skip
    return found


def _coded(index: Index, face: Face) -> bool:
    """Whether a code of the face says which figure it is of."""
    return any(read.book is not None and read.book.has("figure") for read in _reads(index).get(face.id, ()))


@kept
def _reads(index: Index) -> Mapping[str, tuple[CodeRead, ...]]:
    found: dict[str, list[CodeRead]] = {}
    for read in codes_read(index):
        found.setdefault(read.face, []).append(read)
    return {face: tuple(reads) for face, reads in found.items()}


def _against(index: Index, read: CodeRead) -> tuple[tuple[str, ...], str] | None:
    """The figures that a code means and the segment its face's figure usually has, where these disagree."""
    if read.book is None or read.code is None:
        return None
    text = read.code.meaning("figure")
    if not text or not text.strip("?"):
        return None
    face, scheme = index.faces[read.face], read.book.scheme.id
    usual = expected_segments(index, scheme, face.figure)
    named = tuple(sense.record for sense in read.book.senses(read.code, "figure"))
    if named:
        return None if face.figure in named else (named, usual[0] if usual else "")
    if usual:
        fits = any(all(a in ("?", b) for a, b in zip(text, one, strict=False)) for one in usual)
        return None if fits else ((), usual[0])
    return _against_others(index, scheme, face, text) if "?" not in text else None


def _against_others(index: Index, scheme: str, face: Face, text: str) -> tuple[tuple[str, ...], str] | None:
    """The same without a table: by what the other faces carry."""
    users = segments_used(index).get((scheme, text), {})
    own = _segments_of(index).get((scheme, face.series, face.figure), {})
    usual = max(own, key=lambda one: (own[one], one != text), default="")
    holder = max(users, key=lambda one: users[one], default="")
    shared = len(users) > 1 and users[holder] > users.get(face.figure, 0)
    moved = usual != text and own.get(usual, 0) > own.get(text, 0)
    if not shared and not moved:
        # Two figures, one face each, with one number: the one that comes later is asked about.
        if len(users) > 1 and users[holder] == users[face.figure] and next(iter(users)) != face.figure:
            return (next(iter(users)),), ""
        if len(own) > 1 and own[usual] == own[text] and next(iter(own)) != text:
            return (), next(iter(own))
        return None
    return ((holder,) if shared else ()), (usual if moved else "")


@kept
def _numbers(index: Index) -> Mapping[tuple[str, str, str], Mapping[str, int]]:
    """``(maker's part of the line, field, number)`` -> how many faces of each figure carry it."""
    found: dict[tuple[str, str, str], Counter[str]] = {}
    for face in index.faces.values():
        owner = face.id.rpartition("/")[0]
        for field, number in (("number", face.number), ("barcode", face.barcode)):
            if number:
                found.setdefault((owner, field, number), Counter())[face.figure] += 1
    return found


def _by_number(face: Face, numbers: Mapping[tuple[str, str, str], Mapping[str, int]]) -> tuple[str, ...]:
    owner = face.id.rpartition("/")[0]
    for field, number in (("number", face.number), ("barcode", face.barcode)):
        if number:
            users = dict(numbers[owner, field, number])
            users[face.figure] -= 1
            if any(users.values()):
                return tuple(figure for figure, count in users.items() if count)
    return ()


@kept
def codes_of_other_figures(index: Index) -> frozenset[tuple[str, int]]:
    """``(face, place)`` of the codes whose figure segment contradicts a figure that nothing else doubts."""
    found = (one for one in figure_witnesses(index).values() if one.code is not None and not one.meant)
    return frozenset((one.code.face, one.code.at) for one in found if one.code is not None)
