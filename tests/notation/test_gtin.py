"""Barcode numbers: one canonical form, exact reading, an open kind reading, and no country made up."""

import copy
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.checkdigit import gtin
from cardref.notation.gtin import PREFIXES, Gtin
from cardref.text import visible

payloads = st.sampled_from([7, 11, 12, 13]).flatmap(
    lambda size: st.text("0123456789", min_size=size, max_size=size)
)
written = payloads.map(lambda payload: payload + str(gtin(payload)))
numbers = written.map(Gtin.parse)


@given(numbers)
def test_what_is_written_reads_back(number: Gtin) -> None:
    """Canonical text and parse are inverse; the canonical text has 14 digits."""
    assert Gtin.parse(str(number)) == number
    assert len(str(number)) == 14


@given(numbers)
def test_copies_are_equal_and_keep_the_printed_form(number: Gtin) -> None:
    """Pickling and copying keep the number, its hash and how it was printed."""
    for twin in (pickle.loads(pickle.dumps(number)), copy.copy(number), copy.deepcopy(number)):  # noqa: S301 - our own bytes
        assert (twin, hash(twin), twin.printed) == (number, hash(number), number.printed)


@given(st.lists(numbers, max_size=6))
def test_order_is_that_of_the_fourteen_digits(many: list[Gtin]) -> None:
    """Sorting numbers sorts their canonical digits, and the comparisons agree with equality."""
    assert [number.digits for number in sorted(many)] == sorted(number.digits for number in many)
    for one in many:
        for two in many:
            assert (one < two) + (one == two) + (one > two) == 1
            assert (one <= two) == (not one > two)
            assert (one >= two) == (not one < two)


@given(written, st.data())
def test_a_wrong_digit_is_refused_and_the_right_check_digit_told(text: str, data: st.DataObject) -> None:
    """One changed digit is always refused, with the check digit that the others ask for."""
    at = data.draw(st.integers(0, len(text) - 1))
    other = data.draw(st.sampled_from("0123456789").filter(lambda sign: sign != text[at]))
    wrong = text[:at] + other + text[at + 1 :]
    with pytest.raises(NotationError) as caught:
        Gtin.parse(wrong)
    assert caught.value.expected.startswith(f"{gtin(wrong[:-1])} as the last digit")
    assert wrong[:-1] + str(gtin(wrong[:-1])) in caught.value.suggestions
    assert not Gtin.is_valid(wrong)


@pytest.mark.parametrize(
    ("text", "kind", "digits"),
    [
        ("96385074", "EAN-8", "00000096385074"),
        ("036000291452", "UPC-A", "00036000291452"),
        ("6291041500213", "EAN-13", "06291041500213"),
        ("16291041500210", "GTIN-14", "16291041500210"),
    ],
)
def test_kinds_by_length(text: str, kind: str, digits: str) -> None:
    """Each printed length has its name and the same canonical form."""
    number = Gtin.parse(text)
    assert (number.kind, number.digits, number.printed) == (kind, digits, text)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0 36000 29145 2", "036000291452"),
        ("6-291041-500213", "6291041500213"),
        ("６２９１０４１５００２１３", "6291041500213"),
        ("６291O4l5OO2l3", "6291041500213"),
        ("٦٢٩١٠٤١٥٠٠٢١٣", "6291041500213"),
        ("6291041–500213", "6291041500213"),
    ],
)
def test_kind_reading_shows_every_change(text: str, value: str) -> None:
    """Spaces, dashes, lookalikes and other scripts are read, and each change has its column."""
    assert not Gtin.is_valid(text)
    seen = Gtin.read(text)
    assert seen.value is not None
    assert seen.value.printed == value
    assert seen.changes
    assert all(1 <= change.column <= len(text) for change in seen.changes)
    with pytest.raises(NotationError) as caught:
        Gtin.parse(text)
    assert caught.value.suggestions == (value,)


@given(written)
def test_kind_reading_of_an_exact_number_changes_nothing(text: str) -> None:
    """What is written exactly is read the same, with no changes."""
    assert Gtin.read(text).exact
    assert Gtin.read(text).value == Gtin.parse(text)


