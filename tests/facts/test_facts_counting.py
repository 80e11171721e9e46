"""Counts: three witnesses of one number, and what waves add up to."""

import pytest

from cardref.facts.counting import (
    backs_called,
    counts,
    disputed_by_maker,
    range_after,
    range_differences,
    trusted_lists,
)
from cardref.index import Index
from cardref.model.back import Back, Pictures, Slip
from cardref.model.maker import Maker
from cardref.model.wave import Wave
from cardref.notation.designation import Designation
from tests.facts.indexes import back, index_of, sample


@pytest.mark.parametrize(
    ("designation", "count", "shown", "odd"),
    [
        (3, 3, "abc", ""),
        (3, 4, "abc", "count"),
        (4, 3, "abc", "designation"),
        (3, 3, "abcd", "pictures"),
        (5, 3, "abcd", "count"),
        (0, 0, "", ""),
    ],
)
def test_the_witness_that_stands_alone_is_named(designation: int, count: int, shown: str, odd: str) -> None:
    """Of designation, count and list the one that differs from the others; with all apart, the count."""
    index = index_of(("back", back(1, shown, count=count, designation=Designation(designation))))
    assert counts(index)["l/m/b-1"].odd == odd
    assert ("l/m/b-1" in trusted_lists(index)) is (not odd)


def test_a_mistake_is_told_where_it_is_made() -> None:
    """What is based on a wrong list takes its fault over without being at fault; so with a count."""
    wrong_list = index_of(("back", back(1, "ab", count=3)), ("back", back(2, "c", base=1, count=4)))
    assert [counts(wrong_list)[f"l/m/b-{n}"].odd for n in (1, 2)] == ["pictures", ""]
    assert not trusted_lists(wrong_list)
    wrong_count = index_of(
        ("back", back(1, "abc", count=4, designation=Designation(3))),
        ("back", back(2, "d", base=1, count=4)),
    )  # fmt: skip
    assert [counts(wrong_count)[f"l/m/b-{n}"].odd for n in (1, 2)] == ["count", ""]


def test_what_is_named_in_vain_explains_a_gap() -> None:
    """A figure added twice, or dropped that was not there, is a matter of its own, not of the count."""
    index = index_of(
        ("back", back(1, "ab", count=2)),
        ("back", back(2, "ac", base=1, count=4)),
        ("back", back(3, "", "z", base=1, count=1)),
    )
    assert counts(index)["l/m/b-2"].needless == ("l/figure/a",)
    assert counts(index)["l/m/b-3"].undone == ("l/figure/z",)
    assert [counts(index)[f"l/m/b-{n}"].odd for n in (2, 3)] == ["", ""]


def test_an_unlisted_back_is_judged_by_what_it_says() -> None:
    """Without a list only designation and count can differ."""
    plain = Back(id="l/m/b-1", designation=Designation(4), series="l/series/s", count=3)
    assert counts(index_of(("back", plain)))["l/m/b-1"].odd == "designation"


def test_backs_are_found_by_either_number() -> None:
    """Where count and designation differ, the back stands under both."""
    index = index_of(("back", back(1, "abc", count=3, designation=Designation(4))))
    assert backs_called(index) == {("l", "m", 3): ("l/m/b-1",), ("l", "m", 4): ("l/m/b-1",)}


def _world(*waves: Wave, backs: tuple[Back, ...]) -> Index:
    return index_of(
        ("maker", Maker(id="maker/m", name="M")),
        *(("wave", wave) for wave in waves),
        *(("back", one) for one in backs),
    )


def _wave(name: str, debuts: str = "", drops: str = "", returns: str = "", *, over: bool = False) -> Wave:
    ids = [tuple(f"l/figure/{one}" for one in some) for some in (debuts, drops, returns)]
    return Wave(
        id=f"l/wave/{name}", maker="maker/m", series="l/series/s",
        debuts=ids[0], drops=ids[1], returns=ids[2],
        starts_over=over,
    )  # fmt: skip


def test_a_range_is_added_up_wave_by_wave() -> None:
    """Debuts come in, drops go, returns come back, and a reissue starts over."""
    waves = _wave("1", "abc"), _wave("2", "d", "a"), _wave("3", "", "", "a"), _wave("4", "bd", over=True)
    ranges = range_after(_world(*waves, backs=()))
    assert ["".join(sorted(f[-1] for f in ranges[w.id].figures)) for w in waves] == [
        "abc",
        "bcd",
        "abcd",
        "bd",
    ]


def test_a_difference_is_told_once_at_its_first_wave() -> None:
    """A figure that no wave debuts is missing from every later sum, and told with the first."""
    waves = _wave("1", "ab"), _wave("2", "c")
    backs = (
        back(1, "abx", count=3, wave="l/wave/1"), back(2, "", base=1, count=3, wave="l/wave/1"),
        back(3, "c", base=2, count=4, wave="l/wave/2"),
    )  # fmt: skip
    (one,) = range_differences(_world(*waves, backs=backs))
    assert (one.wave.id, one.backs, one.of, one.later) == ("l/wave/1", ("l/m/b-1", "l/m/b-2"), 2, 1)
    assert one.undebuted == ("l/figure/x",)


def test_sorts_of_differences() -> None:
    """Sold and not pictured, pictured too early, pictured after it was dropped."""
    waves = _wave("1", "abc"), _wave("2", "d", "a")
    backs = back(1, "abd", count=3, wave="l/wave/1"), back(2, "abcd", count=4, wave="l/wave/2")
    first, second = range_differences(_world(*waves, backs=backs))
    assert (first.missing, first.early) == (("l/figure/c",), ("l/figure/d",))
    assert second.dropped == ("l/figure/a",)
    assert ("maker/m", "l/figure/c") in disputed_by_maker(_world(*waves, backs=backs))


def test_a_misprint_is_no_difference() -> None:
    """A printer who shows one figure twice has left out another: the waves are right all the same."""
    wave = _wave("1", "abc")
    misprint = back(2, "ab", count=3, wave="l/wave/1")
    pictures = Pictures(plus=("l/figure/a", "l/figure/b"), slips=(Slip(figure="l/figure/a"),))
    misprint = Back(
        id=misprint.id,
        designation=Designation(3),
        series=misprint.series,
        count=3,
        wave=wave.id,
        pictures=pictures,
    )
    index = _world(wave, backs=(back(1, "abc", count=3, wave="l/wave/1"), misprint))
    assert counts(index)[misprint.id].odd == ""
    assert range_differences(index) == ()


def test_the_sample_adds_up() -> None:
    """In the clean sample all witnesses agree, and so do waves and backs."""
    assert trusted_lists(sample()) == frozenset(sample().backs)
    assert range_differences(sample()) == ()
