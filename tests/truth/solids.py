"""Solids from flat outlines, for tests: an oracle that shares nothing with framekit.

The kernel is manifold3d (its readme promises exact topology; volumes come from double-precision
meshes). The arguments are named as a part of the result document names them.
"""

from collections.abc import Sequence

import manifold3d
import numpy as np

Points = Sequence[Sequence[float]]


def solid(
    outline: Points, holes: Sequence[Points], thickness: float, pose: Sequence[Sequence[float]]
) -> manifold3d.Manifold:
    """The solid swept ± thickness/2 along the outline's own z, then moved by the pose.

    `outline` and each hole: shape (n, 2), mm, closed without repeating the first point, run
    either way. `pose`: shape (4, 4), a turn and a shift in mm, last row 0 0 0 1.
    """
    matrix = np.asarray(pose, dtype=float)
    if matrix.shape != (4, 4) or not np.array_equal(matrix[3], [0.0, 0.0, 0.0, 1.0]):
        raise ValueError(f"not a pose: {matrix}")
    turn = matrix[:3, :3]
    # 1e-9: a pose is a product of a few turns, each right to the last digits of a double.
    if not np.allclose(turn @ turn.T, np.eye(3), rtol=0.0, atol=1e-9) or np.linalg.det(turn) < 0.0:
        raise ValueError(f"the pose is not a turn: {turn}")
    loops = [np.asarray(loop, dtype=float) for loop in (outline, *holes)]
    face = manifold3d.CrossSection(loops, manifold3d.FillRule.EvenOdd)
    plate = manifold3d.Manifold.extrude(face, thickness).translate([0.0, 0.0, -thickness / 2])
    posed = plate.transform(matrix[:3])
    if posed.status() != manifold3d.Error.NoError or posed.is_empty():
        raise ValueError(f"the outline makes no solid: {posed.status()}")
    return posed


def overlap(a: manifold3d.Manifold, b: manifold3d.Manifold) -> float:
    """The volume in mm³ that two solids share; 0 when they only touch."""
    return float((a ^ b).volume())
