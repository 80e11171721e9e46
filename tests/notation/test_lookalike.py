"""Signs that are taken for one another."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.notation.lookalike import as_digit, as_letter, ascii_sign, confusion

PAIRS = [("O", "0"), ("I", "1"), ("S", "5"), ("B", "8"), ("Z", "2"), ("G", "6")]
every_sign = st.characters()


@pytest.mark.parametrize(("letter", "digit"), PAIRS)
def test_each_pair_is_read_both_ways_and_cheap(letter: str, digit: str) -> None:
    """O/0, I/1, S/5, B/8, Z/2 and G/6: one is read as the other, and confusing them costs least."""
    assert (as_digit(letter), as_digit(letter.lower()), as_letter(digit)) == (digit, digit, letter)
    assert confusion(letter, digit) == confusion(digit, letter) == 20
    assert confusion("l", "1") == confusion("l", "I") == 20


def test_a_small_l_is_a_one() -> None:
    """A small l is read as 1, a capital L is not."""
    assert (as_digit("l"), as_digit("L")) == ("1", "L")


def test_every_decimal_digit_of_unicode_is_read() -> None:
    """Each of the several hundred decimal digits, of whatever script, is its ASCII digit."""
    digits = [chr(point) for point in range(0x110000) if unicodedata.category(chr(point)) == "Nd"]
    assert len(digits) > 600
    assert all(ascii_sign(sign) == str(unicodedata.decimal(sign)) for sign in digits)


def test_every_dash_of_unicode_is_read() -> None:
    """Everything that Unicode calls dash punctuation, and the minus signs, is a hyphen-minus."""
    dashes = [chr(point) for point in range(0x110000) if unicodedata.category(chr(point)) == "Pd"]
    assert len(dashes) > 20
    assert all(ascii_sign(sign) == "-" for sign in (*dashes, "−", "➖"))


def test_every_full_width_sign_is_read() -> None:
    """Each full-width form is the ASCII sign that it is the wide form of."""
    for point in range(0x21, 0x7F):
        assert ascii_sign(chr(point + 0xFEE0)) == chr(point)


@given(every_sign)
def test_one_sign_stays_one_sign(sign: str) -> None:
    """Reading a sign gives one sign, which is read as itself: columns do not move."""
    plain = ascii_sign(sign)
    assert len(plain) == 1
    assert ascii_sign(plain) == plain


@given(every_sign, every_sign)
def test_confusion_is_mutual_and_nothing_only_for_the_same(one: str, two: str) -> None:
    """Taking one sign for another costs as much as the other way round, and never more than 120."""
    assert confusion(one, two) == confusion(two, one) <= 120
    assert (confusion(one, two) == 0) == (one == two)
