"""Dates as catalogues write them: known to the year, about right, one of two, not yet over.

The notation is EDTF, the extended date/time format of ISO 8601-2:2019 as the Library of Congress
publishes it: levels 0 and 1 whole, and of level 2 sets, qualifiers on single components, and X for an
unspecified digit anywhere. The other forms of level 2 (exponential years, significant digits, groupings
25 to 41) are refused by name.

>>> Date.parse("1983-06").latest
Day(year=1983, month=6, day=30)
>>> str(Date.parse("198X?"))
'198X?'
>>> print(Date.parse("1983/..").end, Date.parse("1983/").end)
open unknown
>>> print(Date.parse("1982").before(Date.parse("1983-06")))
True
>>> print(Date.parse("1983").before(Date.parse("1983-06")))
None

**What an answer means.** A date tells when something happened or went on. `1983` is some time in 1983;
`1982/1984` began some time in 1982 and ended some time in 1984, as the standard's own example puts it.
`before`, `within` and `overlaps` answer True or False only where that holds for every day that the date
leaves open, else None: unknown. A part marked uncertain (``?``), approximate (``~``) or both (``%``) is
never relied on, since nobody wrote how far off it may be: `1983~` is not surely before `1990`, and
`1983-~06` is surely within `1983`. `earliest` and `latest` take the date as it is written.

**Unknown is not open.** `1983/` ended, but nobody knows when: it may have ended within 1984. `1983/..` has
no end: it is within nothing that ends.

Years are those of the proleptic Gregorian calendar, with a year 0, as ISO 8601 counts them. A time of day
is kept but not used: the day is the day written, whatever the zone.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import product
from typing import Final, Literal, NamedTuple, NoReturn, Self, final

from cardref.errors import NotationError
from cardref.notation.value import Value, must_be_text

__all__ = ["SEASON_MONTHS", "Date", "Day", "Kind", "Side"]

Kind = Literal["date", "interval", "one of", "all of"]
Side = Literal["given", "unknown", "open"]

SEASON_MONTHS: Final[dict[int, tuple[int, int]]] = {21: (3, 5), 22: (6, 8), 23: (9, 11), 24: (12, 14)}
"""First and last month of spring, summer, autumn and winter; 14 is February of the next year.

