"""How the package codes of one scheme are written, as plain data.

A layout has segments: how wide each is, in which signs, and what is written before it. What a segment's
text *means* is for a dataset to say. There is no pattern language: everything is a name from a list or a
number with a cap, so that a layout from data can do no harm.

>>> layout = CodeLayout([
...     Segment("series", 2, "alphanumeric", meaning="series"),
...     Segment("figure", 4, meaning="figure", before=" "),
...     Segment("back", 3, meaning="back", before="/"),
... ])
>>> layout.blank, layout.length, layout.signs
('?? ????/???', 11, 9)
>>> Segment("figure", 4, "[0-9]+")
Traceback (most recent call last):
    ...
cardref.errors.NotationError: no such alphabet
  [0-9]+
  ^^^^^^
expected: 'digits' or 'upper' or 'alphanumeric'
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final, Protocol, final

from cardref.errors import NotationError
from cardref.frozen import FrozenMap
from cardref.notation.checkdigit import ALGORITHMS
from cardref.notation.value import Value, must_be_text
from cardref.text import quoted

__all__ = ["ALPHABETS", "DIGITS", "MEANINGS", "CodeLayout", "HasLayout", "Segment"]

_DIGITS: Final = "0123456789"
_UPPER: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

ALPHABETS: Final[Mapping[str, str]] = FrozenMap(
    {"digits": _DIGITS, "upper": _UPPER, "alphanumeric": _DIGITS + _UPPER}
)
"""The signs that a segment may be made of, by the name that a layout gives."""

MEANINGS: Final = ("series", "figure", "back", "printing", "check", "other")
"""What a segment can tell."""

DIGITS: Final[Mapping[str, str]] = FrozenMap(
    {
        "latin": "0",
        "arabic-indic": "\u0660",
        "extended-arabic-indic": "\u06f0",
        "devanagari": "\u0966",
        "bengali": "\u09e6",
        "gurmukhi": "\u0a66",
        "gujarati": "\u0ae6",
        "tamil": "\u0be6",
        "telugu": "\u0c66",
        "kannada": "\u0ce6",
        "malayalam": "\u0d66",
        "thai": "\u0e50",
        "lao": "\u0ed0",
        "tibetan": "\u0f20",
        "myanmar": "\u1040",
        "khmer": "\u17e0",
    }
)
"""The digits that a card may be printed in, each with its zero (Unicode; the other nine follow it)."""

_SEPARATORS: Final = frozenset(" -/.,:_+#*()")
_WIDEST: Final = 12
_MOST_SEGMENTS: Final = 12
# Every mix of digits and letters of a layout is listed for the quick look, while that is not too many.
_MOST_MIXED: Final = 8


@final
class Segment(Value):
    """One part of a code.

    Attributes:
        name: its name in the layout.
        width: how many signs it has, 1 to 12.
        alphabet: ``digits``, ``upper`` or ``alphanumeric`` (digits and upper-case letters).
        meaning: ``series``, ``figure``, ``back``, ``printing``, ``check`` or ``other``.
        before: the separator written before it, up to three of the signs `` -/.,:_+#*()``.

    Raises:
        NotationError: where one of them is not among these.
    """

    __slots__ = ("alphabet", "before", "meaning", "name", "width")

    name: str
    width: int
    alphabet: str
    meaning: str
    before: str

    def __init__(
        self, name: str, width: int, alphabet: str = "digits", meaning: str = "other", before: str = ""
    ) -> None:
        must_be_text(name, "a segment's name")
        _choose(alphabet, tuple(ALPHABETS), "alphabet")
        _choose(meaning, MEANINGS, "meaning")
        if type(width) is not int or not 1 <= width <= _WIDEST:
            raise NotationError("", (0, 0), f"a width from 1 to {_WIDEST}", f"no width for {quoted(name)}")
        must_be_text(before, "a separator")
        if len(before) > 3 or not _SEPARATORS.issuperset(before):
            raise NotationError(
                before, (0, len(before)), f"up to three of the signs {''.join(sorted(_SEPARATORS))}"
            )
        _set_name(self, name)
        _set_width(self, width)
        _set_alphabet(self, alphabet)
        _set_meaning(self, meaning)
        _set_before(self, before)

    @property
    def key(self) -> tuple[str, int, str, str, str]:
        """All that it is made of."""
        return self.name, self.width, self.alphabet, self.meaning, self.before

    def __repr__(self) -> str:
        return f"Segment{self.key!r}"

    def __eq__(self, other: object) -> bool:
        return self.key == other.key if isinstance(other, Segment) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.key)

    def __reduce__(self) -> tuple[Any, ...]:
        return Segment, self.key


_set_name = Segment.__dict__["name"].__set__
_set_width = Segment.__dict__["width"].__set__
_set_alphabet = Segment.__dict__["alphabet"].__set__
_set_meaning = Segment.__dict__["meaning"].__set__
_set_before = Segment.__dict__["before"].__set__


@final
class CodeLayout(Value):
    """How the codes of one scheme are written.

    Attributes:
        segments: the parts, in order, 1 to 12 of them, each with its own name.
        digits: the digits that are printed on the card, a key of :data:`DIGITS`. Our own writing always
            has ASCII digits.
        check: "" or the name of the check digit's algorithm, a key of
            :data:`cardref.notation.checkdigit.ALGORITHMS`; then one segment, of one digit, has the meaning
            ``check``, and another is made of digits.
        length: how many signs a written code has, with separators; and ``signs``, without.
        spans: start, end and possible signs of each segment in a written code.
        fixed: where each separator starts, and what it is.
        shapes: how a written code can look, with 0 for any digit and A for any letter; for a quick look.

    Raises:
        NotationError: where that does not hold.
    """

    __slots__ = ("check", "digits", "fixed", "length", "segments", "shapes", "signs", "spans")

    segments: tuple[Segment, ...]
    digits: str
    check: str
    length: int
    signs: int
    spans: tuple[tuple[int, int, str], ...]
    fixed: tuple[tuple[int, str], ...]
    shapes: frozenset[bytes]

    def __init__(self, segments: Iterable[Segment], digits: str = "latin", check: str = "") -> None:
        segments = tuple(segments)
        if not all(isinstance(each, Segment) for each in segments):
            raise TypeError("a layout is made of segments")
        _choose(digits, tuple(DIGITS), "kind of digits")
        _choose(check, ("", *ALGORITHMS), "check digit")
        if not 1 <= len(segments) <= _MOST_SEGMENTS:
            raise NotationError("", (0, 0), f"1 to {_MOST_SEGMENTS} segments", "a layout without an end")
        names = [each.name for each in segments]
        for name in names:
            if names.count(name) > 1:
                raise NotationError(name, (0, len(name)), "a name of its own", "two segments have one name")
        _must_check(segments, check)
        at = 0
        spans: list[tuple[int, int, str]] = []
        fixed: list[tuple[int, str]] = []
        for each in segments:
            if each.before:
                fixed.append((at, each.before))
                at += len(each.before)
            spans.append((at, at + each.width, ALPHABETS[each.alphabet] + "?"))
            at += each.width
        _set_segments(self, segments)
        _set_digits(self, digits)
        _set_check(self, check)
        _set_length(self, at)
        _set_signs(self, sum(each.width for each in segments))
        _set_spans(self, tuple(spans))
        _set_fixed(self, tuple(fixed))
        _set_shapes(self, frozenset(_shapes(segments)))

    @property
    def blank(self) -> str:
        """A code of which nothing is read yet, such as ``?? ????/???``."""
        return "".join(each.before + "?" * each.width for each in self.segments)

    @property
    def layout(self) -> "CodeLayout":
        """Itself, so that a layout can stand wherever something with a layout can."""
        return self

    @property
    def key(self) -> tuple[tuple[tuple[str, int, str, str, str], ...], str, str]:
        """What tells layouts apart, and their order."""
        return tuple(each.key for each in self.segments), self.digits, self.check

    def __repr__(self) -> str:
        return f"CodeLayout({self.segments!r}, {self.digits!r}, {self.check!r})"

    def __eq__(self, other: object) -> bool:
        return self.key == other.key if isinstance(other, CodeLayout) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.key)

    def __reduce__(self) -> tuple[Any, ...]:
        return CodeLayout, (self.segments, self.digits, self.check)


_set_segments = CodeLayout.__dict__["segments"].__set__
_set_digits = CodeLayout.__dict__["digits"].__set__
_set_check = CodeLayout.__dict__["check"].__set__
_set_length = CodeLayout.__dict__["length"].__set__
_set_signs = CodeLayout.__dict__["signs"].__set__
_set_spans = CodeLayout.__dict__["spans"].__set__
_set_fixed = CodeLayout.__dict__["fixed"].__set__
_set_shapes = CodeLayout.__dict__["shapes"].__set__


class HasLayout(Protocol):
    """Anything with a layout: a layout itself, or a scheme of a dataset."""

    @property
    def layout(self) -> CodeLayout:
        """How the codes are written."""


def _choose(value: object, options: tuple[str, ...], what: str) -> None:
    if not isinstance(value, str) or value not in options:
        shown = value if isinstance(value, str) else type(value).__name__
        named = " or ".join(quoted(option) for option in options)
        raise NotationError(shown, (0, len(shown)), named, f"no such {what}")


def _must_check(segments: tuple[Segment, ...], check: str) -> None:
    """Refuse a layout whose check digit has no place, or a place without a check digit."""
    places = [each for each in segments if each.meaning == "check"]
    if not check and not places:
        return
    if len(places) != 1 or places[0].width != 1 or places[0].alphabet != "digits" or not check:
        raise NotationError(
            check,
            (0, len(check)),
            "the name of an algorithm, and one segment of one digit with the meaning 'check'",
            "the check digit is not described whole",
        )
    if not any(each.alphabet == "digits" for each in segments if each.meaning != "check"):
        raise NotationError(check, (0, len(check)), "a segment of digits to check")


def _shapes(segments: tuple[Segment, ...]) -> list[bytes]:
    """Every shape of a whole code, with 0 for a digit and A for a letter; none where that is too many."""
    if sum(each.width for each in segments if each.alphabet == "alphanumeric") > _MOST_MIXED:
        return []
    shapes = [b""]
    for each in segments:
        shapes = [shape + each.before.encode("ascii") for shape in shapes]
        kinds = {"digits": (b"0",), "upper": (b"A",), "alphanumeric": (b"0", b"A")}[each.alphabet]
        for _ in range(each.width):
            shapes = [shape + kind for shape in shapes for kind in kinds]
    return shapes
