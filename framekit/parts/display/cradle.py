"""The edge of an upright plate that a tilted body of revolution rests on.

Axes of the stand: Z straight up, X level in the plane in which the body's axis leans, Y level
across it; the origin lies on the body's axis at the height of its centre of mass. The axis leans
by the tilt from Z toward X. A body's point at height h over the origin and signed distance p from
the axis within that plane lies at X = h sin T + p cos T, Z = h cos T − p sin T.

The plate has a thickness, so its edge follows the lowest the body reaches anywhere between its
faces. For the plate in the plane of the lean that is the meridian, since the body is the same on
both sides of that plane; for the plate across it, it is a section by one of the faces or a place
between them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from framekit.constraints.roots import bisect, bracket
from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Point, cosine_sine

_STEP = 1e-4
"""Step in radians of the differences that give the skin's slope: an error of about 1e-9 of it."""

_SAMPLES = 1440
"""Places round the meridian at which it is checked."""

_EDGE = math.radians(4.0)
"""Turn of the skin between two such places that counts as an edge."""

_INNER = 1e-12


class ConvexBody(NamedTuple):
    """A body of revolution: its `radius` in mm at a height in mm from `low` to `high`.

    Heights are the frame's z. The skin is convex; it is closed at an end where its radius is 0.
    """

    radius: Callable[[float], float]
    low: float
    high: float


class _Meridian:
    """The closed meridian by an angle v: height from low at v = 0 to high at π and back.

    The cosine makes a rounded end as smooth in v as its middle.
    """

    def __init__(self, body: ConvexBody, origin: float):
        self._body = body
        self._origin = origin
        self.middle = (body.low + body.high) / 2
        self.half = (body.high - body.low) / 2

    def height(self, v: float) -> float:
        """The height over the stand's origin in mm."""
        return self.middle - self.half * math.cos(v) - self._origin

    def frame_height(self, v: float) -> float:
        """The height in the frame's z in mm."""
        return self.height(v) + self._origin

    def radius(self, v: float) -> float:
        """The signed distance from the axis in mm, negative on the far side."""
        height = self.middle - self.half * math.cos(v)
        height = min(max(height, self._body.low), self._body.high)
        return math.copysign(self._body.radius(height), math.sin(v))

    def radius_at_height(self, h: float) -> float:
        """The radius in mm at a height over the stand's origin, which lies on the body."""
        z = min(max(h + self._origin, self._body.low), self._body.high)
        return self._body.radius(z)

    def angle_at(self, h: float) -> float:
        """The angle v, 0 to π, of a height over the origin."""
        return math.acos(max(-1.0, min(1.0, (self.middle - self._origin - h) / self.half)))

    def normal(self, v: float) -> Point:
        """The outward unit normal: its part away from the axis, on v's side, and along it."""
        slope = (self.radius(v + _STEP) - self.radius(v - _STEP)) / (2 * _STEP)
        out, up = self.half * math.sin(v), -slope
        size = math.hypot(out, up)
        if size == 0.0:
            return (0.0, math.copysign(1.0, -math.cos(v)))
        return (out / size, up / size)


@dataclass(frozen=True)
class Cradle:
    """A plate's upper edge as a curve from left to right by its parameter.

    `point_at` in mm in the plate's plane (level, up), `tangent_at` along it, `start` and `end`
    the parameters at its ends, `middle` that at its lowest point.
    """

    point_at: Callable[[float], Point] = field(repr=False)
    tangent_at: Callable[[float], Point] = field(repr=False)
    start: float
    end: float
    middle: float

    def parameter_at(self, level: float) -> float:
        """The parameter of the point at that level place in mm, which lies on the curve."""
        return bisect(lambda t: self.point_at(t)[0] < level, self.start, self.end)


