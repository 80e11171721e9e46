"""Dates as people type them, and what they may mean.

>>> readings_of("3/4/24"), readings_of("13/4/2024"), readings_of("3 April 2024"), readings_of("spring")
(('2024-04-03', '2024-03-04'), ('2024-04-13',), ('2024-04-03',), ())
>>> readings_of("Mar-82")    # what spreadsheet programs make of 1982-03
('1982-03',)

A year of two digits is taken for the last one that has begun: 24 for 2024, 88 for 1988. English names of
months are known, whole or by three letters.
"""

import datetime as dt
import re
from typing import Final

__all__ = ["readings_of"]

_YEAR = "([0-9]{2}|[0-9]{4})"
_DAY = "([0-9]{1,2})(?:st|nd|rd|th)?"
_NUMBERS: Final = re.compile(r"([0-9]{1,4})\s*[-/. ]\s*([0-9]{1,2})\s*[-/. ]\s*([0-9]{1,4})")
_DAY_FIRST: Final = re.compile(rf"{_DAY}[\s.-]*([A-Za-z]{{3,9}})[\s.,-]*{_YEAR}")
_MONTH_FIRST: Final = re.compile(rf"([A-Za-z]{{3,9}})[\s.-]*{_DAY}[\s,]+{_YEAR}")
_MONTH_ONLY: Final = re.compile(r"([A-Za-z]{3,9})(?:[\s.-]*([0-9]{4})|-([0-9]{2}))")
_MONTHS: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
    "november", "december",
)  # fmt: skip
_LONGEST: Final = 40


def readings_of(text: str, *, today: dt.date | None = None) -> tuple[str, ...]:
    """The days or months, by ISO 8601, that ``text`` may mean, day before month first; () for none."""
    text = text.strip()
    if len(text) > _LONGEST:
        return ()
    now = today or dt.date.today()  # noqa: DTZ011 - the day where the user is
    match = _NUMBERS.fullmatch(text)
    if match:
        return _of_numbers(match[1], match[2], match[3], now)
    match = _DAY_FIRST.fullmatch(text)
    if match:
        return _days((_year(match[3], now), _month(match[2]), int(match[1])))
    match = _MONTH_FIRST.fullmatch(text)
    if match:
        return _days((_year(match[3], now), _month(match[1]), int(match[2])))
    match = _MONTH_ONLY.fullmatch(text)
    if match and _month(match[1]):
        return (f"{_year(match[2] or match[3], now)}-{_month(match[1]):02d}",)
    return ()


def _of_numbers(one: str, two: str, three: str, now: dt.date) -> tuple[str, ...]:
    if len(one) == 4:
        return _days((int(one), int(two), int(three)))
    if len(one) > 2 or len(three) not in (2, 4):
        return ()
    year = _year(three, now)
    return _days((year, int(two), int(one)), (year, int(one), int(two)))


def _year(digits: str, now: dt.date) -> int:
    year = int(digits)
    if len(digits) == 4:
        return year
    return year + (2000 if 2000 + year <= now.year else 1900)


def _month(name: str) -> int:
    word = name.lower()
    if word == "sept":
        return 9
    return next((at for at, month in enumerate(_MONTHS, 1) if word in (month, month[:3])), 0)


def _days(*candidates: tuple[int, int, int]) -> tuple[str, ...]:
    found = []
    for year, month, day in candidates:
        try:
            found.append(dt.date(year, month, day).isoformat())
        except ValueError:
            continue
    return tuple(dict.fromkeys(found))
