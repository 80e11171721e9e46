"""Designations: read exactly, read kindly, and in the order in which collectors list them."""

import copy
import pickle
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.designation import Designation

UPPER = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
designations = st.builds(Designation, st.integers(0, 999), st.text(UPPER, max_size=2))
# Everything that a lenient reader has rules for, so that random texts reach them.
scraps = st.lists(
    st.sampled_from(
        [
            "25",
            "B",
            "b",
            "8",
            "0",
            "-",
            "–",
            " ",
            "back",
            "Back",
            "the",
            "card",
            "O",
            "l",
            "S",
            "/",
            "２",
            "५",
            "?",
        ]
    ),
    max_size=8,
).map("".join)
nothings: list[Any] = [
    None,
    25,
    25.0,
    True,
    b"25B",
    bytearray(b"25"),
    ["25B"],
    ("25",),
    {"25B"},
    ...,
    str,
    1j,
]


@given(designations)
def test_what_is_written_reads_back(back: Designation) -> None:
    """Canonical text and parse are inverse."""
    assert Designation.parse(str(back)) == back
    assert Designation.is_valid(str(back))


@given(designations)
def test_copies_are_equal(back: Designation) -> None:
    """Pickling by every protocol and copying keep the value and its hash."""
    for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
        twin = pickle.loads(pickle.dumps(back, protocol))  # noqa: S301 - our own bytes
        assert (twin, hash(twin)) == (back, hash(back))
    assert copy.copy(back) == copy.deepcopy(back) == back


def test_nothing_can_be_set() -> None:
    """A designation is frozen: no slot can be set or deleted, and no other attribute exists."""
    back = Designation(25, "B")
    for name in ("count", "letter", "other"):
        with pytest.raises(AttributeError):
            setattr(back, name, 1)
        with pytest.raises(AttributeError):
            delattr(back, name)
    assert back == Designation(25, "B")


def test_the_order_is_count_then_none_then_one_letter_then_two() -> None:
    """9 < 25 < 25A < 25B < 25Z < 25AA < 43, and every pair of these agrees."""
    order = [Designation.parse(text) for text in ("9", "25", "25A", "25B", "25Z", "25AA", "43")]
    backwards = order[::-1]
    assert sorted(backwards) == order
    assert all(one < two for one, two in pairwise(order))


@given(st.lists(designations, max_size=6))
def test_the_order_is_total(many: list[Designation]) -> None:
    """Exactly one of <, ==, > holds for any two, and <= and >= agree with them."""
    for one in many:
        for two in many:
            assert (one < two) + (one == two) + (one > two) == 1
            assert (one <= two) == (not one > two)
            assert (one >= two) == (not one < two)
    listed = sorted(many)
    assert all(one <= two for one, two in pairwise(listed))


def test_it_compares_with_nothing_else() -> None:
    """A designation is not its text, and has no order with it."""
    assert Designation(25) != "25"
    assert Designation(25) != 25
    with pytest.raises(TypeError):
        assert Designation(25) < "26"


@pytest.mark.parametrize("text", ["0", "9", "25", "999", "25B", "0A", "43AA", "999ZZ"])
def test_taken_strictly(text: str) -> None:
    """These are written exactly; reading them kindly changes nothing."""
    assert str(Designation.parse(text)) == text
    seen = Designation.read(text)
    assert (str(seen.value), seen.changes, seen.exact) == (text, (), True)


