"""A view of the frame in space: where the eye is, and where on the page each point is seen."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


class View(NamedTuple):
    """A perspective view: eye in mm, unit axes, and how the picture plane goes onto the page.

    `eye`, `right`, `up` and `toward` (from the frame to the eye) have shape (3,) in the frame's
    axes. The page's y runs down; a point at the distance d before the eye and x, y to its right
    and above it is seen at (`left` + `scale` x/d, `top` − `scale` y/d), in page units.
    """

    eye: Array
    right: Array
    up: Array
    toward: Array
    scale: float
    left: float
    top: float

    def seen(self, points: Array) -> Array:
        """Where points of shape (k, 3) are seen on the page, shape (k, 2)."""
        rays = points - self.eye
        away = -(rays @ self.toward)
        return np.column_stack(
            (
                self.left + self.scale * (rays @ self.right) / away,
                self.top - self.scale * (rays @ self.up) / away,
            )
        )

    def faces_eye(self, point: Array, normal: Array) -> bool:
        """Whether a plane through `point` turns the side of its `normal` to the eye."""
        return bool(normal @ (self.eye - point) > 1e-9)

    def nearness(self, point: Array, normal: Array) -> tuple[float, float, float]:
        """The a, b and c of a plane's nearness 1/d = a x + b y + c, in 1/mm, at page x, y.

        A ray through the page meets the plane n·p = n·point where d (n·ray) = n·(point − eye),
        so 1/d is linear on the page, as with any perspective (homogeneous coordinates).
        """
        offset = float(normal @ (point - self.eye))
        a = float(normal @ self.right) / (offset * self.scale)
        b = -float(normal @ self.up) / (offset * self.scale)
        c = -float(normal @ self.toward) / offset
        return (a, b, c - a * self.left - b * self.top)


class Axes(NamedTuple):
    """The unit axes of a view, each of shape (3,): to the right, up, and toward the eye."""

    right: Array
    up: Array
    toward: Array

    def direction(self, right: float, up: float, toward: float) -> Array:
        """The unit vector that leans so far to the right, up and toward the eye."""
        leaning = right * self.right + up * self.up + toward * self.toward
        unit: Array = leaning / np.linalg.norm(leaning)
        return unit


def axes_at(azimuth: float, elevation: float) -> Axes:
    """The axes of a view from an azimuth and elevation in degrees."""
    a, e = math.radians(azimuth), math.radians(elevation)
    toward = np.array((math.cos(e) * math.cos(a), math.cos(e) * math.sin(a), math.sin(e)))
    right = np.array((-math.sin(a), math.cos(a), 0.0))
    return Axes(right, np.cross(toward, right), toward)


def view_of(
    axes: Axes, points: Array, beside: Array, remoteness: float, width: float, margin: float
) -> tuple[View, float]:
    """The view that fits points onto a page `width` wide, and the page's height.

    The eye looks at the middle of `points`, shape (k, 3), from as far away as `remoteness` times
    half their extent; `beside`, shape (m, 3), are further points that must be on the page. Width,
    height and margin are in page units.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    middle = (low + high) / 2.0
    extent = float(np.linalg.norm(points - middle, axis=1).max())
    view = View(middle + remoteness * extent * axes.toward, *axes, 1.0, 0.0, 0.0)
    seen = view.seen(np.concatenate((points, beside)))
    least, most = seen.min(axis=0), seen.max(axis=0)
    scale = (width - 2.0 * margin) / float(most[0] - least[0])
    left, top = margin - scale * float(least[0]), margin - scale * float(least[1])
    height = 2.0 * margin + scale * float(most[1] - least[1])
    return view._replace(scale=scale, left=left, top=top), height
