"""What a collection comes to: counted again the plain way, and never more than is known."""

import random
from decimal import Decimal
from itertools import pairwise

import pytest

from cardref.facts.printings import printed_before
from cardref.model.condition import ConditionReport
from cardref.model.evidence import Standing
from cardref.model.specimen import Sale, Specimen, Status, Want
from cardref.notation.edtf import Date
from cardref.notation.money import Money
from cardref.specimens.holdings import GROUPS, holdings, recorded_pairs
from cardref.specimens.telling import _MOST, as_json, as_text, rows_of, table
from cardref.specimens.wanting import want_met
from tests.specimens.made import BACK, CARD, FIGURE, collected, index


def _some(seed: int, number: int = 60) -> list[Specimen]:
    rnd = random.Random(seed)
    cards = [card.id for card in index().cards.values()]
    made = []
    for at in range(number):
        card = rnd.choice(cards[:200] if at % 3 else cards)
        prices = [None, Money(rnd.randint(1, 90), rnd.choice(["EUR", "GBP"]))]
        made.append(
            Specimen(
                id=f"s-{at}",
                card=card,
                status=rnd.choice([Status.OWNED] * 5 + list(Status)),
                price=rnd.choice(prices),
            )
        )
    return made


@pytest.mark.parametrize("seed", range(4))
def test_have_missing_and_double_are_what_sets_say(seed: int) -> None:
    """Of every group: what is had, what there is, what is missing and what is double, by plain sets."""
    some = _some(seed)
    owned = [one for one in some if one.status is Status.OWNED]
    found = holdings(index(), collected(*some))
    pairs = {(index().faces[c.face].figure, c.back) for c in (index().cards[one.card] for one in owned)}
    universe = set(recorded_pairs(index()))
    for group in found.groups("line"):
        here = {pair for pair in universe if pair[1].startswith(f"{group.id}/")}
        assert (group.pairs.have, group.pairs.of) == (len(pairs & here), len(here))
        figures = {figure for figure, _ in here}
        has = {figure for figure, back in pairs if back.startswith(f"{group.id}/")}
        assert set(group.missing) == figures - has
        assert (group.figures.have, group.figures.of) == (len(figures & has), len(figures))
    cards = [one.card for one in owned]
    assert sum(double.spare for double in found.doubles) == len(cards) - len(set(cards))
    assert sum(group.specimens for group in found.groups("maker")) == len(owned)
    for kind in ("line", "maker", "figure", "series"):
        assert sum(group.double for group in found.groups(kind)) == len(cards) - len(set(cards))


@pytest.mark.parametrize("seed", range(3))
def test_what_was_spent_is_never_added_across_currencies(seed: int) -> None:
    """Each sum is of one currency, of what is owned or gone; what is only seen or offered cost nothing."""
    some = _some(seed)
    found = holdings(index(), collected(*some))
    for code in ("EUR", "GBP"):
        paid = [
            one.price.amount
            for one in some
            if one.price and one.price.currency == code and one.status in (Status.OWNED, Status.GONE)
        ]
        assert found.spent.get(code, Decimal(0)) == sum(paid)
    assert found.priced + found.unpriced == sum(one.status in (Status.OWNED, Status.GONE) for one in some)


@pytest.mark.parametrize("seed", range(3))
def test_my_earliest_back_has_nothing_of_mine_before_it(seed: int) -> None:
    """No owned back of the figure is surely before it; what is called earlier is recorded and is so."""
    some = [one for one in _some(seed) if one.status is Status.OWNED]
    mine: dict[tuple[str, str], set[str]] = {}
    for one in some:
        card = index().cards[one.card]
        mine.setdefault((index().faces[card.face].figure, f"maker/{card.back.split('/')[1]}"), set()).add(
            card.back
        )
    for first in holdings(index(), collected(*some)).earliest:
        own = mine[first.figure, first.maker]
        assert first.back in own
        assert all(
            printed_before(index(), other, first.back).verdict != "yes" for other in own - {first.back}
        )
        for other in first.earlier:
            assert (first.figure, other) in recorded_pairs(index())
            assert printed_before(index(), other, first.back).verdict == "yes"
        for other in first.perhaps:
            assert printed_before(index(), other, first.back).verdict == "unknown"
        assert own.isdisjoint(first.earlier + first.perhaps)


def test_what_is_refuted_or_was_never_sold_is_not_missed() -> None:
    """Only cards that were sold, and are not refuted, are asked for."""
    for cards in recorded_pairs(index()).values():
        for card in map(index().cards.__getitem__, cards):
            assert card.standing is not Standing.REFUTED
            assert card.made.value == "production"


def test_a_retired_id_still_counts() -> None:
    """A specimen recorded under a retired id is counted where it is today; one that was split stays open."""
    merged = Specimen(id="1", figure=FIGURE, back="tidewrack/quay-marl/b-015")
    mine = collected(merged)
    assert mine.specimens[0].where.back == "tidewrack/quay-marl/b-011"
    split = collected(Specimen(id="2", card="tidewrack/quay-marl/c-0201")).specimens[0]
    assert split.where.cards == ("tidewrack/quay-marl/c-0200", "tidewrack/quay-marl/c-0202")
    assert split.where.card == ""


