"""Package codes: the small code printed on a card, in segments, by a scheme that is data.

Every maker printed its codes in its own way (common practice, no source), so nothing about a code is
built in. A :class:`CodeLayout` says which segments there are, how wide, in which signs and with what
between them; what a segment's text *means* is for a dataset to say.

>>> layout = CodeLayout([
...     Segment("series", 2, "alphanumeric", meaning="series"),
...     Segment("figure", 4, meaning="figure", before=" "),
...     Segment("back", 3, meaning="back", before="/"),
... ])
>>> code = PackageCode.parse("7K 2046/031", layout)
>>> str(code), code.segments["back"]
('7K 2046/031', '031')

Strict parsing is ASCII and exact. :meth:`PackageCode.read` takes what people write and says what it
changed; ``?`` stands for a sign that cannot be read, in both.

>>> seen = PackageCode.read("7k2O46-031", layout)
>>> str(seen.value)
'7K 2046/031'
>>> for change in seen.changes:
...     print(change)
k read as K at column 2
' ' put in at column 3
O read as 0 at column 4
'-' read as '/' at column 7
>>> partly = PackageCode.parse("7K 20?6/0??", layout)
>>> partly.possible, partly.matches(code)
(1000, True)

A layout may name a check digit. It is worked out over the digits of all segments of digits, in order,
without the check segment itself.

>>> checked = CodeLayout([Segment("figure", 5), Segment("printing", 2, before="-"),
...                       Segment("check", 1, meaning="check", before="-")], check="luhn")
>>> PackageCode.parse("30418-02-8", checked)
Traceback (most recent call last):
    ...
cardref.errors.NotationError: the check digit does not fit the others
  30418-02-8
           ^
expected: the check digit 4, if all the others are read right
perhaps: 36418-02-8, 30478-02-8, 30416-02-8
"""

from collections.abc import Iterator
from typing import Any, Final, Self, final

from cardref.errors import NotationError
from cardref.frozen import FrozenMap
from cardref.notation.checkdigit import ALGORITHMS
from cardref.notation.layout import ALPHABETS, DIGITS, MEANINGS, CodeLayout, HasLayout, Segment
from cardref.notation.lookalike import as_digit, as_letter, ascii_sign, confusion
from cardref.notation.nearest import Suggester
from cardref.notation.trace import Change, Traced
from cardref.notation.value import Value, must_be_text
from cardref.text import count_of, quoted, visible

__all__ = ["ALPHABETS", "DIGITS", "MEANINGS", "CodeLayout", "HasLayout", "PackageCode", "Segment"]

_DIGITS: Final = ALPHABETS["digits"]
_CLASSES: Final = bytes(
    0x30 if 0x30 <= point <= 0x39 else 0x41 if 0x41 <= point <= 0x5A else point for point in range(256)
)


