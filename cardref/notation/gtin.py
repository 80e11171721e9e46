"""The number under a barcode: UPC-A, EAN-8, EAN-13, and the 14 digits that hold them all.

GS1 calls each of them a GTIN. Written with zeros in front, to 14 digits, they are one family with one order,
and the last digit checks the others (GS1 General Specifications, "GTINs" and "check digit calculations").

>>> number = Gtin.parse("036000291452")
>>> number.kind, number.digits, number.printed
('UPC-A', '00036000291452', '036000291452')
>>> number == Gtin.parse("0036000291452")  # the same number, printed as an EAN-13
True
>>> Gtin.parse("6291041500214")
Traceback (most recent call last):
    ...
cardref.errors.NotationError: the check digit does not fit: a digit is wrong somewhere
  6291041500214
              ^
expected: 3 as the last digit, if the others are right
perhaps: 6291041500213

Strict parsing takes the digits alone. :meth:`Gtin.read` takes what is printed or typed, with its spaces:

>>> seen = Gtin.read("6 291O41 500213")
>>> str(seen.value), [str(change) for change in seen.changes]
('06291041500213', ["' ' left out at column 2", 'O read as 0 at column 6', "' ' left out at column 9"])

A number says nothing about where a card was printed, made or sold. Its first digits tell only which GS1
organisation issued them: see :attr:`Gtin.issued_by`. Nor does a good check digit mean that the number exists.
"""

from bisect import bisect_right
from typing import TYPE_CHECKING, Any, Final, Literal, final

from cardref.errors import NotationError
from cardref.notation.checkdigit import gtin
from cardref.notation.value import Value, must_be_text
from cardref.text import count_of

if TYPE_CHECKING:
    from cardref.notation.trace import Traced

__all__ = ["PREFIXES", "Gtin", "Kind"]

Kind = Literal["EAN-8", "UPC-A", "EAN-13", "GTIN-14"]

_KINDS: Final[dict[int, Kind]] = {8: "EAN-8", 12: "UPC-A", 13: "EAN-13", 14: "GTIN-14"}
_EXPECTED: Final = "8, 12, 13 or 14 digits 0 to 9, the last of which checks the others"
_BETWEEN: Final = frozenset(" -")
# More is no barcode with spaces in it.
_LONGEST: Final = 40

