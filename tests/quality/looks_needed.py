"""How many looks an identification needs, and how often it is right, when observers misread.

A made-up observer has one of the candidates in hand, makes the look that is proposed, misreads it as often as
we say, and goes on until told to stop. "Plain elimination" is the same simulation with the usual way of a
printed key: keep the candidates that go with everything read, and look at what splits them best.

- *right*: the candidate in hand is among those told at the end; *told*: how many those are on the average;
- *bits*: expected information of a look made, on the average; *bound*: the entropy of the candidates
  beforehand, by that, for fewer looks of that worth cannot tell them apart; *of bound*: looks made, by the
  bound. A sharper yardstick is plain elimination without misreads: what allows for misreads needs more looks.

The rate at which the observer misreads is not told to the engine, which keeps to the rates of the features.

Usage: python -m tests.quality.looks_needed [RUNS [LINE [back|card]]]

Without a line: all lines of the demo reference, by back. The line "made-up" is a table of no cards at all.
"""

import math
import random
import sys
from collections.abc import Callable, Iterator
from types import SimpleNamespace

from attrs import frozen

from cardref.identification.answer import Ending
from cardref.identification.belief import everyone, members
from cardref.identification.cards import By, card_table
from cardref.identification.feature import Feature, Span
from cardref.identification.reading import COULD_NOT_SEE, DOES_NOT_APPLY, Reading, read
from cardref.identification.session import Session
from cardref.identification.table import Column, Table
from cardref.reference import load

MISREADS = (0.0, 0.02, 0.05, 0.10)
THRESHOLDS = (0.95, 0.99)

LookAt = Callable[[str], object]
"""What the observer says of a feature."""


@frozen
class Result:
    """One line of the table, over all runs."""

    way: str
    misread: float
    threshold: float
    runs: int
    looks: float
    right: float
    told: float
    bits: float
    bound: float

    @property
    def of_bound(self) -> float:
        """Looks made, by the bound."""
        return self.looks / self.bound if self.bound else 1.0


class Observer:
    """Somebody with one candidate in hand. What was misread once stays so, however often it is asked for."""

    def __init__(self, table: Table, number: int, misread: float, chance: random.Random) -> None:
        self.table = table
        self.number = number
        self.misread = misread
        self.chance = chance
        self.seen: dict[int, object] = {}

    def look_at(self, feature: str) -> object:
        """What is read of a feature, its parent looked at first."""
        return self._read(self.table.feature_number[feature])

    def _read(self, at: int) -> object:
        if at not in self.seen:
            column = self.table.columns[at]
            if column.parent >= 0:
                above = self.table.columns[column.parent]
                seen = self._read(column.parent)
                if seen is DOES_NOT_APPLY or above.channel.outcome(seen) not in column.when:  # type: ignore[arg-type] # no length
                    self.seen[at] = DOES_NOT_APPLY
                    return DOES_NOT_APPLY
            self.seen[at] = self._misread(column, self._true_state(column))
        return self.seen[at]

    def _true_state(self, column: Column) -> object:
        """The state of the thing in hand; where nothing is recorded, one that is common among the others."""
        cell = column.cell(self.number)
        known = cell if isinstance(cell, tuple) else column.channel.typical
        if known is None:
            return None
        states = [state for state, _ in known]
        return self.chance.choices(states, [share for _, share in known])[0]

    def _misread(self, column: Column, state: object) -> object:
        wrong = self.chance.random() < self.misread
        channel = column.channel
        if isinstance(state, Span):
            return self._measured(column, state, wrong=wrong)
        if state is None:
            return COULD_NOT_SEE
        if not wrong:
            return state
        if isinstance(state, int):
            return state + 1 if state == 0 else state + self.chance.choice((-1, 1))
        # "Another number" of a count is no number that could be read.
        others = [outcome for outcome in channel.outcomes if outcome not in (state, -1)]
        return self.chance.choice(others) if others else state

    def _measured(self, column: Column, span: Span, *, wrong: bool) -> object:
        step = column.feature.resolution
        length = self.chance.uniform(span.low, span.high)
        if wrong:
            points = column.channel.outcomes
            length = self.chance.uniform(max(0.0, float(str(points[0]))), float(str(points[-1])))
        # Both ends are read to the nearest division, wherever the ruler was laid.
        start = self.chance.uniform(0.0, step)
        value = (round((start + length) / step) - round(start / step)) * step
        return SimpleNamespace(value=max(0.0, value), resolution=step)


def by_engine(table: Table, observer: Observer, threshold: float) -> tuple[int, float, list[str]]:
    """Looks made, their bits, and the candidates told, when the engine proposes the looks."""
    session, looks, bits = Session(table, threshold), 0, 0.0
    while session.conclusion.ending is Ending.OPEN:
        look = session.next_feature
        assert look is not None
        session = session.observe(look.feature, observer.look_at(look.feature))
        looks, bits = looks + 1, bits + look.bits
    end = session.conclusion
    if end.ending is Ending.IDENTIFIED:
        return looks, bits, [end.remaining[0].id]
    if end.ending is Ending.UNRECORDED:
        return looks, bits, []
    return looks, bits, [table.name(number) for number in members(session.belief.credible(threshold))]


