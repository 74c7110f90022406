"""Planted parts that leave the skin by 0.011 mm, and ones that do by 0.009: 0.01 mm is allowed.

The frames are those of `parts.square_frames`: ribs to x = 50 mm, a square disc whose corners lie
34·√2 = 48.083 mm from the axis, at 48.5 to 51.5 mm.
"""

from __future__ import annotations

import math

import pytest
from parts.square_frames import check, disc, plain, rib, ribs, skin, square, told

from framekit.parts.verify.envelope import Envelope, face_protrusion

CORNER = 34 * math.sqrt(2)

ribs_only = pytest.mark.parametrize(
    ("shapes", "bad"), [((1, 0, 0, 0), (1,)), ((0, 1), (2,)), ((0, 0, 0, 1), (4,)), ((1,), (1,))]
)


def out(numbers, by=0.011):
    return [f"rib-{n} leaves the skin by {by:.3f} mm" for n in numbers]


@ribs_only
@pytest.mark.parametrize(
    ("good", "bad_one"),
    [
        (rib(outer=50.009), rib(outer=50.011)),
        (rib(high=100.009), rib(high=100.011)),
        (rib(low=-0.009), rib(low=-0.011)),
    ],
)
def test_a_rib_out_of_a_cylinder(shapes, bad, good, bad_one):
    """Each distinct outline is looked at and told once, by the first rib that has it."""
    assert told(plain(made=ribs(*(good if k else rib() for k in shapes)))) == []
    assert told(plain(made=ribs(*(bad_one if k else rib() for k in shapes)))) == out(bad)


@pytest.mark.parametrize(("level", "far"), [(0.0135, False), (0.0165, True)])
def test_the_nearest_point_of_the_skin_counts(level, far):
    """A skin at 45°: what is 0.0165 mm outside level is 0.0165/√2 = 0.0117 mm outside."""
    slope = skin(lambda z: 100.0 - z, high=60.0)
    made = rib(outer=40.0 + level, high=60.0)
    found = told(plain(made=ribs(made)), slope)
    assert found == ([f"rib-1 leaves the skin by {level / math.sqrt(2):.3f} mm"] if far else [])


@pytest.mark.parametrize("rise", [1.0, -1.0])
@pytest.mark.parametrize(("short", "found"), [(0.009, False), (0.011, True)])
def test_a_disc_is_held_against_the_skin_at_its_narrower_face(rise, short, found):
    """A skin that widens upward by 1 mm in 10 is least at the lower face, at 48.5 mm, and one
    that widens downward at the upper, at 51.5 mm."""
    face = 48.5 if rise > 0 else 51.5
    body = skin(lambda z: CORNER - short + rise * (z - face) / 10)
    made = plain(made=ribs(rib(outer=40.0)))
    expected = [f"disc-1 leaves the skin by {short:.3f} mm"] if found else []
    assert [s for s in told(made, body) if s.startswith("disc")] == expected


def test_a_disc_is_held_against_the_skin_between_its_faces():
    """A waist of the skin where a break is, so narrow that no step of 3/32 mm meets it."""
    steps = [48.5 + 3 * k / 32 for k in range(33)]
    at = 50.04
    assert min(abs(at - s) for s in steps) > 0.03

    def waist(z):
        return CORNER - 0.02 if abs(z - at) < 0.001 else 50.0

    assert told(plain(), skin(waist)) == []
    assert told(plain(), skin(waist, breaks=(at,))) == ["disc-1 leaves the skin by 0.020 mm"]
    # a break that is not between the faces is of no account
    above = skin(lambda z: 40.0 if z > 51.6 else 50.0, breaks=(51.7,))
    assert [s for s in told(plain(), above) if "disc" in s] == []
    # a dip a quarter of a millimetre high needs no break to be met, wherever it is
    for middle in (48.9, 49.4, 50.04, 50.9, 51.3):
        broad = skin(lambda z, m=middle: CORNER - 0.02 if abs(z - m) < 0.125 else 50.0)
        assert told(plain(), broad) == ["disc-1 leaves the skin by 0.020 mm"]


@pytest.mark.parametrize("top", [True, False])
@pytest.mark.parametrize(("past", "found"), [(0.009, False), (0.011, True)])
def test_a_disc_that_lies_past_the_body_s_end(top, past, found):
    """The body ends within the disc; then it leaves the skin with its whole radius."""
    body = skin(high=51.5 - past) if top else skin(low=48.5 + past)
    told_of = [s for s in told(plain(), body) if s.startswith("disc")]
    assert told_of == ([f"disc-1 leaves the skin by {CORNER:.3f} mm"] if found else [])


def test_every_disc_is_looked_at():
    """The second of two, 0.02 mm too large in one corner."""
    corner = 34 + 0.02 / math.sqrt(2)
    large = disc(2, 80.0, square(corner))
    body = skin(lambda z: CORNER, high=100.0)
    made = plain(disc(1, 20.0), large, made=ribs(rib(outer=45.0, at=(20.0, 80.0))))
    assert told(made, body) == ["disc-2 leaves the skin by 0.020 mm"]


def test_the_greatest_protrusion_of_any_rib_s_faces_is_told():
    """√(20² + 1.5²) − 20 = 0.0562 mm at 20 mm; ribs 2 and 4 begin at 10 mm: 0.1119 mm."""
    # 1e-12: floats
    assert check(plain()).protrusion == pytest.approx(math.hypot(20, 1.5) - 20, abs=1e-12)
    near = rib(inner=10.0)
    for shapes in ((rib(), near), (near, rib())):
        found = check(plain(made=ribs(*shapes))).protrusion
        assert found == pytest.approx(math.hypot(10, 1.5) - 10, abs=1e-12)
    # what lies past the axis is not looked at, and the axis itself has no side
    (one, *_) = ribs(rib(inner=-5.0))
    assert face_protrusion(one) == pytest.approx(math.hypot(50, 1.5) - 50, abs=1e-12)


def test_distances_outside_a_sphere_s_section():
    """A circle of 50 mm about (0, 50): a point's distance outside is known by Pythagoras."""
    body = Envelope(skin(lambda z: math.sqrt(max(0.0, 2500 - (z - 50) ** 2))))
    for angle in (0.0, 30.0, 60.0, 80.0, 90.0, -45.0, -89.0):
        for off in (0.02, 0.3, 5.0):
            x = (50 + off) * math.cos(math.radians(angle))
            y = 50 + (50 + off) * math.sin(math.radians(angle))
            # 1e-3 mm: the search's last step
            assert body.distance_outside(x, y) == pytest.approx(off, abs=1e-3)
        assert body.distance_outside(20.0, 50.0) == 0.0