PREFIXES: Final[tuple[tuple[int, int, str], ...]] = (
    (0, 19, "US"), (30, 39, "US"), (60, 139, "US"), (300, 379, "France"), (380, 380, "Bulgaria"),
    (383, 383, "Slovenia"), (385, 385, "Croatia"), (387, 387, "Bosnia and Herzegovina"),
    (389, 389, "Montenegro"), (400, 440, "Germany"), (450, 459, "Japan"), (460, 469, "Russia"),
    (470, 470, "Kyrgyzstan"), (471, 471, "Taiwan"), (474, 474, "Estonia"), (475, 475, "Latvia"),
    (476, 476, "Azerbaijan"), (477, 477, "Lithuania"), (478, 478, "Uzbekistan"), (479, 479, "Sri Lanka"),
    (480, 480, "Philippines"), (481, 481, "Belarus"), (482, 482, "Ukraine"), (484, 484, "Moldova"),
    (485, 485, "Armenia"), (486, 486, "Georgia"), (487, 487, "Kazakhstan"), (488, 488, "Tajikistan"),
    (489, 489, "Hong Kong"), (490, 499, "Japan"), (500, 509, "UK"), (520, 521, "Greece"),
    (528, 528, "Lebanon"), (529, 529, "Cyprus"), (530, 530, "Albania"), (531, 531, "North Macedonia"),
    (535, 535, "Malta"), (539, 539, "Ireland"), (540, 549, "Belgium and Luxembourg"),
    (560, 560, "Portugal"), (569, 569, "Iceland"), (570, 579, "Denmark"), (590, 590, "Poland"),
    (594, 594, "Romania"), (599, 599, "Hungary"), (600, 601, "South Africa"), (603, 603, "Ghana"),
    (604, 604, "Senegal"), (608, 608, "Bahrain"), (609, 609, "Mauritius"), (611, 611, "Morocco"),
    (613, 613, "Algeria"), (615, 615, "Nigeria"), (616, 616, "Kenya"), (618, 618, "Ivory Coast"),
    (619, 619, "Tunisia"), (620, 620, "Tanzania"), (621, 621, "Syria"), (622, 622, "Egypt"),
    (624, 624, "Libya"), (625, 625, "Jordan"), (626, 626, "Iran"), (627, 627, "Kuwait"),
    (628, 628, "Saudi Arabia"), (629, 629, "United Arab Emirates"), (640, 649, "Finland"),
    (690, 699, "China"), (700, 709, "Norway"), (729, 729, "Israel"), (730, 739, "Sweden"),
    (740, 740, "Guatemala"), (741, 741, "El Salvador"), (742, 742, "Honduras"), (743, 743, "Nicaragua"),
    (744, 744, "Costa Rica"), (745, 745, "Panama"), (746, 746, "Dominican Republic"), (750, 750, "Mexico"),
    (754, 755, "Canada"), (759, 759, "Venezuela"), (760, 769, "Switzerland"), (770, 771, "Colombia"),
    (773, 773, "Uruguay"), (775, 775, "Peru"), (777, 777, "Bolivia"), (778, 779, "Argentina"),
    (780, 780, "Chile"), (784, 784, "Paraguay"), (786, 786, "Ecuador"), (789, 790, "Brazil"),
    (800, 839, "Italy"), (840, 849, "Spain"), (850, 850, "Cuba"), (858, 858, "Slovakia"),
    (859, 859, "Czech Republic"), (860, 860, "Serbia"), (865, 865, "Mongolia"), (867, 867, "North Korea"),
    (868, 869, "Türkiye"), (870, 879, "Netherlands"), (880, 880, "South Korea"), (884, 884, "Cambodia"),
    (885, 885, "Thailand"), (888, 888, "Singapore"), (890, 890, "India"), (893, 893, "Vietnam"),
    (896, 896, "Pakistan"), (899, 899, "Indonesia"), (900, 919, "Austria"), (930, 939, "Australia"),
    (940, 949, "New Zealand"), (955, 955, "Malaysia"), (958, 958, "Macau"),
)  # fmt: skip
"""First and last prefix, and the country of the GS1 organisation that issues numbers under it.

From GS1's published list of company prefixes; entries of which published copies differ are left out, and so
are prefixes that belong to no country (numbers inside one shop, coupons, periodicals, books, demonstrations).
It is today's list: some of these prefixes were first given out by organisations of states that are no more.
"""

_STARTS: Final = tuple(first for first, _, _ in PREFIXES)


@final
class Gtin(Value):
    """A barcode number. Equal numbers have the same 14 digits, however they are printed.

    Args:
        printed: 8, 12, 13 or 14 digits.

    Attributes:
        printed: the digits as they were given.
        digits: the canonical form, 14 digits; what :func:`str` writes, and what decides the order.

    Raises:
        NotationError: not of one of these lengths, or the check digit does not fit.
        TypeError: not a string.
    """

    __slots__ = ("digits", "printed")

    printed: str
    digits: str

    def __init__(self, printed: str) -> None:
        if not _well_formed(must_be_text(printed, "a barcode number")):
            raise _fault(printed)
        # A subclass of str may have ways of its own.
        printed = str.__str__(printed)
        _set_printed(self, printed)
        _set_digits(self, printed.zfill(14))

    @classmethod
    def parse(cls, text: str) -> "Gtin":
        """The number that ``text`` writes in 8, 12, 13 or 14 digits and nothing else.

        Raises:
            NotationError: with what is wrong, and what the check digit should be.
            TypeError: not a string.
        """
        return cls(text)

    @classmethod
    def is_valid(cls, text: object) -> bool:
        """Whether :meth:`parse` would take it; never raises, whatever is given."""
        return isinstance(text, str) and _well_formed(text)

    @classmethod
    def read(cls, text: str) -> "Traced[Gtin]":
        """The number that was probably meant, with every change that was needed; never raises on text.

        Spaces and dashes are left out; digits of any script and letters that look like digits are read as
        digits. A check digit that does not fit is never mended: which digit is wrong, nobody knows.
        """
        from cardref.notation.trace import Traced, account  # noqa: PLC0415 - only a lenient reading needs it

        must_be_text(text, "a barcode number")
        if _well_formed(text):
            return Traced(text, cls(text))
        reads = _lenient(text)
        digits = "".join(digit for digit, _ in reads)
        if _well_formed(digits):
            return Traced(text, cls(digits), account(text, reads))
        # A fault of the digits themselves is worth more than "there is a space".
        return Traced(text, None, (), _fault(digits if digits.isascii() and digits.isdigit() else text))

    @property
    def kind(self) -> Kind:
        """What it is by its length as printed: EAN-8, UPC-A, EAN-13 or GTIN-14."""
        return _KINDS[len(self.printed)]

    @property
    def issued_by(self) -> str:
        """The GS1 organisation that issued the prefix, such as ``GS1 Sweden``; "" where that is not told.

        It says where the maker, or whoever owns the number, had it issued: not where the card is from. An
        EAN-8 has prefixes of its own, which are not told here.

        >>> Gtin.parse("7300011000017").issued_by
        'GS1 Sweden'
        """
        # Zeros up to here are an EAN-8: no longer number begins with so many.
        if self.digits.startswith("000000"):
            return ""
        prefix = int(self.digits[1:4])
        first, last, country = PREFIXES[bisect_right(_STARTS, prefix) - 1]
        return f"GS1 {country}" if first <= prefix <= last else ""

    def __str__(self) -> str:
        return self.digits

    def __repr__(self) -> str:
        return f"Gtin({self.printed!r})"

    def __eq__(self, other: object) -> bool:
        return self.digits == other.digits if isinstance(other, Gtin) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.digits)

    def __lt__(self, other: object) -> bool:
        return self.digits < other.digits if isinstance(other, Gtin) else NotImplemented

    def __le__(self, other: object) -> bool:
        return self.digits <= other.digits if isinstance(other, Gtin) else NotImplemented

    def __gt__(self, other: object) -> bool:
        return self.digits > other.digits if isinstance(other, Gtin) else NotImplemented

    def __ge__(self, other: object) -> bool:
        return self.digits >= other.digits if isinstance(other, Gtin) else NotImplemented

    def __reduce__(self) -> tuple[Any, ...]:
        return Gtin, (self.printed,)


