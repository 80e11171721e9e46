"""A designation: how many figures a back pictures, and the letter that collectors gave the printing.

``25B`` is the second printing that was told apart among backs with 25 figures; a bare ``25`` names all
of them. The count is on the card, the letter is not: it is a convention among collectors (common
practice, no source), and other references letter differently.

>>> back = Designation.parse("25B")
>>> back.count, back.letter, str(back)
(25, 'B', '25B')
>>> [str(each) for each in sorted(map(Designation.parse, ["43", "25AA", "25Z", "25B", "25", "9"]))]
['9', '25', '25B', '25Z', '25AA', '43']

Strict parsing takes exactly what :func:`str` writes. People write it in other ways, which
:meth:`Designation.read` takes, saying what it changed:

>>> seen = Designation.read("the 25-b back")
>>> seen.value
Designation(25, 'B')
>>> print(seen.changes[0])
'the ' left out at column 1
"""

from typing import Any, Self, final

from cardref.errors import NotationError
from cardref.notation.lookalike import as_digit, as_letter, ascii_sign
from cardref.notation.trace import Change, Traced, account
from cardref.notation.value import Value, must_be_text

__all__ = ["Designation"]

_UPPER = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_DIGITS = "0123456789"
_EXPECTED = "a count from 0 to 999, then at most two capital letters, such as 25 or 25B"


@final
class Designation(Value):
    """Back count and letter.

    Attributes:
        count: figures pictured, 0 to 999; 0 is a blank back.
        letter: "" for all backs with that count, else A to Z, then AA to ZZ.

    Raises:
        NotationError: where count or letter is out of range.
        TypeError: where they are no int and str.
    """

    __slots__ = ("count", "letter")

    count: int
    letter: str

    def __init__(self, count: int, letter: str = "") -> None:
        if type(count) is not int or not isinstance(letter, str):
            raise TypeError("a designation is made of an int and a str")
        written = f"{count}{letter}" if -1000 < count < 1000 else "1000"
        if not _well_formed(written):
            raise _fault(written)
        if letter.strip(_UPPER):
            # Digits would become part of the count without anybody noticing.
            raise NotationError(letter, (0, len(letter)), "at most two capital letters")
        _set_count(self, count)
        _set_letter(self, letter)

    @classmethod
    def parse(cls, text: str) -> Self:
        """The designation that ``text`` writes exactly.

        Raises:
            NotationError: with the span at fault, and what was probably meant.
            TypeError: where ``text`` is no string.
        """
        if isinstance(text, str):
            # The same as _well_formed, written out because it is hot.
            count = text.rstrip(_UPPER)
            letter = text[len(count) :]
            if (
                count.isdigit()
                and len(count) < 4
                and len(letter) < 3
                and text.isascii()
                and (count[0] != "0" or count == "0")
            ):
                self = _new(cls)
                _set_count(self, int(count))
                _set_letter(self, letter)
                return self
        fault = _fault(must_be_text(text, "a designation"))
        probably = _lenient(text)[0]
        if probably is not None:
            fault = NotationError(fault.text, fault.span, fault.expected, fault.problem, (str(probably),))
        raise fault

    @classmethod
    def is_valid(cls, text: object) -> bool:
        """Whether :meth:`parse` would take it; never raises, whatever is given."""
        return isinstance(text, str) and _well_formed(text)

    @classmethod
    def read(cls, text: str) -> "Traced[Designation]":
        """What ``text`` was probably meant to be, with every change that was needed; never raises on text.

        Taken: ``25-B``, ``25 b``, ``25 back``, ``25B-back``, ``25 back B``, ``25Bback``, ``the 25B``,
        full-width signs, digits of any script, leading zeros, and letters that look like digits where
        only a digit makes sense (``Z5B``).
        """
        must_be_text(text, "a designation")
        if _well_formed(text):
            return Traced(text, cls.parse(text))
        value, changes = _lenient(text)
        return Traced(text, value, changes if value else (), None if value else _fault(text))

    @property
    def bare(self) -> bool:
        """Whether no letter is given, so that it names all backs with this count."""
        return not self.letter

    def covers(self, other: "Designation") -> bool:
        """Whether everything that ``other`` names is named by this one too: ``25`` covers ``25B``."""
        return self.count == other.count and self.letter in ("", other.letter)

    @property
    def _key(self) -> tuple[int, int, str]:
        return self.count, len(self.letter), self.letter

    def __str__(self) -> str:
        return f"{self.count}{self.letter}"

    def __repr__(self) -> str:
        return f"Designation({self.count}, {self.letter!r})" if self.letter else f"Designation({self.count})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Designation):
            return NotImplemented
        return self.count == other.count and self.letter == other.letter

    def __hash__(self) -> int:
        return hash((self.count, self.letter))

    def __lt__(self, other: object) -> bool:
        return self._key < other._key if isinstance(other, Designation) else NotImplemented

    def __le__(self, other: object) -> bool:
        return self._key <= other._key if isinstance(other, Designation) else NotImplemented

    def __gt__(self, other: object) -> bool:
        return self._key > other._key if isinstance(other, Designation) else NotImplemented

    def __ge__(self, other: object) -> bool:
        return self._key >= other._key if isinstance(other, Designation) else NotImplemented

    def __reduce__(self) -> tuple[Any, ...]:
        return Designation, (self.count, self.letter)


