"""Frames of rectangles, cut out by shapely: what they share is a sum that a reader can do.

A square body's worth of plates in a cylinder of radius 50 mm and height 100 mm: four ribs, 3 mm
thick, from x = 20 to 50 mm, each with a notch from 20 to 30 mm, in which the slots of a square
disc sit 0.05 mm clear of either face and 0.2 mm clear of the floor. No builder of the package
has a part in them.
"""

from __future__ import annotations

import shapely
from parts.hand_made import frame, level, part, upright
from shapely import Polygon, box
from shapely.affinity import rotate
from shapely.geometry.polygon import orient

from framekit.errors import BuildError
from framekit.geometry.path import Outline, Path, Vertex
from framekit.parts.verify.check import check_assembly
from framekit.solution.model import Meridian

RIGHT = (0.0, 90.0, 180.0, 270.0)


def skin(outer=lambda z: 50.0, low=0.0, high=100.0, breaks=()):
    return Meridian(
        outer, lambda z: 0.0, lambda z: 20.0, lambda z: 0.0, low, high, low, high,
        (False, False), 6.0, breaks,
    )  # fmt: skip


BODY = skin()


def outline(shape: Polygon) -> Outline:
    """The polygon as the package's data: the outer edge counter-clockwise, holes clockwise."""

    def path(ring):
        return Path(tuple(Vertex(x, y) for x, y in ring.coords[:-1]))

    shape = orient(shape)
    return Outline(path(shape.exterior), tuple(path(hole) for hole in shape.interiors))


def notch(z=50.0, floor=30.0, below=1.55, above=1.55):
    return box(0, z - below, floor, z + above)


def rib(*, inner=20.0, outer=50.0, low=0.0, high=100.0, cuts=(), adds=(), at=(50.0,)):
    shape = box(inner, low, outer, high)
    for cut in (*map(notch, at), *cuts):
        shape -= cut
    return shapely.union_all([shape, *adds])


def ring(polygon, angles):
    return [rotate(polygon, a, origin=(0, 0)) for a in angles]


def square(half=34.0, floor=29.8, wide=1.55, angles=RIGHT, cuts=(), adds=()):
    """A square disc with slots open to its rim, `wide` mm to either side of a rib's middle."""
    shape = box(-half, -half, half, half)
    shape -= shapely.union_all([*ring(box(floor, -wide, 80, wide), angles), *cuts])
    return shapely.union_all([shape, *adds])


def disc(number=1, z=50.0, shape=None, turn=0.0, thickness=3.0, kind="disc"):
    shape = square() if shape is None else shape
    return part(f"{kind}-{number}", outline(shape), level(z, turn), thickness)


def ribs(*shapes, angles=RIGHT, thickness=3.0):
    """A rib at each angle; the shapes in turn, and equal shapes are one outline, as framekit's."""
    outlines = [outline(shape) for shape in (shapes or (rib(),))]
    return [
        part(f"rib-{i + 1}", outlines[i % len(outlines)], upright(a), thickness)
        for i, a in enumerate(angles)
    ]


def plain(*plates, made=None, **numbers):
    """The frame of the ribs and plates; one disc at half height unless others are given."""
    return frame([*(made or ribs()), *(plates or (disc(),))], **numbers)


def check(made, body=BODY):
    return check_assembly(made, body)


def told(made, body=BODY):
    """What the assembly test says of a frame, as a sorted list without the hints."""
    try:
        check(made, body)
    except BuildError as error:
        return sorted(fault.message for fault in error.faults)
    return []
