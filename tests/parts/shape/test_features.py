"""Outlines' features against closed forms and against the tool that cuts them."""

from __future__ import annotations

import math

import pytest
from parts.hand_made import ALL, W, body, dome, planet, six, sphere
from parts.plain_solids import polygon
from shapely import Point, Polygon, box
from shapely.affinity import rotate

from framekit.bodies.spheroid import spheroid
from framekit.errors import GeometryError
from framekit.geometry.offset import offset_outline
from framekit.joints.protocol import RibEnd
from framekit.parts.shape.corners import RELIEF_ROOM, Corner, worked_path
from framekit.parts.shape.disc import (
    Mortise,
    longitude_marks,
    mortised_disc,
    plain_disc,
    slotted_disc,
)
from framekit.parts.shape.flange import FlangeShape, flange_marks, flange_outline
from framekit.parts.shape.rib import Notch, OuterNotch, RoundHole, rib_outline
from framekit.parts.shape.sector import Sector

TOOL = 1.5
RHO = TOOL + RELIEF_ROOM
CORNER = RHO**2 * (math.pi / 2 - 1)
"""What a relief takes from a square corner: a circle less half of it and the triangle in it."""


def straight(width=14.0, height=100.0):
    return body(lambda z: 40.0, lambda z: 0.0, 0.0, height, width)


def test_a_plain_rib_of_a_cylinder_is_four_lines():
    outline = rib_outline(straight())
    assert [v[:2] for v in outline.outer.vertices] == [(40, 0), (40, 100), (26, 100), (26, 0)]
    assert all(v.bulge == 0 for v in outline.outer.vertices)


def test_rib_area_with_everything():
    """A 14 × 100 mm strip less rectangles, chamfers (half squares), reliefs and a circle."""
    lead = 0.8
    outline = rib_outline(
        straight(),
        (Notch(50.0, W, 33.0),),
        (RibEnd(3.05, 30.0, 36.0), RibEnd(3.05, 34.0)),
        (OuterNotch(20.0, W, 37.0),),
        RoundHole(33.0, 75.0, 2.0, 1.5),
        lead_in=lead,
        relief=TOOL,
    )
    area = 14 * 100.0
    area -= 3.05 * (14 - 6) + 3.05 * 8 + W * 7 + W * 3 + math.pi * 4
    corners = 2 + 1 + 2 + 2  # shoulders, rabbet, notch, outer notch
    mouths = 2 + 2 + 2
    # The reliefs of a 3.1 mm wide floor overlap: the lens they share beyond the floor, by strips.
    shift = W - math.sqrt(2) * RHO
    steps, lens = 20000, 0.0
    for k in range(steps):
        x = shift / 2 + (RHO - shift / 2) * (k + 0.5) / steps
        y = math.sqrt(RHO**2 - x**2) - RHO / math.sqrt(2)
        lens += max(0.0, y) * 2 * (RHO - shift / 2) / steps
    area -= corners * CORNER - 2 * lens + mouths * lead**2 / 2
    # 1e-6 mm²: the strips of the lens; all else is exact
    assert outline.area == pytest.approx(area, abs=1e-6)


def test_fitted_arcs_of_a_sphere_follow_its_true_ones():
    gap, inner = 6.0, 60.0
    m = sphere(80.0, -80.0, 20.0)
    bend = math.sqrt(inner**2 - gap**2)
    round_inner = m._replace(
        inner=lambda z: max(gap, math.sqrt(max(0.0, inner**2 - z * z))),
        inner_slope=lambda z: -z / math.sqrt(inner**2 - z * z) if abs(z) < bend else 0.0,
        breaks=(-bend, bend),
    )
    notches = tuple(Notch(z, W, math.sqrt(70**2 - z * z)) for z in (-30.0, 0.0, 30.0))
    made = rib_outline(round_inner, notches)
    arcs = spheroid().arcs
    exact = round_inner._replace(
        outer_arcs=lambda start, stop: arcs.outer(start, stop, 80.0, 80.0),
        inner_arcs=lambda start, stop: arcs.inner(start, stop, inner, inner),
    )
    known = rib_outline(exact, notches)
    assert polygon(made, 0.003).symmetric_difference(polygon(known, 0.003)).area < 0.05
    # 1e-6 relative: fitted arcs against true circles
    assert made.area == pytest.approx(known.area, rel=1e-6)
    assert len(made.outer.vertices) <= len(known.outer.vertices) + 4


def square_mate(outline, mate, reach=12.0):
    """How much of a sharp mate, mm², the tool's free space about it leaves uncovered."""
    near = mate.buffer(reach)
    free = near.difference(polygon(outline, 0.01))
    opened = free.buffer(-TOOL, quad_segs=64).buffer(TOOL, quad_segs=64)
    return mate.difference(opened).area