_new = object.__new__
_set_count = Designation.__dict__["count"].__set__
_set_letter = Designation.__dict__["letter"].__set__


def _well_formed(text: str) -> bool:
    count = text.rstrip(_UPPER)
    return (
        count.isdigit()
        and len(count) < 4
        and len(text) - len(count) < 3
        and text.isascii()
        and (count[0] != "0" or count == "0")
    )


def _fault(text: str) -> NotationError:
    """What is wrong with ``text``, at the first sign that does not fit."""
    size = len(text)
    digits = 0
    while digits < size and text[digits] in _DIGITS:
        digits += 1
    if not digits:
        return NotationError(text, (0, min(1, size)), _EXPECTED)
    if digits > 3:
        return NotationError(text, (0, digits), "a count from 0 to 999", "the count is too large")
    if text[0] == "0" and digits > 1:
        return NotationError(text, (0, 1), "a count without leading zeros", "the count starts with a zero")
    end = digits
    while end < size and text[end] in _UPPER:
        end += 1
    if end < size:
        wanted = "nothing after the letter" if end > digits else "a capital letter or the end"
        return NotationError(text, (end, end + 1), wanted)
    return NotationError(text, (digits + 2, end), "at most two letters", "the letter is too long")


# The longest text that the lenient reader looks at: more is no designation with words around it.
_LONGEST = 60
# What people write around a designation that says only what kind of thing it is. Longest first.
_BACK = ("CARDBACK", "BACK")
_AROUND = frozenset({"THE", "CARD", "FIGURE", *_BACK})
_BETWEEN = frozenset(" -#.,_/()'\"")
_WORD_WHY = "it says only what the number is"
_BETWEEN_WHY = "none of it is written inside a designation"


def _lenient(text: str) -> tuple[Designation | None, tuple[Change, ...]]:
    """The designation that ``text`` was meant to be, if any, and the changes."""
    if len(text) > _LONGEST:
        return None, ()
    plain = [ascii_sign(sign) for sign in text]
    signs = [sign.upper() for sign in plain]
    reads = [("", _BETWEEN_WHY)] * len(signs)
    # The places that are left when words and separators are taken away, in unbroken pieces.
    pieces: list[list[int]] = []
    for start, end in _runs(signs):
        run = "".join(signs[start:end])
        if run[0] in _BETWEEN:
            continue
        first, last = _without_words(run)
        reads[start : start + first] = [("", _WORD_WHY)] * first
        reads[start + last : end] = [("", _WORD_WHY)] * (end - start - last)
        if first < last:
            places = list(range(start + first, start + last))
            if pieces and pieces[-1][-1] + 1 == places[0]:
                pieces[-1] += places
            else:
                pieces.append(places)
    if not 0 < len(pieces) < 3 or any(
        len(signs[at]) != 1 or signs[at] not in _DIGITS + _UPPER for piece in pieces for at in piece
    ):
        return None, ()
    count, letter = _split(pieces, signs)
    if (
        len(pieces) == 2
        and any(signs[at] in _DIGITS for at in letter)
        and "-" not in signs[count[-1] : letter[0]]
    ):
        # "2 5" is no 2S, but "25-8" may be a 25B.
        return None, ()
    digits = "".join(as_digit(plain[at]) for at in count)
    zeros = len(digits) - len(digits.lstrip("0") or "0")
    for index, at in enumerate(count):
        reads[at] = (
            ("", "a count has no leading zeros") if index < zeros else (digits[index], "a digit stands here")
        )
    for at in letter:
        reads[at] = (as_letter(signs[at]), "a capital letter stands here")
    written = "".join(sign for sign, _ in reads)
    return (Designation.parse(written), account(text, reads)) if _well_formed(written) else (None, ())


def _runs(signs: list[str]) -> list[tuple[int, int]]:
    """Where ``signs`` are digits, where letters, where separators, where anything else."""
    runs: list[tuple[int, int]] = []
    before = ""
    for at, sign in enumerate(signs):
        kind = (
            "digit"
            if sign in _DIGITS
            else "letter"
            if sign in _UPPER
            else "between"
            if sign in _BETWEEN
            else "other"
        )
        if kind == before:
            runs[-1] = (runs[-1][0], at + 1)
        else:
            runs.append((at, at + 1))
        before = kind
    return runs


def _without_words(run: str) -> tuple[int, int]:
    """The part of ``run`` that is left without the words around a designation, which may be glued to it."""
    if run in _AROUND:
        return 0, 0
    for word in _BACK:
        if run.endswith(word):
            return 0, len(run) - len(word)
        if run.startswith(word):
            return len(word), len(run)
    return 0, len(run)


def _split(pieces: list[list[int]], signs: list[str]) -> tuple[list[int], list[int]]:
    """The places of the count and those of the letter."""
    if len(pieces) == 2:
        return pieces[0], pieces[1]
    # In one piece everything up to the last digit is the count, so that "Z5B" is a 25B.
    (piece,) = pieces
    size = max((index + 1 for index, at in enumerate(piece) if signs[at] in _DIGITS), default=0)
    return piece[:size], piece[size:]
