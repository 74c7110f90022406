"""Planted bars: parts that touch nothing where they stand, and have no way in; or just have one.

1e-3 mm³ may be shared on the way, as where they stand. The frames are those of
`parts.square_frames`; what stands in a way is a product of three sides.
"""

from __future__ import annotations

import math

import pytest
from parts.hand_made import level, part, upright
from parts.square_frames import RIGHT, disc, outline, plain, rib, ribs, ring, skin, square, told
from shapely import Point, Polygon, box
from shapely.affinity import rotate

from framekit.geometry.path import Outline, Path, Vertex
from framekit.parts.verify.solids import least_angle

PROUD = skin(low=-10.0, high=110.0)
"""A body that has room for what stands out of a lid."""

# A rib that is 10 mm deep at the disc, from 30 to 40 mm, and open again from there to its outer
# edge: a bar in the disc's slot at 40.5 mm lies clear of it and in its way.
OPEN = rib(cuts=[box(40, 48.45, 60, 51.55)])


@pytest.mark.parametrize(("wide", "bars"), [(0.020, True), (0.015, False)])
@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_a_bar_in_a_slot(number, wide, bars):
    """0.02 mm of it in the way of the rib's face, × its own width × 3 mm."""
    arms = ring(box(29.8, 1.55, 43, 6) | box(29.8, -6, 43, -1.55), RIGHT)
    bar = rotate(box(40.5, 1.48, 40.5 + wide, 1.6), 90.0 * (number - 1), origin=(0, 0))
    shape = square(34.0, adds=[*arms, bar])
    found = told(plain(disc(shape=shape), made=ribs(OPEN)))
    expected = [f"rib-{number} cannot slide in: disc-1 stands 0.001 mm³ in its way"]
    assert found == (expected if bars else [])


def test_a_rib_slides_all_the_way_out():
    """At 80 mm rib 1 has 2 mm of its inner edge alone, from 20 mm on: a bar of 0.8 mm across the
    slot, at 47.6 mm, is met after 25.6 mm of the way. 0.8 × 3 × 3 mm."""
    inner = rib(cuts=[box(22, 78.45, 60, 81.55)])
    made = ribs(inner, *3 * [rib(at=(50.0, 80.0))])
    slot = box(19.8, -1.55, 80, 1.55)
    arm = box(19.8, -6, 48.4, 6) - slot
    bar = box(47.6, -1.55, 48.4, 1.55)
    assert told(plain(disc(), disc(2, 80.0, square(cuts=[slot]) | arm), made=made)) == []
    barred = disc(2, 80.0, square(cuts=[slot]) | arm | bar)
    sentence = "rib-1 cannot slide in: disc-2 stands 7.200 mm³ in its way"
    assert told(plain(disc(), barred, made=made)) == [sentence]


# Ribs with a tenon at one end, from 30 to 40 mm, as high as the disc is thick; mortises 0.2 mm
# longer and 0.05 mm wider to either side; the rest of the end is a shoulder.
def tenons(top, proud=0.0):
    end = box(0, 97, 60, 100) if top else box(0, 0, 60, 3)
    tongue = box(30, 97, 40, 100 + proud) if top else box(30, -proud, 40, 3)
    return rib(cuts=[end], adds=[tongue])


def lid(top, number=2, angles=RIGHT, cuts=(), rim=47.0):
    shape = Point(0, 0).buffer(rim, 16)
    for hole in (*ring(box(29.8, -1.55, 40.2, 1.55), angles), *cuts):
        shape -= hole
    return disc(number, 98.5 if top else 1.5, shape)


def above(top, gap, thick=1.0, at=(10.0, 20.0)):
    """A plate beside the axis over the lid, or under it, `gap` mm off its face."""
    z = 100 + gap if top else -gap - thick
    return part("stand-1", outline(box(at[0], z, at[1], z + thick)), upright(45.0))


BOTH = pytest.mark.parametrize("top", [True, False])


