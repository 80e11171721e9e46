"""A code's figure segment means another figure than its face."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name, some
from cardref.facts.witnesses import FigureWitnesses, figure_witnesses, segments_used
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.scheme import Scheme
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    used = segments_used(index)
    clashes: list[tuple[str, FigureWitnesses]] = []
    checked: dict[str, int] = {}
    for witnesses in figure_witnesses(index).values():
        read = witnesses.code
        # Where the name agrees with the code, the figure is told, and once.
        if read is None or witnesses.meant or read.book is None or read.code is None:
            continue
        text = read.code.meaning("figure")
        key = f"{read.book.scheme.id} {text}"
        checked[key] = sum(used.get((read.book.scheme.id, text), {}).values())
        clashes.append((key, witnesses))
    for shared in by_shared(clashes, checked):
        scheme, text = shared.key.split(" ")
        figures = {witnesses.recorded for witnesses in shared.items}
        if shared.at_fault and len(figures) == 1 and scheme in corpus.by_id:
            first = shared.items[0]
            says = some(index, first.by_code, 3) if first.by_code else "no figure"
            yield Hit(
                corpus.by_id[scheme],
                f"{called(index, scheme)} says that {quoted(text)} means {says}, but the "
                f"{count_of(len(shared.items), 'face')} that carry it are of "
                f"{figure_name(index, first.recorded)}: correct the table",
                _place(index.schemes[scheme], text),
                value=text,
                also=sides(corpus, (one.face for one in shared.items), f"carries {quoted(text)}", ("codes",)),
            )
            continue
        for witnesses in shared.items:
            read = witnesses.code
            if read is None or witnesses.face not in corpus.by_id:
                continue
            yield Hit(
                corpus.by_id[witnesses.face],
                f"{called(index, witnesses.face)} carries {quoted(read.text)}, {_why(index, witnesses)}: "
                "correct the code or the figure",
                ("codes", read.at),
                value=read.text,
                also=side(corpus, scheme, "tells what the segment means", "segments"),
            )


def _place(scheme: Scheme, text: str) -> Pointer:
    """The way to an entry of a figure table."""
    for number, segment in enumerate(scheme.segments):
        if segment.meaning == "figure" and text in segment.table:
            return ("segments", number, "table", text)
    return ("segments",)


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
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "L-021/06", '"L-02?/06"'),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "L-021/06",
        "L-022/06",
        "lanternfish/pell-orrin/f-006",
        "codes",
    ),
)
