"""The spheroid: radii, heights of latitudes, perimeter, area and volume from its two radii.

`a` is the equatorial and `c` the polar radius, in any one unit of length; heights `z` count from
the centre along the axis. The spheroid is oblate (a > c), prolate (a < c) or a sphere.
"""

from __future__ import annotations

import math
from typing import Literal

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import cosine_sine

LatitudeKind = Literal["geocentric", "geodetic", "parametric"]


def radius_at(a: float, c: float, z: float) -> float:
    """The skin's radius at height z: a √((c − z)(c + z)) / c, the equation of the ellipse.

    The product keeps the digits near the poles that c² − z² would lose.

    >>> radius_at(150.0, 100.0, 60.0)
    120.0

    Raises:
        GeometryError: a radius is not positive, or z lies beyond a pole.
    """
    _check(a, c)
    _check_height(c, z)
    return a * math.sqrt((c - z) * (c + z)) / c


def height_at_latitude(a: float, c: float, latitude: float, kind: LatitudeKind) -> float:
    """The height z of the skin at `latitude` in degrees, from −90 to 90.

    Geocentric latitude is measured at the centre, geodetic latitude is the angle between the
    skin's normal and the equator's plane, parametric latitude is asin(z/c). On a sphere they are
    one. Source: Snyder, Map Projections: A Working Manual, USGS PP 1395 (1987), section 3.

    >>> round(height_at_latitude(60268.0, 54364.0, 45.0, "geodetic") / 54364.0, 3)
    0.67

    Raises:
        GeometryError: a radius is not positive, the latitude is out of range or the kind unknown.
    """
    _check(a, c)
    if not -90.0 <= latitude <= 90.0:
        raise GeometryError(
            Fault(
                "latitude-range",
                f"the latitude {latitude:g}° is outside −90° to 90°",
                hint="North is positive, south negative.",
            )
        )
    cosine, sine = cosine_sine(latitude)
    if kind == "parametric":
        return c * sine
    if kind == "geocentric":
        return c * (a / math.hypot(c * cosine, a * sine)) * sine
    if kind == "geodetic":
        return c * (c / math.hypot(a * cosine, c * sine)) * sine
    raise GeometryError(
        Fault(
            "latitude-kind",
            f"there is no latitude of the kind '{kind}'",
            hint="Write geocentric, geodetic or parametric.",
        )
    )


def meridian_perimeter(a: float, c: float) -> float:
    """The length of the whole meridian ellipse, once round over both poles.

    It is 2π/M (a² − Σ 2ⁿ⁻¹ cₙ²), M the arithmetic-geometric mean of a and c and cₙ its
    differences (NIST Digital Library of Mathematical Functions, 19.8.6 with 19.9.9). Each step
    doubles the digits.

    >>> round(meridian_perimeter(60268.0, 54364.0), 6)
    360365.911995

    Raises:
        GeometryError: a radius is not positive.
    """
    _check(a, c)
    # In units of the greater radius: the numbers stay near 1 whatever the unit of length.
    great, small = max(a, c), min(a, c)
    mean, other = 1.0, small / great
    total, weight = 1.0 - (1.0 - other) * (1.0 + other) / 2.0, 1.0
    while True:
        half_difference = (mean - other) / 2.0
        mean, other = (mean + other) / 2.0, math.sqrt(mean * other)
        loss = weight * half_difference * half_difference
        if loss <= 1e-18 * total:
            return great * 2.0 * math.pi * (total - loss) / mean
        total -= loss
        weight *= 2.0


def arithmetic_mean_radius(a: float, c: float) -> float:
    """The mean of the three semi-axes, (2a + c)/3: R1 of the Geodetic Reference System 1980.

    Source: Moritz, Geodetic Reference System 1980, Journal of Geodesy 74 (2000).

    >>> round(arithmetic_mean_radius(6378.1366, 6356.7519), 4)
    6371.0084

    Raises:
        GeometryError: a radius is not positive.
    """
    _check(a, c)
    return (2.0 * a + c) / 3.0


