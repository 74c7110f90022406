"""Skins of solved specs, and their measures by quadrature, which is the tests' own.

The integrals are the usual ones of a surface of revolution: V = π ∫ r² dz,
A = 2π ∫ r √(1 + r′²) dz, L = ∫ √(1 + r′²) dz. Each piece between two corners is taken by halves,
and where a slope is in it in the logarithm of the distance from its end, in which any power of
that distance is smooth.
"""

import math
from itertools import pairwise

from scipy import integrate

from framekit.solution.build import solve
from framekit.solution.meridian import meridian_of
from framekit.spec.build import spec_from_values

CAP = 2e-8
"""Share of a piece's half height at both its ends in which a slope without bound has too few
digits: there the skin is a chord. On a sphere of radius R that is short by 3e-13 of R."""


def solved(body, heights=(), width=1, **more):
    """The solved frame of that body in mm, with level discs of a thin sheet at those heights."""
    values = {
        "framekit": 1,
        "id": "skin",
        "body": body,
        "ribs": {"count": 4, "width": width},
        "discs": [{"at": at if isinstance(at, dict) else {"height": at}} for at in heights],
        "sheet": {"thickness": 1, "size": [900, 900]},
        **more,
    }
    return solve(spec_from_values(values)).frames[0]


def skin(body, height=0.0, **more):
    """The skin that framekit draws ribs for: its radius, slope and ends, by one disc's height."""
    return meridian_of(solved(body, [height], **more))


def spheroid(a, c):
    return skin({"shape": "spheroid", "equatorial_radius": a, "polar_radius": c})


def volume(found, low=None, high=None, corners=()):
    return math.pi * _integral(lambda z: found.outer(z) ** 2, found, low, high, corners)


def section_area(found, low=None, high=None, corners=()):
    """The area of the section through the axis, both sides of it, mm²."""
    return 2 * _integral(found.outer, found, low, high, corners)


def centroid_height(found, low=None, high=None, corners=()):
    """The height of the centroid of the solid body, mm."""
    moment = _integral(lambda z: z * found.outer(z) ** 2, found, low, high, corners)
    return math.pi * moment / volume(found, low, high, corners)


def lateral_area(found, low=None, high=None, corners=()):
    """The area of the skin without the end faces, mm²."""

    def density(z):
        return 2 * math.pi * found.outer(z) * math.hypot(1.0, found.outer_slope(z))

    def frustum(a, b):
        return math.pi * (_radius(found, a) + _radius(found, b)) * _chord(found, a, b)

    return _integral(density, found, low, high, corners, frustum)


def meridian_length(found, low=None, high=None, corners=()):
    """The length of the skin's meridian on one side of the axis, mm."""
    return _integral(
        lambda z: math.hypot(1.0, found.outer_slope(z)),
        found,
        low,
        high,
        corners,
        lambda a, b: _chord(found, a, b),
    )


def _radius(found, z):
    """The radius at a bit's end: 0 where the body closes, however steeply."""
    ends = zip((found.low, found.high), found.closed, strict=True)
    return 0.0 if (z, True) in ends else found.outer(z)


def _chord(found, a, b):
    return math.hypot(_radius(found, b) - _radius(found, a), b - a)


def _integral(function, found, low, high, corners, short=None):
    low = found.low if low is None else low
    high = found.high if high is None else high
    edges = [low, *(z for z in corners if low < z < high), high]
    pieces = [(end, middle) for a, b in pairwise(edges) for end, middle in _halves(a, b)]
    return math.fsum(_piece(function, end, middle, short) for end, middle in pieces)


def _halves(a, b):
    return (a, (a + b) / 2), (b, (a + b) / 2)


def _piece(function, end, middle, short):
    """The integral from a piece's end to its middle; `short` gives that of the first bit."""
    half, sign = abs(middle - end), math.copysign(1.0, middle - end)
    if short is None:
        found, _ = _quad(lambda t: function(end + sign * half * t * t) * 2 * half * t, 0.0, 1.0)
        return found

    def by_logarithm(s):
        away = half * math.exp(s)
        return function(end + sign * away) * away

    found, _ = _quad(by_logarithm, math.log(CAP), 0.0)
    return found + short(*sorted((end, end + sign * half * CAP)))


def _quad(function, low, high):
    return integrate.quad(function, low, high, epsabs=0.0, epsrel=1e-12, limit=400)
