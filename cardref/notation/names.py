"""Names in running text: many known names, in any language, small misspellings included.

>>> index = NameIndex([
...     ("figure", "tidewrack/figure/lamp-diver", "Lamp Diver"),
...     ("figure", "tidewrack/figure/lamp-diver", "Λυχνοδύτης"),
...     ("maker", "fjellvik", "Fjellvik Leker"),
... ])
>>> for hit in index.findall("FJELLVIK-LEKER lampdiver, or is it Lamp Dvier? ΛΥΧΝΟΔΥΤΗΣ!"):
...     print(hit.kind, hit.value, hit.text, *hit.changes)
maker ('fjellvik',) FJELLVIK-LEKER
figure ('tidewrack/figure/lamp-diver',) lampdiver
figure ('tidewrack/figure/lamp-diver',) Lamp Dvier 'Lamp Dvier' read as 'Lamp Diver' at column 36
figure ('tidewrack/figure/lamp-diver',) ΛΥΧΝΟΔΥΤΗΣ

What counts as the same name: letters without regard to case and to the accents of Latin, Greek and
Cyrillic; words run together, or set apart by spaces or hyphens; ``ä`` and ``ae``, ``ø`` and ``oe`` and
their like. What counts as a small misspelling: one mistake (a sign left out, put in, changed, or swapped
with its neighbour) in the name as a whole, or one in each of its words, but not in a first letter nor in a
digit, and only where the word is long enough. Another word may still be that near (``salt mine`` to a *Salt
Miner*): such a hit always says what it changed.
"""

import unicodedata
from collections.abc import Iterable, Sequence
from itertools import product
from typing import Any, Final

from cardref.notation.folding import fold_letters
from cardref.notation.nearest import Neighbours, distance
from cardref.notation.trace import Change
from cardref.notation.value import Value, must_be_text
from cardref.text import quoted

__all__ = ["Hit", "NameIndex"]


class Hit(Value):
    """Something that was recognised in running text.

    Attributes:
        kind: what it is, such as ``designation``; for names what the names table says.
        value: what it was read as; for names the tuple of all keys that have the name.
        span: ``(start, end)`` in characters of the text, from 0.
        text: that part of the text.
        changes: what had to be changed to read it, with columns of the whole text.
    """

    __slots__ = ("changes", "kind", "span", "text", "value")

    kind: str
    value: Any
    span: tuple[int, int]
    text: str
    changes: tuple[Change, ...]

    def __init__(
        self, kind: str, value: Any, span: tuple[int, int], text: str, changes: tuple[Change, ...] = ()
    ) -> None:
        _set_kind(self, kind)
        _set_value(self, value)
        _set_span(self, span)
        _set_text(self, text)
        _set_changes(self, changes)

    @property
    def _key(self) -> tuple[str, Any, tuple[int, int], str, tuple[Change, ...]]:
        return self.kind, self.value, self.span, self.text, self.changes

    def __repr__(self) -> str:
        return f"Hit{self._key!r}" if self.changes else f"Hit{self._key[:4]!r}"

    def __eq__(self, other: object) -> bool:
        return self._key == other._key if isinstance(other, Hit) else NotImplemented

    def __hash__(self) -> int:
        return hash(self._key)

    def __reduce__(self) -> tuple[Any, ...]:
        return Hit, self._key


_set_kind = Hit.__dict__["kind"].__set__
_set_value = Hit.__dict__["value"].__set__
_set_span = Hit.__dict__["span"].__set__
_set_text = Hit.__dict__["text"].__set__
_set_changes = Hit.__dict__["changes"].__set__

# Letters that are also written as two.
_AS_TWO: Final = {"ä": "ae", "ö": "oe", "ü": "ue", "ø": "oe", "å": "aa"}
_APOSTROPHES: Final = "'’ʼ＇"
# A word of a name may have one mistake from this length on; a name that is one word, from that.
_LONG_WORD: Final = 4
_LONG_NAME: Final = 6
# No more readings of one stretch of words are tried.
_MOST_READINGS: Final = 64


