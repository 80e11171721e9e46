"""Dates: reading and writing are inverse, bounds are right, and answers hold for every day left open."""

import calendar
import copy
import datetime as dt
import pickle
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.edtf import MOST_MEMBERS, SEASON_MONTHS, Date, Day
from cardref.text import visible

marks = st.sampled_from(["", "", "", "?", "~", "%"])


@st.composite
def masked(draw: st.DrawFn, digits: st.SearchStrategy[str]) -> str:
    """Digits, some of them unspecified."""
    text = draw(digits)
    hidden = draw(st.sampled_from([0, 0, 0, 1, 2, 3, 15])) if draw(st.booleans()) else 0
    return "".join("X" if hidden >> i & 1 else sign for i, sign in enumerate(text))


years = masked(st.integers(0, 9999).map("{:04}".format))
months = masked(st.integers(1, 12).map("{:02}".format))
days = masked(st.integers(1, 31).map("{:02}".format))
seasons = st.sampled_from(["21", "22", "23", "24"])


@st.composite
def plain_texts(draw: st.DrawFn) -> str:
    """One date, with qualifiers and unspecified digits anywhere."""
    if draw(st.integers(0, 19)) == 7:
        return draw(st.sampled_from(["Y", "Y-"])) + str(draw(st.integers(10_000, 10**17))) + draw(marks)
    text = draw(marks) + draw(st.sampled_from(["", "", "", "-"])) + draw(years) + draw(marks)
    shape = draw(st.integers(0, 3))
    if shape == 3:
        return text + "-" + draw(marks) + draw(seasons) + draw(marks)
    for part in (months, days)[:shape]:
        text += "-" + draw(marks) + draw(part) + draw(marks)
    return text


plains = plain_texts().filter(Date.is_valid)
ends = st.one_of(plains, plains, st.sampled_from(["", ".."]))
intervals = st.builds("{}/{}".format, ends, ends).filter(Date.is_valid)
members = st.one_of(plains, st.builds("{}..{}".format, plains, plains))
sets = st.builds(
    lambda brackets, past, many, future: brackets[0] + past + ",".join(many) + future + brackets[1],
    st.sampled_from(["[]", "{}"]),
    st.sampled_from(["", "", ".."]),
    st.lists(members, min_size=1, max_size=3),
    st.sampled_from(["", "", ".."]),
).filter(Date.is_valid)
written = st.one_of(plains, intervals, sets)
dates = written.map(Date.parse)


@given(written)
def test_what_is_written_reads_back(text: str) -> None:
    """Canonical text and parse are inverse, and canonical text is its own canonical text."""
    date = Date.parse(text)
    assert Date.parse(str(date)) == date
    assert str(Date.parse(str(date))) == str(date)
    assert (Date.parse(str(date)).earliest, Date.parse(str(date)).latest) == (date.earliest, date.latest)


@given(dates)
def test_copies_are_equal(date: Date) -> None:
    """Pickling and copying keep everything that can be asked."""
    for twin in (pickle.loads(pickle.dumps(date)), copy.copy(date), copy.deepcopy(date)):  # noqa: S301 - our own bytes
        assert (twin, hash(twin), twin.earliest, twin.latest) == (
            date,
            hash(date),
            date.earliest,
            date.latest,
        )
        assert (twin.kind, twin.start, twin.end) == (date.kind, date.start, date.end)


@given(dates)
def test_bounds_are_real_days_in_order(date: Date) -> None:
    """Earliest and latest are days of the calendar, in order but where a season's months decide."""
    for day in (date.earliest, date.latest):
        if day is not None and 1 <= day.year <= 9999:
            dt.date(*day)  # raises where there is no such day
    season = re.search("-[?~%]?2", str(date))
    if date.earliest and date.latest and season is None:
        assert date.earliest <= date.latest
    assert (date.earliest is None) == (date.start != "given")
    assert (date.latest is None) == (date.end != "given")


@given(st.dates())
def test_a_day_is_itself(day: dt.date) -> None:
    """A whole day reads as that day and nothing else."""
    date = Date.parse(day.isoformat())
    assert date.earliest == date.latest == (day.year, day.month, day.day)
    assert str(date.earliest) == day.isoformat() == str(date)


