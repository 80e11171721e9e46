"""Whether a card can carry a code, by what else is claimed of it: one comparison after the other.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> nothing = Index({kind: {} for kind in KINDS})
>>> [answer.because for answer in carrying(nothing, "7K 2046/031", "tidewrack", "maker/quay-marl")]
['no code scheme of maker quay-marl is recorded']
"""

from collections.abc import Iterator

from cardref.facts.answer import Answer, Verdict
from cardref.facts.called import called, figure_name, listed
from cardref.facts.codebook import CodeBook, cross_checks
from cardref.facts.codes import books_of, in_scope, layout_sample
from cardref.facts.timing import outside
from cardref.index import Index
from cardref.notation.code import PackageCode
from cardref.text import count_of, quoted

__all__ = ["carrying"]


def carrying(
    index: Index, text: str, line: str, maker: str, *, series: str = "", figure: str = "", back: str = ""
) -> tuple[Answer, ...]:
    """What compares the code ``text`` with what is claimed of a card of ``maker`` (full id); at least one.

    ``text`` is written as its scheme has it or in the scheme's own digits, with ``?`` for a sign not read;
    ``line`` is a short id, the others are full ids, "" where nothing is claimed.

    No where a recorded fact excludes it, yes where what can be compared agrees, else unknown.
    """
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