@given(st.text(max_size=60))
def test_kind_reading_never_raises(text: str) -> None:
    """Whatever the text, there is a value or a problem, never both."""
    seen = Gtin.read(text)
    assert (seen.value is None) == (seen.problem is not None)


def test_kind_reading_never_mends_a_check_digit() -> None:
    """Which digit is wrong nobody knows, so a number that does not fit is no number."""
    seen = Gtin.read("0 36000 29145 3")
    assert seen.value is None
    assert seen.problem is not None
    assert "036000291452" in seen.problem.suggestions


def test_a_missing_check_digit_and_a_short_form_are_suggested() -> None:
    """Eleven digits want their twelfth; eight digits of a zero-suppressed UPC-E want to be unpacked."""
    for text, meant in (("03600029145", "036000291452"), ("04252614", "042100005264")):
        with pytest.raises(NotationError) as caught:
            Gtin.parse(text)
        assert caught.value.suggestions[0] == meant


def test_prefixes_are_ranges_in_order() -> None:
    """The table can be searched: ranges are not empty, do not overlap, and stand in order."""
    for (first, last, country), (after, _, _) in zip(PREFIXES, (*PREFIXES[1:], (1000, 0, "")), strict=True):
        assert 0 <= first <= last < after
        assert country


@pytest.mark.parametrize(
    ("payload", "issued_by"),
    [
        ("730001100001", "GS1 Sweden"),
        ("629104150021", "GS1 United Arab Emirates"),
        ("890400021003", "GS1 India"),
        ("03600029145", "GS1 US"),
        ("20000000000", ""),  # for use inside one shop
        ("200000000000", ""),
        ("978030640615", ""),  # books
        ("140000000000", ""),  # given to nobody
        ("999999999999", ""),
        ("0000000", ""),
        ("9638507", ""),  # an EAN-8 has prefixes of its own
        ("0000009638507", ""),  # the same, written in 14 digits
    ],
)
def test_issuer_is_told_only_where_the_prefix_has_one(payload: str, issued_by: str) -> None:
    """The prefix names an organisation, or nothing; never a country of origin."""
    assert Gtin.parse(payload + str(gtin(payload))).issued_by == issued_by


HOSTILE = [
    "",
    " ",
    "1",
    "123456789",
    "629104150021３",
    "6291041500213\n",
    "629104150021x",
    "-291041500213",
    "+6291041500213",
    "6291041500213.0",
    "\ud800" * 13,
    "\x1b[31m" + "1" * 8,
    "²" * 13,
    "1" * 100_000,
    "9" * 4301,
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_refused_calmly(text: str) -> None:
    """Whatever the text, a NotationError whose message is short and printable."""
    assert not Gtin.is_valid(text)
    with pytest.raises(NotationError) as caught:
        Gtin.parse(text)
    message = str(caught.value)
    assert len(message) < 500
    assert all(visible(line) == line for line in message.split("\n"))


@given(written, st.characters(), st.data())
def test_one_foreign_sign_is_never_a_crash(text: str, sign: str, data: st.DataObject) -> None:
    """A well-written text with any one sign put in or changed is read or refused, and nothing else."""
    at = data.draw(st.integers(0, len(text)))
    for mistaken in (text[:at] + sign + text[at:], text[:at] + sign + text[at + 1 :]):
        if not Gtin.is_valid(mistaken):
            with pytest.raises(NotationError):
                Gtin.parse(mistaken)


@pytest.mark.parametrize(
    "thing", [None, 0, 6291041500213, 1.5, b"6291041500213", [], {}, object(), type, float("nan")]
)
def test_what_is_no_string_is_a_type_error(thing: object) -> None:
    """A barcode that lost its leading zeros to a spreadsheet is not taken as a number."""
    assert not Gtin.is_valid(thing)
    with pytest.raises(TypeError):
        Gtin.parse(thing)  # type: ignore[arg-type]  # the misuse that is tested
    with pytest.raises(TypeError):
        Gtin.read(thing)  # type: ignore[arg-type]  # the misuse that is tested


def test_a_number_does_not_change() -> None:
    """Values are frozen, and compare with their own kind only."""
    number = Gtin.parse("96385074")
    with pytest.raises(AttributeError):
        number.digits = "1"
    assert number != "00000096385074"
    with pytest.raises(TypeError):
        assert number < "1"
