"""Shown text: nothing in it acts on a terminal or a log, and nothing else is changed."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.text import clip, columns, count_of, escape, pointed, quoted, seen, visible

ANY = st.text(
    st.characters(categories=["L", "M", "N", "P", "S", "Z", "Cc", "Cf", "Cs", "Co", "Cn"]), max_size=40
)
COMMANDS = st.text("#[:vso \ta]", max_size=12)


@given(ANY | COMMANDS)
def test_shown_text_is_inert(text: str) -> None:
    """No control sign, surrogate or line separator is left, and no command of a CI log."""
    for shown in (visible(text), clip(text, 20), quoted(text), *pointed(text, (1, 3))):
        assert not {unicodedata.category(sign) for sign in shown} & {"Cc", "Cs", "Co", "Zl", "Zp"}
        assert "##[" not in shown
        assert "##vso[" not in shown
        assert not shown.lstrip().startswith("::")
        shown.encode()


@given(ANY | COMMANDS)
def test_showing_twice_is_showing_once(text: str) -> None:
    """Text that is already shown stays as it is, so that two layers may both see to it."""
    assert visible(visible(text)) == visible(text)


@pytest.mark.parametrize(
    "text", ["", "7K 2046/031", "파도길 완구", "लहर खिलौने", "Ανεμώνη", "a:b::c", "## b", "#[x]", "a\u200db"]
)
def test_readable_text_is_untouched(text: str) -> None:
    """Every script, and every sign that does nothing, is shown as it is."""
    assert visible(text) == text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("::error::x", r"\x3a:error::x"),
        (" \t::error::x", r" \x09::error::x"),
        ("  ::error::x", r"  \x3a:error::x"),
        ("a ##[error]x", r"a #\x23[error]x"),
        ("###[error]x", r"#\x23#[error]x"),
        ("a\nb", r"a\x0ab"),
        ("\u202e\ufeff", r"\u202e\ufeff"),
        ("\U000e0001", r"\U000e0001"),
        ("\ud800", r"\ud800"),
    ],
)
def test_what_acts_is_shown_as_an_escape(text: str, shown: str) -> None:
    """The escape is the sign's number, and only the sign that matters is escaped."""
    assert visible(text) == shown


@given(ANY, st.integers(1, 30))
def test_clipped_text_fits(text: str, width: int) -> None:
    """Clipped text is no longer than asked, and is whole where it fits."""
    assert len(clip(text, width)) <= width
    if len(visible(text)) <= width:
        assert clip(text, width) == visible(text)


@pytest.mark.parametrize(
    ("text", "width", "shown"),
    [
        ("abcd", 4, "abcd"), ("abcde", 4, "abc…"), ("abc\x1b", 4, "abc…"), ("abc\x1b", 7, r"abc\x1b"),
        ("abc\x1b", 6, r"abc\x…"), ("abcdefgh", 1, "…"), ("", 3, ""), ("a\u200db", 3, "a\u200db"),
    ],
)  # fmt: skip
def test_clipped_text_keeps_what_fits(text: str, width: int, shown: str) -> None:
    """The last place goes to the ellipsis, where something is left out; escapes count as they are shown."""
    assert clip(text, width) == shown
    assert quoted(text, width) == f"'{shown}'"


@given(st.characters())
def test_a_sign_is_seen_or_escaped(sign: str) -> None:
    """What is seen is shown as it is; what is not, as the escape that stands for it in Python."""
    assert visible(f"a{sign}b") == (f"a{sign}b" if seen(sign) else f"a{escape(sign)}b")
    assert escape(sign).encode("ascii").decode("unicode-escape") == sign


@pytest.mark.parametrize(
    ("number", "told"), [(0, "0 cards"), (1, "1 card"), (2, "2 cards"), (-1, "-1 cards")]
)
def test_a_number_has_its_noun(number: int, told: str) -> None:
    """One thing is one, every other number is many; a noun may have a plural of its own."""
    assert count_of(number, "card") == told
    assert count_of(number, "copy", "copies").split() == [str(number), "copy" if number == 1 else "copies"]


@given(st.text(st.characters(categories=["L", "N", "Cc"]), min_size=1, max_size=200), st.data())
def test_carets_stand_under_the_span(text: str, data: st.DataObject) -> None:
    """Both lines have the same lead, in columns, whatever stands before the span, and however long it is."""
    start = data.draw(st.integers(0, len(text) - 1))
    end = data.draw(st.integers(start + 1, len(text)))
    line, carets = pointed(text, (start, end))
    lead = len(carets) - len(carets.lstrip())
    inside = visible(text[start:end])
    at = next(number for number in range(len(line) + 1) if columns(line[:number]) == lead)
    assert inside.startswith(line[at : at + len(inside)].removesuffix("…")) or line[at:].startswith(inside)
    assert set(carets.strip()) == {"^"}
