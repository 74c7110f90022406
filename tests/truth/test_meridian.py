"""The spheroid's measures against mpmath, PROJ's geodesics and published figures.

The oracles integrate or solve from first principles at 30 digits (mpmath 1.3) or run other code
(pyproj); none shares a formula with its subject.
"""

import math

import mpmath
import pyproj
import pytest

from framekit.errors import GeometryError
from framekit.geometry.meridian import (
    enclosed_volume,
    height_at_latitude,
    meridian_perimeter,
    radius_at,
    skin_area,
)

# Equatorial and polar radii in km, WGCCRE 2015 report (see test_bodies.py).
SATURN = (60268.0, 54364.0)
JUPITER = (71492.0, 66854.0)
# World Geodetic System 1984, NIMA TR8350.2: a in m and 1/f.
WGS84 = (6378137.0, 6378137.0 * (1.0 - 1.0 / 298.257223563))
SHAPES = [(1.0, 1.0), (1.0, 2.0), (2.0, 1.0), SATURN, JUPITER, WGS84, (1.0, 1e-4), (1e-4, 1.0)]
# 1e-13: a few roundings of doubles, 1.1e-16 each, and their growth.
RTOL = 1e-13


@pytest.fixture(autouse=True)
def thirty_digits():
    with mpmath.workdps(30):
        yield


@pytest.mark.parametrize(
    ("shape", "perimeter"), [(SATURN, 360365.911995), (JUPITER, 434748.905263)]
)
def test_perimeter_of_saturn_and_jupiter(shape, perimeter) -> None:
    # Figures computed with mpmath.ellipe, km, cut at six places.
    assert meridian_perimeter(*shape) == pytest.approx(perimeter, rel=0, abs=5e-7)


@pytest.mark.parametrize("shape", SHAPES)
def test_perimeter_is_the_complete_elliptic_integral(shape) -> None:
    # Perimeter 4 a E(m), m = 1 − c²/a² (DLMF 19.30.5), by mpmath.ellipe.
    a, c = map(mpmath.mpf, shape)
    assert meridian_perimeter(*shape) == pytest.approx(
        float(4 * a * mpmath.ellipe(1 - (c / a) ** 2)), rel=RTOL
    )


def test_perimeter_of_wgs84_is_four_quarter_meridians_of_proj() -> None:
    _, _, quarter = pyproj.Geod(ellps="WGS84").inv(0.0, 0.0, 0.0, 90.0)
    # 1e-12: PROJ's geodesics are good to nanometres.
    assert meridian_perimeter(*WGS84) == pytest.approx(4 * quarter, rel=1e-12)


def test_area_and_volume_of_wgs84() -> None:
    # Figures computed with mpmath: 510 065 621 724 088.5 m², 1.083 207 319 801 4e21 m³.
    assert skin_area(*WGS84) == pytest.approx(510065621724088.5, rel=RTOL)
    # 5e-14 relative: the figure has 14 digits.
    assert enclosed_volume(*WGS84) == pytest.approx(1.0832073198014e21, rel=5e-14)
    geod = pyproj.Geod(ellps="WGS84")
    north, _ = geod.polygon_area_perimeter([0.0, 120.0, 240.0], [0.0, 0.0, 0.0])
    # 1e-12: PROJ states its areas to that.
    assert skin_area(*WGS84) == pytest.approx(2 * abs(north), rel=1e-12)


def test_cap_of_a_sphere() -> None:
    # R = 10, h = 3: V = π h² (3R − h)/3 = 254.46900494, A = 2π R h = 188.49555922.
    assert enclosed_volume(10.0, 10.0, 7.0, 10.0) == pytest.approx(254.46900494, rel=0, abs=5e-9)
    assert skin_area(10.0, 10.0, 7.0, 10.0) == pytest.approx(188.49555922, rel=0, abs=5e-9)


@pytest.mark.parametrize(
    ("shape", "area", "volume"),
    [
        # Computed with mpmath, cut at ten places: prolate (1, 1, 2) and oblate (2, 2, 1).
        ((1.0, 2.0), 21.4784353279, 8.3775804096),
        ((2.0, 1.0), 34.6875308134, 16.7551608191),
    ],
)
def test_prolate_and_oblate(shape, area, volume) -> None:
    assert skin_area(*shape) == pytest.approx(area, rel=0, abs=1e-10)
    assert enclosed_volume(*shape) == pytest.approx(volume, rel=0, abs=1e-10)


@pytest.mark.parametrize("shape", [*SHAPES, (1.0, 1.0 + 1e-9), (1.0 + 1e-9, 1.0)])
@pytest.mark.parametrize("span", [(-1.0, 1.0), (0.0, 0.5), (-0.3, 0.9), (0.75, 1.0)])
def test_area_and_volume_between_heights_are_the_integrals(shape, span) -> None:
    a, c = map(mpmath.mpf, shape)
    # The skin by parametric latitude β: r = a cos β, z = c sin β.
    low, high = mpmath.asin(span[0]), mpmath.asin(span[1])
    stops = [low, 0, high] if low < 0 < high else [low, high]

    def area(beta):
        return a * mpmath.cos(beta) * mpmath.hypot(a * mpmath.sin(beta), c * mpmath.cos(beta))

    def volume(beta):
        return (a * mpmath.cos(beta)) ** 2 * c * mpmath.cos(beta)

    z = (span[0] * shape[1], span[1] * shape[1])
    # 1e-11: the closed forms take differences between the heights, and span ends are doubles.
    assert skin_area(*shape, *z) == pytest.approx(
        float(2 * mpmath.pi * mpmath.quad(area, stops)), rel=1e-11
    )
    assert enclosed_volume(*shape, *z) == pytest.approx(
        float(mpmath.pi * mpmath.quad(volume, stops)), rel=1e-11
    )