@given(st.integers(1, 9999), st.integers(1, 12))
def test_a_month_is_as_long_as_the_calendar_says(year: int, month: int) -> None:
    """The last day of a month is the one that Python's calendar knows; the day after it is refused."""
    length = calendar.monthrange(year, month)[1]
    date = Date.parse(f"{year:04}-{month:02}")
    assert (date.earliest, date.latest) == ((year, month, 1), (year, month, length))
    assert Date.is_valid(f"{year:04}-{month:02}-{length:02}")
    assert not Date.is_valid(f"{year:04}-{month:02}-{length + 1:02}")


def matches(mask: str, number: int) -> bool:
    """Whether a number is one that a mask allows."""
    return all(sign in ("X", digit) for sign, digit in zip(mask, f"{number:0{len(mask)}}", strict=True))


@given(
    masked(st.integers(1980, 2004).map("{:04}".format)).filter(lambda mask: "X" not in mask[:3]), months, days
)
def test_unspecified_digits_are_bounded_by_what_the_calendar_has(year: str, month: str, day: str) -> None:
    """The bounds are the first and last real day that fits; where no day fits, it is refused."""
    fitting = [
        (y, m, d)
        for y in range(1980, 2010)
        if matches(year, y)
        for m in range(1, 13)
        if matches(month, m)
        for d in range(1, calendar.monthrange(y, m)[1] + 1)
        if matches(day, d)
    ]
    text = f"{year}-{month}-{day}"
    assert Date.is_valid(text) == bool(fitting)
    if fitting:
        date = Date.parse(text)
        assert (date.earliest, date.latest) == (fitting[0], fitting[-1])


def test_season_months_are_those_of_the_table() -> None:
    """The one table of season months is what seasons are read by."""
    for number, (first, last) in SEASON_MONTHS.items():
        date = Date.parse(f"1983-{number}")
        assert date.earliest == (1983, first, 1)
        year, month = (1983, last) if last <= 12 else (1984, last - 12)
        assert date.latest == (year, month, calendar.monthrange(year, month)[1])


# One way in which each kind of date may be true, as (first day, last day) of what it tells of; days are
# ordinals, so that a brute-force reading needs none of the code under test.
def day_number(day: Day) -> int:
    """The day's ordinal."""
    return dt.date(*day).toordinal()


_FAR = 10**7
near = st.sampled_from(
    """1982 1983 1983-02 1983-05 1983-05-01 1983-05-02 1983-21 1983-24 198X 1983-0X 1983-05-1X 1984 1984-02-29
    1983? 1983-~05 1983-05-~01 1983-05~ ?1983-05-01 1982/1984 1983-02/1983-05 1983/1983 1983-05-01/1983-05-01
    1983/.. ../1983 1983/ /1983 ../.. /.. ../ 1983?/1984 1983/1984-~02 [1982,1984] {1982,1984} [1982..1984]
    {1982..1984} [..1983] [1983..] {..1983} {1983..} [1983-05-01,1983-05-02] {1983-05-01,1983-05-02}
    1983-05-01T12:00:00Z 1983-01 1983-12-31 1984-01-01""".split()
)


def ways(date: Date) -> list[tuple[int, int]]:
    """The corners of what a date leaves open: each way is a first and a last day that may be true.

    For a plain date, the first and the last day on which it may have happened; for an interval, its earliest
    and latest starts and ends. Where a part is qualified, far away days are among them.
    """
    text = str(date)
    if date.kind == "interval":
        one, two = text.split("/")
        starts = [-_FAR - 1] if one == ".." else corners(one) or [-_FAR, _FAR]
        stops = [_FAR + 1] if two == ".." else corners(two) or [-_FAR, _FAR]
        found = set()
        for begun in starts:
            for ended in stops:
                if begun <= ended:
                    found.add((begun, ended))
                elif abs(begun) == _FAR:  # nobody knows when it began: no later than it ended
                    found.add((ended, ended))
                elif abs(ended) == _FAR:
                    found.add((begun, begun))
        return sorted(found)
    if date.kind == "date":
        return [(day, day) for day in corners(text) or []]
    raise AssertionError


