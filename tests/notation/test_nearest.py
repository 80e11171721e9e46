"""What was probably meant: distances, and the nearest of many known texts."""

import pickle
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.notation import nearest
from cardref.notation.lookalike import confusion
from cardref.notation.nearest import Neighbours, Suggester, Suggestion, distance, weight

words = st.text("AB0OIlL158S", max_size=7)
CODES = [
    f"{series} {figure}/{back}"
    for series in ("7K", "8A")
    for figure in range(2046, 2446)
    for back in ("028", "031")
]


@given(words, words)
def test_distance_is_mutual_and_nothing_only_for_the_same(one: str, two: str) -> None:
    """Both forms are symmetric, 0 for equal texts only, and the restricted one is never smaller."""
    for restricted in (False, True):
        assert distance(one, two, restricted=restricted) == distance(two, one, restricted=restricted)
        assert (distance(one, two, restricted=restricted) == 0) == (one == two)
    assert distance(one, two) <= distance(one, two, restricted=True)


@given(words, words, words)
def test_the_unrestricted_distance_is_a_metric(one: str, two: str, three: str) -> None:
    """No detour is shorter; this is what the restricted form lacks (CA, AC, ABC)."""
    assert distance(one, three) <= distance(one, two) + distance(two, three)


def test_the_restricted_distance_is_none() -> None:
    """CA to ABC by way of AC costs 2, directly 3."""
    assert distance("CA", "AC", restricted=True) + distance("AC", "ABC", restricted=True) == 2
    assert distance("CA", "ABC", restricted=True) == 3


@given(words, words)
def test_the_short_cuts_change_no_weight(one: str, two: str) -> None:
    """What both texts begin and end with can be left away, and the quick form agrees where it speaks."""
    whole = nearest._unrestricted(one, two, 100, 100, confusion)
    assert weight(one, two) == weight(two, one) == whole
    quick = nearest._near(one, two)
    assert quick == whole if whole <= nearest._NEAR else quick > nearest._NEAR


@pytest.mark.parametrize(
    ("one", "two", "cost"),
    [("", "", 0), ("A", "", 100), ("AB", "BA", 100), ("O", "0", 20), ("O31", "031", 20), ("3", "8", 50),
     ("X", "3", 120), ("k", "K", 10), ("B8", "8B", 40), ("7K2046", "7K246", 100), ("CA", "ABC", 200)],
)  # fmt: skip
def test_weights(one: str, two: str, cost: int) -> None:
    """Lookalikes are cheap, worn print dearer, anything else dearest; case hardly counts."""
    assert weight(one, two) == cost


@given(words, st.data())
def test_neighbours_finds_every_word_one_mistake_away(word: str, data: st.DataObject) -> None:
    """Whatever the one mistake, the index of the other word is among those that are near."""
    at = data.draw(st.integers(0, len(word)))
    sign = data.draw(st.sampled_from("AB0O"))
    others = [word[:at] + sign + word[at:], word[:at] + word[at + 1 :], word[:at] + sign + word[at + 1 :]]
    if at + 1 < len(word):
        others.append(word[:at] + word[at + 1] + word[at] + word[at + 2 :])
    index = Neighbours(["nothing", word])
    assert all(1 in index.near(other) for other in others)
    assert list(index.same(word)) == [1]


def test_the_meant_code_is_found_after_any_one_mistake() -> None:
    """Among 1,600 codes, whatever sign is wrong, missing, added or swapped, the meant one is suggested."""
    known = Suggester(CODES)
    rng = random.Random(7)
    for code in rng.sample(CODES, 150):
        at = rng.choice(
            [at for at, sign in enumerate(code[:-1]) if sign.isalnum() and code[at + 1].isalnum()]
        )
        wrong = rng.choice(
            [
                code[:at] + rng.choice("0123456789ABCXYZ") + code[at + 1 :],
                code[:at] + code[at + 1 :],
                code[:at] + rng.choice("0123456789") + code[at:],
                code[:at] + code[at + 1] + code[at] + code[at + 2 :],
            ]
        )
        found = known.suggest(wrong, most=len(CODES))
        assert code in [each.text for each in found], wrong
        assert list(found) == sorted(found, key=lambda each: each.weight)


