"""A card bears the sticker of somebody who had no part in it."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, listed
from cardref.finding import Severity
from cardref.model.card import Card

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    stickers = index.stickers
    for entry, card in corpus.records("card", Card):
        for number, full in enumerate(card.stickers):
            sticker = stickers.get(full)
            if sticker is None or not sticker.by:
                continue
            parts = {f"maker/{one.split('/')[1]}" for one in (card.id, card.face, card.back)}
            parts.update(card.roles.values())
            if parts.isdisjoint(sticker.by):
                whose = listed(called(index, maker) for maker in sticker.by)
                yield Hit(
                    entry,
                    f"{called(index, card.id)} bears {called(index, full)}, which {whose} put on, who has "
                    "no part in the card: correct the sticker, or say under roles who sold it",
                    ("stickers", number),
                    value=full,
                    also=side(corpus, full, f"put on by {whose}", "by"),
                )


def _more(roles: str) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-003
          stickers: [de-strip]
          {roles}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="sticker-of-stranger",
    family="cards",
    severity=Severity.WARNING,
    summary="A card bears the sticker of somebody who had no part in it.",
    rationale=(
        "Stickers were put on by those who sold the card. One of a stranger was moved from another card, or "
        "the seller has not been recorded."
    ),
    check=_check,
    good=cards(_more("roles: {seller: thalweg}")),
    bad=cards(_more("origin: [{country: IE, where: board}]"), CARD, "stickers"),
)
