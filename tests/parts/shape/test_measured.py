"""Finished outlines of models at 1:4, measured with shapely, against sums of the spec's sizes.

A ruler is laid across the outline; no law of framekit's is called.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from shapely import LineString, Point, Polygon
from shapely.affinity import rotate
from solution.margins.pair import (
    CONE,
    CYLINDER,
    DISC_SHEET,
    FUNNEL,
    GAP_OF_SIX,
    PLANET,
    SPHERE,
    cosine,
    on,
    round_at,
    sine,
)

from framekit.joints.build import joint_named
from framekit.parts.build import make_parts
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

FINE = 1e-5
"""mm between a drawn arc and its chords."""
NEAR = 1e-4
"""mm: ten times the chords' error, for arcs that the ruler crosses aslant."""


def made(base: Any, **changes: Any) -> Any:
    return make_parts(solve(spec_from_values(on(base, **changes)))).frames[0]


def flat(part: Any) -> Polygon:
    rings = [path.polyline_within(FINE) for path in (part.outline.outer, *part.outline.holes)]
    return Polygon(rings[0], rings[1:])


def pieces(shape: Polygon, start: tuple[float, float], stop: tuple[float, float]) -> list[Any]:
    """Return where a ruler from `start` to `stop` lies on material, in mm from its zero."""
    found = LineString([start, stop]).intersection(shape)
    lines = [g for g in getattr(found, "geoms", [found]) if g.geom_type == "LineString"]
    zero = Point(start)
    return sorted(tuple(sorted(zero.distance(Point(p)) for p in g.coords)) for g in lines)


def level(part: Any, z: float) -> list[Any]:
    """Return a rib's material at a height: from and to which radius."""
    return pieces(flat(part), (0.0, z), (1000.0, z))


def upright(part: Any, radius: float, low: float, high: float) -> list[Any]:
    """Return a rib's material at a radius between two heights: from and to which height."""
    found = pieces(flat(part), (radius, low), (radius, high))
    return [(low + a, low + b) for a, b in found]


def outward(part: Any, longitude: float = 0.0) -> list[Any]:
    """Return a disc's material on a ray from its middle: from and to which radius."""
    return pieces(rotate(flat(part), -longitude, origin=(0, 0)), (0.0, 0.0), (1000.0, 0.0))


def across(part: Any, radius: float, longitude: float = 0.0, reach: float = 8.0) -> list[Any]:
    """Return a disc's material square to a ray, at a radius on it, `reach` mm to either side."""
    turned = rotate(flat(part), -longitude, origin=(0, 0))
    return [(a - reach, b - reach) for a, b in pieces(turned, (radius, -reach), (radius, reach))]


def assert_lies(found: list[Any], *wanted: tuple[float, float]) -> None:
    assert len(found) == len(wanted), found
    for piece, ends in zip(found, wanted, strict=True):
        assert piece == pytest.approx(ends, abs=NEAR)


DISCS = [{"at": {"height": 0}}, {"at": {"height": 60, "both": True}}]
JOINT_60 = (80.0 + round_at(80, 60)) / 2
"""mm: half-way between the spheres of 80 and 100 mm, 60 mm from the equator."""


def test_a_notch_runs_past_the_joint_and_is_as_wide_as_its_sheet_and_the_clearance():
    rib = made(SPHERE, discs=DISCS).part("rib-1")
    assert_lies(level(rib, 0), (90 + 0.1, 100))
    for z in (60, -60):
        assert_lies(level(rib, z), (JOINT_60 + 0.1, 80))
        inside = upright(rib, JOINT_60 - 1, z - 5, z + 5)
        assert_lies(inside, (z - 5, z - 1.55), (z + 1.55, z + 5))
        # Behind the floor it is whole.
        assert len(upright(rib, JOINT_60 + 0.11, z - 5, z + 5)) == 1


def test_the_floor_follows_engagement_and_end_clearance():
    rib = made(SPHERE, joint={"engagement": 0.3, "end_clearance": 0.4}).part("rib-1")
    assert_lies(level(rib, 0), (80 + 0.3 * 20 + 0.4, 100))
    disc = made(SPHERE, joint={"engagement": 0.3, "end_clearance": 0.4}).part("disc-1")
    assert_lies(outward(disc), (0, 86 - 0.4))


