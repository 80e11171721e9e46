"""Texts as people compare them."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.notation.folding import fold, fold_letters

SCRIPTS = st.text(st.characters(categories=["L", "M", "N", "P", "S", "Z"]), max_size=30)


@given(SCRIPTS)
def test_folding_twice_is_folding_once(text: str) -> None:
    """What is folded compares equal to itself, whatever was folded."""
    assert fold_letters(fold_letters(text)) == fold_letters(text)
    assert fold(fold(text)) == fold(text)


@given(st.text(st.characters(codec="latin-1", categories=["L", "N", "Zs"]), max_size=30))
def test_case_and_composition_do_not_count(text: str) -> None:
    """Capitals, and accents written as signs of their own, make no other name."""
    for other in (text.upper(), text.lower(), *(unicodedata.normalize(f, text) for f in ("NFC", "NFD"))):
        assert fold(other) == fold(text)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Øyvokter", "oyvokter"), ("ŁUBRZYŃ", "lubrzyn"), ("Æsa", "aesa"), ("STRAẞE", "strasse"),
        ("Λυχνοδύτης", "ΛΥΧΝΟΔΥΤΗΣ"), ("Quay&Marl", "quay and marl"), (" a\u00a0 b\t", "A B"),
        ("Ｌａｍｐ", "lamp"), ("ISTANBUL", "ıstanbul"),
    ],
)  # fmt: skip
def test_one_name_in_two_writings(one: str, other: str) -> None:
    """Letters that people type in each other's place, wide signs and spaces are one name."""
    assert fold(one) == fold(other)


@pytest.mark.parametrize(
    ("one", "other"), [("कुल", "कल"), ("Ада", "Ada"), ("Lamp-Diver", "Lamp Diver"), ("9", "6")]
)
def test_other_names_stay_apart(one: str, other: str) -> None:
    """A vowel sign of Devanagari, another script, a hyphen or a digit is another name."""
    assert fold(one) != fold(other)