@BOTH
def test_a_lid_on_tenons_is_put_on_along_the_axis(top):
    found = told(plain(disc(), lid(top), made=ribs(tenons(top))))
    assert found == []
    # 10 × 1 × 3 mm of what stands over it, near or as far off as the frame is high
    for gap in (0.0, 1.0, 99.0):
        found = told(plain(disc(), lid(top), above(top, gap), made=ribs(tenons(top))))
        assert found == [
            "disc-2 cannot be put on along the axis: stand-1 stands 30.000 mm³ in its way"
        ]
    # beside it: the lid's rim is a polygon in a circle of 47 mm
    beside = above(top, 1.0, at=(47.5, 57.5))
    assert told(plain(disc(), lid(top), beside, made=ribs(tenons(top)))) == []
    # and on its other side
    other = above(not top, 1.0)
    assert told(plain(disc(), lid(top), other, made=ribs(tenons(top)))) == []


@BOTH
@pytest.mark.parametrize(("proud", "passes"), [(0.04, True), (0.06, False)])
def test_a_tenon_may_stand_a_little_out_of_a_lid(top, proud, passes):
    """0.05 mm at most; a rib that goes on is no end, and a mortise in it no way."""
    found = told(plain(disc(), lid(top), made=ribs(tenons(top, proud))), body=PROUD)
    assert (found == []) is passes
    if not passes:
        assert {s.split(" stands")[0] for s in found} >= {
            f"rib-{n} cannot slide in: disc-2" for n in (1, 2, 3, 4)
        }


@BOTH
@pytest.mark.parametrize(("short", "held"), [(1.4, True), (1.6, False), (2.9, False)])
def test_a_tenon_that_ends_within_a_lid_ends_there(top, short, held):
    """So much short of its outer face: past the middle it holds no more, but bars no way."""
    found = told(plain(disc(), lid(top), made=ribs(tenons(top, -short))))
    assert found == ([] if held else ["disc-2 is not joined to the rest"])


@BOTH
def test_tenons_of_every_other_rib_alone_make_a_lid(top):
    """Ribs 2 and 4 end under it; only the ways of 1 and 3 are barred."""
    short = rib(high=96.9) if top else rib(low=3.1)
    made = ribs(tenons(top), short)
    assert told(plain(disc(), lid(top, angles=(0.0, 180.0)), made=made)) == []


@BOTH
def test_a_mortise_too_short_for_one_tenon(top):
    """0.1 × 3 × 3 mm of rib 3's."""
    low, high = (97.0, 100.0) if top else (0.0, 3.0)
    long = tenons(top) | box(40, low, 40.3, high)
    made = ribs(tenons(top), tenons(top), long, tenons(top))
    assert told(plain(disc(), lid(top), made=made)) == ["rib-3 and disc-2 would share 0.900 mm³"]


@BOTH
@pytest.mark.parametrize(("reach", "bars"), [(16.2, False), (20.2, True)])
def test_a_rib_that_bars_the_lid_s_way(top, reach, bars):
    """A hook over the lid, from a post in a window of it: 4 × 3 × 1 mm are past the window."""
    low, high = (95.0, 102.0) if top else (-2.0, 5.0)
    hook = box(12, 101, reach, 102) if top else box(12, -2, reach, -1)
    arm = box(12, 95, 20, 97) if top else box(12, 3, 20, 5)
    hooked = tenons(top) | box(12, low, 16, high) | hook | arm
    made = ribs(hooked, tenons(top), tenons(top), tenons(top))
    found = told(plain(disc(), lid(top, cuts=[box(9.8, -1.6, 16.2, 1.6)]), made=made), body=PROUD)
    sentence = "disc-2 cannot be put on along the axis: rib-1 stands 12.000 mm³ in its way"
    assert found == ([sentence] if bars else [])


@BOTH
def test_a_disc_that_ribs_pass_is_no_lid(top):
    """Mortises in the middle of the ribs: the disc is not at an end, and bars every rib."""
    z = 85.0 if top else 15.0
    tongue = box(30, z - 1.55, 40, z + 1.55)
    shape = rib(cuts=[box(0, z - 1.55, 60, z + 1.55)], adds=[tongue])
    closed = disc(2, z, Point(0, 0).buffer(47, 8))
    assert not any("axis" in s for s in told(plain(disc(), closed, made=ribs(shape))))
    assert told(plain(disc(), closed, made=ribs(shape)))


