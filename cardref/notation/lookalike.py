"""Signs that are taken for one another, in print and in typing, and how far apart two texts are by them.

>>> ascii_sign("７"), ascii_sign("४"), ascii_sign("–"), ascii_sign("é")
('7', '4', '-', 'é')
>>> as_digit("O"), as_digit("l"), as_letter("5")
('0', '1', 'S')
"""

import unicodedata

__all__ = ["as_digit", "as_letter", "ascii_sign"]

_PAIRS = (("O", "0"), ("I", "1"), ("S", "5"), ("B", "8"), ("Z", "2"), ("G", "6"))
_TO_DIGIT = dict(_PAIRS) | {letter.lower(): digit for letter, digit in _PAIRS} | {"l": "1"}
_TO_LETTER = {digit: letter for letter, digit in _PAIRS}
_DASHES = frozenset("\u2212\u02d7\u2796\u00ad\u30fc\uff70")


def ascii_sign(sign: str) -> str:
    """The ASCII sign that ``sign`` stands for: its digit, its dash, its full-width twin; else itself."""
    if sign.isascii():
        return sign
    digit = unicodedata.decimal(sign, None)
    if digit is not None:
        return str(digit)
    if unicodedata.category(sign) == "Pd" or sign in _DASHES:
        return "-"
    plain = unicodedata.normalize("NFKC", sign)
    return plain if len(plain) == 1 and plain.isascii() else " " if sign.isspace() else sign


def as_digit(sign: str) -> str:
    """The ASCII digit that looks like ``sign``, or ``sign``."""
    return _TO_DIGIT.get(sign, sign)


def as_letter(sign: str) -> str:
    """The capital that looks like the ASCII digit ``sign``, or ``sign``."""
    return _TO_LETTER.get(sign, sign)
