"""Planted overlaps: plates that share a little too much, and those that share just little enough.

1e-3 mm³ is what two solids may share. Every figure here is a product of three sides; the frames
are those of `parts.square_frames`.
"""

from __future__ import annotations

import pytest
from parts.hand_made import level, part, upright
from parts.square_frames import (
    check,
    disc,
    notch,
    outline,
    plain,
    rib,
    ribs,
    square,
    told,
)
from shapely import box
from shapely.affinity import rotate

from framekit.geometry.path import Outline, circle


def test_the_plain_frame_passes_and_every_part_is_held():
    report = check(plain())
    assert report.holders["disc-1"] == ("rib-1", "rib-2", "rib-3", "rib-4")
    assert report.holders["rib-3"] == ("disc-1",)


# A tooth on the disc that reaches 0.02 mm into rib 3 at x = −30, or on rib 3 alone, or on every
# rib: as thick as the disc is 3 mm, and so wide that 1.2e-3 or 0.9e-3 mm³ are shared.
@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
@pytest.mark.parametrize(("wide", "shares"), [(0.020, True), (0.015, False)])
def test_a_tooth_of_the_disc_in_a_rib(turn, wide, shares):
    tooth = rotate(box(29.7, -wide / 2, 30.02, wide / 2), turn, origin=(0, 0))
    number = {0.0: 1, 90.0: 2, 180.0: 3, 270.0: 4}[turn]
    found = told(plain(disc(shape=square(adds=[tooth]))))
    assert found == ([f"rib-{number} and disc-1 would share 0.001 mm³"] if shares else [])


@pytest.mark.parametrize(
    ("shapes", "bad"),
    [((1, 0, 0, 0), {1}), ((0, 1), {2, 4}), ((0, 0, 0, 1), {4}), ((1,), {1, 2, 3, 4})],
)
def test_a_shallow_notch_is_found_in_whichever_rib_has_it(shapes, bad):
    """0.1 mm short of the slot's floor at 29.8: 0.1 × 3 × 3 = 0.9 mm³."""
    kinds = (rib(), rib(at=(), cuts=[notch(floor=29.7)]))
    found = told(plain(made=ribs(*(kinds[k] for k in shapes))))
    assert found == [f"rib-{n} and disc-1 would share 0.900 mm³" for n in sorted(bad)]


# Four ribs at right angles hold disc 1, four between them disc 2, and all eight disc 3. Discs 1
# and 2 are crosses with arms 30 mm wide: where the other's ribs are they end 22.7 mm out.
def cross(angle):
    arms = box(-33, -15, 33, 15) | box(-15, -33, 15, 33)
    return rotate(arms & square(33.0), angle, origin=(0, 0))


def two_discs(apart, first=3.0, second=3.0):
    high = 40.0 + apart
    even = rib(at=(40.0, 80.0), cuts=[box(0, high - 3, 23, high + 3)])
    odd = rib(at=(high, 80.0), cuts=[box(0, 37, 23, 43)])
    eight = [45.0 * k for k in range(8)]
    octagon = square(34.0) & rotate(square(34.0), 45, origin=(0, 0))
    return plain(
        disc(1, 40.0, cross(0), thickness=first),
        disc(2, high, cross(45), thickness=second),
        disc(3, 80.0, octagon),
        made=ribs(even, odd, angles=eight),
    )


@pytest.mark.parametrize("apart", [5.0, 3.01, 3.0])
def test_discs_that_touch_are_apart(apart):
    assert told(two_discs(apart)) == []


def test_discs_a_hundredth_nearer_than_their_thickness_share_it():
    whole = cross(0) & cross(45)
    (sentence,) = told(two_discs(2.99))
    assert sentence == f"disc-1 and disc-2 would share {whole.area * 0.01:.3f} mm³"


@pytest.mark.parametrize(("first", "second"), [(3.0, 1.0), (1.0, 3.0)])
def test_either_disc_s_half_counts(first, second):
    """Thinner plates in notches as wide: loose, but that is not what is looked at here."""
    whole = cross(0) & cross(45)
    sentence = f"disc-1 and disc-2 would share {whole.area * 0.1:.3f} mm³"
    assert sentence in told(two_discs(1.9, first, second))
    assert not any("would share" in s for s in told(two_discs(2.0, first, second)))


