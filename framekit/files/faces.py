"""The faces of a part in space: its two sheet faces, and the edge that the cutter leaves.

The solid is the finished outline swept half the thickness to each side and posed, as in the truth
test; axes are the frame's, z up the body's axis, mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from framekit.geometry.path import Path, Segment
from framekit.parts.model import Part, Pose

Array = npt.NDArray[np.float64]

SHARP = math.radians(12.0)
"""A turn from which two pieces of an edge are two faces; the arcs that follow a curve turn less."""


class Face(NamedTuple):
    """A flat face: its rings in mm, each of shape (k, 3), the outer first, and its unit normal.

    `smooth` numbers the smooth surface it belongs to within its part: 0 and 1 are the sheet faces
    on the side of the part's own z and on the other, higher ones are runs of the edge without a
    corner. The normal, shape (3,), points out of the solid.
    """

    rings: tuple[Array, ...]
    normal: Array
    smooth: int


def part_faces(part: Part, chord_error: float) -> list[Face]:
    """The faces of a part whose arcs are polylines within `chord_error` mm."""
    outer, *holes = (part.outline.outer, *part.outline.holes)
    paths = [outer if outer.area > 0.0 else outer.reversed()]
    paths += [hole if hole.area < 0.0 else hole.reversed() for hole in holes]
    half = part.thickness / 2.0
    rings: list[Array] = []
    walls: list[Face] = []
    smooth = 2
    for path in paths:
        flat, runs = _sampled(path, chord_error)
        rings.append(flat)
        upper, lower = posed(part.pose, flat, half), posed(part.pose, flat, -half)
        along = np.roll(upper, -1, axis=0) - upper
        normals = np.cross(along, upper - lower)
        normals /= np.linalg.norm(normals, axis=1)[:, None]
        for i, run in enumerate(runs):
            j = (i + 1) % len(flat)
            corners = np.array((upper[i], lower[i], lower[j], upper[j]))
            walls.append(Face((corners,), normals[i], smooth + run))
        smooth += max(runs) + 1
    turn = np.array([row[:3] for row in part.pose[:3]])
    sheet = [
        Face(
            tuple(posed(part.pose, ring, side * half) for ring in rings), side * turn[:, 2], side_no
        )
        for side_no, side in enumerate((1.0, -1.0))
    ]
    return sheet + walls


def posed(pose: Pose, flat: Array, height: float) -> Array:
    """Points of shape (k, 2) of a part's plane, `height` mm up its own z, in the frame's axes."""
    matrix = np.array(pose)
    moved: Array = flat @ matrix[:3, :2].T + height * matrix[:3, 2] + matrix[:3, 3]
    return moved


def _sampled(path: Path, chord_error: float) -> tuple[Array, list[int]]:
    """The polyline of a closed path, shape (k, 2), and the smooth run of each of its pieces."""
    points: list[tuple[float, float]] = []
    runs: list[int] = []
    segments = path.segments
    run = 0
    for i, segment in enumerate(segments):
        run += i > 0 and _corner(segments[i - 1], segment)
        found = list(segment.points(chord_error))
        points += found
        runs += [run] * len(found)
    if run and not _corner(segments[-1], segments[0]):
        runs = [0 if r == run else r for r in runs]
    return _without_repeats(points, runs)


def _corner(before: Segment, after: Segment) -> bool:
    (ax, ay), (bx, by) = before.direction(at_end=True), after.direction()
    return math.atan2(abs(ax * by - ay * bx), ax * bx + ay * by) > SHARP


def _without_repeats(
    points: Sequence[tuple[float, float]], runs: Sequence[int]
) -> tuple[Array, list[int]]:
    kept = [i for i, p in enumerate(points) if math.dist(p, points[(i + 1) % len(points)]) > 1e-9]
    return np.array([points[i] for i in kept]), [runs[i] for i in kept]
