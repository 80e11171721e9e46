"""Package codes: any layout, read exactly, read kindly, and half read."""

import copy
import pickle
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.checkdigit import ALGORITHMS
from cardref.notation.code import ALPHABETS, DIGITS, MEANINGS, CodeLayout, PackageCode, Segment
from cardref.notation.nearest import Suggester

LETTERED = CodeLayout(
    [
        Segment("series", 2, "alphanumeric", meaning="series"),
        Segment("figure", 4, meaning="figure", before=" "),
        Segment("back", 3, meaning="back", before="/"),
    ]
)
CHECKED = CodeLayout(
    [
        Segment("figure", 5, meaning="figure"),
        Segment("printing", 2, meaning="printing", before="-"),
        Segment("check", 1, meaning="check", before="-"),
    ],
    check="luhn",
)
LETTER_FIRST = CodeLayout([Segment("series", 1, "upper", meaning="series"), Segment("figure", 3)])
DEVANAGARI = CodeLayout([Segment("figure", 3), Segment("back", 2, before=".")], digits="devanagari")

segments = st.builds(
    Segment,
    name=st.sampled_from(["series", "figure", "back", "printing"]),
    width=st.integers(1, 4),
    alphabet=st.sampled_from(sorted(ALPHABETS)),
    meaning=st.sampled_from([each for each in MEANINGS if each != "check"]),
    before=st.sampled_from(["", " ", "-", "/", ". ", "(", "*"]),
)


@st.composite
def layouts(draw: st.DrawFn) -> CodeLayout:
    """Any layout of up to four segments, with or without a check digit in any place."""
    parts = draw(st.lists(segments, min_size=1, max_size=4, unique_by=lambda each: each.name))
    check = ""
    if any(each.alphabet == "digits" for each in parts) and draw(st.booleans()):
        check = draw(st.sampled_from(sorted(ALGORITHMS)))
        parts.insert(draw(st.integers(0, len(parts))), Segment("check", 1, meaning="check"))
    return CodeLayout(parts, digits=draw(st.sampled_from(sorted(DIGITS))), check=check)


@st.composite
def codes(draw: st.DrawFn, layout: CodeLayout | None = None, *, partial: bool = True) -> PackageCode:
    """Any code of a layout, whole or, where that is wanted, half read."""
    layout = layout or draw(layouts())
    texts = {
        each.name: draw(st.text(ALPHABETS[each.alphabet], min_size=each.width, max_size=each.width))
        for each in layout.segments
    }
    if layout.check:
        payload = "".join(
            texts[each.name]
            for each in layout.segments
            if each.alphabet == "digits" and each.meaning != "check"
        )
        texts["check"] = str(ALGORITHMS[layout.check](payload))
    written = "".join(each.before + texts[each.name] for each in layout.segments)
    if partial:
        hidden = draw(st.sets(st.integers(0, len(written) - 1), max_size=3))
        written = "".join("?" if at in hidden and sign.isalnum() else sign for at, sign in enumerate(written))
    return PackageCode.parse(written, layout)


@given(codes())
def test_what_is_written_reads_back(code: PackageCode) -> None:
    """Canonical text and parse are inverse in every layout; the segments are what stands between."""
    assert PackageCode.parse(str(code), code.layout) == code
    assert PackageCode.is_valid(str(code), code.layout)
    assert "".join(each.before + code.segments[each.name] for each in code.layout.segments) == str(code)


@given(codes())
def test_copies_are_equal(code: PackageCode) -> None:
    """Pickling by every protocol and copying keep code and layout, and their hashes."""
    for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
        twin = pickle.loads(pickle.dumps(code, protocol))  # noqa: S301 - our own bytes
        assert (twin, hash(twin), twin.layout) == (code, hash(code), code.layout)
        assert hash(twin.layout) == hash(code.layout)
    assert copy.copy(code) == copy.deepcopy(code) == code


def test_nothing_can_be_set() -> None:
    """Codes, layouts and segments are frozen."""
    for value in (PackageCode("7K 2046/031", LETTERED), LETTERED, LETTERED.segments[0]):
        for name in ("text", "segments", "name", "other"):
            with pytest.raises(AttributeError):
                setattr(value, name, "x")


