"""Any body of revolution: volume, area, length and centroid from its radius over the height.

`radius(z)` is the skin's radius at a height z and `slope(z)` its derivative dr/dz, lengths in any
one unit, here mm. The integrals are the usual ones of a surface of revolution: V = π ∫ r² dz,
A = 2π ∫ r √(1 + r′²) dz, L = ∫ √(1 + r′²) dz. They are computed by Gauss-Legendre quadrature with
as many points on halves of the piece whose error is greatest, until the sum of all errors is small
enough (Davis and Rabinowitz, Methods of Numerical Integration, 2nd ed. 1984, chapters 2 and 6).
Near a pole, where the slope is without bound, a piece is a frustum between its ends when that is
known more closely. The error that is stated is that of the quadrature and of its own rounding; what
`radius` and `slope` lose to rounding near a pole comes on top. The torus is by the theorem of
Pappus.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from framekit.errors import Fault, GeometryError

Function = Callable[[float], float]

NODES = 10
"""Points of the quadrature on a piece."""
RELATIVE = 1e-11
"""Error that is asked for, as a share of the result."""
ROUNDING = 1e-14
"""Share of the result that floating point may leave in a sum of many pieces."""
MOST_PIECES = 1500
"""Pieces after which the result is returned with the error it has."""
NARROWEST = 1e-13
"""Width of the narrowest piece, as a share of the whole height."""


class Measured(NamedTuple):
    """A result and how far it may be off, both in the result's unit."""

    value: float
    error: float


class _Piece(NamedTuple):
    """A piece of an integral; the one with the greatest error comes first in a heap."""

    rank: float
    low: float
    high: float
    value: float
    error: float


Closed = Callable[[float, float, Sequence[float]], Measured]
"""The value between two heights by another way, given the heights of the quadrature."""


def volume(radius: Function, low: float, high: float, breaks: Sequence[float] = ()) -> Measured:
    """The volume between two heights, mm³.

    `breaks` are heights where the radius has a corner, shape (n,).

    >>> round(volume(lambda z: 5.0, 0.0, 4.0).value / math.pi, 9)
    100.0

    Raises:
        GeometryError: the heights do not rise, or a radius is negative or no number.
    """
    found = _integral(lambda z: _sound(radius, z) ** 2, low, high, breaks)
    return Measured(math.pi * found.value, math.pi * found.error)


def section_area(
    radius: Function, low: float, high: float, breaks: Sequence[float] = ()
) -> Measured:
    """The area of the section through the axis, both sides of it, mm².

    Raises:
        GeometryError: as in `volume`.
    """
    found = _integral(lambda z: _sound(radius, z), low, high, breaks)
    return Measured(2 * found.value, 2 * found.error)


def lateral_area(
    radius: Function, slope: Function, low: float, high: float, breaks: Sequence[float] = ()
) -> Measured:
    """The area of the skin between two heights without the end faces, mm².

    Raises:
        GeometryError: as in `volume`.
    """

    def density(z: float) -> float:
        return _sound(radius, z) * math.hypot(1.0, slope(z))

    def frustum(bottom: float, top: float, inside: Sequence[float]) -> Measured:
        ends = [_sound(radius, bottom), _sound(radius, top)]
        long = math.hypot(ends[1] - ends[0], top - bottom)
        off = max(ends) * (top - bottom) if _steep(slope, inside) else math.inf
        return Measured(sum(ends) / 2 * long, off)

    found = _integral(density, low, high, breaks, frustum)
    return Measured(2 * math.pi * found.value, 2 * math.pi * found.error)


def meridian_length(
    radius: Function, slope: Function, low: float, high: float, breaks: Sequence[float] = ()
) -> Measured:
    """The length of the skin's meridian on one side of the axis, mm.

    Raises:
        GeometryError: as in `volume`.
    """

    def chord(bottom: float, top: float, inside: Sequence[float]) -> Measured:
        across = _sound(radius, top) - _sound(radius, bottom)
        off = top - bottom if _steep(slope, inside) else math.inf
        return Measured(math.hypot(across, top - bottom), off)

    return _integral(lambda z: math.hypot(1.0, slope(z)), low, high, breaks, chord)


def centroid_height(
    radius: Function, low: float, high: float, breaks: Sequence[float] = ()
) -> Measured:
    """The height of the centroid of the solid body, mm.

    Raises:
        GeometryError: as in `volume`, or the body has no volume.
    """
    middle = (low + high) / 2
    whole = _integral(lambda z: _sound(radius, z) ** 2, low, high, breaks)
    if whole.value <= 0:
        raise _fault("the body has no volume, so it has no centroid", "Give a radius above zero.")
    moment = _integral(lambda z: (z - middle) * _sound(radius, z) ** 2, low, high, breaks)
    above = moment.value / whole.value
    off = (moment.error + abs(above) * whole.error) / whole.value
    return Measured(middle + above, off + ROUNDING * abs(middle))


