"""Sizes of models at 1:4 against plain sums: as drawn, and at both ends of the tolerances."""

from __future__ import annotations

import math

import pytest
from solution.margins.pair import (
    CONE,
    CYLINDER,
    DISC_SHEET,
    GAP_OF_SIX,
    PLANET,
    SPHERE,
    Pair,
    cosine,
    notch,
    on,
    over,
    over_disc,
    round_at,
    sine,
    slot,
    slot_in_4,
)

from framekit.solution.build import solve
from framekit.spec import defaults
from framekit.spec.build import spec_from_values

JOINT_60 = (80.0 + round_at(80, 60)) / 2
LEAN_AT_UPPER_FACE = 61.5 / round_at(100, 61.5)


def solved(base, **changes):
    return solve(spec_from_values(on(base, **changes))).frames[0]


def sized(name, base, by_hand, **changes):
    return pytest.param(name, on(base, **changes), by_hand, id=name)


DISCS = [{"at": {"height": 60, "both": True}, "bore": 31, "setback": 1}]
TENON = {"style": "tenon"}
BORED = [{"at": {"height": 50}, "bore": 31}]
ENDS = [{"at": {"end": "bottom", "both": True}}]
AS_MADE = [
    sized("sheet.thickness", SPHERE, lambda m: m.t),
    sized("cutter.kerf", SPHERE, lambda m: m.k),
    sized("joint.clearance", SPHERE, lambda m: m.g),
    sized("joint.slot_width", SPHERE, slot),
    sized("joint.gap", SPHERE, lambda m: slot(m) - m.t),
    sized("joint.notch_width", SPHERE, notch, disc_sheet=DISC_SHEET),
    sized("joint.slot_width", SPHERE, slot_in_4, disc_sheet=DISC_SHEET),
    sized("joint.gap", SPHERE, lambda m: slot_in_4(m) - m.t, disc_sheet=DISC_SHEET),
    sized("joint.notch_clearance", SPHERE, lambda m: m.h, disc_sheet=DISC_SHEET),
    sized("disc_sheet.kerf", SPHERE, lambda m: m.e, disc_sheet=DISC_SHEET),
    sized("rib.pole_gap", SPHERE, lambda m: GAP_OF_SIX + over(m), disc_sheet=DISC_SHEET),
    *(
        sized(name, CYLINDER, by_hand, disc_sheet=DISC_SHEET, discs=BORED)
        for name, by_hand in (
            ("disc-1.radius", lambda m: 80 - over_disc(m)),
            ("disc-1.bore_radius", lambda m: 31 + over_disc(m)),
            ("disc-1.joint_radius", lambda m: 70 - over_disc(m)),
            ("disc-1.ligament", lambda m: 10 - 0.1 - 2 * over(m)),
            (
                "disc-1.slot_web",
                lambda m: 2 * ((70 - over_disc(m)) * sine(30) - slot_in_4(m) / 2 * cosine(30)),
            ),
        )
    ),
    sized("disc_sheet.thickness", SPHERE, lambda m: m.d, disc_sheet=DISC_SHEET),
    sized("rib.pole_gap", SPHERE, lambda m: GAP_OF_SIX + over(m)),
    sized("rib.height", SPHERE, lambda m: 2 * (round_at(100, GAP_OF_SIX) - over(m))),
    sized("rib.proud", SPHERE, lambda m: math.hypot(100, m.t / 2) - 100),
    *(
        param
        for disc in ("disc-1", "disc-2")
        for param in (
            sized(
                f"{disc}.radius",
                SPHERE,
                lambda m: round_at(100, 61.5) - 1 - over(m),
                discs=DISCS,
            ),
            sized(f"{disc}.bore_radius", SPHERE, lambda m: 31 + over(m), discs=DISCS),
            sized(f"{disc}.joint_radius", SPHERE, lambda m: JOINT_60 - over(m), discs=DISCS),
            sized(f"{disc}.far_height", SPHERE, lambda m: 60 + m.t / 2, discs=DISCS),
            sized(
                f"{disc}.skin_radius", SPHERE, lambda m: round_at(100, 60 + m.t / 2), discs=DISCS
            ),
            sized(
                f"{disc}.ligament",
                SPHERE,
                lambda m: (
                    round_at(100, 61.5)
                    - JOINT_60
                    - 0.1
                    - over(m) * (1 + math.hypot(1, LEAN_AT_UPPER_FACE))
                ),
                discs=DISCS,
            ),
            sized(
                f"{disc}.slot_web",
                SPHERE,
                lambda m: 2 * ((JOINT_60 - over(m)) * sine(30) - slot(m) / 2 * cosine(30)),
                discs=DISCS,
            ),
        )
    ),
    sized(
        "disc-1.skin_radius",
        CONE,
        lambda m: 62.5 - 0.75 * m.d / 2,
        disc_sheet=DISC_SHEET,
    ),
]


