"""Planted looseness: parts that just hold each other, and those that just do not.

0.1 mm along a joint counts as holding; a face counts as close up to the joint's own play, 0.1 mm,
and 0.02 mm more; a floor up to twice its clearance of 0.2 mm, and 0.02 mm more. The frames are
those of `parts.square_frames`, whose faces stand 0.05 mm apart.
"""

from __future__ import annotations

import pytest
from parts.hand_made import frame, level, part, upright
from parts.square_frames import (
    RIGHT,
    check,
    disc,
    notch,
    outline,
    plain,
    rib,
    ribs,
    ring,
    skin,
    square,
    told,
)
from shapely import Point, box
from shapely.affinity import rotate

from framekit.parts.retention import Play, find_retention, unconnected

LOOSE = ["disc-1 is not joined to the rest", "rib-2 is not joined to the rest",
         "rib-3 is not joined to the rest", "rib-4 is not joined to the rest"]  # fmt: skip


def wide(**sides):
    """Every rib's notch so far from the disc's middle on a side; 1.62 mm is close."""
    return plain(made=ribs(rib(at=(), cuts=[notch(**sides)])))


@pytest.mark.parametrize("side", ["above", "below"])
@pytest.mark.parametrize(("far", "held"), [(1.61, True), (1.63, False)])
def test_a_face_of_the_notch_close_to_the_disc_s(side, far, held):
    assert told(wide(**{side: far})) == ([] if held else LOOSE)


@pytest.mark.parametrize(("far", "held"), [(2.51, True), (2.53, False)])
def test_the_notch_s_own_width_says_what_is_close(far, held):
    """A disc of 3 mm in a notch said to be 4 mm wide: 1.5 + 1 + 0.02 mm, and not the slot's."""
    for side in ("above", "below"):
        cuts = [notch(**{side: far})]
        made = plain(made=ribs(rib(at=(), cuts=cuts)), **{"joint.notch_width": 4.0})
        assert told(made) == ([] if held else LOOSE)


@pytest.mark.parametrize("side", ["above", "below"])
@pytest.mark.parametrize(("far", "held"), [(1.56, True), (1.58, False)])
def test_a_disc_pressed_into_its_notch_has_no_play(side, far, held):
    """A disc of 3.3 mm in a notch of 3.1 mm is 3.1 mm thick there: 1.55 + 0.02 mm."""
    made = ribs(rib(at=(), cuts=[notch(**{side: far})]))
    assert told(plain(disc(thickness=3.3), made=made)) == ([] if held else LOOSE)


# A rib whose inner edge lies 0.11 or 0.09 mm inside the slot's floor at 29.8 mm, above the disc or
# below it; on the other side it begins at 20 mm as always.
@pytest.mark.parametrize("side", ["above", "below"])
@pytest.mark.parametrize(("inner", "held"), [(29.69, True), (29.71, False)])
def test_a_tenth_of_a_millimetre_holds(side, inner, held):
    cut = box(0, 51.5, inner, 101) if side == "above" else box(0, -1, inner, 48.5)
    assert told(plain(made=ribs(rib(cuts=[cut])))) == ([] if held else LOOSE)


@pytest.mark.parametrize(("bore", "held"), [(29.69, True), (29.71, False)])
def test_a_bored_disc_holds_with_what_is_left(bore, held):
    hole = box(-bore, -bore, bore, bore)
    assert told(plain(disc(shape=square(cuts=[hole])))) == ([] if held else LOOSE)


@pytest.mark.parametrize(("reach", "held"), [(29.69, True), (29.71, False)])
def test_a_window_in_the_rib_leaves_so_much(reach, held):
    """A hole just above the disc, from 20.01 mm on: the strip inside it is 0.01 mm."""
    windows = [box(20.01, 51.56, reach, 60)]
    assert told(plain(made=ribs(rib(cuts=windows)))) == ([] if held else LOOSE)


@pytest.mark.parametrize("loose", [1, 2, 3, 4])
def test_each_rib_is_looked_at(loose):
    cut = [notch(above=1.7)]
    shapes = [rib(at=(), cuts=cut) if n == loose else rib() for n in (1, 2, 3, 4)]
    found = told(plain(made=ribs(*shapes)))
    others = [n for n in (1, 2, 3, 4) if n != loose]
    if loose == 1:
        # all that is not joined to the first part is told
        assert found == sorted(["disc-1 is not joined to the rest"] + [
            f"rib-{n} is not joined to the rest" for n in others
        ])  # fmt: skip
    else:
        assert found == [f"rib-{loose} is not joined to the rest"]