@pytest.mark.parametrize("text", ["7K 2O46/O31", "7k2046-03l", "７Ｋ ２０４６/031", "7K.Z046.O3I"])
def test_lookalikes_alone_are_always_first(text: str) -> None:
    """Any number of lookalikes, other separators, small and wide letters: still the code that was meant."""
    assert Suggester(CODES).suggest(text)[0].text == "7K 2046/031"


def test_the_more_easily_confused_comes_first() -> None:
    """3 is taken for 8 more easily than for 4; equally likely ones keep the order given."""
    known = Suggester(["7K 2044/031", "7K 2048/031", "7K 2045/031", "7K 2041/031"])
    assert [each.text[6] for each in known.suggest("7K 2043/031", most=4)] == ["8", "5", "4", "1"]


def test_two_mistakes_are_looked_for_only_when_there_is_no_nearer() -> None:
    """A text two mistakes from any is still answered; one that is farther is not."""
    known = Suggester(["7K 2046/031", "8A 1307/043"])
    assert [each.text for each in known.suggest("7K 2X46/0X1")] == ["7K 2046/031"]
    assert known.suggest("7X 2X46/0X1") == ()


def test_any_two_mistakes_are_found_among_many() -> None:
    """Whatever two signs are wrong, missing or added: the meant code is suggested, if none is nearer."""
    known = Suggester(CODES)
    rng = random.Random(8)
    answered = 0
    for code in rng.sample(CODES, 150):
        wrong = list(code.replace(" ", "").replace("/", ""))
        for at in rng.sample(range(0, 8, 2), 2):
            mistake = rng.choice(["changed", "left out", "added"])
            wrong[at] = {"changed": "X", "left out": "", "added": f"{wrong[at]}X"}[mistake]
        found = known.suggest("".join(wrong), most=len(CODES))
        assert found
        if found[0].weight > nearest._NEAR:
            answered += 1
            assert code in [each.text for each in found], wrong
    assert answered > 30


@pytest.mark.parametrize("text", ["", " ", "///", "x" * 10**6, "é" * 10**6, "\ud800", "\x00"])
def test_nothing_near_is_no_suggestion(text: str) -> None:
    """Texts without signs, too long ones and odd ones have no suggestion, and cost nothing."""
    assert Suggester(CODES).suggest(text) == ()
    assert Suggester([]).suggest(text) == ()


@given(st.text(max_size=15), st.lists(st.text(max_size=6), max_size=4))
def test_suggesting_never_fails(text: str, known: list[str]) -> None:
    """Any text against any known ones gives at most so many of the known ones."""
    found = Suggester(known).suggest(text, most=2)
    assert len(found) <= 2
    assert all(each.text in known for each in found)


def test_the_index_is_built_on_first_need_and_not_pickled() -> None:
    """Until something is asked there is no index; a pickled Suggester takes only the texts along."""
    known = Suggester(CODES)
    assert not bool(known._neighbours)
    before = len(pickle.dumps(known))
    known.suggest("7K 2046/032")
    assert bool(known._neighbours)
    assert len(pickle.dumps(known)) == before
    twin = pickle.loads(pickle.dumps(known))  # noqa: S301 - our own bytes
    assert twin.suggest("7K 2O46/031") == known.suggest("7K 2O46/031")


def test_a_suggestion_is_a_value() -> None:
    """A suggestion is frozen, hashable and picklable."""
    one = Suggestion("7K 2046/031", 20)
    assert pickle.loads(pickle.dumps(one)) == one  # noqa: S301 - our own bytes
    assert {one: 1}[Suggestion("7K 2046/031", 20)] == 1
    assert str(one) == "7K 2046/031"
    with pytest.raises(AttributeError):
        one.weight = 0
