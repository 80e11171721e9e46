"""A card stands among the cards of a maker who has no part in it, or joins two makers without a word."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.card import Card

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    faces, backs = index.faces, index.backs
    for entry, card in corpus.records("card", Card):
        if card.face not in faces or card.back not in backs:
            continue
        makers = card.face.split("/")[1], card.back.split("/")[1]
        own = card.maker
        if makers == (own, own):
            continue
        parts = {*makers, *(maker.rpartition("/")[2] for maker in card.roles.values())}
        also = (*side(corpus, card.face, "its face", "id"), *side(corpus, card.back, "its back", "id"))
        if own not in parts:
            yield Hit(
                entry,
                f"{called(index, card.id)} is kept with {own}, but its face is of {makers[0]} and its back "
                f"of {makers[1]}: move it, correct them, or say under roles what {own} did",
                ("face",) if makers[0] != own else ("back",),
                value=" ".join(makers),
                also=also,
            )
        elif makers[0] != makers[1] and not card.roles and not card.exception and not card.note:
            field = "face" if makers[0] != own else "back"
            yield Hit(
                entry,
                f"{called(index, card.id)} joins a face of {makers[0]} to a back of {makers[1]}: correct "
                f"the {field}; where it was really so, say why under exception or note",
                (field,),
                value=" ".join(makers),
                also=also,
            )


def _more(extra: str) -> str:
    return f"""
        - id: c-019
          face: f-001
          back: morvane/b-001
          {extra}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="card-of-other-maker",
    family="cards",
    severity=Severity.WARNING,
    summary="A card is kept with a maker who has no part in it, or joins two makers without a word.",
    rationale=(
        "Face and back of two makers on one card is a find or a slip. Said to be meant, it is a find that "
        "others can trust."
    ),
    check=_check,
    good=cards(_more("exception: Boards were lent for one Christmas.")),
    bad=cards(_more("origin: [{country: FR, where: board}]"), CARD, "back"),
)
