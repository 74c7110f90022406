"""The skin of a solved spheroid against mpmath, PROJ's geodesics and published figures.

The oracles integrate or solve from first principles at 30 digits (mpmath 1.3) or run other code
(pyproj); none shares a formula with its subject. A mm of the model stands for a km or m here.
"""

import math

import mpmath
import pyproj
import pytest
from truth.skins import lateral_area, meridian_length, solved, spheroid, volume

from framekit.solution.meridian import meridian_of

# Equatorial and polar radii in km, WGCCRE 2015 report (see test_bodies.py).
SATURN = (60268.0, 54364.0)
JUPITER = (71492.0, 66854.0)
# World Geodetic System 1984, NIMA TR8350.2: a in m and 1/f.
WGS84 = (6378137.0, 6378137.0 * (1.0 - 1.0 / 298.257223563))
SHAPES = [(100.0, 100.0), (100.0, 200.0), (200.0, 100.0), SATURN, JUPITER, WGS84]
# 1e-13: a few roundings of doubles, 1.1e-16 each, and their growth.
RTOL = 1e-13
# 3e-12: the skin's slope loses digits toward the pole (see `skins.CAP`).
LENGTH_RTOL = 3e-12


@pytest.fixture(autouse=True)
def thirty_digits():
    with mpmath.workdps(30):
        yield


@pytest.mark.parametrize(
    ("shape", "perimeter"), [(SATURN, 360365.911995), (JUPITER, 434748.905263)]
)
def test_perimeter_of_saturn_and_jupiter(shape, perimeter) -> None:
    # Figures computed with mpmath.ellipe, km, cut at six places.
    found = 2 * meridian_length(spheroid(*shape))
    assert found == pytest.approx(perimeter, rel=0, abs=5e-7 + LENGTH_RTOL * perimeter)


@pytest.mark.parametrize("shape", SHAPES)
def test_perimeter_is_the_complete_elliptic_integral(shape) -> None:
    # Perimeter 4 a E(m), m = 1 − c²/a² (DLMF 19.30.5), by mpmath.ellipe.
    a, c = map(mpmath.mpf, shape)
    assert 2 * meridian_length(spheroid(*shape)) == pytest.approx(
        float(4 * a * mpmath.ellipe(1 - (c / a) ** 2)), rel=LENGTH_RTOL
    )


def test_perimeter_of_wgs84_is_four_quarter_meridians_of_proj() -> None:
    # PROJ's geodesics are good to nanometres.
    _, _, quarter = pyproj.Geod(ellps="WGS84").inv(0.0, 0.0, 0.0, 90.0)
    assert 2 * meridian_length(spheroid(*WGS84)) == pytest.approx(4 * quarter, rel=LENGTH_RTOL)


def test_area_and_volume_of_wgs84() -> None:
    # Figures computed with mpmath: 510 065 621 724 088.5 m², 1.083 207 319 801 4e21 m³.
    skin = spheroid(*WGS84)
    assert lateral_area(skin) == pytest.approx(510065621724088.5, rel=RTOL)
    # 5e-14 relative: the figure has 14 digits.
    assert volume(skin) == pytest.approx(1.0832073198014e21, rel=5e-14)
    geod = pyproj.Geod(ellps="WGS84")
    north, _ = geod.polygon_area_perimeter([0.0, 120.0, 240.0], [0.0, 0.0, 0.0])
    # 1e-12: PROJ states its areas to that.
    assert lateral_area(skin) == pytest.approx(2 * abs(north), rel=1e-12)


@pytest.mark.parametrize(
    ("shape", "area", "solid"),
    [
        # Computed with mpmath, cut at ten places: prolate (1, 1, 2) and oblate (2, 2, 1).
        ((100.0, 200.0), 21.4784353279, 8.3775804096),
        ((200.0, 100.0), 34.6875308134, 16.7551608191),
    ],
)
def test_prolate_and_oblate(shape, area, solid) -> None:
    skin = spheroid(*shape)
    # The model is a hundred times as large as the figures'.
    assert lateral_area(skin) / 1e4 == pytest.approx(area, rel=0, abs=1e-10)
    assert volume(skin) / 1e6 == pytest.approx(solid, rel=0, abs=1e-10)


