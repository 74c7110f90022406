"""Quantiles of Student's t-distribution, for expanded uncertainty.

The distribution is a regularised incomplete beta function; its continued fraction is DLMF
8.17.22 (NIST Digital Library of Mathematical Functions), summed by Lentz's method.
"""

from __future__ import annotations

import math

MANY = 1e5
"""Degrees of freedom from which the series about the normal distribution is exact to rounding."""


def two_sided(level: float, freedom: float) -> float:
    """The k for which |t| ≤ k has the probability `level`, `freedom` degrees of freedom.

    `level` lies between 0 and 1; `freedom` is above 0, not always whole, and may be infinite.

    >>> round(two_sided(0.99, 16), 2)
    2.92
    """
    from statistics import NormalDist  # slow to import, and few runs expand an uncertainty

    z = NormalDist().inv_cdf(0.5 + level / 2)
    if freedom >= MANY:  # Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5
        first = (z**3 + z) / 4 / freedom
        return z + first + (5 * z**5 + 16 * z**3 + 3 * z) / 96 / freedom**2
    low, high = 0.0, max(z, 1.0)
    while _beyond(high, freedom) > 1 - level:
        low, high = high, 2 * high
    t = high
    for _ in range(200):
        excess = _beyond(t, freedom) - (1 - level)
        low, high = (t, high) if excess > 0 else (low, t)
        step = t + excess / (2 * _density(t, freedom))
        before, t = t, step if low < step < high else (low + high) / 2
        if abs(t - before) <= 1e-15 * t:
            break
    return t


def _density(t: float, freedom: float) -> float:
    log = math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2)
    return math.exp(log - (freedom + 1) / 2 * math.log1p(t * t / freedom)) / math.sqrt(
        freedom * math.pi
    )


def _beyond(t: float, freedom: float) -> float:
    """The probability that |t| is larger."""
    if t == 0:
        return 1.0
    x = freedom / (freedom + t * t)
    a, b = freedom / 2, 0.5
    if x < (a + 1) / (a + b + 2):
        return _beta(x, a, b)
    return 1.0 - _beta(t * t / (freedom + t * t), b, a)


def _beta(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function I_x(a, b), x below (a + 1)/(a + b + 2)."""
    log = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front = math.exp(log + a * math.log(x) + b * math.log1p(-x)) / a
    value, upper, lower = 1.0, 1.0, 0.0
    for n in range(500):
        m = n // 2
        if n == 0:
            part = 1.0
        elif n % 2 == 0:
            part = m * (b - m) * x / ((a + n - 1) * (a + n))
        else:
            part = -(a + m) * (a + b + m) * x / ((a + n - 1) * (a + n))
        lower = 1.0 / (1.0 + part * lower)
        upper = 1.0 + part / upper
        value *= upper * lower
        if n and abs(upper * lower - 1.0) < 1e-16:
            break
    return front * (value - 1.0)
