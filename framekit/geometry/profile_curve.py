"""A skin's outline through an author's points: the radius as a curve over the height, in mm.

Between points the radius is a cubic that rises or falls all along, or a straight line. Such a
cubic needs slopes at its points within the bounds of Fritsch and Carlson, Monotone piecewise cubic
interpolation, SIAM J. Numer. Anal. 17 (1980) 238-246; the slopes are the weighted harmonic means
of Fritsch and Butland, A method for constructing local monotone piecewise cubic interpolants,
SIAM J. Sci. Stat. Comput. 5 (1984) 300-304, and at the two ends the three-point formula.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NoReturn

from framekit.errors import Fault, SpecError

MOST_POINTS = 2000
LEAST_STEP = 1e-6
"""Least difference in mm between the heights of two neighbours."""
LARGEST = 1e12
"""Greatest radius or height in mm."""

Cubic = tuple[float, float, float, float]
Range = tuple[float, float]


@dataclass(frozen=True)
class HeightCurve:
    """The radius over the height, in mm: rising heights, the radii there, and slopes.

    `slopes` are dr/dz at each height; empty for straight lines between the points. Below the
    first and above the last height the radius and slope are those of the end.
    """

    heights: tuple[float, ...]
    radii: tuple[float, ...]
    slopes: tuple[float, ...] = ()

    @cached_property
    def pieces(self) -> tuple[Cubic, ...]:
        """The coefficients c₀ … c₃ of each piece, c₀ + c₁t + c₂t² + c₃t³, t from its lower end."""
        found = []
        for i, (low, high) in enumerate(pairwise(self.heights)):
            h = high - low
            chord = (self.radii[i + 1] - self.radii[i]) / h
            if not self.slopes:
                found.append((self.radii[i], chord, 0.0, 0.0))
                continue
            d, e = self.slopes[i], self.slopes[i + 1]
            found.append(
                (self.radii[i], d, (3 * chord - 2 * d - e) / h, (d + e - 2 * chord) / h**2)
            )
        return tuple(found)

    @cached_property
    def steepest(self) -> float:
        """A bound of the terms that make up a slope: 30 times the steepest chord or slope."""
        chords = (c1 for _, c1, _, _ in HeightCurve(self.heights, self.radii).pieces)
        return 30 * max(map(abs, (*chords, *self.slopes)))

    def _place(self, z: float) -> tuple[int, float]:
        """The piece that holds a height, and the height over that piece's lower end."""
        heights = self.heights
        z = min(max(z, heights[0]), heights[-1])
        i = min(max(bisect_right(heights, z) - 1, 0), len(heights) - 2)
        return i, z - heights[i]

    def series(self, z: float) -> Cubic:
        """The radius at height z and its first three Taylor coefficients, in powers of mm."""
        i, t = self._place(z)
        _, c1, c2, c3 = self.pieces[i]
        return (
            self.at(z),
            c1 + t * (2 * c2 + t * 3 * c3),
            c2 + 3 * c3 * t,
            c3,
        )

    def at(self, z: float) -> float:
        """The radius in mm at height z in mm."""
        i, t = self._place(z)
        h = self.heights[i + 1] - self.heights[i]
        if t >= h:
            return self.radii[i + 1]
        c0, c1, c2, c3 = self.pieces[i]
        return c0 + t * (c1 + t * (c2 + t * c3))

    def slope(self, z: float) -> float:
        """The slope dr/dz at height z in mm; at a corner that of the piece above."""
        return self.series(z)[1]

    def extremes(self, low: float, high: float) -> Range:
        """The least and the greatest radius in mm from one height to another.

        Every piece rises or falls all along, so they lie at the ends or at points between.
        """
        first, last = bisect_right(self.heights, low), bisect_left(self.heights, high)
        radii = (self.at(low), self.at(high), *self.radii[first:last])
        return min(radii), max(radii)

    def slope_extremes(self, low: float, high: float) -> Range:
        """The least and the greatest slope from one height to another, on both sides of a corner.

        Beyond the curve's ends the radius stays, so 0 counts there.
        """
        heights = self.heights
        last = len(heights) - 2
        first = min(max(bisect_left(heights, low) - 1, 0), last)
        final = min(max(bisect_right(heights, high) - 1, 0), last)
        found = [0.0] if low < heights[0] or high > heights[-1] else []
        for i in range(first, final + 1):
            start = min(max(low, heights[i]), heights[i + 1]) - heights[i]
            end = max(min(high, heights[i + 1]), heights[i]) - heights[i]
            _, c1, c2, c3 = self.pieces[i]
            at = [start, end]
            if c3 and start < -c2 / (3 * c3) < end:
                at.append(-c2 / (3 * c3))
            found.extend(c1 + t * (2 * c2 + t * 3 * c3) for t in at)
        return min(found), max(found)

    def minima(self) -> tuple[float, ...]:
        """The heights in mm, between the ends, where the radius is least between greater ones;
        the middle of a level stretch."""
        found = []
        came, since = 0, self.heights[0]
        for (low, high), (before, after) in zip(
            pairwise(self.heights), pairwise(self.radii), strict=True
        ):
            goes = (after > before) - (after < before)
            if goes == 0:
                continue
            if came < 0 < goes:
                found.append((since + low) / 2)
            came, since = goes, high
        return tuple(found)

    def corners(self) -> tuple[float, ...]:
        """The heights in mm, between the ends, where two straight pieces meet at an angle."""
        if self.slopes:
            return ()
        middle = self.heights[1:-1]
        pairs = pairwise(self.pieces)
        return tuple(z for z, (p, q) in zip(middle, pairs, strict=True) if p[1] != q[1])


