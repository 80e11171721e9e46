"""Texts as people compare them: small and capital letters, accents and spaces do not count.

>>> fold("  Ropewalk  ÁDA "), fold("Quay &  MARL")
('ropewalk ada', 'quay and marl')
>>> fold_letters("Fjellvík ΑΝΕΜΏΝΗ Łódź")
'fjellvik ανεμωνη lodz'

Compared are the compatibility decompositions of Unicode (NFKD) in its caseless form, without the accents of
Latin, Greek and Cyrillic letters; a few Latin letters that Unicode does not take apart are taken for the ones
that people type in their place (common practice, no source). Marks of other scripts, such as the vowels of
Devanagari, are letters to their readers and stay.
"""

import unicodedata
from typing import Final

__all__ = ["fold", "fold_letters"]

_PLAIN: Final = {"ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe", "ı": "i", "ð": "d", "þ": "th", "ħ": "h"}


def fold_letters(text: str) -> str:
    """``text`` without case and without the accents of Latin, Greek and Cyrillic letters."""
    if text.isascii():
        return text.lower()
    caseless = unicodedata.normalize("NFKD", text).casefold()
    return "".join(
        _PLAIN.get(sign, sign)
        for sign in unicodedata.normalize("NFKD", caseless)
        if not "\u0300" <= sign <= "\u036f"
    )


def fold(text: str) -> str:
    """A name, or words, as people compare them: folded letters, single spaces, ``&`` read as "and"."""
    return " ".join(fold_letters(text).replace("&", " and ").split())
