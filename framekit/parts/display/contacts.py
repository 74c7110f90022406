"""Where a frame's ribs touch its stand, and whether they hold it there.

A frame has a skin only where a rib's outer edge is, so not at the notches for its flanges. Plate 1
carries the ribs that lie in its plane, along their edges; plate 2 is met by the ribs on either
side, each in a point. The frame rests when pushes along the skin's normals at those places, none
of them pulling and none rubbing, can carry its weight, and its centre of mass lies over the
outline of the places. It may still turn in ways that the contacts do not resist: any frame round
its own axis, a ball every way. Those are only braked by rubbing, which the report says.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from framekit.constraints.roots import bracket
from framekit.errors import Fault, GeometryError
from framekit.geometry.hull import chain, turn
from framekit.geometry.path import Point
from framekit.parts.display.cradle import ConvexBody, TiltedBody
from framekit.parts.display.stand import make_stand, turned
from framekit.parts.display.stand_shape import Obstacle, StandDesign, StandShape
from framekit.parts.model import Contact, Contacts, Point3, Remark
from framekit.parts.shape.poses import to_own

LEAST_MARGIN = 2.0
"""mm that the centre of mass has to lie inside the contacts' outline; common practice, no
source."""

UNBALANCED = 0.05
"""Share of the weight, or of weight times size, that may be left over without rubbing. Dry wood
and card hold some times that by friction; common practice, no source."""

_SWEEPS = 4000
_IN_PLANE = 1e-6
_FLAT = 1e-6
"""mm² below which a corner of the contacts' outline counts as straight."""
_STEPS = 720


@dataclass(frozen=True)
class RibLayout:
    """A frame's ribs as the stand meets them: `longitudes` in degrees, shape (n,), `thickness`
    in mm, and the `pole_gap` in mm from the axis at which they stop. `bare` are the heights in the
    frame's z, from and to in mm, between which they have no outer edge."""

    longitudes: tuple[float, ...]
    thickness: float
    pole_gap: float
    bare: tuple[tuple[float, float], ...] = ()


def contacts(stand: StandDesign, centre: Point3, ribs: RibLayout) -> Contacts:
    """Where the ribs rest on a stand and by what margin; `centre` of mass in the frame's mm.

    Raises:
        GeometryError: the frame would fall, tip or roll, or stand on its ribs' corners.
    """
    found = _on_plate_1(stand, ribs) + _on_plate_2(stand, ribs)
    x, y, z = to_own(stand.report.pose, centre)
    hull = _hull([(c.point[0], c.point[1]) for c in found])
    margin = _inside_by(hull, (x, y))
    if len(hull) < 3 or margin < LEAST_MARGIN:
        raise _falls(stand, ribs, found, hull, margin)
    worst = max(found, key=lambda c: c.protrusion)
    if worst.protrusion > stand.shape.clearance + 1e-9:
        raise GeometryError(
            Fault(
                "stand-proud",
                f"Rib {worst.rib} stands {worst.protrusion:.3g} mm proud of the skin where it "
                f"meets plate {worst.plate}, more than the clearance of "
                f"{stand.shape.clearance:.3g} mm.",
                hint=f"Raise the clearance to {worst.protrusion:.3g} mm or more.",
            )
        )
    size = max(math.dist(c.point, (x, y, z)) for c in found)
    columns = [_wrench(c, (x, y, z), size) for c in found]
    pushes, left = _carried(columns)
    if left > UNBALANCED:
        raise GeometryError(
            Fault(
                "stand-rolls",
                f"Without rubbing {100 * left:.3g} % of the weight would be left to turn the "
                "frame out of its tilt.",
                hint="Use more reach, bring the centre of mass onto the axis or nearer the "
                "middle, or hang the frame.",
            )
        )
    free = 6 - _rank(columns)
    carried = tuple(c._replace(push=push) for c, push in zip(found, pushes, strict=True))
    return Contacts(carried, margin, free, _remarks(stand, free))


def resting_stand(
    body: ConvexBody,
    centre: Point3,
    shape: StandShape,
    ribs: RibLayout,
    obstacles: Sequence[Obstacle] = (),
) -> tuple[StandDesign, Contacts]:
    """The stand with the rib in plate 1 that gives the widest hold, and how the frame rests.

    The shape's own longitude does not count; of equal ones the first rib's is taken.

    Raises:
        GeometryError: no stand, or the frame falls whichever rib is in plate 1.
    """
    best: tuple[StandDesign, Contacts] | None = None
    refused: GeometryError | None = None
    first = make_stand(body, centre, shape, obstacles)
    for longitude in ribs.longitudes:
        stand = turned(first, centre, longitude)
        try:
            held = contacts(stand, centre, ribs)
        except GeometryError as error:
            refused = refused or error
            continue
        if best is None or held.margin > best[1].margin + 1e-6:
            best = (stand, held)
    if best is not None:
        return best
    raise refused or GeometryError(
        Fault("stand-no-ribs", "There are no ribs to rest on a stand.", hint="Give some ribs.")
    )


