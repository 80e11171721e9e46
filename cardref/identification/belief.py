"""How probable every candidate is, on whole-number bit sets: bit ``n`` stands for candidate number ``n``.

After a few looks most candidates share their probability with many others (so many looks fit, so many do
not), so a belief is kept in *layers*: sets of candidates with the same weight. An observation splits the
candidates into a few *parts* with one likelihood each; it is an AND of every layer with every part. A layer
remembers its factors as a multiset, so that the order of observations does not matter and equal weights meet
in one layer even where every feature has a misread rate of its own.

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

_DIGITS = 52
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


@frozen(slots=False, eq=False)
class Belief:
    """The weights of ``size`` candidates. Immutable: :meth:`times` makes a new one.

    Attributes:
        size: the number of candidates.
        layers: by logarithm of the weight: the logarithms of its factors, and the candidates.
        weights: the logarithm of each weight where there are too many layers; then ``layers`` is empty.
        common: logarithm of what all of ``weights`` have in common.
    """

    size: int
    layers: dict[float, tuple[tuple[float, ...], int]]
    weights: list[float] | None = field(default=None, repr=False)
    common: float = 0.0

    @classmethod
    def even(cls, size: int) -> Self:
        """Every candidate as probable as another."""
        log = -math.log(size)
        return cls(size, {log: ((log,), everyone(size))})

    @classmethod
    def given(cls, prior: Sequence[float]) -> Self:
        """Candidates with these weights, all above 0; they need not sum to 1."""
        total = math.fsum(prior)
        logs = [math.log(weight / total) for weight in prior]
        layers = dict[float, tuple[tuple[float, ...], int]]()
        if len(set(logs)) > MOST_LAYERS:
            return cls(len(logs), {}, logs)
        for log in set(logs):
            bits = sum(1 << n for n, other in enumerate(logs) if other == log)
            layers[log] = ((log,), bits)
        return cls(len(logs), layers)

    def times(self, parts: Parts) -> "Belief":
        """The belief after an observation that splits the candidates into ``parts`` with a likelihood each.

        Bits beyond the candidates are left alone; a likelihood must be above 0.
        """
        by_log = dict[float, int]()
        for bits, likelihood in parts:
            log = math.log(likelihood)
            by_log[log] = by_log.get(log, 0) | bits
        if self.weights is not None:
            return self._one_by_one(self.weights, self.common, by_log)
        layers = dict[float, tuple[tuple[float, ...], int]]()
        for factors, bits in self.layers.values():
            for log, part in by_log.items():
                both = bits & part
                if both:
                    longer = (*factors, log)
                    # fsum is exact in any order, so the same factors always make the same key.
                    key = math.fsum(longer)
                    layers[key] = (longer, layers[key][1] | both if key in layers else both)
        if len(layers) <= MOST_LAYERS:
            return Belief(self.size, layers)
        weights = [0.0] * self.size
        for key, (_, bits) in layers.items():
            for n in members(bits):
                weights[n] = key
        return Belief(self.size, {}, weights)

    def _one_by_one(self, weights: list[float], common: float, by_log: dict[float, int]) -> "Belief":
        candidates = everyone(self.size)
        # The largest part stays as it is: what it would get goes to the common factor.
        most = max(by_log, key=lambda log: (by_log[log] & candidates).bit_count())
        weights = weights.copy()
        for log, bits in by_log.items():
            if log != most:
                more = log - most
                for n in members(bits & candidates):
                    weights[n] += more
        return Belief(self.size, {}, weights, common + most)

    @cached_property
    def evidence(self) -> float:
        """Logarithm of the probability of everything observed, over all candidates."""
        if self.weights is not None:
            top = max(self.weights)
            return self.common + top + math.log(math.fsum(math.exp(w - top) for w in self.weights))
        top = max(self.layers)
        return top + math.log(
            math.fsum(math.exp(log - top) * bits.bit_count() for log, (_, bits) in self.layers.items())
        )

    def log_weight(self, number: int) -> float:
        """Logarithm of the prior of a candidate times the likelihood of everything observed."""
        if self.weights is not None:
            return self.common + self.weights[number]
        return next(log for log, (_, bits) in self.layers.items() if bits >> number & 1)

    def probability(self, number: int) -> float:
        """The probability of a candidate; they sum to 1."""
        return math.exp(self.log_weight(number) - self.evidence)

    @cached_property
    def planes(self) -> list[tuple[float, int]]:
        """Sets with weights: a candidate's probability is the sum of the weights of its sets."""
        if self.weights is not None:
            return _planes([math.exp(self.common + w - self.evidence) for w in self.weights])
        planes = []
        left = 1.0
        for log in self._falling:
            bits = self.layers[log][1]
            weight = math.exp(log - self.evidence)
            planes.append((weight, bits))
            left -= weight * bits.bit_count()
            if left < 1e-15:  # nothing that a double would notice
                break
        return planes

    def total(self, bits: int) -> float:
        """The probability that the answer is one of a set of candidates."""
        return sum(weight * (plane & bits).bit_count() for weight, plane in self.planes)

    def ranked(self, most: int) -> list[tuple[int, float]]:
        """The ``most`` most probable candidates, best first, each with its probability.

        Equals stand in the order of the table.
        """
        if self.weights is None:
            layers = ((math.exp(log - self.evidence), self.layers[log][1]) for log in self._falling)
            return list(islice(((n, weight) for weight, bits in layers for n in members(bits)), most))
        # Sums in different order differ in their last digits: those are no reason to rank one before another.
        rank = [-round(weight, 9) for weight in self.weights]
        order: Iterable[int] = range(self.size)
        if most < self.size // 8:
            order = heapq.nsmallest(most, order, key=rank.__getitem__)
        else:
            order = sorted(order, key=rank.__getitem__)[:most]
        return [(n, math.exp(self.common + self.weights[n] - self.evidence)) for n in order]

    @cached_property
    def _falling(self) -> list[float]:
        return sorted(self.layers, reverse=True)

    def credible(self, share: float) -> int:
        """The most probable candidates that have ``share`` of the probability; equals all or none."""
        if self.weights is None:
            chosen, mass = 0, 0.0
            for log in self._falling:
                bits = self.layers[log][1]
                chosen |= bits
                mass += math.exp(log - self.evidence) * bits.bit_count()
                if mass >= share:
                    break
            return chosen
        numbers, mass, last = list[int](), 0.0, 0.0
        for n, probability in self.ranked(self.size):
            if mass >= share and probability < last * (1.0 - 1e-9):
                break
            numbers.append(n)
            mass += probability
            last = probability
        return bit_set(numbers)


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
