"""The catalogue's bodies against outside sources.

Radii: PROJ's database as pyproj ships it, authority IAU_2015, which carries the WGCCRE 2015 report
(Archinal et al. 2018, Celestial Mechanics and Dynamical Astronomy 130:22).
"""

import math
import sqlite3
from pathlib import Path

import pyproj
import pytest

from framekit.catalogue.load import bodies, body

Row = tuple[int, float, float]


def proj_rows() -> dict[str, Row]:
    """Name as PROJ writes it → (code, equatorial, polar radius in km)."""
    path = Path(pyproj.datadir.get_data_dir()) / "proj.db"
    database = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    try:
        rows = database.execute(
            "SELECT name, code, semi_major_axis, semi_minor_axis FROM ellipsoid "
            "WHERE auth_name = 'IAU_2015' AND uom_auth_name = 'EPSG' AND uom_code = 9001"
        ).fetchall()
    finally:
        database.close()
    return {name: (code, major / 1000.0, minor / 1000.0) for name, code, major, minor in rows}


PROJ = proj_rows()


def proj_row(title: str) -> Row:
    """The spheroid's row where there is one, or else the sphere's."""
    return PROJ.get(f"{title} (2015)") or PROJ[f"{title} (2015) - Sphere"]


@pytest.mark.parametrize("row", bodies(), ids=lambda row: row.name)
def test_radii_are_those_of_iau_2015(row) -> None:
    _, equatorial, polar = proj_row(row.title)
    assert row.equatorial_radius.unit == row.polar_radius.unit == "km"
    # 1e-15: PROJ keeps metres, and a metre's decimal and a kilometre's differ in the last digit.
    assert row.equatorial_radius.value == pytest.approx(equatorial, rel=1e-15, abs=0)
    assert row.polar_radius.value == pytest.approx(polar, rel=1e-15, abs=0)