class TiltedBody:
    """A skin with its axis tilted, seen from the stand's axes.

    `origin` is the height in mm of the stand's origin on the body's axis. Raises GeometryError
    when the skin is hollow somewhere or the origin lies outside it.
    """

    def __init__(self, body: ConvexBody, origin: float, tilt: float):
        """Check the skin once round and keep what every section needs."""
        if not (body.low < origin < body.high and 0.0 <= tilt <= 180.0):
            raise GeometryError(
                Fault(
                    "stand-body",
                    f"A body from {body.low:g} to {body.high:g} mm whose centre of mass is at "
                    f"{origin:g} mm cannot be tilted by {tilt:g}°.",
                    hint="The centre has to lie in the body and the tilt between 0° and 180°.",
                )
            )
        self.meridian = _Meridian(body, origin)
        self.tilt = tilt
        self.cos, self.sin = cosine_sine(tilt)
        self._low, self._high = body.low - origin, body.high - origin
        self._widest = max(abs(self.meridian.radius(math.pi * (i + 0.5) / 360)) for i in range(360))
        self._reach = math.hypot(self._widest, max(-self._low, self._high))
        self._turns = self._checked()

    def point(self, v: float, longitude: float = 0.0) -> tuple[float, float, float]:
        """The place in the stand's axes of the skin's point at angle v and a longitude in degrees
        from the plane of the lean."""
        c, s = cosine_sine(longitude)
        h, r = self.meridian.height(v), self.meridian.radius(v)
        return (h * self.sin + r * c * self.cos, r * s, h * self.cos - r * c * self.sin)

    def normal(self, v: float, longitude: float = 0.0) -> tuple[float, float, float]:
        """The outward unit normal there in the stand's axes."""
        c, s = cosine_sine(longitude)
        out, up = self.meridian.normal(v)
        return (up * self.sin + out * c * self.cos, out * s, up * self.cos - out * c * self.sin)

    def steepness(self, v: float) -> float:
        """The angle in radians from straight down to the meridian's normal in the plane of the
        lean, positive toward X."""
        n = self.normal(v)
        return math.atan2(n[0], -n[2])

    def angle_of(self, steepness: float) -> float:
        """The angle v at which the meridian has that steepness in radians, on one turn from the
        body's lowest point on."""
        turns = self._turns
        for (v, turn), (w, after) in pairwise(turns):
            if turn <= steepness < after:
                if after - turn > _EDGE:
                    raise _edge_met()
                return bisect(lambda x: self._below(x, steepness), v, w, halvings=50)
        raise _edge_met()

    def _below(self, v: float, steepness: float) -> bool:
        """Whether the meridian at an angle v is not yet as steep as that, in radians."""
        off = self.steepness(v) - steepness
        return math.atan2(math.sin(off), math.cos(off)) < 0.0

    def lowest(self) -> float:
        """The height Z in mm of the body's lowest point."""
        return min(self.point(v)[2] for v in (self.angle_of(0.0), 0.0, math.pi))

    def along(self, left: float, right: float, clearance: float) -> Cradle:
        """The cradle in the plane of the lean up to a steepness in degrees on either side."""
        start, end = self.angle_of(-math.radians(left)), self.angle_of(math.radians(right))
        for (v, turn), (_, after) in pairwise(self._turns):
            if start <= v <= end and after - turn > _EDGE:
                raise _edge_met()

        def place(v: float) -> tuple[Point, Point]:
            x, _, z = self.point(v)
            n = self.normal(v)
            return (x + clearance * n[0], z + clearance * n[2]), (-n[2], n[0])

        return Cradle(lambda v: place(v)[0], lambda v: place(v)[1], start, end, self.angle_of(0.0))

    def across(self, thickness: float, reach: float, clearance: float) -> Cradle:
        """The cradle of a plate of that thickness across the lean, up to a steepness in degrees."""
        limit = math.radians(reach)

        def within(y: float) -> bool:
            found = self.under(y, thickness)
            return found is not None and math.atan2(found[2][1], -found[2][2]) <= limit

        last, _ = bracket(within, 0.0, self._widest)
        near = self.under(last, thickness)
        if near is None or limit - math.atan2(near[2][1], -near[2][2]) > _EDGE:
            raise _edge_met()

        def place(y: float) -> tuple[Point, Point]:
            found = self.under(abs(y), thickness)
            if found is None:
                raise _edge_met()
            _, z, n = found
            size = math.hypot(n[1], n[2])
            ny, nz = math.copysign(n[1], y) / size, n[2] / size
            return (y + clearance * ny, z + clearance * nz), (-nz, ny)

        return Cradle(lambda y: place(y)[0], lambda y: place(y)[1], -last, last, 0.0)

    def under(
        self, y: float, thickness: float
    ) -> tuple[float, float, tuple[float, float, float]] | None:
        """The lowest skin at Y = y between the faces X = ± thickness/2: its X, Z and normal.

        None when the body does not reach there.
        """
        half = thickness / 2
        ends = [self._at(x, y) for x in (-half, half)]
        if ends[0] is None or ends[1] is None:
            return None
        # The lowest skin rises toward X where its normal leans to X.
        if ends[0][1][0] >= 0.0:
            return (-half, *ends[0])
        if ends[1][1][0] <= 0.0:
            return (half, *ends[1])
        low, high = -half, half
        low_lean, high_lean = ends[0][1][0], ends[1][1][0]
        x, found = 0.0, self._at(0.0, y)
        for _ in range(60):
            if found is None:
                return None
            lean = found[1][0]
            if abs(lean) < _INNER or high - low < 1e-9:
                break
            if lean < 0.0:
                low, low_lean = x, lean
                high_lean /= 2
            else:
                high, high_lean = x, lean
                low_lean /= 2
            x = (low * high_lean - high * low_lean) / (high_lean - low_lean)
            found = self._at(x, y)
        return None if found is None else (x, *found)

    def _at(self, x: float, y: float) -> tuple[float, tuple[float, float, float]] | None:
        """The lowest Z of the skin over (x, y) and its normal, or None where there is none."""
        low, high = -self._reach, self._reach
        if abs(self.cos) > 1e-12:
            ends = sorted((h - x * self.sin) / self.cos for h in (self._low, self._high))
            low, high = max(low, ends[0]), min(high, ends[1])
        elif not self._low <= x * self.sin <= self._high:
            return None
        inside = self._inside(x, y, low, high)
        if inside is None:
            return None
        # Where the body ends in a plane there is no skin below it.
        closed = self._depth(x, y, low) > 0.0
        z = self._root(x, y, low, inside) if closed else low
        h = x * self.sin + z * self.cos
        p = x * self.cos - z * self.sin
        out, up = self.meridian.normal(self.meridian.angle_at(h))
        size = math.hypot(p, y)
        if size < 1e-12:
            out_x, out_y = 0.0, 0.0
        else:
            out_x, out_y = out * p / size, out * y / size
        return z, (
            up * self.sin + out_x * self.cos,
            out_y,
            up * self.cos - out_x * self.sin,
        )

    def _depth(self, x: float, y: float, z: float) -> float:
        """How far a point lies outside the skin, level with it; convex along any line."""
        h = x * self.sin + z * self.cos
        p = x * self.cos - z * self.sin
        return math.hypot(p, y) - self.meridian.radius_at_height(h)

    def _inside(self, x: float, y: float, low: float, high: float) -> float | None:
        """A Z between two at which the body holds (x, y, Z), or None when there is none."""
        if low < 0.0 < high and self._depth(x, y, 0.0) < 0.0:
            return 0.0
        for _ in range(80):
            one, two = low + 0.382 * (high - low), low + 0.618 * (high - low)
            first, second = self._depth(x, y, one), self._depth(x, y, two)
            if first < 0.0:
                return one
            if second < 0.0:
                return two
            if first < second:
                high = two
            else:
                low = one
        return None

    def _root(self, x: float, y: float, low: float, inside: float) -> float:
        """The Z between one outside and one inside at which the skin is met (Illinois rule)."""
        a, b = low, inside
        fa, fb = self._depth(x, y, a), self._depth(x, y, b)
        side = 0
        for _ in range(100):
            z = (a * fb - b * fa) / (fb - fa)
            f = self._depth(x, y, z)
            if abs(f) < 1e-12 * self._reach or abs(b - a) < 1e-13 * self._reach:
                return z
            if f > 0.0:
                a, fa = z, f
                if side == 1:
                    fb /= 2
                side = 1
            else:
                b, fb = z, f
                if side == -1:
                    fa /= 2
                side = -1
        return z

    def _checked(self) -> tuple[tuple[float, float], ...]:
        """The angle v and the unwrapped steepness round the meridian from over the top of the
        body; refuses a skin that turns back."""
        found: list[tuple[float, float]] = []
        for i in range(2 * _SAMPLES + 1):
            # Half a step aside, so that no sample falls on an end.
            v = 2 * math.pi * (i + 0.5) / _SAMPLES - 2 * math.pi
            turn = self.steepness(v)
            if found:
                before = found[-1][1]
                off = turn - before
                step = math.atan2(math.sin(off), math.cos(off))
                if step < 1e-3 - math.pi:
                    step += 2 * math.pi  # right round a flat end
                if step < -1e-5:
                    raise GeometryError(
                        Fault(
                            "stand-hollow",
                            "No cradle fits the skin near height "
                            f"{self.meridian.height(v):.4g} mm over the centre of mass: it is "
                            "hollow there, or has an edge.",
                            hint="A cradle needs a body that is rounded outward; hang it instead.",
                        )
                    )
                turn = before + step
            found.append((v, turn))
        # Shift by whole turns so that the lowest point is met within the list's middle turn.
        whole = 2 * math.pi * round(found[_SAMPLES][1] / (2 * math.pi))
        return tuple((v, turn - whole) for v, turn in found)


def _edge_met() -> GeometryError:
    return GeometryError(
        Fault(
            "stand-edge",
            "The cradle would run over an edge or the flat end of the skin.",
            hint="Use less reach or another tilt, or hang the frame.",
        )
    )
