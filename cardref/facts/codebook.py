"""A code scheme ready to be asked: what each segment of a code stands for.

A scheme's tables are data; here they are turned into look-ups by full id, once for each index.

>>> from cardref.reference import load
>>> book = codebooks(load().index)["tidewrack/scheme/qm-front"]
>>> [(m.segment, m.text, m.label) for m in book.meanings(book.parse("7K 2046/031"))]
[('series', '7K', 'Tidewrack'), ('figure', '2046', 'Lamp Diver'), ('back', '031', 'back count 25')]
"""

from collections.abc import Iterator, Mapping

from attrs import frozen

from cardref.index import Index
from cardref.model.kinds import full_id
from cardref.model.scheme import Scheme
from cardref.notation.code import CodeLayout, PackageCode

__all__ = ["CodeBook", "Meaning", "Sense", "codebooks"]


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

    __slots__ = ("_labels", "_spans", "_tables", "layout", "line", "scheme")

    def __init__(self, scheme: Scheme, index: Index) -> None:
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
            self._labels.update((sense, _label(sense, index)) for sense in table.values())

    def _sense(self, meaning: str, says: str) -> Sense:
        if meaning in ("series", "figure"):
            return Sense(meaning, record=full_id(meaning, says, self.line))
        if meaning == "back" and says.isascii() and says.isdigit() and len(says) <= 3:
            return Sense(meaning, count=int(says))
        return Sense(meaning, words=says)

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
            label = self._labels[senses[0]]
        elif senses:
            label = f"one of {len(senses)}: " + ", ".join(self._labels[s] for s in senses[:4])
            label += ", ..." if len(senses) > 4 else ""
        elif segment.meaning == "check":
            label = "check digit"
        else:
            label = "no such segment is recorded" if closed else "no table is recorded for this segment"
        return Meaning(segment.name, text, span, segment.meaning, senses, closed, label)


def _label(sense: Sense, index: Index) -> str:
    if sense.count is not None:
        return f"back count {sense.count}"
    if sense.record in index.figures:
        return index.figures[sense.record].name
    if sense.record in index.series:
        return index.series[sense.record].title
    return sense.record or sense.words


def codebooks(index: Index) -> Mapping[str, CodeBook]:
    """Scheme id -> its code book, for every scheme of the dataset."""
    return index.derived(_all)


def _all(index: Index) -> Mapping[str, CodeBook]:
    return {scheme.id: CodeBook(scheme, index) for scheme in index.schemes.values()}