@pytest.mark.parametrize(("name", "spec", "by_hand"), AS_MADE)
def test_a_size_as_made(name, spec, by_hand):
    pair = Pair(None, "", name, lambda x: spec, lambda x, m: by_hand(m), 0, 0)
    low, drawn, high = pair.ends(0)
    found = solve(spec_from_values(spec)).frames[0].quantities[name]
    # 1e-6 mm: proved bounds of a curved law are a little wide
    assert (found.low, found.value, found.high) == pytest.approx((low, drawn, high), abs=1e-6)
    assert low < drawn < high


DRAWN = {
    "the file makes up for the kerf": (
        on(SPHERE, disc_sheet=DISC_SHEET),
        {"joint.slot_width_drawn": 3.1 - 0.3, "joint.notch_width_drawn": 4.1 - 0.2},
    ),
    "the machine does": (
        on(SPHERE, disc_sheet=DISC_SHEET, cutter={"compensate": "machine"}),
        {"joint.slot_width_drawn": 3.1, "joint.notch_width_drawn": 4.1},
    ),
    "sizes of the body": (
        SPHERE,
        {
            "body.equatorial_radius": 400,
            "body.height": 800,
            "model.equatorial_radius": 100,
            "model.equatorial_diameter": 200,
            "model.low_end": -100,
            "model.high_end": 100,
            "model.height": 200,
            "rib.reach": 100 - GAP_OF_SIX,
        },
    ),
    "heights from the base": (
        CONE,
        {
            "model.low_end": 0,
            "model.high_end": 100,
            "model.base_radius": 100,
            "model.top_radius": 25,
            "rib.low_end": 0,
            "rib.high_end": 100,
            "rib.height": 100,
        },
    ),
    "a share of the polar radius": (
        on(SPHERE, discs=[{"at": {"fraction": 0.6, "both": True}}]),
        {"disc-1.height": 60, "disc-2.height": -60, "disc-1.side": 1, "disc-2.side": -1},
    ),
    "a share of half the height": (
        on(CYLINDER, discs=[{"at": {"fraction": 0.6, "both": True}}, {"at": {"fraction": 0}}]),
        {
            "disc-1.height": 80,
            "disc-2.height": 20,
            "disc-3.height": 50,
            "disc-1.side": 1,
            "disc-2.side": -1,
            "disc-3.side": 1,
        },
    ),
    "a parametric latitude": (
        on(SPHERE, discs=[{"at": {"latitude": 30, "kind": "parametric"}}]),
        {"disc-1.height": 50},
    ),
    "level with both ends": (
        on(CYLINDER, discs=ENDS, disc_sheet=DISC_SHEET),
        {"disc-1.height": 2, "disc-2.height": 98},
    ),
    # 70 − 0.1 mm to the slots' floor; the wall is 10 + 4.5 mm.
    "an automatic bore": (
        on(CYLINDER, discs=[{"at": {"height": 50}, "bore": "auto"}]),
        {"disc-1.bore_wall": 14.5, "disc-1.bore_radius": 70 - 0.1 - 14.5},
    ),
    # 70 − 0.1 mm, less 10 + 6 mm of a sheet of 4 mm
    "an automatic bore in a second sheet": (
        on(CYLINDER, discs=[{"at": {"height": 50}, "bore": "auto"}], disc_sheet=DISC_SHEET),
        {"disc-1.bore_wall": 16, "disc-1.bore_radius": 70 - 0.1 - 16},
    ),
    # A tongue of 20/3 mm is in a mortise 0.1 mm longer; three thicknesses of wall are inside it.
    "an automatic bore inside mortises": (
        on(CYLINDER, discs=[{"at": {"end": "top"}, "bore": "auto"}], joint=TENON),
        {
            "disc-1.tongue_width": 20 / 3,
            "disc-1.bore_wall": 9,
            "disc-1.bore_radius": 70 - (20 / 3 + 0.1) / 2 - 9,
            "disc-1.ligament": 80 - 70 - 10 / 3,
        },
    ),
    "no bore": (CYLINDER, {"disc-1.bore_radius": 0, "disc-1.setback": 0}),
    "a flange": (
        PLANET,
        {
            "flange-1.height": 35,
            "flange-1.inner_radius": 110,
            "flange-1.outer_radius": 140,
            "flange-1.seat_depth": 6,
            "flange-1.seat_radius": round_at(120, 36.5) - 6,
            "flange-1.slot_radius": 120.1,
        },
    ),
}


