"""Hand-made frames of every kind of body against an oracle of plain polygons and solids."""

from __future__ import annotations

import dataclasses
import math

import pytest
from parts import hand_made
from parts.hand_made import ALL, FLANGE, T, level, ribs_at, six
from parts.plain_solids import overlaps, points, polygon, shared, solid, stretches
from shapely import LineString, Point, box
from shapely.affinity import rotate

from framekit.errors import BuildError
from framekit.joints.protocol import RibEnd
from framekit.parts.model import FrameParts
from framekit.parts.shape.disc import Mortise, mortised_disc, plain_disc, slotted_disc
from framekit.parts.shape.rib import Notch, rib_outline
from framekit.parts.verify.check import check_assembly

every = pytest.mark.parametrize("name", ALL)


def longitude(rib):
    return math.degrees(math.atan2(rib.pose[1][0], rib.pose[0][0]))


@every
def test_no_two_solids_share_anything_and_the_assembly_test_agrees(name):
    meridian, frame = ALL[name]()
    assert overlaps(frame) == {}
    report = check_assembly(frame, meridian)
    assert all(len(by) >= 2 or part == "disc-1" for part, by in report.holders.items())


@every
def test_discs_lie_inside_and_ribs_follow_the_skin(name):
    meridian, frame = ALL[name]()
    rib = polygon(frame.parts[0].outline, 0.005)
    lo, hi = meridian.rib_low, meridian.rib_high
    heights = [lo + (hi - lo) * (1 - math.cos(math.pi * k / 500)) / 2 for k in range(501)]
    # 0.01 mm: what is promised between skin and arcs
    edge = rib.exterior
    tenon = 6.2 if name == "thick discs" else 3.2
    for z in heights:
        at_end = any(
            abs(z - end) < tenon and not shut
            for end, shut in zip((lo, hi), meridian.closed, strict=True)
        )
        at_flange = "planet" in name and abs(z) < 3.5
        if not (at_end or at_flange):
            assert edge.distance(Point(meridian.outer(z), z)) < 0.01
    skin = LineString([(meridian.outer(z), z) for z in heights])
    for x, y in points(frame.parts[0].outline.outer):
        if x > meridian.outer(min(max(y, meridian.low), meridian.high)):
            assert skin.distance(Point(x, y)) < 0.01
    for disc in (p for p in frame.parts if p.kind == "disc"):
        rim = max(math.hypot(*p) for p in points(disc.outline.outer))
        z, half = disc.pose[2][3], disc.thickness / 2
        faces = [z + half * (k / 50 - 1) for k in range(101)]
        # 1e-9 mm: a face at the body's end
        assert all(meridian.low - 1e-9 <= f <= meridian.high + 1e-9 for f in faces)
        assert rim <= min(meridian.outer(min(max(f, meridian.low), meridian.high)) for f in faces)


@every
def test_plane_sections_at_discs(name):
    """In every disc's middle plane the ribs' sections, as rectangles, lie in its slots."""
    _, frame = ALL[name]()
    ribs = [p for p in frame.parts if p.kind == "rib"]
    for plate in (p for p in frame.parts if p.kind != "rib"):
        turn = math.degrees(math.atan2(plate.pose[1][0], plate.pose[0][0]))
        area = rotate(polygon(plate.outline), turn, origin=(0, 0))
        crossed = 0
        for rib in ribs:
            for a, b in stretches(polygon(rib.outline), plate.pose[2][3]):
                strip = rotate(box(a, -1.5, b, 1.5), longitude(rib), origin=(0, 0))
                assert area.intersection(strip).area < 1e-6
                crossed += 1
        assert crossed >= len(ribs)