def test_a_router_s_slots_run_past_their_seat_by_the_tool_too():
    frame = made(SPHERE, cutter={"kerf": None, "process": "router", "tool_diameter": "3 ± 0.02"})
    assert_lies(level(frame.part("rib-1"), 0), (90 + 1.5 + 0.1, 100))
    assert_lies(outward(frame.part("disc-1")), (0, 90 - 1.5 - 0.1))


def test_slots_end_short_of_the_joint_and_are_as_wide_as_ribs_and_the_clearance():
    frame = made(SPHERE, discs=DISCS)
    for name, joint, rim in (
        ("disc-1", 90.0, round_at(100, 1.5)),
        ("disc-2", JOINT_60, round_at(100, 61.5)),
        ("disc-3", JOINT_60, round_at(100, 61.5)),
    ):
        disc = frame.part(name)
        for longitude in range(0, 360, 60):
            assert_lies(outward(disc, longitude), (0, joint - 0.1))
            assert_lies(across(disc, joint + 2, longitude), (-8, -1.55), (1.55, 8))
        assert_lies(outward(disc, 30), (0, rim))


def test_the_web_between_slots_is_the_distance_of_their_corners():
    disc = made(SPHERE).part("disc-1")
    floor = math.hypot(90 - 0.1, 1.55)
    corners = [
        (v.x, v.y)
        for v in disc.outline.outer.vertices
        if math.hypot(v.x, v.y) == pytest.approx(floor, abs=1e-9)  # a root of doubles
    ]
    assert len(corners) == 12
    apart = [math.dist(a, b) for n, a in enumerate(corners) for b in corners[:n]]
    webs = sorted(d for d in apart if d > 3.2)[:6]
    wanted = 2 * ((90 - 0.1) * sine(30) - 1.55 * cosine(30))
    assert webs == [pytest.approx(wanted, abs=1e-9)] * 6


def test_the_ligament_is_least_at_the_face_farther_from_the_equator():
    frame = made(SPHERE, discs=DISCS)
    for z, disc in ((61.5, "disc-2"), (-61.5, "disc-3")):
        ((start, stop),) = level(frame.part("rib-1"), z)
        wanted = round_at(100, 61.5) - JOINT_60 - 0.1
        assert stop - start == pytest.approx(wanted, abs=NEAR)
        assert frame.solution.value(f"{disc}.ligament") == pytest.approx(wanted, abs=1e-9)


def test_both_kinds_of_ribs_end_inside_on_ellipses_of_their_own():
    """a − w_e at the equator, c − w_p at the poles: 80 and 88 mm; every other rib 86 and 84 mm."""
    widths = {"equator": 20, "pole": 12}
    frame = made(
        SPHERE,
        ribs={"width": widths, "alternate": {"width": {"equator": 14, "pole": 16}}},
    )
    for z in (-70, -30, 20, 55, 80):
        for name, equator, pole in (("rib-1", 80, 88), ("rib-2", 86, 84), ("rib-3", 80, 88)):
            inner = equator * math.sqrt(1 - (z / pole) ** 2)
            ((start, stop),) = level(frame.part(name), z)
            # 0.03 mm: an ellipse is fitted by arcs within a hundredth square to it, and leans
            assert start == pytest.approx(inner, abs=0.03)
            assert stop == pytest.approx(round_at(100, z), abs=NEAR)
    # Both have the notch at the same radius, as far as the outline knows.
    for name in ("rib-1", "rib-2"):
        assert_lies(level(frame.part(name), 0), (90.1, 100))
    for name, pole in (("rib-1", 88), ("rib-2", 84)):
        rib = flat(frame.part(name))
        left, low, _, high = rib.bounds
        end = round_at(100, GAP_OF_SIX)
        assert (left, low, high) == pytest.approx((GAP_OF_SIX, -end, end), abs=NEAR)
        inner = (80 if name == "rib-1" else 86, pole)
        bend = inner[1] * math.sqrt(1 - (GAP_OF_SIX / inner[0]) ** 2)
        assert_lies(upright(frame.part(name), GAP_OF_SIX + 1e-6, 0, 120), (bend, end))


