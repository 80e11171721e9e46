"""How probable every candidate is, on whole-number bit sets: bit ``n`` stands for candidate number ``n``.

After a few looks most candidates share their probability with many others (so many looks fit, so many do
not), so a belief is kept in *layers*: sets of candidates with the same weight. An observation splits the
candidates into a few *parts* with one likelihood each; it is an AND of every layer with every part. Where
every look has the same misread rate, the layers are those with 0, 1, 2 ... misfits.

Weights are logarithms in whole numbers of a very small unit. So the order of observations cannot matter, and
equal weights meet in one layer even where every feature has a misread rate of its own.

Unknown cells, priors and rates make many layers, at most one for each candidate. So that the work stays
bounded,

- a table of more than :data:`EXACT` candidates puts layers of nearly equal weight together, at the mean of
  their weights, where there would be more than :data:`MOST_LAYERS` of them; a probability is then right to a
  few percent of itself (mostly to less than one), and the sum stays exact;
- what a look is worth is judged on at most 8 to 32 :attr:`Belief.strata`, the more the smaller the table is:
  layers that lie near to each other, with their mass kept. With so few layers or candidates nothing is put
  together and the worth is exact; else it is right to about 0.01 bit, from 2,500 candidates on to about
  0.05 (measured on tables grown from the demo reference).

>>> belief = Belief.even(4).times([(0b0011, 0.9), (0b1100, 0.1)]).times([(0b0101, 0.8), (0b1010, 0.2)])
>>> [(n, round(probability, 2)) for n, probability in belief.ranked(4)]
[(0, 0.72), (1, 0.18), (2, 0.08), (3, 0.02)]
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Self

from attrs import frozen

from cardref.lazy import cached_property

__all__ = ["Belief", "Parts", "bit_set", "everyone", "members"]

Parts = Sequence[tuple[int, float]]
"""Sets of candidates with a likelihood each. They share no member and together hold every candidate."""

EXACT = 4096
"""In a table of so many candidates at most, no two weights are put together."""

MOST_LAYERS = 256
"""So many layers the belief about a larger table has at most."""

STRATA_LEAST, STRATA_MOST, STRATA_WORK = 8, 32, 80_000
"""Looks are judged on as many strata as make ``strata x candidates`` the last, within the first two."""

MOST_CUTS = 96
"""So many places are tried at most to cut layers into strata."""

_UNIT = 2.0**-44
"""What one in a weight stands for: small enough that a hundred looks are exact to eleven digits."""

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
    """

    size: int
    layers: dict[int, int]

    @classmethod
    def even(cls, size: int) -> Self:
        """Every candidate as probable as another."""
        return cls(size, {_log(1.0 / size): everyone(size)})

    @classmethod
    def given(cls, prior: Sequence[float]) -> Self:
        """Candidates with these weights, all above 0; they need not sum to 1."""
        total = _log(math.fsum(prior))
        numbers = dict[int, list[int]]()
        for number, weight in enumerate(prior):
            numbers.setdefault(_log(weight) - total, []).append(number)
        layers = {weight: bit_set(those) for weight, those in numbers.items()}
        return cls(len(prior), _kept(layers, len(prior)))

    def times(self, parts: Parts) -> "Belief":
        """The belief after an observation that splits the candidates into ``parts`` with a likelihood each.

        Bits beyond the candidates are left alone; a likelihood must be above 0.
        """
        by_log = dict[int, int]()
        for bits, likelihood in parts:
            log = _log(likelihood)
            by_log[log] = by_log.get(log, 0) | bits
        layers = dict[int, int]()
        for weight, bits in self.layers.items():
            for log, part in by_log.items():
                both = bits & part
                if both:
                    layers[weight + log] = layers.get(weight + log, 0) | both
        return Belief(self.size, _kept(layers, self.size))

    @cached_property
    def _falling(self) -> list[int]:
        """The weights of the layers, largest first."""
        return sorted(self.layers, reverse=True)

    @cached_property
    def _scale(self) -> float:
        """The probability of the most probable candidate. At least 1/size, so nothing is divided by 0."""
        top = self._falling[0]
        return 1.0 / math.fsum(
            math.exp((weight - top) * _UNIT) * bits.bit_count() for weight, bits in self.layers.items()
        )

    @property
    def evidence(self) -> float:
        """Logarithm of the probability of everything observed, over all candidates."""
        return self._falling[0] * _UNIT - math.log(self._scale)

    def _probability(self, weight: int) -> float:
        return math.exp((weight - self._falling[0]) * _UNIT) * self._scale

    def weight(self, number: int) -> int:
        """The weight of a candidate: larger is more probable."""
        return next(weight for weight in self._falling if self.layers[weight] >> number & 1)

    def probability(self, number: int) -> float:
        """The probability of a candidate; they sum to 1."""
        return self._probability(self.weight(number))

    @cached_property
    def strata(self) -> list[tuple[float, int]]:
        """Sets that share no member, the most probable first, each with the probability of one of its members
        (the mean, where it holds several layers).
        """
        layers = []
        left = 1.0
        for weight in self._falling:
            bits = self.layers[weight]
            probability = self._probability(weight)
            layers.append((probability, bits))
            left -= probability * bits.bit_count()
            if left < 1e-15:  # nothing that a double would notice
                break
        most = max(STRATA_LEAST, min(STRATA_MOST, STRATA_WORK // self.size))
        return layers if len(layers) <= most else _strata(layers, most)

    def ranked(self, most: int) -> list[tuple[int, float]]:
        """The ``most`` most probable candidates, best first, each with its probability.

        Equals stand in the order of the table.
        """
        layers = ((self._probability(weight), self.layers[weight]) for weight in self._falling)
        return list(islice(((n, p) for p, bits in layers for n in members(bits)), most))

    def credible(self, share: float) -> int:
        """The most probable candidates that have ``share`` of the probability; equals all or none."""
        mass, chosen = 0.0, 0
        for weight in self._falling:
            bits = self.layers[weight]
            chosen |= bits
            mass += self._probability(weight) * bits.bit_count()
            if mass >= share:
                break
        return chosen


def _kept(layers: dict[int, int], size: int) -> dict[int, int]:
    """The layers, those of nearly equal weight put together where there are too many."""
    if size <= EXACT or len(layers) <= MOST_LAYERS:
        return layers
    top = max(layers)
    step = round(2.0**-8 / _UNIT)  # 0.4 %
    while len({(top - weight) // step for weight in layers}) > MOST_LAYERS:
        step *= 2
    near = dict[int, list[int]]()
    for weight in layers:
        near.setdefault((top - weight) // step, []).append(weight)
    found = dict[int, int]()
    for weights in near.values():
        best, bits, mass = max(weights), 0, 0.0
        for weight in weights:
            bits |= layers[weight]
            mass += math.exp((weight - best) * _UNIT) * layers[weight].bit_count()
        # Layers share no member, so no two groups can meet in one weight unless they hold equal means.
        mean = best + _log(mass / bits.bit_count())
        found[mean] = found.get(mean, 0) | bits
    return found


def _strata(layers: list[tuple[float, int]], most: int) -> list[tuple[float, int]]:
    """Layers, the most probable first, put together to ``most`` strata.

    Where to cut is found greedily: each cut takes away as much as one can of the variance of the logarithms
    of the probabilities within strata, every candidate counted by its probability.
    """
    mass, first, second = [0.0], [0.0], [0.0]  # sums of m, m log p and m (log p)^2 up to each layer
    for probability, bits in layers:
        m, log = probability * bits.bit_count(), math.log(probability)
        mass.append(mass[-1] + m)
        first.append(first[-1] + m * log)
        second.append(second[-1] + m * log * log)

    # Cuts between layers that differ by less than so much of the whole range are not tried: that many layers
    # would take longer than the looks.
    step = (math.log(layers[0][0]) - math.log(layers[-1][0])) / MOST_CUTS
    edges = [0]
    for at in range(1, len(layers)):
        if layers[at][0] * math.exp(step) < layers[edges[-1]][0]:
            edges.append(at)
    edges.append(len(layers))

    def spread(start: int, end: int) -> float:
        start, end = edges[start], edges[end]
        m = mass[end] - mass[start]
        if m <= 0.0:
            return 0.0
        return (second[end] - second[start]) - (first[end] - first[start]) ** 2 / m

    def best_cut(start: int, end: int) -> tuple[float, int]:
        whole, best = spread(start, end), (0.0, -1)
        for at in range(start + 1, end):
            gain = whole - spread(start, at) - spread(at, end)
            if gain > best[0]:
                best = gain, at
        return best

    cuts = [(*best_cut(0, len(edges) - 1), 0, len(edges) - 1)]
    while len(cuts) < most:
        number = max(range(len(cuts)), key=lambda n: cuts[n][0])
        _, at, start, end = cuts[number]
        if at < 0:
            break
        cuts[number : number + 1] = [(*best_cut(start, at), start, at), (*best_cut(at, end), at, end)]
    found = []
    for _, _, start, end in cuts:
        together = 0
        for _, bits in layers[edges[start] : edges[end]]:
            together |= bits
        share = mass[edges[end]] - mass[edges[start]]
        found.append((share / together.bit_count(), together))
    return found
