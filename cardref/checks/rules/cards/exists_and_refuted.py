"""A card is recorded both as existing and as refuted, or seen although it is refuted."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.model.evidence import Standing
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for entry, card in corpus.records("card", Card):
        if card.standing is not Standing.REFUTED:
            continue
        if card.sightings:
            yield Hit(
                entry,
                f"{called(index, card.id)} is refuted, but {count_of(card.seen, 'specimen')} of it are "
                "recorded as seen: correct the standing, or record what was really seen",
                ("standing",),
                value="refuted",
                also=(Also(entry, "seen", ("sightings",)),),
            )
            continue
        for other in index.cards_by_face.get(card.face, ()):
            twin = index.cards[other]
            if twin.standing not in (Standing.REFUTED, Standing.UNVERIFIED) and _same(card, twin):
                yield Hit(
                    entry,
                    f"{called(index, card.id)} is refuted, but {called(index, other)} records the same face "
                    f"and back as {twin.standing}: keep one of them, or say how they differ",
                    ("standing",),
                    value="refuted",
                    also=side(corpus, other, f"is {twin.standing}", "standing"),
                )
                break


def _same(one: Card, other: Card) -> bool:
    """Whether two records are of one card: with the same stickers, and made in the same way."""
    return (
        one.back == other.back
        and set(one.stickers) == set(other.stickers)
        and one.made is other.made
        and one.features == other.features
    )


def _more(standing: str) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-003
          standing: {standing}
          sources: [binder]
          sightings: [{{source: binder}}]
    """


RULE = Rule(
    id="exists-and-refuted",
    family="cards",
    severity=Severity.ERROR,
    summary="A card is recorded as refuted and yet as seen or existing.",
    rationale=(
        "Whether a card exists at all is the dearest question there is. A record that says both answers "
        "none, and each side will quote the half that it likes."
    ),
    check=_check,
    good=cards(_more("confirmed")),
    bad=cards(_more("refuted"), CARD, "standing"),
)
