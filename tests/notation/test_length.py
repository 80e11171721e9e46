"""Lengths: every documented way of writing, what it implies, and comparisons that admit doubt."""

import copy
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.length import LONGEST, Form, Length
from cardref.text import visible

F = Fraction

# What is written; canonical; value, resolution, low, high in millimetres.
FORMS = [
    ("1 mm", "1 mm", 1, 1, F(1, 2), F(3, 2)),
    ("1.5mm", "1.5 mm", F(3, 2), F(1, 10), F(29, 20), F(31, 20)),
    ("1,5 mm", "1.5 mm", F(3, 2), F(1, 10), F(29, 20), F(31, 20)),
    ("3.0 mm", "3.0 mm", 3, F(1, 10), F(59, 20), F(61, 20)),
    ("30 mm", "30 mm", 30, 1, F(59, 2), F(61, 2)),
    ("0 mm", "0 mm", 0, 1, 0, F(1, 2)),
    ("0.1 cm", "1 mm", 1, 1, F(1, 2), F(3, 2)),
    ("1 cm", "1 cm", 10, 10, 5, 15),
    ("0,125 in", "0.125 in", F(127, 40), F(254, 10000), F(31623, 10000), F(31877, 10000)),
    ("1/16 in", "1/16 in", F(127, 80), F(127, 80), F(127, 160), F(381, 160)),
    ('1/16"', "1/16 in", F(127, 80), F(127, 80), F(127, 160), F(381, 160)),
    ("2/16 in", "2/16 in", F(127, 40), F(127, 80), F(381, 160), F(127, 32)),
    ('1 1/2"', "1 1/2 in", F(381, 10), F(127, 10), F(127, 4), F(889, 20)),
    ("32/16 in", "32/16 in", F(254, 5), F(127, 80), F(8001, 160), F(1651, 32)),
    ("about 3 mm", "about 3 mm", 3, 2, 2, 4),
    ("about 1/8 in", "about 1/8 in", F(127, 40), F(127, 20), 0, F(127, 20)),
    ("2-3 mm", "2-3 mm", F(5, 2), 1, 2, 3),
    ("2–3 mm", "2-3 mm", F(5, 2), 1, 2, 3),
    ("0-0.5 mm", "0-0.5 mm", F(1, 4), F(1, 2), 0, F(1, 2)),
    ("1/16-1/8 in", "1.5875-3.175 mm", F(381, 160), F(127, 80), F(127, 80), F(127, 40)),
    ("1 1/2-2 in", "38.1-50.8 mm", F(889, 20), F(127, 10), F(381, 10), F(254, 5)),
    ("3 ± 0.5 mm", "3 ± 0.5 mm", 3, 1, F(5, 2), F(7, 2)),
    ("3±0,5mm", "3 ± 0.5 mm", 3, 1, F(5, 2), F(7, 2)),
    ("3 +/- 0.5 mm", "3 ± 0.5 mm", 3, 1, F(5, 2), F(7, 2)),
    ("3 ± 5 mm", "3 ± 5 mm", 3, 10, 0, 8),
    ("3 mm to the nearest 5 mm", "3 mm to the nearest 5 mm", 3, 5, F(1, 2), F(11, 2)),
    ("5 mm to the nearest 1 mm", "5 mm", 5, 1, F(9, 2), F(11, 2)),
    ("1.5cm to the nearest 1/2cm", "15 mm to the nearest 5 mm", 15, 5, F(25, 2), F(35, 2)),
    ("about 3 mm to the nearest 5 mm", "about 3 mm to the nearest 5 mm", 3, 10, 0, 8),
]


@pytest.mark.parametrize(("text", "canonical", "value", "resolution", "low", "high"), FORMS)
def test_forms(
    text: str, canonical: str, value: Fraction, resolution: Fraction, low: Fraction, high: Fraction
) -> None:
    """Each documented way of writing gives exactly this value, resolution and bounds."""
    length = Length.parse(text)
    assert (length.value, length.resolution, length.low, length.high) == (value, resolution, low, high)
    assert str(length) == canonical
    assert Length.parse(canonical) == length
    assert Length.is_valid(text)