def _on_plate_1(stand: StandDesign, ribs: RibLayout) -> list[Contact]:
    """The ends of the stretches along which ribs lie on plate 1, its slot left out."""
    cradle, body, slot = stand.cradles[0], stand.body, stand.shape.slot / 2
    found = []
    for number, longitude in enumerate(ribs.longitudes, 1):
        off = longitude - stand.shape.longitude
        if abs(math.sin(math.radians(off))) > _IN_PLANE:
            continue
        side = 1.0 if math.cos(math.radians(off)) > 0.0 else -1.0
        places = (
            cradle.start + (cradle.end - cradle.start) * i / _STEPS for i in range(_STEPS + 1)
        )
        stretch = [
            v for v in places if _has_edge(body, ribs, v, side) and abs(body.point(v)[0]) > slot
        ]
        found += [_contact(body, ribs, number, 1, v, 0.0) for v in _ends(stretch)]
    return found


def _on_plate_2(stand: StandDesign, ribs: RibLayout) -> list[Contact]:
    """The places where ribs cross plate 2's edge, and the ends of those that lie along it."""
    cradle, body = stand.cradles[1], stand.body
    found = []
    for number, longitude in enumerate(ribs.longitudes, 1):
        off = longitude - stand.shape.longitude
        if max(abs(body.sin), abs(math.cos(math.radians(off)))) < _IN_PLANE:
            lower = (math.pi * i / _STEPS for i in range(_STEPS + 1))
            stretch = [
                v
                for v in lower
                if _has_edge(body, ribs, v)
                and body.normal(v, off)[2] < 0.0
                and abs(body.point(v, off)[1]) <= cradle.end
            ]
            found += [_contact(body, ribs, number, 2, v, off) for v in _ends(stretch)]
            continue
        v = _on_edge(stand, ribs, off)
        if v is not None:
            found.append(_contact(body, ribs, number, 2, v, off))
    return found


def _has_edge(body: TiltedBody, ribs: RibLayout, v: float, side: float = 1.0) -> bool:
    """Whether ribs reach the skin at an angle v, on that side of the axis."""
    height = body.meridian.frame_height(v)
    if any(low < height < high for low, high in ribs.bare):
        return False
    return side * body.meridian.radius(v) >= ribs.pole_gap


def _on_edge(stand: StandDesign, ribs: RibLayout, off: float) -> float | None:
    """The angle v at which a rib crosses plate 2's edge, at the face where the skin is lowest."""
    body, x = stand.body, 0.0
    v: float | None = None
    for _ in range(3):
        v = _crossing(body, ribs, off, x)
        if v is None:
            return None
        below = body.under(abs(body.point(v, off)[1]), stand.shape.plate)
        if below is None:
            return None
        x = below[0]
    return v if v is not None and abs(body.point(v, off)[1]) <= stand.cradles[1].end else None


def _ends(stretch: list[float]) -> list[float]:
    """The first and last of a row of parameters, and those on either side of a gap in it."""
    if not stretch:
        return []
    pitch = min((w - v for v, w in pairwise(stretch)), default=0.0)
    gaps = [end for v, w in pairwise(stretch) if w - v > 1.5 * pitch for end in (v, w)]
    return sorted({stretch[0], *gaps, stretch[-1]})


def _crossing(body: TiltedBody, ribs: RibLayout, off: float, x: float) -> float | None:
    """The angle v, 0 to π, at which a rib's edge crosses the plane X = x on its lower side."""

    def level(v: float) -> float:
        return body.point(v, off)[0] - x

    def like(gap: float) -> Callable[[float], bool]:
        return lambda v: level(v) * gap > 0.0

    before: tuple[float, float] | None = None
    for i in range(1, _STEPS):
        v = math.pi * i / _STEPS
        if not _has_edge(body, ribs, v):
            before = None
            continue
        gap = level(v)
        if before is not None and before[1] * gap <= 0.0 and before[1] != gap:
            low, high = bracket(like(before[1]), before[0], v, halvings=50)
            if body.normal(low, off)[2] < 0.0:
                return (low + high) / 2
        before = (v, gap)
    return None


