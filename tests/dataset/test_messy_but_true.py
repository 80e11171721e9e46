"""Each oddity of the world that is no error occurs in the bundled dataset, recorded as what it is.

These are the cases on which a rule that is too strict would cry wolf. That the whole dataset is clean under
all rules is held elsewhere.
"""

from collections import Counter
from functools import cache
from pathlib import Path

from cardref.facts.pictures import pictured
from cardref.index import Index, from_loaded
from cardref.model.back import Relation
from cardref.model.card import Card, Made
from cardref.model.evidence import Standing
from cardref.model.maker import BackPolicy
from cardref.storage.loader import load_tree

DATASET = Path(__file__).parents[2] / "dataset"


@cache
def index() -> Index:
    """The dataset."""
    return from_loaded(load_tree(DATASET))


def figure_of(card: Card) -> str:
    """The figure on a card."""
    return index().faces[card.face].figure


def test_a_misprint_pictures_a_figure_twice() -> None:
    """One home back of 25 pictures a figure twice and another not at all, and still shows 25 pictures."""
    slips = [back for back in index().backs.values() if back.pictures and back.pictures.slips]
    assert [back.label for back in slips] == ["quay-marl 25E"]
    seen = pictured(index().backs, slips[0])
    assert seen is not None
    assert (len(seen.figures), seen.shown) == (24, 25)


def test_a_back_is_blank() -> None:
    """A back that pictures nothing is a back with the count 0, and figures were sold on it."""
    blank = [back.id for back in index().backs.values() if back.count == 0]
    assert blank
    assert all(index().cards_by_back[full] for full in blank)


def test_a_generic_back_lies_under_figures_it_does_not_show() -> None:
    """Thirty figures were sold on a back that pictures ten."""
    maker = index().makers["maker/sietemares"]
    assert maker.backs is BackPolicy.GENERIC
    waves = index().waves_by_maker["tidewrack", maker.id]
    assert sum(len(wave.debuts) for wave in waves) == 30
    assert {back.count for back in index().backs.values() if back.maker == "sietemares"} == {10}


def test_a_figure_is_sold_on_a_back_where_it_is_still_a_secret() -> None:
    """A card's figure is a silhouette on its own back, and the card says so."""
    cards = [
        card
        for card in index().cards.values()
        if (seen := pictured(index().backs, index().backs[card.back])) and figure_of(card) in seen.silhouettes
    ]
    assert cards
    assert all(card.exception for card in cards)


def test_a_product_number_is_used_twice() -> None:
    """One maker gave its numbers again to other figures."""
    numbers = Counter(
        number
        for number, _ in {
            (face.number, face.figure)
            for face in index().faces.values()
            if face.maker == "lahar" and face.number
        }
    )
    assert max(numbers.values()) == 2


def test_letters_have_gaps_and_leave_the_order_of_printing() -> None:
    """There is no 21F, and 10D is dated before the end of the run that began it."""
    labels = {back.label for back in index().backs.values()}
    assert {"quay-marl 21E", "quay-marl 21G"} <= labels
    assert "quay-marl 21F" not in labels
    found_later = index().backs["tidewrack/quay-marl/b-036"]
    assert found_later.label == "quay-marl 10D"
    assert not found_later.after


def test_another_references_letter_covers_two_of_ours() -> None:
    """What an older reference calls 25C is our 25C and 25D together."""
    theirs = {
        back.label: one.relation
        for back in index().backs.values()
        for one in back.concordance
        if one.reference == "source/skerry-list" and one.designation == "25C" and back.maker == "quay-marl"
    }
    assert theirs == {"quay-marl 25C": Relation.BROADER, "quay-marl 25D": Relation.BROADER}


def test_two_references_disagree() -> None:
    """Both older references speak of one back, and one of them sees there what the other does not."""
    relations = {
        (one.relation, other.relation)
        for back in index().backs.values()
        for one in back.concordance
        for other in back.concordance
        if (one.reference, other.reference) == ("source/skerry-list", "source/tallow-index")
    }
    assert any(one is not other for one, other in relations)


def test_a_code_names_an_older_back() -> None:
    """A front whose code means 21 stands on a back of 25."""
    cards = [
        card
        for card in index().cards.values()
        if any(code.endswith("/022") for code in index().faces[card.face].printed_codes)
        and index().backs[card.back].count == 25
    ]
    assert cards


def test_one_count_in_two_series() -> None:
    """A back of ten pictures exists under two titles."""
    series = {back.series for back in index().backs.values() if back.id.startswith("tidewrack/sietemares")}
    assert len(series) == 2


def test_a_pooled_card_bears_another_sellers_sticker() -> None:
    """A seller outside the pool put its sticker on the pool's card; its country is no more."""
    cards = [card for card in index().cards.values() if "tidewrack/sticker/kvartet-seller" in card.stickers]
    assert cards
    assert all(card.maker == "north-sea-pool" for card in cards)
    assert index().makers["maker/kvartet-lesna"].country == "CSHH"


def test_a_regional_front_stands_on_a_home_back() -> None:
    """Front and back of one card are of two makers."""
    cards = [card for card in index().cards.values() if card.back.split("/")[1] != card.maker]
    assert [(card.maker, index().backs[card.back].label) for card in cards] == [("fjellvik", "quay-marl 21A")]


def test_front_and_back_differ_in_series() -> None:
    """A new front was put on the last back of the year before."""
    pairs = {
        (
            index().faces[card.face].series.rpartition("/")[2],
            index().backs[card.back].series.rpartition("/")[2],
        )
        for card in index().cards.values()
        if card.maker == "quay-marl"
    }
    assert ("saltglass", "tidewrack") in pairs


def test_claimed_totals_differ_from_counts() -> None:
    """The pool's reverse speaks of more figures than it pictures."""
    back = index().backs["tidewrack/north-sea-pool/b-001"]
    assert (back.count, back.claimed) == (15, 24)


def test_two_figures_share_a_name() -> None:
    """A driver and a cart bear one name, on purpose."""
    named = [figure for figure in index().figures.values() if figure.name == "Beetroot Bill"]
    assert len(named) == 2
    assert {named[0].id} == set(named[1].same_name)


def test_a_figure_is_called_otherwise_in_another_series() -> None:
    """The Gale Clerk was renamed for Saltglass, and its faces follow."""
    printed = {
        (face.series.rpartition("/")[2], face.name)
        for face in index().faces.values()
        if face.figure == "tidewrack/figure/gale-clerk" and face.maker == "quay-marl"
    }
    assert printed == {("tidewrack", "Gale Clerk"), ("saltglass", "Storm Clerk")}


def test_proofs_and_announcements_are_kept_apart_from_sales() -> None:
    """Cards that were tried or only announced are recorded as such."""
    assert {card.made for card in index().cards.values()} == set(Made)


def test_every_dispute_has_its_sides() -> None:
    """What is disputed names at least two claims, each with its sources."""
    disputed = [
        record
        for table in (index().backs, index().faces, index().cards)
        for record in table.values()
        if record.standing is Standing.DISPUTED
    ]
    assert len(disputed) >= 5
    assert all(len(record.sides) > 1 and all(side.sources for side in record.sides) for record in disputed)
