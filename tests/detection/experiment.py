"""The experiment: many seeded slips, each checked, and what came of them as a table.

For each operator, over the slips that contradict a recorded fact:

- *caught*: at least one new warning or error (a note is counted beside it);
- *right record*: a new finding stands at a record that was changed, or names it as the other side;
- *at it*: the same, but only where it stands first;
- *right field*: a new finding stands at the field that was changed, of a record that was;
- *findings*: how many new ones there are for a caught slip;
- *schema*: caught by the JSON Schemas alone, as a plain validator reads them.

Slips that contradict nothing are counted apart, with the reasons why nobody could see them.
"""

import random
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from attrs import define, field

from cardref.finding import Severity
from tests.detection.slips import OPERATORS, THEMES, Slip
from tests.detection.world import Told, World

__all__ = ["Outcome", "Row", "outcomes", "rows", "table"]

_TRIES = 60


@define
class Outcome:
    """What came of one slip."""

    operator: str
    slip: Slip
    told: list[Told]
    schema: bool

    @property
    def caught(self) -> bool:
        """A warning or an error was raised."""
        return any(one.severity is not Severity.NOTE for one in self.told)

    @property
    def placed(self) -> bool:
        """It is told at a record that was changed."""
        return any(one.record in self.slip.records for one in self.told)

    @property
    def named(self) -> bool:
        """It is told at a record that was changed, or that record is the other side."""
        return any({one.record, *one.others} & set(self.slip.records) for one in self.told)

    @property
    def at_field(self) -> bool:
        """It is told at the very field."""
        return any(one.record in self.slip.records and _fits(one, self.slip.field) for one in self.told)


def _fits(told: Told, slipped: str) -> bool:
    """Whether a finding is at the field that was changed, or at what holds it or lies in it.

    A field that is gone has no place: then it must be named.
    """
    one, other = told.field.split("."), slipped.split(".")
    if not told.field:
        return (
            told.message.startswith((f"{other[0]} is missing",)) or f" {other[0]} is missing" in told.message
        )
    shared = min(len(one), len(other))
    return one[:shared] == other[:shared]


def outcomes(world: World, each: int, seed: str = "1", operators: Iterable[str] = ()) -> Iterator[Outcome]:
    """``each`` slips by every operator (or those named), checked; the same for the same seed."""
    for name in operators or OPERATORS:
        for slip in _slips(world, name, each, seed):
            yield Outcome(name, slip, world.new(slip.changes), world.schema_finds(slip.changes))


def _slips(world: World, name: str, each: int, seed: str) -> Iterator[Slip]:
    rng = random.Random(f"{seed} {name}")
    done: set[str] = set()
    for _ in range(each * _TRIES):
        if len(done) == each:
            return
        slip = OPERATORS[name](world, rng)
        if slip is not None and slip.what not in done:
            done.add(slip.what)
            yield slip


@define
class Row:
    """Sums of one operator, or of all."""

    name: str
    slips: int = 0
    contradicting: int = 0
    caught: int = 0
    noted: int = 0
    named: int = 0
    placed: int = 0
    at_field: int = 0
    findings: int = 0
    schema: int = 0
    seen_anyway: int = 0
    missed: list[Outcome] = field(factory=list)
    reasons: Counter[str] = field(factory=Counter)

    def add(self, one: Outcome) -> None:
        """Count one outcome."""
        self.slips += 1
        if one.slip.unseeable:
            self.reasons[one.slip.unseeable] += 1
            self.seen_anyway += one.caught
            return
        self.contradicting += 1
        self.schema += one.schema
        self.noted += bool(one.told) and not one.caught
        if not one.caught:
            self.missed.append(one)
            return
        self.caught += 1
        self.named += one.named
        self.placed += one.placed
        self.at_field += one.at_field
        self.findings += len(one.told)

    def share(self, part: int) -> float:
        """``part`` of the slips that contradict something."""
        return part / self.contradicting if self.contradicting else 1.0

    @property
    def per_slip(self) -> float:
        """New findings for a caught slip."""
        return self.findings / self.caught if self.caught else 0.0


def rows(found: Iterable[Outcome], *, by_theme: bool = False) -> list[Row]:
    """One row for each operator, or for what they are about, and the sum of all last."""
    by_name: dict[str, Row] = {}
    total = Row("all")
    for one in found:
        name = THEMES[one.operator] if by_theme else one.operator
        by_name.setdefault(name, Row(name)).add(one)
        total.add(one)
    return [*by_name.values(), total]


def table(lines: Sequence[Row]) -> Iterator[str]:
    """The rows as text."""
    head = (
        "slip",
        "n",
        "contra",
        "caught",
        "record",
        "at it",
        "field",
        "findings",
        "schema",
        "unseeable",
        "seen",
    )
    yield f"{head[0]:24} " + " ".join(f"{word:>9}" for word in head[1:])
    for row in lines:
        yield (
            f"{row.name:24} {row.slips:9} {row.contradicting:9} "
            + " ".join(
                f"{row.share(part):9.1%}" for part in (row.caught, row.named, row.placed, row.at_field)
            )
            + f" {row.per_slip:9.2f} {row.share(row.schema):9.1%}"
            + f" {sum(row.reasons.values()):9} {row.seen_anyway:9}"
        )


def bundled() -> Path:
    """The bundled dataset."""
    return Path(__file__).parents[2] / "dataset"