@pytest.mark.parametrize("what", DRAWN)
def test_a_size_as_drawn(what):
    spec, sizes = DRAWN[what]
    frame = solve(spec_from_values(spec)).frames[0]
    for name, size in sizes.items():
        # 1e-9 mm: sums of doubles
        assert frame.value(name) == pytest.approx(size, abs=1e-9), name


@pytest.mark.parametrize(
    ("radius", "bore"),
    # The cylinder's slots end at its radius less 10.1 mm, and the wall is 14.5 mm: what is left
    # inside must be three thicknesses, 9 mm.
    [(33.61, 9.01), (33.59, 0.0)],
)
def test_a_hole_that_would_be_small_stays_whole(radius, bore):
    body = {"shape": "cylinder", "diameter": f"{8 * radius} mm", "height": "0.4 m"}
    discs = [{"at": {"height": 50}, "bore": "auto"}]
    frame = solved(CYLINDER, body=body, discs=discs)
    assert frame.value("disc-1.bore_radius") == pytest.approx(bore, abs=1e-9)


@pytest.mark.parametrize(
    ("radius", "bore"),
    # Mortises reach in to the radius less 10 mm and less half of 20/3 + 0.1 mm.
    [(10 + 10 / 3 + 0.05 + 18.01, 9.01), (10 + 10 / 3 + 0.05 + 17.99, 0.0)],
)
def test_a_hole_inside_mortises_that_would_be_small_stays_whole(radius, bore):
    body = {"shape": "cylinder", "diameter": f"{8 * radius} mm", "height": "0.4 m"}
    discs = [{"at": {"end": "bottom"}, "bore": "auto"}]
    frame = solved(CYLINDER, body=body, discs=discs, joint=TENON)
    assert frame.value("disc-1.bore_radius") == pytest.approx(bore, abs=1e-9)


@pytest.mark.parametrize("end", ["bottom", "top"])
@pytest.mark.parametrize("base", [on(CYLINDER, joint=TENON), CONE])
def test_a_disc_at_both_ends_is_checked_as_two_discs_one_at_each(base, end):
    other = {"bottom": "top", "top": "bottom"}[end]
    both = solved(base, discs=[{"at": {"end": end, "both": True}}])
    two = solved(base, discs=[{"at": {"end": end}}, {"at": {"end": other}}])
    assert len(two.checks) > 10
    # 1e-9 mm: the mirrored height is another sum of doubles
    assert [(check.name, check.code) for check in both.checks] == [
        (check.name, check.code) for check in two.checks
    ]
    for one, same in zip(both.checks, two.checks, strict=True):
        assert one.margin == pytest.approx(same.margin, abs=1e-9), one.name


@pytest.mark.parametrize("rings", [["A", "C"], ["C", "B", "A"]])
def test_a_flange_of_several_rings_spans_them_all(rings):
    """Saturn's rings from 74 658 to 136 780 km, NASA's Saturnian rings fact sheet."""
    frame = solved(
        {k: v for k, v in PLANET.items() if k not in ("body", "scale", "flanges")},
        body={"catalogue": "saturn"},
        scale="1:800000000",
        flanges=[{"rings": rings, "seat_depth": 5}],
        discs=[{"at": {"height": 0}}],
    )
    # 0.25 mm: published edges differ by up to 200 km
    assert frame.value("flange-1.inner_radius") == pytest.approx(93.32, abs=0.25)
    assert frame.value("flange-1.outer_radius") == pytest.approx(170.98, abs=0.25)


