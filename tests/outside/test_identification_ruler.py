"""Readings off a scale, beside the worked cases of the guides of the Joint Committee for Guides in Metrology.

JCGM 100:2008, "Evaluation of measurement data - Guide to the expression of uncertainty in measurement", and
JCGM 106:2012, "The role of measurement uncertainty in conformity assessment". The inputs of JCGM 106 are from
memory; the results were recomputed and agree with the two digits printed.
"""

import math
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.identification.ruler import (
    normal_cdf,
    normal_pdf,
    probability_within,
    rectangular_uncertainty,
    ruler_uncertainty,
)


@pytest.mark.parametrize(
    ("half_width", "expected"),
    [
        pytest.param(15.0, 8.7, id="4.3.7: a voltmeter good to 15 uV has u = 8.7 uV"),
        pytest.param((104.0 - 96.0) / 2, 2.3, id="4.4.5: 96 to 104 degrees Celsius have u = 2.3"),
    ],
)
def test_rectangular_uncertainty_as_in_the_guide(half_width: float, expected: float) -> None:
    """Anything within a half-width, all as likely: JCGM 100:2008, 4.3.7 and 4.4.5."""
    assert rectangular_uncertainty(half_width) == pytest.approx(expected, abs=0.05)


def test_two_ends_add_in_quadrature() -> None:
    """A length has two ends, read independently: JCGM 100:2008, 5.1.2, with 4.3.7 for each."""
    one_end = rectangular_uncertainty(0.5)
    assert ruler_uncertainty(1.0) == pytest.approx(math.hypot(one_end, one_end), rel=1e-15)


@pytest.mark.parametrize(
    ("value", "uncertainty", "low", "high", "expected"),
    [
        pytest.param(-5.47, 0.05, -math.inf, -5.40, 0.92, id="one limit above"),
        pytest.param(509.7, 8.6, 490.0, math.inf, 0.99, id="one limit below"),
        pytest.param(13.6, 1.8, 12.5, 16.3, 0.66, id="two limits"),
    ],
)
def test_probability_within_limits_as_in_the_guide(
    value: float, uncertainty: float, low: float, high: float, expected: float
) -> None:
    """The worked cases of JCGM 106:2012, clause 7, to the two digits given."""
    assert probability_within(value, uncertainty, low, high) == pytest.approx(expected, abs=0.005)


FINITE = st.floats(-30.0, 30.0)


@given(FINITE)
def test_normal_distribution_as_in_the_standard_library(z: float) -> None:
    """Distribution and density equal ``statistics.NormalDist`` to 1e-12."""
    assert normal_cdf(z) == pytest.approx(NormalDist().cdf(z), abs=1e-12)
    assert normal_pdf(z) == pytest.approx(NormalDist().pdf(z), abs=1e-12)


@given(FINITE, st.floats(0.01, 10.0), FINITE, st.floats(0.0, 30.0))
def test_probability_within_as_in_the_standard_library(v: float, u: float, low: float, width: float) -> None:
    """The probability within two limits equals the difference of ``statistics.NormalDist`` to 1e-12."""
    expected = NormalDist(v, u).cdf(low + width) - NormalDist(v, u).cdf(low)
    assert probability_within(v, u, low, low + width) == pytest.approx(expected, abs=1e-12)


@given(st.floats(3.0, 30.0), st.floats(0.0, 5.0))
def test_far_tails_keep_their_digits(low: float, width: float) -> None:
    """Limits far above the reading are as probable as the same far below: neither is lost in rounding."""
    above = probability_within(0.0, 1.0, low, low + width)
    below = probability_within(0.0, 1.0, -low - width, -low)
    assert above == pytest.approx(below, rel=1e-12)
    assert above > 0.0 or width < 1e-12  # limits that are one after scaling
