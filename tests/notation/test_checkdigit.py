"""Check digits catch what they promise to catch, and refuse what is no number."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.checkdigit import ALGORITHMS

digits = st.text("0123456789", min_size=1, max_size=30)
names = st.sampled_from(sorted(ALGORITHMS))


@given(names, digits, st.data())
def test_one_wrong_digit_always_shows(name: str, payload: str, data: st.DataObject) -> None:
    """Changing one digit of the number changes its check digit, whichever way it is worked out."""
    at = data.draw(st.integers(0, len(payload) - 1))
    other = data.draw(st.sampled_from("0123456789"))
    assume(other != payload[at])
    changed = payload[:at] + other + payload[at + 1 :]
    assert ALGORITHMS[name](changed) != ALGORITHMS[name](payload)


def unseen_swaps(name: str) -> list[tuple[int, int]]:
    """The pairs of unequal neighbours, in all numbers of three digits, whose swap changes nothing."""
    check = ALGORITHMS[name]
    found = []
    for number in range(1000):
        for at in (0, 1):
            text = f"{number:03}"
            one, two = text[at], text[at + 1]
            if one < two and check(text) == check(text[:at] + two + one + text[at + 2 :]):
                found.append((int(one), int(two)))
    return found


def test_luhn_misses_only_swaps_of_0_and_9() -> None:
    """What the module says of Luhn and swapped neighbours."""
    assert set(unseen_swaps("luhn")) == {(0, 9)}


def test_gtin_misses_only_swaps_of_digits_that_differ_by_5() -> None:
    """What the module says of GTIN and swapped neighbours."""
    assert {two - one for one, two in unseen_swaps("gtin")} == {5}


def test_mod_11_10_misses_one_swap_in_forty_five() -> None:
    """What the module says of MOD 11,10 and swapped neighbours: 45 pairs, 2 places, 10 other digits."""
    assert len(unseen_swaps("mod11-10")) * 45 == 45 * 2 * 10


@pytest.mark.parametrize("name", sorted(ALGORITHMS))
@pytest.mark.parametrize(
    "text", ["", "12a", "-1", "1 2", "12.", "１２", "٣", "1\n", "\ud800", "1" * 5000 + "x"]
)
def test_what_is_no_number_is_refused_at_the_sign(name: str, text: str) -> None:
    """Anything but the digits 0 to 9 is refused, and the span is at the first such sign."""
    with pytest.raises(NotationError) as caught:
        ALGORITHMS[name](text)
    start, end = caught.value.span
    assert text[:start].isascii()
    assert text[:start].isdigit() or start == 0
    assert not (text[start:end].isascii() and text[start:end].isdigit())


@pytest.mark.parametrize("name", sorted(ALGORITHMS))
@pytest.mark.parametrize("thing", [None, 12, 1.5, b"12", ["1", "2"], ("1",), {"1": 1}, {1}, object()])
def test_what_is_no_string_is_a_type_error(name: str, thing: object) -> None:
    """A number that is not written down is a misuse, not a slip."""
    with pytest.raises(TypeError):
        ALGORITHMS[name](thing)  # type: ignore[arg-type]  # the misuse that is tested
