"""The poses of upright and level plates in the frame's axes, whose z is the body's axis."""

from __future__ import annotations

from framekit.geometry.path import cosine_sine
from framekit.parts.model import Pose


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