def by_elimination(table: Table, observer: Observer) -> tuple[int, float, list[str]]:
    """Looks made, their bits, and the candidates left, when all that does not go with a look goes out."""
    left, looks, bits, done = everyone(len(table.candidates)), 0, 0.0, set[str]()
    while left.bit_count() > 1:
        worth = {
            column.feature.id: _even_split(column, left)
            for column in table.columns
            if column.feature.id not in done and not column.feature.given
        }
        best = max(worth, key=lambda name: worth[name] / table.column(name).feature.effort, default="")
        if not best or worth[best] <= 0.0:
            break
        left &= _going_with(table.column(best), observer.look_at(best))
        done.add(best)
        looks, bits = looks + 1, bits + worth[best]
    return looks, bits, [table.name(number) for number in members(left)]


def _even_split(column: Column, left: int) -> float:
    """Entropy of the cells among those left, the unrecorded ones left aside."""
    sizes = [(bits & left).bit_count() for bits, cell in column.classes if cell is not None]
    known = sum(sizes)
    if not known:
        return 0.0
    return known / left.bit_count() * -sum(n / known * math.log2(n / known) for n in sizes if n)


def _going_with(column: Column, seen: object) -> int:
    """The candidates that go with what was seen, and those of which nothing is recorded."""
    reading: Reading = read(column.feature, seen)
    kept = 0
    for bits, cell in column.classes:
        if reading.blank is COULD_NOT_SEE or cell is None:
            fits = True
        elif not isinstance(cell, tuple):
            fits = reading.blank is DOES_NOT_APPLY
        elif reading.lengths:
            length = reading.lengths[0]
            fits = any(
                isinstance(state, Span)
                and state.low - length.slack <= length.value <= state.high + length.slack
                for state, _ in cell
            )
        else:
            fits = any(state in (*reading.states, reading.blank) for state, _ in cell)
        kept |= bits if fits else 0
    return kept


def simulated(table: Table, way: str, misread: float, threshold: float, runs: int, seed: int = 1) -> Result:
    """One line of the table. ``runs`` candidates are taken in turn, in an order that ``seed`` settles."""
    chance = random.Random(seed)
    numbers = list(range(len(table.candidates)))
    chance.shuffle(numbers)
    prior = table.prior
    looks, bits, right, told = 0, 0.0, 0, 0
    for run in range(runs):
        number = chance.choices(numbers, prior)[0] if prior else numbers[run % len(numbers)]
        observer = Observer(table, number, misread, chance)
        made, worth, names = (
            by_engine(table, observer, threshold) if way == "engine" else by_elimination(table, observer)
        )
        looks, bits, told = looks + made, bits + worth, told + len(names)
        right += table.name(number) in names
    weights = prior or [1.0] * len(numbers)
    entropy = -sum(w / sum(weights) * math.log2(w / sum(weights)) for w in weights)
    per_look = bits / looks if looks else 0.0
    bound = entropy / per_look if per_look else 0.0
    return Result(way, misread, threshold, runs, looks / runs, right / runs, told / runs, per_look, bound)


def results(table: Table, runs: int) -> Iterator[Result]:
    """All lines of the table."""
    for misread in MISREADS:
        yield simulated(table, "elimination", misread, 0.0, runs)
        for threshold in THRESHOLDS:
            yield simulated(table, "engine", misread, threshold, runs)


def report(table: Table, runs: int) -> str:
    """The table as text."""
    lines = ["misread  way          threshold  looks   bits  bound  of bound   right   told"]
    for one in results(table, runs):
        threshold = f"{one.threshold:9.2f}" if one.threshold else " " * 9
        lines.append(
            f"{one.misread:6.0%}   {one.way:11}  {threshold}  {one.looks:5.2f}  {one.bits:5.2f}"
            f"  {one.bound:5.2f}  {one.of_bound:8.2f}  {one.right:6.1%}  {one.told:5.2f}"
        )
    return "\n".join(lines)


def made_up_table(candidates: int = 80, unrecorded: float = 0.05, seed: int = 5) -> Table:
    """Candidates by thirty features of every kind, some not recorded, some hanging on others."""
    chance = random.Random(seed)
    features = [
        *(Feature(f"mark-{n}", "presence") for n in range(10)),
        *(Feature(f"hue-{n}", "choice", ("red", "blue", "green", "grey")[: 3 + n % 2]) for n in range(8)),
        *(Feature(f"tens-{n}", "count") for n in range(4)),
        *(Feature(f"rope-{n}", "length", effort=2.0) for n in range(4)),
        *(Feature(f"end-{n}", "choice", ("a", "b"), parent=f"mark-{n}", when="present") for n in range(4)),
    ]
    rows = {}
    for number in range(candidates):
        row: dict[str, object] = {}
        for feature in features:
            if chance.random() < unrecorded:
                continue
            if feature.kind == "length":
                low = chance.choice((1.0, 3.0, 6.0, 10.0))
                row[feature.id] = Span(low, low + 1.0)
            elif feature.kind == "count":
                row[feature.id] = chance.choice((10, 16, 21, 25))
            else:
                row[feature.id] = chance.choice(feature.states or ("present", "absent"))
        rows[f"c{number}"] = row
    return Table(features, rows)


def main(words: list[str]) -> None:
    """Print the table of every line that is asked for."""
    runs = int(words[0]) if words else 1000
    index = load().index
    by = By(words[2]) if len(words) > 2 else By.BACK
    for line in words[1:2] or list(index.lines):
        table = made_up_table() if line == "made-up" else card_table(index, line, by).table
        print(f"{line}, by {by}: {len(table.candidates)} candidates, {runs} runs a line")
        print(report(table, runs), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