def stand(number, x, y=0.0, wide=6.0, high=40.0, low=-40.0, angle=0.0):
    """A plate of a stand: upright at an angle, from x on outward, wholly below the frame or not."""
    return part(f"stand-{number}", outline(box(x, low, x + wide, low + high)), upright(angle))


@pytest.mark.parametrize(
    ("plates", "sentences"),
    [
        # 6 × 3 × 40 mm, twice the same place
        ((stand(1, 0), stand(2, 0)), ["stand-1 and stand-2 would share 720.000 mm³"]),
        ((stand(1, 0), stand(2, 6)), []),
        # a plate 0.1 mm into the ribs' lower ends, 3 mm thick, 6 mm of it under rib 1
        ((stand(1, 30, low=-39.9),), ["rib-1 and stand-1 would share 1.800 mm³"]),
        ((stand(1, 30, low=-40.0),), []),
        # one that reaches 0.1 mm into the disc, between the ribs at 45°, and does not reach it
        ((stand(1, 10, high=88.6, angle=45.0),), ["disc-1 and stand-1 would share 1.800 mm³"]),
        ((stand(1, 10, high=88.5, angle=45.0),), []),
    ],
)
def test_plates_of_a_stand(plates, sentences):
    assert told(plain(disc(), *plates)) == sentences


# Six ribs 60° apart part each other where their inmost corners, 1.5 mm off their middle, lie 30°
# or more off the axis: at x = 1.5/tan 30° = 2.598 mm. A deficit e in x puts the corner
# d = e·sin 30° past the middle plane; two triangles with legs 2d and 2d/√3 are shared.
SIX = tuple(60.0 * k for k in range(6))


@pytest.mark.parametrize(("deficit", "meet"), [(0.008, True), (0.002, False), (-0.01, False)])
def test_ribs_that_meet_at_the_axis(deficit, meet):
    slim = rib(inner=1.5 * 3**0.5 - deficit)
    shape = square(angles=SIX)
    found = told(plain(disc(shape=shape), made=ribs(slim, angles=SIX)))
    shared = 2 * 2 / 3**0.5 * (max(0.0, deficit) / 2) ** 2 * (100 - 3.1)
    assert (shared > 1e-3) is meet
    assert found == sorted(
        f"rib-{i + 1} and rib-{j % 6 + 1} would share {shared:.3f} mm³"
        for i in range(6)
        for j in (i + 1, i + 5)
        if meet
    )


@pytest.mark.parametrize("middle", [90.0, 180.0, 270.0, 0.0])
def test_two_ribs_too_near_each_other_wherever_they_stand(middle):
    """At ±3° about `middle` corners part at 1.5/tan 3° = 28.6 mm, and ribs begin at 20 mm."""
    angles = (middle + 120, middle - 3, middle + 3, middle + 240)
    shape = square(angles=[*angles, middle], wide=1.55)
    near = {s for s in told(plain(disc(shape=shape), made=ribs(angles=angles))) if "rib-2 and" in s}
    assert any(s.startswith("rib-2 and rib-3 would share") for s in near)
    far = ribs(rib(inner=29.0), angles=angles)
    assert not any("rib-2 and" in s for s in told(plain(disc(shape=shape), made=far)))


# Rib 1 with a lug past the axis, and a neighbour's finger that stands in that lug's way out, in a
# hole that rib 1 has for it: only rib 1 is barred, and only by this neighbour.
LUGGED = rib(adds=[box(-6, 80, 20, 86) - box(-2, 82, 2, 84)])
FINGER = rib(adds=[box(-1.8, 82.2, 20, 83.8)])


@pytest.mark.parametrize("neighbour", [2, 4])
def test_a_rib_barred_by_the_neighbour_on_either_side(neighbour):
    """Rib 1's lug, from −6 to −2 mm and 1.6 mm high between 82.2 and 83.8, has to pass the
    neighbour's finger, 3 mm thick and 3 mm wide where the lug is: 3 × 3 × 1.6 = 14.4 mm³."""
    shapes = [LUGGED if n == 1 else FINGER if n == neighbour else rib() for n in (1, 2, 3, 4)]
    found = told(plain(made=ribs(*shapes)))
    assert found == [f"rib-1 cannot slide in: rib-{neighbour} stands 14.400 mm³ in its way"]
    # A slot instead of a hole lets the lug pass.
    shapes[0] = LUGGED - box(-10, 82, -1, 84)
    assert told(plain(made=ribs(*shapes))) == []


