"""The skins of solved bodies of revolution against closed forms and libraries.

Oracles: mpmath's quadrature, beta and elliptic functions at 30 digits in other variables than the
height, scipy's interpolation, and the closed forms of cone, cap and torus. The figures for
superellipses, caps and the torus were computed by mpmath.
"""

import math
from itertools import pairwise

import mpmath
import pytest
from scipy import integrate, interpolate
from truth.skins import (
    centroid_height,
    lateral_area,
    meridian_length,
    section_area,
    skin,
    volume,
)

# 1e-10: the quadrature asks for 1e-12; the skin's radius and slope are rounded.
RTOL = 1e-10
EQUATOR = (0.0,)
"""Height where a superellipse of an uneven exponent is not smooth."""


def superellipsoid(n, a=100.0, c=100.0):
    """(r/a)ⁿ + (z/c)ⁿ = 1 (Lamé)."""
    body = {"shape": "superellipsoid", "exponent": n, "equatorial_radius": a, "polar_radius": c}
    return skin(body)


@pytest.mark.parametrize(
    ("n", "area", "solid"),
    [
        (1, 2.0, 2.0943951),
        (2, math.pi, 4.1887902),
        (2.5, 3.3809353626, 4.7125672),
        (4, 3.7081493546, 5.4916245),
    ],
)
def test_superellipses_of_radius_one(n, area, solid):
    found = superellipsoid(n)
    # The model is a hundred times as large as the figures'; a unit of the figures' last digit,
    # 10 places, and half of one, 7 places.
    assert section_area(found, corners=EQUATOR) / 1e4 == pytest.approx(area, abs=1e-10)
    assert volume(found, corners=EQUATOR) / 1e6 == pytest.approx(solid, abs=5.1e-8)


@pytest.mark.parametrize("n", [1, 1.3, 2, 2.5, 4, 7, 20])
def test_superellipsoids_by_gamma_functions(n):
    """V = 2 π a² c B(1/n, 2/n + 1)/n and S = 4 a c B(1/n, 1/n + 1)/n, by u = (z/c)ⁿ."""
    a, c = 60.0, 40.0
    found = superellipsoid(n, a, c)
    with mpmath.workdps(30):
        solid = 2 * mpmath.pi * a**2 * c * mpmath.beta(mpmath.mpf(1) / n, mpmath.mpf(2) / n + 1) / n
        plane = 4 * a * c * mpmath.beta(mpmath.mpf(1) / n, mpmath.mpf(1) / n + 1) / n
    assert volume(found, corners=EQUATOR) == pytest.approx(float(solid), rel=RTOL)
    assert section_area(found, corners=EQUATOR) == pytest.approx(float(plane), rel=RTOL)
    assert abs(centroid_height(found, corners=EQUATOR)) <= 1e-9  # mm: the middle by symmetry


@pytest.mark.parametrize("n", [1, 1.5, 2, 2.5, 4, 8])
def test_skin_and_meridian_of_superellipsoids(n):
    """By the angle t in r = a cos^(2/n) t, z = c sin^(2/n) t.

    Both ends have t^(2/n − 1); t = x^n takes that away, and the upper half runs in π/2 − t, as
    numbers are closer near 0.
    """
    a, c = 60.0, 40.0
    found = superellipsoid(n, a, c)
    k = mpmath.mpf(2) / n

    def ds(s, co):
        return k * mpmath.hypot(a * co ** (k - 1) * s, c * s ** (k - 1) * co)

    def over(function):
        def both(x):
            s, co = mpmath.sin(x**n), mpmath.cos(x**n)
            return (function(s, co) + function(co, s)) * n * x ** (n - 1)

        end = (mpmath.pi / 4) ** (mpmath.mpf(1) / n)
        return mpmath.quad(both, [0, end / 2, 0.8 * end, end])

    with mpmath.workdps(30):
        length = 2 * over(ds)
        area = 4 * mpmath.pi * over(lambda s, co: a * co**k * ds(s, co))
    assert lateral_area(found, corners=EQUATOR) == pytest.approx(float(area), rel=RTOL)
    assert meridian_length(found, corners=EQUATOR) == pytest.approx(float(length), rel=RTOL)


