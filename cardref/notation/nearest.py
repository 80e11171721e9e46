"""What was probably meant: how far apart two texts are, and which of many known texts is nearest.

The distance is Damerau and Levenshtein's: signs left out, put in, changed, or swapped with a neighbour.
It comes in two forms that are often taken for one another. The *unrestricted* one (Lowrance and Wagner
1975, "An extension of the string-to-string correction problem", J. ACM 22:177) allows further mistakes
between swapped signs; the *restricted* one (optimal string alignment) does not:

>>> distance("CA", "ABC"), distance("CA", "ABC", restricted=True)
(2, 3)

:func:`weight` is the unrestricted one with signs that look alike cheap to change, in hundredths of a sign
left out:

>>> weight("7K 2046/031", "7K 2O46/031"), weight("7K 2046/031", "7K 2146/031")
(20, 120)

A :class:`Suggester` finds the nearest of many known texts without looking at each:

>>> known = Suggester(["7K 2046/031", "7K 2048/031", "7L 2046/028"])
>>> for near in known.suggest("7K 2O46/03l"):
...     print(near.text, near.weight)
7K 2046/031 40
7K 2048/031 90
"""

from collections.abc import Callable, Iterable
from typing import Any, Final, Self

from cardref.notation.lookalike import ascii_sign, confusion
from cardref.notation.value import Value

__all__ = ["Columns", "Neighbours", "Suggester", "Suggestion", "distance", "weight"]

_LEFT_OUT: Final = 100
_SWAPPED: Final = 100
# One mistake of any kind and three signs that look alike; two mistakes.
_NEAR: Final = 180
_FAR: Final = 260


def distance(one: str, other: str, *, restricted: bool = False) -> int:
    """How many signs must be left out, put in, changed or swapped to make ``other`` of ``one``.

    The time it takes grows with the product of the lengths.
    """
    one, other = _differing(one, other)
    return (_restricted if restricted else _unrestricted)(one, other, 1, 1, _differ)


def weight(one: str, other: str) -> int:
    """What it costs to take ``one`` for ``other``, in hundredths of a sign left out; 0 for equal texts.

    A sign left out or put in costs 100, two neighbours swapped 100, a sign changed what
    :func:`~cardref.notation.lookalike.confusion` says. Swapped signs must be the same signs.
    """
    one, other = _differing(one, other)
    size = len(one)
    if size == len(other):
        if size <= 1:
            return confusion(one, other) if size else 0
        if size == 2 and one[0] == other[1] and one[1] == other[0]:
            return min(_SWAPPED, confusion(*one) + confusion(*other))
    return _unrestricted(one, other, _LEFT_OUT, _SWAPPED, confusion)


def _near(one: str, other: str) -> int:
    """:func:`weight` where that is at most ``_NEAR``, else something larger; quicker.

    So little pays for one swap or one sign left out, and for signs that look alike, but not for two of them.
    """
    longer, shorter = (one, other) if len(one) > len(other) else (other, one)
    size = len(shorter)
    if len(longer) == size:
        wrong = [at for at in range(size) if one[at] != other[at]]
        costs = [confusion(one[at], other[at]) for at in wrong]
        total = sum(costs)
        if total > _SWAPPED:
            for index, at in enumerate(wrong[:-1]):
                if wrong[index + 1] == at + 1 and one[at : at + 2] == other[at + 1] + other[at]:
                    total = min(total, sum(costs) - costs[index] - costs[index + 1] + _SWAPPED)
        return total
    if len(longer) > size + 1:
        return _NEAR + 1
    # All of the rest one place on costs this much; then place after place goes back to where it stands.
    total = best = sum(map(confusion, longer[1:], shorter))
    for at in range(size):
        total += confusion(longer[at], shorter[at]) - confusion(longer[at + 1], shorter[at])
        best = min(best, total)
    return best + _LEFT_OUT


def _differ(one: str, other: str) -> int:
    return 1 if one != other else 0


def _differing(one: str, other: str) -> tuple[str, str]:
    """Both texts without what they have in common at either end, which costs nothing."""
    shortest = min(len(one), len(other))
    first = 0
    while first < shortest and one[first] == other[first]:
        first += 1
    last = 0
    while last < shortest - first and one[-1 - last] == other[-1 - last]:
        last += 1
    return one[first : len(one) - last], other[first : len(other) - last]


def _unrestricted(
    one: str, other: str, left_out: int, swapped: int, changed: Callable[[str, str], int]
) -> int:
    """Lowrance and Wagner's algorithm. It needs two swaps to cost no less than leaving out and putting in."""
    rows, columns = len(one), len(other)
    far = (rows + columns + 2) * left_out
    # Row and column -1 stand at index 0: no swap reaches beyond the start.
    table = [[far] * (columns + 2) for _ in range(rows + 2)]
    for column in range(columns + 1):
        table[1][column + 1] = column * left_out
    last_row: dict[str, int] = {}
    for row, sign in enumerate(one, 1):
        above, here = table[row], table[row + 1]
        here[1] = row * left_out
        last_column = 0
        for column, seen in enumerate(other, 1):
            cost = above[column] + (changed(sign, seen) if sign != seen else 0)
            cost = min(cost, here[column] + left_out, above[column + 1] + left_out)
            swap_row = last_row.get(seen, 0)
            if swap_row and last_column:
                between = (row - swap_row - 1) + (column - last_column - 1)
                cost = min(cost, table[swap_row][last_column] + between * left_out + swapped)
            if sign == seen:
                last_column = column
            here[column + 1] = cost
        last_row[sign] = row
    return table[rows + 1][columns + 1]


