"""A code scheme ready to be asked: what each segment of a code stands for.

A scheme's tables are data; here they are turned into look-ups by full id, once for each index.

>>> from cardref.reference import load
>>> book = codebooks(load().index)["tidewrack/scheme/qm-front"]
>>> [(m.segment, m.text, m.label) for m in book.meanings(book.parse("7K 2046/031"))]
[('series', '7K', 'Tidewrack'), ('figure', '2046', 'Lamp Diver'), ('back', '031', 'back count 25')]
"""

from collections.abc import Iterator, Mapping
from contextlib import suppress

from attrs import frozen

from cardref.errors import NotationError
from cardref.facts.answer import Answer, Verdict
from cardref.facts.pictures import pictured
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.kinds import full_id
from cardref.model.maker import BackPolicy
from cardref.model.scheme import Scheme
from cardref.notation.code import CodeLayout, PackageCode
from cardref.notation.designation import Designation
from cardref.text import count_of, quoted

__all__ = ["CodeBook", "CrossCheck", "Meaning", "Sense", "codebooks", "cross_checks"]


@frozen
class Sense:
    """One thing that a segment can stand for: a series or figure by full id, a back count, or words."""

    meaning: str
    record: str = ""
    count: int | None = None
    words: str = ""


@frozen
class Meaning:
    """What one segment of a code says.

    Attributes:
        segment: its name in the scheme.
        text: its signs, ``?`` where one could not be read.
        span: where it stands in the code as the scheme writes it, from 0.
        senses: what it can stand for, by the scheme's table; several only where a sign could not be read.
        closed: whether the scheme has a table for it, so that an unknown segment means something.
        label: in words.
    """

    segment: str
    text: str
    span: tuple[int, int]
    meaning: str
    senses: tuple[Sense, ...]
    closed: bool
    label: str


class CodeBook:
    """One scheme's layout and tables."""

    __slots__ = ("_index", "_labels", "_spans", "_tables", "layout", "line", "look_ups", "scheme")

    def __init__(self, scheme: Scheme, index: Index) -> None:
        self._index = index
        self.scheme = scheme
        self.layout: CodeLayout = scheme.layout
        self.line = scheme.id.partition("/")[0]
        self._tables: list[dict[str, Sense]] = []
        self._labels: dict[Sense, str] = {}
        self._spans: list[tuple[int, int]] = []
        at = 0
        for segment in scheme.segments:
            at += len(segment.before)
            self._spans.append((at, at + segment.width))
            at += segment.width
            table = {text: self._sense(segment.meaning, says) for text, says in segment.table.items()}
            self._tables.append(table)
        self.look_ups = tuple(
            (span, segment.meaning, table)
            for span, segment, table in zip(self._spans, scheme.segments, self._tables, strict=True)
        )

    def _sense(self, meaning: str, says: str) -> Sense:
        if meaning in ("series", "figure"):
            return Sense(meaning, record=full_id(meaning, says, self.line))
        if meaning == "back" and says.isascii() and says.isdigit() and len(says) <= 3:
            return Sense(meaning, count=int(says))
        return Sense(meaning, words=says)

    def _label(self, sense: Sense) -> str:
        if sense not in self._labels:
            self._labels[sense] = _label_of(sense, self._index)
        return self._labels[sense]

    def parse(self, text: str) -> PackageCode:
        """The code that ``text`` writes exactly. Errors: NotationError."""
        return PackageCode.parse(text, self.layout)

    def written(self, text: str) -> PackageCode | None:
        """The code that ``text`` writes exactly, or None."""
        return PackageCode.parse(text, self.layout) if PackageCode.is_valid(text, self.layout) else None

    def printed(self, text: str) -> PackageCode | None:
        """The code that a card carries verbatim: in the scheme's own digits, or in ASCII; None if neither."""
        code = self.written(text)
        if code is not None or text.isascii():
            return code
        seen = PackageCode.read(text, self.layout).value
        return seen if seen is not None and text in (seen.printed, seen.text) else None

    def senses(self, code: PackageCode, meaning: str) -> tuple[Sense, ...]:
        """What the segments of this meaning stand for: one sense where the code is whole and known."""
        return tuple(
            sense
            for at, segment in enumerate(self.scheme.segments)
            if segment.meaning == meaning
            for sense in self._look_up(at, code.text[slice(*self._spans[at])])
        )

    def has(self, meaning: str) -> bool:
        """Whether the scheme has a segment of this meaning."""
        return any(segment.meaning == meaning for segment in self.scheme.segments)

    def figure(self, code: PackageCode) -> str:
        """Full id of the one figure that the code names, or ""."""
        return self._one(code, "figure")

    def series(self, code: PackageCode) -> str:
        """Full id of the one series that the code names, or ""."""
        return self._one(code, "series")

    def count(self, code: PackageCode) -> int | None:
        """The one back count that the code names, or None."""
        senses = self.senses(code, "back")
        return senses[0].count if len(senses) == 1 else None

    def _one(self, code: PackageCode, meaning: str) -> str:
        senses = self.senses(code, meaning)
        return senses[0].record if len(senses) == 1 else ""

    def _look_up(self, at: int, text: str) -> Iterator[Sense]:
        table = self._tables[at]
        if "?" not in text:
            if text in table:
                yield table[text]
            return
        for known, sense in table.items():
            if len(known) == len(text) and all(a in ("?", b) for a, b in zip(text, known, strict=True)):
                yield sense

    def meanings(self, code: PackageCode) -> tuple[Meaning, ...]:
        """What each segment says, in order."""
        return tuple(self._meaning(at, code) for at in range(len(self._spans)))

    def _meaning(self, at: int, code: PackageCode) -> Meaning:
        segment, span = self.scheme.segments[at], self._spans[at]
        text = code.text[slice(*span)]
        senses = tuple(self._look_up(at, text))
        closed = bool(self._tables[at])
        if len(senses) == 1:
            label = self._label(senses[0])
        elif senses:
            label = f"one of {len(senses)}: " + ", ".join(self._label(s) for s in senses[:4])
            label += ", ..." if len(senses) > 4 else ""
        elif segment.meaning == "check":
            label = "check digit"
        else:
            label = "no such segment is recorded" if closed else "no table is recorded for this segment"
        return Meaning(segment.name, text, span, segment.meaning, senses, closed, label)


