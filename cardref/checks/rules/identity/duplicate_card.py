"""Two cards are recorded that nothing tells apart."""

from collections.abc import Iterable, Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import cards
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.model.kinds import short_id
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    recorded = corpus.records("card", Card)
    if len({(card.face, card.back) for _, card in recorded}) == len(recorded):
        return
    pairs: dict[tuple[str, str], list[tuple[Entry, Card]]] = {}
    for entry, card in recorded:
        pairs.setdefault((card.face, card.back), []).append((entry, card))
    for equal in pairs.values():
        if len(equal) > 1:
            yield from _equal(corpus, equal)


def _equal(corpus: Corpus, equal: Iterable[tuple[Entry, Card]]) -> Iterator[Hit]:
    seen: dict[tuple[object, ...], Entry] = {}
    for entry, card in equal:
        key = (frozenset(card.stickers), card.roles, card.origin, card.extras, card.features, card.made)
        first = seen.setdefault(key, entry)
        if first is not entry and first.id != entry.id:
            yield Hit(
                entry,
                f"{corpus.named(entry)} and card {short_id(first.id)} have the same front, back and stickers "
                "and differ in nothing: record what tells them apart, or keep one",
                also=(Also(first, "is the same"),),
            )


RULE = Rule(
    id="duplicate-card",
    family="identity",
    severity=Severity.WARNING,
    summary="Two cards are recorded that nothing tells apart.",
    rationale=(
        "One card entered twice counts twice in every sum, and its sightings and sources are torn in two."
    ),
    check=_check,
    good=cards("""
        - id: c-020
          face: f-001
          back: b-001
          stickers: [whistle-offer]
          sources: [binder]
    """),
    bad=cards(
        """
        - id: c-020
          face: f-002
          back: b-001
          sources: [binder]
    """,
        "lanternfish/pell-orrin/c-020",
    ),
)