def corners(text: str) -> list[int] | None:
    """The first and last day of a plain date, or far away ones where its year is qualified."""
    if not text:
        return None
    date = Date.parse(text)
    bare = "".join(sign for sign in text if sign not in "?~%")
    mark = next((sign for sign in text if sign in "?~%"), "")
    if mark:
        at = text.index(mark)
        # Left of a component it speaks for that one; right of one, for all so far: the year among them.
        left = at > 0 and text[at - 1] == "-"
        if not left:
            return [-_FAR, _FAR]
        date = Date.parse(bare[: at - 1])
    assert date.earliest is not None
    assert date.latest is not None
    return [day_number(date.earliest), day_number(date.latest)]


simple = near.map(Date.parse).filter(lambda date: date.kind in ("date", "interval"))


@given(simple, simple)
def test_before_and_overlaps_hold_in_every_way(one: Date, two: Date) -> None:
    """A certain answer is right in each way that the two leave open; unknown means that ways differ."""
    before = {mine[1] < other[0] for mine in ways(one) for other in ways(two)}
    assert one.before(two) is (before.pop() if len(before) == 1 else None)
    overlap = {mine[0] <= other[1] and other[0] <= mine[1] for mine in ways(one) for other in ways(two)}
    answer = one.overlaps(two)
    # Corners that miss each other on either side prove that the days between may meet.
    if answer is not None:
        assert overlap == {answer}


@given(simple, simple)
def test_within_holds_in_every_way(one: Date, two: Date) -> None:
    """A certain answer is right in each way that the two dates leave open."""
    answer = one.within(two)
    if two.kind == "date":
        exact = not set(str(two)) & set("X?~%")
        low, high = (corners(str(two)) or [-_FAR, _FAR])[:2]
        inside = [low <= mine[0] and mine[1] <= high for mine in ways(one)]
        if exact and all(inside):
            assert answer is True
        elif answer is True:
            assert exact
            assert all(inside)
        if answer is False:
            assert not any(inside)
    else:
        found = {other[0] <= mine[0] and mine[1] <= other[1] for mine in ways(one) for other in ways(two)}
        if answer is not None:
            assert found == {answer}


@given(dates, dates)
def test_answers_agree_with_each_other(one: Date, two: Date) -> None:
    """What is before is not after, overlaps nothing and is within nothing; overlap has no direction."""
    assert one.overlaps(two) is two.overlaps(one)
    if one.before(two):
        assert two.before(one) is False
        assert one.overlaps(two) is False
        assert one.within(two) is not True
    if one.overlaps(two):
        assert one.before(two) is False
        assert two.before(one) is False
    if one.within(two) and two.kind != "all of":
        assert one.before(two) is not True
        assert two.before(one) is not True


def answer(one: str, question: str, two: str) -> bool | None:
    """The answer to ``one question two``."""
    found: bool | None = getattr(Date.parse(one), question)(Date.parse(two))
    return found