def _label_of(sense: Sense, index: Index) -> str:
    if sense.count is not None:
        return f"back count {sense.count}"
    if sense.record in index.figures:
        return index.figures[sense.record].name
    if sense.record in index.series:
        return index.series[sense.record].title
    return sense.record or sense.words


def codebooks(index: Index) -> Mapping[str, CodeBook]:
    """Scheme id -> its code book, for every scheme of the dataset whose layout can be."""
    return index.derived(_all)


def _all(index: Index) -> Mapping[str, CodeBook]:
    found: dict[str, CodeBook] = {}
    for scheme in index.schemes.values():
        # A layout that cannot be is a fault for the checker to tell; nothing is read by it.
        with suppress(NotationError):
            found[scheme.id] = CodeBook(scheme, index)
    return found


class CrossCheck:
    """Whether the segments of a code agree with each other and with the records, by look-up.

    A back's count is compared with the backs that the scheme's makers have in the series, and the figure with
    what these backs picture. "No back recorded" is unknown, never no.
    """

    __slots__ = ("_book", "_figures", "_index", "_kept", "_makers")

    def __init__(self, book: CodeBook, index: Index) -> None:
        self._book = book
        self._index = index
        self._makers = frozenset(maker.rpartition("/")[2] for maker in book.scheme.makers)
        self._kept: dict[int, tuple[str, ...]] | None = None
        self._figures: dict[tuple[str, int], frozenset[str] | None] = {}

    @property
    def _counts(self) -> dict[int, tuple[str, ...]]:
        """Back count -> ids of the makers' backs, by designation."""
        if self._kept is None:
            found: dict[int, list[tuple[Designation, str]]] = {}
            for full, count, designation in self._index.said("back", count=0, designation=""):
                line, maker, _ = full.split("/")
                if line == self._book.line and maker in self._makers:
                    found.setdefault(count, []).append((Designation.parse(str(designation)), full))
            self._kept = {count: tuple(full for _, full in sorted(pairs)) for count, pairs in found.items()}
        return self._kept

    def _pictured(self, series: str, count: int) -> frozenset[str] | None:
        """The figures on any back of ``count`` in ``series``: none known is empty, and None means any."""
        key = series, count
        if key not in self._figures:
            backs = (self._index.backs[full] for full in self._counts.get(count, ()))
            self._figures[key] = self._union([back for back in backs if back.series == series])
        return self._figures[key]

    def _union(self, backs: list[Back]) -> frozenset[str] | None:
        figures: set[str] = set()
        for back in backs:
            maker = self._index.makers.get(f"maker/{back.maker}")
            seen = pictured(self._index.backs, back)
            if seen is None or (maker is not None and maker.backs is BackPolicy.GENERIC):
                return None
            figures.update(seen.figures)
        return frozenset(figures)

    def backs(self, code: PackageCode) -> tuple[str, ...]:
        """Ids of the backs that the code's back segment can mean, by designation."""
        senses = self._book.senses(code, "back")
        return tuple(i for s in senses if s.count is not None for i in self._counts.get(s.count, ()))

    def verdict(self, code: PackageCode) -> Verdict:
        """Yes where everything that can be compared agrees, no where something cannot be, else unknown."""
        book, text = self._book, code.text
        found: dict[str, Sense] = {}
        for (start, end), meaning, table in book.look_ups:
            if table:
                sense = table.get(text[start:end])
                if sense is not None:
                    found[meaning] = sense
                elif "?" not in text[start:end]:
                    return Verdict.NO
                else:
                    return self._partial(code)
        series, back, figure = found.get("series"), found.get("back"), found.get("figure")
        return self._agree(
            series.record if series else "", back.count if back else None, figure.record if figure else ""
        )

    def _partial(self, code: PackageCode) -> Verdict:
        book = self._book
        if any(m.closed and not m.senses for m in book.meanings(code)):
            return Verdict.NO
        return self._agree(book.series(code), book.count(code), book.figure(code))

    def _agree(self, series: str, count: int | None, figure: str) -> Verdict:
        if count is None or not series:
            return Verdict.UNKNOWN
        counts = self._book.scheme.counts
        if counts and count not in counts:
            return Verdict.NO
        figures = self._pictured(series, count)
        if not figures or not figure:
            return Verdict.UNKNOWN
        return Verdict.YES if figure in figures else Verdict.NO

    def answers(self, code: PackageCode) -> tuple[Answer, ...]:
        """The same comparisons, one by one, in words and with records."""
        return tuple(self._answers(code))

    def _answers(self, code: PackageCode) -> Iterator[Answer]:
        book, index = self._book, self._index
        scheme = (book.scheme.id,)
        for meaning in book.meanings(code):
            if meaning.closed and not meaning.senses:
                yield Answer.no(
                    f"{quoted(meaning.text)} is no {meaning.segment} that this scheme is known to have",
                    scheme, book.scheme.sources,
                )  # fmt: skip
        series, count, figure = book.series(code), book.count(code), book.figure(code)
        if count is None:
            return
        counts = book.scheme.counts
        if counts and count not in counts:
            yield Answer.no(f"no code is printed on fronts for {count} figures", scheme, book.scheme.sources)
        backs = tuple(i for i in self._counts.get(count, ()) if index.backs[i].series == series)
        title = index.series[series].title if series in index.series else "this series"
        if not series:
            return
        if not backs:
            yield Answer.unknown(f"no back of {title} with {count_of(count, 'figure')} is recorded", scheme)
            return
        figures = self._pictured(series, count)
        if not figure:
            return
        if figures is None:
            yield Answer.unknown("what these backs picture is not recorded", backs)
            return
        name = index.figures[figure].name if figure in index.figures else figure
        if figure in figures:
            yield Answer.yes(
                f"{name} is pictured on backs of {title} with {count_of(count, 'figure')}", backs
            )
        else:
            yield Answer.no(
                f"{name} is pictured on no recorded back of {title} with {count_of(count, 'figure')}", backs
            )


def cross_checks(index: Index) -> Mapping[str, CrossCheck]:
    """Scheme id -> its cross-check, for every scheme of the dataset."""
    return index.derived(_all_checks)


def _all_checks(index: Index) -> Mapping[str, CrossCheck]:
    return {scheme: CrossCheck(book, index) for scheme, book in codebooks(index).items()}
