"""A sticker was put on before there was a card to put it on."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import started, surely_before
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.notation.edtf import Date
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    backs, stickers = index.backs, index.stickers
    clashes: list[tuple[str, tuple[Entry, int, str, Date | None]]] = []
    checked: dict[str, int] = {}
    for entry, card in corpus.records("card", Card):
        for number, full in enumerate(card.stickers):
            sticker, back = stickers.get(full), backs.get(card.back)
            if (
                sticker is None
                or sticker.released is None
                or full in doubt
                or card.id in doubt
                or card.back in doubt
            ):
                continue
            checked[full] = checked.get(full, 0) + 1
            date = card.released or (started(index, back) if back is not None else None)
            if _used_up(sticker.released, date):
                clashes.append((full, (entry, number, card.back, date)))
    for shared in by_shared(clashes, checked):
        name, put_on = called(index, shared.key), stickers[shared.key].released
        if shared.at_fault and shared.key in corpus.by_id:
            yield Hit(
                corpus.by_id[shared.key],
                f"{name} was put on {put_on}, but {count_of(len(shared.items), 'card')} that bear it are "
                "younger: correct when it was put on",
                ("released",),
                value=str(put_on),
                also=sides(
                    corpus, (one[0].id for one in shared.items), f"younger than {put_on}", ("stickers",)
                ),
            )
            continue
        for entry, number, back_id, date in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} bears {name}, put on {put_on}, but dates from {date} itself: "
                "correct the sticker, or the date",
                ("stickers", number),
                value=shared.key,
                also=(
                    *side(corpus, shared.key, f"put on {put_on}", "released"),
                    *side(corpus, back_id, "its back", "released"),
                ),
            )


def _used_up(put_on: Date, made: Date | None) -> bool:
    """Whether the sticker was no longer put on when the card was made.

    A date that is no interval tells when it came up; leftovers are used for a year or so (common practice, no
    source).
    """
    if made is None or not surely_before(put_on, made):
        return False
    if put_on.kind == "interval" and put_on.end == "given":
        return True
    return (
        put_on.latest is not None
        and made.earliest is not None
        and made.earliest.year - put_on.latest.year > 1
    )


def _more(back: str, face: str) -> str:
    return f"""
        - id: c-019
          face: {face}
          back: {back}
          stickers: [whistle-offer]
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="sticker-before-card",
    family="time",
    severity=Severity.WARNING,
    summary="A sticker was put on long before there was a card to put it on.",
    rationale=(
        "A sticker dates a card: an offer of one year was not put on the cards of a later one. Where it "
        "was, somebody moved it, or one of the dates is wrong."
    ),
    check=_check,
    good=cards(_more("b-003", "f-007")),
    bad=cards(_more("b-004", "f-008"), CARD, "stickers"),
)