@pytest.mark.parametrize(
    ("one", "question", "two", "expected"),
    [
        # Years and days.
        ("1982", "before", "1983", True),
        ("1983", "before", "1983", None),
        ("1983-06-11", "before", "1983-06-11", False),
        ("1984", "before", "1983", False),
        ("1983-06", "within", "1983", True),
        ("1983", "within", "1983", True),
        ("1983", "within", "1983-06", None),
        ("1984", "within", "1983", False),
        ("1983", "overlaps", "1983", None),
        ("1983-06-11", "overlaps", "1983-06-11", True),
        ("1983-06-11", "overlaps", "1983-06-12", False),
        # An interval begins and ends some time in what is written.
        ("1983-06", "within", "1982/1984", True),
        ("1983-06", "within", "1983/1984", None),
        ("1983-06", "within", "1984/1985", False),
        ("1982/1985", "overlaps", "1983", True),
        ("1981", "before", "1982/1985", True),
        ("1982", "before", "1982/1985", None),
        ("1982/1985", "before", "1983", False),
        # An unknown end is an end; an open end is none.
        ("1983/", "within", "1980/1990-12-31", None),
        ("1983/..", "within", "1980/1990-12-31", False),
        ("1983/", "before", "1990", None),
        ("1983/..", "before", "1990", False),
        ("1990", "within", "1980/", None),
        ("1990", "within", "1980/..", True),
        ("1990", "within", "../1995", True),
        ("1990", "within", "/1995", None),
        ("1990", "overlaps", "1980/", None),
        ("1990", "overlaps", "1980/..", True),
        ("1983/..", "within", "1980/", False),
        ("1980", "before", "1983/", True),
        ("/1983", "before", "1984", True),
        ("../1983", "before", "1984", True),
        ("1984", "before", "../1983", False),
        # What is marked is not relied on.
        ("1983?", "before", "1990", None),
        ("1983~", "within", "1980/1990", None),
        ("1983-~06", "within", "1983", True),
        ("1983-~06", "before", "1983-07", None),
        ("1983-~06", "before", "1984", True),
        ("1983-06-?11", "within", "1983-06", True),
        ("1983-06-11?", "within", "1983-06", None),
        ("1983", "within", "1983~", None),
        # Unspecified digits: some year of the decade, not all of it.
        ("198X", "within", "1980/1990-12-31", None),
        ("198X", "within", "1979/1990", True),
        ("1983", "within", "198X", None),
        ("1991", "within", "198X", False),
        ("198X", "before", "1990", True),
        # One of the members: certain only where all would answer alike. All of them: each counts.
        ("[1982,1984]", "before", "1985", True),
        ("[1982,1984]", "before", "1983", None),
        ("{1982,1984}", "before", "1983", False),
        ("[1982,1984]", "within", "1983", False),
        ("1983", "within", "[1982,1984]", False),
        ("1982", "within", "[1982,1984]", None),
        ("1982", "within", "{1982,1984}", True),
        ("{1982,1984}", "overlaps", "1983/1985-01-01", True),
        ("[1982,1984]", "overlaps", "1983/1985-01-01", None),
        ("[1982..1984]", "overlaps", "1983-05", None),
        ("{1982..1984}", "overlaps", "1983-05", True),
        ("[..1984]", "before", "1985", True),
        ("[..1984]", "before", "1980", None),
        # Far away years cost nothing and overflow nothing.
        ("Y-999999999999999999", "before", "Y999999999999999999", True),
        ("-0044-03-15", "before", "0001", True),
        ("0000", "within", "-0001/0001", True),
    ],
)
def test_answers_of_the_handbook(one: str, question: str, two: str, expected: bool | None) -> None:
    """Each line is an answer that a reader can check by thinking."""
    assert answer(one, question, two) is expected


@given(st.lists(dates, max_size=6))
def test_sort_key_settles_an_order(many: list[Date]) -> None:
    """Sorting by the key puts earlier first days first, and equal keys mean equal dates."""
    ordered = sorted(many, key=lambda date: date.sort_key)
    firsts = [date.earliest for date in ordered if date.earliest is not None]
    assert firsts == sorted(firsts)
    for one in many:
        for two in many:
            assert (one.sort_key == two.sort_key) == (one == two)


@given(dates)
def test_marks_are_told(date: Date) -> None:
    """Uncertain and approximate are what the canonical text shows."""
    text = str(date)
    assert date.uncertain == any(sign in text for sign in "?%")
    assert date.approximate == any(sign in text for sign in "~%")


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("?1984", "1984?"),
        ("?1984~", "1984%"),
        ("~2004-~06-11", "2004-06~-11"),
        ("?2004-?06-?11", "2004-06-11?"),
        ("2004?-06~", "%2004-~06"),
        ("?-0044-03-15", "-0044?-03-15"),
        ("?-0044-~03-15", "?-0044-~03-15"),
        ("1984?/..", "1984?/.."),
        ("[?1667..~1668]", "[1667?..1668~]"),
    ],
)
def test_one_way_of_writing_each(text: str, canonical: str) -> None:
    """What means the same is written the same."""
    assert str(Date.parse(text)) == canonical
    assert Date.parse(text) == Date.parse(canonical)