def words_of(text: str) -> list[tuple[str, int, int]]:
    """The words of ``text``, folded, each with its start and end; ``'s`` at the end of one is left out."""
    words: list[tuple[str, int, int]] = []
    at, size = 0, len(text)
    while at < size:
        if not _in_word(text[at]):
            at += 1
            continue
        start = at
        while at < size and (
            _in_word(text[at])
            or (
                text[at] in _APOSTROPHES
                and at + 1 < size
                and _in_word(text[at + 1])
                and not _possessive(text, at)
            )
        ):
            at += 1
        word = fold_letters(text[start:at])
        if any(sign in _APOSTROPHES for sign in word):
            word = "".join(sign for sign in word if sign not in _APOSTROPHES)
        words.append((word, start, at))
        if _possessive(text, at):
            at += 2
    return words


def _in_word(sign: str) -> bool:
    # Vowel signs of Indic scripts are marks, and no letters to Python.
    return sign.isalnum() or (not sign.isascii() and unicodedata.category(sign) in ("Mn", "Mc"))


def _possessive(text: str, at: int) -> bool:
    return (
        at + 1 < len(text)
        and text[at] in _APOSTROPHES
        and text[at + 1] in "sS"
        and (at + 2 == len(text) or not _in_word(text[at + 2]))
    )