def test_a_frame_in_two_pieces_is_told():
    """Discs 1 and 2, each held by a pair of ribs of its own, and one that joins them."""
    low, high = rib(at=(20.0,), high=45.0), rib(at=(80.0,), low=55.0)
    one = disc(1, 20.0, square(angles=(0.0, 180.0)))
    two = disc(2, 80.0, square(angles=(90.0, 270.0)))
    found = told(plain(one, two, made=ribs(low, high)))
    assert found == [f"{n} is not joined to the rest" for n in ("disc-2", "rib-2", "rib-4")]
    joined = rib(at=(20.0, 80.0))
    made = ribs(joined, high, low, high)
    two = disc(2, 80.0, square())
    assert told(plain(one, two, made=made)) == []


def test_what_is_not_joined_to_the_first():
    links = {"a": ["b"], "b": ["a", "c"], "c": ["b"], "d": ["e"], "e": ["d"], "f": []}
    assert unconnected(links) == ["d", "e", "f"]
    assert unconnected({"a": []}) == []


# A disc at the ribs' end: they have material on its inner side, and tongues within it.
BOTH = pytest.mark.parametrize("top", [True, False])
ROOMY = skin(low=-10.0, high=110.0)


def ending(top, tongue=(30.0, 40.0), proud=0.0, gap=0.05, shoulder=20.0):
    """A rib with a tongue in the disc at its end, `proud` mm out of it, and a shoulder with a
    `gap` under the disc that begins at `shoulder` mm."""
    end = box(0, 97 - gap, 60, 100) if top else box(0, 0, 60, 3 + gap)
    near = box(0, 96 - gap, shoulder, 100) if top else box(0, 0, shoulder, 4 + gap)
    low, high = (96 - gap, 100 + proud) if top else (-proud, 4 + gap)
    return rib(cuts=[end, near], adds=[box(tongue[0], low, tongue[1], high)])


def mortised(top, one=1.55, other=1.55, first=29.8, last=40.2):
    shape = Point(0, 0).buffer(47, 16)
    for hole in ring(box(first, -one, last, other), RIGHT):
        shape -= hole
    return disc(2, 98.5 if top else 1.5, shape)


def lying(top, rim):
    """A plain round disc at the end, its rim `rim` mm from the axis along every rib."""
    shape = Point(0, 0).buffer(rim, 1)
    return disc(2, 98.5 if top else 1.5, shape)


def end_holders(plate, shape):
    """Which ribs hold the plate at the end; the middle disc joins the ribs in any case."""
    made = plain(disc(), plate, made=ribs(shape))
    found = told(made, ROOMY)
    assert found in ([], ["disc-2 is not joined to the rest"])
    return () if found else check(made, ROOMY).holders["disc-2"]


ALL_FOUR = ("rib-1", "rib-2", "rib-3", "rib-4")


@BOTH
@pytest.mark.parametrize(("proud", "held"), [(0.0, True), (0.16, True), (0.18, False)])
def test_a_rib_that_goes_on_past_the_disc_is_no_end(top, proud, held):
    """1.5 + 0.12 + 0.05 = 1.67 mm off the disc's middle it has ended. The slots are open."""
    shape = Point(0, 0).buffer(47, 16)
    for hole in ring(box(29.8, -1.55, 60, 1.55), RIGHT):
        shape -= hole
    plate = disc(2, 98.5 if top else 1.5, shape)
    assert end_holders(plate, ending(top, (30.0, 50.0), proud)) == (ALL_FOUR if held else ())


@BOTH
@pytest.mark.parametrize(("gap", "held"), [(0.11, True), (0.13, False)])
def test_a_shoulder_is_close_under_the_disc(top, gap, held):
    assert end_holders(mortised(top), ending(top, gap=gap)) == (ALL_FOUR if held else ())


@BOTH
@pytest.mark.parametrize(("one", "other"), [(1.61, 1.55), (1.55, 1.61), (1.63, 1.55), (1.55, 1.63)])
def test_a_tongue_stands_between_both_sides_of_its_mortise(top, one, other):
    """1.5 + 0.1 + 0.02 mm to either side. The tongue is 0.5 mm off the mortise's inner end, so
    that it does not count as close behind that."""
    held = max(one, other) < 1.62
    plate = mortised(top, one, other, first=29.5)
    assert end_holders(plate, ending(top)) == (ALL_FOUR if held else ())


@BOTH
@pytest.mark.parametrize(("wide", "held"), [(1.61, True), (1.63, False)])
def test_the_slot_s_width_says_what_is_close_beside_a_tongue(top, wide, held):
    """Not the notch's, which is said to be 3.2 mm wide."""
    plate = mortised(top, wide, first=29.5)
    made = plain(disc(), plate, made=ribs(ending(top)), **{"joint.notch_width": 3.2})
    assert (told(made) == []) is held