@given(st.lists(codes(), max_size=5))
def test_the_order_is_total(many: list[PackageCode]) -> None:
    """Exactly one of <, ==, > holds for any two codes, of one layout or of two; the text comes first."""
    for one in many:
        for two in many:
            assert (one < two) + (one == two) + (one > two) == 1
            assert (one <= two) == (not one > two)
            assert (one >= two) == (not one < two)
    assert [code.text for code in sorted(many)] == sorted(code.text for code in many)


def test_one_text_by_two_layouts_is_two_codes() -> None:
    """The same signs mean different things in different layouts, so they are not equal."""
    one = CodeLayout([Segment("figure", 2), Segment("back", 3)])
    two = CodeLayout([Segment("figure", 3), Segment("back", 2)])
    assert PackageCode.parse("12345", one) != PackageCode.parse("12345", two)
    assert not PackageCode.parse("12345", one).matches(PackageCode.parse("12345", two))


def test_segments_and_meanings() -> None:
    """A code gives its segments by name, in order, and by meaning."""
    code = PackageCode.parse("7K 2046/031", LETTERED)
    assert list(code.segments.items()) == [("series", "7K"), ("figure", "2046"), ("back", "031")]
    assert (code.meaning("figure"), code.meaning("printing")) == ("2046", "")


def test_printed_in_the_digits_of_the_card() -> None:
    """The canonical text is ASCII; ``printed`` is in the layout's digits, and is read back kindly."""
    code = PackageCode.parse("046.25", DEVANAGARI)
    assert code.printed == "०४६.२५"
    assert PackageCode.read(code.printed, DEVANAGARI).value == code
    assert not PackageCode.is_valid(code.printed, DEVANAGARI)


@given(codes(), st.data())
def test_read_kindly_without_separators_and_with_others(code: PackageCode, data: st.DataObject) -> None:
    """Whatever stands between the segments, in small letters and native digits: the code is read."""
    native = ord(DIGITS[code.layout.digits]) - ord("0")
    between = data.draw(st.lists(st.sampled_from(["", " ", "–", ".", " / "]), min_size=9, max_size=9))
    text = "".join(
        separator + code.segments[each.name].lower()
        for separator, each in zip(between, code.layout.segments, strict=False)
    )
    text = text.translate({ord("0") + value: ord("0") + value + native for value in range(10)})
    seen = PackageCode.read(text, code.layout)
    assert seen.value == code
    assert seen.exact == (text == str(code))
    assert all(1 <= change.column <= len(text) + 1 for change in seen.changes)


@pytest.mark.parametrize("text", ["7K 2046/031", "AB 0000/000", "00 9999/999", "?? ????/???", "7K 20?6/0??"])
def test_taken_strictly(text: str) -> None:
    """These are written exactly; reading them kindly changes nothing."""
    assert str(PackageCode.parse(text, LETTERED)) == text
    assert PackageCode.read(text, LETTERED).exact


