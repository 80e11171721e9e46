"""What records are called in sentences, and lists in words."""

import pytest
from attrs import evolve

from cardref.facts.called import called, figure_name, listed, some
from tests.facts.indexes import sample, sample_with

PO = "lanternfish/pell-orrin"
FIGURE = "lanternfish/figure/"


@pytest.mark.parametrize(
    ("full", "name"),
    [
        (f"{PO}/b-001", "back pell-orrin 4A (b-001)"),
        (f"{PO}/f-001", "face pell-orrin f-001 (Reef Pilot)"),
        (f"{PO}/c-001", "card pell-orrin c-001 (Reef Pilot on 4A)"),
        (f"{FIGURE}reef-pilot", "Reef Pilot (reef-pilot)"),
        (f"{FIGURE}nobody", "figure nobody"),
        ("maker/morvane", "maker morvane"),
        ("lanternfish", "line lanternfish"),
        ("lanternfish/series/deepwater", "series deepwater"),
        (f"{PO}/b-999", "b-999"),
    ],
)
def test_a_record_is_called_by_what_people_say_and_the_id_that_finds_it(full: str, name: str) -> None:
    """Backs by maker and designation, fronts and cards by their figure, others by kind and short name."""
    assert called(sample(), full) == name


def test_what_a_card_refers_to_may_be_missing() -> None:
    """A card whose front or back is not recorded is called by what its id says."""
    card = sample().cards[f"{PO}/c-001"]
    lost = sample_with(("card", evolve(card, face=f"{PO}/f-999", back=f"{PO}/b-999")))
    assert called(lost, card.id) == "card pell-orrin c-001 (face f-999 on b-999)"


@pytest.mark.parametrize(
    ("words", "most", "text"),
    [
        ([], 4, ""), (["a"], 4, "a"), (["a", "b"], 4, "a and b"), (["a", "b", "c"], 4, "a, b and c"),
        (list("abcd"), 4, "a, b, c and d"), (list("abcde"), 4, "a, b, c and 2 more"),
        (list("abcde"), 2, "a and 4 more"), (list("abcde"), 9, "a, b, c, d and e"),
    ],
)  # fmt: skip
def test_words_as_a_list(words: list[str], most: int, text: str) -> None:
    """One, two, several; of many the first few and how many more, so that the list is never longer."""
    assert listed(words, most) == text


def test_figures_by_their_usual_name() -> None:
    """A figure that is not recorded by its short id; hostile names are made visible."""
    figure = sample().figures[f"{FIGURE}reef-pilot"]
    odd = evolve(figure, names=(evolve(figure.names[0], text="Reef\x1b[31m Pilot"),))
    assert figure_name(sample_with(("figure", odd)), figure.id) == r"Reef\x1b[31m Pilot"
    assert figure_name(sample(), f"{FIGURE}nobody") == "nobody"
    assert some(sample(), [figure.id, f"{FIGURE}tide-clerk"]) == "Reef Pilot and Tide Clerk"
