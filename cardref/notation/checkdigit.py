"""Check digits: the last digit of a number, worked out from the others, so that a slip shows.

Three ways of working it out, each named as a code scheme names it:

- ``luhn``: ISO/IEC 7812-1 annex B, "Luhn formula"; catches any one wrong digit, and most swapped neighbours.
- ``gtin``: GS1 General Specifications, "standard check digit calculations"; weights 3 and 1 from the right.
- ``mod11-10``: ISO/IEC 7064, the hybrid system MOD 11,10; catches any one wrong digit, and any swapped
  neighbours.

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

_DIGITS: Final = frozenset("0123456789")
# Twice each digit with the digits of the product added up: 7 -> 14 -> 1 + 4 -> 5.
_DOUBLED: Final = {sign: (0, 2, 4, 6, 8, 1, 3, 5, 7, 9)[int(sign)] for sign in "0123456789"}
_VALUE: Final = {sign: int(sign) for sign in "0123456789"}


def _refuse(digits: object) -> Exception:
    """Why ``digits`` is no payload: made only once something has gone wrong."""
    if not isinstance(digits, str):
        return TypeError(f"a check digit is worked out from a string of digits, not {type(digits).__name__}")
    at = next((i for i, sign in enumerate(digits) if sign not in _DIGITS), len(digits))
    return NotationError(digits, (at, min(at + 1, len(digits))), "digits 0 to 9, without the check digit")


def luhn(digits: str) -> int:
    """The Luhn check digit, 0 to 9, that belongs behind ``digits``.

    Raises:
        NotationError: empty, or something other than the digits 0 to 9.
        TypeError: not a string.
    """
    try:
        total = sum(map(_DOUBLED.__getitem__, digits[::-2])) + sum(map(_VALUE.__getitem__, digits[-2::-2]))
    except (KeyError, TypeError):
        raise _refuse(digits) from None
    if not digits:
        raise _refuse(digits)
    return -total % 10


def gtin(digits: str) -> int:
    """The GS1 check digit, 0 to 9, that belongs behind ``digits``, whatever the length.

    Raises:
        NotationError: empty, or something other than the digits 0 to 9.
        TypeError: not a string.
    """
    try:
        total = 3 * sum(map(_VALUE.__getitem__, digits[::-2])) + sum(map(_VALUE.__getitem__, digits[-2::-2]))
    except (KeyError, TypeError):
        raise _refuse(digits) from None
    if not digits:
        raise _refuse(digits)
    return -total % 10


def mod11_10(digits: str) -> int:
    """The ISO/IEC 7064 MOD 11,10 check digit, 0 to 9, that belongs behind ``digits``.

    Raises:
        NotationError: empty, or something other than the digits 0 to 9.
        TypeError: not a string.
    """
    carry = 10
    try:
        for sign in digits:
            # "mod 10, where 0 stands for 10", then doubled mod 11: the recursion of the standard's clause 9.
            carry = ((carry + _VALUE[sign]) % 10 or 10) * 2 % 11
    except (KeyError, TypeError):
        raise _refuse(digits) from None
    if not digits:
        raise _refuse(digits)
    return (11 - carry) % 10


ALGORITHMS: Final[dict[str, Callable[[str], int]]] = {"gtin": gtin, "luhn": luhn, "mod11-10": mod11_10}
"""The ways of working out a check digit, by the name that a code scheme gives."""