# A flange: a ring of 46 mm about the axis that rests in outer notches of the ribs from 45.8 mm on,
# with gates 52 mm deep that ribs pass when it is turned. Three ribs at 100°: half the least angle
# is 50°. Gates at BACK are over the ribs when the flange is turned back by that, at ON when it is
# turned on; neither does for both.
THREE = (0.0, 100.0, 200.0)
BACK, ON = (50.0, 150.0, 250.0), (-50.0, 50.0, 150.0)


def seats(*heights, floor=45.8):
    return [box(floor, z - 1.55, 60, z + 1.55) for z in heights]


def flange(gates, number=1, z=70.0, adds=(), cuts=(), half=3.0):
    shape = Point(0, 0).buffer(60, 16) - Point(0, 0).buffer(46.1, 16)
    for cut in (*ring(box(0, -half, 52, half), gates), *cuts):
        shape -= cut
    for more in adds:
        shape |= more
    return disc(number, z, shape, kind="flange")


def broad(number, z):
    """A disc of 48 mm that no flange of 46 mm can pass, in the ribs' notches."""
    shape = Point(0, 0).buffer(48.5, 16)
    for slot in ring(box(29.8, -1.55, 60, 1.55), THREE):
        shape -= slot
    return disc(number, z, shape)


def over(gates, *heights, end="", half=3.0):
    """A flange at 70 mm over ribs with broad discs at these heights, and a broad lid at an end."""
    shape = rib(at=(30.0, *heights), cuts=seats(70.0))
    plates = [broad(i, z) for i, z in enumerate(heights, 2)]
    if end:
        top = end == "top"
        shape = (shape - box(0, 97, 60, 100) if top else shape - box(0, 0, 60, 3)) | (
            box(30, 97, 40, 100) if top else box(30, 0, 40, 3)
        )
        plates.append(lid(top, 9, THREE, rim=48.5))
    narrow = disc(1, 30.0, square(32.0, angles=THREE))
    return plain(narrow, *plates, flange(gates, half=half), made=ribs(shape, angles=THREE))


NO_DROP = "flange-1 cannot be dropped over the ribs"


def verbs(found):
    return {sentence.split(":")[0] for sentence in found}


@pytest.mark.parametrize("gates", [BACK, ON])
@pytest.mark.parametrize("heights", [(), (90.0,), (10.0,), (50.0,)])
def test_a_flange_comes_from_any_of_four_sides(gates, heights):
    assert told(over(gates, *heights)) == []


@pytest.mark.parametrize("gates", [BACK, ON])
@pytest.mark.parametrize("heights", [(90.0, 10.0), (80.0, 60.0)])
def test_a_flange_between_broad_discs_has_no_way(gates, heights):
    assert verbs(told(over(gates, *heights))) == {NO_DROP}


@pytest.mark.parametrize(
    ("end", "free", "barred"), [("top", (20.0,), (85.0,)), ("bottom", (85.0,), (20.0,))]
)
def test_a_flange_comes_from_where_a_lid_is_put_on_later(end, free, barred):
    """A broad lid bars no flange from its side; a broad disc under it does, from either side."""
    assert told(over(BACK, end=end)) == []
    assert told(over(BACK, *free, end=end)) == []
    assert verbs(told(over(BACK, *free, *barred, end=end))) == {NO_DROP}


def test_a_flange_whose_gates_are_elsewhere_or_too_narrow_has_no_way():
    for gates in ((50.0, 150.0), (70.0, 170.0, 270.0), ()):
        assert verbs(told(over(gates))) == {NO_DROP}
    # ribs are 3 mm thick, with nothing taken off
    assert told(over(BACK, half=1.5)) == []
    assert verbs(told(over(BACK, half=1.4))) == {NO_DROP}


def test_a_second_flange_is_looked_at_as_the_first():
    shape = rib(at=(30.0,), cuts=seats(70.0, 50.0))
    narrow = disc(1, 30.0, square(32.0, angles=THREE))
    for gates, found in ((ON, set()), ((), {"flange-2 cannot be dropped over the ribs"})):
        plates = (narrow, flange(BACK), flange(gates, number=2, z=50.0))
        assert verbs(told(plain(*plates, made=ribs(shape, angles=THREE)))) == found
    shape = rib(at=(30.0,), cuts=seats(70.0, 67.0))
    for z, shares in ((67.1, True), (67.0, False)):
        plates = (narrow, flange(BACK), flange(ON, number=2, z=z))
        found = told(plain(*plates, made=ribs(shape, angles=THREE)))
        assert any(s.startswith("flange-1 and flange-2 would share") for s in found) is shares