@pytest.mark.parametrize(
    ("text", "span", "expected"),
    [
        ("", (0, 0), "a count"),
        ("B", (0, 1), "a count"),
        ("-25", (0, 1), "a count"),
        (" 25", (0, 1), "a count"),
        ("25 ", (2, 3), "a capital letter or the end"),
        ("25b", (2, 3), "a capital letter or the end"),
        ("25-B", (2, 3), "a capital letter or the end"),
        ("25B ", (3, 4), "nothing after the letter"),
        ("25B2", (3, 4), "nothing after the letter"),
        ("25ABC", (4, 5), "at most two letters"),
        ("025", (0, 1), "without leading zeros"),
        ("00", (0, 1), "without leading zeros"),
        ("1000", (0, 4), "0 to 999"),
        ("²5", (0, 1), "a count"),
        ("٢٥", (0, 1), "a count"),
        ("２５", (0, 1), "a count"),
        ("25Β", (2, 3), "a capital letter or the end"),  # a Greek capital
        ("25\u0042\u0301", (3, 4), "nothing after the letter"),
        ("25\n", (2, 3), "a capital letter or the end"),
        ("25B\x00", (3, 4), "nothing after the letter"),
        ("\ud800", (0, 1), "a count"),
    ],
)
def test_refused_strictly(text: str, span: tuple[int, int], expected: str) -> None:
    """What is not written exactly is refused at the first sign at fault, with what belongs there."""
    assert not Designation.is_valid(text)
    with pytest.raises(NotationError) as caught:
        Designation.parse(text)
    assert (caught.value.text, caught.value.span) == (text, span)
    assert expected in caught.value.expected


@pytest.mark.parametrize(
    ("text", "written"),
    [
        # what people write
        ("25-B", "25B"),
        ("25 b", "25B"),
        ("25b", "25B"),
        ("25 back", "25"),
        ("25-back", "25"),
        ("25back", "25"),
        ("25B-back", "25B"),
        ("25B back", "25B"),
        ("25 b back", "25B"),
        ("25 back B", "25B"),
        ("25-back-B", "25B"),
        ("25Bback", "25B"),
        ("25 BBACK", "25B"),
        ("25 cardback B", "25B"),
        ("25 card back", "25"),
        ("25 figure back", "25"),
        ("back 25B", "25B"),
        ("the 25", "25"),
        ("the 25B", "25B"),
        ("the 25-b back", "25B"),
        ("The 43 AA Back", "43AA"),
        ("(25B)", "25B"),
        ("#25B", "25B"),
        ("25B.", "25B"),
        (" 25B ", "25B"),
        ("\t25\xa0B", "25B"),
        # other signs for the same
        ("２５Ｂ", "25B"),
        ("२५B", "25B"),
        ("٢٥", "25"),
        ("25–B", "25B"),
        ("25—back", "25"),
        ("25‑B", "25B"),
        ("25−B", "25B"),
        ("25Β", "25B"),  # a Greek capital
        ("025B", "25B"),
        ("000", "0"),
        # lookalikes, where only one reading makes sense
        ("Z5B", "25B"),
        ("I6", "16"),
        ("l6 back", "16"),
        ("S5 back", "55"),
        ("25-8", "25B"),
    ],
)
def test_read_kindly(text: str, written: str) -> None:
    """What people write is read, says what was changed, and the changes stand in the text."""
    seen = Designation.read(text)
    assert str(seen.value) == written
    assert seen.well_formed
    assert not seen.exact
    assert seen.changes
    assert all(1 <= change.column <= len(text) for change in seen.changes)


@pytest.mark.parametrize(
    "text",
    ["", " ", "back", "the back", "B", "B25C7", "2 5 B", "25 B B", "25ABC", "1000", "25 + B",
     "25B figure lot 7", "twenty", "O", "-", "25 8", "25.5", "?5B", "25 back 26", "\ud800", "25B\x00"],
)  # fmt: skip
def test_not_read_at_all(text: str) -> None:
    """Where no reading is plain there is none, and the problem says where it stopped."""
    seen = Designation.read(text)
    assert seen.value is None
    assert seen.problem is not None
    assert seen.problem.text == text


def test_every_change_is_told_with_its_column() -> None:
    """The trace names the sign, what it was read as, and its column in the text as it was given."""
    seen = Designation.read("the Z５–b back")
    assert [str(change) for change in seen.changes] == [
        "'the ' left out at column 1",
        "Z read as 2 at column 5",
        "５ read as 5 at column 6",
        "'–' left out at column 7",
        "b read as B at column 8",
        "' back' left out at column 9",
    ]
    assert all(change.why for change in seen.changes)


