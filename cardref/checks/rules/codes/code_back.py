"""A code's back segment means a count that cannot be."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.codes import codes_read
from cardref.facts.counting import backs_called
from cardref.facts.segments import back_faults, doubted_tables
from cardref.finding import Severity
from cardref.index import Index
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    tables = doubted_tables(index)
    for (scheme, text), table in tables.items():
        if scheme in corpus.by_id and _counted(index, scheme, table.count):
            yield Hit(
                corpus.by_id[scheme],
                f"{called(index, scheme)} says that {quoted(text)} means a back of {table.count}, but "
                f"{len(table.faces)} of the {table.of} faces that carry it stand on other backs, mostly of "
                f"{table.usual}: correct the table",
                ("segments", _back_segment(index, scheme), "table", text),
                value=f"{text}={table.count}",
                also=sides(corpus, table.faces, f"carries {quoted(text)}", ("codes",)),
            )
    faults = back_faults(index)
    for read in codes_read(index):
        fault, entry = faults.get((read.face, read.at)), corpus.by_id.get(read.face)
        if fault is None or entry is None or read.book is None or read.code is None:
            continue
        scheme = read.book.scheme.id
        if (scheme, read.code.meaning("back")) in tables or not doubt.keys().isdisjoint(fault.rests_on):
            continue
        yield Hit(
            entry,
            f"{called(index, read.face)} carries {quoted(read.text)}, whose back segment means a back of "
            f"{read.book.count(read.code)}, but {fault.why}: correct the code, or record the back",
            ("codes", read.at),
            value=read.text,
            also=side(corpus, scheme, "tells what the segment means", "segments"),
        )


def _counted(index: Index, scheme: str, count: int) -> bool:
    """Whether a scheme's makers have a back of ``count``; a table that means another is told as that."""
    line = scheme.partition("/")[0]
    makers = (maker.rpartition("/")[2] for maker in index.schemes[scheme].makers)
    return any((line, maker, count) in backs_called(index) for maker in makers)


def _back_segment(index: Index, scheme: str) -> int:
    meanings = [segment.meaning for segment in index.schemes[scheme].segments]
    return meanings.index("back")


RULE = Rule(
    id="code-back",
    family="codes",
    severity=Severity.WARNING,
    summary="A code's back segment means a count that its figure or maker cannot have had.",
    rationale=(
        "The back segment dates the front. One that names a back before the figure was out, or a back that "
        "nobody knows, is misread, or there is a printing that is not written down yet."
    ),
    check=_check,
    needs=("scheme", "back"),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "L-021/06", '"L-021/??"'),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "L-021/06",
        "L-021/07",
        "lanternfish/pell-orrin/f-006",
        "codes",
    ),
)