@pytest.mark.parametrize(
    ("text", "problem", "meant"),
    [
        ("1985/1983", "the interval runs backwards", ("1983/1985",)),
        ("1985-06/1985-05~", "the interval runs backwards", ("1985-05~/1985-06",)),
        ("[1985..1984]", "the range runs backwards", ()),
        ("[1984..1985-06]", "the range mixes different precisions", ()),
        ("[1983,..1984]", "only the first member", ()),
        ("[1983..,1984]", "only the last member", ()),
        ("/", "an interval without both ends says nothing", ()),
        ("1983-06-31", "the calendar has no such day", ()),
        ("1900-02-29", "the calendar has no such day", ()),
        ("19XX-02-30", "the calendar has no such day", ()),
        ("1983-13", "there is no month 13", ()),
        ("1983-85", "there is no month 85", ("1983/1985",)),
        ("1983-21-01", "a season has no days", ()),
        ("2001-34", "grouping 34", ()),
        ("Y17E8", "exponential years", ()),
        ("1950S2", "significant digits", ()),
        ("198x", "a capital X", ("198X",)),
        ("198u", "a capital X", ("198X",)),
        ("1980s", "", ("198X",)),
        ("c. 1983", "", ("1983~",)),
        ("circa 1983", "", ("1983~",)),
        ("1984?~", "together is %", ("1984%",)),
        ("1983-5", "", ("1983-05",)),
        ("1983-5-1", "", ("1983-05-01",)),
        ("198305", "", ("1983-05", "Y198305")),
        ("19830506", "", ("1983-05-06", "Y19830506")),
        ("12345", "", ("Y12345",)),
        ("Y1984", "Y is for years of more than four digits", ("1984",)),
        ("1983 or 1984", "", ("[1983,1984]",)),
        ("unknown/1985", "", ("/1985",)),
        ("1985/open", "", ("1985/..",)),
        (" 1983 ", "", ("1983",)),
        ("1983–1985", "", ("1983/1985",)),
        ("-0000", "no year -0000", ()),
        ("1985-04-12T24:00:01", "no such time of day", ()),
        ("1985-04-12T10:60:00", "", ()),
        ("1985-04-12T10:00:00-00:00", "behind itself", ()),
        ("1985-04?-12T10:00:00", "a time of day stands only behind", ()),
        ("1985-04-12T10:00:00/1986", "a time of day stands only behind", ()),
    ],
)
def test_what_is_wrong_is_said(text: str, problem: str, meant: tuple[str, ...]) -> None:
    """Each slip gets its own words, and what was probably meant."""
    with pytest.raises(NotationError) as caught:
        Date.parse(text)
    assert problem in caught.value.problem
    assert caught.value.suggestions[: len(meant)] == meant
    assert bool(caught.value.suggestions) == bool(meant)
    assert all(Date.is_valid(suggestion) for suggestion in meant)


@pytest.mark.parametrize(
    "text",
    [
        "1985-04-12T00:00:00",
        "1985-04-12T24:00:00",
        "1985-04-12T23:59:60Z",
        "1985-04-12T10:00:00+14",
        "1985-04-12T10:00:00-04:30",
    ],
)
def test_times_of_day_are_kept_and_not_used(text: str) -> None:
    """A time is written back as it was; the day is the day written, whatever the zone."""
    assert str(Date.parse(text)) == text
    assert Date.parse(text).earliest == Date.parse(text).latest == (1985, 4, 12)


def test_a_set_is_bounded() -> None:
    """A hundred members are read, one more is refused, so that comparing sets is bounded."""
    assert Date.is_valid("[" + ",".join(["1983"] * MOST_MEMBERS) + "]")
    with pytest.raises(NotationError, match="too large"):
        Date.parse("[" + ",".join(["1983"] * (MOST_MEMBERS + 1)) + "]")


