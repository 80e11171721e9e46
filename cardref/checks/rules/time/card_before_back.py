"""A card is older than the back it has."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import started
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    backs, doubt = index.backs, doubted(corpus)
    clashes: list[tuple[str, tuple[Entry, Card]]] = []
    checked: dict[str, int] = {}
    for entry, card in corpus.records("card", Card):
        back = backs.get(card.back) if card.released is not None else None
        if back is not None:
            checked[back.id] = checked.get(back.id, 0) + 1
            if doubt.get(card.id) == "card-before-back":
                clashes.append((back.id, (entry, card)))
    for shared in by_shared(clashes, checked):
        back = backs[shared.key]
        name, date = called(index, back.id), started(index, back)
        if shared.at_fault and back.id in corpus.by_id:
            yield Hit(
                corpus.by_id[back.id],
                f"{name} dates from {date}, but {count_of(len(shared.items), 'card')} with it are older, "
                f"{called(index, shared.items[0][1].id)} of {shared.items[0][1].released} first: correct "
                "its date",
                ("released",) if back.released is not None else ("wave",),
                value=str(date),
                also=sides(corpus, (one.id for one, _ in shared.items), f"older than {date}", ("released",)),
            )
            continue
        for entry, card in shared.items:
            yield Hit(
                entry,
                f"{called(index, card.id)} was released {card.released}, but {name} dates from {date}: "
                "correct the date, or the back",
                ("released",),
                value=str(card.released),
                also=side(corpus, back.id, f"dates from {date}", "released"),
            )


def _more(date: str) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-003
          released: {date}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="card-before-back",
    family="time",
    severity=Severity.ERROR,
    summary="A card was released before its back was printed.",
    rationale=(
        "A board is printed before it is sold. A card that is older than its own reverse has a wrong date "
        "or a wrong back, and is not the card that it is taken for."
    ),
    check=_check,
    good=cards(_more("1982-05")),
    bad=cards(_more("1981-05"), CARD, "released"),
)
