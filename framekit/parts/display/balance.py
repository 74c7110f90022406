"""Mass and centre of mass of plates, exact for outlines of lines and circular arcs.

Green's theorem turns the integrals over an outline into sums over its edges: the polygon of the
chords, and for every arc the circular segment between chord and arc, whose moments are closed
forms of the arc's half angle (any text on sections, such as Roark's Formulas for Stress and
Strain, 'Properties of a plane area'). No polyline stands in for an arc.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Outline, Path, Segment
from framekit.parts.model import Balance, Part, Point3, Settled

_SMALL = 0.3
"""Half angle in radians below which the closed forms lose digits to cancelling. Gauss's rule of
eight nodes is exact to 1e-13 there, since the integrands are smooth over so short an arc."""

_GAUSS = (
    (0.1834346424956498, 0.3626837833783620),
    (0.5255324099163290, 0.3137066458778873),
    (0.7966664774136267, 0.2223810344533745),
    (0.9602898564975363, 0.1012285362903763),
)
"""Half the nodes and the weights of Gauss's rule of eight (NIST Digital Library of Mathematical
Functions, table 3.5.3); the other nodes are their negatives."""

_COINCIDENT = 1e-9
"""Distance in mm below which a hanging point and a centre are one."""


class Moments(NamedTuple):
    """Area in mm² of a plane figure and its moments `x` = ∫x dA and `y` = ∫y dA in mm³ about the
    origin of its own axes."""

    area: float
    x: float
    y: float

    @property
    def centre(self) -> tuple[float, float]:
        """The centroid in mm."""
        return (self.x / self.area, self.y / self.area)


def outline_moments(outline: Outline) -> Moments:
    """The area and moments of an outline, holes taken off, whichever way its paths run.

    Raises:
        GeometryError: the outline encloses nothing.

    >>> from framekit.geometry.path import circle
    >>> ring = outline_moments(Outline(circle(2.0), (circle(1.0),)))
    >>> round(ring.area / math.pi, 12), ring.centre
    (3.0, (0.0, 0.0))
    """
    sums = [path_moments(outline.outer)]
    sums += [_times(path_moments(hole), -1.0) for hole in outline.holes]
    total = Moments(*map(math.fsum, zip(*sums, strict=True)))
    if not total.area > 0.0:
        raise GeometryError(
            Fault(
                "nothing-enclosed",
                f"The outline encloses {total.area:g} mm², so it has no centre.",
                hint="Check the outer path and its holes.",
            )
        )
    return total


def path_moments(path: Path) -> Moments:
    """The area and moments inside a closed path, as if it ran counter-clockwise."""
    rows = []
    for segment in path.segments:
        rows.append(_triangle(segment))
        if segment.bulge:
            rows.append(_cap(segment))
    found = Moments(*map(math.fsum, zip(*rows, strict=True)))
    return found if found.area >= 0.0 else _times(found, -1.0)


def balance_of(parts: Sequence[Part]) -> Balance:
    """Return the mass and centre of mass of parts in their poses; `Part.mass` is taken as is.

    Raises:
        GeometryError: there are no parts, or they have no mass.
    """
    mass = math.fsum(part.mass for part in parts)
    if not mass > 0.0:
        raise GeometryError(
            Fault(
                "no-mass",
                f"{len(parts)} parts of {mass:g} g have no centre of mass.",
                hint="Give the material a density.",
            )
        )
    firsts = [_first_moment(part) for part in parts]
    x, y, z = (math.fsum(first[i] for first in firsts) / mass for i in range(3))
    return Balance(mass, (x, y, z))


def settles_at(centre: Point3, hang_point: Point3) -> Settled:
    """How a frame with that centre of mass rests when it hangs freely from a point; mm.

    The point then lies straight above the centre of mass (a physical pendulum at rest).

    Raises:
        GeometryError: the two points are one, so that the frame rests in any position.

    >>> settles_at((0.0, 0.0, 0.0), (30.0, 0.0, 30.0))
    Settled(tilt=45.0, azimuth=0.0)
    """
    x, y, z = (hang_point[i] - centre[i] for i in range(3))
    across = math.hypot(x, y)
    if math.hypot(across, z) <= _COINCIDENT:
        raise GeometryError(
            Fault(
                "hung-at-centre",
                "The frame would hang from its centre of mass and rest in any position.",
                hint="Hang it from a point above the centre of mass.",
            )
        )
    azimuth = math.degrees(math.atan2(y, x)) % 360.0 if across > _COINCIDENT else 0.0
    return Settled(math.degrees(math.atan2(across, z)), azimuth)


def _times(m: Moments, factor: float) -> Moments:
    return Moments(*(factor * value for value in m))


def _triangle(s: Segment) -> tuple[float, ...]:
    """The moments of the triangle from the origin over the chord, signed."""
    (a, b), (c, d) = s.start, s.end
    twice = a * d - c * b
    return (twice / 2, twice * (a + c) / 6, twice * (b + d) / 6)


def _cap(s: Segment) -> tuple[float, ...]:
    """The moments of the circular segment between chord and arc, signed like the bulge."""
    half, r = abs(s.angle) / 2, s.radius
    area, m_u = _cap_integrals(half)
    area, m_u = area * r**2, m_u * r**3
    chord = s.chord
    # u runs from the chord's middle toward the arc: right of it when the arc turns
    # counter-clockwise.
    vx, vy = (s.end[0] - s.start[0]) / chord, (s.end[1] - s.start[1]) / chord
    sign = math.copysign(1.0, s.bulge)
    ux, uy = sign * vy, -sign * vx
    mx, my = (s.start[0] + s.end[0]) / 2, (s.start[1] + s.end[1]) / 2
    return (sign * area, sign * (m_u * ux + area * mx), sign * (m_u * uy + area * my))


def _cap_integrals(half: float) -> tuple[float, float]:
    """Return area and ∫u of the segment of a unit circle over ± `half` radians.

    u = cos φ − cos half counts from the chord toward the arc.
    """
    s, c = math.sin(half), math.cos(half)
    if half >= _SMALL:
        q1 = 2 * s
        q2 = half + s * c
        q3 = 2 * (s - s**3 / 3)
        return (q2 - c * q1, (q3 - 2 * c * q2 + c * c * q1) / 2)
    area = moment = 0.0
    for node, weight in _GAUSS:
        angle = half * node
        u = 2 * math.sin((half + angle) / 2) * math.sin((half - angle) / 2)
        k = 2 * half * weight * math.cos(angle)  # for the node and its negative
        area += k * u
        moment += k * (u * u / 2)
    return (area, moment)


def _first_moment(part: Part) -> Point3:
    """Return a part's ∫p dm in g·mm in the frame's axes."""
    m = outline_moments(part.outline)
    k = part.mass / m.area
    x, y, z = (k * (row[0] * m.x + row[1] * m.y) + part.mass * row[3] for row in part.pose[:3])
    return (x, y, z)
