"""A radius-of-height curve on whole arrays; stands on numpy, so no check imports it."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framekit.geometry.profile_curve import HeightCurve


@lru_cache(maxsize=16)
def _table(curve: HeightCurve) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The heights, shape (points,), and the pieces' coefficients, shape (4, points − 1)."""
    return np.array(curve.heights), np.array(curve.pieces).T


def curve_on_arrays(curve: HeightCurve, x: Any) -> Any:
    """The radii in mm at heights `x` in mm, an array of any shape or one number.

    NaN gives NaN.
    """
    heights, (c0, c1, c2, c3) = _table(curve)
    z = np.clip(x, heights[0], heights[-1])
    i = np.clip(np.searchsorted(heights, z, side="right") - 1, 0, heights.size - 2)
    t = z - heights[i]
    inside = c0[i] + t * (c1[i] + t * (c2[i] + t * c3[i]))
    return np.where(z >= heights[-1], curve.radii[-1], inside)[()]