@final
class PackageCode(Value):
    """One code, whole or partly read. Made by :meth:`parse` or :meth:`read`.

    Two codes are equal when they are written alike in one layout. The order is that of the written text
    (``?`` comes between digits and letters), then that of the layouts.

    Attributes:
        text: as its layout writes it, in ASCII.
        layout: the layout.
    """

    __slots__ = ("layout", "text")

    text: str
    layout: CodeLayout

    def __init__(self, text: str, scheme: HasLayout) -> None:
        parsed = PackageCode.parse(text, scheme)
        _set_text(self, parsed.text)
        _set_layout(self, parsed.layout)

    @classmethod
    def parse(cls, text: str, scheme: HasLayout, known: Suggester | None = None) -> Self:
        """The code that ``text`` writes exactly, by ``scheme``'s layout.

        Args:
            text: the text.
            scheme: the layout, or something that has one.
            known: codes that exist, to say in an error which of them was probably meant.

        Raises:
            NotationError: with the span at fault, and what was probably meant.
            TypeError: where ``text`` is no string.
        """
        layout = scheme if type(scheme) is CodeLayout else scheme.layout
        if not _is_written(text, layout):
            raise _told(must_be_text(text, "a package code"), layout, known)
        self = _new(cls)
        _set_text(self, text)
        _set_layout(self, layout)
        return self

    @classmethod
    def is_valid(cls, text: object, scheme: HasLayout) -> bool:
        """Whether :meth:`parse` would take it; never raises, whatever ``text`` is."""
        return isinstance(text, str) and _is_written(text, scheme.layout)

    @classmethod
    def read(cls, text: str, scheme: HasLayout) -> "Traced[PackageCode]":
        """What ``text`` was probably meant to be, with every change that was needed; never raises on text.

        Taken: any separators or none, lower case, full-width signs, any dash, decimal digits of any
        script, letters that look like digits where only digits stand and the other way round, and
        leading zeros that a spreadsheet dropped (where separators or a check digit show where).
        """
        layout = scheme.layout
        must_be_text(text, "a package code")
        if _is_written(text, layout):
            return Traced(text, _made(text, layout))
        return _lenient(text, layout)

    @property
    def segments(self) -> FrozenMap[str, str]:
        """The text of each segment by its name, in order."""
        return FrozenMap(
            {
                segment.name: self.text[start:end]
                for segment, (start, end, _) in zip(self.layout.segments, self.layout.spans, strict=True)
            }
        )

    def meaning(self, meaning: str) -> str:
        """The text of the first segment with this meaning (one of :data:`MEANINGS`), or ""."""
        for segment, (start, end, _) in zip(self.layout.segments, self.layout.spans, strict=True):
            if segment.meaning == meaning:
                return self.text[start:end]
        return ""

    @property
    def partial(self) -> bool:
        """Whether a sign could not be read."""
        return "?" in self.text

    @property
    def possible(self) -> int:
        """How many whole codes it could be: 1 for a whole one. Counted, not listed."""
        return _possible(self.text, self.layout)

    @property
    def printed(self) -> str:
        """As it stands on the card: in the digits of its layout."""
        zero = ord(DIGITS[self.layout.digits])
        return self.text.translate({ord("0") + value: zero + value for value in range(10)})

    def matches(self, other: "PackageCode") -> bool:
        """Whether there is a whole code that both could be."""
        if self.layout != other.layout:
            return False
        both = "".join(
            theirs if mine == "?" else mine for mine, theirs in zip(self.text, other.text, strict=True)
        )
        agreed = all(
            mine == theirs or "?" in (mine, theirs)
            for mine, theirs in zip(self.text, other.text, strict=True)
        )
        return agreed and _check_fits(both, self.layout)

    @property
    def _key(self) -> tuple[Any, ...]:
        return self.text, self.layout.key

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"<PackageCode {self.text}>"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, PackageCode):
            return NotImplemented
        return self.text == other.text and self.layout == other.layout

    def __hash__(self) -> int:
        return hash(self.text)

    def __lt__(self, other: object) -> bool:
        return self._key < other._key if isinstance(other, PackageCode) else NotImplemented

    def __le__(self, other: object) -> bool:
        return self._key <= other._key if isinstance(other, PackageCode) else NotImplemented

    def __gt__(self, other: object) -> bool:
        return self._key > other._key if isinstance(other, PackageCode) else NotImplemented

    def __ge__(self, other: object) -> bool:
        return self._key >= other._key if isinstance(other, PackageCode) else NotImplemented

    def __reduce__(self) -> tuple[Any, ...]:
        return PackageCode, (self.text, self.layout)


_new = object.__new__
_set_text = PackageCode.__dict__["text"].__set__
_set_layout = PackageCode.__dict__["layout"].__set__


def _made(text: str, layout: CodeLayout) -> PackageCode:
    """The code for a text that is known to be written by the layout."""
    self = _new(PackageCode)
    _set_text(self, text)
    _set_layout(self, layout)
    return self


def _is_written(text: Any, layout: CodeLayout) -> bool:
    """Whether ``text`` is exactly a code of the layout; False for what is no string."""
    try:
        if text.encode("ascii").translate(_CLASSES) in layout.shapes:
            return not layout.check or _check_fits(text, layout)
        if len(text) != layout.length:
            return False
        for start, end, allowed in layout.spans:
            if text[start:end].strip(allowed):
                return False
        for start, before in layout.fixed:
            if not text.startswith(before, start):
                return False
    except (AttributeError, TypeError, UnicodeEncodeError):
        return False
    return not layout.check or _check_fits(text, layout)


def _payload(text: str, layout: CodeLayout) -> tuple[str, str, int]:
    """The digits that are checked, the check digit, and where it stands, in a text of the layout."""
    digits, check, place = "", "", 0
    for segment, (start, end, _) in zip(layout.segments, layout.spans, strict=True):
        if segment.meaning == "check":
            check, place = text[start:end], start
        elif segment.alphabet == "digits":
            digits += text[start:end]
    return digits, check, place


def _check_fits(text: str, layout: CodeLayout) -> bool:
    """Whether the check digit can be right: it is, or too little is read to tell."""
    if not layout.check:
        return True
    digits, check, _ = _payload(text, layout)
    return "?" in digits or check == "?" or ALGORITHMS[layout.check](digits) == int(check)