@pytest.mark.parametrize(
    ("kind", "ratio"), [("geodetic", 0.670), ("parametric", 0.707), ("geocentric", 0.743)]
)
def test_three_latitudes_of_45_degrees_on_saturn(kind, ratio) -> None:
    # z/c, computed with mpmath, three places.
    z = height_at_latitude(*SATURN, 45.0, kind)
    assert z / SATURN[1] == pytest.approx(ratio, rel=0, abs=5e-4)


def solved_height(shape, latitude: float, kind: str) -> mpmath.mpf:
    """The height found by bisecting the skin for the latitude that its definition measures."""
    a, c = map(mpmath.mpf, shape)
    target = mpmath.radians(mpmath.mpf(latitude))
    low, high = -mpmath.pi / 2, mpmath.pi / 2

    def measured(beta):
        r, z = a * mpmath.cos(beta), c * mpmath.sin(beta)
        if kind == "geocentric":
            return mpmath.atan2(z, r)
        if kind == "geodetic":  # the direction of the normal: the gradient of r²/a² + z²/c²
            return mpmath.atan2(z / c**2, r / a**2)
        return beta

    for _ in range(110):  # π / 2¹¹⁰ is below 30 digits
        middle = (low + high) / 2
        low, high = (middle, high) if measured(middle) < target else (low, middle)
    return c * mpmath.sin(low)


@pytest.mark.parametrize("kind", ["geocentric", "geodetic", "parametric"])
@pytest.mark.parametrize("shape", [(1.0, 1.0), (1.0, 2.0), (2.0, 1.0), SATURN])
@pytest.mark.parametrize("latitude", [-89.9, -45.0, -12.5, 1e-3, 45.0, 60.0, 89.999])
def test_height_at_latitude_is_what_the_definition_measures(kind, shape, latitude) -> None:
    assert height_at_latitude(*shape, latitude, kind) == pytest.approx(
        float(solved_height(shape, latitude, kind)), rel=RTOL
    )


def test_geodetic_latitude_agrees_with_proj() -> None:
    to_cartesian = pyproj.Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True)
    for latitude in (-80.0, -33.3, 0.0, 10.0, 51.5, 90.0):
        x, y, z = to_cartesian.transform(17.0, latitude, 0.0)
        # 1e-6 m: PROJ's printed accuracy for earth-centred coordinates is finer.
        assert height_at_latitude(*WGS84, latitude, "geodetic") == pytest.approx(z, abs=1e-6)
        assert radius_at(*WGS84, height_at_latitude(*WGS84, latitude, "geodetic")) == pytest.approx(
            math.hypot(x, y), abs=0.02 if latitude == 90.0 else 1e-6
        )


@pytest.mark.parametrize("kind", ["geocentric", "geodetic", "parametric"])
def test_poles_and_equator_are_exact(kind) -> None:
    assert height_at_latitude(*SATURN, 90.0, kind) == SATURN[1]
    assert height_at_latitude(*SATURN, -90.0, kind) == -SATURN[1]
    assert height_at_latitude(*SATURN, 0.0, kind) == 0.0
    assert radius_at(*SATURN, SATURN[1]) == 0.0
    assert radius_at(*SATURN, 0.0) == SATURN[0]


@pytest.mark.parametrize("depth", [1e-3, 1e-6, 1e-9, 1e-12])
def test_radius_near_the_pole_keeps_its_digits(depth) -> None:
    a, c, z = 150.0, 100.0, 100.0 * (1.0 - depth)
    exact = mpmath.mpf(a) * mpmath.sqrt(1 - (mpmath.mpf(z) / c) ** 2)
    # 1e-15: the height is the double itself, so only the last roundings are left.
    assert radius_at(a, c, z) == pytest.approx(float(exact), rel=1e-15)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: radius_at(0.0, 1.0, 0.0), "radius-range"),
        (lambda: radius_at(1.0, math.nan, 0.0), "radius-range"),
        (lambda: radius_at(1.0, math.inf, 0.0), "radius-range"),
        (lambda: radius_at(1.0, 1.0, 1.0000001), "height-outside"),
        (lambda: radius_at(1.0, 1.0, math.nan), "height-outside"),
        (lambda: height_at_latitude(1.0, 1.0, 90.1, "geodetic"), "latitude-range"),
        (lambda: height_at_latitude(1.0, 1.0, math.nan, "geodetic"), "latitude-range"),
        (lambda: height_at_latitude(1.0, 1.0, 45.0, "astronomic"), "latitude-kind"),
        (lambda: meridian_perimeter(-1.0, 1.0), "radius-range"),
        (lambda: skin_area(1.0, 1.0, 0.5, 0.4), "span-reversed"),
        (lambda: enclosed_volume(1.0, 1.0, -2.0, 0.4), "height-outside"),
    ],
)
def test_what_cannot_be_measured_is_an_error(call, code) -> None:
    with pytest.raises(GeometryError) as caught:
        call()
    assert caught.value.code == code
    assert caught.value.hint