@given(st.one_of(st.text(max_size=20), scraps))
def test_reading_kindly_never_fails(text: str) -> None:
    """Any text gives a value or a problem; a value is canonical; what is strictly written is untouched."""
    seen = Designation.read(text)
    assert (seen.value is None) != (seen.problem is None)
    if seen.value is not None:
        assert Designation.parse(str(seen.value)) == seen.value
        assert seen.exact == (str(seen.value) == text)
    if Designation.is_valid(text):
        assert seen.value == Designation.parse(text)


@given(st.one_of(st.text(max_size=20), scraps))
def test_parse_and_is_valid_agree(text: str) -> None:
    """What parse takes is what is_valid says, and all else raises a NotationError."""
    try:
        Designation.parse(text)
    except NotationError:
        assert not Designation.is_valid(text)
    else:
        assert Designation.is_valid(text)


@given(designations)
def test_a_near_miss_is_suggested(back: Designation) -> None:
    """A designation in small letters is refused with the right one as a suggestion."""
    text = f"{back.count}-{back.letter.lower()}back"
    with pytest.raises(NotationError) as caught:
        Designation.parse(text)
    assert caught.value.suggestions == (str(back),)


@pytest.mark.parametrize("thing", nothings, ids=repr)
def test_only_text_is_parsed(thing: Any) -> None:
    """is_valid answers False for what is no string; parse and read raise a TypeError."""
    assert Designation.is_valid(thing) is False
    with pytest.raises(TypeError):
        Designation.parse(thing)
    with pytest.raises(TypeError):
        Designation.read(thing)


@pytest.mark.parametrize(
    ("count", "letter"),
    [
        (-1, ""),
        (1000, ""),
        pytest.param(10**6000, "", id="huge"),
        (25, "b"),
        (25, "ABC"),
        (25, "1"),
        (25, "Β"),
        (2, "5"),
    ],
)
def test_made_out_of_range(count: int, letter: str) -> None:
    """Count and letter are checked when a designation is made by hand, too."""
    with pytest.raises(NotationError):
        Designation(count, letter)


@pytest.mark.parametrize(("count", "letter"), [(True, ""), (25.0, ""), ("25", ""), (25, None)])
def test_made_of_the_wrong_types(count: Any, letter: Any) -> None:
    """A bool is no count, and None is no letter."""
    with pytest.raises(TypeError):
        Designation(count, letter)


def test_a_bare_count_covers_its_letters() -> None:
    """A bare 25 names 25B as well, 25B only itself."""
    bare, lettered = Designation(25), Designation(25, "B")
    assert bare.bare
    assert not lettered.bare
    assert bare.covers(lettered)
    assert bare.covers(bare)
    assert not lettered.covers(bare)
    assert not bare.covers(Designation(26))


def test_an_error_survives_pickling_and_shows_the_place() -> None:
    """The error of a bad designation is picklable and draws a caret under the sign at fault."""
    with pytest.raises(NotationError) as caught:
        Designation.parse("25 b")
    twin = pickle.loads(pickle.dumps(caught.value))  # noqa: S301 - our own bytes
    assert (str(twin), twin.span, twin.suggestions) == (str(caught.value), (2, 3), ("25B",))
    assert "  25 b\n    ^\n" in str(twin)


def test_a_long_text_costs_no_more_than_its_length() -> None:
    """A million signs of any kind are refused without being gone through again and again."""
    for text in ("2" * 10**6, "B" * 10**6, "25" + "B" * 10**6, " " * 10**6, "25 back " * 10**5, "é" * 10**6):
        assert not Designation.is_valid(text)
        assert Designation.read(text).value is None
        with pytest.raises(NotationError) as caught:
            Designation.parse(text)
        assert len(str(caught.value)) < 1000