def test_a_cap():
    """R = 10, h = 3: V = π h² (3 R − h)/3, A = 2π R h, centroid 3 (2R − h)²/(4 (3R − h))."""
    ball = skin({"shape": "sphere", "radius": 10})
    # Half a unit of the eighth place.
    assert volume(ball, 7, 10) == pytest.approx(254.46900494, abs=5.1e-9)
    assert lateral_area(ball, 7, 10) == pytest.approx(188.49555922, abs=5.1e-9)
    assert centroid_height(ball, 7, 10) == pytest.approx(3 * 17**2 / (4 * 27), rel=RTOL)
    assert meridian_length(ball, 7, 10) == pytest.approx(10 * math.acos(0.7), rel=RTOL)


@pytest.mark.parametrize(("base", "top", "height"), [(40, 0, 90), (40, 15, 90), (30, 30, 50)])
def test_cones_and_cylinders(base, top, height):
    """V = π h (B² + B b + b²)/3, A = π (B + b) s; the centroid of a frustum, any formula book."""
    body = {"shape": "cylinder" if base == top else "cone", "radius": base, "height": height}
    found = skin(body if base == top else {**body, "top_radius": top}, height / 4)
    slant = math.hypot(base - top, height)
    squares = base * base + base * top + top * top
    assert volume(found) == pytest.approx(math.pi * height * squares / 3, rel=RTOL)
    assert lateral_area(found) == pytest.approx(math.pi * (base + top) * slant, rel=RTOL)
    assert meridian_length(found) == pytest.approx(slant, rel=RTOL)
    centroid = height * (base * base + 2 * base * top + 3 * top * top) / (4 * squares)
    assert centroid_height(found) == pytest.approx(centroid, rel=RTOL)


def test_the_torus_by_pappus_from_an_author_s_formulas():
    """Its outer and inner skin; V = 2π² R r², A = 4π² R r, ten times the figures' R = 3, r = 1."""
    outer, inner = (
        skin(
            {"shape": "profile", "radius_at": f"30 {sign} sqrt(100 - z**2)", "from": -10, "to": 10}
        )
        for sign in "+-"
    )
    solid = volume(outer) - volume(inner)
    # Half a unit of the tenth place.
    assert solid / 1e3 == pytest.approx(59.2176264065, abs=5.1e-11)
    assert solid == pytest.approx(2 * math.pi**2 * 30 * 10**2, rel=RTOL)
    area = lateral_area(outer) + lateral_area(inner)
    assert area == pytest.approx(4 * math.pi**2 * 30 * 10, rel=RTOL)


POINTS = ((40.0, -70.0), (62.0, -20.0), (35.0, 15.0), (50.0, 60.0), (12.0, 85.0))


@pytest.mark.parametrize("smooth", [True, False])
def test_a_vase_of_points_against_scipy(smooth):
    """The skin of a solved spec against scipy's monotone cubic, integrated by scipy's quad."""
    body = {"shape": "profile", "points": [list(p) for p in POINTS], "smooth": smooth}
    found = skin(body, -30.0)
    heights, radii = [z for _, z in POINTS], [r for r, _ in POINTS]
    if smooth:
        curve = interpolate.PchipInterpolator(heights, radii)
        steep = curve.derivative()
    else:
        curve = interpolate.make_interp_spline(heights, radii, k=1)
        steep = curve.derivative()

    def whole(function):
        pairs = pairwise(heights)
        return sum(integrate.quad(function, a, b, epsrel=1e-13)[0] for a, b in pairs)

    solid = whole(lambda z: math.pi * curve(z) ** 2)
    area = whole(lambda z: 2 * math.pi * curve(z) * math.hypot(1, steep(z)))
    length = whole(lambda z: math.hypot(1, steep(z)))
    moment = whole(lambda z: math.pi * z * curve(z) ** 2)
    assert volume(found, corners=heights) == pytest.approx(solid, rel=RTOL)
    assert lateral_area(found, corners=heights) == pytest.approx(area, rel=RTOL)
    assert meridian_length(found, corners=heights) == pytest.approx(length, rel=RTOL)
    # 1e-8: the centroid lies near height 0, so its relative error is larger.
    assert centroid_height(found, corners=heights) == pytest.approx(moment / solid, rel=1e-8)
