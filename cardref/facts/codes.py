"""What the codes on faces say, held against what else is recorded of these faces, or claimed of a card.

How one code is read is for :mod:`cardref.facts.codebook`. Here several witnesses meet: the code, the printed
name, the product number and the figure that a face is recorded for; the scheme, the series and the back.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> can_carry(Index({kind: {} for kind in KINDS}), "7K 2046/031", "tidewrack", "maker/quay-marl").because
'no code scheme of maker quay-marl is recorded'
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from attrs import frozen

from cardref.errors import NotationError
from cardref.facts.answer import Answer, Verdict
from cardref.facts.called import called, figure_name, listed
from cardref.facts.codebook import CodeBook, Sense, codebooks, cross_checks
from cardref.facts.counting import backs_called, disputed_pictures, trusted_lists
from cardref.facts.kept import kept
from cardref.facts.naming import folded_names, named_by
from cardref.facts.pictures import backs_picturing, leaves_out
from cardref.facts.timing import outside, surely_before
from cardref.index import Index
from cardref.model.face import Face
from cardref.model.maker import BackPolicy
from cardref.notation.code import PackageCode
from cardref.text import count_of, quoted

__all__ = [
    "BackFault",
    "CodeRead",
    "FigureWitnesses",
    "Front",
    "SeriesFault",
    "TableDoubt",
    "back_faults",
    "books_of",
    "can_carry",
    "carrying",
    "codes_of_other_figures",
    "codes_read",
    "doubted_tables",
    "expected_segments",
    "figure_witnesses",
    "fronts",
    "in_scope",
    "layout_fault",
    "layout_sample",
    "plain_sense",
    "segments_used",
    "series_faults",
]


def books_of(index: Index, line: str, maker: str, series: str = "") -> tuple[CodeBook, ...]:
    """The readable schemes of a maker (full id) in a line, that hold for ``series`` (full id) where given."""
    books = codebooks(index)
    return tuple(
        books[scheme.id]
        for scheme in index.schemes_by_maker.get((line, maker), ())
        if scheme.id in books and (not series or in_scope(books[scheme.id], series))
    )


def in_scope(book: CodeBook, series: str) -> bool:
    """Whether a scheme holds for a series (full id): all of them, where it names none."""
    return not book.scheme.series or series in book.scheme.series


def plain_sense(read: "CodeRead", meaning: str) -> Sense | None:
    """What the segment of this meaning stands for by the scheme's table, at a glance: None leaves it open."""
    if read.book is not None and read.code is not None:
        text = read.code.text
        for (start, end), name, table in read.book.look_ups:
            if name == meaning:
                return table.get(text[start:end])
    return None


class CodeRead(NamedTuple):
    """A code as one face carries it.

    Attributes:
        face: full id of the face.
        at: its place among the face's codes, from 0.
        text: verbatim.
        book: the scheme that reads it, or None where none of the maker's schemes for the series does.
        code: the code, or None.
        rivals: other schemes of the maker that read it too.
    """

    face: str
    at: int
    text: str
    book: CodeBook | None
    code: PackageCode | None
    rivals: tuple[CodeBook, ...] = ()


@kept
def codes_read(index: Index) -> tuple[CodeRead, ...]:
    """Every code of every face, read by the schemes of its maker that hold for its series."""
    found: list[CodeRead] = []
    scopes: dict[tuple[str, str, str], tuple[CodeBook, ...]] = {}
    for face in index.faces.values():
        texts = face.printed_codes
        if not texts:
            continue
        line, maker, _ = face.id.split("/")
        key = (line, maker, face.series)
        if key not in scopes:
            scopes[key] = books_of(index, line, f"maker/{maker}", face.series)
        for at, text in enumerate(texts):
            fits = [(book, code) for book in scopes[key] if (code := book.printed(text)) is not None]
            # Of several schemes that read it, the one whose tables know the most of it is meant.
            if len(fits) > 1:
                fits.sort(key=lambda fit: -sum(bool(m.senses) for m in fit[0].meanings(fit[1])))
            if fits:
                book, code = fits[0]
                found.append(CodeRead(face.id, at, text, book, code, tuple(one for one, _ in fits[1:])))
            else:
                found.append(CodeRead(face.id, at, text, None, None))
    return tuple(found)


# --- which figure a face is of ---------------------------------------------------------------------------


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


@kept
def _in_tables(index: Index) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """``(scheme, record)`` -> the segments that the scheme's tables give a series or figure."""
    found: dict[tuple[str, str], list[str]] = {}
    for full, book in codebooks(index).items():
        for _, meaning, table in book.look_ups:
            if meaning in ("figure", "series"):
                for text, sense in table.items():
                    found.setdefault((full, sense.record), []).append(text)
    return {key: tuple(texts) for key, texts in found.items()}