def _contact(
    body: TiltedBody, ribs: RibLayout, number: int, plate: int, v: float, off: float
) -> Contact:
    radius = abs(body.meridian.radius(v))
    out, _ = body.meridian.normal(v)
    protrusion = (math.hypot(radius, ribs.thickness / 2) - radius) * abs(out)
    return Contact(number, plate, body.point(v, off), body.normal(v, off), protrusion, 0.0)


def _falls(
    stand: StandDesign, ribs: RibLayout, found: list[Contact], hull: list[Point], margin: float
) -> GeometryError:
    on = [sum(c.plate == plate for c in found) for plate in (1, 2)]
    if len(hull) < 3:
        message = (
            f"The frame would fall off its stand: {len(found)} places hold it, {on[0]} on plate 1 "
            f"and {on[1]} on plate 2, and they lie in one line or point."
        )
    elif margin < 0.0:
        message = (
            f"The frame would tip off its stand: its centre of mass lies {-margin:.4g} mm outside "
            "the places that hold it."
        )
    else:
        message = (
            f"The frame would rest on a knife edge: its centre of mass lies {margin:.4g} mm inside "
            f"the places that hold it, less than {LEAST_MARGIN:g} mm."
        )
    return GeometryError(
        Fault(
            "stand-falls",
            message,
            hint="Use more reach than "
            f"{stand.shape.reach:.3g}°, more than {len(ribs.longitudes)} ribs, a rib in plate 1's "
            "plane and ribs to both sides of it.",
        )
    )


def _hull(points: list[Point]) -> list[Point]:
    """The corners of the convex hull counter-clockwise; fewer than three when it is flat."""
    ordered = sorted({(round(x, 6), round(y, 6)) for x, y in points})
    if len(ordered) < 3:
        return ordered
    return chain(ordered, _FLAT)[:-1] + chain(ordered[::-1], _FLAT)[:-1]


def _inside_by(hull: list[Point], point: Point) -> float:
    """How far a point lies inside a hull's nearest edge line, negative outside, in mm."""
    if len(hull) < 3:
        return -math.inf
    return min(
        turn(a, b, point) / math.dist(a, b) for a, b in zip(hull, [*hull[1:], hull[0]], strict=True)
    )


def _wrench(c: Contact, centre: Point3, size: float) -> tuple[float, ...]:
    """The push on the body along its inward normal and its moment about the centre of mass over
    `size`, shape (6,)."""
    fx, fy, fz = (-n for n in c.normal)
    rx, ry, rz = ((c.point[i] - centre[i]) / size for i in range(3))
    return (fx, fy, fz, ry * fz - rz * fy, rz * fx - rx * fz, rx * fy - ry * fx)


def _carried(columns: list[tuple[float, ...]]) -> tuple[list[float], float]:
    """Pushes, none negative, that come nearest to carrying a weight of 1, and what is left.

    Least squares by one push at a time, each kept at 0 or more, which cannot get stuck as the
    sum of squares is convex.
    """
    left = [0.0, 0.0, -1.0, 0.0, 0.0, 0.0]
    pushes = [0.0] * len(columns)
    squares = [math.fsum(a * a for a in column) for column in columns]
    for _ in range(_SWEEPS):
        most = 0.0
        for i, column in enumerate(columns):
            slope = sum(a * b for a, b in zip(column, left, strict=True))
            new = max(0.0, pushes[i] - slope / squares[i])
            change = new - pushes[i]
            if change:
                pushes[i] = new
                left = [b + change * a for a, b in zip(column, left, strict=True)]
                most = max(most, abs(change))
        if most < 1e-12:
            break
    return pushes, math.sqrt(math.fsum(b * b for b in left))


def _rank(columns: list[tuple[float, ...]]) -> int:
    """How many independent ways of moving the contacts resist."""
    rows = [list(column) for column in columns]
    rank = 0
    for _ in range(6):
        pivot = max(
            ((abs(row[j]), i, j) for i, row in enumerate(rows[rank:], rank) for j in range(6)),
            default=(0.0, 0, 0),
        )
        if pivot[0] < 1e-3:
            break
        _, i, j = pivot
        rows[rank], rows[i] = rows[i], rows[rank]
        head = rows[rank]
        for k in range(rank + 1, len(rows)):
            factor = rows[k][j] / head[j]
            rows[k] = [a - factor * b for a, b in zip(rows[k], head, strict=True)]
        rank += 1
    return rank


def _remarks(stand: StandDesign, free: int) -> tuple[Remark, ...]:
    if free <= 0:
        return ()
    text = f"The contacts leave {free} ways to turn or slide; only rubbing holds the frame there."
    if free == 1:
        text = "The frame can turn round its own axis; only rubbing holds it there."
    return (Remark("rests-by-rubbing", tuple(plate.id for plate in stand.plates), text),)
