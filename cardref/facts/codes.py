"""Every code on every face, read by the schemes of its maker.

How one code is read is for :mod:`cardref.facts.codebook`. What they say is held against what else is
recorded in :mod:`cardref.facts.witnesses` (which figure) and :mod:`cardref.facts.segments` (series and back),
and against what is claimed of a card in :mod:`cardref.facts.carrying`.

>>> from cardref.reference import load
>>> read = codes_read(load().index)[0]
>>> read.text, read.book.scheme.id, plain_sense(read, "figure").record
('30409-01-5', 'hedgerow-circuit/scheme/pm-checked', 'hedgerow-circuit/figure/turnip-tess')
"""

from collections.abc import Mapping
from typing import NamedTuple

from cardref.errors import NotationError
from cardref.facts.codebook import CodeBook, Sense, codebooks
from cardref.facts.kept import kept
from cardref.index import Index
from cardref.notation.code import PackageCode

__all__ = [
    "CodeRead",
    "books_of",
    "codes_read",
    "expected_segments",
    "in_scope",
    "layout_fault",
    "layout_sample",
    "plain_sense",
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


def plain_sense(read: CodeRead, meaning: str) -> Sense | None:
    """What the segment of this meaning stands for by the scheme's table, at a glance: None leaves it open."""
    if read.book is not None and read.code is not None:
        text = read.code.text
        for (start, end), name, table in read.book.look_ups:
            if name == meaning:
                return table.get(text[start:end])
    return None


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


def layout_sample(book: CodeBook) -> str:
    """What a code of the scheme looks like: 0 for a digit, A for a capital letter, X for either."""
    signs = {"digits": "0", "upper": "A", "alphanumeric": "X"}
    return "".join(one.before + signs[one.alphabet] * one.width for one in book.layout.segments)


def layout_fault(book: CodeBook, text: str) -> NotationError | None:
    """Why ``text`` is no code of a scheme, with what was probably meant; None where it is one."""
    if book.printed(text) is not None:
        return None
    try:
        book.parse(text)
    except NotationError as error:
        return error
    return None