def expected_segments(index: Index, scheme: str, record: str) -> tuple[str, ...]:
    """What a scheme's tables write for a series or figure (full ids); empty where they do not say."""
    return _in_tables(index).get((scheme, record), ())


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


# --- what a card can carry -------------------------------------------------------------------------------


def can_carry(
    index: Index, text: str, line: str, maker: str, *, series: str = "", figure: str = "", back: str = ""
) -> Answer:
    """Whether a card of ``maker`` (full id) can carry the code ``text``, with what else is claimed of it.

    ``text`` is written as its scheme has it or in the scheme's own digits, with ``?`` for a sign not read;
    ``line`` is a short id, the others are full ids, "" where nothing is claimed.

    No where a recorded fact excludes it, yes where everything that can be compared agrees, else unknown.
    """
    answers = carrying(index, text, line, maker, series=series, figure=figure, back=back)
    for verdict in (Verdict.NO, Verdict.UNKNOWN):
        for answer in answers:
            if answer.verdict is verdict:
                return answer
    return answers[0]


def carrying(
    index: Index, text: str, line: str, maker: str, *, series: str = "", figure: str = "", back: str = ""
) -> tuple[Answer, ...]:
    """The comparisons behind :func:`can_carry`, one by one; at least one."""
    record = index.lines.get(line)
    if record is not None and maker in record.uncoded:
        return (Answer.no(f"{called(index, maker)} prints no package code", (line,), record.sources),)
    all_books = books_of(index, line, maker)
    if not all_books:
        return (Answer.unknown(f"no code scheme of {called(index, maker)} is recorded"),)
    fits = [(book, code) for book in all_books if (code := book.printed(text)) is not None]
    if not fits:
        schemes = tuple(book.scheme.id for book in all_books)
        how = listed(quoted(layout_sample(book)) for book in all_books)
        return (
            Answer.no(
                f"{quoted(text)} is not written as {called(index, maker)} writes codes ({how})",
                schemes,
                index.sources_of(schemes),
            ),
        )
    best: tuple[Answer, ...] = ()
    for book, code in fits:
        answers = tuple(_compared(index, book, code, series, figure, back))
        if not any(answer.verdict is Verdict.NO for answer in answers):
            return answers
        best = best or answers
    return best


def layout_sample(book: CodeBook) -> str:
    """What a code of the scheme looks like: 0 for a digit, A for a capital letter, X for either."""
    signs = {"digits": "0", "upper": "A", "alphanumeric": "X"}
    return "".join(one.before + signs[one.alphabet] * one.width for one in book.layout.segments)


def _compared(
    index: Index, book: CodeBook, code: PackageCode, series: str, figure: str, back: str
) -> Iterator[Answer]:
    scheme, sources = (book.scheme.id,), book.scheme.sources
    yield Answer.yes(f"it is written as {called(index, book.scheme.id)} has it", scheme, sources)
    years = index.series[series].years if series in index.series else None
    if series and (not in_scope(book, series) or outside(years, book.scheme.valid)):
        yield Answer.no(
            f"{called(index, book.scheme.id)} does not hold for {called(index, series)}", scheme, sources
        )
    for meaning, claimed in (("series", series), ("figure", figure)):
        named = tuple(sense.record for sense in book.senses(code, meaning))
        if not claimed or not named:
            continue
        names = listed(_name(index, full) for full in named)
        if claimed not in named:
            yield Answer.no(
                f"its {meaning} segment means {names}, not {_name(index, claimed)}", scheme, sources
            )
        elif len(named) == 1:
            yield Answer.yes(f"its {meaning} segment means {names}", scheme, sources)
    record = index.backs.get(back)
    counts = tuple(sense.count for sense in book.senses(code, "back") if sense.count is not None)
    if record is not None and counts:
        said = " or ".join(map(str, counts[:4]))
        if record.count in counts:
            yield Answer.yes(
                f"its back segment means a back of {said}, which {called(index, back)} is", scheme
            )
        else:
            has = f"{called(index, back)} has {count_of(record.count, 'figure')}"
            apart = "fronts and backs were printed apart, so both may be right"
            yield Answer.unknown(
                f"its back segment means a back of {said}, and {has}; {apart}", (*scheme, back)
            )
    yield from cross_checks(index)[book.scheme.id].answers(code)


def _name(index: Index, full: str) -> str:
    if full in index.figures:
        return figure_name(index, full)
    return quoted(index.series[full].title) if full in index.series else called(index, full)


def layout_fault(book: CodeBook, text: str) -> NotationError | None:
    """Why ``text`` is no code of a scheme, with what was probably meant; None where it is one."""
    if book.printed(text) is not None:
        return None
    try:
        book.parse(text)
    except NotationError as error:
        return error
    return None
