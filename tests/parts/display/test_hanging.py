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
from framekit.parts.display.hanging import clearance_at, hang_hole, reachable_tilts
from framekit.parts.model import Part

LEVEL = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))


def plate(outline):
    return Part("plate", "rib", "frame", "plate", 3.0, "ply", outline, (), (), LEVEL, 1.0, Where())


@pytest.mark.parametrize("tilt", [23.44, 26.73, 97.77, 177.36])
def test_a_tilted_hang_settles_at_its_tilt(tilt):
    """The hole is made with manifold3d; material is left round it and none in it."""
    parts = frame().parts
    balance = balance_of(parts)
    try:
        hung = hang_hole(parts, balance.centre, tilt, 3.0, 3.0)
    except GeometryError as error:
        assert "These tilts can be had" in str(error)
        runs = reachable_tilts(parts, balance.centre, 3.0, 3.0)
        assert not any(a <= tilt <= b for a, b in runs)
        return
    assert hung.settled.tilt == pytest.approx(tilt, abs=1e-6)  # the centre is on the axis
    part = next(p for p in parts if p.id == hung.holes[0].part)
    around = Manifold.cylinder(20.0, 4.4, 4.4, 64, True)
    x, y = hung.holes[0].at
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
    assert hung.holes[0].web >= 3.0 - 1e-9  # rounding


def test_an_upright_hang_uses_a_disc_or_a_loop():
    bored = frame().parts
    centre = balance_of(bored).centre
    loop = hang_hole(bored, centre, 0.0, 3.0, 3.0)
    whole = [p for p in bored if p.kind == "disc" and not p.outline.holes]
    assert loop.holes[0].part == max(whole, key=lambda p: p.pose[2][3]).id
    ribs = [p for p in bored if p.kind == "rib"]
    loop = hang_hole(ribs, centre, 0.0, 3.0, 3.0)
    assert len(loop.holes) == 2
    a, b = (hole.point for hole in loop.holes)
    assert (a[0], a[1], a[2]) == pytest.approx((-b[0], -b[1], b[2]), abs=1e-9)  # opposite ribs
    assert loop.settled.tilt == pytest.approx(0.0, abs=1e-9)  # by symmetry
    below = hang_hole(ribs, centre, 180.0, 3.0, 3.0)
    assert below.point[2] == pytest.approx(-loop.point[2], abs=1e-6)  # mirrored search


def test_an_unreachable_hang_names_what_can_be_had():
    parts = frame().parts
    centre = balance_of(parts).centre
    with pytest.raises(GeometryError, match="make the hole smaller"):
        hang_hole(parts, centre, 45.0, 30.0, 3.0)
    # the equator's disc is in the way
    with pytest.raises(GeometryError, match=r"These tilts can be had: .*°"):
        hang_hole(parts, centre, 90.0, 3.0, 3.0)


def test_clearance_at_known_places():
    part = plate(Outline(rectangle(0.0, 20.0, 5.0, 10.0), (circle(2.0).moved(0, 10, 5),)))
    assert clearance_at(part, (4.0, 5.0)) == pytest.approx(4.0, abs=1e-12)  # left edge or hole
    assert clearance_at(part, (10.0, 8.5)) == pytest.approx(1.5, abs=1e-12)
    assert clearance_at(part, (10.0, 5.0)) == 0.0
    assert clearance_at(part, (-1.0, 5.0)) == 0.0