def test_every_other_rib_of_an_upright_body_has_widths_of_its_own_at_both_ends():
    """At a share u of the way to an end the width is that of the middle and 3u² − 2u³ of what the
    end's is more."""
    frame = made(
        CYLINDER,
        ribs={
            "width": {"equator": 20, "bottom": 30, "top": 10},
            "alternate": {"width": {"equator": 16, "bottom": 12, "top": 24}},
        },
    )
    for z in (0.001, 10, 25, 70, 90, 99.999):
        u = abs(z - 50) / 50
        share = 3 * u**2 - 2 * u**3
        for name, middle, bottom, top in (("rib-1", 20, 30, 10), ("rib-2", 16, 12, 24)):
            end = bottom if z < 50 else top
            inner = 80 - middle - (end - middle) * share
            ((start, stop),) = level(frame.part(name), z)
            # 0.01 mm: such an edge is fitted by arcs
            assert (start, stop) == pytest.approx((inner, 80), abs=0.011)


@pytest.mark.parametrize(("base", "foot", "rise"), [(CONE, 100, -0.75), (FUNNEL, 25, 0.75)])
def test_a_cone_s_ribs_are_as_wide_square_to_the_skin_as_the_spec_says(base, foot, rise):
    frame = made(base, ribs={"width": 12, "alternate": {"width": 8}})
    for name, width in (("rib-1", 12), ("rib-2", 8)):
        for z in (20, 40, 60, 80):
            skin = foot + rise * z
            assert_lies(level(frame.part(name), z), (skin - 1.25 * width, skin))
    # The joint is half-way; the notch runs on and meets the slot's floor.
    joint = 62.5 - 1.25 * 6
    assert_lies(level(frame.part("rib-1"), 50), (joint + 0.1, 62.5))
    assert_lies(level(frame.part("rib-2"), 50), (joint + 0.1, 62.5))
    assert_lies(outward(frame.part("disc-1")), (0, joint - 0.1))
    # The disc ends at the skin where that is narrowest over its 3 mm.
    assert_lies(outward(frame.part("disc-1"), 30), (0, 62.5 - 0.75 * 1.5))


POINTS = [[240, 0], [320, 120], [320, 240], [200, 400]]
"""Twice [radius, height] of straight walls and a level one, at 1:4: 60, 80, 80 and 50 mm."""


def test_a_profile_by_points_runs_straight_between_them_at_its_scale():
    body = {"shape": "profile", "points": POINTS, "smooth": False}
    frame = made(CYLINDER, body=body, discs=[{"at": {"height": 45}}], ribs={"width": 12})
    rib = frame.part("rib-1")
    # The lower wall leans by 2 in 3, the upper by 3 in 4: 1 mm square to it is 1.20 or 1.25 level.
    lower, upper = math.hypot(1, 2 / 3), 1.25
    for z, skin, lean in (
        (15, 60 + 10, lower),
        (22, 60 + 44 / 3, lower),
        (35, 80, 1.0),
        (75, 80 - 0.75 * 15, upper),
        (92, 80 - 0.75 * 32, upper),
    ):
        ((start, stop),) = level(rib, z)
        # 0.03 mm: the arcs' 0.01 mm, and 0.02 mm that the inner edge may miss its width
        assert (start, stop) == pytest.approx((skin - 12 * lean, skin), abs=0.03)
    assert_lies(level(rib, 45), (74.1, 80))
    assert_lies(outward(frame.part("disc-1"), 30), (0, 80))


