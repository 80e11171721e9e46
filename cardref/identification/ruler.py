"""What a reading on a ruler tells about the true length.

Both ends of a length are read on a scale with divisions of ``r``; each end is off by at most ``r/2``, and any
error within that is as likely as another. JCGM 100:2008 (Guide to the expression of uncertainty in
measurement) 4.3.7 gives the standard uncertainty of one end as ``(r/2)/sqrt(3)``; two independent ends add in
quadrature (5.1.2). JCGM 106:2012 (The role of measurement uncertainty in conformity assessment) 7 gives the
probability that the length lies within limits.

>>> round(ruler_uncertainty(1.0), 4)
0.4082
>>> round(probability_within(3.0, ruler_uncertainty(1.0), 2.5, 3.5), 4)
0.7793
"""

import math

__all__ = ["normal_cdf", "normal_pdf", "probability_within", "rectangular_uncertainty", "ruler_uncertainty"]


def rectangular_uncertainty(half_width: float) -> float:
    """Standard uncertainty of a quantity that lies anywhere within ``half_width``: ``a/sqrt(3)``.

    Source: JCGM 100:2008 4.3.7. Same unit as ``half_width``.
    """
    return half_width / math.sqrt(3.0)


def ruler_uncertainty(resolution: float) -> float:
    """Standard uncertainty of a length read off a scale with divisions of ``resolution``, both ends counted.

    Source: JCGM 100:2008 4.3.7 for one end, 5.1.2 for the two together. Same unit as ``resolution``.
    """
    return math.sqrt(2.0) * rectangular_uncertainty(resolution / 2.0)


def normal_cdf(z: float) -> float:
    """The standard normal distribution function, exact in both tails."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def normal_pdf(z: float) -> float:
    """The standard normal density."""
    return math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)


def probability_within(
    value: float, uncertainty: float, lo: float = -math.inf, hi: float = math.inf
) -> float:
    """Probability that a quantity lies in ``lo..hi`` when ``value`` was read with that standard uncertainty.

    Source: JCGM 106:2012 7.2 to 7.4. ``uncertainty`` must be above 0; one limit may be left open.
    """
    low, high = (lo - value) / uncertainty, (hi - value) / uncertainty
    if low > 0.0:  # both limits above: mirrored, for near 1 the difference would lose its digits
        low, high = -high, -low
    return normal_cdf(high) - normal_cdf(low)