@every
def test_ribs_can_slide_in_and_the_rest_follows(name):
    """Stepping through the assembly with the oracle's solids."""
    _, frame = ALL[name]()
    solids = {p.id: solid(p) for p in frame.parts}
    ribs = [p for p in frame.parts if p.kind == "rib"]
    later = {p.id for p in frame.parts if "tenon" in str(kind_of_end(p))}
    discs = [p for p in frame.parts if p.kind == "disc"]
    for rib in ribs[:2]:
        a = math.radians(longitude(rib))
        for k in range(40):
            moved = solids[rib.id].translate((3 * k * math.cos(a), 3 * k * math.sin(a), 0))
            for disc in discs:
                if disc.id not in later:
                    assert shared(moved, solids[disc.id]) < 1e-3, (rib.id, disc.id, k)
    for disc in (d for d in discs if d.id in later):
        side = 1 if disc.pose[2][3] > middle(ribs[0]) else -1
        for k in range(1, 40):
            moved = solids[disc.id].translate((0, 0, side * 3 * k))
            assert all(shared(moved, solids[p.id]) < 1e-3 for p in frame.parts if p is not disc)
    for flange in (p for p in frame.parts if p.kind == "flange"):
        for k in range(0, 31, 3):
            turned = solids[flange.id].rotate((0, 0, -k))
            assert all(shared(turned, solids[p.id]) < 1e-3 for p in (*ribs, *discs))
        for k in range(40):
            lifted = turned.translate((0, 0, 3 * k))
            assert all(shared(lifted, solids[p.id]) < 1e-3 for p in (*ribs, *discs))


def kind_of_end(part):
    """Whether a disc has closed mortises: holes that do not hold the axis."""
    if part.kind != "disc":
        return "none"
    centre = Point(0, 0)
    holes = [
        polygon(dataclasses.replace(part.outline, outer=h, holes=())) for h in part.outline.holes
    ]
    return "tenon" if any(not h.contains(centre) for h in holes) else "none"


def middle(rib):
    heights = [v.y for v in rib.outline.outer.vertices]
    return (min(heights) + max(heights)) / 2


SHIFTED = ("dome", "cylinder", "hourglass", "egg", "cone", "planet", "vase", "thick_discs")


@pytest.mark.parametrize("name", SHIFTED)
def test_a_notch_shifted_by_a_millimetre_is_found(name):
    meridian, frame = getattr(hand_made, name)(shift=1.0)
    assert overlaps(frame)
    with pytest.raises(BuildError, match="would share"):
        check_assembly(frame, meridian)


def test_a_mortise_shifted_by_a_millimetre_is_found():
    meridian, frame = hand_made.dome(mortise_shift=1.0)
    assert overlaps(frame)
    with pytest.raises(BuildError, match="rib-1 and disc-1 would share"):
        check_assembly(frame, meridian)


def altered(frame, name, **changes):
    parts = [dataclasses.replace(p, **changes) if p.id == name else p for p in frame.parts]
    return FrameParts(frame.solution, tuple(parts))


@every
def test_a_thicker_sheet_is_found(name):
    """Ribs a quarter of a millimetre thicker than their slots, which are said to be as wide."""
    meridian, frame = ALL[name]()
    parts = tuple(
        dataclasses.replace(p, thickness=3.3) if p.kind == "rib" else p for p in frame.parts
    )
    numbers = {k: q.value for k, q in frame.solution.quantities.items()}
    wide = hand_made.frame(parts, **{**numbers, "joint.notch_width": 6.1, "joint.slot_width": 3.3})
    with pytest.raises(BuildError, match="would share"):
        check_assembly(wide, meridian)


@pytest.mark.parametrize("turn", [3.0, -4.0, 15.0, 30.0])
def test_a_flange_turned_out_of_place_is_found(turn):
    meridian, frame = hand_made.planet(turn=turn)
    with pytest.raises(BuildError, match="flange-1"):
        check_assembly(frame, meridian)


def test_a_flange_whose_slots_end_inside_the_skin_cannot_be_dropped():
    shape = FLANGE._replace(slot_radius=79.0)
    meridian, frame = hand_made.planet(shape=shape)
    assert overlaps(frame) == {}
    with pytest.raises(BuildError, match="flange-1 cannot be dropped over the ribs: rib-1"):
        check_assembly(frame, meridian)