HOSTILE = [
    "",
    " ",
    "-",
    "--",
    "?",
    "%%%%",
    "Y",
    "Y-",
    "Y" + "9" * 100_000,
    "[",
    "]",
    "[]",
    "{}",
    "[}",
    "[,]",
    "[..]",
    "{1983",
    "[1983]]",
    "[[1983]]",
    "[1983/1984]",
    "[1983]?",
    "../../..",
    "1/2/3",
    "1983\n",
    "1983\x00",
    "\x1b[31m1983",
    "\u202e1983",
    "１９８３",
    "١٩٨٣",
    "1983²",
    "1983-²",
    "\ud800",
    "+1983",
    "1983.5",
    "XXX",
    "XXXXX",
    "1983-XXX",
    "9" * 100_000,
    "X" * 100_000,
    "?" * 100_000,
    "[" * 100_000,
    "," * 100_000,
    "[" + "," * 99 + "]",
    "/" * 100_000,
    "." * 100_000,
    "1983-" * 20_000,
    "[" + "1983.." * 20_000 + "]",
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_refused_calmly(text: str) -> None:
    """Whatever the text, a NotationError whose message is short and printable."""
    assert not Date.is_valid(text)
    with pytest.raises(NotationError) as caught:
        Date.parse(text)
    message = str(caught.value)
    assert len(message) < 700
    assert all(visible(line) == line for line in message.split("\n"))
    start, end = caught.value.span
    assert 0 <= start <= end <= len(text)


@given(st.one_of(st.text(max_size=30), st.text("0123456789X?~%-/.,[]{}YTZ:+²٣½", max_size=30)))
def test_any_text_is_read_or_refused(text: str) -> None:
    """is_valid and parse agree, and nothing but NotationError comes out."""
    if Date.is_valid(text):
        date = Date.parse(text)
        assert Date.parse(str(date)) == date
    else:
        with pytest.raises(NotationError) as caught:
            Date.parse(text)
        assert all(Date.is_valid(each) for each in caught.value.suggestions)


@given(written, st.characters(), st.data())
def test_one_foreign_sign_is_never_a_crash(text: str, sign: str, data: st.DataObject) -> None:
    """A well-written text with any one sign put in or changed is read or refused, and nothing else."""
    at = data.draw(st.integers(0, len(text)))
    for mistaken in (text[:at] + sign + text[at:], text[:at] + sign + text[at + 1 :]):
        if not Date.is_valid(mistaken):
            with pytest.raises(NotationError):
                Date.parse(mistaken)


@pytest.mark.parametrize(
    "thing", [None, 1983, 1983.5, b"1983", [], {}, object(), dt.date(1983, 6, 1), float("nan")]
)
def test_what_is_no_string_is_a_type_error(thing: object) -> None:
    """YAML may turn 1983 into a number and 1983-06-01 into a date: neither is taken for what was written."""
    assert not Date.is_valid(thing)
    with pytest.raises(TypeError):
        Date.parse(thing)  # type: ignore[arg-type]  # the misuse that is tested


class Sly(str):
    """A string that hashes like every other and equals none."""

    __slots__ = ()

    def __hash__(self) -> int:
        raise AssertionError

    def __eq__(self, other: object) -> bool:
        raise AssertionError

    def __str__(self) -> str:
        raise AssertionError


def test_a_sly_string_is_read_by_its_signs() -> None:
    """A subclass of str cannot upset what is remembered."""
    assert Date.parse(Sly("1983-06")) == Date.parse("1983-06")
    assert Date.is_valid(Sly("1983-06"))


def test_there_is_no_less_than() -> None:
    """Dates overlap, so "<" would answer more than is known."""
    with pytest.raises(TypeError):
        assert Date.parse("1983") < Date.parse("1984")  # type: ignore[operator]  # the misuse that is tested


def test_only_dates_are_compared() -> None:
    """A text is not parsed on the quiet."""
    date = Date.parse("1983")
    for question in (date.before, date.within, date.overlaps):
        with pytest.raises(TypeError):
            question("1984")  # type: ignore[arg-type]  # the misuse that is tested
    assert date != "1983"


def test_a_date_does_not_change_and_is_made_by_parse_alone() -> None:
    """Values are frozen."""
    date = Date.parse("1983")
    with pytest.raises(AttributeError):
        date.earliest = None
    with pytest.raises(TypeError):
        Date()
    assert {date: "seen"}[Date.parse("1983")] == "seen"