def test_what_holds_where_a_spec_says_nothing():
    """Common practice or framekit's choice, no source: the pages promise them."""
    plain = {key: value for key, value in SPHERE.items() if key not in ("scale", "joint")}
    frame = solved(plain, body={"shape": "sphere", "diameter": 200}, ribs={"width": None})
    wanted = {
        "scale.denominator": 1,
        "rib.width_equator": 22,
        "rib.width_pole": 12,
        "rib.pole_allowance": 0.5,
        "joint.engagement": 0.5,
        "joint.end_clearance": 0.1,
        "joint.clearance": 0.05,  # a snug fit in birch plywood
        "disc-1.setback": 0,
    }
    assert {name: frame.value(name) for name in wanted} == wanted
    assert defaults.SEAT_THICKNESSES == 2
    upright = solved(CYLINDER, ribs={"width": None})
    assert [upright.value(f"rib.width_{at}") for at in ("bottom", "equator", "top")] == [12, 22, 12]


def check(frame, code, about):
    return next(c for c in frame.checks if (c.code, c.about) == (code, about))


def test_room_on_the_sheet_where_a_spec_says_nothing():
    """5 mm at the edges; 2 mm between parts, for a router 1 mm beyond its thickest cut if more.

    The cut reaches 0.75 of its width to its path at a corner, and half of it beyond.
    """
    frame = solved(SPHERE)
    assert check(frame, "cut-margin", "sheet").margin == pytest.approx(5 - 0.15, abs=1e-9)
    assert check(frame, "cut-spacing", "sheet").margin == pytest.approx(2 - 0.25, abs=1e-9)
    for tool, spacing in (("3 ± 0.04", 4.8), ("0.76 ± 0.04", 2.0)):
        cutter = {"kerf": None, "process": "router", "tool_diameter": tool}
        frame = solved(SPHERE, cutter=cutter)
        size = float(tool.split()[0])
        found = check(frame, "cut-spacing", "sheet").margin
        assert found == pytest.approx(spacing - 1.25 * size, abs=1e-9)
        assert check(frame, "cut-margin", "sheet").margin == pytest.approx(
            5 - 0.75 * size, abs=1e-9
        )
    cutter = {"kerf": None, "process": "router", "tool_diameter": "6 ± 0.04"}
    wide = solved(SPHERE, cutter=cutter, joint={"end_clearance": 0})
    assert check(wide, "cut-margin", "sheet").margin == pytest.approx(0.75 * 0.04 + 1, abs=1e-9)


KERFS = {
    # framekit's choice, no source: between the ± of 0.015 and of 0.04 mm that the catalogue has
    "a laser in birch plywood": ({}, {}, 0.20, 0.03),
    "written without its ±": ({}, {"kerf": 0.15}, 0.15, 0.03),
    "narrower than that": ({}, {"kerf": 0.02}, 0.02, 0.02),
    "said to be exact": ({}, {"kerf": "0.15 ± 0"}, 0.15, 0.0),
    # The catalogue's own, common practice, no source
    "a laser in cast acrylic": ({"material": "cast-acrylic"}, {}, 0.19, 0.04),
    "a laser in MDF": ({"material": "mdf"}, {}, 0.165, 0.015),
    "a router's tool": ({}, {"process": "router", "tool_diameter": 3}, 3.0, 0.03),
    "a knife": ({"material": "card"}, {"process": "knife"}, 0.0, 0.0),
}


@pytest.mark.parametrize("what", KERFS)
def test_a_kerf_that_nobody_measured_is_not_exact(what):
    sheet, cutter, kerf, spread = KERFS[what]
    frame = solved(SPHERE, sheet=sheet, cutter={"kerf": None, **cutter})
    found = frame.quantities["cutter.kerf"]
    wanted = (kerf - spread, kerf, kerf + spread)
    assert (found.low, found.value, found.high) == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("discs", "cutter", "kerf", "spread"),
    [
        ({"material": "cast-acrylic"}, {}, 0.19, 0.04),
        ({"material": "mdf"}, {}, 0.165, 0.015),
        ({"material": "mdf"}, {"kerf": "0.25 ± 0.02"}, 0.25, 0.02),
        ({"material": "mdf", "kerf": "0.3 ± 0.05"}, {"kerf": "0.25 ± 0.02"}, 0.3, 0.05),
    ],
)
def test_the_discs_sheet_has_its_own_kerf_or_the_cutter_s(discs, cutter, kerf, spread):
    sheet = {"thickness": "4 ± 0.06", **discs}
    frame = solved(SPHERE, disc_sheet=sheet, cutter={"kerf": None, **cutter})
    found = frame.quantities["disc_sheet.kerf"]
    wanted = (kerf - spread, kerf, kerf + spread)
    assert (found.low, found.value, found.high) == pytest.approx(wanted, abs=1e-9)