numbers = st.one_of(
    st.integers(0, LONGEST // 26).map(str),
    st.builds(
        lambda whole, places, digits, comma: f"{whole}{',' if comma else '.'}{digits:0{places}}",
        st.integers(0, 99),
        st.just(2),
        st.integers(0, 99),
        st.booleans(),
    ),
    st.builds(lambda top, parts: f"{top}/{parts}", st.integers(0, 200), st.integers(1, 200)),
    st.builds(
        lambda whole, parts, top: f"{whole} {top % (parts - 1) + 1}/{parts}",
        st.integers(1, 20),
        st.integers(2, 128),
        st.integers(0, 126),
    ),
)
units = st.sampled_from(["mm", "cm", "in", '"', " mm", " cm", " in", ' "'])
readings = st.builds(
    lambda about, number, unit, stated: about + number + unit + stated,
    st.sampled_from(["", "about "]),
    numbers,
    units,
    st.one_of(st.just(""), st.builds(lambda n, u: f" to the nearest {n}{u}", numbers, units)),
)
pairs = st.builds(
    lambda one, sign, two, unit: one + sign + two + unit,
    numbers,
    st.sampled_from(["-", "–", "±", " ± ", " +/- "]),
    numbers,
    units,
)
written = st.one_of(readings, pairs).filter(Length.is_valid)
lengths = written.map(Length.parse)
forms: st.SearchStrategy[Form] = st.sampled_from(["reading", "about", "range", "tolerance"])


@given(lengths)
def test_what_is_written_reads_back(length: Length) -> None:
    """Canonical text and parse are inverse, and canonical text is its own canonical text."""
    assert Length.parse(str(length)) == length
    assert str(Length.parse(str(length))) == str(length)


@given(
    st.fractions(0, LONGEST, max_denominator=10**9), st.fractions(0, LONGEST, max_denominator=10**9), forms
)
def test_what_is_made_reads_back(value: Fraction, resolution: Fraction, form: Form) -> None:
    """Any length that can be made can be written and read again, exactly."""
    try:
        length = Length(value, resolution, form)
    except NotationError:
        return
    assert Length.parse(str(length)) == length


@given(lengths)
def test_copies_are_equal(length: Length) -> None:
    """Pickling and copying keep everything that is compared."""
    for twin in (pickle.loads(pickle.dumps(length)), copy.copy(length), copy.deepcopy(length)):  # noqa: S301 - our own bytes
        assert (twin, hash(twin), str(twin)) == (length, hash(length), str(length))


@given(lengths, lengths)
def test_answers_agree_with_each_other(one: Length, two: Length) -> None:
    """Surely shorter one way is surely not so the other way, and what is within is neither."""
    if one.before(two):
        assert two.before(one) is False
        assert one.within(two) is False
    if one.within(two):
        assert one.before(two) is not True
        assert two.before(one) is not True
    assert one.within(one) is True
    assert one.before(one) is not True


@given(lengths, lengths, st.fractions(0, 1), st.fractions(0, 1))
def test_answers_hold_for_every_length_left_open(
    one: Length, two: Length, mine: Fraction, theirs: Fraction
) -> None:
    """A certain answer is right whichever lengths within the bounds are the true ones."""
    true_one = one.low + (one.high - one.low) * mine
    true_two = two.low + (two.high - two.low) * theirs
    answer = one.before(two)
    if answer is not None:
        assert (true_one < true_two) is answer
    inside = one.within(two)
    if inside is not None:
        assert (two.low <= true_one <= two.high) is inside


@given(st.lists(lengths, max_size=6))
def test_sort_key_settles_an_order(many: list[Length]) -> None:
    """Sorting by the key puts smaller values first, and equal keys mean equal lengths."""
    ordered = sorted(many, key=lambda length: length.sort_key)
    assert [length.value for length in ordered] == sorted(length.value for length in many)
    for one in many:
        for two in many:
            assert (one.sort_key == two.sort_key) == (one == two)


def test_a_coarse_ruler_cannot_pretend() -> None:
    """1 and 3 mm are told apart by divisions of 1 mm, not by 5 mm (common practice, no source)."""
    assert Length.parse("1 mm").before(Length.parse("3 mm")) is True
    coarse = Length.parse("1 mm to the nearest 5 mm")
    assert coarse.before(Length.parse("3 mm to the nearest 5 mm")) is None


def test_there_is_no_less_than() -> None:
    """Lengths overlap, so "<" would answer more than is known."""
    with pytest.raises(TypeError):
        assert Length.parse("1 mm") < Length.parse("3 mm")  # type: ignore[operator]  # the misuse that is tested


def test_only_lengths_are_compared() -> None:
    """A bare number has no unit, so it is not taken."""
    for question in (Length.parse("1 mm").before, Length.parse("1 mm").within):
        with pytest.raises(TypeError):
            question(3)  # type: ignore[arg-type]  # the misuse that is tested


@pytest.mark.parametrize(
    ("text", "problem", "meant"),
    [
        ("3", "something is missing", ("3 mm",)),
        ("3 inches", "", ("3 in",)),
        ("3 MM", "", ("3 mm",)),
        ("1,500 mm", "a comma before three digits may be", ("1.500 mm", "1500 mm")),
        (".5 mm", "", ("0.5 mm",)),
        ("~3 mm", "", ("about 3 mm",)),
        ("2 to 3 mm", "", ("2-3 mm",)),
        ("2 - 3 mm", "", ("2-3 mm",)),
        ("2mm-3mm", "", ("2-3mm",)),
        ("3-2 mm", "the range runs backwards", ("2-3 mm",)),
        ("3-3 mm", "a range has two different ends", ()),
        ("3 ± 0 mm", "every reading leaves some doubt", ()),
        ("1/0 in", "nothing has zero parts", ()),
        ("1 3/2 in", "", ()),
        ("03 mm", "", ()),
        ("-3 mm", "", ()),
        ("10001 mm", "longer than 10000 mm", ()),
        ("1000 in", "longer than 10000 mm", ()),
        ("1/1000000007 mm", "finer than any ruler", ()),
        ("0.1234567890123456789 mm", "finer than any ruler", ()),
    ],
)
def test_what_is_wrong_is_said(text: str, problem: str, meant: tuple[str, ...]) -> None:
    """Each slip gets its own words, and what was probably meant."""
    with pytest.raises(NotationError) as caught:
        Length.parse(text)
    assert problem in caught.value.problem
    assert caught.value.suggestions == meant
    assert all(Length.is_valid(suggestion) for suggestion in meant)


HOSTILE = [
    "",
    " ",
    "mm",
    "3  mm",
    "3 mm ",
    " 3 mm",
    "3\tmm",
    "3\u00a0mm",
    "３ mm",
    "٣ mm",
    "nan mm",
    "inf mm",
    "1e3 mm",
    "3 m",
    "0x3 mm",
    "1_0 mm",
    "3 mm 4 mm",
    "about about 3 mm",
    "about 2-3 mm",
    "2-3-4 mm",
    "1/2/3 in",
    "3 mm to the nearest",
    "3 mm to the nearest 0 mm",
    "3 ± ± 1 mm",
    "3 \x1b[31mmm",
    "\ud800 mm",
    "9" * 5000 + " mm",
    "1/" + "9" * 5000 + " mm",
    "0." + "1" * 100_000 + " mm",
    "1" + " " * 100_000 + "mm",
    "about " * 20_000,
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_refused_calmly(text: str) -> None:
    """Whatever the text, a NotationError whose message is short and printable."""
    assert not Length.is_valid(text)
    with pytest.raises(NotationError) as caught:
        Length.parse(text)
    message = str(caught.value)
    assert len(message) < 700
    assert all(visible(line) == line for line in message.split("\n"))
    start, end = caught.value.span
    assert 0 <= start <= end <= len(text)


@given(st.one_of(st.text(max_size=30), st.text('0123456789.,/ -±mcin"abouthers', max_size=30)))
def test_any_text_is_read_or_refused(text: str) -> None:
    """is_valid and parse agree, and nothing but NotationError comes out."""
    if Length.is_valid(text):
        length = Length.parse(text)
        assert Length.parse(str(length)) == length
    else:
        with pytest.raises(NotationError) as caught:
            Length.parse(text)
        assert all(Length.is_valid(each) for each in caught.value.suggestions)


@given(written, st.characters(), st.data())
def test_one_foreign_sign_is_never_a_crash(text: str, sign: str, data: st.DataObject) -> None:
    """A well-written text with any one sign put in or changed is read or refused, and nothing else."""
    at = data.draw(st.integers(0, len(text)))
    for mistaken in (text[:at] + sign + text[at:], text[:at] + sign + text[at + 1 :]):
        if not Length.is_valid(mistaken):
            with pytest.raises(NotationError):
                Length.parse(mistaken)


@pytest.mark.parametrize("thing", [None, 3, 3.0, b"3 mm", [], {}, object(), Fraction(3), float("nan")])
def test_what_is_no_string_is_a_type_error(thing: object) -> None:
    """A bare number has no unit, so it is not taken."""
    assert not Length.is_valid(thing)
    with pytest.raises(TypeError):
        Length.parse(thing)  # type: ignore[arg-type]  # the misuse that is tested


@pytest.mark.parametrize(("value", "resolution"), [(1.5, 1), (1, 0.1), (True, 1), ("1", 1), (1, None)])
def test_a_length_is_made_of_exact_numbers(value: object, resolution: object) -> None:
    """A float is not what was written."""
    with pytest.raises(TypeError):
        Length(value, resolution)  # type: ignore[arg-type]  # the misuse that is tested


@pytest.mark.parametrize(
    ("value", "resolution", "form"),
    [
        (-1, 1, "reading"),
        (1, 0, "reading"),
        (1, -1, "tolerance"),
        (1, 3, "range"),
        (10**4000, 1, "reading"),
        (Fraction(1, 10**4000), 1, "reading"),
        (LONGEST, Fraction(1, 10**10), "about"),
    ],
    ids=range(7),
)
def test_a_length_has_bounds(value: int | Fraction, resolution: int | Fraction, form: Form) -> None:
    """What no card can measure is not made, and the message does not print it out."""
    with pytest.raises(NotationError) as caught:
        Length(value, resolution, form)
    assert len(str(caught.value)) < 300


def test_a_form_is_one_of_four() -> None:
    """Another form is a misuse."""
    with pytest.raises(ValueError, match="a range or a tolerance"):
        Length(1, 1, "guess")  # type: ignore[arg-type]  # the misuse that is tested


def test_a_length_does_not_change() -> None:
    """Values are frozen, and equal only to their own kind."""
    length = Length.parse("3 mm")
    with pytest.raises(AttributeError):
        length.value = Fraction(1)
    assert length != "3 mm"
    assert {length: "seen"}[Length.parse("0.3 cm")] == "seen"