These are the meteorologists' seasons of the northern half of the world (common practice; the standard gives
the order of the seasons, but no months). A southern spring is better written as months.
"""

MOST_MEMBERS: Final = 100
"""A set may have this many members, so that comparing two sets is bounded."""

MOST_YEAR_DIGITS: Final = 18
"""A year behind Y may have this many digits."""

_DIGITS: Final = frozenset("0123456789")
_MASKED: Final = frozenset("0123456789X")
_UNCERTAIN, _APPROXIMATE = 1, 2
_BITS: Final = {"?": _UNCERTAIN, "~": _APPROXIMATE, "%": _UNCERTAIN | _APPROXIMATE}
_MARK: Final = ("", "?", "~", "%")
_MONTH_LENGTH: Final = (0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
# ISO 8601-2 numbers parts of a year that are no months from 21 to 41.
_LAST_GROUPING: Final = 41
_PRECISION: Final = ("year", "month", "day")

# Bounds that compare with any Day: no start at all; some day, nobody knows how long ago; and so for the end.
_Bound = tuple[float, ...]
_NEVER: Final[_Bound] = (float("-inf"), 0)
_LONG_AGO: Final[_Bound] = (float("-inf"), 1)
_FAR_OFF: Final[_Bound] = (float("inf"), 0)
_FOREVER: Final[_Bound] = (float("inf"), 1)


class Day(NamedTuple):
    """A day of the proleptic Gregorian calendar; any year, which :class:`datetime.date` cannot hold."""

    year: int
    month: int
    day: int

    def __str__(self) -> str:
        sign = "-" if self.year < 0 else ""
        return f"{sign}{abs(self.year):04}-{self.month:02}-{self.day:02}"


class _Span(NamedTuple):
    """The first and last day on which something may have begun, and on which it may have ended.

    ``core_from`` and ``core_to`` bound the days that surely belong to it, seen as a stretch of the calendar.
    """

    begun_from: _Bound
    begun_by: _Bound
    ended_from: _Bound
    ended_by: _Bound
    core_from: _Bound
    core_to: _Bound


class _Plain(NamedTuple):
    """One date without interval or set: how it is written canonically, and the days that it leaves open."""

    text: str
    precision: str
    first: Day
    last: Day
    sure_first: _Bound
    sure_last: _Bound
    marks: int
    exact: bool

    def no_earlier_than(self) -> Day:
        """What no table of season months can change: some winters begin with their year."""
        return Day(self.first.year, 1, 1) if self.precision == "season" else self.first

    def span(self) -> _Span:
        """Some time between the first day and the last; the whole stretch, where it is written exactly."""
        low, high = self.sure_first, self.sure_last
        return _Span(low, high, low, high, *((low, high) if self.exact else (high, low)))


def _month_length(year: int, month: int) -> int:
    if month == 2 and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0):
        return 29
    return _MONTH_LENGTH[month]


class _Reader:
    """Reads one date, from ``at`` to ``end`` of a text; every step moves forward."""

    __slots__ = ("at", "end", "start", "text")

    def __init__(self, text: str, start: int, end: int) -> None:
        self.text = text
        self.start = self.at = start
        self.end = end

    def fail(self, expected: str, problem: str = "", span: tuple[int, int] | None = None) -> NoReturn:
        where = span or (self.at, min(self.at + 1, self.end))
        raise NotationError(self.text, where, expected, problem)

    def peek(self) -> str:
        return self.text[self.at] if self.at < self.end else ""

    def mark(self) -> int:
        """The bits of a qualifier that stands here, or 0."""
        bits = _BITS.get(self.peek(), 0)
        if bits:
            self.at += 1
        return bits

    def signs(self, count: int, what: str) -> str:
        """``count`` digits or X."""
        got = self.text[self.at : min(self.at + count, self.end)]
        if len(got) != count or not _MASKED.issuperset(got):
            self.at += next((i for i, sign in enumerate(got) if sign not in _MASKED), len(got))
            small = self.peek() in ("x", "u", "U") and self.at < self.end
            problem = "an unspecified digit is written as a capital X" if small else ""
            self.fail(f"{what}, {count} digits (X where a digit is not known)", problem)
        self.at += count
        return got

    def long_year(self) -> tuple[str, int]:
        """A year of more than four digits, behind the Y that stands here."""
        begin = self.at
        self.at += 1
        negative = self.peek() == "-"
        self.at += negative
        start = self.at
        while self.peek() in _DIGITS and self.at < self.end:
            self.at += 1
        digits = self.text[start : self.at]
        if self.peek() == "E":
            self.fail("all digits of the year", "exponential years (EDTF level 2) are not read here")
        span = (begin, self.at)
        if len(digits) > MOST_YEAR_DIGITS:
            self.fail(f"at most {MOST_YEAR_DIGITS} digits", "a year too far off", span)
        if len(digits) < 5 or digits[0] == "0":
            self.fail(
                "a year of five or more digits behind Y", "Y is for years of more than four digits", span
            )
        return self.text[begin : self.at], -int(digits) if negative else int(digits)

    def read(self, *, timed: bool = False) -> _Plain:
        """The one date that this stretch of text is."""
        if self.at == self.end:
            self.fail("a date, such as 1983 or 1983-06")
        marks = [self.mark(), 0, 0]
        if self.peek() == "Y":
            written, year = self.long_year()
            mark = marks[0] | self.mark()
            self.finish(mark != 0)
            first, last = Day(year, 1, 1), Day(year, 12, 31)
            sure = (_LONG_AGO, _FAR_OFF) if mark else (first, last)
            return _Plain(written + _MARK[mark], "year", first, last, sure[0], sure[1], mark, not mark)
        sign = ""
        if self.peek() == "-":
            sign = "-"
            self.at += 1
        parts = [self.signs(4, "a year")]
        if sign and parts[0] == "0000":
            self.fail(
                "0000, or -0001 for the year before it", "there is no year -0000", (self.start, self.at)
            )
        closing = self.group(marks, 1)
        for place, what in ((1, "a month"), (2, "a day")):
            if self.peek() != "-":
                break
            self.at += 1
            marks[place] |= self.mark()
            parts.append(self.signs(2, what))
            closing = self.group(marks, place + 1)
        time = ""
        if self.peek() == "T":
            if not timed or len(parts) < 3 or any(marks) or "X" in "".join(parts):
                self.fail("the date alone", "a time of day stands only behind one whole day, plainly written")
            time = self.time()
        self.finish(closing)
        return self.made(sign, parts, marks[: len(parts)], time)

    def group(self, marks: list[int], count: int) -> bool:
        """A qualifier behind a component speaks for it and for all to its left."""
        bits = self.mark()
        if bits:
            for i in range(count):
                marks[i] |= bits
        return bits != 0

    def time(self) -> str:
        """A time of day, from its T on."""
        begin = self.at
        self.at += 1
        parts = []
        for i, most in enumerate((24, 59, 60)):
            if i:
                self.literal(":")
            parts.append(self.number(most, ("an hour", "a minute", "a second")[i]))
        hour, minute, second = parts
        # 24:00:00 is the end of a day, and a minute of 61 seconds can only be the last of its hour.
        if (hour == 24 and (minute or second)) or (second == 60 and minute != 59):
            self.fail("00:00:00 to 23:59:59", "there is no such time of day", (begin + 1, self.at))
        zone = self.peek()
        if zone == "Z":
            self.at += 1
        elif zone in ("+", "-") and zone:
            start = self.at
            self.at += 1
            hours = self.number(23, "the zone's hours")
            minutes = 0
            if self.peek() == ":":
                self.at += 1
                minutes = self.number(59, "the zone's minutes")
            if zone == "-" and not hours and not minutes:
                self.fail("Z, or +00:00", "no zone is behind itself", (start, self.at))
        return self.text[begin : self.at]

    def literal(self, sign: str) -> None:
        if self.peek() != sign:
            self.fail(repr(sign))
        self.at += 1

    def number(self, most: int, what: str) -> int:
        got = self.text[self.at : min(self.at + 2, self.end)]
        if len(got) != 2 or not _DIGITS.issuperset(got) or int(got) > most:
            self.fail(f"{what}, two digits up to {most}", span=(self.at, self.at + len(got)))
        self.at += 2
        return int(got)

    def finish(self, closing: bool) -> None:
        """Nothing may follow; what people write there gets its own word."""
        if self.at == self.end:
            return
        sign = self.peek()
        if closing and sign in _BITS:
            self.fail("one of ? ~ %", "two qualifiers: uncertain and approximate together is %")
        if sign == "S":
            self.fail("the date without S", "significant digits (EDTF level 2) are not read here")
        if sign in _MASKED:
            self.fail(
                "a hyphen between year, month and day; Y before a year of more than four digits",
                "too many digits",
            )
        self.fail("the end of the date")

    def made(self, sign: str, parts: list[str], marks: list[int], time: str) -> _Plain:
        """The value of components that are well written; the calendar has its say here."""
        years = _years(sign, parts[0])
        season = 0
        if len(parts) > 1 and parts[1].isdigit() and int(parts[1]) > 20:
            season = int(parts[1])
            if season not in SEASON_MONTHS or len(parts) == 3:
                self.not_a_month(season)
            begin, finish = SEASON_MONTHS[season]
            year, month = years[-1] + (finish - 1) // 12, (finish - 1) % 12 + 1
            first: Day | None = Day(years[0], begin, 1)
            last: Day | None = Day(year, month, _month_length(year, month))
        else:
            months = _matching(parts[1], 12) if len(parts) > 1 else tuple(range(1, 13))
            days = _matching(parts[2], 31) if len(parts) > 2 else ()
            first = _first(years, months, days if len(parts) > 2 else (1,))
            last = _last(years, months, days if len(parts) > 2 else tuple(range(28, 32)))
        if first is None or last is None:
            self.no_such_day(parts)
        precision = "season" if season else _PRECISION[len(parts) - 1]
        either = marks[0] | marks[-1] | marks[len(marks) // 2]
        sure = _relied_on(first, last, marks)
        exact = not either and "X" not in "".join(parts)
        return _Plain(_written(sign, parts, marks) + time, precision, first, last, *sure, either, exact)

    def not_a_month(self, number: int) -> NoReturn:
        span = (self.start, self.end)
        if number in SEASON_MONTHS:
            self.fail("a season without a day, or a month 01 to 12", "a season has no days", span)
        if 25 <= number <= _LAST_GROUPING:
            self.fail(
                "a month 01 to 12, or a season 21 to 24",
                f"grouping {number} (EDTF level 2: quarters, seasons by hemisphere ...) is not read here",
                span,
            )
        self.fail("a month 01 to 12, or a season 21 to 24", f"there is no month {number}", span)

    def no_such_day(self, parts: list[str]) -> NoReturn:
        span = (self.start, self.end)
        if not _matching(parts[1], 12):
            self.fail("a month 01 to 12, or a season 21 to 24", f"there is no month {parts[1]}", span)
        self.fail("a day that the month has", "the calendar has no such day", span)


def _written(sign: str, parts: list[str], marks: list[int]) -> str:
    """The canonical writing: one qualifier behind what it speaks for, where one is enough."""
    shared = marks[0]
    count = 0
    while count < len(marks) and marks[count] == shared:
        count += 1
    if not any(marks[count:]):
        out = list(parts)
        out[count - 1] += _MARK[shared]
    else:
        out = [_MARK[bits] + part for bits, part in zip(marks, parts, strict=True)]
        # The qualifier of a year stands before its sign.
        if marks[0]:
            return "-".join([_MARK[marks[0]] + sign + parts[0], *out[1:]])
    return sign + "-".join(out)


def _relied_on(first: Day, last: Day, marks: Sequence[int]) -> tuple[_Bound, _Bound]:
    """The bounds that are left when no qualified part is relied on."""
    if marks[0]:
        return _LONG_AGO, _FAR_OFF
    if any(marks[1:2]):
        return Day(first.year, 1, 1), Day(last.year, 12, 31)
    if any(marks[2:3]):
        return Day(first.year, first.month, 1), Day(
            last.year, last.month, _month_length(last.year, last.month)
        )
    return first, last


def _years(sign: str, mask: str) -> list[int]:
    """Every year that ``mask`` (four digits or X) can be, in order; at most ten thousand."""
    if "X" not in mask:
        return [int(sign + mask)]
    shape = mask.replace("X", "{}")
    found = [int(shape.format(*digits)) for digits in product("0123456789", repeat=mask.count("X"))]
    # There is no year -0000.
    return [-year for year in reversed(found) if year] if sign else found


def _matching(mask: str, most: int) -> tuple[int, ...]:
    """The numbers from 1 to ``most`` that ``mask`` (two digits or X) can be, in order."""
    if "X" not in mask:
        number = int(mask)
        return (number,) if 1 <= number <= most else ()
    tens, ones = mask[0], mask[1]
    return tuple(n for n in range(1, most + 1) if tens in ("X", str(n // 10)) and ones in ("X", str(n % 10)))


def _first(years: Sequence[int], months: Sequence[int], days: Sequence[int]) -> Day | None:
    """The first real day among these."""
    for year in years:
        for month in months:
            if days and days[0] <= _month_length(year, month):
                return Day(year, month, days[0])
    return None


def _last(years: Sequence[int], months: Sequence[int], days: Sequence[int]) -> Day | None:
    """The last real day among these."""
    for year in reversed(years):
        for month in reversed(months):
            length = _month_length(year, month)
            for day in reversed(days):
                if day <= length:
                    return Day(year, month, day)
    return None


_SIDE_TEXT: Final[dict[Side, str]] = {"unknown": "", "open": ".."}


def _side(text: str, start: int, end: int) -> tuple[Side, _Plain | None]:
    """One end of an interval."""
    if start == end:
        return "unknown", None
    if text[start:end] == "..":
        return "open", None
    return "given", _Reader(text, start, end).read()


def _interval_span(first: _Plain | None, last: _Plain | None, start: Side, end: Side) -> _Span:
    """When something began, and when it ended."""
    if first:
        begun_from, begun_by = first.sure_first, first.sure_last
    else:
        begun_from, begun_by = (_NEVER, _NEVER) if start == "open" else (_LONG_AGO, _FAR_OFF)
    if last:
        ended_from, ended_by = last.sure_first, last.sure_last
    else:
        ended_from, ended_by = (_FOREVER, _FOREVER) if end == "open" else (_LONG_AGO, _FAR_OFF)
    # It cannot have ended before it began.
    begun_by, ended_from = min(begun_by, ended_by), max(ended_from, begun_from)
    return _Span(begun_from, begun_by, ended_from, ended_by, begun_by, ended_from)


def _member(text: str, start: int, end: int) -> tuple[_Plain | None, _Plain | None]:
    """One member of a set: a date twice, or the two ends of a range, None for the end that is open."""
    dots = text.find("..", start, end)
    if dots < 0:
        plain = _Reader(text, start, end).read()
        return plain, plain
    low = _Reader(text, start, dots).read() if dots > start else None
    high = _Reader(text, dots + 2, end).read() if dots + 2 < end else None
    whole = (start, end)
    if low is None and high is None:
        raise NotationError(text, whole, "a date before or after the dots")
    if low is None and start != 1:
        raise NotationError(
            text, whole, "a date before the dots", "only the first member can be open to the past"
        )
    if high is None and end != len(text) - 1:
        raise NotationError(
            text, whole, "a date after the dots", "only the last member can be open to the future"
        )
    if low and high:
        if low.precision != high.precision:
            raise NotationError(
                text, whole, "two years, two months or two days", "the range mixes different precisions"
            )
        if low.no_earlier_than() > high.last:
            raise NotationError(text, whole, "the earlier date first", "the range runs backwards")
    return low, high


def _member_span(kind: Kind, low: _Plain | None, high: _Plain | None) -> _Span:
    """What one member of a set says: of "one of" some time in the range, of "all of" the whole range."""
    if low is not None and low is high:
        return low.span()
    if kind == "all of":
        return _interval_span(low, high, "given" if low else "open", "given" if high else "open")
    first = low.sure_first if low else _LONG_AGO
    last = high.sure_last if high else _FAR_OFF
    return _Span(first, last, first, last, last, first)


def _before(one: _Span, other: _Span) -> bool | None:
    if one.ended_by < other.begun_from:
        return True
    return False if one.ended_from >= other.begun_by else None


def _within(one: _Span, other: _Span) -> bool | None:
    if other.core_from <= one.begun_from and one.ended_by <= other.core_to:
        return True
    return False if one.begun_by < other.begun_from or one.ended_from > other.ended_by else None


def _overlaps(one: _Span, other: _Span) -> bool | None:
    if one.begun_by <= other.ended_from and other.begun_by <= one.ended_from:
        return True
    return False if one.ended_by < other.begun_from or other.ended_by < one.begun_from else None


def _every(answers: Iterable[bool | None]) -> bool | None:
    """True if all are, False if one is: three-valued "and"."""
    unknown = False
    for answer in answers:
        if answer is False:
            return False
        unknown |= answer is None
    return None if unknown else True


def _some(answers: Iterable[bool | None]) -> bool | None:
    """True if one is, False if all are: three-valued "or"."""
    unknown = False
    for answer in answers:
        if answer:
            return True
        unknown |= answer is None
    return None if unknown else False


def _unanimous(answers: Iterable[bool | None]) -> bool | None:
    """The answer that all give, else None: one of them is right, and nobody knows which."""
    found = set(answers)
    return found.pop() if len(found) == 1 else None


_Join = Callable[[Iterable[bool | None]], bool | None]


class _Fields(NamedTuple):
    """What a Date is made of."""

    text: str
    kind: Kind
    earliest: Day | None
    latest: Day | None
    start: Side
    end: Side
    marks: int
    spans: tuple[_Span, ...]


def _fields(text: str) -> _Fields:
    if text[:1] in ("[", "{"):
        return _set(text)
    slash = text.find("/")
    if slash >= 0:
        return _interval(text, slash)
    plain = _Reader(text, 0, len(text)).read(timed=True)
    return _Fields(
        plain.text, "date", plain.first, plain.last, "given", "given", plain.marks, (plain.span(),)
    )


def _interval(text: str, slash: int) -> _Fields:
    second = text.find("/", slash + 1)
    if second >= 0:
        raise NotationError(text, (second, second + 1), "one slash, between start and end")
    if text == "/":
        raise NotationError(text, (0, 1), "a start or an end", "an interval without both ends says nothing")
    start, first = _side(text, 0, slash)
    end, last = _side(text, slash + 1, len(text))
    if first and last and first.no_earlier_than() > last.last:
        raise NotationError(
            text,
            (0, len(text)),
            "the earlier date first",
            "the interval runs backwards",
            (f"{last.text}/{first.text}",),
        )
    return _Fields(
        f"{first.text if first else _SIDE_TEXT[start]}/{last.text if last else _SIDE_TEXT[end]}",
        "interval",
        first and first.first,
        last and last.last,
        start,
        end,
        (first.marks if first else 0) | (last.marks if last else 0),
        (_interval_span(first, last, start, end),),
    )


def _set(text: str) -> _Fields:
    kind: Kind = "one of" if text[0] == "[" else "all of"
    close = "]" if kind == "one of" else "}"
    if text[-1] != close:
        raise NotationError(text, (len(text), len(text)), f"{close} at the end of the set")
    if text.count(",") >= MOST_MEMBERS:
        raise NotationError(text, (0, len(text)), f"at most {MOST_MEMBERS} members", "the set is too large")
    members = []
    at = 1
    while at < len(text):
        comma = text.find(",", at)
        stop = comma if comma >= 0 else len(text) - 1
        members.append(_member(text, at, stop))
        at = stop + 1
    marks = 0
    for plain in (end for member in members for end in member if end):
        marks |= plain.marks
    lows = [low.first for low, _ in members if low]
    highs = [high.last for _, high in members if high]
    open_start, open_end = len(lows) < len(members), len(highs) < len(members)
    return _Fields(
        text[0] + ",".join(_member_text(low, high) for low, high in members) + close,
        kind,
        None if open_start else min(lows),
        None if open_end else max(highs),
        "open" if open_start else "given",
        "open" if open_end else "given",
        marks,
        tuple(_member_span(kind, low, high) for low, high in members),
    )


def _member_text(low: _Plain | None, high: _Plain | None) -> str:
    if low is not None and low is high:
        return low.text
    return f"{low.text if low else ''}..{high.text if high else ''}"


def _suggestions(text: str) -> tuple[str, ...]:
    """What was probably meant by ways of writing that people have; only what is well written itself."""
    if len(text) > 40:
        return ()
    bare = text.strip().replace("\u2013", "-").replace("\u2014", "-")
    low = bare.lower()
    options = [bare, bare.replace(" ", "")]
    words = ("circa ", "about ", "ca. ", "ca ", "c. ", "c.")
    options += [bare[len(word) :].strip() + "~" for word in words if low.startswith(word)]
    options.append(low.replace("x", "X").replace("u", "X"))
    options.append(bare.replace("?~", "%").replace("~?", "%"))
    if low.endswith("0s"):
        options.append(bare[:-2] + "X")
    if bare.isdigit():
        options += [f"{bare[:4]}-{bare[4:6]}-{bare[6:]}", f"{bare[:4]}-{bare[4:]}", f"Y{bare}"]
    if " or " in low:
        options.append(f"[{','.join(low.split(' or '))}]")
    options.append(bare.removeprefix("Y"))
    options.append(low.replace("unknown", "").replace("open", "..").replace(" to ", "/").replace(" - ", "/"))
    parts = bare.split("-")
    if len(parts) > 1 and bare.isascii() and all(part.isdigit() for part in parts):
        options.append("-".join([parts[0], *(part.zfill(2) for part in parts[1:])]))
        if len(parts) == 2 and int(parts[1]) > _LAST_GROUPING:
            options.append(f"{parts[0]}/{parts[0][: -len(parts[1])]}{parts[1]}")
    good = [option for option in dict.fromkeys(options) if option != text and _is_well_written(option)]
    return tuple(good[:3])


def _is_well_written(text: str) -> bool:
    try:
        _fields(text)
    except NotationError:
        return False
    return True


@final
class Date(Value):
    """When something happened or went on, as far as it is known: an EDTF expression.

    Equal dates say the same thing: ``?1984`` and ``1984?`` are equal. There is no ``<``, since two dates may
    well overlap: see :meth:`before`, and :attr:`sort_key` for a list in a settled order.

    Attributes:
        kind: ``"date"``, ``"interval"``, ``"one of"`` (``[...]``) or ``"all of"`` (``{...}``).
        earliest: the first :class:`Day` that it can be, as written; None where the start is unknown or open.
        latest: the last one; None where the end is unknown or open.
        start: ``"given"``, ``"unknown"`` (``/1985``) or ``"open"`` (``../1985``).
        end: the same for the end.
        uncertain: some part is marked ``?`` or ``%``.
        approximate: some part is marked ``~`` or ``%``.
    """

    __slots__ = ("_spans", "_text", "approximate", "earliest", "end", "kind", "latest", "start", "uncertain")

    kind: Kind
    earliest: Day | None
    latest: Day | None
    start: Side
    end: Side
    uncertain: bool
    approximate: bool
    _text: str
    _spans: tuple[_Span, ...]

    def __init__(self) -> None:
        raise TypeError("a Date is made by Date.parse(text)")

    @classmethod
    def parse(cls, text: str) -> "Date":
        """The date that ``text`` writes, exactly as EDTF has it: no spaces, capital letters, real days.

        Raises:
            NotationError: not EDTF, or one of the level 2 forms that are not read here, or not a day of the
                calendar, or an interval that runs backwards (its ``problem`` says so).
            TypeError: not a string.
        """
        must_be_text(text, "a date")
        # A subclass of str may have a hash of its own; a long set is not worth remembering.
        text = str.__str__(text)
        return _remembered(text) if len(text) <= 64 else _read(text)

    @classmethod
    def is_valid(cls, text: object) -> bool:
        """Whether :meth:`parse` would read ``text``; False for anything that is no string."""
        return isinstance(text, str) and _is_well_written(str.__str__(text))

    @classmethod
    def _made(cls, fields: _Fields) -> Self:
        self = object.__new__(cls)
        put = object.__setattr__
        put(self, "_text", fields.text)
        put(self, "kind", fields.kind)
        put(self, "earliest", fields.earliest)
        put(self, "latest", fields.latest)
        put(self, "start", fields.start)
        put(self, "end", fields.end)
        put(self, "uncertain", bool(fields.marks & _UNCERTAIN))
        put(self, "approximate", bool(fields.marks & _APPROXIMATE))
        put(self, "_spans", fields.spans)
        return self

    def before(self, other: "Date") -> bool | None:
        """Whether this was over before ``other`` began: True, False, or None where that is not known.

        >>> print(Date.parse("1983-06").before(Date.parse("1983-07-01/..")))
        True
        >>> print(Date.parse("1983~").before(Date.parse("1984")))
        None
        """
        return self._judged(other, _before, _every, _every)

    def within(self, other: "Date") -> bool | None:
        """Whether this lies within ``other`` from beginning to end: True, False, or None where not known.

        >>> print(Date.parse("1983-06").within(Date.parse("1983")))
        True
        >>> print(Date.parse("1983-06").within(Date.parse("1983/1985")))  # which began some time in 1983
        None
        """
        return self._judged(other, _within, _every, _some)

    def overlaps(self, other: "Date") -> bool | None:
        """Whether some day belongs to both: True, False, or None where that is not known.

        >>> print(Date.parse("1982/1985").overlaps(Date.parse("1984-05")))
        True
        >>> print(Date.parse("1983").overlaps(Date.parse("1983")))  # two things of one year, each on some day
        None
        """
        return self._judged(other, _overlaps, _some, _some)

    def _judged(
        self,
        other: "Date",
        compare: Callable[[_Span, _Span], bool | None],
        over_mine: _Join,
        over_theirs: _Join,
    ) -> bool | None:
        if not isinstance(other, Date):
            raise TypeError(f"a Date is compared with a Date, not {type(other).__name__}")
        other_spans = other._spans  # noqa: SLF001 - of the same class
        if len(self._spans) == len(other_spans) == 1:
            return compare(self._spans[0], other_spans[0])
        # Each choice is a tuple of spans that all hold; which choice is right, nobody knows.
        mine = [(span,) for span in self._spans] if self.kind == "one of" else [self._spans]
        theirs = [(span,) for span in other_spans] if other.kind == "one of" else [other_spans]
        return _unanimous(
            over_mine([over_theirs([compare(one, two) for two in others]) for one in ones])
            for ones in mine
            for others in theirs
        )

    @property
    def sort_key(self) -> tuple[tuple[float, ...], tuple[float, ...], str]:
        """A key that settles the order of a list: by earliest day, then latest, then by the text.

        What has no first day comes first; what has no last day comes after what has one.
        """
        return self.earliest or _LONG_AGO, self.latest or _FAR_OFF, self._text

    def __str__(self) -> str:
        return self._text

    def __repr__(self) -> str:
        return f"Date({self._text!r})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Date):
            return NotImplemented
        return self._text == other._text

    def __hash__(self) -> int:
        return hash(self._text)

    def __reduce__(self) -> tuple[object, ...]:
        return Date.parse, (self._text,)


def _read(text: str) -> Date:
    try:
        fields = _fields(text)
    except NotationError as error:
        found = error.suggestions or _suggestions(text)
        raise NotationError(text, error.span, error.expected, error.problem, found) from None
    return Date._made(fields)  # noqa: SLF001 - the one maker of a Date


# Datasets repeat their dates: reading one again costs a look-up.
_remembered = lru_cache(maxsize=4096)(_read)
