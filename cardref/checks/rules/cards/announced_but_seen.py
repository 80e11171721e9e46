"""A card that was only announced has been seen."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.card import Card, Made
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, card in corpus.records("card", Card):
        if card.made is Made.ANNOUNCED and card.sightings:
            yield Hit(
                entry,
                f"{called(corpus.index, card.id)} is recorded as announced only, but "
                f"{count_of(card.seen, 'specimen')} have been seen: say whether these were proofs or were "
                "sold",
                ("made",),
                value="announced",
                also=(Also(entry, "seen", ("sightings",)),),
            )


def _more(made: str) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-003
          made: {made}
          standing: reported
          sources: [binder]
          sightings: [{{source: binder}}]
    """


RULE = Rule(
    id="announced-but-seen",
    family="cards",
    severity=Severity.ERROR,
    summary="A card that was only announced has been seen.",
    rationale=(
        "What was only announced is on no specimen. If there is one, it is a proof or was sold after all, "
        "and that is worth a great deal more than a picture in a catalogue."
    ),
    check=_check,
    good=cards(_more("proof")),
    bad=cards(_more("announced"), CARD, "made"),
)
