"""Countries at their time, and the languages of makers."""

import pytest

from cardref.facts.answer import Verdict
from cardref.facts.territories import (
    country_existed,
    language_exists,
    language_meant,
    origin_fits,
    sold_in_any,
)
from cardref.facts.timing import Bounds, released
from tests.facts.indexes import date, sample


@pytest.mark.parametrize(
    ("code", "year", "verdict"),
    [
        ("CSHH", "1981", Verdict.YES),
        ("CSHH", "1999", Verdict.NO),
        ("CZ", "1981", Verdict.NO),
        ("CZ", "1999", Verdict.YES),
        ("DE", "1981", Verdict.YES),
        ("HR", "1985", Verdict.NO),
        ("UA", "1981", Verdict.YES),
        ("XQ", "1981", Verdict.UNKNOWN),
    ],
)
def test_a_country_is_right_for_its_time(code: str, year: str, verdict: Verdict) -> None:
    """Withdrawn codes are right while they were in use, new ones since; some were there all the time."""
    assert country_existed(code, date(year)).verdict is verdict


def test_the_year_of_the_change_decides_nothing() -> None:
    """In the year in which a country came or went either code may be right."""
    assert country_existed("CZ", date("1993")).verdict is Verdict.YES
    assert country_existed("CSHH", date("1993")).verdict is Verdict.YES
    assert country_existed("HR", date("1985~")).verdict is Verdict.YES


def test_an_origin_is_held_against_when_the_card_was_made() -> None:
    """No with the records that date the card; unknown where nothing does."""
    answer = origin_fits(sample(), "HR", released(sample(), "lanternfish/pell-orrin/c-001"))
    assert answer.verdict is Verdict.NO
    assert answer.records
    assert origin_fits(sample(), "HR", Bounds()).verdict is Verdict.UNKNOWN


def test_languages_of_makers() -> None:
    """No only where a maker's languages are recorded and none is claimed; regions do not matter."""
    assert sold_in_any(sample(), "maker/morvane", ("fr-CA", "en")).verdict is Verdict.YES
    assert sold_in_any(sample(), "maker/morvane", ("en",)).verdict is Verdict.NO
    assert sold_in_any(sample(), "maker/nobody", ("en",)).verdict is Verdict.UNKNOWN
    assert sold_in_any(sample(), "maker/morvane", ()).verdict is Verdict.UNKNOWN


def test_a_country_written_for_its_language_is_understood() -> None:
    """What people mix up has an answer, and that answer exists."""
    for country in ("gr", "jp", "cz", "dk"):
        assert not language_exists(country)
        assert language_exists(language_meant(country))
