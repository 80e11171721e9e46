"""How a feature is read: the probability of every outcome of a look, given what is recorded.

One row per recorded cell, kept sparse: every outcome has the row's base, a few have something on top. For a
feature with ``k`` outcomes and misread rate ``e``:

- a state recorded is read right with ``1 - e``; a wrong one of the others comes up with ``e/(k - 1)`` each;
- a count slips to its neighbours: they share ``e`` but for a tenth, which is spread over everything else, so
  that a slip by two never rules the truth out. Any number that is no recorded one, nor next to one, is one
  outcome, "another number";
- several states recorded: the mean over those (repeat a state, or give shares, to say that it is commoner);
- nothing recorded: the rates of the states among the recorded cells, *as they would be read*. That is never
  evidence against a candidate nobody has looked at, not even where a state turns up that none is recorded
  with;
- a length is recorded as a span. The likelihood of a reading is the probability of JCGM 106:2012 that the
  length lies in the span, per millimetre of span (a wide span is not to win by being wide), and ``e`` is
  spread evenly over all lengths that the table knows. To judge what a look is worth, readings are taken at
  every half division of the ruler.

Choice and presence follow Willcox, Lapage, Bascomb & Curtis 1973, J. Gen. Microbiol. 77:317; slips to
neighbours are common practice, no source.

>>> from cardref.identification.reading import read
>>> channel = Channel.of(Feature("tens", "count", misread=0.1), [((25, 1.0),), ((28, 1.0),)])
>>> [round(channel.likelihood(((25, 1.0),), read(channel.feature, n)), 4) for n in (25, 24, 26, 30)]
[0.9, 0.045, 0.045, 0.0025]
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Self

from attrs import field, frozen

from cardref.identification.feature import Feature, Span, State
from cardref.identification.reading import DOES_NOT_APPLY, Blank, Measured, Reading
from cardref.identification.ruler import normal_pdf, probability_within, ruler_uncertainty
from cardref.model.feature import PRESENCE, FeatureKind

__all__ = ["Cell", "Channel", "Known", "Row", "entropy_of", "fits", "mixed"]

Known = tuple[tuple[State | Blank, float], ...]
"""States with their shares, which sum to 1. "Does not apply" is a state where no parent answers for it."""

Cell = Known | Blank | None
"""What is recorded: states; that the feature does not apply, as its parent tells; or nothing."""

FAR = 0.1
"""The share of a count's slips that goes further than to a neighbour."""

MOST_POINTS = 400
"""So many readings of a length are told apart at most when a look is judged."""

_ELSEWHERE = -1  # the outcome "another number" of a count; no count is negative


@frozen
class Row:
    """The outcomes of a look at one kind of cell.

    Attributes:
        base: the probability that every outcome has at least.
        extras: ``(outcome, what it has on top)``; outcomes are numbered from 0.
        entropy: of the whole row, in bits.
    """

    base: float
    extras: tuple[tuple[int, float], ...]
    entropy: float


def entropy_of(base: float, extras: Iterable[float], size: int) -> float:
    """Entropy in bits of ``size`` outcomes: each has ``base``, and some have one of ``extras`` on top."""
    total, rest = 0.0, size
    for extra in extras:
        rest -= 1
        if (p := base + extra) > 0.0:
            total -= p * math.log2(p)
    return total - rest * base * math.log2(base) if rest > 0 and base > 0.0 else total


def mixed(rows: Iterable[tuple[float, Row]], size: int) -> Row:
    """The row that is read when each of ``rows`` stands there with the share given with it."""
    base, extras = 0.0, dict[int, float]()
    for share, row in rows:
        base += share * row.base
        for outcome, extra in row.extras:
            extras[outcome] = extras.get(outcome, 0.0) + share * extra
    ordered = tuple(sorted(extras.items()))
    return Row(base, ordered, entropy_of(base, extras.values(), size))


