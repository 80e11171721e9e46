"""An exception is recorded for a card that needs none."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.counting import trusted_lists
from cardref.facts.pictures import pictures_of
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    sound, lists = trusted_lists(index), pictures_of(index)
    for entry, card in corpus.records("card", Card):
        if not card.exception or card.back not in sound:
            continue
        face, seen = index.faces.get(card.face), lists[card.back]
        if face is None or seen is None or face.figure not in seen.figures or face.figure in seen.silhouettes:
            continue
        if not seen.silhouettes.issubset(seen.figures):
            continue  # which of its figures is a silhouette is in doubt, and is told
        # A face of another maker or series on a back is odd enough to be explained.
        back = index.backs[card.back]
        if face.maker != back.maker or face.series != back.series:
            continue
        yield Hit(
            entry,
            f"{called(index, card.id)} is called an exception ({quoted(card.exception)}), but "
            f"{called(index, card.back)} does picture {figure_name(index, face.figure)}: take the exception "
            "out, or correct the back",
            ("exception",),
            value=card.exception,
            also=side(corpus, card.back, "pictures it", "pictures"),
        )


def _more(back: str) -> str:
    return f"""
        - id: c-019
          face: f-002
          back: {back}
          exception: Packed in the last week of the year with what was left.
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="needless-exception",
    family="cards",
    severity=Severity.WARNING,
    summary="An exception is recorded for a card that needs none.",
    rationale=(
        "An exception silences a check. One that excuses nothing was written for another back, and the card "
        "that it was written for is now unexplained or gone."
    ),
    check=_check,
    needs=("back",),
    good=cards(_more("b-004")),
    bad=cards(_more("b-002"), CARD, "exception"),
)