@pytest.mark.parametrize("shape", [*SHAPES, (100.0, 100.0 + 1e-7), (100.0 + 1e-7, 100.0)])
def test_area_and_volume_between_heights_are_the_integrals(shape) -> None:
    a, c = map(mpmath.mpf, shape)
    skin = spheroid(*shape)

    # The skin by parametric latitude β: r = a cos β, z = c sin β.
    def ring(beta):
        return a * mpmath.cos(beta) * mpmath.hypot(a * mpmath.sin(beta), c * mpmath.cos(beta))

    def slab(beta):
        return (a * mpmath.cos(beta)) ** 2 * c * mpmath.cos(beta)

    for span in ((-1.0, 1.0), (0.0, 0.5), (-0.3, 0.9), (0.75, 1.0)):
        low, high = mpmath.asin(span[0]), mpmath.asin(span[1])
        stops = [low, 0, high] if low < 0 < high else [low, high]
        z = (span[0] * shape[1], span[1] * shape[1])
        # 1e-11: the quadrature asks for 1e-12, and span ends are doubles.
        assert lateral_area(skin, *z) == pytest.approx(
            float(2 * mpmath.pi * mpmath.quad(ring, stops)), rel=1e-11
        )
        assert volume(skin, *z) == pytest.approx(
            float(mpmath.pi * mpmath.quad(slab, stops)), rel=1e-11
        )


def heights(shape, latitudes, kind):
    """The heights of discs that are asked for at latitudes of a spheroid."""
    body = {"shape": "spheroid", "equatorial_radius": shape[0], "polar_radius": shape[1]}
    frame = solved(body, [{"latitude": at, "kind": kind} for at in latitudes])
    return [frame.value(f"disc-{n}.height") for n in range(1, len(latitudes) + 1)]


@pytest.mark.parametrize(
    ("kind", "ratio"), [("geodetic", 0.670), ("parametric", 0.707), ("geocentric", 0.743)]
)
def test_three_latitudes_of_45_degrees_on_saturn(kind, ratio) -> None:
    # z/c, computed with mpmath, three places.
    (z,) = heights(SATURN, [45.0], kind)
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
@pytest.mark.parametrize("shape", [(1e6, 1e6), (1e6, 2e6), (2e6, 1e6), SATURN])
def test_height_at_latitude_is_what_the_definition_measures(kind, shape) -> None:
    # A disc half a mm thick to either side has to lie within the poles.
    end = 89.0 if shape == SATURN else 89.8
    latitudes = [-end, -45.0, -12.5, 1e-3, 45.0, 60.0, end]
    for latitude, height in zip(latitudes, heights(shape, latitudes, kind), strict=True):
        assert height == pytest.approx(float(solved_height(shape, latitude, kind)), rel=RTOL)


def test_geodetic_latitude_agrees_with_proj() -> None:
    to_cartesian = pyproj.Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True)
    latitudes = [-80.0, -33.3, 0.0, 10.0, 51.5, 89.9]
    skin = spheroid(*WGS84)
    for latitude, height in zip(latitudes, heights(WGS84, latitudes, "geodetic"), strict=True):
        x, y, z = to_cartesian.transform(17.0, latitude, 0.0)
        # 1e-6 m: PROJ's printed accuracy for earth-centred coordinates is finer.
        assert height == pytest.approx(z, abs=1e-6)
        assert skin.outer(height) == pytest.approx(math.hypot(x, y), abs=1e-6)


def test_poles_and_equator_are_exact() -> None:
    skin = spheroid(*SATURN)
    assert (skin.low, skin.high) == (-SATURN[1], SATURN[1])
    assert skin.outer(skin.low) == skin.outer(skin.high) == 0.0
    assert skin.closed == (True, True)
    # 2.2e-16: the model's radius comes from the given one by the scale, one rounding.
    assert skin.outer(0.0) == pytest.approx(SATURN[0], rel=2.2e-16)


@pytest.mark.parametrize("depth", [1e-3, 1e-6, 1e-9, 1e-12])
def test_radius_near_the_pole_keeps_its_digits(depth) -> None:
    body = {"shape": "spheroid", "equatorial_radius": 150.0, "polar_radius": 100.0}
    frame = solved(body, [0.0])
    a, c = frame.value("model.equatorial_radius"), frame.value("model.polar_radius")
    z = c * (1.0 - depth)
    exact = a * mpmath.sqrt(1 - (mpmath.mpf(z) / c) ** 2)
    # 1e-15: height and radii are the doubles themselves, so only the last roundings are left.
    assert meridian_of(frame).outer(z) == pytest.approx(float(exact), rel=1e-15, abs=0)
