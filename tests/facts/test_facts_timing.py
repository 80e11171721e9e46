"""Bounds, debuts and the order of printing: what is sure, what is not, and why."""

from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.facts.answer import Verdict
from cardref.facts.bounds import released
from cardref.facts.printings import (
    earlier_backs,
    first_back,
    out_of_order,
    printed_before,
    printing_order,
    run,
)
from cardref.facts.timing import debut, outside, surely_before, was_active
from cardref.index import Index
from cardref.notation.edtf import Day
from tests.facts.indexes import back, date, index_of, sample

PO = "lanternfish/pell-orrin"


def test_uncertain_dates_decide_nothing() -> None:
    """Before and after are said only where every day that a date leaves open agrees."""
    assert surely_before(date("1981"), date("1982"))
    assert not surely_before(date("1981~"), date("1990"))
    assert not surely_before(None, date("1982"))
    assert outside(date("1980"), date("1981/1983")) == "before"
    assert outside(date("1984-02"), date("1981/1983")) == "after"
    assert outside(date("1983?"), date("1979/1980")) == ""


def test_was_active_answers_in_three_ways() -> None:
    """Inside, outside, and where the year leaves it open; with the maker as ground."""
    maker = "maker/pell-orrin"
    assert was_active(sample(), maker, date("1982-05")).verdict is Verdict.YES
    assert was_active(sample(), maker, date("1990")).verdict is Verdict.NO
    assert was_active(sample(), maker, date("1984")).verdict is Verdict.UNKNOWN
    assert was_active(sample(), maker, date("1990")).records == (maker,)
    assert was_active(sample(), "maker/nobody", date("1990")).verdict is Verdict.UNKNOWN


def test_bounds_say_who_sets_them() -> None:
    """A card without a date of its own is bounded by its back, its face's series and its maker."""
    bounds = released(sample(), f"{PO}/c-009")
    assert bounds.earliest is not None
    assert bounds.latest is not None
    assert bounds.earliest.day == Day(1984, 3, 1)
    assert bounds.latest.day == Day(1984, 12, 31)
    assert bounds.earliest.record in (f"{PO}/b-004", "lanternfish/wave/po-3")
    assert not bounds.contradicts_itself
    assert released(sample(), "nothing/at/all").earliest is None


def test_a_back_is_no_older_than_what_it_follows() -> None:
    """Without a date of its own a back begins where the printing before it does."""
    index = index_of(
        ("back", back(1, "a", released=date("1982-05"))), ("back", back(2, base=1, after="l/m/b-1")),
    )  # fmt: skip
    limit = released(index, "l/m/b-2").earliest
    assert limit is not None
    assert (limit.day, limit.record) == (Day(1982, 5, 1), "l/m/b-1")


def test_a_debut_is_the_first_wave_that_names_the_figure() -> None:
    """By maker: the same figure came out at another time elsewhere."""
    figure = "lanternfish/figure/reef-pilot"
    home, abroad = (debut(sample(), figure, f"maker/{maker}") for maker in ("pell-orrin", "morvane"))
    assert home is not None
    assert abroad is not None
    assert (home.wave, abroad.wave) == ("lanternfish/wave/po-1", "lanternfish/wave/mv-1")
    assert debut(sample(), "lanternfish/figure/night-keeper", "maker/morvane") is None


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 8), st.integers(1970, 1975) | st.none()), min_size=1, max_size=9))
def test_the_order_of_printing_keeps_what_is_recorded(rows: list[tuple[int, int | None]]) -> None:
    """Every back comes once; one that follows another comes behind it, unless they follow in a circle."""
    records = []
    for number, (after, year) in enumerate(rows, 1):
        follows = f"l/m/b-{after % number}" if after % number else ""
        records.append(back(number, "a", after=follows, released=date(str(year)) if year else None))
    index = index_of(*(("back", record) for record in records))
    order = printing_order(index)["l", "m"]
    assert sorted(order) == sorted(record.id for record in records)
    for record in records:
        if record.after:
            assert order.index(record.after) < order.index(record.id)
    for one in records:
        for other in records:
            if one is not other:
                assert _opposite(index, one.id, other.id)


def _opposite(index: Index, one: str, other: str) -> bool:
    """Whether asking the other way round gives the opposite answer."""
    answers = {Verdict.YES: Verdict.NO, Verdict.NO: Verdict.YES, Verdict.UNKNOWN: Verdict.UNKNOWN}
    return answers[printed_before(index, one, other).verdict] is printed_before(index, other, one).verdict


def test_a_circle_of_printings_still_gives_an_order() -> None:
    """Backs that follow one another in a circle are listed all the same, each once."""
    index = index_of(("back", back(1, after="l/m/b-2")), ("back", back(2, after="l/m/b-1")))
    assert sorted(printing_order(index)["l", "m"]) == ["l/m/b-1", "l/m/b-2"]


def test_letters_and_counts_decide_no_order() -> None:
    """Two undated printings of one count are not known to follow one another, whatever their letters."""
    index = index_of(("back", back(1, "a")), ("back", back(2, "a")))
    assert printed_before(index, "l/m/b-1", "l/m/b-2").verdict is Verdict.UNKNOWN


def test_how_many_backs_are_earlier() -> None:
    """What is surely earlier, and what may be."""
    found = earlier_backs(sample(), f"{PO}/b-003")
    assert found.surely == (f"{PO}/b-001", f"{PO}/b-002")
    assert found.perhaps == ()


def test_a_run_is_in_the_order_of_printing() -> None:
    """A figure's backs by one maker, first to last; and the first is known."""
    figure = "lanternfish/figure/tide-clerk"
    assert run(sample(), figure, "maker/pell-orrin") == tuple(f"{PO}/b-00{n}" for n in (1, 2, 3))
    answer = first_back(sample(), figure, "maker/pell-orrin")
    assert (answer.verdict, answer.records) == (Verdict.YES, (f"{PO}/b-001",))
    assert first_back(sample(), figure, "maker/thalweg").verdict is Verdict.NO


def test_a_first_back_with_a_rival_is_not_sure() -> None:
    """Where another may be as early, both are told."""
    index = index_of(("back", back(1, "a")), ("back", back(2, "a")))
    answer = first_back(index, "l/figure/a", "maker/m")
    assert (answer.verdict, set(answer.records)) == (Verdict.UNKNOWN, {"l/m/b-1", "l/m/b-2"})


def test_what_cannot_precede_is_told_why() -> None:
    """A printing that is younger cannot come before, and the reason has both dates."""
    index = index_of(("back", back(1, released=date("1981"))), ("back", back(2, released=date("1983"))))
    young, old = index.backs["l/m/b-2"], index.backs["l/m/b-1"]
    assert "1981" in out_of_order(index, old, young)
    assert out_of_order(index, young, old) == ""