def _possible(text: str, layout: CodeLayout) -> int:
    count = 1
    for start, end, allowed in layout.spans:
        count *= (len(allowed) - 1) ** text.count("?", start, end)
    if layout.check:
        digits, check, _ = _payload(text, layout)
        # The check digit takes each value exactly once while any one digit runs through all ten, in all
        # three algorithms: an unread one follows from the others, and a read one leaves a tenth.
        if check == "?" or "?" in digits:
            count //= 10
    return count


def _signs(layout: CodeLayout) -> Iterator[tuple[Segment | None, str]]:
    """For each place of a written code, its segment (None for a separator) and what may stand there."""
    for segment in layout.segments:
        for sign in segment.before:
            yield None, sign
        for _ in range(segment.width):
            yield segment, ALPHABETS[segment.alphabet] + "?"


_KINDS: Final = {"digits": "digit", "upper": "capital letter", "alphanumeric": "digit or capital letter"}


def _fault(text: str, layout: CodeLayout) -> NotationError:
    """What is wrong with a text that is not written by the layout, at the first sign that does not fit."""
    size = len(text)
    for at, (segment, allowed) in enumerate(_signs(layout)):
        if at < size and text[at] in allowed:
            continue
        what = f"a {_KINDS[segment.alphabet]} of {quoted(segment.name)}" if segment else quoted(allowed)
        problem = "" if at < size or not text else f"it ends after {size} of {layout.length} signs"
        return NotationError(text, (min(at, size), min(at + 1, size)), what, problem)
    if size > layout.length:
        return NotationError(text, (layout.length, size), f"nothing after {layout.length} signs")
    digits, _, place = _payload(text, layout)
    right = ALGORITHMS[layout.check](digits)
    return NotationError(
        text,
        (place, place + 1),
        f"the check digit {right}, if all the others are read right",
        "the check digit does not fit the others",
        _mended(text, layout),
    )


def _mended(text: str, layout: CodeLayout) -> tuple[str, ...]:
    """The whole codes that one misread digit, or two swapped ones, would explain; likeliest first."""
    places = [
        at
        for at, (segment, _) in enumerate(_signs(layout))
        if segment and segment.alphabet == "digits" and text[at] != "?"
    ]
    found: list[tuple[int, int, str]] = []
    for index, at in enumerate(places):
        options = [
            (confusion(text[at], digit), text[:at] + digit + text[at + 1 :])
            for digit in _DIGITS
            if digit != text[at]
        ]
        if index:
            left = places[index - 1]
            options.append((100, text[:left] + text[at] + text[left + 1 : at] + text[left] + text[at + 1 :]))
        found += [
            (cost, at, other) for cost, other in options if other != text and _check_fits(other, layout)
        ]
    return tuple(other for _, _, other in sorted(found)[:3])


def _told(text: str, layout: CodeLayout, known: Suggester | None) -> NotationError:
    """What is wrong with a text that is not written by the layout, and what was probably meant."""
    fault = _fault(text, layout)
    near = [suggestion.text for suggestion in known.suggest(text)] if known else []
    seen = _lenient(text, layout)
    if seen.value:
        near.append(str(seen.value))
    elif seen.problem:
        near += seen.problem.suggestions
    return NotationError(text, fault.span, fault.expected, fault.problem, tuple(dict.fromkeys(near))[:3])


# What people write for a sign that they cannot read, besides the question mark.
_UNREAD: Final = frozenset("*_□■▯\ufffd")


def _lenient(text: str, layout: CodeLayout) -> "Traced[PackageCode]":
    """The lenient reading of a text that is not written by the layout."""
    if len(text) > 3 * layout.length + 40:
        return Traced(text, None, (), _fault(text, layout))
    plain = list(map(ascii_sign, text))
    places = [at for at, sign in enumerate(plain) if sign.isalnum() or sign == "?"]
    if len(places) < layout.signs:
        unread = [at for at, sign in enumerate(plain) if sign in _UNREAD]
        if len(places) + len(unread) == layout.signs:
            places = sorted(places + unread)
    parts = _shared_out(plain, places, layout)
    if parts is None:
        fault = _fault(text, layout)
        counted = f"{count_of(len(places), 'sign')} of a code, and {layout.signs} make one"
        return Traced(
            text, None, (), NotationError(text, fault.span, fault.expected, counted if text else "")
        )
    reader = _Reader(text, plain)
    for segment, part in zip(layout.segments, parts, strict=True):
        reader.segment(segment, part)
    reader.between("", len(text))
    problem = reader.problem
    if not problem and not _check_fits(reader.written, layout):
        problem = _fault(reader.written, layout)
    value = None if problem else _made(reader.written, layout)
    return Traced(text, value, tuple(reader.changes), problem)


