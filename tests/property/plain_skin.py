"""A body's skin from a spec's own numbers, by numpy and scipy: shares nothing with framekit.

Superellipse (Lamé, Examen des différentes méthodes, 1818), straight line, scipy's monotone cubic
through points (Fritsch and Butland 1984), numpy for formulas. Values of a spec are plain mm here,
as `random_bodies` writes them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from shapely import Polygon

Array = NDArray[np.float64]

KM = 1e6
BODIES = {
    "saturn": (60268 * KM, 54364 * KM),
    "jupiter": (71492 * KM, 66854 * KM),
    "earth": (6378.1366 * KM, 6356.7519 * KM),
    "moon": (1737.4 * KM, 1737.4 * KM),
}
"""Equatorial and polar radii: report of the IAU working group on cartographic coordinates, 2015."""

STEPS = 4000
"""Pieces of a meridian: chords of a 300 mm body lie under 1e-4 mm off."""


class PlainSkin(NamedTuple):
    """Radius in mm over the height from `low` to `high`, on the model; `corners` are heights."""

    radius: Callable[[Array], Array]
    low: float
    high: float
    corners: tuple[float, ...] = ()

    def heights(self) -> Array:
        """Heights from below to above, close together at the ends."""
        middle, half = (self.low + self.high) / 2, (self.high - self.low) / 2
        found = middle - half * np.cos(np.linspace(0.0, np.pi, STEPS + 1))
        found[0], found[-1] = self.low, self.high
        return np.unique(np.concatenate([found, self.corners]))

    def at(self, height: float) -> float:
        """The radius at one height."""
        inside = min(max(height, self.low), self.high)
        return float(self.radius(np.array([inside]))[0])

    def least(self, low: float, high: float) -> float:
        """The least radius between two heights, by close sampling."""
        some = [z for z in self.corners if low < z < high]
        z = np.clip(np.concatenate([np.linspace(low, high, 401), some]), self.low, self.high)
        return float(np.min(self.radius(z)))

    def normal(self, height: float) -> tuple[float, float]:
        """The unit normal outward at a height, by a central difference."""
        step = (self.high - self.low) * 1e-6
        low, high = max(self.low, height - step), min(self.high, height + step)
        slope = (self.at(high) - self.at(low)) / (high - low)
        size = float(np.hypot(1.0, slope))
        return 1.0 / size, -slope / size

    def half(self) -> Polygon:
        """The half of the meridian section at radii from 0 up."""
        z = self.heights()
        r = np.maximum(self.radius(z), 0.0)
        return Polygon([*zip(r, z, strict=True), (0.0, self.high), (0.0, self.low)]).buffer(0)


def plain_skin(spec: dict[str, Any], scale: float) -> PlainSkin:
    """The skin of a spec's body on a model of 1:`scale`."""
    body = spec["body"]
    whole = _real(body)
    low, high = whole.low, whole.high
    if "span" in body:
        start, stop = body["span"]
        low = low if start == "bottom" else max(low, float(start))
        high = high if stop == "top" else min(high, float(stop))
    return PlainSkin(
        lambda z: whole.radius(z * scale) / scale,
        low / scale,
        high / scale,
        tuple(z / scale for z in whole.corners if low < z < high),
    )


def _real(body: dict[str, Any]) -> PlainSkin:
    shape = body.get("shape", "catalogue")
    if shape in ("catalogue", "sphere", "spheroid", "superellipsoid"):
        a, c = _semi_axes(body)
        n = float(body.get("exponent", 2.0))

        def radius(z: Array) -> Array:
            return a * np.maximum(0.0, 1.0 - (np.abs(z) / c) ** n) ** (1.0 / n)

        return PlainSkin(radius, -c, c, (0.0,))
    if shape in ("cylinder", "cone"):
        base = body["radius"] if "radius" in body else body["diameter"] / 2
        top = body.get("top_radius", body["top_diameter"] / 2 if "top_diameter" in body else base)
        height = body["height"]
        return PlainSkin(lambda z: base + (top - base) * z / height, 0.0, height)
    if "points" in body:
        pairs = sorted((z, r) for r, z in body["points"])
        heights = np.array([z for z, _ in pairs], dtype=float)
        radii = np.array([r for _, r in pairs], dtype=float)
        ends = float(heights[0]), float(heights[-1])
        if body.get("smooth", True):
            return PlainSkin(PchipInterpolator(heights, radii), *ends, tuple(heights))
        return PlainSkin(lambda z: np.interp(z, heights, radii), *ends, tuple(heights))
    names = {n: getattr(np, n) for n in ("pi", "sqrt", "cbrt", "sin", "cos", "tan", "exp", "log")}
    names |= {"abs": np.abs, "min": np.minimum, "max": np.maximum, "atan": np.arctan}
    code = compile(body["radius_at"], "radius_at", "eval")

    def of_formula(z: Array) -> Array:
        with np.errstate(invalid="ignore"):
            found = eval(code, {"__builtins__": {}}, {**names, "z": z})
        # A root of what should be exactly nothing at a pole may be of a rounding below it.
        return np.nan_to_num(found + 0.0 * z, nan=0.0)

    return PlainSkin(of_formula, float(body["from"]), float(body["to"]))


def _semi_axes(body: dict[str, Any]) -> tuple[float, float]:
    if "catalogue" in body:
        return BODIES[body["catalogue"]]
    for key in ("radius", "diameter"):
        if key in body:
            size = body[key] / (2 if key == "diameter" else 1)
            return size, size
    if "mean_radius" in body:
        mean, q = body["mean_radius"], 1.0 - body["flattening"]
        by = (2.0 + q) / 3.0 if body["mean_kind"] == "arithmetic" else q ** (1.0 / 3.0)
        return mean / by, mean / by * q
    a = (
        body["equatorial_radius"]
        if "equatorial_radius" in body
        else body["equatorial_diameter"] / 2
    )
    if "flattening" in body:
        return a, a * (1.0 - body["flattening"])
    return a, body["polar_radius"] if "polar_radius" in body else body["polar_diameter"] / 2