@pytest.mark.parametrize("row", bodies(), ids=lambda row: row.name)
def test_a_moon_goes_round_the_planet_of_its_number(row) -> None:
    # NAIF numbers as PROJ's codes use them: 606 is the sixth moon of 699.
    code, *_ = proj_row(row.title)
    number = code // 100
    if row.kind == "moon":
        planet = proj_row(body(row.around).title)[0] // 100
        assert (number // 100, 99) == divmod(planet, 100)
        assert number % 100 != 99
    elif row.kind == "planet":
        assert number in range(199, 900, 100)
        assert row.around is None
    else:
        assert number in {10, 999, 2000001}
        assert row.around is None


@pytest.mark.parametrize("row", [r for r in bodies() if r.stand_in], ids=lambda row: row.name)
def test_a_stand_in_is_a_moon_that_proj_knows_as_a_sphere_only(row) -> None:
    # Which moons have three unequal axes in the report is from memory; PROJ, which has no such
    # ellipsoids, gives their mean sphere alone.
    assert row.kind == "moon"
    assert f"{row.title} (2015)" not in PROJ


def test_every_body_that_a_school_asks_for_is_there() -> None:
    names = {row.name for row in bodies()}
    assert len(names) == len(bodies())
    listed = (
        "sun mercury venus earth mars jupiter saturn uranus neptune pluto ceres moon io europa "
        "ganymede callisto mimas enceladus tethys dione rhea titan iapetus ariel umbriel titania "
        "oberon miranda triton charon"
    )
    assert names == set(listed.split())


@pytest.mark.parametrize(
    ("name", "equatorial", "polar", "within"),
    [
        # IAU 2015 Resolution B3 (Prsa et al. 2016, Astronomical Journal 152:41), nominal values,
        # from memory; 'within' is half of the last digit the resolution gives, in km.
        ("sun", 695700.0, 695700.0, 0.0),
        ("earth", 6378.1, 6356.8, 0.05),
        ("jupiter", 71492.0, 66854.0, 0.0),
    ],
)
def test_radii_agree_with_the_nominal_ones(name, equatorial, polar, within) -> None:
    row = body(name)
    assert row.equatorial_radius.value == pytest.approx(equatorial, rel=0, abs=within)
    assert row.polar_radius.value == pytest.approx(polar, rel=0, abs=within)


def test_mars_polar_radius_is_the_mean_of_its_two_poles() -> None:
    # WGCCRE 2015 report: north 3373.19 km, south 3379.21 km, from memory.
    assert body("mars").polar_radius.value == pytest.approx((3373.19 + 3379.21) / 2, abs=5e-3)


def test_mean_radius_has_two_meanings() -> None:
    # Published figures from memory: Earth 6371.0084 (to 0.1 m), Jupiter 69911 and Saturn 58232
    # (to 1 km). The means are computed here, apart from the subject.
    for name, kind, within in (
        ("earth", "arithmetic", 5e-5),
        ("jupiter", "volumetric", 0.5),
        ("saturn", "volumetric", 0.5),
    ):
        row = body(name)
        a, c = row.equatorial_radius.value, row.polar_radius.value
        means = {"arithmetic": (a + a + c) / 3, "volumetric": math.exp(math.log(a * a * c) / 3)}
        assert row.mean_kind == kind
        assert row.mean_radius.value == pytest.approx(means[kind], abs=within)
        other = means["volumetric" if kind == "arithmetic" else "arithmetic"]
        assert abs(row.mean_radius.value - other) > 2 * within
    assert body("earth").mean_radius.value == 6371.0084
    assert body("jupiter").mean_radius.value == 69911
    assert body("saturn").mean_radius.value == 58232


def test_orbits_keep_keplers_third_law() -> None:
    # Sidereal periods in days from NASA's planetary fact sheet, from memory. The law with both
    # masses: a³ (1 + m_earth) = T² (1 + m), in AU and sidereal years of 365.256 days. 1e-3: the
    # fact sheet's periods are of the year 2000's orbits, the axes mean ones over centuries.
    days = {
        "mercury": 87.969,
        "venus": 224.701,
        "earth": 365.256,
        "mars": 686.980,
        "jupiter": 4332.589,
        "saturn": 10759.22,
        "uranus": 30685.4,
        "neptune": 60189.0,
    }
    masses = {"jupiter": 1 / 1047.3, "saturn": 1 / 3498}
    for name, period in days.items():
        orbit = body(name).orbit
        assert orbit.unit == "AU"
        years = period / 365.256
        expected = (years**2 * (1 + masses.get(name, 0.0))) ** (1 / 3)
        assert orbit.value == pytest.approx(expected, rel=1e-3)
    assert {row.name for row in bodies() if row.orbit} == set(days)


# WGCCRE 2015 report: right ascension and declination of the north pole at J2000, degrees, from
# memory. Orbits: inclination and ascending node on the ecliptic of J2000, degrees, from the table
# of Standish & Williams, from memory.
POLES = {
    "mercury": (281.0103, 61.4155, 7.00498, 48.33077),
    "venus": (272.76, 67.16, 3.39468, 76.67984),
    "earth": (0.0, 90.0, 0.0, 0.0),
    "mars": (317.68143, 52.88650, 1.84969, 49.55954),
    "jupiter": (268.056595, 64.495303, 1.30440, 100.47391),
    "saturn": (40.589, 83.537, 2.48599, 113.66242),
    "uranus": (257.311, -15.175, 0.77264, 74.01693),
    # 299.36 + 0.70 sin N, 43.46 − 0.51 cos N, N = 357.85 at J2000
    "neptune": (
        299.36 + 0.70 * math.sin(math.radians(357.85)),
        43.46 - 0.51 * math.cos(math.radians(357.85)),
        1.77004,
        131.78423,
    ),
}


@pytest.mark.parametrize("name", POLES)
def test_obliquity_is_the_angle_between_pole_and_orbit(name) -> None:
    ascension, declination, inclination, node = map(math.radians, POLES[name])
    pole = (
        math.cos(declination) * math.cos(ascension),
        math.cos(declination) * math.sin(ascension),
        math.sin(declination),
    )
    # The orbit's normal, turned from the ecliptic to the equator (obliquity 23.439281°, IAU 1976).
    x, y, z = (
        math.sin(inclination) * math.sin(node),
        -math.sin(inclination) * math.cos(node),
        math.cos(inclination),
    )
    e = math.radians(23.439281)
    normal = (x, y * math.cos(e) - z * math.sin(e), y * math.sin(e) + z * math.cos(e))
    angle = math.degrees(math.acos(sum(p * n for p, n in zip(pole, normal, strict=True))))
    # The report calls north what is north of the solar system; a body that spins the other way
    # has its axis of rotation turned round (Venus and Uranus: sign of the spin rate).
    if name in {"venus", "uranus"}:
        angle = 180.0 - angle
    # 0.1°: two models of pole and orbit differ by less.
    assert body(name).obliquity.value == pytest.approx(angle, abs=0.1)


def test_rings_lie_outside_the_planet_in_order() -> None:
    # NASA's Saturnian rings fact sheet as carried in the library planetmapper 1.14.1
    # (data/rings.json, read while this test was written), km. 200 km: published edges differ so.
    published = {
        "D": (66900.0, 74510.0),
        "C": (74658.0, 91975.0),
        "B": (91975.0, 117507.0),
        "A": (122340.0, 136780.0),
    }
    saturn = body("saturn")
    edge = saturn.equatorial_radius.value
    for ring in saturn.rings:
        assert edge <= ring.inner.value < ring.outer.value
        edge = ring.outer.value
        assert (ring.inner.value, ring.outer.value) == pytest.approx(
            published[ring.name], rel=0, abs=200.0
        )
    assert [ring.name for ring in saturn.rings] == list(published)
    assert not any(row.rings for row in bodies() if row.name != "saturn")
