"""Dates against the published examples of the extended date/time format.

Source: Library of Congress, EDTF Specification, 4 February 2019 (profile of ISO 8601-2:2019); the texts are
listed in ``edtf_examples.yaml``.
"""

from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from cardref.errors import NotationError
from cardref.notation.edtf import Date

EXAMPLES: dict[str, list[Any]] = yaml.safe_load(
    (Path(__file__).parent / "edtf_examples.yaml").read_text("utf-8")
)


@pytest.mark.parametrize(("level", "feature", "text", "earliest", "latest"), EXAMPLES["read"])
def test_published_examples_are_read(
    level: int, feature: str, text: str, earliest: str | None, latest: str | None
) -> None:
    """Each example of the levels that are read gives the days that the standard's words give it."""
    date = Date.parse(text)
    found = [None if day is None else str(day) for day in (date.earliest, date.latest)]
    assert found == [earliest, latest], (level, feature)
    assert str(date) == text
    assert (date.start, date.end) == {
        "open end": ("given", "open"),
        "open start": ("open", "given"),
        "unknown end": ("given", "unknown"),
        "unknown start": ("unknown", "given"),
    }.get(feature, ("given" if earliest else "open", "given" if latest else "open"))


@pytest.mark.parametrize(("level", "feature", "text", "word"), EXAMPLES["refused"])
def test_other_forms_of_level_2_are_refused_by_name(level: int, feature: str, text: str, word: str) -> None:
    """What is in the format but not read here is refused as that, not as nonsense."""
    with pytest.raises(NotationError) as caught:
        Date.parse(text)
    assert word in caught.value.problem, (level, feature)
    assert "not read here" in caught.value.problem


@pytest.mark.parametrize(("text", "why"), EXAMPLES["wrong"])
def test_what_the_standard_excludes_is_refused(text: str, why: str) -> None:
    """What the standard's words exclude is not taken, former drafts included."""
    assert not Date.is_valid(text), why


def test_an_interval_begins_and_ends_sometime_in_its_years() -> None:
    """The standard on 1964/2008: beginning sometime in 1964 and ending sometime in 2008."""
    interval = Date.parse("1964/2008")
    assert Date.parse("1980").within(interval) is True
    assert Date.parse("1964-01-01").within(interval) is None
    assert Date.parse("2009").within(interval) is False


def test_one_of_and_all_of_a_set_mean_different_things() -> None:
    """The standard on sets: brackets mean one of the members, braces mean all of them."""
    sixties = Date.parse("1660/1669-12-31")
    assert Date.parse("[1667,1668,1760]").within(sixties) is None
    assert Date.parse("{1667,1668,1760}").within(sixties) is False


def test_qualification_applies_where_the_standard_says() -> None:
    """Right of a component it qualifies that and all to the left; left of one it qualifies that alone."""
    assert Date.parse("2004-06~-11") == Date.parse("~2004-~06-11")
    assert Date.parse("2004?-06-11") == Date.parse("?2004-06-11")
    assert Date.parse("2004-06-11%") == Date.parse("%2004-%06-%11")
    assert Date.parse("2004-%06-11") != Date.parse("2004-06%-11")


def test_seasons_come_in_the_standards_order() -> None:
    """Spring 21, summer 22, autumn 23, winter 24 of one year follow each other without gap or overlap."""
    seasons = [Date.parse(f"2001-{number}") for number in (21, 22, 23, 24)]
    assert sorted(seasons, key=lambda season: season.sort_key) == seasons
    for one, two in pairwise(seasons):
        assert one.before(two) is True