def test_a_flange_in_a_shallow_seat():
    """Teeth to 46 mm in notches from 46.1 mm on: 0.1 × 3 × 3 mm at each rib."""
    shape = rib(at=(30.0,), cuts=seats(70.0, floor=46.1))
    narrow = disc(1, 30.0, square(32.0, angles=THREE))
    teeth = ring(box(46, -1.5, 53, 1.5), THREE)
    found = told(plain(narrow, flange(BACK, adds=teeth), made=ribs(shape, angles=THREE)))
    assert found == [f"rib-{n} and flange-1 would share 0.900 mm³" for n in (1, 2, 3)]


@pytest.mark.parametrize(("radius", "shares"), [(45.8, True), (45.84, False)])
def test_a_round_seat_is_exact_to_a_hundredth(radius, shares):
    """True arcs, which solids' chords must not round away: the corner of a notch's floor, at
    √(45.8² + 1.5²) = 45.825 mm, reaches 0.025 mm into the first seat."""
    at = [(radius * math.cos(t), radius * math.sin(t)) for t in map(math.radians, (0, 120, 240))]
    third = math.tan(math.radians(120) / 4)
    hole = Path(tuple(Vertex(x, y, -third) for x, y in reversed(at)))
    rim = outline(Point(0, 0).buffer(60, 16)).outer
    narrow = disc(1, 30.0, square(32.0, angles=THREE))
    full = part("flange-1", Outline(rim, (hole,)), level(70.0))
    found = told(plain(narrow, full, made=ribs(rib(at=(30.0,), cuts=seats(70.0)), angles=THREE)))
    overlaps = [s for s in found if "share" in s]
    assert [s.split(" would")[0] for s in overlaps] == (
        [f"rib-{n} and flange-1" for n in (1, 2, 3)] if shares else []
    )


# A fourth rib at 280° without a notch of its own for the flange, which has a slot for it. The least
# angle is 80° then, the turn 40°: the slot goes from 280° to 320°, as the flange's gates do.
FOUR = (*THREE, 280.0)


def slotted(*teeth):
    slot = Polygon(
        [
            (r * math.cos(math.radians(a)), r * math.sin(math.radians(a)))
            for r, angles in ((44.0, range(276, 326, 2)), (54.0, range(324, 274, -2)))
            for a in angles
        ]
    )
    notched, whole = rib(at=(30.0,), cuts=seats(70.0)), rib(at=(30.0,))
    made = ribs(notched, notched, notched, whole, angles=FOUR)
    ringed = flange((40.0, 140.0, 240.0), adds=teeth, cuts=[slot])
    return plain(disc(1, 30.0, square(31.0, angles=FOUR)), ringed, made=made)


def test_a_flange_turns_past_a_rib_in_a_slot():
    assert told(slotted()) == []


@pytest.mark.parametrize("step", range(1, 11))
def test_a_tooth_in_that_slot_is_met(step):
    """A tooth of 0.4 mm wherever it stands: a rib of 3 mm is wider than one twelfth of the turn."""
    angle = 280 + 40 * (step + 0.5) / 12
    for radius, met in ((49.8, True), (50.2, False)):
        tooth = rotate(box(radius, -0.2, 55, 0.2), angle, origin=(0, 0))
        found = verbs(told(slotted(tooth)))
        assert found == ({"flange-1 cannot be turned into place"} if met else set())


@pytest.mark.parametrize(
    ("angles", "least"),
    [
        ((0.0, 130.0, 230.0), 100.0),
        ((0.0, 100.0, 230.0), 100.0),
        ((0.0, 130.0, 260.0), 100.0),
        ((170.0, 190.0, 0.0), 20.0),
        ((40.0,), 360.0),
    ],
)
def test_the_least_angle_between_ribs_wherever_it_is(angles, least):
    # 1e-9: floats
    assert least_angle(ribs(angles=angles)) == pytest.approx(least, abs=1e-9)
