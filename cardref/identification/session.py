"""The looks made so far at one thing, and what they amount to.

>>> from cardref.identification.feature import Feature
>>> table = Table(
...     [Feature("star", "presence"), Feature("tens", "count"), Feature("hue", "choice", ("red", "blue"))],
...     {"a": {"star": "present", "tens": 25, "hue": "red"},
...      "b": {"star": "present", "tens": 28, "hue": "red"},
...      "c": {"star": "absent", "tens": 25}},
... )
>>> session = Session(table).observe("star", "present")
>>> [str(candidate) for candidate in session.candidates]
['a (49 %)', 'b (49 %)', 'c (3 %)']
>>> session.next_feature.feature, session.conclusion.ending.value
('tens', 'open')
>>> print(session.observe("tens", "28").explain())
Identified as far as recorded: b (over 99 %).
For b: star: present; tens: 28.
All candidates were taken to be equally common.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from operator import itemgetter
from typing import overload

from attrs import Factory, evolve, field, frozen

from cardref.errors import UsageError
from cardref.identification import words
from cardref.identification.answer import Beside, Candidate, Conclusion, Ending, Fit, Look, Pair
from cardref.identification.belief import Belief, everyone
from cardref.identification.channel import Cell, fits
from cardref.identification.family import Family
from cardref.identification.feature import finite, meant
from cardref.identification.reading import COULD_NOT_SEE, DOES_NOT_APPLY, Reading, read
from cardref.identification.table import Column, Table, differ
from cardref.identification.worth import Split, information
from cardref.lazy import cached_property
from cardref.text import clip, quoted

__all__ = ["Candidates", "Session"]

LEAST_BITS = 0.01
"""A look that is worth less is not worth proposing."""

MOST_SHOWN = 20
"""So many of the remaining candidates are told one by one, and compared pair by pair."""

SURE = 0.99
"""Misfits are tolerated as long as more of them would be rarer than 1 - SURE for the right candidate."""


@frozen
class _Fact:
    """Something seen, or told by the readings of children."""

    number: int
    given: frozenset[int] | Reading  # outcomes, or lengths
    shown: str
    by: tuple[str, ...] = ()

    def agrees(self, column: Column, cell: Cell) -> bool | None:
        """Whether it agrees with a cell; None where the cell says nothing."""
        if not isinstance(cell, tuple):
            return None
        if isinstance(self.given, Reading):
            return any(fits(cell, length) for length in self.given.lengths)
        return any(column.channel.outcome(state) in self.given for state, _ in cell)


class Candidates(Sequence[Candidate]):
    """All candidates, the most probable first, equals in the order of the table; made when asked for."""

    __slots__ = ("_session",)

    def __init__(self, session: "Session") -> None:
        self._session = session

    def __len__(self) -> int:
        return len(self._session.table.candidates)

    @overload
    def __getitem__(self, at: int) -> Candidate: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Candidate, ...]: ...
    def __getitem__(self, at: int | slice) -> Candidate | tuple[Candidate, ...]:
        wanted = range(len(self))[at]
        if isinstance(wanted, int):
            return self._first(wanted + 1)[wanted]
        ranked = self._first(max(wanted, default=-1) + 1)
        return tuple(ranked[n] for n in wanted)

    def __iter__(self) -> Iterator[Candidate]:
        return iter(self._first(len(self)))

    def _first(self, most: int) -> list[Candidate]:
        session = self._session
        return [session._candidate(n, p) for n, p in session.belief.ranked(most)]  # noqa: SLF001 - its own

    def __repr__(self) -> str:
        shown = ", ".join(map(str, self._first(min(3, len(self)))))
        return f"<{len(self)} candidates: {shown}{', ...' if len(self) > 3 else ''}>"


def _prior(session: "Session") -> Belief:
    return session.table.belief


@frozen(slots=False, eq=False)
class Session:
    """A belief about one thing. Immutable: every observation gives a new one.

    Args:
        table: the candidates and features.
        threshold: how probable the first candidate must be to call it identified, above 0.5 and below 1.
            0.95 follows Priest & Alexander 1988, J. Gen. Microbiol. 134:3011; 0.99 where more depends on it.

    Attributes:
        belief: how probable every candidate is, provided that it is one of them.

    Raises:
        UsageError: a threshold out of bounds.
    """

    table: Table = field(repr=False)
    threshold: float = 0.95
    belief: Belief = field(
        default=Factory(_prior, takes_self=True), kw_only=True, alias="_belief", repr=False
    )
    _readings: Mapping[int, Reading] = field(factory=dict, kw_only=True, alias="_readings")
    _families: Mapping[int, Family] = field(factory=dict, kw_only=True, alias="_families", repr=False)

    def __attrs_post_init__(self) -> None:
        if not 0.5 < finite(self.threshold, "the threshold") < 1.0:
            raise UsageError(f"the threshold must be above 0.5 and below 1, not {self.threshold}")

    # --- looks

    def observe(self, feature: str, reading: object) -> "Session":
        """The session after one more look.

        Args:
            feature: what was looked at.
            reading: what was seen; all that :func:`cardref.identification.reading.read` understands.

        Raises:
            UsageError: there is no such feature or state; or it was read already (:meth:`retract` it first;
                what could not be seen can be read later).
            NotationError: a text that is no length.
        """
        column = self.table.column(feature)
        number = self.table.feature_number[feature]
        seen = read(column.feature, reading)
        had = self._readings.get(number)
        if had is not None and had.blank is not COULD_NOT_SEE:
            raise UsageError(f"{quoted(feature)} was read already, as {quoted(str(had))}: take it back first")
        if seen.blank is DOES_NOT_APPLY and column.parent < 0 and DOES_NOT_APPLY not in column.channel.index:
            raise UsageError(
                f"{quoted(feature)} applies to every candidate: read it, or say that it could not be seen"
            )
        return self._with({**self._readings, number: seen}, number)

    def retract(self, feature: str) -> "Session":
        """The session as if a feature had never been looked at.

        Raises:
            UsageError: it was not looked at; says what was.
        """
        self.table.column(feature)
        number = self.table.feature_number[feature]
        if number not in self._readings:
            raise UsageError(f"{quoted(feature)} was not looked at{meant(feature, self.readings)}")
        return self._with({n: reading for n, reading in self._readings.items() if n != number}, number)

    def _with(self, readings: Mapping[int, Reading], changed: int) -> "Session":
        family = Family.of(self.table, changed, readings)
        families = {**self._families, family.root: family}
        if family.root in self._families:  # its old factor has to go
            belief, factors = self.table.belief, [parts for one in families.values() for parts in one.factors]
        else:
            belief, factors = self.belief, family.factors
        for parts in factors:
            belief = belief.times(parts)
        return evolve(self, _belief=belief, _readings=readings, _families=families)

    @property
    def readings(self) -> dict[str, Reading]:
        """What was read, by feature, in the order of the looks."""
        return {self.table.columns[n].feature.id: reading for n, reading in self._readings.items()}

    # --- candidates

    @property
    def candidates(self) -> Candidates:
        """All candidates, the most probable first. Take a slice where there are many: ``candidates[:20]``."""
        return Candidates(self)

    def candidate(self, name: str) -> Candidate:
        """One candidate.

        Raises:
            UsageError: there is none of that name; says what was probably meant.
        """
        number = self.table.number(name)
        if number >= len(self.table.candidates):
            raise UsageError(
                f"{quoted(name)} is kept beside the candidates and has no probability: see 'beside'"
            )
        return self._candidate(number, self.belief.probability(number))

    def _candidate(self, number: int, probability: float) -> Candidate:
        name = self.table.candidates[number]
        return Candidate(name, probability, self.table.titles.get(name, ""), self._fits_of)

    @cached_property
    def unrecorded(self) -> float:
        """How probable it is that the thing is none of the candidates.

        "None of them" reads as anything, every outcome as likely as another: ``1/k`` for each of ``k``.
        """
        if self.table.unrecorded == 0.0:
            return 0.0
        other = 0.0
        for fact in self._facts:
            channel = self.table.columns[fact.number].channel
            other += math.log(
                channel.indifferent(fact.given)
                if isinstance(fact.given, Reading)
                else channel.evenly(fact.given)
            )
        ahead = math.log(1.0 / self.table.unrecorded - 1.0) + self.belief.evidence - other
        return 1.0 / (1.0 + math.exp(min(ahead, 700.0)))

    @cached_property
    def tolerance(self) -> int:
        """How many misfits the right candidate may have: with 99 % probability it has no more.

        The smallest ``t`` with ``P(misreads <= t) >= 0.99`` over the looks made, each with its own rate.
        """
        chances = [1.0]  # of so many misreads
        for fact in self._facts:
            error = self.table.columns[fact.number].feature.error
            chances = [
                before * error + same * (1.0 - error)
                for before, same in zip([0.0, *chances], [*chances, 0.0], strict=True)
            ]
        sure = 0.0
        for misreads, chance in enumerate(chances):
            sure += chance
            if sure >= SURE:
                return misreads
        return len(chances) - 1

    @cached_property
    def _facts(self) -> tuple[_Fact, ...]:
        """Everything seen, and what it implies, in the order of the features."""
        facts = []
        for family in self._families.values():
            for number in (*family.given, *family.loose):
                reading = self._readings[number]
                column = self.table.columns[number]
                if not (reading.blank and column.parent >= 0):  # what does not apply is told at the parent
                    outcomes = reading if reading.lengths else column.channel.outcomes_of(reading)
                    facts.append(_Fact(number, outcomes, str(reading)))
            for number, (outcomes, children) in family.implied().items():
                channel = self.table.columns[number].channel
                shown = " or ".join(clip(str(channel.outcomes[n]), 40) for n in sorted(outcomes))
                by = tuple(self.table.columns[child].feature.id for child in children)
                facts.append(_Fact(number, outcomes, shown, by))
        return tuple(sorted(facts, key=lambda fact: fact.number))

    def _fits_of(self, name: str) -> tuple[Fit, ...]:
        number = self.table.number(name)
        found = []
        for fact in self._facts:
            column = self.table.columns[fact.number]
            cell = column.cell(number)
            found.append(
                Fit(
                    name,
                    column.feature.id,
                    column.feature.name,
                    fact.shown,
                    words.recorded(cell),
                    fact.agrees(column, cell),
                    fact.by,
                    self.table.where,
                )
            )
        return tuple(found)

    @cached_property
    def _within_tolerance(self) -> int:
        """The candidates with no more misfits than are tolerated."""
        # Layer j holds those with j misfits; an observation moves those that it does not fit one layer on.
        layers = [everyone(len(self.table.candidates))] + [0] * self.tolerance
        for fact in self._facts:
            column = self.table.columns[fact.number]
            against = 0
            for bits, cell in column.classes:
                if fact.agrees(column, cell) is False:
                    against |= bits
            for j in range(self.tolerance, 0, -1):
                layers[j] = (layers[j] & ~against) | (layers[j - 1] & against)
            layers[0] &= ~against
        tolerated = 0
        for bits in layers:
            tolerated |= bits
        return tolerated

    # --- looks to come

    def _split(self, number: int) -> Split:
        root = self.table.roots[number]
        family = self._families.get(root)
        if family is not None and family.given:
            return family.split(number)
        split = self.table.splits.get(number)
        if split is None:
            split = self.table.splits[number] = Family.of(self.table, number, {}).split(number)
        return split

    @cached_property
    def next_features(self) -> tuple[Look, ...]:
        """What was not looked at yet and would tell something, the most bits for the effort first.

        Equals: the one with less effort, then in the order of the table. Empty when nothing left would tell
        anything; :attr:`conclusion` then says what that means.
        """
        return self._looks(self.belief.strata)

    def _looks(self, strata: Sequence[tuple[float, int]]) -> tuple[Look, ...]:
        looks = []
        for number, column in enumerate(self.table.columns):
            if number not in self._readings and not column.feature.given:
                bits = information(self._split(number), strata)
                if bits > 1e-9:
                    feature = column.feature
                    look = Look(feature.id, feature.name, bits, feature.effort)
                    # Rounded, for the last digits of two sums are no reason to prefer a look.
                    looks.append(((-round(look.per_effort, 9), look.effort, number), look))
        looks.sort(key=itemgetter(0))
        return tuple(look for _, look in looks)

    @property
    def next_feature(self) -> Look | None:
        """The look that is worth most now; None when none is worth 0.01 bit."""
        return next((look for look in self.next_features if look.bits >= LEAST_BITS), None)

    # --- what it amounts to

    @cached_property
    def conclusion(self) -> Conclusion:
        """What can be said now, and whether to go on."""
        top = self.candidates[0]
        chosen = self.belief.credible(self.threshold)
        count = chosen.bit_count()
        remaining = self.candidates[: min(count, MOST_SHOWN)]
        looks = tuple(look for look in self.next_features if look.bits >= LEAST_BITS)
        if self._facts:
            if self.unrecorded > 0.5 or not self._within_tolerance:
                return Conclusion(Ending.UNRECORDED, remaining, count, looks)
            if top.posterior * (1.0 - self.unrecorded) >= self.threshold:
                return Conclusion(Ending.IDENTIFIED, remaining, count, looks)
        if looks:
            return Conclusion(Ending.OPEN, remaining, count, looks)
        return Conclusion(Ending.ALIKE, remaining, count, (), self._pairs(remaining))

    def _pairs(self, remaining: Sequence[Candidate]) -> tuple[Pair, ...]:
        cells = [
            (candidate.id, [column.cell(self.table.number(candidate.id)) for column in self.table.columns])
            for candidate in remaining
        ]
        pairs = []
        for at, (one, ours) in enumerate(cells):
            for other, theirs in cells[at + 1 :]:
                telling = [n for n, (a, b) in enumerate(zip(ours, theirs, strict=True)) if differ(a, b)]
                telling = [n for n in telling if not self.table.columns[n].feature.given]
                if all(n in self._readings for n in telling):
                    tried = tuple(self.table.columns[n].feature.id for n in telling)
                    pairs.append(Pair(one, other, tried))
        return tuple(pairs)

    @cached_property
    def beside(self) -> tuple[Beside, ...]:
        """What the looks say of the candidates kept beside, which take no part in the belief."""
        return tuple(self._beside(at) for at in range(len(self.table.asides)))

    def _beside(self, at: int) -> Beside:
        number = len(self.table.candidates) + at
        originals = self.table.imitates[at] or (self.candidates[0].id,)
        original = max((self.table.number(name) for name in originals), key=self.belief.weight)
        ratio = 0.0
        for family in self._families.values():
            for parts in family.factors:
                its, that = (next(p for bits, p in parts if bits >> n & 1) for n in (number, original))
                ratio += math.log2(its / that)
        even = [(0.5, 1 << number | 1 << original)]
        looks = tuple(look for look in self._looks(even) if look.bits >= LEAST_BITS)
        name, of = self.table.name(number), self.table.name(original)
        called, of_called = (clip(self.table.titles.get(one) or one, 80) for one in (name, of))
        return Beside(name, called, of, of_called, ratio, self._fits_of(name), looks)

    @cached_property
    def contradictions(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Readings that do not go with those of their parents: the feature, and the parents that were read.

        One of the two was misread. Both are still counted, each by itself.
        """
        found = []
        for family in self._families.values():
            for number in family.loose:
                above = []
                parent = self.table.columns[number].parent
                while parent >= 0:
                    above.append(self.table.columns[parent].feature.id)
                    parent = self.table.columns[parent].parent
                found.append((self.table.columns[number].feature.id, tuple(above)))
        return tuple(found)

    def explain(self) -> str:
        """The answer, why, and what to do next, in a few short lines."""
        table, facts = self.table, len(self._facts)
        lines = words.conclusion(self.conclusion, len(table.candidates), facts, self.tolerance)
        lines += [words.contradiction(feature, above) for feature, above in self.contradictions]
        lines += [words.beside(one) for one in self.beside if facts]
        lines.append(words.prior(given=table.prior is not None))
        return "\n".join(lines)