@BOTH
@pytest.mark.parametrize(("gap", "held"), [(0.0, True), (0.41, True), (0.43, False)])
def test_a_rabbet_stands_close_behind_the_rim(top, gap, held):
    """2 × 0.2 + 0.02 mm behind it at most."""
    assert end_holders(lying(top, 30.0 - gap), ending(top)) == (ALL_FOUR if held else ())


def at_the_end(shapes, plate):
    """Who holds whom, asked without the rest of the assembly test."""
    made = ribs(*shapes)
    thick = {p.id: 3.0 for p in (*made, plate)}
    return find_retention(made, (plate,), thick, {plate.id: Play(0.12, 0.12, 0.42)})


@pytest.mark.parametrize(("first", "held"), [(30.1, True), (30.05, False)])
def test_what_begins_within_the_disc_s_rim_is_not_behind_it(first, held):
    """A square disc whose rim is 30.1 mm from the axis, without a slot."""
    plate = disc(2, 98.5, box(-30.1, -30.1, 30.1, 30.1))
    found = at_the_end([ending(True, (first, 40.0))], plate)
    assert found.holders["disc-2"] == (list(ALL_FOUR) if held else [])


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_a_disc_lies_on_the_ribs_ends_where_no_rib_holds_it_from_both_sides(turn):
    through = rib(at=(98.5,), high=110.0)
    shapes = [ending(True), ending(True), ending(True), through]
    found = at_the_end(shapes[turn:] + shapes[:turn], mortised(True))
    assert found.holders["disc-2"] == list(ALL_FOUR) and found.resting == ()
    assert at_the_end([ending(True)], mortised(True)).resting == ("disc-2",)
    assert at_the_end([through], mortised(True)).resting == ()


@BOTH
def test_the_clearance_says_what_is_close_behind_the_rim(top):
    made = plain(disc(), lying(top, 29.5), made=ribs(ending(top)), **{"joint.end_clearance": 0.25})
    assert check(made).holders["disc-2"] == ALL_FOUR


@BOTH
def test_a_disc_that_lies_on_shoulders_alone_is_loose(top):
    """Nothing within the disc: its rim is 31 mm, and no tongue stands behind or in it."""
    flat = rib(high=97.0) if top else rib(low=3.0)
    assert end_holders(lying(top, 31.0), flat) == ()


@BOTH
@pytest.mark.parametrize(("shoulder", "held"), [(29.89, True), (29.91, False)])
def test_a_disc_at_the_end_lies_on_a_tenth_of_a_millimetre(top, shoulder, held):
    """The disc's rim is 30 mm from the axis, its shoulder begins so far out."""
    made = ending(top, shoulder=shoulder)
    assert end_holders(lying(top, 30.0), made) == (ALL_FOUR if held else ())


def test_a_flange_is_held_from_both_sides():
    """A ring on the ribs' upper ends, with tongues behind nothing: a disc would lie there."""
    shape = Point(0, 0).buffer(60, 16) - Point(0, 0).buffer(22, 16)
    for hole in ring(box(29.8, -1.55, 40.2, 1.55), RIGHT):
        shape -= hole
    on = disc(1, 98.5, shape, kind="flange")
    found = told(plain(disc(), on, made=ribs(ending(True))))
    assert "flange-1 is not joined to the rest" in found


def held_by(plate, angle, *, kind="disc", turn=0.0):
    """The ribs that hold a plate, asked without the rest of the assembly test."""
    made = frame([part("rib-1", outline(rib()), upright(angle))])
    posed = part(f"{kind}-1", outline(plate), level(50.0, turn))
    thick = {"rib-1": 3.0, posed.id: 3.0}
    play = {posed.id: Play(0.12, 0.12, 0.42)}
    return find_retention(made.parts, (posed,), thick, play).holders[posed.id]


@pytest.mark.parametrize("angle", [0.0, 37.0, 90.0, 200.0, 300.0])
def test_a_plate_is_cut_along_the_rib_s_own_direction(angle):
    """An arm of 29.8 mm toward 10° of its own axes holds a rib at 10° and its turn, no other."""
    arm = rotate(box(0, -1, 29.8, 1), 10, origin=(0, 0))
    assert held_by(arm, angle, turn=angle - 10.0) == ["rib-1"]
    assert held_by(arm, angle, turn=angle + 10.0) == []
    assert held_by(arm, angle, turn=angle + 170.0) == []
    assert held_by(arm, angle, turn=angle - 10.0, kind="flange") == ["rib-1"]
