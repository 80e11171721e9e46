"""A code's back segment means a count that cannot be."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.codes import CodeRead, back_faults, codes_read
from cardref.finding import Severity
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    clashes: list[tuple[str, tuple[CodeRead, str]]] = []
    checked: dict[str, int] = {}
    faults, doubt = back_faults(index), doubted(corpus)
    for read in codes_read(index):
        if read.book is None or read.code is None:
            continue
        counts = {sense.count for sense in read.book.senses(read.code, "back") if sense.count is not None}
        if len(counts) != 1:
            continue
        (count,) = counts
        key = f"{read.book.scheme.id} {count}"
        checked[key] = checked.get(key, 0) + 1
        fault = faults.get((read.face, read.at))
        if fault is not None and doubt.keys().isdisjoint(fault.rests_on):
            clashes.append((key, (read, fault.why)))
    for shared in by_shared(clashes, checked):
        scheme, count_text = shared.key.split(" ")
        if shared.at_fault and scheme in corpus.by_id:
            first = shared.items[0]
            yield Hit(
                corpus.by_id[scheme],
                f"{called(index, scheme)} has a segment for a back of {count_text}, but {first[1]}; "
                f"{count_of(len(shared.items), 'face')} carry it, {called(index, first[0].face)} first: "
                "correct the table or the counts",
                ("segments",),
                value=count_text,
                also=sides(corpus, (one[0].face for one in shared.items), "carries it", ("codes",)),
            )
            continue
        for read, why in shared.items:
            if read.face in corpus.by_id:
                yield Hit(
                    corpus.by_id[read.face],
                    f"{called(index, read.face)} carries {quoted(read.text)}, whose back segment means a "
                    f"back of {count_text}, but {why}: correct the code, or record the back",
                    ("codes", read.at),
                    value=read.text,
                    also=side(corpus, scheme, "tells what the segment means", "segments"),
                )


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
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "L-021/06", "L-021/??"),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "L-021/06",
        "L-021/07",
        "lanternfish/pell-orrin/f-006",
        "codes",
    ),
)