def test_a_flange_whose_slots_are_too_narrow_cannot_be_dropped():
    shape = FLANGE._replace(slot_width=2.8)
    meridian, frame = hand_made.planet(shape=shape)
    with pytest.raises(BuildError, match="flange-1 cannot be dropped over the ribs"):
        check_assembly(frame, meridian)


def test_a_flange_on_a_shallow_seat_is_found():
    meridian, frame = hand_made.planet(seat=75.0)
    with pytest.raises(BuildError, match="rib-1 and flange-1 would share"):
        check_assembly(frame, meridian)


def test_a_flange_that_does_not_reach_the_ribs_is_loose():
    shape = FLANGE._replace(seat=80.5, slot_radius=82.0)
    meridian, frame = hand_made.planet(shape=shape)
    with pytest.raises(BuildError, match="flange-1 is not joined"):
        check_assembly(frame, meridian)


@pytest.mark.parametrize("side", [1, -1])
def test_discs_that_bar_the_flange_are_found(side):
    """Discs just above and below the flange that are wider than its seat: no way to drop it."""
    meridian, frame = hand_made.planet(heights=(20.0, -20.0))
    with pytest.raises(BuildError, match="flange-1 cannot be dropped over the ribs: disc-1"):
        check_assembly(frame, meridian)
    # With one of them nearer a pole the flange comes from that side.
    check_assembly(*hand_made.planet(heights=(side * 20.0, -side * 40.0))[::-1])


def test_a_base_disc_that_is_not_flush_bars_the_ribs():
    """Mortises in the middle of a rib are no way in: the disc could not be put on."""
    meridian, frame = hand_made.cylinder(middle=False)
    lid = dataclasses.replace(frame.part("disc-2"), id="disc-3", pose=level(98.5 - 0.4))
    with pytest.raises(BuildError):
        check_assembly(FrameParts(frame.solution, (*frame.parts, lid)), meridian)


def test_a_lid_under_a_lid_cannot_be_put_on():
    meridian, frame = hand_made.dome()
    upper = altered(frame, "disc-1", pose=level(4.6))
    with pytest.raises(BuildError, match="disc-1"):
        check_assembly(upper, meridian)


@pytest.mark.parametrize("name", ["dome", "hourglass", "egg", "cone", "vase"])
def test_a_disc_that_leaves_the_skin_is_found(name):
    meridian, frame = ALL[name]()
    disc = frame.part("disc-2")
    # Its rim half a millimetre farther out: 0.3 mm were left.
    grown = hand_made.crossed(
        meridian._replace(outer=lambda z: meridian.outer(z) + 0.6),
        disc.pose[2][3],
        "disc-2",
        hand_made.six(),
    )
    with pytest.raises(BuildError, match=r"disc-2 leaves the skin by 0\.[34]"):
        check_assembly(altered(frame, "disc-2", outline=grown.outline), meridian)


@pytest.mark.parametrize("name", ["dome", "hourglass", "egg", "cone", "vase"])
def test_a_rib_that_leaves_the_skin_is_found(name):
    meridian, frame = ALL[name]()

    def smaller(z):
        return meridian.outer(z) - 0.05

    with pytest.raises(BuildError, match=r"rib-1 leaves the skin by 0\.0"):
        check_assembly(frame, meridian._replace(outer=smaller))


def test_the_least_skin_over_a_disc_counts_at_a_waist():
    """At an hourglass's waist the skin is least in the disc's middle, not at a face."""
    meridian, frame = hand_made.hourglass()
    sharp = meridian._replace(outer=lambda z: 29.5 + 0.3 * abs(z) if abs(z) < 2 else 60.0)
    with pytest.raises(BuildError, match=r"disc-1 leaves the skin by 0\.2"):
        check_assembly(frame, sharp)


