"""A code's figure segment means another figure than its face."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, some
from cardref.facts.codes import FigureWitnesses, figure_witnesses
from cardref.finding import Severity
from cardref.index import Index
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for witnesses in figure_witnesses(index).values():
        read = witnesses.code
        entry = corpus.by_id.get(witnesses.face)
        # Where the name agrees with the code, the figure is told, and once.
        if read is None or entry is None or witnesses.meant or read.book is None:
            continue
        yield Hit(
            entry,
            f"{called(index, witnesses.face)} carries {quoted(read.text)}, {_why(index, witnesses)}: "
            "correct the code or the figure",
            ("codes", read.at),
            value=read.text,
            also=side(corpus, read.book.scheme.id, "tells what the segment means", "segments"),
        )


def _why(index: Index, witnesses: FigureWitnesses) -> str:
    usual = f"; this figure is written {quoted(witnesses.usual)}" if witnesses.usual else ""
    if witnesses.by_code:
        return f"whose figure segment is that of {some(index, witnesses.by_code, 3)}{usual}"
    return f"whose figure segment is that of no figure known{usual}"


RULE = Rule(
    id="code-figure",
    family="codes",
    severity=Severity.ERROR,
    summary="A code's figure segment means another figure than its face.",
    rationale=(
        "Each figure has its number in the code, and each number its figure. A front that carries another's "
        "number was written down wrongly, or put with the wrong figure; decoding it names the wrong toy."
    ),
    check=_check,
    needs=("scheme",),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "L-021/06", "L-02?/06"),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "L-021/06",
        "L-022/06",
        "lanternfish/pell-orrin/f-006",
        "codes",
    ),
)