def volumetric_mean_radius(a: float, c: float) -> float:
    """The radius of the sphere of equal volume, cube root of a²c: R3 of the same system.

    Source: Moritz, Geodetic Reference System 1980, Journal of Geodesy 74 (2000).

    >>> round(volumetric_mean_radius(60268.0, 54364.0))
    58232

    Raises:
        GeometryError: a radius is not positive.
    """
    _check(a, c)
    return a * math.cbrt(c / a)


def skin_area(a: float, c: float, low: float | None = None, high: float | None = None) -> float:
    """The area of the skin between the heights `low` and `high`, by default pole to pole.

    It is 2π ∫ r √(1 + r'²) dz in closed form (surface of revolution; any calculus text), with an
    inverse hyperbolic sine for an oblate and an inverse sine for a prolate spheroid. A cut face
    at the ends is not counted.

    >>> round(skin_area(10.0, 10.0, 7.0, 10.0), 8)  # a cap 3 high
    188.49555922

    Raises:
        GeometryError: a radius is not positive, or the heights lie beyond a pole or are reversed.
    """
    low, high = _span(a, c, low, high)
    # With s = z/c: dA = 2π a c √(1 + m s²) ds, m = (a² − c²)/c².
    m = (a - c) * (a + c) / (c * c)
    return 2.0 * math.pi * a * c * (_area_integral(m, high / c) - _area_integral(m, low / c))


def enclosed_volume(
    a: float, c: float, low: float | None = None, high: float | None = None
) -> float:
    """The volume between the heights `low` and `high`, by default pole to pole.

    It is π ∫ r² dz = π a² (z − z³/(3c²)), taken as thickness times a mean so that thin slices
    keep their digits.

    >>> round(enclosed_volume(10.0, 10.0, 7.0, 10.0), 8)  # a cap 3 high
    254.46900494

    Raises:
        GeometryError: a radius is not positive, or the heights lie beyond a pole or are reversed.
    """
    low, high = _span(a, c, low, high)
    # Simpson's rule is exact for r², which is of the second degree in z.
    middle = (low + high) / 2.0
    squares = [radius_at(a, c, z) ** 2 for z in (low, middle, high)]
    return math.pi * (high - low) * (squares[0] + 4.0 * squares[1] + squares[2]) / 6.0


def _area_integral(m: float, s: float) -> float:
    """∫ √(1 + m s²) ds from 0 to s."""
    root = math.sqrt(max(0.0, 1.0 + m * s * s))
    k = math.sqrt(abs(m))
    if k == 0.0:
        return s
    arc = math.asinh(k * s) if m > 0.0 else math.asin(max(-1.0, min(1.0, k * s)))
    return (s * root + arc / k) / 2.0


def _span(a: float, c: float, low: float | None, high: float | None) -> tuple[float, float]:
    _check(a, c)
    low = -c if low is None else low
    high = c if high is None else high
    _check_height(c, low)
    _check_height(c, high)
    if low > high:
        raise GeometryError(
            Fault(
                "span-reversed",
                f"the span runs from {low:g} up to {high:g}, which is lower",
                hint="Give the lower height first.",
            )
        )
    return low, high


def _check(a: float, c: float) -> None:
    for name, radius in (("equatorial", a), ("polar", c)):
        if not (radius > 0.0 and math.isfinite(radius)):
            raise GeometryError(
                Fault(
                    "radius-range",
                    f"the {name} radius is {radius:g}",
                    hint="It must be a finite length above zero.",
                )
            )


def _check_height(c: float, z: float) -> None:
    if not -c <= z <= c:
        raise GeometryError(
            Fault(
                "height-outside",
                f"the height {z:g} lies beyond the poles",
                hint=f"It must be between {-c:g} and {c:g}.",
            )
        )
