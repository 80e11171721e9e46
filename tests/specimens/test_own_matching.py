"""Two collections: what one has to spare and the other wants, both ways, with doubt told as doubt."""

import random

import pytest

from cardref.model.specimen import Specimen, Status, Want
from cardref.specimens.matching import as_json, as_text, match, rows_of, to_spare
from cardref.specimens.wanting import want_met
from tests.specimens.made import CARD, FIGURE, collected, index


@pytest.mark.parametrize("seed", range(4))
def test_every_offer_is_a_spare_that_meets_a_want(seed: int) -> None:
    """By brute force over all pairs of wants and specimens, in both directions."""
    rnd = random.Random(seed)
    cards = [card.id for card in list(index().cards.values())[:25]]
    sides = [
        collected(
            *(Specimen(id=f"s{n}", card=rnd.choice(cards), trade=rnd.random() < 0.2) for n in range(30)),
            *(Want(id=f"w{n}", card=rnd.choice(cards)) for n in range(6)),
        )
        for _ in range(2)
    ]
    found = match(*sides)
    for offers, having, wanting in ((found.give, sides[0], sides[1]), (found.get, sides[1], sides[0])):
        spare = [
            held
            for held in having.owned
            if held.record.trade or sum(other.record.card == held.record.card for other in having.owned) > 1
        ]
        assert list(to_spare(having)) == spare
        expected = {
            (want.record.id, held.record.id)
            for want in wanting.wants
            for held in spare
            if want_met(want, held)
        }
        assert {(offer.want.record.id, held.record.id) for offer in offers for held in offer.sure} == expected


def test_the_one_and_only_is_not_given_away() -> None:
    """A specimen that is neither double nor marked for trade is no offer, nor is one that is gone."""
    mine = collected(Specimen(id="1", card=CARD), Specimen(id="2", card=CARD, status=Status.GONE, trade=True))
    theirs = collected(Want(id="w", figure=FIGURE))
    assert match(mine, theirs).give == ()


def test_doubt_is_told() -> None:
    """A spare of which the back is not known may be what is wanted: perhaps, and never a yes."""
    mine = collected(Specimen(id="1", figure=FIGURE, trade=True))
    theirs = collected(Want(id="w", card=CARD))
    (offer,) = match(mine, theirs).give
    assert (offer.sure, [held.record.id for held in offer.perhaps]) == ((), ["1"])
    assert "perhaps 1, Lamp Diver" in "\n".join(as_text(index(), match(mine, theirs)))


def test_nothing_to_swap_is_said() -> None:
    """Two empty collections have an answer in every form."""
    found = match(collected(), collected())
    assert list(as_text(index(), found)) == [
        "nothing that you have to spare is on their list",
        "nothing that they have to spare is on your list",
    ]
    assert as_json(found) == {"give": [], "get": []}
    assert len(list(rows_of(index(), found))) == 1


def test_wants_that_are_met_and_those_that_may_be_are_counted_apart() -> None:
    """Three offers, one of them sure: one want met, two more perhaps."""
    mine = collected(Specimen(id="1", figure=FIGURE, trade=True), Specimen(id="2", card=CARD, trade=True))
    others = [card.id for card in index().cards_of(FIGURE) if card.id != CARD][:2]
    theirs = collected(Want(id="w", card=CARD), *(Want(id=f"v{n}", card=one) for n, one in enumerate(others)))
    assert next(as_text(index(), match(mine, theirs))) == "you can give: 1 want met, 2 more perhaps"