ROOM = 0.005
"""A mate's sides stay this far in mm inside its slot's."""


@pytest.mark.parametrize("relief", [0.0, TOOL])
def test_relieved_corners_take_sharp_mates(relief):
    rib = rib_outline(
        straight(),
        (Notch(50.0, W, 33.0),),
        (RibEnd(3.05, 30.0, 36.0), RibEnd(3.05, 34.0)),
        (OuterNotch(20.0, W, 37.0),),
        relief=relief,
    )
    w = W / 2 - ROOM
    mates = [
        (rib, box(20, 50 - w, 33 - ROOM, 50 + w)),
        (rib, box(37 + ROOM, 20 - w, 48, 20 + w)),
        (rib, box(20, 96.95 + ROOM, 34 - ROOM, 104)),
        (rib, box(36 + ROOM, -4, 46, 3.05 - ROOM)),
        (rib, box(20, -4, 30 - ROOM, 3.05 - ROOM)),
    ]
    slotted = slotted_disc(60.0, 10.0, W, 45.0, six(), relief=relief)
    mates.append((slotted, box(45 + ROOM, -w, 70, w)))
    mortised = mortised_disc(60.0, 10.0, Mortise(40, 50, W), six(), relief=relief)
    mates += [(mortised, rotate(box(40 + ROOM, -w, 50 - ROOM, w), 60, origin=(0, 0)))]
    flange = flange_outline(FlangeShape(120, 74, 81, W), six(), relief=relief)
    mates.append((flange, rotate(box(66, -w, 81 - ROOM, w), 120, origin=(0, 0))))
    for outline, mate in mates:
        # 1e-3 mm²: chords of the tool's circle; a fillet left standing takes (1 − π/4) r² = 0.48
        left = square_mate(outline, mate)
        assert left < 1e-3 if relief else left > 0.3


@pytest.mark.parametrize(
    "make", [lambda: dome(1.0, TOOL), lambda: planet(lead_in=1.0, relief=TOOL)]
)
def test_relieved_parts_can_be_followed_by_the_tool_s_middle(make):
    for part in make()[1].parts:
        assert polygon(part.outline).is_valid
        assert offset_outline(part.outline, TOOL).outer.area > 0


def test_a_relief_takes_its_closed_form():
    square = [
        Corner(0, 0),
        Corner(40, 0),
        Corner(40, 40),
        Corner(20, 40),
        Corner(20, 20, 0, "inside"),
    ]
    path = worked_path([*square, Corner(0, 20)], relief=TOOL)
    # 1e-9 relative: true arcs
    assert path.area == pytest.approx(1200 - CORNER, rel=1e-9)
    assert min(math.dist((20, 20), p) for p in path.polyline_within(1e-4)) < 0.02


def test_a_lead_in_takes_half_a_square_and_stops_short_of_other_features():
    plain = rib_outline(straight(), (Notch(50, W, 33),))
    led = rib_outline(straight(), (Notch(50, W, 33),), lead_in=1.2)
    # 1e-9 relative: straight lines
    assert plain.area - led.area == pytest.approx(2 * 1.2**2 / 2, rel=1e-9)
    close = (Notch(50, W, 33), Notch(54, W, 33))
    tight = rib_outline(straight(), close, lead_in=30.0)
    side = 0.45 * 0.9  # 0.9 mm are left between the notches
    outer = 0.45 * 7.0  # a notch's side
    removed = rib_outline(straight(), close).area - tight.area
    assert removed == pytest.approx(side**2 + outer**2, rel=1e-9)
    assert rib_outline(straight(), close, lead_in=0.0) == rib_outline(straight(), close)


def test_mortised_disc_area():
    outline = mortised_disc(60.0, 20.0, Mortise(40, 50, W), six(7))
    # 1e-12 relative: true arcs
    assert outline.area == pytest.approx(math.pi * (60**2 - 20**2) - 7 * 10 * W, rel=1e-12)
    relieved = mortised_disc(60.0, 20.0, Mortise(30, 40, 8.0), six(7), relief=TOOL)
    expected = math.pi * (60**2 - 20**2) - 7 * (80 + 4 * CORNER)
    assert relieved.area == pytest.approx(expected, rel=1e-12)


# Slots 29 mm wide in a seat of 74 mm leave teeth of 60 − 2·11.3 degrees; 73 mm wide, of 0.9.
@pytest.mark.parametrize("w", [W, 29.0, 73.0])
def test_flange_area(w):
    """A ring less slots: strips from the seat's circle out to a straight floor."""
    r, s, f, h, n = 120.0, 74.0, 81.0, w / 2, 6
    outline = flange_outline(FlangeShape(r, s, f, w), six(n))
    inside = h * math.sqrt(s * s - h * h) + s * s * math.asin(h / s)
    # 1e-12 relative: true arcs
    assert outline.area == pytest.approx(
        math.pi * (r * r - s * s) - n * (w * f - inside), rel=1e-12
    )


