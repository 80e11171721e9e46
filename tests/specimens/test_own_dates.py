"""Dates as people type them: what they may mean, never one of two guessed."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.notation.edtf import Date
from cardref.specimens.dates import readings_of

DAY = dt.date(2026, 11, 25)
days = st.dates(dt.date(1960, 1, 1), DAY)


@given(days, st.sampled_from("/.- "), st.booleans())
def test_day_and_month_are_both_told(day: dt.date, sign: str, short: bool) -> None:
    """A day written day first or month first is among the readings; two are given where there are two."""
    year = f"{day.year % 100:02d}" if short and day.year > 1960 else str(day.year)
    first = sign.join((str(day.day), str(day.month), year))
    found = readings_of(first, today=DAY)
    other = sign.join((str(day.month), str(day.day), year))
    if not short or day.year >= 1927:
        assert day.isoformat() in found
        assert day.isoformat() in readings_of(other, today=DAY)
    assert (len(found) == 2) == (day.day <= 12 and day.day != day.month)


@given(days, st.sampled_from(["%d %B %Y", "%B %d, %Y", "%d %b %Y", "%d. %B %Y", "%d-%b-%y", "%Y/%m/%d"]))
def test_a_month_by_name_or_a_year_first_has_one_reading(day: dt.date, how: str) -> None:
    """What can be read in one way only is read so (English names of months)."""
    assert readings_of(day.strftime(how), today=DAY) == (day.isoformat(),)


@given(st.text(max_size=50) | st.from_regex(r"[0-9]{1,4}[-/. ][0-9]{1,2}[-/. ][0-9]{1,4}", fullmatch=True))
def test_every_reading_is_a_date(text: str) -> None:
    """Whatever is typed, each reading is a date in EDTF, and none is given twice."""
    found = readings_of(text, today=DAY)
    assert all(map(Date.is_valid, found))
    assert len(set(found)) == len(found) <= 2


@pytest.mark.parametrize(
    "text", ["", "spring", "31/31/24", "2024", "1/2", "1/2/345", "Smarch 3, 2024", "x" * 999]
)
def test_what_is_no_day_has_no_reading(text: str) -> None:
    """Nothing is made up."""
    assert readings_of(text, today=DAY) == ()
