"""Countries at their time, and the languages of makers."""

import pytest

from cardref.facts.answer import Verdict
from cardref.facts.bounds import Bounds, Limit, released
from cardref.facts.territories import (
    country_existed,
    language_exists,
    language_meant,
    origin_fits,
    sold_in_any,
    stretch_of,
)
from cardref.notation.edtf import Day
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
        ("RS", "2005", Verdict.NO),
        ("RS", "2006", Verdict.YES),
        ("ME", "2005", Verdict.NO),
        ("MK", "1992", Verdict.NO),
        ("SI", "1991", Verdict.NO),
        ("SI", "1992", Verdict.YES),
        ("ER", "1992", Verdict.NO),
        ("SS", "2010", Verdict.NO),
        ("DJ", "1976", Verdict.NO),
        ("SUHH", "1993", Verdict.NO),
        ("YUCS", "2003", Verdict.YES),
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
    both = released(sample(), "lanternfish/pell-orrin/c-001")
    until = origin_fits(sample(), "HR", Bounds(latest=both.latest))
    assert both.latest is not None
    assert (until.verdict, until.records) == (Verdict.NO, (both.latest.record,))


@pytest.mark.parametrize(
    ("earliest", "latest", "stretch"),
    [
        ("1981-03-01", "1984-12-31", "1981-03-01/1984-12-31"), ("1981-03-01", None, "1981-03-01/"),
        (None, "1984-12-31", "/1984-12-31"), (None, None, None), ("1985-01-01", "1984-12-31", None),
        ("~1981-03-01", "1984-12-31", "/1984-12-31"), ("1981-03-01", "~1984-12-31", "1981-03-01/"),
        ("~1985-01-01", "1984-12-31", "/1984-12-31"), ("1984-12-31", "1984-12-31", "1984-12-31/1984-12-31"),
    ],
)  # fmt: skip
def test_bounds_as_a_stretch_of_time(earliest: str | None, latest: str | None, stretch: str | None) -> None:
    """What is only about right bounds nothing; bounds that clash are no stretch."""

    def limit(text: str | None) -> Limit | None:
        if text is None:
            return None
        return Limit(Day(*map(int, text.lstrip("~").split("-"))), text[0] == "~", "r", "so")

    found = stretch_of(Bounds(limit(earliest), limit(latest)))
    assert found == (date(stretch) if stretch else None)


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