class _Reader:
    """The lenient reading of one text: what is written so far, and what had to be changed."""

    __slots__ = ("changes", "done", "misfits", "plain", "text", "written")

    def __init__(self, text: str, plain: list[str]) -> None:
        self.text = text
        self.plain = plain
        self.written = ""
        self.done = 0
        self.changes: list[Change] = []
        self.misfits: list[tuple[int, str]] = []

    def segment(self, segment: Segment, part: list[int]) -> None:
        """Read the signs at the places ``part`` as the segment, with what is written before it."""
        self.between(segment.before, part[0])
        lost = segment.width - len(part)
        if lost:
            self.changes.append(
                Change(f"{quoted('0' * lost)} put in", part[0] + 1, "leading zeros get lost easily")
            )
            self.written += "0" * lost
        alphabet = ALPHABETS[segment.alphabet]
        for at in part:
            if at > self.done:
                self.between("", at)
            sign = _as(self.plain[at], segment.alphabet)
            why = ""
            if sign not in alphabet:
                if sign in _UNREAD or sign in "Xx?":
                    why = "a sign that cannot be read"
                else:
                    self.misfits.append((at, f"a {_KINDS[segment.alphabet]} of {quoted(segment.name)}"))
                sign = "?"
            if sign != self.text[at] and (why or sign != "?"):
                why = why or f"{quoted(segment.name)} is made of {_KINDS[segment.alphabet]}s"
                self.changes.append(Change(f"{visible(self.text[at])} read as {sign}", at + 1, why))
            self.written += sign
            self.done = at + 1

    def between(self, wanted: str, end: int) -> None:
        """Make the separator ``wanted`` of what stands before ``end``."""
        at, found = self.done, self.text[self.done : end]
        self.written += wanted
        self.done = end
        if found == wanted:
            return
        if not found:
            what = f"{quoted(wanted)} put in"
        else:
            what = f"{quoted(found)} read as {quoted(wanted)}" if wanted else f"{quoted(found)} left out"
        why = f"the scheme writes {quoted(wanted) if wanted else 'nothing'} here"
        self.changes.append(Change(what, at + 1, why))

    @property
    def problem(self) -> NotationError | None:
        """What fits nowhere, if anything; with few of them, what is left is suggested."""
        if not self.misfits:
            return None
        at, expected = self.misfits[0]
        rest = (self.written,) if len(self.misfits) <= _MOST_MISFITS else ()
        return NotationError(self.text, (at, at + 1), expected, suggestions=rest)


# With more zeros missing in front of a bare number, it is another number.
_MOST_LOST: Final = 2
# With more signs that do not fit, it is no code with something unread.
_MOST_MISFITS: Final = 2


def _as(sign: str, alphabet: str) -> str:
    """``sign`` as a sign of the alphabet, if it can be taken for one."""
    if alphabet == "digits":
        return as_digit(sign)
    return as_letter(sign.upper()) if alphabet == "upper" else sign.upper()


def _shared_out(plain: list[str], places: list[int], layout: CodeLayout) -> list[list[int]] | None:
    """Which ``places`` belong to which segment, or None where that cannot be told.

    A segment may get fewer than its width only where leading zeros were lost.
    """
    widths = [each.width for each in layout.segments]
    lost = layout.signs - len(places)
    if not lost:
        return _cut(places, widths)
    if lost < 0:
        return None
    groups: list[list[int]] = []
    for at in places:
        if groups and groups[-1][-1] + 1 == at:
            groups[-1].append(at)
        else:
            groups.append([at])
    if len(groups) == len(widths) > 1 and all(
        len(group) == each.width or (len(group) < each.width and each.alphabet == "digits")
        for group, each in zip(groups, layout.segments, strict=True)
    ):
        return groups
    # One run of digits, in which only a check digit can show that leading zeros are missing.
    if (
        layout.check
        and lost <= min(_MOST_LOST, widths[0] - 1)
        and all(each.alphabet == "digits" for each in layout.segments)
        and all(plain[at] in _DIGITS for at in places)
    ):
        return _cut(places, [widths[0] - lost, *widths[1:]])
    return None


def _cut(places: list[int], widths: list[int]) -> list[list[int]]:
    parts, at = [], 0
    for width in widths:
        parts.append(places[at : at + width])
        at += width
    return parts
