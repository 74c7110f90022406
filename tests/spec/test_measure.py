"""Units: sizes from the SI Brochure and NIST SP 811 (1 in = 25.4 mm exactly)."""

from __future__ import annotations

import math

import pytest

from framekit.spec.measure import (
    MeasureError,
    parse_angle,
    parse_length,
    parse_money,
    parse_ratio,
    parse_speed,
    parse_time,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        (3, 3.0),
        (3.05, 3.05),
        ("3.05", 3.05),
        ("12 cm", 120.0),
        ("1/8 in", 3.175),
        ("1 1/2 in", 38.1),
        ("2 ft", 609.6),
        ("4879.4 km", 4.8794e9),
        ("1.20 m", 1200.0),
        ("-4 mm", -4.0),
        (".5cm", 5.0),
        ("1e2 mm", 100.0),
    ],
)
def test_lengths(text, mm):
    # 1e-12 relative: one multiplication
    assert parse_length(text).value == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("raw", "value", "tolerance", "spread"),
    [
        ("3.05 ± 0.10 mm", 3.05, 0.10, "limits"),
        ("3.05 +/- 0.10 mm", 3.05, 0.10, "limits"),
        ("3.05 ± 0.10", 3.05, 0.10, "limits"),
        ("3.05 mm ± 0.10 mm", 3.05, 0.10, "limits"),
        ("0.3 cm ± 0.2 mm", 3.0, 0.2, "limits"),
        ("1/8 ± 1/64 in", 3.175, 0.396875, "limits"),
        ({"value": "3.05 mm", "tolerance": "0.10 mm"}, 3.05, 0.10, "limits"),
        ({"value": 3.05, "tolerance": 0.1, "spread": "normal"}, 3.05, 0.10, "normal"),
    ],
)
def test_tolerances(raw, value, tolerance, spread):
    measure = parse_length(raw)
    # 1e-12 relative: one multiplication
    assert measure.value == pytest.approx(value, rel=1e-12)
    assert measure.tolerance == pytest.approx(tolerance, rel=1e-12)
    assert measure.spread == spread


def test_sigma_of_limits_is_uniform_and_of_normal_two_sigma():
    """GUM (JCGM 100) 4.3.7: a/√3 for a uniform distribution of half-width a."""
    # 1e-12 relative: one division
    assert parse_length("3 ± 0.1").sigma == pytest.approx(0.1 / math.sqrt(3), rel=1e-12)
    normal = parse_length({"value": 3, "tolerance": 0.1, "spread": "normal"})
    assert normal.sigma == pytest.approx(0.05, rel=1e-12)


@pytest.mark.parametrize(
    "raw",
    [
        "3 parsec",
        "wide",
        "",
        "nan",
        "3 ± 0.1 ± 0.1",
        "3 ± -0.1",
        "1/0 in",
        True,
        None,
        [3],
        float("nan"),
        float("inf"),
        10**400,
        "1e400",
        "9e30 km",
        {"tolerance": 1},
        {"value": 3, "tolerence": 1},
        {"value": 3, "spread": "wide"},
        "3 mm mm",
    ],
)
def test_what_is_no_length_is_refused_with_a_remedy(raw):
    with pytest.raises(MeasureError) as caught:
        parse_length(raw)
    assert caught.value.message
    assert caught.value.hint


@pytest.mark.parametrize(
    ("text", "denominator"),
    [("1:4", 4), ("2:1", 0.5), ("1:40 000 000", 4e7), ("1:40,000,000", 4e7), ("1 : 1e6", 1e6)],
)
def test_ratios(text, denominator):
    assert parse_ratio(text) == denominator


@pytest.mark.parametrize("raw", [4, "4", "1:0", "1:-3", "1:2:3", "a:b", "1:4,5", None, "1:inf"])
def test_what_is_no_ratio_is_refused(raw):
    with pytest.raises(MeasureError):
        parse_ratio(raw)


def test_other_units():
    assert parse_angle("40 deg") == 40
    # 1e-12 relative: one multiplication
    assert parse_angle("1 rad") == pytest.approx(57.29577951308232, rel=1e-12)
    assert parse_speed("600 mm/min") == pytest.approx(10, rel=1e-12)
    assert parse_time("200 ms") == pytest.approx(0.2, rel=1e-12)
    assert parse_money("4.20 EUR") == (4.2, "EUR")
    for bad in ("4.20", "EUR", 4.2, "-1 EUR", "4 euro"):
        with pytest.raises(MeasureError):
            parse_money(bad)
