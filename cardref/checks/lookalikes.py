"""Texts that look alike, by what is left of them when everything that misleads the eye is taken away.

>>> skeleton("Lamp Diver") == skeleton("L\u0430mp-diver")
True
>>> code_skeleton("L-015/06") == code_skeleton("L-O15/06"), code_skeleton("1-23") == code_skeleton("12-3")
(True, False)
>>> id_skeleton("tidewrack/figure/lamp-diver") == id_skeleton("tidewrack/figure/lampdiver")
True
>>> id_skeleton("tidewrack/quay-marl/b-01") == id_skeleton("tidewrack/quay-marl/b-001")
True

Which signs look alike is common practice, no source: O and 0, I, l and 1, S and 5, B and 8, and the Greek and
Cyrillic letters that are drawn like Latin ones.
"""

import re
import unicodedata

from cardref.notation.lookalike import ascii_sign

__all__ = ["code_skeleton", "id_skeleton", "skeleton"]

# Drawn like Latin letters in lower case as well; ascii_sign knows the capitals.
_SMALL = str.maketrans("\u0430\u0435\u043e\u0440\u0441\u0443\u0445\u0456\u0458\u0455", "aeopcyxijs")
_ZEROS = re.compile(r"(?<![0-9])0+(?=[0-9])")
_ALIKE = {"O": "0", "I": "1", "S": "5", "B": "8", "l": "1"}


def _table(other: str) -> dict[int, str]:
    """For every ASCII sign what is left of it: capitals, lookalikes as digits, ``other`` for punctuation."""
    return {
        point: _ALIKE.get(chr(point), _ALIKE.get(chr(point).upper(), chr(point).upper()))
        if chr(point).isalnum()
        else other
        for point in range(128)
    }


_NAMES, _CODES = _table(""), _table(" ")


def _ascii(text: str) -> str:
    if text.isascii():
        return text
    return "".join(map(ascii_sign, unicodedata.normalize("NFKD", text))).translate(_SMALL)


def skeleton(name: str) -> str:
    """What is left of a name without case, accents, spaces, punctuation and lookalike signs."""
    plain = _ascii(name).translate(_NAMES)
    return plain if plain.isascii() else "".join(sign for sign in plain.upper() if sign.isalnum())


def code_skeleton(code: str) -> str:
    """What is left of a code or number without case, leading zeros and lookalikes; what parts it stays."""
    plain = _ascii(code).translate(_CODES)
    return _ZEROS.sub("", plain) if "0" in plain else plain


def id_skeleton(full: str) -> str:
    """What is left of a full id without hyphens, leading zeros and lookalike signs; its slashes stay."""
    return _ZEROS.sub("", full.translate(_IDS)).replace("-", "")


_IDS = str.maketrans("oilsb", "01158")
