"""A figure stands on a back that does not picture it."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name, listed
from cardref.facts.cards import uses_generic_backs
from cardref.facts.counting import disputed_pictures, trusted_lists
from cardref.facts.pictures import backs_picturing, leaves_out
from cardref.facts.witnesses import figure_witnesses
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.card import Card
from cardref.model.evidence import Standing
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]

Odd = tuple[Entry, Card, str]


def _check(corpus: Corpus) -> Iterator[Hit]:
    odd: dict[str, list[Odd]] = {}
    for entry, card, figure in _odd(corpus):
        odd.setdefault(figure, []).append((entry, card, figure))
    for figure, group in odd.items():
        left = list(group)
        for which in ("face", "back"):
            for full, own in _shared(corpus, left, which):
                yield _blamed(corpus, figure, full, own, which)
                left = [one for one in left if one not in own]
        for entry, card, _ in left:
            yield _one(corpus.index, entry, card, figure, corpus)


def _odd(corpus: Corpus) -> Iterator[Odd]:
    """Cards whose figure their back does not picture, and nothing recorded allows it."""
    index = corpus.index
    faces, sound = index.faces, trusted_lists(index)
    doubted = figure_witnesses(index)
    # Where waves and backs disagree about the figure, that is the thing to tell.
    told = disputed_pictures(index)
    for entry, card in corpus.records("card", Card):
        face = faces.get(card.face)
        if face is None or card.back not in sound or not leaves_out(index, card.back, face.figure):
            continue
        if face.figure not in index.figures:
            continue
        if card.exception or card.standing is Standing.REFUTED or face.id in doubted:
            continue
        if (card.back, face.figure) not in told and not uses_generic_backs(index, card.back):
            yield entry, card, face.figure


def _shared(corpus: Corpus, group: list[Odd], which: str) -> list[tuple[str, list[Odd]]]:
    """Faces or backs (full ids) that several of the cards have in common, with these cards."""
    found: dict[str, list[Odd]] = {}
    for one in group:
        found.setdefault(getattr(one[1], which), []).append(one)
    return [
        (full, own)
        for full, own in found.items()
        if len(own) > 1 and full in corpus.by_id
        if which == "back" or _mostly(corpus.index, full, len(own))
    ]


def _blamed(corpus: Corpus, figure: str, full: str, own: list[Odd], which: str) -> Hit:
    """One hit for a face or back that several cards are odd with."""
    index = corpus.index
    name = figure_name(index, figure)
    if which == "face":
        backs = count_of(len(own), "back")
        said = f"stands on {backs} that do not picture {name}: correct the figure or the cards"
        pointer: Pointer = ("figure",)
    else:
        cards = count_of(len(own), "card")
        said = f"does not picture {name}, but {cards} have it on them: correct what it pictures or the cards"
        pointer = ("pictures",)
    return Hit(
        corpus.by_id[full],
        f"{called(index, full)} {said}; where it was really sold so, say why under exception",
        pointer,
        value=figure,
        also=sides(corpus, (entry.id for entry, _, _ in own), f"{name} on it", ("back",)),
    )


def _mostly(index: Index, face: str, number: int) -> bool:
    return 2 * number > len(index.cards_by_face.get(face, ()))


def _one(index: Index, entry: Entry, card: Card, figure: str, corpus: Corpus) -> Hit:
    name = figure_name(index, figure)
    own = card.back.rpartition("/")[0]
    picturing = [str(index.backs[full].designation) for full in backs_picturing(index, figure)
                 if full.startswith(f"{own}/")]  # fmt: skip
    known = f" (backs that do: {listed(picturing, 5)})" if picturing else ""
    return Hit(
        entry,
        f"{called(index, card.id)}: {called(index, card.back)} does not picture {name}{known}: correct back "
        "or face; where it was really sold so, say why under exception",
        ("back",),
        value=card.back,
        also=(
            *side(corpus, card.back, f"does not picture {name}", "pictures"),
            *side(corpus, card.face, f"is of {name}", "figure"),
        ),
    )


def _more(back: str) -> str:
    return f"""
        - id: c-019
          face: f-002
          back: {back}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="figure-not-pictured",
    family="cards",
    severity=Severity.ERROR,
    summary="A figure stands on a back that does not picture it, and nothing recorded allows that.",
    rationale=(
        "A maker with its own range pictured what it sold. A figure on a back without it is the first thing "
        "that a careful buyer asks about, so a slip here costs somebody a good card or sells them a bad one."
    ),
    check=_check,
    needs=("back", "maker"),
    good=cards(_more("b-002")),
    bad=cards(_more("b-004"), CARD, "back"),
)
