"""A code's series segment means another series than its face."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, listed
from cardref.facts.codes import CodeRead, codes_read
from cardref.facts.segments import series_faults
from cardref.facts.witnesses import codes_of_other_figures
from cardref.finding import Severity
from cardref.text import count_of, quoted

__all__ = ["RULE"]

_NOTHING = "nothing that its scheme tells"


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    clashes: list[tuple[str, tuple[CodeRead, str, str]]] = []
    checked: dict[str, int] = {}
    faults, figures = series_faults(index), codes_of_other_figures(index)
    for read in codes_read(index):
        if read.book is None or read.code is None:
            continue
        text = read.code.meaning("series")
        key = f"{read.book.scheme.id} {text}"
        checked[key] = checked.get(key, 0) + 1
        fault = faults.get((read.face, read.at))
        # A code that is wrong in its figure as well is another face's code, and is told once.
        if fault is not None and (read.face, read.at) not in figures:
            means = listed(called(index, full) for full in fault.named[:2]) if fault.named else _NOTHING
            clashes.append((key, (read, means, fault.usual)))
    for shared in by_shared(clashes, checked):
        read, means, wanted = shared.items[0]
        if read.book is None:
            continue
        scheme = read.book.scheme.id
        if shared.at_fault and scheme in corpus.by_id:
            text = shared.key.rpartition(" ")[2]
            yield Hit(
                corpus.by_id[scheme],
                f"{called(index, scheme)} says that {quoted(text)} means {means}, but "
                f"{count_of(len(shared.items), 'face')} that carry it are of another series, "
                f"{called(index, read.face)} first: correct the table",
                ("segments",),
                value=text,
                also=sides(
                    corpus, (one[0].face for one in shared.items), f"carries {quoted(text)}", ("codes",)
                ),
            )
            continue
        for read, means, wanted in shared.items:
            if read.face not in corpus.by_id:
                continue
            written = f", which its scheme writes {quoted(wanted)}" if wanted else ""
            yield Hit(
                corpus.by_id[read.face],
                f"{called(index, read.face)} carries {quoted(read.text)}, whose series segment means "
                f"{means}, but the face is of {called(index, index.faces[read.face].series)}{written}: "
                "correct the code or the series",
                ("codes", read.at),
                value=read.text,
                also=side(corpus, scheme, "tells what the segment means", "segments"),
            )


RULE = Rule(
    id="code-series",
    family="codes",
    severity=Severity.ERROR,
    summary="A code's series segment means another series than its face.",
    rationale=(
        "Code and title stand on the same printed front. Where they tell of two series, one was written "
        "down wrongly, and whoever looks the card up by its code is sent to the wrong years."
    ),
    check=_check,
    needs=("scheme",),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "D-031/07", '"D-0?1/07"'),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "D-031/07",
        "L-031/07",
        "lanternfish/pell-orrin/f-008",
        "codes",
    ),
)
