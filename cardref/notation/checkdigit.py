"""Check digits: the last digit of a number, worked out from the others, so that a slip shows.

Three ways of working it out, each named as a code scheme names it:

- ``luhn``: ISO/IEC 7812-1 annex B, "Luhn formula"; weights 2 and 1 from the right, digits of products added.
- ``gtin``: GS1 General Specifications, "standard check digit calculations"; weights 3 and 1 from the right.
- ``mod11-10``: ISO/IEC 7064, the hybrid system MOD 11,10.

All three show any one wrong digit. Of swapped neighbours ``luhn`` misses 0 and 9, ``gtin`` any two that
differ by 5, ``mod11-10`` about one swap in forty-five. None can tell which digit is wrong.

Each takes the number *without* its check digit, as a string of the digits 0 to 9, and gives the digit.

>>> luhn("7992739871")
3
>>> gtin("629104150021")
3
>>> mod11_10("0794")
5
>>> sorted(ALGORITHMS)
['gtin', 'luhn', 'mod11-10']
"""

from collections.abc import Callable
from typing import Final

from cardref.errors import NotationError

__all__ = ["ALGORITHMS", "gtin", "luhn", "mod11_10"]

_VALUE: Final = {sign: int(sign) for sign in "0123456789"}
# Twice each digit, with the digits of the product added up: 7 -> 14 -> 1 + 4 -> 5.
_DOUBLED: Final = (0, 2, 4, 6, 8, 1, 3, 5, 7, 9)


def _values(digits: str) -> list[int]:
    """The digits as numbers."""
    if not isinstance(digits, str):
        raise TypeError(f"a check digit is worked out from a string of digits, not {type(digits).__name__}")
    try:
        values = [_VALUE[sign] for sign in digits]
    except KeyError:
        values = []
    if not values:
        at = next((i for i, sign in enumerate(digits) if sign not in _VALUE), 0)
        raise NotationError(digits, (at, min(at + 1, len(digits))), "digits 0 to 9, without the check digit")
    return values


def luhn(digits: str) -> int:
    """The Luhn check digit, 0 to 9, that belongs behind ``digits``.

    Raises:
        NotationError: empty, or something other than the digits 0 to 9.
        TypeError: not a string.
    """
    values = _values(digits)
    return -(sum(map(_DOUBLED.__getitem__, values[::-2])) + sum(values[-2::-2])) % 10


def gtin(digits: str) -> int:
    """The GS1 check digit, 0 to 9, that belongs behind ``digits``, whatever the length.

    Raises:
        NotationError: empty, or something other than the digits 0 to 9.
        TypeError: not a string.
    """
    values = _values(digits)
    return -(3 * sum(values[::-2]) + sum(values[-2::-2])) % 10


def mod11_10(digits: str) -> int:
    """The ISO/IEC 7064 MOD 11,10 check digit, 0 to 9, that belongs behind ``digits``.

    Raises:
        NotationError: empty, or something other than the digits 0 to 9.
        TypeError: not a string.
    """
    carry = 10
    for value in _values(digits):
        # Modulo 10, where 0 stands for 10; doubled; modulo 11: the standard's recursion for M+1, M.
        carry = ((carry + value) % 10 or 10) * 2 % 11
    return (11 - carry) % 10


ALGORITHMS: Final[dict[str, Callable[[str], int]]] = {"gtin": gtin, "luhn": luhn, "mod11-10": mod11_10}
"""The ways of working out a check digit, by the name that a code scheme gives."""
