"""Two collections beside each other: my duplicates against their wants, and the reverse.

What can be given is what is marked for trade, and what is double. Whether it is what the other wants is yes,
no, or unknown where too little is written down of it.

>>> from cardref.reference import load
>>> from cardref.model.specimen import Specimen, Want
>>> from cardref.specimens.collection import Collection, Held
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> one = Specimen(id="7", card="tidewrack/quay-marl/c-0213", trade=True)
>>> want = Want(id="w", figure="tidewrack/figure/lamp-diver")
>>> mine = Collection((Held(one, placed(index, one)),))
>>> theirs = Collection((), (Held(want, placed(index, want)),))
>>> offer, = match(mine, theirs).give
>>> [held.record.id for held in offer.sure], offer.want.record.id
(['7'], 'w')
"""

from collections import Counter
from collections.abc import Iterator
from typing import Any

from attrs import frozen

from cardref.facts.called import listed
from cardref.facts.condition import hurting
from cardref.index import Index
from cardref.model.specimen import Specimen, Want
from cardref.schema.pieces import TEXT, TEXTS, answer_schema, exactly, list_of
from cardref.specimens.collection import Collection, Held
from cardref.specimens.telling import on_back, wanted
from cardref.specimens.wanting import Wanted, want_met
from cardref.text import clip, count_of

__all__ = ["Match", "Offer", "as_json", "as_text", "match", "rows_of", "schema", "to_spare"]


@frozen
class Offer:
    """What one side has for a want of the other.

    Attributes:
        want: the want.
        sure: specimens that are what is wanted.
        perhaps: specimens of which too little is written down to tell.
    """

    want: Held[Want]
    sure: tuple[Held[Specimen], ...]
    perhaps: tuple[Held[Specimen], ...]


@frozen
class Match:
    """What could change hands.

    Attributes:
        give: for each of their wants that I have something for.
        get: for each of my wants that they have something for.
    """

    give: tuple[Offer, ...]
    get: tuple[Offer, ...]


def to_spare(mine: Collection) -> tuple[Held[Specimen], ...]:
    """What can be given: what is marked for trade, and all of several alike of which one is to spare.

    Which of several alike is given is for their owner to say.
    """
    alike = Counter((held.where.card, *held.where.pair) for held in mine.owned if all(held.where.pair))
    return tuple(
        held for held in mine.owned if held.record.trade or alike[held.where.card, *held.where.pair] > 1
    )


def match(mine: Collection, theirs: Collection) -> Match:
    """My duplicates against their wants, and the reverse."""
    return Match(tuple(_offers(theirs, to_spare(mine))), tuple(_offers(mine, to_spare(theirs))))


def _offers(wanting: Collection, spare: tuple[Held[Specimen], ...]) -> Iterator[Offer]:
    for want in wanting.wants:
        fits = [(held, want_met(want, held)) for held in spare]
        sure = tuple(held for held, fit in fits if fit)
        perhaps = tuple(held for held, fit in fits if fit is None)
        if sure or perhaps:
            yield Offer(want, sure, perhaps)


# --- text and rows ---------------------------------------------------------------------------------------


def as_text(index: Index, found: Match) -> Iterator[str]:
    """The match as lines, safe to print."""
    for title, nothing, offers in (
        ("you can give", "nothing that you have to spare is on their list", found.give),
        ("you can get", "nothing that they have to spare is on your list", found.get),
    ):
        sure = sum(bool(offer.sure) for offer in offers)
        perhaps = len(offers) - sure
        if not offers:
            yield nothing
            continue
        yield f"{title}: {count_of(sure, 'want')} met{f', {perhaps} more perhaps' if perhaps else ''}"
        for offer in offers:
            yield f"  {clip(offer.want.record.id, 40)}: {wanted(index, Wanted(offer.want))}"
            for held in offer.sure:
                yield f"    {_told(index, held)}"
            for held in offer.perhaps:
                yield f"    perhaps {_told(index, held)}: look which it is"


def _told(index: Index, held: Held[Specimen]) -> str:
    """A specimen in a line: what it is, and what hurts."""
    where, record = held.where, held.record
    words = [f"{clip(record.id, 40)}, {on_back(index, where.figure, where.back)}"]
    if record.condition is not None:
        hurts = [f"{part.title} {word.replace('-', ' ')}" for part, word in hurting(record.condition)]
        words.append(listed(hurts) if hurts else "nothing that hurts is told")
    if record.trade:
        words.append("for trade")
    return "; ".join(words)


def rows_of(index: Index, found: Match) -> Iterator[tuple[str, ...]]:
    """The match as rows of a table, its head first."""
    yield "direction", "want", "specimen", "sure", "figure", "back", "for trade"
    for direction, offers in (("give", found.give), ("get", found.get)):
        for offer in offers:
            for sure, several in (("yes", offer.sure), ("perhaps", offer.perhaps)):
                for held in several:
                    back = index.backs.get(held.where.back)
                    yield (
                        direction,
                        offer.want.record.id,
                        held.record.id,
                        sure,
                        held.where.figure,
                        back.label if back is not None else "",
                        "yes" if held.record.trade else "",
                    )


# --- JSON ------------------------------------------------------------------------------------------------


def as_json(found: Match) -> dict[str, Any]:
    """The match as plain values."""
    return {
        direction: [
            {
                "want": offer.want.record.id,
                "sure": [held.record.id for held in offer.sure],
                "perhaps": [held.record.id for held in offer.perhaps],
            }
            for offer in offers
        ]
        for direction, offers in (("give", found.give), ("get", found.get))
    }


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref own match --format json`` prints."""
    offers = list_of(exactly(want=TEXT, sure=TEXTS, perhaps=TEXTS))
    found = exactly(give=offers, get=offers)
    return answer_schema("own-match", "cardref own match MINE THEIRS --format json", match=found)