def test_flange_marks_keep_to_the_material():
    shape = FlangeShape(120, 74, 81, W)
    marks = flange_marks([70, 76, 81.2, 90, 119.8], shape, six(), relief=TOOL)
    flange = polygon(flange_outline(shape, six(), relief=TOOL)).buffer(-0.4)
    assert len(marks) == 6 + 6 + 1
    assert [m.closed for m in marks] == [False] * 12 + [True]
    for mark in marks:
        for p in mark.polyline_within(0.01):
            assert flange.covers(Point(p))


@pytest.mark.parametrize("sweep", [30.0, 90.0, 150.0, 180.0, 210.0, 240.0, 330.0])
@pytest.mark.parametrize("bore", [0.0, 1.0, 12.0])
def test_sector_cuts_against_half_planes(sweep, bore):
    """Material is where the disc is and where the removed wedge, moved inward by d, is not."""
    radius, d, wall, start = 60.0, 5.0, 4.0, 25.0
    outline = plain_disc(radius, bore, sector=Sector(start, start + sweep, d, wall))
    made = polygon(outline, 0.005)
    assert made.is_valid and made.geom_type == "Polygon"
    disc = Point(0, 0).buffer(radius, quad_segs=400)
    far = 500.0
    middle = math.radians(start + sweep / 2)
    tip = complex(math.cos(middle), math.sin(middle)) * d / math.sin(math.radians(sweep / 2))
    fan = [tip]
    for k in range(41):
        a = math.radians(start + sweep * k / 40)
        fan.append(tip + far * complex(math.cos(a), math.sin(a)))
    wedge = Polygon([(p.real, p.imag) for p in fan])
    expected = disc.difference(wedge)
    apex = d / math.sin(math.radians(sweep / 2))
    nearest = apex if sweep <= 180 else d
    if bore:
        expected = expected.difference(Point(0, 0).buffer(bore, quad_segs=400))
    if bore and nearest < bore + wall:
        # It opens into the bore: one ring, and nothing but what lies near the bore is missing.
        assert not made.interiors
        missing = expected.difference(made.buffer(1e-2))
        # As far as the apex, and the way to the bore.
        assert missing.is_empty or missing.within(Point(0, 0).buffer(max(apex, bore) + wall + d))
        assert made.difference(expected.buffer(2e-2)).is_empty
    else:
        assert len(made.interiors) == (1 if bore else 0)
        # mm²: chords of both polygons
        assert made.symmetric_difference(expected).area < 0.2
    assert outline.outer.area > 0


def test_half_a_disc_in_closed_form():
    d, r = 5.0, 60.0
    outline = plain_disc(r, 0.0, sector=Sector(0, 180, d, 4))
    segment = r * r * math.acos(d / r) - d * math.sqrt(r * r - d * d)
    # 1e-12 relative: true arcs
    assert outline.area == pytest.approx(math.pi * r * r - segment, rel=1e-12)


@pytest.mark.parametrize("sweep", [1.0, 5.0, 40.0, 90.0, 179.0, 200.0, 240.0, 320.0])
@pytest.mark.parametrize("bore", [0.0, 6.0, 20.0])
@pytest.mark.parametrize("distance", [2.5, 5.0, 9.0])
def test_boundary_ribs_keep_material_on_both_sides(sweep, bore, distance):
    sector = Sector(10.0, 10.0 + sweep, distance, 4.0)
    ribs = [10.0 + sweep + (360 - sweep) * k / 4 for k in range(5)]
    shapes = (
        [
            plain_disc(60, bore, sector=sector),
            slotted_disc(60, bore, W, 45, ribs, lead_in=0.5, relief=TOOL, sector=sector),
            mortised_disc(60, bore, Mortise(40, 50, W), ribs, relief=TOOL, sector=sector),
        ]
        if sweep >= 40
        else [plain_disc(60, bore, sector=sector)]
    )
    for outline in shapes:
        made = polygon(outline)
        assert made.is_valid
        for edge, side in ((10.0, 1), (10.0 + sweep, -1)):
            # A point past the rib, 0.2 mm before the cut, at radius 55.
            y = side * (distance - 0.2)
            if y * side < W / 2 + 0.6:
                continue
            a = math.radians(edge)
            p = complex(55, y) * complex(math.cos(a), math.sin(a))
            assert made.covers(Point(p.real, p.imag))


def test_small_discs_that_the_cut_misses_stay_whole():
    sector = Sector(0, 30, 6.0, 4.0)
    assert plain_disc(12, 3, sector=sector) == plain_disc(12, 3)


def test_marks_leave_the_sector_free():
    sector = Sector(0, 90, 5.0, 4.0)
    assert len(longitude_marks(50, 8, 10, [0, 45, 90, 180], sector=sector)) == 3