def test_a_smooth_profile_passes_through_its_points_and_never_beyond_them():
    points = [[200, 0], [300, 160], [260, 300], [320, 400]]
    body = {"shape": "profile", "points": points}
    rib = made(CYLINDER, body=body, discs=[{"at": {"height": 20}}], ribs={"width": 10}).part(
        "rib-1"
    )
    shape = flat(rib)
    skin = shape.exterior
    for radius, height in points:
        # 0.011 mm: the skin is fitted by arcs within a hundredth
        assert skin.distance(Point(radius / 4, height / 4)) < 0.011
    for (r0, z0), (r1, z1) in pairwise(points):
        for share in (0.2, 0.5, 0.8):
            ((_, stop),) = level(rib, (z0 + share * (z1 - z0)) / 4)
            assert min(r0, r1) / 4 - 0.011 <= stop <= max(r0, r1) / 4 + 0.011
    # The inner edge is 10 mm inside the skin, measured as the shortest way.
    edge = [(stop, z) for z in range(25, 100) for _, stop in pieces(shape, (0.0, z), (200.0, z))]
    for z in (35, 50, 65, 85):
        ((start, _),) = level(rib, z)
        # 0.03 mm as above
        assert LineString(edge).distance(Point(start, z)) == pytest.approx(10, abs=0.03)


def test_a_bore_and_a_setback_are_as_the_spec_says():
    disc = made(SPHERE, discs=[{"at": {"height": 0}, "bore": 31, "setback": 2}]).part("disc-1")
    assert_lies(outward(disc, 30), (31, round_at(100, 1.5) - 2))
    assert_lies(outward(disc), (31, 89.9))
    assert_lies(outward(made(SPHERE, joint={"style": "housed"}).part("disc-1")), (0, 90))


def test_an_automatic_bore_leaves_the_wall():
    """Three thicknesses, 9 mm, or the notch's depth and one and a half of them, 10 + 4.5 mm."""
    disc = made(SPHERE, discs=[{"at": {"height": 0}, "bore": "auto"}]).part("disc-1")
    assert_lies(outward(disc), (90 - 0.1 - 14.5, 89.9))
    shallow = {"engagement": 0.2}
    disc = made(SPHERE, discs=[{"at": {"height": 0}, "bore": "auto"}], joint=shallow).part("disc-1")
    assert_lies(outward(disc), (84 - 0.1 - 9, 83.9))


ROUTER = {"kerf": None, "process": "router", "tool_diameter": "3 ± 0.04"}
OPEN = {"ribs": {"cut_away": [0, 120]}}


@pytest.mark.parametrize(
    ("changes", "tooth"),
    [
        # A web is one thickness. The cut on either side may be 0.02 mm deeper, and the slot
        # 0.01 mm wider, half of it to this side.
        ({}, 3 + 0.02 + 0.02 + 0.005),
        ({"disc_sheet": DISC_SHEET}, 4 + 0.025 + 0.025 + 0.005),
        ({"joint": {"lead_in": 0.5}}, 3 + 0.5 + 0.045),
        ({"joint": {"style": "tenon"}, "discs": [{"at": {"end": "bottom"}}]}, 3 + 0.045),
        # A relief, a circle of 1.52 mm through the corner, eats 0.29 of that into either side.
        (
            {"joint": {"relief": "all", "end_clearance": 0.1}, "cutter": ROUTER},
            3 + 2 * (1 - math.sqrt(0.5)) * 1.52 + 0.045,
        ),
    ],
)
def test_beside_a_sector_cut_away_a_disc_keeps_a_web_as_cut(changes, tooth):
    joint = {"clearance": "0.1 ± 0.01", **changes.get("joint", {})}
    disc = made(CYLINDER, **{**OPEN, **changes, "joint": joint}).part("disc-1")
    # The ribs at 0° and 120° stand beside the sector; at 73 mm no relief or chamfer reaches.
    for longitude, side in ((0, 1), (120, -1)):
        turned = rotate(flat(disc), -longitude, origin=(0, 0))
        first, *_ = pieces(turned, (73.0, 0.0), (73.0, side * 100.0))
        assert first == pytest.approx((1.55, 1.55 + tooth), abs=NEAR)


def test_a_soft_disc_flush_with_an_end_is_no_deeper_than_it_is_thick():
    """Card of 3 mm with slots 0.05 mm narrower: the step at the end is 3 mm, not 2.975."""
    rib = made(
        CYLINDER,
        sheet={"material": "card"},
        joint={"clearance": -0.05},
        discs=[{"at": {"end": "bottom"}}],
    ).part("rib-1")
    # The step is cut to the joint at 70 mm and 0.1 mm past it, so 65 mm is free below its floor.
    assert upright(rib, 65.0, -1, 101)[0][0] == pytest.approx(3.0, abs=NEAR)