@pytest.mark.parametrize(
    ("text", "span", "expected"),
    [
        ("", (0, 0), "'series'"),
        ("7", (1, 1), "'series'"),
        ("7K", (2, 2), "' '"),
        ("7k 2046/031", (1, 2), "a digit or capital letter of 'series'"),
        ("7K2046/031", (2, 3), "' '"),
        ("7K-2046/031", (2, 3), "' '"),
        ("7K 2O46/031", (4, 5), "a digit of 'figure'"),
        ("7K 246/031", (6, 7), "a digit of 'figure'"),
        ("7K 20466/031", (7, 8), "'/'"),
        ("7K 2046/03", (10, 10), "a digit of 'back'"),
        ("7K 2046/0311", (11, 12), "nothing after 11 signs"),
        ("7K 2046/031 ", (11, 12), "nothing after 11 signs"),
        (" 7K 2046/031", (0, 1), "'series'"),
        ("7K 2046／031", (7, 8), "'/'"),
        ("7K २०४६/031", (3, 4), "a digit of 'figure'"),
        ("7K 2046/031\n", (11, 12), "nothing after 11 signs"),
        ("7K\x002046/031", (2, 3), "' '"),
        ("\ud8007 2046/031", (0, 1), "'series'"),
    ],
)
def test_refused_strictly(text: str, span: tuple[int, int], expected: str) -> None:
    """What is not written exactly is refused at the first sign at fault, with what belongs there."""
    assert not PackageCode.is_valid(text, LETTERED)
    with pytest.raises(NotationError) as caught:
        PackageCode.parse(text, LETTERED)
    assert (caught.value.text, caught.value.span) == (text, span)
    assert expected in caught.value.expected


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("7k 2046/031", ["k read as K at column 2"]),
        ("7K2046031", ["' ' put in at column 3", "'/' put in at column 7"]),
        ("7K-2046-031", ["'-' read as ' ' at column 3", "'-' read as '/' at column 8"]),
        ("7K 2O46/O31", ["O read as 0 at column 5", "O read as 0 at column 9"]),
        ("7K 2046/03l", ["l read as 1 at column 11"]),
        ("7K 2046/03I", ["I read as 1 at column 11"]),
        ("7K Z046/031", ["Z read as 2 at column 4"]),
        ("7K 204G/031", ["G read as 6 at column 7"]),
        ("7K 2046–031", ["'–' read as '/' at column 8"]),
        ("７Ｋ 2046/031", ["７ read as 7 at column 1", "Ｋ read as K at column 2"]),
        ("7К 2046/031", ["К read as K at column 2"]),  # a Cyrillic capital
        ("7K २046/031", ["२ read as 2 at column 4"]),
        ("(7K 2046/031)", ["'(' left out at column 1", "')' left out at column 13"]),
        ("7K 2046/31", ["'0' put in at column 9"]),
        ("7K 20 46/031", ["' ' left out at column 6"]),
    ],
)
def test_read_kindly(text: str, changes: list[str]) -> None:
    """What people write is read, and each change is told with its column in the text as given."""
    seen = PackageCode.read(text, LETTERED)
    assert str(seen.value) == "7K 2046/031"
    assert [str(change) for change in seen.changes] == changes


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("A046", "A046"),
        ("4046", "?"),
        ("8046", "B046"),
        ("5O46", "S046"),
        ("a o46", "A046"),
        ("0046", "O046"),
    ],
)
def test_digits_are_read_as_letters_where_letters_stand(text: str, written: str) -> None:
    """In a segment of letters a digit that looks like one is read as it; another is a misfit."""
    seen = PackageCode.read(text, LETTER_FIRST)
    if written == "?":
        assert seen.value is None
        assert seen.problem is not None
        assert seen.problem.suggestions == ("?046",)
    else:
        assert str(seen.value) == written


@pytest.mark.parametrize(
    ("text", "written"),
    [("7K 2*46/031", "7K 2?46/031"), ("7K 2046/__1", "7K 2046/??1"), ("7K 20X6/03x", "7K 20?6/03?"),
     ("7K 2□46/031", "7K 2?46/031"), ("7K 20\ufffd6/031", "7K 20?6/031")],
)  # fmt: skip
def test_what_people_write_for_an_unread_sign(text: str, written: str) -> None:
    """A star, a blank, a box or an X among digits stands for a sign that cannot be read."""
    assert str(PackageCode.read(text, LETTERED).value) == written


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "7K",
        "7K 2046",
        "7K 2046/0311",
        "7K 20466/031",
        "quay-marl",
        "7K 2046/031 7K",
        "\ud800",
        "É" * 9,
    ],
)
def test_not_read_at_all(text: str) -> None:
    """Where signs are missing or too many there is no value, and the problem says where."""
    seen = PackageCode.read(text, LETTERED)
    assert seen.value is None
    assert seen.problem is not None


def test_a_misfit_leaves_the_rest_as_a_suggestion() -> None:
    """One sign that can be none of its segment: the rest is suggested as a half-read code."""
    with pytest.raises(NotationError) as caught:
        PackageCode.parse("7K 20A6/031", LETTERED)
    assert caught.value.suggestions == ("7K 20?6/031",)
    assert caught.value.span == (5, 6)


def test_known_codes_are_suggested_first() -> None:
    """Given the codes that exist, an error names the nearest of them before anything else."""
    known = Suggester(["7K 2046/031", "8A 1307/043"])
    with pytest.raises(NotationError) as caught:
        PackageCode.parse("7K 2A46/031", LETTERED, known)
    assert caught.value.suggestions == ("7K 2046/031", "7K 2?46/031")


