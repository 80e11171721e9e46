"""Digits of seven lights, each of them wrong one time in ten: a published problem whose best result is known.

L. Breiman, J. H. Friedman, R. A. Olshen & C. J. Stone 1984, "Classification and Regression Trees", pp. 43-49:
no rule can be right more often than 74 %. The exact figure, 0.74002248, is the sum over all 128 patterns of
what the most probable digit has, recomputed here from the definition.
"""

import itertools

import pytest

from cardref.identification.feature import Feature
from cardref.identification.session import Session
from cardref.identification.table import Table

# The lights from top to bottom, left before right: top, upper left, upper right, middle, lower left, lower
# right, bottom.
DIGITS = {
    "0": "1110111", "1": "0010010", "2": "1011101", "3": "1011011", "4": "0111010",
    "5": "1101011", "6": "1101111", "7": "1010010", "8": "1111111", "9": "1111011",
}  # fmt: skip
WRONG = 0.1


def chance_of(pattern: str, digit: str) -> float:
    """How often a digit shows as a pattern, straight from the definition."""
    wrong = sum(light != meant for light, meant in zip(pattern, DIGITS[digit], strict=True))
    return float(WRONG**wrong * (1 - WRONG) ** (7 - wrong))


def shown(table: Table, pattern: str) -> Session:
    """The session after all seven lights of a pattern were read."""
    session = Session(table)
    for number, light in enumerate(pattern):
        session = session.observe(f"light-{number}", light == "1")
    return session


def digits() -> Table:
    """The ten digits by their seven lights."""
    lights = [Feature(f"light-{n}", "presence", misread=WRONG) for n in range(7)]
    rows = {
        digit: {f"light-{n}": light == "1" for n, light in enumerate(lit)} for digit, lit in DIGITS.items()
    }
    return Table(lights, rows, unrecorded=0.0)


def test_misread_lights_are_read_as_well_as_can_be() -> None:
    """Over all 128 patterns the engine's first candidate is right with 0.74002248, which nothing can beat."""
    table, right, best = digits(), 0.0, 0.0
    for lights in itertools.product("01", repeat=7):
        pattern = "".join(lights)
        answer = shown(table, pattern).candidates[0]
        right += chance_of(pattern, answer.id) / 10
        best += max(chance_of(pattern, digit) for digit in DIGITS) / 10
    assert right == pytest.approx(0.74002248, abs=5e-9)
    assert right == pytest.approx(best, abs=1e-12)


def test_posteriors_of_the_digits_are_bayes_rule() -> None:
    """For every pattern, every digit has the probability that Bayes' rule gives it, to 1e-9."""
    table = digits()
    for lights in itertools.product("01", repeat=7):
        pattern = "".join(lights)
        weights = {digit: chance_of(pattern, digit) for digit in DIGITS}
        found = {candidate.id: candidate.posterior for candidate in shown(table, pattern).candidates}
        assert found == pytest.approx({d: w / sum(weights.values()) for d, w in weights.items()}, abs=1e-9)
