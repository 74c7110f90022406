"""Volumes, areas, lengths and centroids of bodies of revolution against closed forms and libraries.

Oracles: mpmath's quadrature, beta and elliptic functions at 30 digits in other variables than the
height, scipy's integrator, and the closed forms of cone, cap, spheroid and torus. The figures for
superellipses, caps, spheroids and the torus were computed by mpmath.
"""

import math
from itertools import pairwise

import mpmath
import pytest
from scipy import integrate, interpolate

from framekit.errors import GeometryError
from framekit.geometry import meridian
from framekit.geometry.revolution import (
    Measured,
    centroid_height,
    lateral_area,
    legendre,
    meridian_length,
    section_area,
    torus_area,
    torus_volume,
    volume,
)
from framekit.solution.build import solve
from framekit.solution.meridian import meridian_of
from framekit.spec.build import spec_from_values

# 1e-10: what is asked of the quadrature is 1e-11 of the result, and its radius is rounded.
RTOL = 1e-10


def superellipse(n, a=1.0, c=1.0):
    """Radius and slope of (r/a)ⁿ + (z/c)ⁿ = 1 (Lamé), with all digits near the poles."""

    def left(z):
        below = (c - abs(z)) / c
        return 1.0 if below == 1 else -math.expm1(n * math.log1p(-below))

    def radius(z):
        return a * left(z) ** (1 / n) if abs(z) < c else 0.0

    def slope(z):
        return -math.copysign(a / c * (abs(z) / c) ** (n - 1) * left(z) ** (1 / n - 1), z)

    return radius, slope


def close(found, truth, rtol=RTOL):
    """The result is right to `rtol`, and to the error that it states itself."""
    assert isinstance(found, Measured)
    assert found.value == pytest.approx(truth, rel=rtol)
    # 1e-13: the truth is rounded to a double, and the radius is.
    assert abs(found.value - truth) <= found.error + 1e-13 * abs(truth)
    assert found.error <= rtol * abs(truth)


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
    radius, _ = superellipse(n)
    # A unit of the figures' last digit, 10 places, and half of one, 7 places.
    assert section_area(radius, -1, 1, (0.0,)).value == pytest.approx(area, abs=1e-10)
    assert volume(radius, -1, 1, (0.0,)).value == pytest.approx(solid, abs=5.1e-8)


@pytest.mark.parametrize("n", [1, 1.3, 2, 2.5, 4, 7, 20])
def test_superellipsoids_by_gamma_functions(n):
    """V = 2 π a² c B(1/n, 2/n + 1)/n and S = 4 a c B(1/n, 1/n + 1)/n, by u = (z/c)ⁿ."""
    a, c = 3.0, 2.0
    radius, _ = superellipse(n, a, c)
    with mpmath.workdps(30):
        solid = 2 * mpmath.pi * a**2 * c * mpmath.beta(mpmath.mpf(1) / n, mpmath.mpf(2) / n + 1) / n
        plane = 4 * a * c * mpmath.beta(mpmath.mpf(1) / n, mpmath.mpf(1) / n + 1) / n
    close(volume(radius, -c, c, (0.0,)), float(solid))
    close(section_area(radius, -c, c, (0.0,)), float(plane))
    middle = centroid_height(radius, -c, c, (0.0,))
    assert abs(middle.value) <= middle.error <= 1e-9  # mm: it is the middle by symmetry


@pytest.mark.parametrize("n", [1, 1.5, 2, 2.5, 4, 8])
def test_skin_and_meridian_of_superellipsoids(n):
    """By the angle t in r = a cos^(2/n) t, z = c sin^(2/n) t.

    Both ends have t^(2/n − 1); t = x^n takes that away, and the upper half runs in π/2 − t, as
    numbers are closer near 0.
    """
    a, c = 3.0, 2.0
    radius, slope = superellipse(n, a, c)
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
    close(lateral_area(radius, slope, -c, c, (0.0,)), float(area), 1e-9)
    close(meridian_length(radius, slope, -c, c, (0.0,)), float(length), 1e-9)


@pytest.mark.parametrize(
    ("a", "c", "area", "solid"),
    [(1.0, 2.0, 21.4784353279, 8.3775804096), (2.0, 1.0, 34.6875308134, 16.7551608191)],
)
def test_spheroids_two_ways(a, c, area, solid):
    """The figures, and framekit's own closed forms of the spheroid, whose tests are elsewhere."""
    radius, slope = superellipse(2, a, c)
    # Half a unit of the tenth place.
    assert lateral_area(radius, slope, -c, c).value == pytest.approx(area, abs=5.1e-11 * 20)
    assert volume(radius, -c, c).value == pytest.approx(solid, abs=5.1e-11 * 20)
    close(lateral_area(radius, slope, -c, c), meridian.skin_area(a, c), 1e-9)
    close(meridian_length(radius, slope, -c, c), meridian.meridian_perimeter(a, c) / 2, 1e-9)


