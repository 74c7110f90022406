"""Stands. The body is made anew as a solid of revolution by manifold3d, tilted by the stand's own
pose only; overlap, gap, lap and stability are measured on solids and with shapely."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from manifold3d import CrossSection, Manifold
from parts.plain_solids import fine, shared
from scipy.optimize import linprog
from shapely import MultiPoint, Point, Polygon, box

from framekit.errors import GeometryError
from framekit.parts.build import make_parts
from framekit.parts.display.balance import balance_of
from framekit.parts.display.contacts import RibLayout, contacts, resting_stand
from framekit.parts.display.cradle import ConvexBody, TiltedBody
from framekit.parts.display.stand import make_stand, turned
from framekit.parts.display.stand_shape import Obstacle, StandShape
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values


def spheroid(a, c):
    return ConvexBody(lambda z: a * math.sqrt(max(0.0, (c - z) * (c + z))) / c, -c, c)


def shape(tilt, **changes):
    given = {
        "thickness": 3.0,
        "slot_width": 3.1,
        "clearance": 0.3,
        "reach": 45.0,
        "base_width": 190.0,
        "foot_height": 30.0,
        "wall": 8.0,
    }
    return StandShape(tilt=tilt, **{**given, **changes})


def revolved(a, c, steps=360):
    """A spheroid's solid whose facets touch it from outside: the meridian's tangents, and a
    polygon about every circle."""
    turn = math.pi / steps
    far = 1.0 / math.cos(turn / 2)
    points = [(0.0, -c)]
    for i in range(steps):
        v = -math.pi / 2 + turn * (i + 0.5)
        points.append((a * far * math.cos(v), c * far * math.sin(v)))
    points.append((0.0, c))
    round_far = 1.0 / math.cos(math.pi / steps)
    return Manifold.revolve(CrossSection([points]), steps).scale((round_far, round_far, 1.0))


def ring(o):
    return (
        Manifold.cylinder(o.thickness, o.outer, o.outer, 360, True)
        - Manifold.cylinder(2 * o.thickness, o.inner, o.inner, 360, True)
    ).translate((0, 0, o.height))


def upright(stand, solid):
    """A solid of the frame's axes in the stand's, Z up, by inverting its pose with numpy."""
    back = np.linalg.inv(np.array(stand.report.pose))
    return solid.transform(back[:3].tolist())


def cases(count, seed=20):
    rng = random.Random(seed)
    found = [(100.0, 90.2, 26.73, 3.0), (100.0, 97.7, 97.77, 4.0), (95.0, 95.0, 177.36, 3.0)]
    found += [(80.0, 95.0, 0.0, 3.0), (90.0, 70.0, 180.0, 6.0), (90.0, 80.0, 90.0, 3.0)]
    while len(found) < count:
        found.append(
            (rng.uniform(40, 100), rng.uniform(40, 100), rng.uniform(0, 180), rng.uniform(1, 9))
        )
    return found


@pytest.mark.parametrize(("a", "c", "tilt", "thickness"), cases(16))
def test_plates_clear_the_body_and_nearly_touch_it(a, c, tilt, thickness):
    centre = (0.0, 0.0, 0.07 * c if thickness > 4 else 0.0)
    wish = shape(
        tilt, thickness=thickness, slot_width=thickness + 0.1, base_width=2.3 * max(a, c), reach=38
    )
    # Where the meridian's normal leans by the reach, √ and all the support of an ellipse: when
    # both such places lie to one side of the plumb line there is nothing to rest on.
    t = math.radians(tilt)
    places = []
    for lean in (math.radians(-38), math.radians(38)):
        out, up = math.sin(lean + t), -math.cos(lean + t)
        size = math.hypot(a * out, c * up)
        p, h = a * a * out / size, c * c * up / size - centre[2]
        places.append(h * math.sin(t) + p * math.cos(t))
    if places[0] > -4.0 or places[1] < 4.0:
        with pytest.raises(GeometryError, match="would topple over"):
            make_stand(spheroid(a, c), centre, wish)
        return
    stand = make_stand(spheroid(a, c), centre, wish)
    body = revolved(a, c)
    solids = [fine(p) for p in stand.plates]
    for solid in solids:
        assert shared(solid, body) == 0.0
        gap = solid.min_gap(body, 2.0)
        # facets lie up to 100 mm (1/cos(π/360) − 1) = 4e-3 mm and a bit outside, arcs 0.004 mm off
        assert 0.0 < gap <= wish.clearance + 0.05
    # Both on one table, feet down, and the lowest point of the body at the foot height.
    boxes = [upright(stand, s).bounding_box() for s in solids]
    lows = [box[2] for box in boxes]
    assert lows == pytest.approx([stand.table] * 2, abs=1e-4)  # float32 vertices
    lowest = upright(stand, body).bounding_box()[2]
    assert lowest - stand.table == pytest.approx(30.0, abs=8e-3)  # facets
    assert stand.report.height == pytest.approx(max(b[5] for b in boxes) - stand.table, abs=1e-2)


def test_the_axis_leans_by_the_tilt_toward_the_longitude():
    for tilt, longitude in ((26.73, 40.0), (97.77, 0.0), (177.36, 300.0)):
        stand = make_stand(spheroid(100, 95), (0, 0, 0), shape(tilt, longitude=longitude))
        pose = np.array(stand.report.pose)[:3, :3]
        assert np.allclose(pose @ pose.T, np.eye(3), atol=1e-12)
        assert np.linalg.det(pose) == pytest.approx(1.0, abs=1e-12)  # rounding
        axis = pose.T @ np.array([0.0, 0.0, 1.0])
        assert math.degrees(math.acos(axis[2])) == pytest.approx(tilt, abs=1e-6)  # acos near −1
        assert axis[0] > 0.0 and axis[1] == pytest.approx(0.0, abs=1e-12)
        # The meridian of that longitude lies in plate 1, on the lower side of the lean.
        out = [math.cos(math.radians(longitude)), math.sin(math.radians(longitude)), 0.0]
        assert (pose.T @ np.array(out))[1] == pytest.approx(0.0, abs=1e-12)
        for plate in stand.plates:
            turn = np.array(plate.pose)[:3, :3]
            assert np.linalg.det(turn) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("thickness", [2.0, 3.05, 6.0])
@pytest.mark.parametrize("layers", [1, 2])
def test_the_lap_seats_without_overlap(thickness, layers):
    wish = shape(
        23.44, thickness=thickness, slot_width=thickness + 0.08, end_clearance=0.1, layers=layers
    )
    stand = make_stand(spheroid(100, 99), (0, 0, 0), wish)
    assert len(stand.plates) == 2 * layers
    one = Manifold.compose([upright(stand, fine(p)) for p in stand.plates[:layers]])
    two = Manifold.compose([upright(stand, fine(p)) for p in stand.plates[layers:]])
    assert shared(one, two) == 0.0
    # Plate 1 pressed up against plate 2: free until the end clearances of both slots are
    # used up, then it meets.
    assert shared(one.translate((0, 0, 0.19)), two) == pytest.approx(0.0, abs=1e-3)
    assert shared(one.translate((0, 0, 0.22)), two) > 1e-3
    # and it lifts off freely
    assert all(shared(two.translate((0, 0, up)), one) == 0.0 for up in (0.2, 2.0, 15.0, 60.0))
    # sideways the slot lets it move by half its play and no more
    assert shared(one.translate((0, 0.06, 0)), two) > 1e-3


@pytest.mark.parametrize(("relief", "left"), [(0.0, 2 * (1 - math.pi / 4) * 1.5**2), (1.5, 0.0)])
def test_a_round_tool_leaves_two_fillets_in_a_slot_that_is_not_relieved(relief, left):
    """What a tool of 3 mm leaves: all that no circle of 1.5 mm beside the plate reaches."""
    stand = make_stand(spheroid(100, 99), (0, 0, 0), shape(20.0, relief=relief))
    for plate in stand.plates:
        drawn = Polygon(plate.outline.outer.polyline_within(1e-4))
        cut = drawn.buffer(1.5, quad_segs=64).buffer(-1.5, quad_segs=64)
        # The slot is 1.55 mm to either side of the plumb line through the stand's origin.
        fillets = cut.difference(drawn).intersection(box(-2, -200, 2, 200))
        # 0.01 mm²: chords of the circles
        assert fillets.area == pytest.approx(left, abs=0.01)


def test_a_ball_gives_true_circles():
    stand = make_stand(spheroid(100, 100), (0, 0, 0), shape(23.44))
    for plate in stand.plates:
        radii = {round(s.radius, 3) for s in plate.outline.outer.segments if s.bulge}
        assert radii == {100.3}


def test_a_shifted_centre_still_clears():
    stand = make_stand(spheroid(100, 80), (0, 0, 15.0), shape(60.0, base_width=200.0))
    body = revolved(100, 80)
    assert all(shared(fine(p), body) == 0.0 for p in stand.plates)


def test_an_egg_is_cleared():
    """r² = (z+60)(70−z)(1 + z/300): convex; its solid is revolved from fine points."""

    def radius(z):
        return 0.9 * math.sqrt(max(0.0, (z + 60) * (70 - z) * (1 + z / 300)))

    heights = [5 - 65 * math.cos(math.pi * i / 720) for i in range(721)]
    body = Manifold.revolve(CrossSection([[(radius(z), z) for z in heights]]), 720)
    stand = make_stand(ConvexBody(radius, -60.0, 70.0), (0, 0, 7.0), shape(35.0))
    for plate in stand.plates:
        solid = fine(plate)
        assert shared(solid, body) == 0.0
        assert solid.min_gap(body, 2.0) <= 0.35


def test_margin_and_tipping_on_the_feet_themselves():
    """The feet's outline by shapely from the solids' slice just over the table."""
    stand = make_stand(spheroid(100, 90.2), (4.0, -2.0, 3.0), shape(26.73, longitude=30.0))
    feet = []
    for plate in stand.plates:
        section = upright(stand, fine(plate)).slice(stand.table + 1e-3)
        feet += [tuple(p) for ring_ in section.to_polygons() for p in ring_]
    centre = np.linalg.inv(np.array(stand.report.pose)) @ np.array([4.0, -2.0, 3.0, 1.0])
    hull = MultiPoint(feet).convex_hull
    margin = hull.exterior.distance(Point(centre[:2]))
    assert hull.contains(Point(centre[:2]))
    assert stand.report.margin == pytest.approx(margin, abs=5e-3)  # slice 1e-3 up a 45° relief
    height = centre[2] - stand.table
    assert stand.report.centre_height == pytest.approx(height, abs=1e-9)  # rounding
    # tilted about that edge the centre is over it when tan = margin / height
    assert stand.report.tipping_angle == pytest.approx(
        math.degrees(math.atan(margin / height)), abs=1e-2
    )
    turned_stand = turned(stand, (4.0, -2.0, 3.0), 30.0)
    assert turned_stand.report == stand.report


@pytest.mark.parametrize("tilt", [10.0, 26.73, 45.0])
def test_a_ring_is_kept_clear_while_lowered(tilt):
    o = Obstacle(101.0, 150.0, 0.0, 3.0)
    wish = shape(tilt, foot_height=90.0, base_width=200.0, reach=60.0)
    stand = make_stand(spheroid(100, 92), (0, 0, 0), wish, [o])
    around = upright(stand, ring(o))
    for plate in stand.plates:
        solid = upright(stand, fine(plate))
        for lift in (0.0, 1.0, 5.0, 20.0, 60.0, 150.0):
            assert shared(around.translate((0, 0, lift)), solid) == 0.0
    if tilt > 40:
        assert stand.report.reaches[1] < 60.0 and stand.report.reaches[0] == 60.0
        assert any("instead of" in remark.text for remark in stand.report.remarks)


def test_what_cannot_stand_is_refused():
    with pytest.raises(GeometryError, match="below the table"):
        make_stand(spheroid(100, 92), (0, 0, 0), shape(60.0), [Obstacle(101, 220, 0, 3)])
    with pytest.raises(GeometryError, match=r"lap of the plates.*Raise the foot height to"):
        make_stand(spheroid(100, 92), (0, 0, 0), shape(20.0, foot_height=15.0))
    with pytest.raises(GeometryError, match="base at least"):
        make_stand(spheroid(100, 92), (0, 0, 0), shape(20.0, base_width=120.0))
    with pytest.raises(GeometryError, match="outside the feet"):
        make_stand(spheroid(100, 92), (90.0, 60.0, 0), shape(0.0))
    with pytest.raises(GeometryError, match="hollow"):
        waist = ConvexBody(lambda z: 40 + 0.01 * z * z, -50.0, 50.0)
        make_stand(waist, (0, 0, 0), shape(90.0))
    with pytest.raises(GeometryError, match="flat end"):
        make_stand(ConvexBody(lambda z: 60.0, -50.0, 50.0), (0, 0, 0), shape(10.0))
    for change in ({"reach": 5.0}, {"slot_width": 0.0}, {"clearance": -1.0}, {"wall": 0.0}):
        with pytest.raises(GeometryError):
            make_stand(spheroid(100, 92), (0, 0, 0), shape(20.0, **change))


def hold(stand, held, centre):
    """Whether pushes along the inward normals carry the weight, by scipy's linear programme with
    a slack of 2 % (the module's own stated limit)."""
    c = np.linalg.inv(np.array(stand.report.pose)) @ np.array([*centre, 1.0])
    size = max(np.linalg.norm(np.array(k.point) - c[:3]) for k in held.contacts)
    columns = []
    for k in held.contacts:
        n, r = -np.array(k.normal), np.array(k.point) - c[:3]
        columns.append(np.concatenate([n, np.cross(r, n) / size]))
    a = np.array(columns).T
    need = np.array([0, 0, 1.0, 0, 0, 0])
    slack = 0.02
    found = linprog(
        np.zeros(a.shape[1]),
        A_ub=np.vstack([a, -a]),
        b_ub=np.concatenate([need + slack, slack - need]),
        bounds=(0, None),
    )
    return found.status == 0, a


@pytest.mark.parametrize(
    ("a", "c", "tilt", "count"),
    [(100, 90.2, 26.73, 8), (100, 90.2, 26.73, 6), (100, 100, 0, 4), (100, 98, 97.77, 12)],
)
def test_a_frame_that_rests_does_rest(a, c, tilt, count):
    ribs = RibLayout(tuple(360 * i / count for i in range(count)), 3.0, 5.0)
    centre = (0.0, 0.0, 0.0)
    stand, held = resting_stand(spheroid(a, c), centre, shape(tilt), ribs)
    can, wrenches = hold(stand, held, centre)
    assert can
    assert held.free == 6 - np.linalg.matrix_rank(wrenches, tol=1e-3)
    hull = MultiPoint([k.point[:2] for k in held.contacts]).convex_hull
    assert isinstance(hull, Polygon)
    assert held.margin == pytest.approx(hull.exterior.distance(Point(0, 0)), abs=1e-4)  # rounding
    for k in held.contacts:
        # Every place lies on its rib's half plane, on the skin and at its plate.
        x, y, z = (np.array(stand.report.pose) @ np.array([*k.point, 1.0]))[:3]
        longitude = math.radians(ribs.longitudes[k.rib - 1])
        assert x * math.sin(longitude) == pytest.approx(y * math.cos(longitude), abs=1e-9)
        assert (x * x + y * y) / a**2 + z * z / c**2 == pytest.approx(1.0, abs=1e-9)  # rounding
        assert abs(k.point[2 - k.plate]) <= 1.5 + 1e-6 if k.plate == 2 else True
        plate = fine(stand.plates[k.plate - 1])
        near = Manifold.sphere(1e-3, 8).translate((x, y, z))
        assert near.min_gap(plate, 1.0) <= 0.3 + 0.05
    assert math.fsum(-k.push * k.normal[2] for k in held.contacts) == pytest.approx(1, abs=0.02)


def test_ribs_do_not_rest_where_a_notch_leaves_them_no_edge():
    """Two more contacts where a notch parts the stretch of a rib on plate 1."""
    ribs = RibLayout(tuple(45.0 * i for i in range(8)), 3.0, 5.0)
    stand, held = resting_stand(spheroid(100, 90.2), (0, 0, 0), shape(26.73), ribs)
    pose = np.array(stand.report.pose)

    def heights(found):
        along = [k for k in found.contacts if k.plate == 1 and k.rib == found.contacts[0].rib]
        return sorted(float((pose @ np.array([*k.point, 1.0]))[2]) for k in along)

    before = heights(held)
    # The rib lies on plate 1 in stretches, each from one contact to the next.
    middle = (before[-2] + before[-1]) / 2
    assert before[-1] - middle > 3
    notched = RibLayout(ribs.longitudes, 3.0, 5.0, ((middle - 2, middle + 2),))
    found = heights(contacts(stand, (0, 0, 0), notched))
    # 0.3 mm: the edge is walked in 720 steps
    assert found == pytest.approx(sorted([*before, middle - 2, middle + 2]), abs=0.3)


def test_a_whole_frame_rests_on_its_stand():
    """Every rib and disc of a real frame against both plates, and the ribs that are said to be
    held nearly touch."""
    values = {
        "framekit": 1,
        "body": {"shape": "spheroid", "equatorial_radius": 100, "polar_radius": 90.2},
        "ribs": {"count": 8, "width": {"equator": 20, "pole": 14}},
        "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"height": 45, "both": True}}],
        "sheet": {"thickness": 3, "size": [600, 400]},
        "cutter": {"kerf": 0.16},
    }
    frame = make_parts(solve(spec_from_values(values))).frames[0]
    ribs = [p for p in frame.parts if p.kind == "rib"]
    centre = balance_of(frame.parts).centre
    value = frame.solution.value
    wish = RibLayout(tuple(frame.solution.longitudes), 3.0, value("rib.pole_gap"))
    # The model's radii are the spec's or scaled from them: ask the solution.
    skin = spheroid(value("model.equatorial_radius"), value("model.polar_radius"))
    stand, held = resting_stand(skin, centre, shape(26.73), wish)
    plates = [fine(p) for p in stand.plates]
    for part in frame.parts:
        assert all(shared(fine(part), p) == 0.0 for p in plates)
    for k in held.contacts:
        gap = fine(ribs[k.rib - 1]).min_gap(plates[k.plate - 1], 2.0)
        assert gap <= 0.3 + 0.05


def test_what_would_fall_is_refused():
    four = RibLayout((0.0, 90.0, 180.0, 270.0), 3.0, 5.0)
    with pytest.raises(GeometryError, match=r"would fall.*in one line"):
        resting_stand(spheroid(100, 90.2), (0, 0, 0), shape(26.73), four)
    six = RibLayout(tuple(60.0 * i for i in range(6)), 3.0, 5.0)
    with pytest.raises(GeometryError, match=r"would fall.*in one line"):
        resting_stand(spheroid(100, 100), (0, 0, 0), shape(0.0), six)
    # A ball whose centre of mass is 12 mm off its middle, away from plumb, rolls.
    eight = RibLayout(tuple(45.0 * i for i in range(8)), 3.0, 5.0)
    with pytest.raises(GeometryError, match="Without rubbing"):
        resting_stand(spheroid(100, 100), (0, 0, 12.0), shape(40.0), eight)
    with pytest.raises(GeometryError, match=r"tip off|knife edge|outside the feet"):
        resting_stand(spheroid(100, 90), (0, 62.0, 0), shape(26.73), eight)
    with pytest.raises(GeometryError, match="proud"):
        stand = make_stand(spheroid(100, 100), (0, 0, 0), shape(0.0, clearance=0.01))
        contacts(stand, (0, 0, 0), RibLayout((0.0, 90.0, 180.0, 270.0), 6.0, 5.0))
    with pytest.raises(GeometryError, match="no ribs"):
        resting_stand(spheroid(100, 90), (0, 0, 0), shape(26.73), RibLayout((), 3.0, 5.0))


def test_the_lowest_point_of_a_tilted_spheroid():
    """√(c² cos² T + a² sin² T), the support of an ellipse."""
    for tilt in (0.0, 10.0, 90.0, 135.0, 180.0):
        t = math.radians(tilt)
        wanted = -math.hypot(70 * math.cos(t), 100 * math.sin(t))
        body = TiltedBody(spheroid(100, 70), 0.0, tilt)
        assert body.lowest() == pytest.approx(wanted, abs=1e-6)  # slopes by differences
