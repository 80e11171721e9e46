"""Prices: exact, one canonical form, never two currencies in one sum; what was meant is told, not assumed."""

import copy
import pickle
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.money import CURRENT, WITHDRAWN, Money, probable, shown, totals

codes = st.sampled_from(sorted(CURRENT | WITHDRAWN))
amounts = st.integers(0, 10**16 - 1).map(lambda number: Decimal(number) / 10_000)
prices = st.builds(Money, amounts, codes)


@given(prices)
def test_what_is_written_reads_back(price: Money) -> None:
    """Canonical text and parse are inverse."""
    assert Money.parse(str(price)) == price
    assert str(Money.parse(str(price))) == str(price)


@given(prices)
def test_copies_are_equal(price: Money) -> None:
    """Pickling and copying keep the price and its hash."""
    pickled = pickle.loads(pickle.dumps(price))  # noqa: S301 - our own bytes
    for twin in (pickled, copy.copy(price), copy.deepcopy(price)):
        assert (twin, hash(twin), str(twin)) == (price, hash(price), str(price))


@given(st.text(max_size=80) | st.from_regex(r"[0-9.,' ]{1,12} ?[A-Za-z€$]{0,4}", fullmatch=True))
def test_any_text_is_read_or_refused(text: str) -> None:
    """A text is a price or refused, is_valid says the same, and what was meant is always a price."""
    if Money.is_valid(text):
        assert Money.parse(text).currency == text[-3:]
    else:
        with pytest.raises(NotationError) as caught:
            Money.parse(text)
        assert all(map(Money.is_valid, caught.value.suggestions))
    assert all(map(Money.is_valid, probable(text)))


@given(st.builds(Money, st.integers(0, 10**12 - 1).map(lambda cents: Decimal(cents) / 100), codes))
def test_a_comma_for_the_point_is_told_with_the_point(price: Money) -> None:
    """An amount with a comma before two decimals is refused, and the same price with a point proposed."""
    text = f"{price.amount:.2f} {price.currency}".replace(".", ",")
    with pytest.raises(NotationError) as caught:
        Money.parse(text)
    assert caught.value.problem == "a comma in an amount"
    assert caught.value.suggestions == (text.replace(",", "."),)


@given(st.lists(prices, max_size=8))
def test_a_sum_has_one_currency(many: list[Money]) -> None:
    """Each sum is of its own currency alone, and exact."""
    sums = totals(many)
    assert sums.keys() == {price.currency for price in many}
    for code, amount in sums.items():
        assert amount == sum(price.amount for price in many if price.currency == code)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("12,50 EUR", ("12.50 EUR",)),
        ("1.234,56 EUR", ("1234.56 EUR",)),
        ("1,234.56 EUR", ("1234.56 EUR",)),
        ("1 234,5 NOK", ("1234.5 NOK",)),
        ("1,234 EUR", ("1.234 EUR", "1234 EUR")),
        ("12.50EUR", ("12.50 EUR",)),
        ("EUR 12.50", ("12.50 EUR",)),
        ("€12.50", ("12.50 EUR",)),
        ("$12", ("12 USD", "12 CAD", "12 AUD")),
        ("12.50 EURO", ("12.50 EUR",)),
        ("12.50 eur", ("12.50 EUR",)),
        ("007 EUR", ("7 EUR",)),
        ("12.50", ()),
        ("12.50 XYZW", ()),
        ("12.5.3 EUR", ()),
        ("-5 EUR", ()),
        ("about 5 EUR", ()),
    ],
)
def test_what_was_probably_meant(text: str, meant: tuple[str, ...]) -> None:
    """Usual ways of writing a price lead to the proper one, to several where nobody can tell, or to none."""
    assert probable(text) == meant
    assert not Money.is_valid(text)


@pytest.mark.parametrize(
    ("text", "at_fault"),
    [("12.50 EURO", "EURO"), ("12.50 XYZ", "XYZ"), ("12,50 EUR", ","), ("$12", "$"), ("12.50", "")],
)
def test_the_fault_is_pointed_at(text: str, at_fault: str) -> None:
    """The error's span is what is wrong: currency, comma, sign, or the end where one is missing."""
    with pytest.raises(NotationError) as caught:
        Money.parse(text)
    start, end = caught.value.span
    assert text[start:end] == at_fault


@pytest.mark.parametrize(
    "amount", [Decimal(-1), Decimal("NaN"), Decimal("Infinity"), 10**12, Decimal("0.00001")]
)
def test_no_amount_that_nobody_pays(amount: Decimal | int) -> None:
    """Negative, endless, huge and too finely written amounts are refused."""
    with pytest.raises(NotationError):
        Money(amount, "EUR")


def test_an_amount_is_exact() -> None:
    """A float is not what was written, and is refused; decimals are kept to the last place."""
    with pytest.raises(TypeError):
        Money(12.5, "EUR")  # type: ignore[arg-type] # the claim is that it is refused
    assert shown(Money.parse("0.1 EUR").amount + Money.parse("0.2 EUR").amount) == "0.30"