TENON = {"style": "tenon"}
BOTH_ENDS = [{"at": {"end": "bottom", "both": True}}]


def test_tongue_shoulders_and_mortise_at_both_ends():
    """The joint of a 21 mm rib is at 69.5 mm; the tongue is a third of it, 7 mm wide."""
    frame = made(CYLINDER, ribs={"width": 21}, discs=BOTH_ENDS, joint=TENON)
    rib = frame.part("rib-1")
    for z in (0.5, 2.9, 97.1, 99.5):
        assert_lies(level(rib, z), (66, 73))
    for z in (3.2, 96.8):
        assert_lies(level(rib, z), (59, 80))
    # The shoulders are a disc's thickness and half the play from the ends.
    for radius in (60, 65.9, 73.1, 79):
        assert_lies(upright(rib, radius, -1, 101), (3.05, 96.95))
    assert_lies(upright(rib, 69.5, -1, 101), (0, 100))
    for name in ("disc-1", "disc-2"):
        disc = frame.part(name)
        for longitude in range(0, 360, 60):
            assert_lies(outward(disc, longitude), (0, 66 - 0.05), (73 + 0.05, 80))
            assert_lies(across(disc, 69.5, longitude), (-8, -1.55), (1.55, 8))


def test_every_other_rib_has_the_same_tongue_and_a_shoulder_of_its_own():
    ribs = {"width": 24, "alternate": {"width": 19}}
    frame = made(CYLINDER, ribs=ribs, discs=BOTH_ENDS, joint=TENON)
    for name, inner in (("rib-1", 56), ("rib-2", 61)):
        assert_lies(level(frame.part(name), 1), (64, 72))
        assert_lies(level(frame.part(name), 99), (64, 72))
        assert_lies(level(frame.part(name), 4), (inner, 80))


@pytest.mark.parametrize("style", ["cross-lap", "housed"])
def test_a_step_at_an_open_end(style):
    frame = made(CYLINDER, discs=BOTH_ENDS, joint={"style": style})
    rib = frame.part("rib-1")
    for z in (0.5, 99.5):
        assert_lies(level(rib, z), (70 + 0.1, 80))
    assert_lies(upright(rib, 65, -1, 101), (3.05, 96.95))


def test_two_sheets_have_two_widths():
    discs = [{"at": {"end": "bottom"}}, {"at": {"height": 50}}]
    frame = made(CYLINDER, discs=discs, disc_sheet=DISC_SHEET, joint=TENON)
    rib = frame.part("rib-1")
    assert_lies(upright(rib, 65, 40, 60), (40, 50 - 2.05), (50 + 2.05, 60))
    assert_lies(upright(rib, 62, -1, 10), (4.05, 10))
    assert_lies(across(frame.part("disc-2"), 75), (-8, -1.55), (1.55, 8))
    assert_lies(across(frame.part("disc-1"), 70), (-8, -1.55), (1.55, 8))
    assert (frame.part("disc-1").thickness, rib.thickness) == (4, 3)
    # A face of the lower disc is level with the body's end.
    assert frame.part("disc-1").pose[2][3] == pytest.approx(2, abs=1e-9)


@pytest.mark.parametrize("style", ["cross-lap", "housed"])
def test_a_joint_draws_its_notch_as_wide_as_the_discs_sheet_asks(style):
    sizes = {
        "disc.joint_radius": 70.0,
        "joint.end_clearance": 0.1,
        "joint.notch_width": 4.1,
        "joint.slot_width": 3.1,
    }
    floor = joint_named(style).notch(sizes.__getitem__)
    assert [(v.x, v.y) for v in floor] == [(70.1, 2.05), (70.1, -2.05)]