def test_a_cap():
    """R = 10, h = 3: V = π h² (3 R − h)/3, A = 2π R h, centroid 3 (2R − h)²/(4 (3R − h))."""

    def radius(z):
        return math.sqrt(max(0.0, (10 - z) * (10 + z)))

    def slope(z):
        return -z / radius(z)

    # Half a unit of the eighth place.
    assert volume(radius, 7, 10).value == pytest.approx(254.46900494, abs=5.1e-9)
    assert lateral_area(radius, slope, 7, 10).value == pytest.approx(188.49555922, abs=5.1e-9)
    close(centroid_height(radius, 7, 10), 3 * 17**2 / (4 * 27))
    close(meridian_length(radius, slope, 7, 10), 10 * math.acos(0.7))


@pytest.mark.parametrize(("base", "top", "height"), [(40, 0, 90), (40, 15, 90), (30, 30, 50)])
def test_cones_and_cylinders(base, top, height):
    """V = π h (B² + B b + b²)/3, A = π (B + b) s; the centroid of a frustum, any formula book."""

    def radius(z):
        return base + (top - base) * z / height

    slant = math.hypot(base - top, height)
    squares = base * base + base * top + top * top
    close(volume(radius, 0, height), math.pi * height * squares / 3)
    close(
        lateral_area(radius, lambda z: (top - base) / height, 0, height),
        math.pi * (base + top) * slant,
    )
    close(meridian_length(radius, lambda z: (top - base) / height, 0, height), slant)
    centroid = height * (base * base + 2 * base * top + 3 * top * top) / (4 * squares)
    close(centroid_height(radius, 0, height), centroid)


def test_the_torus_by_pappus_and_by_its_two_skins():
    # Half a unit of the tenth place.
    assert torus_volume(3, 1) == pytest.approx(59.2176264065, abs=5.1e-11)

    def half(z):
        return math.sqrt(max(0.0, 1 - z * z))

    def slope(z):
        return -z / half(z)

    outer = volume(lambda z: 3 + half(z), -1, 1), lateral_area(lambda z: 3 + half(z), slope, -1, 1)
    inner = (
        volume(lambda z: 3 - half(z), -1, 1),
        lateral_area(lambda z: 3 - half(z), lambda z: -slope(z), -1, 1),
    )
    assert outer[0].value - inner[0].value == pytest.approx(torus_volume(3, 1), rel=RTOL)
    assert outer[1].value + inner[1].value == pytest.approx(torus_area(3, 1), rel=1e-9)
    assert torus_area(3, 1) == pytest.approx(4 * math.pi**2 * 3, rel=1e-15)


POINTS = ((40.0, -70.0), (62.0, -20.0), (35.0, 15.0), (50.0, 60.0), (12.0, 85.0))


@pytest.mark.parametrize("smooth", [True, False])
def test_a_vase_by_framekit_s_own_skin_against_scipy(smooth):
    """The skin of a solved spec against scipy's monotone cubic, integrated by scipy's quad."""
    spec = {
        "framekit": 1,
        "id": "vase",
        "body": {"shape": "profile", "points": [list(p) for p in POINTS], "smooth": smooth},
        "ribs": {"count": 6, "width": 10},
        "discs": [{"at": {"height": -30}}],
        "sheet": {"thickness": 2, "size": [900, 900]},
    }
    skin = meridian_of(solve(spec_from_values(spec)).frames[0])
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

    bare = (skin.outer, skin.low, skin.high, heights)
    both = (skin.outer, skin.outer_slope, skin.low, skin.high, heights)
    solid = whole(lambda z: math.pi * curve(z) ** 2)
    close(volume(*bare), solid)
    close(lateral_area(*both), whole(lambda z: 2 * math.pi * curve(z) * math.hypot(1, steep(z))))
    close(meridian_length(*both), whole(lambda z: math.hypot(1, steep(z))))
    moment = whole(lambda z: math.pi * z * curve(z) ** 2)
    # 1e-8: the centroid lies near height 0, so its relative error is larger.
    assert centroid_height(*bare).value == pytest.approx(moment / solid, rel=1e-8)


def test_the_quadrature_s_points_are_mpmath_s():
    with mpmath.workdps(30):
        for x, w in legendre(10):
            assert abs(mpmath.legendre(10, mpmath.mpf(x))) < 1e-14  # a double's rounding
            exact = 2 / (
                (1 - mpmath.mpf(x) ** 2) * mpmath.diff(lambda y: mpmath.legendre(10, y), x) ** 2
            )
            assert w == pytest.approx(float(exact), rel=1e-13)
    # Exact to degree 19: ∫ x¹⁸ = 2/19.
    assert sum(w * x**18 for x, w in legendre(10)) == pytest.approx(2 / 19, rel=1e-14)


def test_bad_bodies_are_refused_in_words():
    for act in (
        lambda: volume(lambda z: 1.0, 2.0, 1.0),
        lambda: volume(lambda z: -1.0, 0.0, 1.0),
        lambda: volume(lambda z: math.nan, 0.0, 1.0),
        lambda: centroid_height(lambda z: 0.0, 0.0, 1.0),
        lambda: torus_volume(1.0, 2.0),
        lambda: torus_area(3.0, 0.0),
    ):
        with pytest.raises(GeometryError) as caught:
            act()
        assert caught.value.message and caught.value.hint