@pytest.mark.parametrize("name", ALL)
def test_outlines_are_valid_and_run_the_right_way(name):
    for part in ALL[name]()[1].parts:
        assert polygon(part.outline).is_valid
        assert part.outline.outer.area > 0 and all(h.area < 0 for h in part.outline.holes)


def test_a_steep_edge_that_a_notch_only_half_meets():
    """A disc at a flat cone: on the notch's lower side the inner edge lies beyond its reach."""
    m = body(lambda z: 60 - 2 * z, lambda z: -2.0, 0.0, 25.0, 14.0)
    outline = rib_outline(m, (Notch(12.0, 6.0, 24.0),))
    # The triangle between the notch's upper side, its floor and the edge: 8 mm by 4 mm.
    whole = rib_outline(m)
    legs = 24.0 - (46 - 2 * 15.0)
    assert whole.area - outline.area == pytest.approx(legs * legs / 2 / 2, rel=1e-6)
    assert polygon(outline).is_valid


REFUSED = {
    "meets another": lambda: rib_outline(straight(), (Notch(50, 3, 33), Notch(52, 3, 33))),
    "rib's end": lambda: rib_outline(straight(), (Notch(4, 3, 33),), (RibEnd(3.05, 30, 36), None)),
    "in two": lambda: rib_outline(straight(), (Notch(50, 3, 40),)),
    "51 mm cuts the rib in two": lambda: rib_outline(
        straight(), (Notch(51, 3, 36),), outer_notches=(OuterNotch(50, 3, 35),)
    ),
    "does not reach into": lambda: rib_outline(straight(), outer_notches=(OuterNotch(50, 3, 41),)),
    "a tongue from": lambda: rib_outline(straight(), (), (RibEnd(3, 20, 36), None)),
    "a rabbet to": lambda: rib_outline(straight(), (), (None, RibEnd(3, 20))),
    "meets the axis": lambda: rib_outline(
        sphere(80, 0, 20, (False, True)), (), (None, RibEnd(3, 20))
    ),
    "nothing between": lambda: rib_outline(
        straight(height=5), (), (RibEnd(3, 30, 36), RibEnd(3, 30, 36))
    ),
    "a hole of radius": lambda: rib_outline(straight(), hole=RoundHole(30, 50, 3, 2)),
    "tool of diameter 4 mm": lambda: slotted_disc(60, 0, W, 45, six(), relief=2.0),
    "does not fit near": lambda: rib_outline(straight(), (), (RibEnd(3.05, 34), None), relief=2.5),
    "a disc with mortises breaks": lambda: mortised_disc(
        60, 39.9, Mortise(40, 50, W), six(), relief=TOOL
    ),
    "a mortise is 2.9 mm wide": lambda: mortised_disc(
        60, 0, Mortise(40, 50, 2.9), six(), relief=TOOL
    ),
    "a mortise is 2.8 mm wide": lambda: mortised_disc(
        60, 0, Mortise(40, 42.8, W), six(), relief=TOOL
    ),
    "apart meet": lambda: mortised_disc(60, 0, Mortise(5, 50, W), six(24)),
    "does not lie in a disc": lambda: mortised_disc(49, 0, Mortise(40, 50, W), six()),
    "stands in the sector": lambda: slotted_disc(60, 0, W, 45, six(), sector=Sector(0, 90, 5, 4)),
    "at longitude 89.9": lambda: slotted_disc(
        60, 0, W, 45, [89.9, 180], sector=Sector(0, 90, 5, 4)
    ),
    "at longitude 0.1": lambda: slotted_disc(60, 0, W, 45, [0.1, 180], sector=Sector(0, 90, 5, 4)),
    "cannot be taken away": lambda: plain_disc(60, 0, sector=Sector(0, 350, 5, 4)),
    "through their joints": lambda: mortised_disc(
        60, 0, Mortise(40, 50, W), [90], sector=Sector(0, 90, 1.5, 4)
    ),
    "no rim": lambda: slotted_disc(60, 0, W, 45, [90, 180], sector=Sector(0, 90, 1.5, 4)),
    "do not lie in a flange": lambda: flange_outline(FlangeShape(80, 74, 81, W), six()),
    "leave no tooth": lambda: flange_outline(FlangeShape(20, 5, 8, W), six(12)),
    "a rib breaks through": lambda: rib_outline(straight(), (Notch(50, W, 39.8),), relief=TOOL),
}


@pytest.mark.parametrize("sentence", REFUSED)
def test_what_cannot_be_drawn_says_why(sentence):
    with pytest.raises(GeometryError, match=sentence) as caught:
        REFUSED[sentence]()
    assert all(fault.code and fault.hint for fault in caught.value.faults)
