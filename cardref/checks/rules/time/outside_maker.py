"""Something of a maker is dated outside the years in which the maker was active."""

from collections import Counter
from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import ENOUGH, doubted, held_makers
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import outside
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.scheme import Scheme
from cardref.model.sticker import Sticker
from cardref.model.wave import Wave
from cardref.notation.edtf import Date
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _dated(corpus: Corpus) -> Iterator[tuple[Entry, Pointer, tuple[str, ...], Date]]:
    """What is dated, with the makers to whom it belongs: it must fit the years of one of them."""
    for entry, wave in corpus.records("wave", Wave):
        if wave.date is not None:
            yield entry, ("date",), (wave.maker,), wave.date
    for entry, back in corpus.records("back", Back):
        if back.released is not None:
            yield entry, ("released",), (f"maker/{back.maker}",), back.released
    for entry, card in corpus.records("card", Card):
        if card.released is not None:
            yield entry, ("released",), (f"maker/{card.maker}",), card.released
            for role, maker in card.roles.items():
                yield entry, ("roles", role.value), (maker,), card.released
    for entry, scheme in corpus.records("scheme", Scheme):
        if scheme.valid is not None:
            yield entry, ("valid",), scheme.makers, scheme.valid
    for entry, sticker in corpus.records("sticker", Sticker):
        if sticker.released is not None and sticker.by:
            yield entry, ("released",), sticker.by, sticker.released


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    makers = index.makers
    clashes: list[tuple[str, tuple[Entry, Pointer, Date]]] = []
    checked: Counter[str] = Counter()
    for entry, pointer, of, date in _dated(corpus):
        held = held_makers(index, of)
        checked.update(held)
        # A role's maker is held against the same date as the card's own, which comes first.
        told = doubt.get(entry.id)
        if told == "outside-maker" if pointer[0] != "roles" else not told and _outside(corpus, date, held):
            clashes += [(maker, (entry, pointer, date)) for maker in held[:1]]
    for shared in by_shared(clashes, checked, ENOUGH):
        maker, active = called(index, shared.key), makers[shared.key].active
        if shared.at_fault and shared.key in corpus.by_id:
            entry, _, date = shared.items[0]
            yield Hit(
                corpus.by_id[shared.key],
                f"{maker} was active {active}, but {count_of(len(shared.items), 'date')} of what it made or "
                f"sold lie outside, {called(index, entry.id)} with {date} first: correct when it was active",
                ("active",),
                value=str(active),
                also=sides(corpus, (one.id for one, _, _ in shared.items), f"outside {active}"),
            )
            continue
        for entry, pointer, date in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} is dated {date}, but {maker} was active {active}: correct the "
                "date, or name who made or sold it then",
                pointer,
                value=str(date),
                also=side(corpus, shared.key, f"active {active}", "active"),
            )


def _outside(corpus: Corpus, date: Date, makers: tuple[str, ...]) -> bool:
    return any(outside(date, corpus.index.makers[maker].active) for maker in makers)


def _more(year: int) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-001
          released: "{year}"
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="outside-maker",
    family="time",
    severity=Severity.ERROR,
    summary="Something is dated outside the years in which its maker was active.",
    rationale=(
        "A firm that did not exist yet, or no longer, made and sold nothing. A card dated so is either "
        "another firm's or of another year, and both change what it is."
    ),
    check=_check,
    good=cards(_more(1982)),
    bad=cards(_more(1986), CARD, "released"),
)