def test_a_ring_through_the_ribs_is_found():
    meridian, frame = hand_made.cut_open()
    ring = dataclasses.replace(frame.part("disc-1"), outline=plain_disc(56.0, 49.0), id="disc-3")
    blocking = FrameParts(frame.solution, (*frame.parts, dataclasses.replace(ring, pose=level(45))))
    with pytest.raises(BuildError, match=r"rib-1 and disc-3 would share"):
        check_assembly(blocking, meridian)


def test_remarks_name_what_only_glue_keeps():
    for name, sentence in (
        ("dome", "disc-1: lies on the ribs' ends"),
        ("vase", "disc-1: lies on the ribs' ends"),
        ("planet", "flange-1: glue or a tight fit keeps it from turning back"),
    ):
        meridian, frame = ALL[name]()
        assert any(r.text.startswith(sentence) for r in check_assembly(frame, meridian).remarks)


def test_a_plain_base_too_small_for_its_rabbets_is_loose():
    meridian, frame = hand_made.vase()
    with pytest.raises(BuildError, match="disc-1 is not joined"):
        check_assembly(altered(frame, "disc-1", outline=plain_disc(25.0, 0.0)), meridian)


def test_a_press_fit_disc_at_an_end_is_held():
    """Slots 0.05 mm narrower than the sheet: solids are squeezed, the ribs' ends stand out."""
    m = hand_made.body(lambda z: 50.0, lambda z: 0.0, 0.0, 90.0, 16.0)
    tight, z = 2.95, 1.5
    rib = rib_outline(m, (Notch(60.0, tight, 42.2),), (RibEnd(2.975, 42.2), None), lead_in=0.3)
    discs = [
        hand_made.part(f"disc-{i}", slotted_disc(49.5, 0.0, tight, 41.8, six()), level(at))
        for i, at in ((1, z), (2, 60.0))
    ]
    frame = hand_made.frame([*ribs_at(rib, six()), *discs], **{"joint.slot_width": tight})
    assert len(check_assembly(frame, m).holders["disc-1"]) == 6


def test_a_sharp_mate_in_a_small_relief_is_no_overlap():
    """A tongue without clearance in a mortise whose reliefs are small arcs."""
    m = hand_made.body(lambda z: 40.0, lambda z: 0.0, 0.0, 100.0, 14.0)
    tenon = RibEnd(3.05, 30.0, 36.0)
    rib = rib_outline(m, (hand_made.notch(m, 50.0),), (tenon, None), relief=0.6)
    base = mortised_disc(39.8, 0.0, Mortise(30.0, 36.0, T), six(), relief=0.6)
    discs = [
        hand_made.part("disc-1", base, level(1.5)),
        hand_made.crossed(m, 50.0, "disc-2", six()),
    ]
    check_assembly(hand_made.frame([*ribs_at(rib, six()), *discs]), m)


def test_a_flat_end_is_followed_past_its_last_micrometre():
    """A superellipsoid, (r/a)⁶ + (z/c)⁶ = 1, whose end is all but flat (Lamé, 1818)."""
    a, c, n = 100.0, 80.0, 6

    def outer(z):
        return a * max(0.0, 1 - abs(z / c) ** n) ** (1 / n)

    def slope(z):
        share = abs(z) / c
        steep = a / c * share ** (n - 1) * max(1e-12, 1 - share**n) ** (1 / n - 1)
        return -math.copysign(steep, z)

    ends = c * (1 - (hand_made.GAP / a) ** n) ** (1 / n)
    m = hand_made.body(outer, slope, -c, c, 20.0, (True, True), (-ends, ends))
    rib = rib_outline(m, [hand_made.notch(m, z) for z in (-20.0, 20.0)])
    discs = [hand_made.crossed(m, z, f"disc-{i}", six()) for i, z in ((1, -20.0), (2, 20.0))]
    frame = hand_made.frame([*ribs_at(rib, six()), *discs])
    check_assembly(frame, m)
    with pytest.raises(BuildError, match=r"rib-1 leaves the skin by 0\.0[45]"):
        check_assembly(
            frame, m._replace(outer=lambda z: outer(min(c, abs(z) + 0.05)), high=c - 0.05)
        )
