"""The quality figures on a made-up table: few looks, and right in spite of misreads."""

import pytest

from cardref.identification.cards import By, card_table
from cardref.identification.table import Table
from cardref.reference import load
from tests.quality.looks_needed import MISREADS, THRESHOLDS, made_up_table, report, simulated

RUNS = 160


@pytest.fixture(scope="module")
def table() -> Table:
    """Eighty candidates by thirty features."""
    return made_up_table()


@pytest.mark.parametrize("threshold", THRESHOLDS)
def test_right_at_five_percent_misreads(table: Table, threshold: float) -> None:
    """At 5 % misreads 98 % of the answers are right, where plain elimination has fewer than 90 %."""
    assert simulated(table, "engine", 0.05, threshold, RUNS).right >= 0.98
    assert simulated(table, "elimination", 0.05, 0.0, RUNS).right < 0.90


def test_few_looks(table: Table) -> None:
    """Looks needed: at most 1.15 times the entropy bound, and 1.15 times those of elimination."""
    found = simulated(table, "engine", 0.05, 0.95, RUNS)
    assert found.of_bound <= 1.15
    clean = simulated(table, "engine", 0.0, 0.95, RUNS)
    assert clean.right == 1.0
    assert clean.looks <= 1.15 * simulated(table, "elimination", 0.0, 0.0, RUNS).looks


def test_the_same_seed_gives_the_same_figures(table: Table) -> None:
    """A simulation can be run again with the same result."""
    assert simulated(table, "engine", 0.05, 0.95, 10) == simulated(table, "engine", 0.05, 0.95, 10)


def test_the_report_has_a_line_for_every_way(table: Table) -> None:
    """One line for elimination and one for each threshold, at every rate of misreads."""
    assert len(report(table, 3).splitlines()) == 1 + len(MISREADS) * (1 + len(THRESHOLDS))


@pytest.mark.parametrize("line", ["hedgerow-circuit", "night-post", "tidewrack"])
def test_the_demo_reference(line: str) -> None:
    """On every demo line: 98 % right at 5 % misreads, few looks, and far better than plain elimination."""
    table = card_table(load().index, line, By.BACK).table
    runs = 2 * len(table.candidates) if len(table.candidates) > 100 else 250
    found = simulated(table, "engine", 0.05, 0.95, runs)
    assert found.right >= 0.98
    assert found.of_bound <= 1.15
    assert simulated(table, "elimination", 0.05, 0.0, runs).right <= found.right - 0.05
    assert simulated(table, "engine", 0.0, 0.95, runs).right >= 0.99