def points_curve(points: Sequence[Sequence[float]], smooth: bool = True) -> HeightCurve:
    """The curve through pairs of radius and height in mm, from either end of the body.

    The heights rise or fall all along, by 1e-6 mm or more; radii are above zero, and may be zero
    at the ends. Smooth curves rise and fall only where their points do.

    Raises:
        SpecError: there are under 2 or over 2000 points, or one is not as said.

    >>> points_curve([[0, 0], [30, 10], [30, 50]], smooth=False).at(5)
    15.0
    """
    if isinstance(points, (str, bytes)) or not isinstance(points, Sequence):
        _refuse("points is not a list", "Write a list of [radius, height] pairs in mm.")
    if not 2 <= len(points) <= MOST_POINTS:
        few = len(points) < 2
        _refuse(
            f"{len(points)} point{'s' * (len(points) != 1)} cannot make a skin",
            "Give two at least." if few else f"Give at most {MOST_POINTS}; leave some out.",
        )
    pairs = [_pair(point, i) for i, point in enumerate(points)]
    falls = pairs[-1][1] < pairs[0][1]
    _check_heights([z for _, z in pairs], falls)
    _check_radii([r for r, _ in pairs])
    if falls:
        pairs.reverse()
    radii, heights = tuple(r for r, _ in pairs), tuple(z for _, z in pairs)
    return HeightCurve(heights, radii, monotone_slopes(heights, radii) if smooth else ())


def _refuse(message: str, hint: str, at: int | None = None) -> NoReturn:
    words = message if at is None else f"point {at + 1}: {message}"
    raise SpecError(Fault("points", words, hint=hint))


def _pair(point: object, i: int) -> tuple[float, float]:
    shape = "Write [radius, height] in mm, such as [40, 12.5]."
    if isinstance(point, (str, bytes)) or not isinstance(point, Sequence) or len(point) != 2:
        _refuse("this is not a pair of two numbers", shape, i)
    found = []
    for value, what in zip(point, ("radius", "height"), strict=True):
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            _refuse(f"the {what} is not a number", shape, i)
        if not -LARGEST <= value <= LARGEST:
            _refuse(f"the {what} is not a finite number up to 1e12 mm", shape, i)
        found.append(float(value))
    return found[0], found[1]


def _check_heights(heights: list[float], falls: bool) -> None:
    way = "falls" if falls else "rises"
    for i, (before, after) in enumerate(pairwise(heights), start=1):
        step = before - after if falls else after - before
        if step >= LEAST_STEP:
            continue
        hint = "A radius must follow from the height: let the outline not fold or cross itself."
        if abs(step) < LEAST_STEP:
            words = "is within 1e-6 mm of the height before"
        else:
            words = f"turns back from {before:g}, where the list {way} from end to end"
        _refuse(f"the height {after:g} {words}", hint, i)


def _check_radii(radii: list[float]) -> None:
    if not any(radii):
        _refuse("all radii are zero", "Give at least one radius above zero.")
    for i, radius in enumerate(radii):
        if radius < 0:
            _refuse(f"the radius {radius:g} is negative", "Write zero or more.", i)
        if radius == 0 and 0 < i < len(radii) - 1:
            _refuse(
                "the radius is zero between the ends, which cuts the body in two",
                "Only the first and the last point may lie on the axis.",
                i,
            )


def monotone_slopes(heights: tuple[float, ...], radii: tuple[float, ...]) -> tuple[float, ...]:
    """The slopes dr/dz at each height with which the cubics rise and fall only as the points do."""
    steps = [high - low for low, high in pairwise(heights)]
    chords = [(b - a) / h for (a, b), h in zip(pairwise(radii), steps, strict=True)]
    if len(steps) == 1:
        return (chords[0], chords[0])
    inner = [
        _mean_slope(p, q, h, k)
        for (p, q), (h, k) in zip(pairwise(chords), pairwise(steps), strict=True)
    ]
    first = _end_slope(chords[0], chords[1], steps[0], steps[1])
    last = _end_slope(chords[-1], chords[-2], steps[-1], steps[-2])
    return (first, *inner, last)


def _mean_slope(p: float, q: float, h: float, k: float) -> float:
    """The harmonic mean of two chords' slopes over steps h and k, 0 where the curve turns."""
    if p == 0 or q == 0 or (p > 0) != (q > 0):
        return 0.0
    first, second = 2 * k + h, k + 2 * h
    return (first + second) / (first / p + second / q)


def _end_slope(p: float, q: float, h: float, k: float) -> float:
    """The slope at an end by the three-point formula, kept within what is monotone."""
    slope = ((2 * h + k) * p - h * q) / (h + k)
    if p == 0 or (slope > 0) != (p > 0):
        return 0.0
    if (p > 0) != (q > 0) and abs(slope) > 3 * abs(p):
        return 3 * p
    return slope