def test_leading_zeros_come_back_where_a_check_digit_vouches() -> None:
    """A bare number without its zeros is read only by a layout that can check it."""
    whole = PackageCode.parse(f"00418-02-{ALGORITHMS['luhn']('0041802')}", CHECKED)
    bare = str(whole).replace("-", "").lstrip("0")
    assert PackageCode.read(bare, CHECKED).value == whole
    unchecked = CodeLayout([Segment("figure", 5), Segment("back", 3)])
    assert PackageCode.read("41802", unchecked).value is None


@given(codes(CHECKED, partial=False), st.data())
def test_a_wrong_check_digit_is_told_with_what_would_mend_it(code: PackageCode, data: st.DataObject) -> None:
    """One changed digit is always refused; the right check digit is named, and every suggestion is a code."""
    at = data.draw(st.sampled_from([at for at, sign in enumerate(code.text) if sign.isdigit()]))
    other = data.draw(st.sampled_from([sign for sign in "0123456789" if sign != code.text[at]]))
    wrong = code.text[:at] + other + code.text[at + 1 :]
    assert not PackageCode.is_valid(wrong, CHECKED)
    with pytest.raises(NotationError) as caught:
        PackageCode.parse(wrong, CHECKED)
    right = ALGORITHMS["luhn"](wrong[:5] + wrong[6:8])
    assert caught.value.span == (9, 10)
    assert f"the check digit {right}," in caught.value.expected
    assert caught.value.suggestions
    assert all(PackageCode.is_valid(each, CHECKED) for each in caught.value.suggestions)
    seen = PackageCode.read(wrong, CHECKED)
    assert seen.value is None


def test_a_half_read_code_is_not_checked() -> None:
    """With a digit or the check digit unread, nothing can be said against it."""
    assert PackageCode.is_valid("30418-02-?", CHECKED)
    assert PackageCode.is_valid("3?418-02-5", CHECKED)
    assert not PackageCode.is_valid("30418-02-5", CHECKED)


SMALL = [
    CodeLayout([Segment("a", 1, "digits"), Segment("b", 1, "upper", before="-")]),
    CodeLayout([Segment("a", 1, "alphanumeric"), Segment("b", 1, "digits")]),
    *(
        CodeLayout([Segment("a", 2), Segment("c", 1, meaning="check"), Segment("b", 1)], check=name)
        for name in sorted(ALGORITHMS)
    ),
    CodeLayout(
        [Segment("l", 1, "upper"), Segment("a", 1), Segment("c", 1, meaning="check")], check="mod11-10"
    ),
]


def everything(layout: CodeLayout) -> list[PackageCode]:
    """All whole codes of a small layout, by trying each text."""
    options = [
        [each.before + "".join(signs) for signs in product(ALPHABETS[each.alphabet], repeat=each.width)]
        for each in layout.segments
    ]
    texts = map("".join, product(*options))
    return [PackageCode.parse(text, layout) for text in texts if PackageCode.is_valid(text, layout)]