def test_sales_are_listed_and_no_value_is_made_of_them() -> None:
    """Sales stand one by one, by date, with how many there are; no mean, range or sum of prices appears."""
    sales = [
        Sale(id=f"v-{n}", card=CARD, date=Date.parse(day), price=Money(amount, "EUR"))
        for n, (day, amount) in enumerate([("2025", 30), ("2023-05", 10), ("2024", 21)])
    ]
    found = holdings(index(), collected(*sales))
    (group,) = found.sales
    assert [str(sale.date) for sale in group.sales] == ["2023-05", "2024", "2025"]
    text = "\n".join(as_text(index(), found))
    assert "3 sales, 2023-05 to 2025" in text
    assert not {"20", "20.33", "61", "20 EUR"} & set(text.replace(",", " ").split())
    assert set(as_json(found)["sales"][0]) == {"card", "figure", "back", "sales"}


@pytest.mark.parametrize(
    ("want", "specimen", "met"),
    [
        (Want(id="w", card=CARD), Specimen(id="1", card=CARD), True),
        (Want(id="w", card=CARD), Specimen(id="1", figure=FIGURE, back=BACK), True),
        (Want(id="w", card=CARD), Specimen(id="1", figure=FIGURE), None),
        (Want(id="w", card=CARD), Specimen(id="1", back=BACK), None),
        (Want(id="w", card=CARD), Specimen(id="1", card="tidewrack/quay-marl/c-0214"), False),
        (Want(id="w", card="tidewrack/quay-marl/c-9999"), Specimen(id="1", card=CARD), False),
        (Want(id="w", figure=FIGURE), Specimen(id="1", card=CARD), True),
        (Want(id="w", figure=FIGURE, maker="maker/quay-marl"), Specimen(id="1", figure=FIGURE), None),
        (Want(id="w", figure=FIGURE, maker="quay-marl"), Specimen(id="1", card=CARD), True),
        (Want(id="w", figure=FIGURE, maker="maker/fjellvik"), Specimen(id="1", card=CARD), False),
        (Want(id="w", back=BACK), Specimen(id="1", card=CARD), True),
        (Want(id="w", back=BACK), Specimen(id="1", figure=FIGURE), None),
        (Want(id="w", figure=FIGURE), Specimen(id="1", note="?"), None),
        (Want(id="w"), Specimen(id="1", card=CARD), False),
    ],
)
def test_a_want_is_met_surely_perhaps_or_not(want: Want, specimen: Specimen, met: bool | None) -> None:
    """Doubt about a specimen is told as doubt, and never as a yes or a no."""
    mine = collected(want, specimen)
    assert want_met(mine.wants[0], mine.specimens[0]) is met


def test_condition_is_summed_up_part_by_part() -> None:
    """Each state of a part is counted; who says nothing of a part is told apart."""
    some = [
        Specimen(id=str(at), card=CARD, condition=ConditionReport(bubble=state))
        for at, state in enumerate(["whole", "dented", "whole", "not-seen", ""])
    ]
    (part,) = holdings(index(), collected(*some)).condition
    assert (part.part, dict(part.states), part.untold) == ("bubble", {"whole": 2, "dented": 1}, 2)


def test_nothing_is_owned() -> None:
    """An empty collection has an answer in every form."""
    found = holdings(index(), collected())
    assert next(iter(as_text(index(), found))) == "0 specimens"
    assert len(list(rows_of(index(), found))) == 1
    assert as_json(found)["groups"] == []


@pytest.mark.parametrize("by", GROUPS)
def test_every_grouping_has_its_table(by: str) -> None:
    """Text and rows of each grouping name every group, in the order of the reference."""
    found = holdings(index(), collected(*_some(7)))
    rows = list(rows_of(index(), found, by))[1:]
    assert [row[1] for row in rows] == [group.id for group in found.groups(by)]
    text = "\n".join(as_text(index(), found, by))
    assert all(group.name[:25] in text for group in found.groups(by))
    order = list(index().tables[by])
    assert all(order.index(one.id) < order.index(two.id) for one, two in pairwise(found.groups(by)))


def test_text_of_a_user_cannot_command_a_terminal() -> None:
    """Control signs in ids, places and words of condition are shown as escapes."""
    sale = Sale(
        id="v",
        card=CARD,
        date=Date.parse("2024"),
        price=Money(1, "EUR"),
        where="\x1b[2Ja",
        condition=("\u202eb",),
    )
    text = "\n".join(as_text(index(), holdings(index(), collected(sale))))
    assert "\x1b" not in text
    assert "\u202e" not in text


@pytest.mark.parametrize(("several", "last"), [(_MOST, False), (_MOST + 1, True)])
def test_what_is_not_shown_of_the_sales_is_counted(several: int, last: bool) -> None:
    """As many cards as are shown end the list; one more is told as one more."""
    cards = list(index().cards)[:several]
    mine = collected(
        *(
            Sale(id=f"v{n}", card=card, date=Date.parse("2024-05"), price=Money(5, "EUR"))
            for n, card in enumerate(cards)
        )
    )
    lines = list(as_text(index(), holdings(index(), mine)))
    assert [line for line in lines if line.startswith("  and ")] == (["  and 1 more"] if last else [])


def test_the_columns_of_a_table_stand_below_each_other() -> None:
    """As wide as the widest cell, also where signs take two places."""
    assert list(table([["a", "b"], ["ccc", "d"], ["\u706f", "e"]])) == ["a    b", "ccc  d", "\u706f   e"]
