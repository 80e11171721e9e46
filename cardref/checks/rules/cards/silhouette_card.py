"""A figure stands on a back on which it is still a secret."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.pictures import pictures_of
from cardref.facts.witnesses import figure_witnesses
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.model.evidence import Standing

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    secret = {
        full: seen.silhouettes for full, seen in pictures_of(index).items() if seen and seen.silhouettes
    }
    doubted = figure_witnesses(index)
    for entry, card in corpus.records("card", Card):
        if card.back not in secret or card.exception or card.standing is Standing.REFUTED:
            continue
        face = index.faces.get(card.face)
        if face is None or face.figure not in secret[card.back] or face.id in doubted:
            continue
        name = figure_name(index, face.figure)
        yield Hit(
            entry,
            f"{called(index, card.id)}: on {called(index, card.back)} {name} is still a silhouette: correct "
            "back or face; where it was really sold so, say why under exception",
            ("back",),
            value=card.back,
            also=side(corpus, card.back, f"{name} is blacked out", "pictures", "silhouettes"),
        )


RULE = Rule(
    id="silhouette-card",
    family="cards",
    severity=Severity.WARNING,
    summary="A figure stands on a back on which it is still a silhouette.",
    rationale=(
        "A figure that its own card keeps secret was sold before its time, or the back is another printing. "
        "It does happen, and such a card is sought after: so it should be said that it is meant."
    ),
    check=_check,
    good=changed(
        "lines/lanternfish/backs/pell-orrin.yaml",
        "plus: [kelp-weaver, bell-ringer]}",
        "plus: [kelp-weaver, bell-ringer], silhouettes: [tide-clerk]}",
    ),
    bad=changed(
        "lines/lanternfish/backs/pell-orrin.yaml",
        "plus: [kelp-weaver, bell-ringer]}",
        "plus: [kelp-weaver, bell-ringer], silhouettes: [kelp-weaver]}",
        "lanternfish/pell-orrin/c-007",
        "back",
    ),
)