class NameIndex:
    """Known names, to be found in running text. Built once; it does not change.

    Args:
        names: one ``(kind, key, name)`` for each name: what bears it, such as ``figure``, whose it is, and
            the name. One key may have many names, and one name many keys.
    """

    __slots__ = (
        "_by_joined",
        "_by_words",
        "_joined",
        "_known",
        "_longest_word",
        "_most_words",
        "_shapes",
        "_vocabulary",
        "_words",
        "names",
    )

    def __init__(self, names: Iterable[tuple[str, str, str]]) -> None:
        self.names = tuple(dict.fromkeys(names))
        by_words: dict[tuple[str, ...], list[int]] = {}
        for index, (_, _, name) in enumerate(self.names):
            as_two = "".join(_AS_TWO.get(sign, sign) for sign in name.lower())
            for words in {_words(name), _words(as_two), _words(name.replace("&", " and "))} - {()}:
                by_words.setdefault(words, []).append(index)
        self._by_words = by_words
        by_joined: dict[str, list[int]] = {}
        for words, indices in by_words.items():
            by_joined.setdefault("".join(words), []).extend(indices)
        self._by_joined = by_joined
        self._joined = tuple(by_joined)
        self._words = tuple(dict.fromkeys(word for words in by_words for word in words))
        self._known = frozenset(self._words)
        self._vocabulary: tuple[Neighbours, Neighbours] | None = None
        self._most_words = max(map(len, by_words), default=0)
        # First sign and length of what may be one of these with a mistake.
        self._shapes = {
            (joined[0], len(joined) + more)
            for joined in by_joined
            for more in (-1, 0, 1)
            if len(joined) >= _LONG_NAME
        }
        self._longest_word = max(map(len, self._words), default=0)

    def __reduce__(self) -> tuple[Any, ...]:
        return NameIndex, (self.names,)

    def findall(self, text: str) -> tuple[Hit, ...]:
        """The names in ``text``, from left to right, none overlapping; of several, the one of more words.

        A name that records of several kinds bear gives one hit for each kind.
        """
        must_be_text(text, "a running text")
        if not self._by_words:
            return ()
        words = words_of(text)
        hits: list[Hit] = []
        at = 0
        alike = [self._alike(word) for word, _, _ in words]
        while at < len(words):
            size, indices, mistakes = self._longest_at(words, alike, at)
            if not size:
                at += 1
                continue
            span = words[at][1], words[at + size - 1][2]
            hits += self._hits(text, span, indices, mistakes)
            at += size
        return tuple(hits)

    def _hits(self, text: str, span: tuple[int, int], indices: Sequence[int], mistakes: int) -> list[Hit]:
        found = text[slice(*span)]
        by_kind: dict[str, list[int]] = {}
        for index in indices:
            by_kind.setdefault(self.names[index][0], []).append(index)
        hits = []
        for kind, own in by_kind.items():
            keys = tuple(dict.fromkeys(self.names[index][1] for index in own))
            changes: tuple[Change, ...] = ()
            if mistakes:
                meant = quoted(self.names[own[0]][2])
                why = f"{'one mistake' if mistakes == 1 else f'{mistakes} mistakes'} away"
                changes = (Change(f"{quoted(found)} read as {meant}", span[0] + 1, why),)
            hits.append(Hit(kind, keys, span, found, changes))
        return hits

    def _longest_at(
        self, words: list[tuple[str, int, int]], alike: list[dict[str, int]], at: int
    ) -> tuple[int, Sequence[int], int]:
        """How many words from ``at`` on are a name, whose, and with how many mistakes; size 0 for none."""
        sizes = range(min(self._most_words + 1, len(words) - at), 0, -1)
        for size in sizes:
            indices, mistakes = self._by_each_word(alike[at : at + size])
            if not indices:
                indices = self._by_joined.get("".join(word for word, _, _ in words[at : at + size]), ())
            if indices:
                return size, indices, mistakes
        # Only now those run together with a mistake: they would swallow the word behind a name.
        for size in sizes:
            indices = self._nearly_joined("".join(word for word, _, _ in words[at : at + size]))
            if indices:
                return size, indices, 1
        return 0, (), 0

    def _by_each_word(self, alike: list[dict[str, int]]) -> tuple[Sequence[int], int]:
        """The names whose words are these, each with one mistake at most."""
        readings = 1
        for each in alike:
            readings *= len(each)
        if not 0 < readings <= _MOST_READINGS:
            return (), 0
        best: tuple[Sequence[int], int] = (), 0
        for reading in product(*alike):
            indices = self._by_words.get(reading)
            if not indices:
                continue
            mistakes = sum(map(dict.__getitem__, alike, reading))
            if mistakes and len(reading) == 1 and len(reading[0]) < _LONG_NAME:
                continue
            if not best[0] or mistakes < best[1]:
                best = indices, mistakes
        return best

    def _nearly_joined(self, joined: str) -> Sequence[int]:
        """The names that are ``joined``, one mistake and where a word ends apart."""
        if (joined[:1], len(joined)) not in self._shapes:
            return ()
        return [
            index
            for other in map(self._joined.__getitem__, sorted(self._built()[1].near(joined)))
            if other[0] == joined[0] and _is_misspelt(joined, other)
            for index in self._by_joined[other]
        ]

    def _alike(self, word: str) -> dict[str, int]:
        """The words of names that ``word`` can be, and with how many mistakes."""
        exact = {word: 0} if word in self._known else {}
        if exact or not _LONG_WORD - 1 <= len(word) <= self._longest_word + 1:
            return exact
        return {
            other: 1
            for other in sorted(map(self._words.__getitem__, self._built()[0].near(word)))
            if len(other) >= _LONG_WORD and other[0] == word[0] and _is_misspelt(word, other)
        }

    def _built(self) -> tuple[Neighbours, Neighbours]:
        if self._vocabulary is None:
            self._vocabulary = Neighbours(self._words), Neighbours(self._joined)
        return self._vocabulary


def _is_misspelt(word: str, other: str) -> bool:
    """Whether the words are one mistake apart, and that is not in a digit: numbers are not misspelt."""
    digits = [sign for sign in word if sign.isdigit()]
    return digits == [sign for sign in other if sign.isdigit()] and distance(word, other) == 1


def _words(name: str) -> tuple[str, ...]:
    return tuple(word for word, _, _ in words_of(name))