def test_a_flange_s_seat_slots_and_ring():
    """The seat is two thicknesses inside the skin at the flange's face farther from the equator."""
    frame = made(PLANET)
    seat = round_at(120, 36.5) - 6
    ring = frame.part("flange-1")
    turned = math.degrees(math.atan2(ring.pose[1][0], ring.pose[0][0]))
    for longitude in range(0, 360, 60):
        # Turned in place, its teeth lie over the ribs, its slots half-way between them.
        assert_lies(outward(ring, longitude - turned), (seat, 140))
        assert_lies(outward(ring, longitude + 30 - turned), (120 + 0.1, 140))
        assert_lies(across(ring, 116, longitude + 30 - turned), (-8, -1.55), (1.55, 8))
    for n in range(1, 7):
        rib = frame.part(f"rib-{n}")
        assert_lies(level(rib, 35), (round_at(80, 35), seat - 0.1))
        inside = upright(rib, seat + 2, 30, 40)
        assert_lies(inside, (30, 35 - 1.55), (35 + 1.55, 40))


def test_a_second_flange_has_a_seat_of_its_own():
    second = {"at": -40, "inner_radius": 440, "outer_radius": 520, "seat_depth": 9}
    first = {**PLANET["flanges"][0], "seat_depth": 8}
    frame = made(PLANET, flanges=[first, second], disc_sheet=DISC_SHEET)
    seat = round_at(120, 42) - 9
    assert_lies(outward(frame.part("flange-2"), 30), (seat, 130))
    assert_lies(outward(frame.part("flange-1"), 30), (round_at(120, 37) - 8, 140))
    rib = frame.part("rib-2")
    assert_lies(level(rib, -40), (round_at(80, 40), seat - 0.1))
    assert_lies(upright(rib, seat + 2, -46, -34), (-46, -42.05), (-37.95, -34))


@pytest.mark.parametrize(
    ("alternate", "inner"), [(None, 80), (26, 80), (14, 86)], ids=["like", "wider", "narrower"]
)
def test_a_hub_is_one_and_a_half_thicknesses_beyond_the_bend_of_every_rib(alternate, inner):
    ribs = {} if alternate is None else {"alternate": {"width": alternate}}
    frame = made(SPHERE, discs=[{"hub": True, "side": "both"}], ribs=ribs)
    z = round_at(inner, GAP_OF_SIX) + 1.55 + 4.5
    assert frame.part("disc-1").pose[2][3] == pytest.approx(z, abs=1e-9)
    assert frame.part("disc-2").pose[2][3] == pytest.approx(-z, abs=1e-9)
    joint = (GAP_OF_SIX + round_at(100, z)) / 2
    for height in (z, -z):
        for name in ("rib-1", "rib-2"):
            assert_lies(level(frame.part(name), height), (joint + 0.1, round_at(100, height)))


def test_a_superellipsoid_s_rib_lies_between_two_of_them():
    """r = a (1 − (z/c)⁴)^¼, the inner edge with semi-axes 20 and 12 mm less; fitted by arcs."""
    body = {
        "shape": "superellipsoid",
        "equatorial_diameter": "0.8 m",
        "polar_diameter": "0.64 m",
        "exponent": 4,
    }
    widths = {"equator": 20, "pole": 12}
    rib = made(SPHERE, body=body, ribs={"width": widths}).part("rib-1")
    for z in (-60, -20, 35, 50):
        outer = 100 * (1 - (z / 80) ** 4) ** 0.25
        inner = 80 * (1 - (z / 68) ** 4) ** 0.25
        ((start, stop),) = level(rib, z)
        # 0.02 mm: a hundredth square to the edge, which here leans by up to 60°
        assert (start, stop) == pytest.approx((inner, outer), abs=0.02)


def test_a_spheroid_s_rib_lies_between_two_ellipses():
    body = {"shape": "spheroid", "equatorial_diameter": "0.8 m", "polar_diameter": "0.6 m"}
    widths = {"equator": 20, "pole": 12}
    frame = made(SPHERE, body=body, ribs={"width": widths})
    for z in (-60, -20, 35, 50):
        outer = 100 * math.sqrt(1 - (z / 75) ** 2)
        inner = 80 * math.sqrt(1 - (z / 63) ** 2)
        ((start, stop),) = level(frame.part("rib-1"), z)
        # 0.03 mm: a hundredth square to the edge, which here leans by up to 70°
        assert (start, stop) == pytest.approx((inner, outer), abs=0.03)
