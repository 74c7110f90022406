"""Hanging holes against solids by manifold3d and known distances."""

from __future__ import annotations

import math

import pytest
from manifold3d import CrossSection, Manifold
from parts.plain_solids import solid
from parts.solved_frames import frame

from framekit.errors import GeometryError, Where
from framekit.geometry.path import Outline, circle, rectangle
from framekit.parts.display.balance import balance_of
from framekit.parts.display.hanging import HangWish, hang_hole, reachable_tilts
from framekit.parts.display.hole_places import clearance_at
from framekit.parts.model import Part
from framekit.parts.retention import retention_of

LEVEL = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))


def hung(made, tilt, diameter, wall, parts=None):
    """What a solved frame hangs by, its centre of mass, and the tilts that can be had."""
    parts = parts or made.parts
    wish = HangWish(tilt, diameter, {part.id: wall for part in parts})
    centre = balance_of(made.parts).centre
    return hang_hole(parts, centre, wish, retention_of(made.solution, made.parts))


def plate(outline):
    return Part("plate", "rib", "frame", "plate", 3.0, "ply", outline, (), (), LEVEL, 1.0, Where())


@pytest.mark.parametrize("tilt", [23.44, 26.73, 97.77, 177.36])
def test_a_tilted_hang_settles_at_its_tilt(tilt):
    """The hole is made with manifold3d; material is left round it and none in it."""
    made = frame()
    try:
        found = hung(made, tilt, 3.0, 3.0)
    except GeometryError as error:
        assert "These tilts can be had" in str(error)
        wish = HangWish(tilt, 3.0, {part.id: 3.0 for part in made.parts})
        centre = balance_of(made.parts).centre
        runs = reachable_tilts(made.parts, centre, wish, retention_of(made.solution, made.parts))
        assert runs and not any(a <= tilt <= b for a, b in runs)
        return
    assert found.settled.tilt == pytest.approx(tilt, abs=1e-6)  # the centre is on the axis
    part = made.part(found.holes[0].part)
    around = Manifold.cylinder(20.0, 4.4, 4.4, 64, True)
    x, y = found.holes[0].at
    own = solid(plate(part.outline))
    # a column of radius 1.5 + 3 less 0.1 for facets, through 3 mm of sheet, is solid all over
    column = around.translate((x, y, 0.0)) ^ own
    full = (
        CrossSection(
            [
                [
                    (4.4 * math.cos(a), 4.4 * math.sin(a))
                    for a in (2 * math.pi * i / 64 for i in range(64))
                ]
            ]
        ).area()
        * 3
    )
    assert column.volume() == pytest.approx(full, rel=1e-5)  # float32 vertices
    assert found.holes[0].web >= 3.0 - 1e-9  # rounding


def test_an_upright_hang_uses_a_disc_or_a_loop():
    made = frame()
    found = hung(made, 0.0, 3.0, 3.0)
    whole = [p for p in made.parts if p.kind == "disc" and not p.outline.holes]
    assert found.holes[0].part == max(whole, key=lambda p: p.pose[2][3]).id
    ribs = [p for p in made.parts if p.kind == "rib"]
    loop = hung(made, 0.0, 3.0, 3.0, ribs)
    assert len(loop.holes) == 2
    a, b = (hole.point for hole in loop.holes)
    assert (a[0], a[1], a[2]) == pytest.approx((-b[0], -b[1], b[2]), abs=1e-9)  # opposite ribs
    assert loop.settled.tilt == pytest.approx(0.0, abs=1e-9)  # by symmetry
    below = hung(made, 180.0, 3.0, 3.0, ribs)
    assert below.point[2] == pytest.approx(-loop.point[2], abs=1e-6)  # mirrored search


def test_an_unreachable_hang_names_what_can_be_had():
    with pytest.raises(GeometryError, match="make the hole smaller"):
        hung(frame(), 45.0, 30.0, 3.0)
    # the equator's disc is in the way
    with pytest.raises(GeometryError, match=r"These tilts can be had: .*°"):
        hung(frame(), 90.0, 3.0, 3.0)
    with pytest.raises(GeometryError, match="makes no sense"):
        hung(frame(), 181.0, 3.0, 3.0)


def test_clearance_at_known_places():
    part = plate(Outline(rectangle(0.0, 20.0, 5.0, 10.0), (circle(2.0).moved(0, 10, 5),)))
    assert clearance_at(part, (4.0, 5.0)) == pytest.approx(4.0, abs=1e-12)  # left edge or hole
    assert clearance_at(part, (10.0, 8.5)) == pytest.approx(1.5, abs=1e-12)
    assert clearance_at(part, (10.0, 5.0)) == 0.0
    assert clearance_at(part, (-1.0, 5.0)) == 0.0