@frozen
class Channel:
    """How one feature of a table is read. Made by :meth:`of`.

    Attributes:
        feature: the feature.
        outcomes: what a look can give: states; for a length the points at which it is judged, in mm.
        index: the number of each outcome.
        reach: of a length: the millimetres over which blunders are spread; else 1.
        typical: the shares of all recorded cells together: what is expected of a cell that nobody recorded.
        known: of a circumstance: the recorded cells, each with its share; else empty.
        rows: what has been worked out, by cell; read them through :meth:`row`.
    """

    feature: Feature
    outcomes: tuple[State | Blank | float, ...]
    index: Mapping[State | Blank | float, int]
    reach: float
    typical: Known | None
    known: tuple[tuple[float, Known], ...] = ()
    rows: dict[Cell, Row] = field(factory=dict, eq=False, repr=False)

    @classmethod
    def of(cls, feature: Feature, cells: Sequence[Cell], weights: Sequence[float] = ()) -> Self:
        """The channel of ``feature`` in a table that has these ``cells``.

        Args:
            feature: the feature.
            cells: the different cells that occur.
            weights: how much each of them counts for what is typical; evenly where left out.
        """
        known = [cell for cell in cells if isinstance(cell, tuple)]
        states = {state for cell in known for state, _ in cell}
        outcomes: tuple[State | Blank | float, ...]
        reach = 1.0
        if feature.kind is FeatureKind.COUNT:
            numbers = {state for state in states if isinstance(state, int)}
            near = {number + step for number in numbers for step in (-1, 0, 1)}
            outcomes = (*sorted(n for n in near if n >= 0), _ELSEWHERE)
        elif feature.kind is FeatureKind.LENGTH:
            spans = [state for state in states if isinstance(state, Span)] or [Span(0.0, 0.0)]
            low, high = min(s.low for s in spans), max(s.high for s in spans)
            reach = high - low + 2.0 * feature.resolution
            # Twice the largest error on either side, for the normal curve has tails.
            first, last = low - 2.0 * feature.resolution, high + 2.0 * feature.resolution
            points = min(MOST_POINTS, math.ceil((last - first) / (feature.resolution / 2.0)) + 1)
            outcomes = tuple(first + (last - first) * n / (points - 1) for n in range(points))
        else:
            outcomes = feature.states or PRESENCE
        if DOES_NOT_APPLY in states:
            outcomes = (*outcomes, DOES_NOT_APPLY)
        shares = dict[State | Blank, float]()
        for cell, weight in zip(cells, weights or [1.0] * len(cells), strict=True):
            for state, share in cell if isinstance(cell, tuple) else ():
                shares[state] = shares.get(state, 0.0) + weight * share
        total = sum(shares.values())
        typical = tuple((state, share / total) for state, share in shares.items() if share > 0.0) or None
        index = {outcome: number for number, outcome in enumerate(outcomes)}
        return cls(feature, outcomes, index, reach, typical, _shares(cells, weights) if feature.given else ())

    @property
    def size(self) -> int:
        """The number of outcomes."""
        return len(self.outcomes)

    def row(self, cell: Cell) -> Row:
        """How a cell is read. A cell whose parent answers for it is read like one that nobody recorded."""
        row = self.rows.get(cell)
        if row is None:
            row = self.rows[cell] = self._worked_out(cell)
        return row

    def _worked_out(self, cell: Cell) -> Row:
        if not isinstance(cell, tuple):
            if self.typical is None:  # nobody recorded anything
                return Row(1.0 / self.size, (), math.log2(self.size))
            cell = self.typical
        if len(cell) == 1:
            return self._of_state(cell[0][0])
        return mixed([(share, self.row(((state, 1.0),))) for state, share in cell], self.size)

    def _of_state(self, state: State | Blank) -> Row:
        size, error = self.size, self.feature.error
        if isinstance(state, Span):
            return self._of_span(state)
        at = self.index[state]
        if size == 1:
            return Row(0.0, ((at, 1.0),), 0.0)
        if self.feature.kind is not FeatureKind.COUNT or not isinstance(state, int):
            base = error / (size - 1)
            extras = [(at, 1.0 - error - base)]
        else:
            near = [self.index[n] for n in (state - 1, state + 1) if n >= 0]
            base = error * FAR / (size - 1 - len(near))
            slip = error * (1.0 - FAR) / len(near) - base
            extras = [(at, 1.0 - error - base), *((n, slip) for n in near)]
        return Row(base, tuple(sorted(extras)), entropy_of(base, [x for _, x in extras], size))

    def _of_span(self, span: Span) -> Row:
        points = [point for point in self.outcomes if isinstance(point, float)]
        # Where the lengths reach so far that the points stand further apart, a coarser ruler is judged.
        uncertainty = max(ruler_uncertainty(self.feature.resolution), (points[1] - points[0]) / 2.0)
        fit = [_density(point, uncertainty, span) for point in points]
        scale = (1.0 - self.feature.error) / sum(fit)
        base = self.feature.error / self.size
        extras = tuple((n, scale * x) for n, x in enumerate(fit) if scale * x > 1e-18)
        return Row(base, extras, entropy_of(base, [x for _, x in extras], self.size))

    def outcome(self, state: State | Blank) -> int:
        """The number of the outcome ``state``, which must be a state of a presence, a choice or a count."""
        return self.index[state] if state in self.index else self.index[_ELSEWHERE]

    def outcomes_of(self, reading: Reading) -> frozenset[int]:
        """The outcomes that a reading of states, or "does not apply" as a state of its own, stands for."""
        if reading.blank is not None:
            return frozenset({self.index[reading.blank]})
        return frozenset(map(self.outcome, reading.states))

    def probability(self, cell: Cell, outcomes: frozenset[int]) -> float:
        """The probability that a look at ``cell`` gives one of ``outcomes``."""
        if self.feature.given:
            return self._allowing(cell, outcomes)
        row = self.row(cell)
        return len(outcomes) * row.base + sum(extra for n, extra in row.extras if n in outcomes)

    def _allowing(self, cell: Cell, outcomes: frozenset[int]) -> float:
        """How well one of ``outcomes`` goes with what a cell allows."""
        if isinstance(cell, tuple):
            return max(
                len(outcomes) * row.base + sum(extra for n, extra in row.extras if n in outcomes)
                for row in (self.row(((state, 1.0),)) for state, _ in cell)
            )
        if not self.known:
            return len(outcomes) / self.size
        return sum(share * self._allowing(known, outcomes) for share, known in self.known)

    def likelihood(self, cell: Cell, reading: Reading) -> float:
        """How likely ``reading`` is where ``cell`` is recorded, above 0; for a length per millimetre."""
        if not reading.lengths:
            return self.probability(cell, self.outcomes_of(reading))
        if not isinstance(cell, tuple):
            cell = self.typical
        blunder = len(reading.lengths) / self.reach
        if not isinstance(cell, tuple):
            return blunder
        fit = sum(
            share * _density(length.value, length.uncertainty, span)
            for span, share in cell
            if isinstance(span, Span)
            for length in reading.lengths
        )
        return (1.0 - self.feature.error) * fit + self.feature.error * blunder

    def indifferent(self, reading: Reading) -> float:
        """How likely ``reading`` is when every outcome is as likely as another: for "none of these"."""
        if reading.lengths:
            return len(reading.lengths) / self.reach
        return self.evenly(self.outcomes_of(reading))

    def evenly(self, outcomes: frozenset[int]) -> float:
        """The same for outcomes. What is not recorded meets the same circumstances as what is."""
        return self._allowing(None, outcomes) if self.feature.given else len(outcomes) / self.size


def _shares(cells: Sequence[Cell], weights: Sequence[float]) -> tuple[tuple[float, Known], ...]:
    """The cells in which something is recorded, each with its share of them."""
    pairs = zip(weights or [1.0] * len(cells), cells, strict=True)
    known = [(weight, cell) for weight, cell in pairs if isinstance(cell, tuple) and weight > 0.0]
    total = sum(weight for weight, _ in known)
    return tuple((weight / total, cell) for weight, cell in known)


def _density(value: float, uncertainty: float, span: Span) -> float:
    """How likely a reading of ``value`` is, per mm, where the true length may be anywhere in ``span``."""
    width = span.high - span.low
    # A span much narrower than the ruler sees is a point; the difference of two equal numbers is not taken.
    if width < 1e-6 * uncertainty:
        return normal_pdf((value - (span.low + width / 2.0)) / uncertainty) / uncertainty
    return probability_within(value, uncertainty, span.low, span.high) / width


def fits(cell: Known, length: Measured) -> bool:
    """Whether a length could be read so, were nothing but the ruler at fault."""
    return any(
        span.low - length.slack <= length.value <= span.high + length.slack
        for span, _ in cell
        if isinstance(span, Span)
    )
