"""How probable every candidate is, on whole-number bit sets: bit ``n`` stands for candidate number ``n``.

After a few looks most candidates share their probability with many others (so many looks fit, so many do
not), so a belief is kept in *layers*: sets of candidates with the same weight. An observation splits the
candidates into a few *parts* with one likelihood each; it is an AND of every layer with every part. Where
every look has the same misread rate, the layers are those with 0, 1, 2 ... misfits.

Weights are logarithms in whole numbers of a very small unit. So the order of observations cannot matter, and
equal weights meet in one layer even where every feature has a misread rate of its own.

Where unknown cells, priors or rates make too many layers, the weights are kept one by one instead and cut
into *planes*, the sets of candidates that have a certain binary digit in their probability: a sum of
probabilities is then a sum over a fixed number of planes, whatever the weights are.

>>> belief = Belief.even(4).times([(0b0011, 0.9), (0b1100, 0.1)]).times([(0b0101, 0.8), (0b1010, 0.2)])
>>> [(n, round(probability, 2)) for n, probability in belief.ranked(4)]
[(0, 0.72), (1, 0.18), (2, 0.08), (3, 0.02)]
"""

import heapq
import math
import sys
from array import array
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import islice
from typing import Self

from attrs import field, frozen

__all__ = ["Belief", "Parts", "bit_set", "everyone", "members"]

Parts = Sequence[tuple[int, float]]
"""Sets of candidates with a likelihood each. They share no member and together hold every candidate."""

MOST_LAYERS = 128
"""With more layers than this the weights are kept one by one."""

_UNIT = 2.0**-44
"""What one in a weight stands for: small enough that a hundred looks are exact to eleven digits."""

_DIGITS = 52
"""Binary digits of a probability that planes keep."""

_BLOCK = 128


def everyone(size: int) -> int:
    """The set of the first ``size`` candidates."""
    return (1 << size) - 1


def bit_set(numbers: Iterable[int]) -> int:
    """The set of these candidates."""
    chosen = list(numbers)
    raw = bytearray((max(chosen, default=0) >> 3) + 1)
    for n in chosen:
        raw[n >> 3] |= 1 << (n & 7)
    return int.from_bytes(raw, "little")


