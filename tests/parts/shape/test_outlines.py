"""Outlines against closed forms, which are written out here."""

from __future__ import annotations

import math

import pytest
from parts.solved_frames import frame
from shapely import Polygon

from framekit.bodies.spheroid import spheroid
from framekit.errors import GeometryError
from framekit.parts.shape.disc import slotted_disc
from framekit.parts.shape.rib import Notch, rib_outline
from framekit.solution.model import Meridian


def arcs(path):
    return [s for s in path.segments if s.bulge]


def test_a_sphere_keeps_true_circles():
    rib = frame().part("rib-1").outline.outer
    radii = {round(s.radius, 6) for s in arcs(rib)}
    assert radii == {100.0, 80.0}
    disc = frame().part("disc-1")
    # 1e-9 mm: a chord and its bulge give the radius back
    assert all(s.radius == pytest.approx(disc_radius(), abs=1e-9) for s in arcs(disc.outline.outer))


def disc_radius():
    return math.sqrt(100**2 - 1.5**2)


def ball(gap):
    """What a rib between spheres of radius 100 and 80 mm lies between, by their true arcs."""
    arcs = spheroid().arcs
    bend, end = math.sqrt(80**2 - gap**2), math.sqrt(100**2 - gap**2)
    return Meridian(
        outer=lambda z: math.sqrt(max(0.0, 100**2 - z * z)),
        outer_slope=lambda z: -z / math.sqrt(max(1e-12, 100**2 - z * z)),
        inner=lambda z: max(gap, math.sqrt(max(0.0, 80**2 - z * z))),
        inner_slope=lambda z: -z / math.sqrt(80**2 - z * z) if abs(z) < bend else 0.0,
        low=-100.0,
        high=100.0,
        rib_low=-end,
        rib_high=end,
        closed=(True, True),
        pole_gap=gap,
        breaks=(-bend, bend),
        outer_arcs=lambda start, stop: arcs.outer(start, stop, 100.0, 100.0),
        inner_arcs=lambda start, stop: arcs.inner(start, stop, 80.0, 80.0),
    )


def test_rib_area_against_the_closed_form():
    """A half ring between circles of 100 and 80 mm, cut off at the pole gap e, without notches:
    ∫ over x from e: 2√(R²−x²), outer less inner."""
    e = 4.0
    outline = rib_outline(ball(e))

    def beyond(radius):
        return radius**2 * math.acos(e / radius) - e * math.sqrt(radius**2 - e**2)

    # 1e-9 relative: true arcs, so only rounding
    assert outline.area == pytest.approx(beyond(100) - beyond(80), rel=1e-9)


def test_slotted_disc_area_against_the_closed_form():
    """π R² less n slots, each a strip from the floor to the chord and the cap beyond it."""
    radius, floor, w, n = 60.0, 50.0, 3.0, 7
    outline = slotted_disc(radius, 0.0, w, floor, [360 * i / n for i in range(n)])
    half = math.asin(w / 2 / radius)
    cap = radius**2 * (half - math.sin(half) * math.cos(half))
    slot = w * (radius * math.cos(half) - floor) + cap
    # 1e-12 relative: true arcs
    assert outline.area == pytest.approx(math.pi * radius**2 - n * slot, rel=1e-12)


def test_a_disc_whose_ribs_stand_on_one_side_keeps_its_long_rim():
    outline = slotted_disc(60.0, 10.0, 3.0, 50.0, [0, 40])
    plain = math.pi * (60**2 - 10**2)
    # 3 mm × 10 mm slots and slivers of the rim
    assert plain - outline.area == pytest.approx(2 * 30, abs=0.2)


def test_outlines_are_valid_and_run_the_right_way():
    for style in ("cross-lap", "housed"):
        for part in frame(joint={"style": style}).parts:
            outline = part.outline
            polygon = Polygon(outline.outer.polyline, [h.polyline for h in outline.holes])
            assert polygon.is_valid
            assert outline.outer.area > 0 and all(h.area < 0 for h in outline.holes)


def test_chord_error_is_below_a_hundredth():
    for part in frame().parts:
        exact, chords = part.outline.outer.area, Polygon(part.outline.outer.polyline).area
        assert abs(exact - chords) < 0.01 * part.outline.outer.length


def test_housed_discs_carry_a_mark_for_every_rib():
    disc = frame(joint={"style": "housed"}).part("disc-2")
    assert len(disc.marks) == 6
    rim = math.hypot(*disc.outline.outer.vertices[0][:2])
    for mark, longitude in zip(disc.marks, range(0, 360, 60), strict=True):
        x, y = mark.vertices[0].x, mark.vertices[0].y
        assert math.hypot(x, y) < rim
        # 1e-9 degrees: an arctangent
        assert math.degrees(math.atan2(y, x)) % 360 == pytest.approx(longitude, abs=1e-9)


def test_poses_stand_ribs_up_and_lay_discs_flat():
    made = frame()
    third = made.part("rib-3").pose
    # 1e-12: a cosine of 120 degrees
    assert third[0][0] == pytest.approx(-0.5, abs=1e-12)
    assert third[2] == (0.0, 1.0, 0.0, 0.0)
    assert made.part("disc-3").pose[2] == (0.0, 0.0, 1.0, -50.0)


def test_mass_by_hand():
    """π (R² − r²) · 3 mm · 680 kg/m³: the density of 3 mm birch plywood in the catalogue."""
    made = frame(joint={"style": "housed"})
    disc = made.part("disc-1")
    bore = made.solution.value("disc-1.bore_radius")
    grams = math.pi * (90**2 - bore**2) * 3 * 680e-6
    # 1e-9 relative: a product
    assert disc.mass == pytest.approx(grams, rel=1e-9)


def test_parts_that_cannot_be_drawn_say_why():
    with pytest.raises(GeometryError, match="meets another"):
        rib_outline(ball(4), (Notch(0, 3, 90), Notch(2, 3, 90)))
    with pytest.raises(GeometryError, match="in two"):
        rib_outline(ball(4), (Notch(50, 3, 99),))
    with pytest.raises(GeometryError, match="no rim"):
        slotted_disc(5.0, 0.0, 3.0, 3.0, range(0, 360, 20))
    with pytest.raises(GeometryError, match="bore"):
        slotted_disc(60.0, 55.0, 3.0, 50.0, [0, 90])
    with pytest.raises(GeometryError, match="does not lie"):
        slotted_disc(40.0, 0.0, 3.0, 50.0, [0, 90])