@pytest.mark.parametrize("layout", SMALL, ids=lambda layout: layout.blank + layout.check)
def test_possible_is_what_counting_gives(layout: CodeLayout) -> None:
    """For half-read codes of small layouts, the count equals that of all whole codes that match."""
    whole = everything(layout)
    sample = whole[:: max(1, len(whole) // 7)]
    places = [at for at, sign in enumerate(layout.blank) if sign == "?"]
    for code in sample:
        for hidden in product([False, True], repeat=len(places)):
            away = {at for at, hide in zip(places, hidden, strict=True) if hide}
            text = "".join("?" if at in away else sign for at, sign in enumerate(code.text))
            half = PackageCode.parse(text, layout)
            assert half.partial == bool(away)
            assert half.possible == sum(half.matches(other) for other in whole)
            assert half.matches(code)


@given(codes(), codes())
def test_matching_is_mutual(one: PackageCode, two: PackageCode) -> None:
    """A code matches itself, and matching is the same both ways."""
    assert one.matches(one)
    assert one.matches(two) == two.matches(one)


def test_two_half_read_codes_match_only_if_a_whole_one_fits_both() -> None:
    """Signs that do not contradict one another are not enough where the check digit then does."""
    assert PackageCode.parse("3041?-02-4", CHECKED).matches(PackageCode.parse("30418-02-?", CHECKED))
    assert not PackageCode.parse("3041?-02-5", CHECKED).matches(PackageCode.parse("30418-02-?", CHECKED))


def test_twelve_unread_signs_are_counted_at_once() -> None:
    """Counting does not list: a wide layout of which nothing is read has an exact, huge count."""
    wide = CodeLayout([Segment(f"s{at}", 12, "alphanumeric") for at in range(12)])
    assert PackageCode.parse(wide.blank, wide).possible == 36**144


@given(st.one_of(st.text(max_size=25), st.text("7K 2O46/031-?*xlB８", max_size=14)))
@settings(max_examples=200)
def test_reading_kindly_never_fails(text: str) -> None:
    """Any text gives a value or a problem in any layout; a value is canonical."""
    for layout in (LETTERED, CHECKED, LETTER_FIRST, DEVANAGARI):
        seen = PackageCode.read(text, layout)
        assert (seen.value is None) != (seen.problem is None)
        if seen.value is not None:
            assert PackageCode.parse(str(seen.value), layout) == seen.value
        try:
            PackageCode.parse(text, layout)
        except NotationError:
            assert not PackageCode.is_valid(text, layout)
        else:
            assert PackageCode.is_valid(text, layout)


@pytest.mark.parametrize("thing", [None, 7, 7.0, True, b"7K 2046/031", ["7K"], ..., str], ids=repr)
def test_only_text_is_parsed(thing: Any) -> None:
    """is_valid answers False for what is no string; parse and read raise a TypeError."""
    assert PackageCode.is_valid(thing, LETTERED) is False
    for reader in (PackageCode.parse, PackageCode.read):
        with pytest.raises(TypeError):
            reader(thing, LETTERED)


def test_anything_with_a_layout_is_a_scheme() -> None:
    """A scheme is whatever has a layout."""

    class Scheme:
        layout = LETTERED

    assert PackageCode.parse("7K 2046/031", Scheme()).layout is LETTERED


@pytest.mark.parametrize(
    "given",
    [
        {"width": 0}, {"width": 13}, {"width": -1}, {"width": True}, {"width": "4"}, {"width": 10**5000},
        {"alphabet": "letters"}, {"alphabet": ""}, {"alphabet": None}, {"alphabet": "[0-9]+"},
        {"meaning": "wave"}, {"before": "...."}, {"before": "a"}, {"before": "?"}, {"before": "0"},
        {"before": "\n"}, {"before": "–"},
    ],
    ids=lambda given: next(iter(given)),
)  # fmt: skip
def test_a_segment_is_checked(given: dict[str, Any]) -> None:
    """Widths are capped, alphabets and meanings are of a list, separators are no signs of a code."""
    with pytest.raises(NotationError):
        Segment(**{"name": "figure", "width": 4, **given})


@pytest.mark.parametrize(
    ("parts", "extra"),
    [
        ([], {}),
        ([Segment(f"s{at}", 1) for at in range(13)], {}),
        ([Segment("a", 1), Segment("a", 2)], {}),
        ([Segment("a", 1)], {"digits": "runes"}),
        ([Segment("a", 1)], {"check": "luhn"}),
        ([Segment("a", 1), Segment("c", 1, meaning="check")], {}),
        ([Segment("a", 1), Segment("c", 1, meaning="check")], {"check": "verhoeff"}),
        ([Segment("a", 1), Segment("c", 2, meaning="check")], {"check": "luhn"}),
        ([Segment("a", 1), Segment("c", 1, "upper", meaning="check")], {"check": "luhn"}),
        ([Segment("a", 1, "upper"), Segment("c", 1, meaning="check")], {"check": "luhn"}),
        ([Segment("c", 1, meaning="check"), Segment("d", 1, meaning="check")], {"check": "luhn"}),
    ],
)
def test_a_layout_is_checked(parts: list[Segment], extra: dict[str, str]) -> None:
    """A layout has an end, names of its own, known digits, and a check digit described whole."""
    with pytest.raises(NotationError):
        CodeLayout(parts, **extra)


def test_a_long_text_costs_no_more_than_its_length() -> None:
    """A million signs of any kind are refused without being gone through again and again."""
    for text in ("7" * 10**6, "?" * 10**6, " " * 10**6, "7K 2046/031" * 10**5, "é" * 10**6):
        for layout in (LETTERED, CHECKED):
            assert not PackageCode.is_valid(text, layout)
            assert PackageCode.read(text, layout).value is None
            with pytest.raises(NotationError) as caught:
                PackageCode.parse(text, layout)
            assert len(str(caught.value)) < 1000
