"""The catalogue's materials against datasheets, standards and hand calculation."""

import math

import pytest

from framekit.catalogue.load import material, materials

# A maker's birch plywood datasheet: nominal thickness mm, density kg/m³, mass in kg of a sheet of
# 1220 × 2440 mm. The datasheet rounds masses to 0.1 kg, so they are right to 0.05 kg.
BIRCH = [
    (4.0, 660.0, 7.9),
    (6.5, 670.0, 13.0),
    (9.0, 710.0, 19.0),
    (12.0, 695.0, 24.8),
    (18.0, 685.0, 36.7),
]


@pytest.mark.parametrize(("nominal", "density", "kilograms"), BIRCH)
def test_birch_plywood_sheet_weighs_what_the_datasheet_says(nominal, density, kilograms) -> None:
    birch = material("birch-plywood")
    assert birch.density_at(nominal).value == density
    assert birch.density_at(nominal).unit == "kg/m³"
    assert birch.mass(1220.0 * 2440.0, nominal) / 1000.0 == pytest.approx(kilograms, abs=0.05)


def test_disc_of_birch_plywood() -> None:
    # π 0.150² m² × 0.003 m × 680 kg/m³ = 144.199 g, by hand; 5e-4 g is its rounding.
    grams = material("birch-plywood").mass(math.pi * 150.0**2, 3.0)
    assert grams == pytest.approx(144.199, abs=5e-4)


@pytest.mark.parametrize(
    ("name", "nominal", "low", "high"),
    [
        ("birch-plywood", 4.0, 3.5, 4.1),  # a maker's datasheet
        ("birch-plywood", 12.0, 11.24, 12.56),  # EN 315, formula from memory
        ("sanded-plywood", 4.0, 3.48, 4.32),  # EN 315: + 0.32, − 0.52, from memory
        ("sanded-plywood", 18.0, 17.06, 18.74),  # EN 315: + 0.74, − 0.94, from memory
        ("cast-acrylic", 3.0, 2.3, 3.7),  # ISO 7823-1: ± 0.70
        ("cast-acrylic", 5.0, 4.1, 5.9),  # ISO 7823-1: ± 0.90
        ("extruded-acrylic", 2.0, 1.8, 2.2),  # ISO 7823-2: ± 10 % under 3 mm
        ("extruded-acrylic", 3.0, 2.85, 3.15),  # ISO 7823-2: ± 5 % from 3 mm
        ("hdf", 3.0, 2.8, 3.2),  # a maker's datasheet: ± 0.2
    ],
)
def test_thickness_limits(name, nominal, low, high) -> None:
    # 1e-9 mm: only rounding of doubles.
    assert material(name).thickness_limits(nominal) == pytest.approx((low, high), abs=1e-9)


@pytest.mark.parametrize("name", ["mdf", "card", "cardboard"])
def test_no_rule_means_measure(name) -> None:
    assert material(name).thickness_limits(3.0) is None


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("birch-plywood", 0.0, 0.1),
        ("sanded-plywood", 0.0, 0.1),
        ("cast-acrylic", 0.05, 0.15),
        ("extruded-acrylic", 0.05, 0.15),
        ("card", -0.1, 0.0),
        ("cardboard", -0.1, 0.0),
    ],
)
def test_clearances_lie_where_practice_has_them(name, low, high) -> None:
    # Common practice, no source: clearance after kerf in mm.
    row = material(name)
    clearances = [row.clearance(fit).value for fit in ("press", "snug", "slip")]
    assert clearances == sorted(clearances)
    assert low == clearances[0]
    assert high == clearances[-1]


@pytest.mark.parametrize("row", materials(), ids=lambda row: row.name)
def test_figures_hang_together(row) -> None:
    assert row.least_gap.value <= row.press.value <= row.slip.value <= row.most_gap.value
    # Common practice, no source: only card may be tighter than its sheet; kerf 0.08 to 0.45 mm;
    # material behind a slot at least 1.5 t, acrylic 2 t.
    if row.name not in {"card", "cardboard"}:
        assert row.press.value >= 0.0
    if row.name.endswith("acrylic"):
        assert row.press.value > 0.0
    assert 0.08 <= row.kerf.value <= 0.45
    assert row.ligament.value == (2.0 if row.name.endswith("acrylic") else 1.5)
    assert row.notes


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # Common practice, no source: kerf in mm of a laser in 3 mm sheet.
        ("cast-acrylic", 0.15, 0.23),
        ("extruded-acrylic", 0.15, 0.23),
        ("mdf", 0.15, 0.18),
        ("birch-plywood", 0.20, 0.20),
        ("card", 0.08, 0.08),
    ],
)
def test_kerf_is_the_band_of_practice(name, low, high) -> None:
    kerf = material(name).kerf
    spread = kerf.tolerance or 0.0
    # 1e-9 mm: only rounding of doubles.
    assert (kerf.value - spread, kerf.value + spread) == pytest.approx((low, high), abs=1e-9)
