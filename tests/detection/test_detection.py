"""The slip experiment, run small: what DEVELOPERS.md shows large holds in every change."""

from functools import cache
from pathlib import Path

import pytest

from cardref.checks.sample import write_sample
from tests.detection.experiment import Outcome, Row, bundled, outcomes, rows
from tests.detection.slips import OPERATORS
from tests.detection.world import World

EACH = 2
SEED = "suite"


@cache
def found() -> tuple[Outcome, ...]:
    """Two slips of every kind in the bundled dataset."""
    return tuple(outcomes(World(bundled()), EACH, SEED))


def total() -> Row:
    """All of them together."""
    return rows(found())[-1]


def test_there_are_enough_kinds_of_slips() -> None:
    """At least 25 operators, and every one of them finds a place in the bundled dataset."""
    assert len(OPERATORS) >= 25
    assert {one.operator for one in found()} == set(OPERATORS)


def test_the_dataset_as_it_is_raises_nothing() -> None:
    """No false alarm on valid data."""
    assert World(bundled()).false_alarms == 0


def test_slips_that_contradict_something_are_caught() -> None:
    """At least 95 of 100 raise a warning or an error."""
    assert total().share(total().caught) >= 0.95, [one.slip.what for one in total().missed]


def test_they_are_told_at_the_record() -> None:
    """At least 90 of 100 name a record that was changed; and most stand right at it, and at its field."""
    assert total().share(total().named) >= 0.90
    assert total().share(total().placed) >= 0.90
    assert total().share(total().at_field) >= 0.80


def test_one_slip_does_not_shout() -> None:
    """At most two findings for a caught slip on average, notes counted."""
    assert total().per_slip <= 2.0


def test_what_contradicts_nothing_has_its_reason() -> None:
    """Every slip that is said to be unseeable says why, and none of them raises an alarm after all."""
    hidden = [one for one in found() if one.slip.unseeable]
    assert all(len(one.slip.unseeable) > 15 for one in hidden)
    assert [one.slip.what for one in hidden if one.caught] == []


def test_the_schemas_alone_see_little_of_it() -> None:
    """The baseline: what JSON Schema finds is shape, and nearly all of these slips have perfect shape."""
    assert total().share(total().schema) < 0.15


def test_equal_seeds_make_equal_slips(tmp_path: Path) -> None:
    """The experiment can be repeated: what it does hangs on the seed alone."""
    world = World(write_sample(tmp_path))
    told = [[(one.slip.what, len(one.told)) for one in outcomes(world, 1, "a")] for _ in range(2)]
    assert told[0] == told[1]
    assert told[0] != [(one.slip.what, len(one.told)) for one in outcomes(world, 1, "b")]


@pytest.mark.parametrize("seed", ["1", "2"])
def test_a_small_dataset_is_guarded_too(tmp_path: Path, seed: str) -> None:
    """A few dozen records hold less against a slip, and most are caught all the same."""
    row = rows(outcomes(World(write_sample(tmp_path)), 2, seed))[-1]
    assert row.share(row.caught) >= 0.95, [one.slip.what for one in row.missed]
    assert row.share(row.named) >= 0.90
    assert row.per_slip <= 2.0
