"""A face is recorded without a code where its maker printed one."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name, listed
from cardref.facts.codes import books_of
from cardref.facts.pictures import backs_picturing
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.evidence import Standing
from cardref.model.face import NO_CODE, Face
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    clashes: list[tuple[str, Face]] = []
    checked: dict[str, int] = {}
    for _, face in corpus.records("face", Face):
        line, maker, _ = face.id.split("/")
        if face.codes is None or face.standing is Standing.REFUTED:
            continue
        for book in books_of(index, line, f"maker/{maker}", face.series):
            if not _only_under(index, face, book.scheme.counts):
                continue
            checked[book.scheme.id] = checked.get(book.scheme.id, 0) + 1
            if face.codes == NO_CODE:
                clashes.append((book.scheme.id, face))
            break
    for shared in by_shared(clashes, checked):
        scheme, counts = called(index, shared.key), index.schemes[shared.key].counts
        where = f"under backs of {listed(map(str, counts), 9)}" if counts else "on every front"
        if shared.at_fault and shared.key in corpus.by_id:
            yield Hit(
                corpus.by_id[shared.key],
                f"{scheme} is said to be printed {where}, but {count_of(len(shared.items), 'face')} of "
                "these have none: correct its counts or series",
                ("counts",) if counts else (),
                value=",".join(map(str, counts)),
                also=sides(corpus, (face.id for face in shared.items), "has no code", ("codes",)),
            )
            continue
        for face in shared.items:
            name = figure_name(index, face.figure)
            yield Hit(
                corpus.by_id[face.id],
                f"{called(index, face.id)} is said to have no code, but {scheme} is printed {where}, and "
                f"{name} stands on no other back: write the code, or leave codes out if nobody looked",
                ("codes",),
                value=NO_CODE,
                also=side(corpus, shared.key, f"printed {where}", "counts" if counts else "segments"),
            )


def _only_under(index: Index, face: Face, counts: tuple[int, ...]) -> bool:
    """Whether the figure was never sold by this maker and series on a back without the scheme's code."""
    if not counts:
        return True
    cards = [index.backs[index.cards[full].back].count for full in index.cards_by_face.get(face.id, ())
             if index.cards[full].back in index.backs]  # fmt: skip
    line, maker, _ = face.id.split("/")
    own = [
        index.backs[full].count
        for full in backs_picturing(index, face.figure)
        if full.startswith(f"{line}/{maker}/")
    ]
    # A front for an earlier, uncoded back may have been used up; where there was none, it cannot be.
    return bool(cards) and set(cards) <= set(counts) and set(own) <= set(counts)


RULE = Rule(
    id="missing-code",
    family="codes",
    severity=Severity.WARNING,
    summary="A face is recorded without a code where its maker printed one.",
    rationale=(
        "A front without the code that all its fellows have is a find, or nobody looked. Copies are told by "
        "missing codes, so a wrong none makes a copy pass."
    ),
    check=_check,
    needs=("scheme", "back"),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "codes: [L-021/06]", "codes: unread"),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "codes: [L-021/06]",
        "codes: none",
        "lanternfish/pell-orrin/f-006",
        "codes",
    ),
)