_set_printed = Gtin.__dict__["printed"].__set__
_set_digits = Gtin.__dict__["digits"].__set__


def _well_formed(text: str) -> bool:
    if len(text) not in _KINDS or not (text.isascii() and text.isdigit()):
        return False
    return text[-1] == str(gtin(text[:-1]))


def _lenient(text: str) -> list[tuple[str, str]]:
    """Each sign as the digit that it was meant to be ("" for none), and why; nothing if too long."""
    from cardref.notation.lookalike import as_digit, ascii_sign  # noqa: PLC0415 - only a slip needs it

    if len(text) > _LONGEST:
        return []
    signs = [as_digit(ascii_sign(sign)) for sign in text]
    return [
        ("", "only digits count") if sign in _BETWEEN else (sign, "a digit stands here") for sign in signs
    ]


def _fault(text: str) -> NotationError:
    """What is wrong with ``text``, and what the check digit should be."""
    size = len(text)
    bad = next((at for at, sign in enumerate(text) if not (sign.isascii() and sign.isdigit())), -1)
    if bad >= 0 or not size:
        meant = "".join(digit for digit, _ in _lenient(text))
        probably = [meant] if _well_formed(meant) else []
        return NotationError(text, (max(bad, 0), max(bad, 0) + (bad >= 0)), _EXPECTED, "", probably)
    if size not in _KINDS:
        # One short of a common length: the check digit may not have been copied.
        whole = (text + str(gtin(text)),) if size in (7, 11) else ()
        return NotationError(
            text, (0, size), _EXPECTED, f"a barcode number does not have {count_of(size, 'digit')}", whole
        )
    wanted = str(gtin(text[:-1]))
    probably = [text[:-1] + wanted]
    if size == 12:
        # An EAN-13 without its last digit.
        probably.append(text + str(gtin(text)))
    if size == 8 and text[0] in "01":
        long = _unpacked(text)
        probably[:0] = [long] if _well_formed(long) else []
    return NotationError(
        text,
        (size - 1, size),
        f"{wanted} as the last digit, if the others are right",
        "the check digit does not fit: a digit is wrong somewhere",
        probably,
    )


def _unpacked(text: str) -> str:
    """The UPC-A that eight digits stand for, if they are a zero-suppressed UPC-E (General Specifications)."""
    system, body, last, check = text[0], text[1:6], text[6], text[7]
    if last in "012":
        body = f"{body[:2]}{last}0000{body[2:]}"
    elif last == "3":
        body = f"{body[:3]}00000{body[3:]}"
    elif last == "4":
        body = f"{body[:4]}00000{body[4:]}"
    else:
        body = f"{body}0000{last}"
    return system + body + check