def _restricted(one: str, other: str, left_out: int, swapped: int, changed: Callable[[str, str], int]) -> int:
    """Optimal string alignment: no sign takes part in two mistakes."""
    before: list[int] = []
    above = [column * left_out for column in range(len(other) + 1)]
    for row, sign in enumerate(one, 1):
        here = [row * left_out]
        for column, seen in enumerate(other, 1):
            cost = above[column - 1] + (changed(sign, seen) if sign != seen else 0)
            cost = min(cost, here[-1] + left_out, above[column] + left_out)
            if row > 1 and column > 1 and sign == other[column - 2] and one[row - 2] == seen:
                cost = min(cost, before[column - 2] + swapped)
            here.append(cost)
        before, above = above, here
    return above[-1]


class Neighbours:
    """Which of many words can be at most one mistake away, by the words with one sign left out.

    Two words that differ by one sign changed, left out, put in or swapped have such a shortened word in
    common, or one is the other's (Mor and Fraenkel 1982, "A hash code method for detecting and correcting
    spelling errors", C. ACM 25:935). The opposite need not hold: what :meth:`near` gives is to be measured.
    """

    __slots__ = ("_shortened", "_whole")

    def __init__(self, words: Iterable[str]) -> None:
        whole: dict[str, list[int]] = {}
        for index, word in enumerate(words):
            whole.setdefault(word, []).append(index)
        shortened: dict[str, list[int]] = {}
        for word, indices in whole.items():
            for short in _shortened(word):
                known = shortened.get(short)
                if known is None:
                    shortened[short] = indices
                else:
                    shortened[short] = known + indices
        self._whole = whole
        self._shortened = shortened

    def same(self, word: str) -> Iterable[int]:
        """The indices of the words that are ``word``."""
        return self._whole.get(word, ())

    def near(self, word: str) -> set[int]:
        """The indices of all words at most one mistake away, and of some others."""
        found = set(self._whole.get(word, ()))
        found.update(self._shortened.get(word, ()))
        whole, shortened = self._whole, self._shortened
        for short in _shortened(word):
            if short in whole:
                found.update(whole[short])
            if short in shortened:
                found.update(shortened[short])
        return found


def _shortened(word: str) -> list[str]:
    """``word`` with one sign left out, in every way; a sign that stands twice in a row only once."""
    return [word[:at] + word[at + 1 :] for at in range(len(word)) if word[at] != word[at - 1] or not at]


class Columns:
    """Which of many words are at most two mistakes away, all of them compared at once.

    For each place and sign there is one number that has a bit for every word with that sign in that place.
    The usual table of edit distances (restricted: no sign takes part in two mistakes) is filled in once for
    all words, with sets of words where it has distances: Wu and Manber 1992, "Fast text searching allowing
    errors", C. ACM 35:83, turned round.
    """

    __slots__ = ("_ending", "_having", "_reaching")

    def __init__(self, words: Iterable[str]) -> None:
        # By length: the words that are so long, and those that are at least so long.
        self._ending: list[int] = []
        self._having: list[dict[str, int]] = [{}]
        # Bits are collected in bytes: a number would be copied for each.
        words = tuple(words)
        size = (len(words) + 7) // 8
        having: list[dict[str, bytearray]] = [{}]
        ending: dict[int, bytearray] = {}
        for index, word in enumerate(words):
            byte, bit = index >> 3, 1 << (index & 7)
            having += ({} for _ in range(len(word) + 1 - len(having)))
            for place, sign in enumerate(word, 1):
                having[place].setdefault(sign, bytearray(size))[byte] |= bit
            ending.setdefault(len(word), bytearray(size))[byte] |= bit
        self._having = [
            {sign: int.from_bytes(bits, "little") for sign, bits in column.items()} for column in having
        ]
        self._ending = [int.from_bytes(ending.get(length, b""), "little") for length in range(len(having))]
        reaching = 0
        self._reaching: list[int] = []
        for ends in reversed(self._ending):
            reaching |= ends
            self._reaching.insert(0, reaching)

    def near(self, word: str, most: int = 2) -> list[int]:
        """The indices of the words at most so many mistakes away, in order."""
        last = len(self._ending) - 1
        if len(word) > last + most:
            return []
        reaching, having = self._reaching, self._having
        nobody = [0] * (last + 1)
        # here[mistakes][place]: the words whose first so many signs can have become what was read so far.
        here = [
            [reaching[place] if place <= mistakes else 0 for place in range(last + 1)]
            for mistakes in range(most + 1)
        ]
        before = [nobody] * (most + 1)
        previous = ""
        for read, sign in enumerate(word, 1):
            after: list[list[int]] = []
            for mistakes in range(most + 1):
                row = nobody.copy()
                for place in range(max(0, read - most), min(last, read + most) + 1):
                    words = here[mistakes][place - 1] & having[place].get(sign, 0) if place else 0
                    if mistakes:
                        words |= here[mistakes - 1][place]
                        if place:
                            words |= here[mistakes - 1][place - 1] | after[-1][place - 1]
                        if place > 1 and read > 1:
                            swapped = having[place].get(previous, 0) & having[place - 1].get(sign, 0)
                            words |= before[mistakes - 1][place - 2] & swapped
                    row[place] = words & reaching[place]
                after.append(row)
            before, here, previous = here, after, sign
        found = 0
        for place, ends in enumerate(self._ending):
            found |= here[most][place] & ends
        indices = []
        while found:
            lowest = found & -found
            indices.append(lowest.bit_length() - 1)
            found ^= lowest
        return indices


