"""Signs that are taken for one another, in print and in typing, and how easily.

>>> ascii_sign("７"), ascii_sign("४"), ascii_sign("–"), ascii_sign("Κ"), ascii_sign("é")
('7', '4', '-', 'K', 'é')
>>> as_digit("O"), as_digit("l"), as_letter("5")
('0', '1', 'S')
>>> confusion("O", "0"), confusion("3", "8"), confusion("3", "4")
(20, 50, 120)

Which signs are alike is common practice, no source: the pairs O/0, I/l/1, S/5, B/8, Z/2 and G/6 look alike
in most types; the others do when print is small or worn.
"""

import unicodedata
from typing import Final

__all__ = ["as_digit", "as_letter", "ascii_sign", "confusion"]

_PAIRS: Final = (("O", "0"), ("I", "1"), ("S", "5"), ("B", "8"), ("Z", "2"), ("G", "6"))
_TO_DIGIT: Final = dict(_PAIRS) | {letter.lower(): digit for letter, digit in _PAIRS} | {"l": "1"}
_TO_LETTER: Final = {digit: letter for letter, digit in _PAIRS}

# Dashes that Unicode does not call dashes (minus signs, a hyphen bullet, soft hyphen, sound marks).
_DASHES: Final = frozenset("\u2212\u02d7\u2796\u2043\u00ad\u30fc\uff70")
# Greek and Cyrillic capitals that cannot be told from Latin ones on a card.
_TWINS: Final = dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧАВЕЅІЈКМНОРСТХ", "ABEZHIKMNOPTYXABESIJKMHOPCTX", strict=True))

_ALIKE: Final = 20
_SIMILAR: Final = 50
_CASE: Final = 10
_OTHER: Final = 120
# Each row: a sign, and those that small or worn print confuses it with.
_SIMILAR_SIGNS: Final = {
    "0": "6 8 9 Q D C",
    "3": "5 8 B",
    "5": "6",
    "6": "8",
    "7": "1 T Z",
    "8": "9 E S",
    "9": "4 G",
    "4": "A",
    "O": "Q D C",
    "I": "J L",
    "1": "L",
    "C": "G",
    "E": "F",
    "F": "P",
    "M": "N",
    "H": "N",
    "V": "U W Y",
    "P": "R",
    "B": "R",
    "K": "X",
}


def _costs() -> dict[tuple[str, str], int]:
    costs: dict[tuple[str, str], int] = {}
    for one, others in _SIMILAR_SIGNS.items():
        for other in others.split():
            costs[one, other] = costs[other, one] = _SIMILAR
    for letter, digit in (*_PAIRS, ("l", "1"), ("l", "I")):
        costs[letter, digit] = costs[digit, letter] = _ALIKE
    return costs


_COSTS: Final = _costs()


def ascii_sign(sign: str) -> str:
    """The ASCII sign that ``sign`` stands for (its digit, dash, full-width or lookalike twin), or itself."""
    if sign.isascii():
        return " " if sign.isspace() else sign
    digit = unicodedata.decimal(sign, None)
    if digit is not None:
        return str(digit)
    if sign in _TWINS:
        return _TWINS[sign]
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


def confusion(one: str, other: str) -> int:
    """What it costs to read one sign for another, where leaving a sign out costs 100; 0 for the same."""
    if one == other:
        return 0
    cost = _COSTS.get((one, other))
    if cost is not None:
        return cost
    upper, other_upper = one.upper(), other.upper()
    if upper == other_upper:
        return _CASE
    return _COSTS.get((upper, other_upper), _OTHER)