def members(bits: int) -> Iterator[int]:
    """The numbers in a bit set, smallest first.

    >>> list(members(0b101001))
    [0, 3, 5]
    """
    # Whole blocks, because every operation on a long integer costs its length.
    raw = bits.to_bytes((bits.bit_length() + 7) // 8, "little")
    for start in range(0, len(raw), _BLOCK):
        block = int.from_bytes(raw[start : start + _BLOCK], "little")
        first = 8 * start - 1
        while block:
            lowest = block & -block
            yield first + lowest.bit_length()
            block ^= lowest


def _log(number: float) -> int:
    return round(math.log(number) / _UNIT)


@frozen(slots=False, eq=False)
class Belief:
    """The weights of ``size`` candidates. Immutable: :meth:`times` makes a new one.

    Attributes:
        size: the number of candidates.
        layers: the candidates of each weight; a weight is a logarithm in whole units.
        weights: the weight of each candidate where there are too many layers; then ``layers`` is empty.
    """

    size: int
    layers: dict[int, int]
    weights: list[int] | None = field(default=None, repr=False)

    @classmethod
    def even(cls, size: int) -> Self:
        """Every candidate as probable as another."""
        return cls(size, {_log(1.0 / size): everyone(size)})

    @classmethod
    def given(cls, prior: Sequence[float]) -> Self:
        """Candidates with these weights, all above 0; they need not sum to 1."""
        total = math.fsum(prior)
        weights = [_log(weight) - _log(total) for weight in prior]
        if len(set(weights)) > MOST_LAYERS:
            return cls(len(weights), {}, weights)
        layers = {
            weight: bit_set(n for n, other in enumerate(weights) if other == weight)
            for weight in set(weights)
        }
        return cls(len(weights), layers)

    def times(self, parts: Parts) -> "Belief":
        """The belief after an observation that splits the candidates into ``parts`` with a likelihood each.

        Bits beyond the candidates are left alone; a likelihood must be above 0.
        """
        by_log = dict[int, int]()
        for bits, likelihood in parts:
            log = _log(likelihood)
            by_log[log] = by_log.get(log, 0) | bits
        if self.weights is not None:
            return self._one_by_one(self.weights, by_log)
        layers = dict[int, int]()
        for weight, bits in self.layers.items():
            for log, part in by_log.items():
                both = bits & part
                if both:
                    layers[weight + log] = layers.get(weight + log, 0) | both
        if len(layers) <= MOST_LAYERS:
            return Belief(self.size, layers)
        weights = [0] * self.size
        for weight, bits in layers.items():
            for n in members(bits):
                weights[n] = weight
        return Belief(self.size, {}, weights)

    def _one_by_one(self, weights: list[int], by_log: dict[int, int]) -> "Belief":
        candidates = everyone(self.size)
        # All get what the largest part gets, and the others the difference.
        most = max(by_log, key=lambda log: (by_log[log] & candidates).bit_count())
        weights = [weight + most for weight in weights]
        for log, bits in by_log.items():
            if log != most:
                more = log - most
                for n in members(bits & candidates):
                    weights[n] += more
        return Belief(self.size, {}, weights)

    @cached_property
    def _falling(self) -> list[int]:
        """The weights of the layers, largest first."""
        return sorted(self.layers, reverse=True)

    @cached_property
    def _top(self) -> int:
        return self._falling[0] if self.weights is None else max(self.weights)

    @cached_property
    def _shares(self) -> list[float]:
        """What each of ``weights`` has, compared with the largest."""
        top = self._top
        return [math.exp((weight - top) * _UNIT) for weight in self.weights or ()]

    @cached_property
    def _scale(self) -> float:
        """The probability of the most probable candidate. At least 1/size, so nothing is divided by 0."""
        if self.weights is not None:
            return 1.0 / math.fsum(self._shares)
        top = self._top
        return 1.0 / math.fsum(
            math.exp((weight - top) * _UNIT) * bits.bit_count() for weight, bits in self.layers.items()
        )

    @property
    def evidence(self) -> float:
        """Logarithm of the probability of everything observed, over all candidates."""
        return self._top * _UNIT - math.log(self._scale)

    def _probability(self, weight: int) -> float:
        return math.exp((weight - self._top) * _UNIT) * self._scale

    def weight(self, number: int) -> int:
        """The weight of a candidate: larger is more probable."""
        if self.weights is not None:
            return self.weights[number]
        return next(weight for weight, bits in self.layers.items() if bits >> number & 1)

    def probability(self, number: int) -> float:
        """The probability of a candidate; they sum to 1."""
        return self._probability(self.weight(number))

    @cached_property
    def planes(self) -> list[tuple[float, int]]:
        """Sets with weights: a candidate's probability is the sum of the weights of its sets."""
        if self.weights is not None:
            return _planes([share * self._scale for share in self._shares])
        planes = []
        left = 1.0
        for weight in self._falling:
            bits = self.layers[weight]
            probability = self._probability(weight)
            planes.append((probability, bits))
            left -= probability * bits.bit_count()
            if left < 1e-15:  # nothing that a double would notice
                break
        return planes

    def ranked(self, most: int) -> list[tuple[int, float]]:
        """The ``most`` most probable candidates, best first, each with its probability.

        Equals stand in the order of the table.
        """
        if self.weights is None:
            layers = ((self._probability(weight), self.layers[weight]) for weight in self._falling)
            return list(islice(((n, p) for p, bits in layers for n in members(bits)), most))
        # The number counts down, so that of two equal weights the first in the table is the larger pair.
        pairs = zip(self.weights, range(0, -self.size, -1), strict=True)
        best = heapq.nlargest(most, pairs) if most < self.size // 8 else sorted(pairs, reverse=True)[:most]
        return [(-n, self._probability(weight)) for weight, n in best]

    def credible(self, share: float) -> int:
        """The most probable candidates that have ``share`` of the probability; equals all or none."""
        counts = Counter(self.weights) if self.weights is not None else {}
        falling = sorted(counts, reverse=True) if counts else self._falling
        mass, last = 0.0, 0
        for last in falling:
            mass += self._probability(last) * (counts[last] if counts else self.layers[last].bit_count())
            if mass >= share:
                break
        if self.weights is not None:
            return bit_set(n for n, weight in enumerate(self.weights) if weight >= last)
        chosen = 0
        for weight, bits in self.layers.items():
            if weight >= last:
                chosen |= bits
        return chosen


# For each bit of a byte: the table that turns a byte into the digit that its bit is.
_DIGIT_OF = [bytes(48 + (byte >> bit & 1) for byte in range(256)) for bit in range(8)]


def _planes(probabilities: list[float]) -> list[tuple[float, int]]:
    scale = 2.0**_DIGITS
    fixed = array("Q", (round(p * scale) for p in probabilities))
    if sys.byteorder == "big":
        fixed.byteswap()
    total = math.fsum(fixed)
    raw = fixed.tobytes()
    planes = []
    for digit in range(_DIGITS + 1):
        column = raw[digit >> 3 :: 8].translate(_DIGIT_OF[digit & 7])
        # Base 2 is read in linear time, and the limit on digits holds for other bases only.
        bits = int(column[::-1], 2)
        if bits:
            planes.append((2.0**digit / total, bits))
    return planes