def test_a_turned_disc_is_turned():
    """Slots at 0°, 90°, … of its own axes; turned by 45° it fits ribs at 45°, 135°, …"""
    between = ribs(angles=[45.0, 135.0, 225.0, 315.0])
    assert told(plain(disc(turn=45.0), made=between)) == []
    assert told(plain(disc(turn=0.0), made=between))
    # 3° further than the slots' clearance, 0.05 mm in 30: 0.1°
    assert told(plain(disc(turn=48.0), made=between))


def test_thick_sheets_are_squeezed_to_the_joint_and_no_further():
    """A rib as thick as the slot is wide, 3.1 mm, and thicker: pressed to 3.1 mm. Only a slot that
    is narrower than what the joint says shares something: 0.05 mm of either face, 4.2 mm deep."""
    for thickness in (3.1, 3.3):
        assert told(plain(made=ribs(thickness=thickness))) == []
        assert told(plain(disc(thickness=thickness))) == []
    narrow = disc(shape=square(wide=1.5))
    assert told(plain(narrow, made=ribs(thickness=3.0))) == []
    found = told(plain(narrow, made=ribs(thickness=3.3)))
    # 2 × 0.05 mm × 4 mm, from the notch's floor at 30 to the rim at 34, × 3 mm
    assert found == [f"rib-{n} and disc-1 would share 1.200 mm³" for n in (1, 2, 3, 4)]
    low = ribs(rib(at=(), cuts=[notch(below=1.5, above=1.5)]))
    found = told(plain(disc(thickness=3.3), made=low))
    # 2 × 0.05 mm × 9.8 mm, from the rib's inner edge at 20 to the slot's floor, × 3 mm
    assert found == [f"rib-{n} and disc-1 would share 2.940 mm³" for n in (1, 2, 3, 4)]


def test_notch_and_slot_may_have_widths_of_their_own():
    """Discs of 4 mm in notches of 4.1 mm: of the slot's 3.1 mm they would lose 0.9 mm."""
    made = ribs(rib(at=(), cuts=[notch(below=2.05, above=2.05)]))
    assert told(plain(disc(thickness=4.0), made=made, **{"joint.notch_width": 4.1})) == []
    tight = ribs(rib(at=(), cuts=[notch(below=1.9, above=1.9)]))
    found = told(plain(disc(thickness=4.0), made=tight, **{"joint.notch_width": 4.1}))
    # 2 × 0.1 mm × 9.8 × 3
    assert found == [f"rib-{n} and disc-1 would share 5.880 mm³" for n in (1, 2, 3, 4)]


@pytest.mark.parametrize(("radius", "shares"), [(31.0, True), (30.7, False)])
def test_round_rims_are_round(radius, shares):
    """A round disc and a stand's post 0.2 mm into it, or 0.1 mm off it: chords hide neither."""
    shape = Outline(circle(radius))
    made = plain(
        disc(),
        part("disc-2", shape, level(20.0)),
        *(stand(n, 30.8, angle=5.0 + 17.0 * n, high=70.0) for n in range(1, 5)),
    )
    found = [s for s in told(made) if "stand" in s]
    assert {s.split(" would")[0] for s in found} == (
        {f"disc-2 and stand-{n}" for n in range(1, 5)} if shares else set()
    )


@pytest.mark.parametrize(("radius", "shares"), [(14.9, True), (14.98, False)])
def test_a_round_bore_is_no_smaller_than_it_is(radius, shares):
    """Posts whose corners lie √(14.9² + 1.5²) = 14.975 mm from the axis, all round in a bore."""
    shape = Outline(circle(31.0), (circle(radius, clockwise=True),))
    posts = [stand(n, 8.9, angle=7.0 + 90.0 * n, high=70.0) for n in range(1, 5)]
    found = told(plain(disc(), part("disc-2", shape, level(20.0)), *posts))
    assert {s.split(" would")[0] for s in found if "disc-2 and stand" in s} == (
        {f"disc-2 and stand-{n}" for n in range(1, 5)} if shares else set()
    )
