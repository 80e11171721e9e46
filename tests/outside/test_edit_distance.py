"""Edit distances against the published example and a second implementation."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA, DamerauLevenshtein, Levenshtein

from cardref.notation.nearest import Columns, distance, weight

words = st.text("ABC12ø", max_size=9)


def test_the_published_example() -> None:
    """CA to ABC: 2 unrestricted (leave A where it is, put B between), 3 restricted.

    The usual example that tells the two apart; the unrestricted algorithm is Lowrance and Wagner's (J. ACM
    22:177, 1975). The figures are from memory, and the second implementation below agrees.
    """
    assert (distance("CA", "ABC"), distance("CA", "ABC", restricted=True)) == (2, 3)
    assert (DamerauLevenshtein.distance("CA", "ABC"), OSA.distance("CA", "ABC")) == (2, 3)


@pytest.mark.parametrize(("one", "two", "steps"), [("kitten", "sitting", 3), ("saturday", "sunday", 3)])
def test_two_textbook_pairs(one: str, two: str, steps: int) -> None:
    """The two pairs that most textbooks print for Levenshtein's distance; no swap helps there."""
    assert (
        distance(one, two) == distance(one, two, restricted=True) == Levenshtein.distance(one, two) == steps
    )


@given(words, words)
def test_unrestricted_equals_rapidfuzz(one: str, two: str) -> None:
    """The unrestricted form equals rapidfuzz's DamerauLevenshtein."""
    assert distance(one, two) == DamerauLevenshtein.distance(one, two)


@given(words, words)
def test_restricted_equals_rapidfuzz(one: str, two: str) -> None:
    """The restricted form equals rapidfuzz's OSA."""
    assert distance(one, two, restricted=True) == OSA.distance(one, two)


@given(st.lists(words, max_size=12), words, st.integers(0, 3))
def test_all_words_at_once_equals_rapidfuzz_one_by_one(known: list[str], word: str, most: int) -> None:
    """The words found at most so many mistakes away are those that rapidfuzz's OSA finds there."""
    near = [index for index, other in enumerate(known) if OSA.distance(other, word) <= most]
    assert Columns(known).near(word, most) == near


def test_words_that_are_near_each_other_are_found_as_rapidfuzz_finds_them() -> None:
    """Words that a few slips made of one word, two signs exchanged at every place among them.

    Words drawn by chance are hardly ever near each other.
    """
    rng = random.Random(7)
    for _ in range(60):
        word = "".join(rng.choices("ABC12", k=rng.randrange(2, 8)))
        known = [word[:at] + word[at + 1] + word[at] + word[at + 2 :] for at in range(len(word) - 1)]
        for _ in range(30):
            other = rng.choice([word, *known])
            at = rng.randrange(len(other) + 1)
            known.append(other[:at] + rng.choice(["", "A", "B", "1"]) + other[at + rng.randrange(2) :])
        for most in (1, 2):
            near = [index for index, other in enumerate(known) if OSA.distance(other, word) <= most]
            assert Columns(known).near(word, most) == near


def test_weight_is_the_distance_where_nothing_looks_alike() -> None:
    """With signs of which none looks like another, a weight is built of the same mistakes.

    A changed sign costs 120 there and everything else 100, so the weight lies between 100 and 120 times
    rapidfuzz's distance.
    """
    rng = random.Random(3)
    for _ in range(2000):
        one, two = ("".join(rng.choices("A3XW", k=rng.randrange(7))) for _ in range(2))
        steps = DamerauLevenshtein.distance(one, two)
        assert 100 * steps <= weight(one, two) <= 120 * steps