def torus_volume(middle_radius: float, tube_radius: float) -> float:
    """The volume of a ring torus, mm³: π r² over the way 2π R of its middle (Pappus).

    Raises:
        GeometryError: the tube's radius is not above zero, or is greater than the middle's.
    """
    _check_torus(middle_radius, tube_radius)
    return 2 * math.pi**2 * middle_radius * tube_radius**2


def torus_area(middle_radius: float, tube_radius: float) -> float:
    """The area of a ring torus, mm²: 2π r over the way 2π R of its middle (Pappus).

    Raises:
        GeometryError: as in `torus_volume`.
    """
    _check_torus(middle_radius, tube_radius)
    return 4 * math.pi**2 * middle_radius * tube_radius


def _integral(
    function: Function,
    low: float,
    high: float,
    breaks: Sequence[float],
    closed: Closed | None = None,
) -> Measured:
    """The integral of a function between two heights, the worst piece halved again and again."""
    if not (math.isfinite(low) and math.isfinite(high) and low < high):
        raise _fault(
            f"the lower height, {low:g} mm, is not below the upper, {high:g} mm",
            "Swap or mend them.",
        )
    edges = [low, *sorted({z for z in breaks if low < z < high}), high]
    heap = [_piece(function, a, b, closed) for a, b in pairwise(edges)]
    heapq.heapify(heap)
    done: list[_Piece] = []
    least = NARROWEST * (high - low)
    while heap and len(heap) + len(done) < MOST_PIECES:
        error = math.fsum(p.error for p in (*heap, *done))
        size = math.fsum(abs(p.value) for p in (*heap, *done))
        if error <= RELATIVE * size:
            break
        worst = heapq.heappop(heap)
        middle = (worst.low + worst.high) / 2
        if worst.high - worst.low < least or not worst.low < middle < worst.high:
            done.append(worst)
            continue
        for a, b in ((worst.low, middle), (middle, worst.high)):
            heapq.heappush(heap, _piece(function, a, b, closed))
    pieces = [*heap, *done]
    size = math.fsum(abs(p.value) for p in pieces)
    value = math.fsum(p.value for p in pieces)
    return Measured(value, math.fsum(p.error for p in pieces) + ROUNDING * size)


def _piece(function: Function, low: float, high: float, closed: Closed | None) -> _Piece:
    """A piece by halves; its error is what the halves differ from the whole."""
    middle = (low + high) / 2
    whole = _gauss(function, low, high)
    value = _gauss(function, low, middle) + _gauss(function, middle, high)
    error = abs(value - whole)
    if closed is not None:
        other = closed(low, high, [_height(low, high, x) for x, _ in legendre(NODES)])
        if other.error < error:
            value, error = other
    return _Piece(-error, low, high, value, error)


def _gauss(function: Function, low: float, high: float) -> float:
    nodes = legendre(NODES)
    return (high - low) / 2 * math.fsum(w * function(_height(low, high, x)) for x, w in nodes)


def _height(low: float, high: float, x: float) -> float:
    return (low + high) / 2 + (high - low) / 2 * x


@lru_cache(maxsize=8)
def legendre(count: int) -> tuple[tuple[float, float], ...]:
    """Points in −1 … 1 and weights of Gauss-Legendre quadrature, shape (count, 2).

    The points are the roots of the Legendre polynomial by Newton's method; the weights are
    2 / ((1 − x²) P′(x)²) (Davis and Rabinowitz, section 2.7).

    >>> [round(x, 6) for x, _ in legendre(2)]
    [-0.57735, 0.57735]
    """
    found = []
    for i in range(count, 0, -1):
        x = math.cos(math.pi * (i - 0.25) / (count + 0.5))
        for _ in range(100):
            before, now = 1.0, x
            for k in range(2, count + 1):
                before, now = now, ((2 * k - 1) * x * now - (k - 1) * before) / k
            steep = count * (x * now - before) / (x * x - 1)
            x -= now / steep
            if abs(now / steep) < 1e-16:
                break
        found.append((x, 2 / ((1 - x * x) * steep * steep)))
    return tuple(found)


def _steep(slope: Function, heights: Sequence[float]) -> bool:
    """Whether the skin rises or falls steeply all along, so that it lies between its ends."""
    slopes = [slope(z) for z in heights]
    return min(slopes) > 1.0 or max(slopes) < -1.0


def _sound(radius: Function, z: float) -> float:
    found = radius(z)
    if not math.isfinite(found) or found < 0:
        raise _fault(
            f"the radius at the height {z:g} mm is {found:g} mm", "A radius is zero or above."
        )
    return found


def _check_torus(middle: float, tube: float) -> None:
    if not 0 < tube <= middle < math.inf:
        raise _fault(
            f"a torus about {middle:g} mm with a tube of {tube:g} mm meets itself or is none",
            "The tube's radius is above zero and no greater than the middle's.",
        )


def _fault(message: str, hint: str) -> GeometryError:
    return GeometryError(Fault("revolution", message, hint=hint))