class Suggestion(Value):
    """A known text, and what it costs to have taken it for what was given (:func:`weight`)."""

    __slots__ = ("text", "weight")

    text: str
    weight: int

    def __init__(self, text: str, weight: int) -> None:
        _set_text(self, text)
        _set_weight(self, weight)

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"Suggestion({self.text!r}, {self.weight})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Suggestion):
            return NotImplemented
        return (self.text, self.weight) == (other.text, other.weight)

    def __hash__(self) -> int:
        return hash((self.text, self.weight))

    def __reduce__(self) -> tuple[Any, ...]:
        return Suggestion, (self.text, self.weight)


_set_text = Suggestion.__dict__["text"].__set__
_set_weight = Suggestion.__dict__["weight"].__set__

_LETTER_TO_DIGIT: Final = {ord(sign): digit for sign, digit in zip("OISBZGLl", "01582611", strict=True)}
# A small l stays small: it may be a capital L or a 1.
_CAPITALS: Final = bytes(point if point == ord("l") else bytes([point]).upper()[0] for point in range(256))
_NO_SIGNS: Final = bytes(point for point in range(128) if not chr(point).isalnum())


class Suggester:
    """The nearest of many known texts. What separates signs, and their case, do not count.

    The index is built when it is first needed, and again by whoever unpickles it. Found are all texts
    at most one mistake away, signs that look alike apart; where there is none, those two mistakes away (of
    which no sign takes part in both).
    """

    __slots__ = ("_columns", "_neighbours", "_signs", "known")

    known: tuple[str, ...]
    _columns: Columns | None
    _neighbours: Neighbours | None
    _signs: tuple[str, ...]

    def __init__(self, known: Iterable[str]) -> None:
        self.known = tuple(dict.fromkeys(known))
        self._columns = None
        self._neighbours = None
        self._signs = ()

    def __reduce__(self) -> tuple[type[Self], tuple[tuple[str, ...]]]:
        return type(self), (self.known,)

    def suggest(self, text: str, most: int = 3) -> tuple[Suggestion, ...]:
        """At most ``most`` known texts, nearest first; equally near ones in the order they were given."""
        neighbours = self._neighbours or self._built()
        signs = _signs(text)
        if not signs or len(signs) > _LONGEST:
            return ()
        known = self._signs
        found = [(_near(signs, known[index]), index) for index in neighbours.near(_skeleton(signs))]
        found = [pair for pair in found if pair[0] <= _NEAR] or self._farther(signs)
        found.sort()
        return tuple(Suggestion(self.known[index], cost) for cost, index in found[:most])

    def _built(self) -> Neighbours:
        self._signs = tuple(map(_signs, self.known))
        neighbours = Neighbours(map(_skeleton, self._signs))
        # Set last: another thread may look meanwhile, and builds the same at worst.
        self._neighbours = neighbours
        return neighbours

    def _farther(self, signs: str) -> list[tuple[int, int]]:
        """All that are two mistakes away."""
        if self._columns is None:
            self._columns = Columns(map(_skeleton, self._signs))
        return [
            (cost, index)
            for index in self._columns.near(_skeleton(signs))
            if (cost := weight(signs, self._signs[index])) <= _FAR
        ]


# No known code or name is longer; a longer text is not compared at all.
_LONGEST: Final = 80


def _signs(text: str) -> str:
    """The letters and digits of ``text``, in capitals and ASCII where they have it."""
    if not text.isascii():
        text = "".join(map(ascii_sign, text[: 2 * _LONGEST]))
    if text.isascii():
        return text.encode("ascii").translate(_CAPITALS, _NO_SIGNS).decode("ascii")
    return "".join(sign if sign == "l" else sign.upper() for sign in text if sign.isalnum())


def _skeleton(signs: str) -> str:
    """``signs`` with letters that look like digits as these digits."""
    return signs.translate(_LETTER_TO_DIGIT)
