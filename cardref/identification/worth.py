"""What a look is worth: the information in bits that it is expected to give on which candidate it is.

It is the mutual information of candidate and outcome (Shannon 1948; as the gain of a question: Quinlan 1986,
*Induction of Decision Trees*, Machine Learning 1:81), the entropy of the outcomes less the noise of the look:
``H(sum of W_c row_c) - sum of W_c H(row_c)``, where ``W_c`` is the probability that the cell is ``c`` and
``row_c`` how it is read (:mod:`cardref.identification.channel`). With one state to each cell that is
``H(P) - (1-U) h_e - U H(q)``, but it holds for every kind of cell and feature.

>>> from cardref.identification.belief import Belief
>>> sure = Split(2, ((0b0011, Row(0.0, ((0, 1.0),), 0.0)), (0b1100, Row(0.0, ((1, 1.0),), 0.0))))
>>> information(sure, Belief.even(4).strata)
1.0
"""

import math
from collections.abc import Iterable, Sequence
from typing import Self

from attrs import frozen

from cardref.identification.channel import Row

__all__ = ["Split", "information"]


@frozen
class Split:
    """How a look splits the candidates.

    Attributes:
        size: the number of outcomes.
        classes: sets of candidates with the outcomes that a look at one of them gives. They share no member
            and together hold every candidate.
    """

    size: int
    classes: tuple[tuple[int, Row], ...]

    @classmethod
    def of(cls, size: int, classes: Iterable[tuple[int, Row]]) -> Self:
        """The split, its largest class last: that one's probability is then had without counting."""
        return cls(size, tuple(sorted(classes, key=lambda pair: pair[0].bit_count())))


def information(split: Split, strata: Sequence[tuple[float, int]]) -> float:
    """The expected information of a look in bits, never below 0, for a belief given as its ``strata``."""
    rest, base, noise = 1.0, 0.0, 0.0
    on_top = dict[int, float]()
    last = len(split.classes) - 1
    for at, (bits, row) in enumerate(split.classes):
        share = 0.0
        if at < last:
            for weight, members in strata:
                share += weight * (members & bits).bit_count()
            rest -= share
        else:
            share = rest
        if share > 0.0:
            base += share * row.base
            noise += share * row.entropy
            for outcome, extra in row.extras:
                on_top[outcome] = on_top.get(outcome, 0.0) + share * extra
    spread = 0.0
    for extra in on_top.values():
        p = base + extra
        if p > 0.0:
            spread -= p * math.log2(p)
    plain = split.size - len(on_top)
    if plain and base > 0.0:
        spread -= plain * base * math.log2(base)
    return max(0.0, spread - noise)
