"""The poses of upright and level plates in the frame's axes, whose z is the body's axis; mm."""

from __future__ import annotations

from framekit.geometry.path import Point, cosine_sine
from framekit.parts.model import Point3, Pose


def upright(longitude: float) -> Pose:
    """The pose of a plate whose x points outward at that longitude and whose y is the axis."""
    c, s = cosine_sine(longitude)
    return ((c, 0.0, s, 0.0), (s, 0.0, -c, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))


def level(height: float, turn: float = 0.0) -> Pose:
    """The pose of a horizontal plate whose middle lies at that height in mm, turned by degrees."""
    c, s = cosine_sine(turn) if turn else (1.0, 0.0)
    return (
        (c, -s, 0.0, 0.0),
        (s, c, 0.0, 0.0),
        (0.0, 0.0, 1.0, height),
        (0.0, 0.0, 0.0, 1.0),
    )


def to_frame(pose: Pose, at: Point) -> Point3:
    """Return a point of a plate's middle plane in the frame's axes."""
    x, y, z = (row[0] * at[0] + row[1] * at[1] + row[3] for row in pose[:3])
    return (x, y, z)


def to_own(pose: Pose, point: Point3) -> Point3:
    """Return a point of the frame in the plate's own axes."""
    d = [point[i] - pose[i][3] for i in range(3)]
    x, y, z = (sum(pose[i][j] * d[i] for i in range(3)) for j in range(3))
    return (x, y, z)
