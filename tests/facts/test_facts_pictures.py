"""What a back pictures: derivation against a plain replay, circles and gaps, answers with their grounds."""

from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.facts.answer import Verdict
from cardref.facts.pictures import (
    backs_picturing,
    can_picture,
    leaves_out,
    pictured,
    pictures_of,
    shown_on,
)
from cardref.model.back import Pictures
from tests.facts.indexes import back, index_of, sample

FIGURES = st.sampled_from("abcdefgh")
STEPS = st.lists(
    st.tuples(st.sets(FIGURES, max_size=4), st.sets(FIGURES, max_size=3), st.integers(0, 9)), max_size=9
)


@settings(max_examples=60)
@given(STEPS)
def test_derivation_replays_the_changes(steps: list[tuple[set[str], set[str], int]]) -> None:
    """For any tree of backs the derived figures are those of a plain replay, and all ways of asking agree."""
    wanted: dict[int, set[str]] = {0: set()}
    records = []
    for number, (plus, minus, choice) in enumerate(steps, 1):
        base = choice % number
        wanted[number] = (wanted[base] - minus) | plus
        records.append(back(number, sorted(plus), sorted(minus), base))
    index = index_of(*(("back", record) for record in records))
    for number, record in enumerate(records, 1):
        seen = pictured(index.backs, record)
        assert seen is not None
        assert {figure[-1] for figure in seen.figures} == wanted[number]
        assert pictures_of(index)[record.id] == seen
        assert shown_on(index)[record.id] == frozenset(seen.figures)


def test_each_figure_comes_in_the_order_in_which_it_was_added() -> None:
    """A figure keeps its place while others are dropped; one that returns goes to the end."""
    index = index_of(
        ("back", back(1, "abc")), ("back", back(2, "d", "a", 1)), ("back", back(3, "a", "b", 2)),
    )  # fmt: skip
    seen = pictures_of(index)["l/m/b-3"]
    assert seen is not None
    assert [figure[-1] for figure in seen.figures] == ["c", "d", "a"]
    assert seen.steps == ("l/m/b-3", "l/m/b-2", "l/m/b-1")


def test_a_circle_or_a_gap_pictures_nothing_known() -> None:
    """A circle, or a back that is not there, makes a list unknown, and what rests on it."""
    index = index_of(
        ("back", back(1, "a", base=2)), ("back", back(2, "b", base=1)), ("back", back(3, "c", base=1)),
        ("back", back(4, "d", base=99)), ("back", back(5, "e")),
    )  # fmt: skip
    assert {full for full, seen in pictures_of(index).items() if seen is None} == {
        "l/m/b-1", "l/m/b-2", "l/m/b-3", "l/m/b-4",
    }  # fmt: skip
    assert can_picture(index, "l/m/b-4", "l/figure/d").verdict is Verdict.UNKNOWN


def test_a_long_chain_is_no_trouble() -> None:
    """A thousand backs, each based on the one before, are derived without running out of stack."""
    records = [back(1, "a"), *(back(number, base=number - 1) for number in range(2, 1001))]
    index = index_of(*(("back", record) for record in reversed(records)))
    seen = pictures_of(index)["l/m/b-1000"]
    assert seen is not None
    assert seen.figures == ("l/figure/a",)


def test_an_answer_names_its_grounds() -> None:
    """Yes and no come with every back of the derivation and with the sources that these name."""
    answer = can_picture(sample(), "lanternfish/pell-orrin/b-003", "lanternfish/figure/reef-pilot")
    assert answer.verdict is Verdict.YES
    assert answer.records == tuple(f"lanternfish/pell-orrin/b-00{n}" for n in (3, 2, 1))
    assert set(answer.sources) == {"source/binder", "source/fair-photo", "source/spring-list"}
    assert (
        can_picture(sample(), "lanternfish/pell-orrin/b-004", "lanternfish/figure/tide-clerk").verdict
        is Verdict.NO
    )


def test_an_answer_says_how_a_figure_is_shown() -> None:
    """A silhouette is a picture, told as one; a back without a list tells nothing, and stays a ground."""
    unlisted = evolve(back(2), pictures=None)
    shady = evolve(
        back(1, "ab"), pictures=Pictures(plus=("l/figure/a", "l/figure/b"), silhouettes=("l/figure/b",))
    )
    index = index_of(("back", shady), ("back", unlisted))
    told = {full: can_picture(index, "l/m/b-1", f"l/figure/{full}") for full in "abc"}
    assert told["a"].because == "back m 1 (b-1) pictures a"
    assert told["b"].because == "back m 1 (b-1) shows a silhouette of b"
    assert (told["c"].verdict, told["c"].because) == (Verdict.NO, "back m 1 (b-1) does not picture c")
    assert can_picture(index, "l/m/b-2", "l/figure/a").records == ("l/m/b-2",)
    assert can_picture(index, "l/m/b-9", "l/figure/a").records == ()


def test_only_a_known_list_leaves_a_figure_out() -> None:
    """A blank back leaves out nobody, nor does one of which nothing is recorded."""
    index = index_of(("back", back(1, "ab")), ("back", back(2)), ("back", evolve(back(3), pictures=None)))
    assert [leaves_out(index, f"l/m/b-{n}", "l/figure/c") for n in (1, 2, 3, 9)] == [
        True,
        False,
        False,
        False,
    ]
    assert not leaves_out(index, "l/m/b-1", "l/figure/a")


def test_a_figure_knows_its_backs() -> None:
    """The look-up from figure to backs is the inverse of that from back to figures."""
    index = sample()
    for figure in index.figures:
        assert set(backs_picturing(index, figure)) == {
            b for b, seen in shown_on(index).items() if figure in seen
        }
