"""A code names another back than any its face stands on."""

from collections.abc import Iterator, Mapping

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, listed
from cardref.facts.cards import uses_generic_backs
from cardref.facts.codes import CodeRead
from cardref.facts.counting import counts
from cardref.facts.pictures import leaves_out
from cardref.facts.segments import Front, TableDoubt, back_faults, doubted_tables, fronts, series_faults
from cardref.facts.witnesses import codes_of_other_figures
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.card import Card
from cardref.model.evidence import Standing
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    tables: Mapping[tuple[str, str], TableDoubt] | None = None
    for front in fronts(index):
        if all(count == front.named for _, count in front.stands):
            continue
        read = front.read
        if tables is None:  # few codes come this far
            tables = doubted_tables(index)
            told = {*back_faults(index), *series_faults(index), *codes_of_other_figures(index)}
        if read.book is None or read.code is None or (read.face, read.at) in told:
            continue
        if (read.book.scheme.id, read.code.meaning("back")) in tables or read.face not in corpus.by_id:
            continue
        own = [index.cards[full] for full, _ in front.stands]
        if any(_doubted(index, card) for card in own):
            continue  # what is told of the back or the card need not be told of the code
        found = {full: count for full, count in front.stands if _exists(index, full)}
        others = {full: count for full, count in found.items() if count != front.named}
        if len(others) == 1 and len(found) > 1:
            yield from _one_card(corpus, read, next(iter(others.items())), str(front.named))
        elif others:
            yield _several(corpus, front, others, len(found))


def _exists(index: Index, card: str) -> bool:
    return index.cards[card].standing is not Standing.REFUTED


def _several(corpus: Corpus, front: Front, others: Mapping[str, int], of: int) -> Hit:
    """The face itself, where several of its cards stand on other backs, or the only one does."""
    read = front.read
    share = (
        f"{len(others)} of its {of} cards do not stand" if len(others) < of else "none of its cards stands"
    )
    under = listed(map(str, sorted(set(others.values()))), 6)
    return Hit(
        corpus.by_id[read.face],
        f"{called(corpus.index, read.face)} carries {quoted(read.text)}, which names a back of "
        f"{front.named}, but {share} on one (but on {under}): right for fronts that were left over or "
        "printed ahead",
        ("codes", read.at),
        value=read.text,
        also=sides(corpus, others, "stands on another back", ("back",)),
    )


def _doubted(index: Index, card: Card) -> bool:
    """Whether a card's back is doubted, or does not picture its figure without a word."""
    if counts(index)[card.back].odd:
        return True
    if card.exception or uses_generic_backs(index, card.back):
        return False
    return leaves_out(index, card.back, index.faces[card.face].figure)


def _one_card(corpus: Corpus, read: CodeRead, odd: tuple[str, int], named: str) -> Iterator[Hit]:
    """The one card of several whose back the code does not name."""
    full, count = odd
    entry = corpus.by_id.get(full)
    if entry is not None:
        yield Hit(
            entry,
            f"{called(corpus.index, full)} has a back of {count}, but its front carries "
            f"{quoted(read.text)}, which names a back of {named}, as its other cards have: right for a "
            "front that was left over or printed ahead",
            ("back",),
            value=f"{read.text} {count}",
            also=side(corpus, read.face, "carries the code", "codes", read.at),
        )


def _more(back: str) -> str:
    return f"""
        - id: c-019
          face: f-005
          back: {back}
          features: {{lamp-paint: amber}}
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="code-elsewhere",
    family="codes",
    severity=Severity.NOTE,
    summary="A code names another back than the one under it.",
    rationale=(
        "The code was set when the front was printed, and old fronts were used up: a code of an older back "
        "is no fault. It is worth a look because a misread back segment looks just the same."
    ),
    check=_check,
    good=cards(_more("b-003")),
    bad=cards(_more("b-004"), CARD, "back"),
)
