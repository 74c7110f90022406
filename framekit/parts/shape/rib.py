"""The finished outline of a rib of any body of revolution, with everything cut into it.

In the rib's plane x is the distance from the body's axis and y the height, both in mm. The skin
and the inner edge are drawn by arcs; notches, ends and corners are straight.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Outline, Vertex, circle
from framekit.joints.protocol import RibEnd
from framekit.parts.shape.corners import (
    Corner,
    plain_path,
    refuse_crossing,
    refuse_narrow,
    without_repeats,
    worked_path,
)
from framekit.parts.shape.curves import fit_curve, least, most, turning_place
from framekit.parts.shape.edges import distance_to, encloses
from framekit.solution.model import Meridian


class Notch(NamedTuple):
    """A notch open toward the axis: mid-height, width, and the radius it reaches, in mm.

    `floor` are the vertices beyond its mouth from above to below, y from the mid-height, where
    they are not those of a square notch.
    """

    height: float
    width: float
    reach: float
    floor: tuple[Vertex, ...] = ()


LEAST = 1e-9
"""mm of height below which a piece of a curve has no arcs."""


class OuterNotch(NamedTuple):
    """A notch open outward: mid-height, width, and the radius of its seat, in mm."""

    height: float
    width: float
    seat: float


class RoundHole(NamedTuple):
    """A hole about (x, y) and the least material around it, in mm."""

    x: float
    y: float
    radius: float
    wall: float


Ends = tuple[RibEnd | None, RibEnd | None]
"""How a rib ends below and above; None where no disc is flush with that end."""


class _Recess(NamedTuple):
    """Heights between which something is cut, and how far out or in; x is infinite for ends."""

    low: float
    high: float
    reach: float


def rib_outline(
    meridian: Meridian,
    notches: Sequence[Notch] = (),
    ends: Ends = (None, None),
    outer_notches: Sequence[OuterNotch] = (),
    hole: RoundHole | None = None,
    *,
    lead_in: float = 0.0,
    relief: float = 0.0,
) -> Outline:
    """The outline of a rib, counter-clockwise from its lower end.

    `notches` are open toward the axis, `outer_notches` outward; `ends` are the lower and the
    upper. `lead_in` in mm chamfers the mouths of notches and rabbets; `relief` is the radius in mm
    of the tool whose fillets they must not keep, 0 for a cut of no width.

    Raises GeometryError when notches meet each other or an end, cut through the rib, or leave no
    room for relief or hole.
    """
    if any(meridian.closed):
        # A flat pole comes to the axis within a rounding of the height at which the rib ends.
        skin = meridian.outer
        meridian = meridian._replace(outer=lambda z: max(meridian.pole_gap, skin(z)))
    shape = _Shape(meridian, ends)
    inner = sorted((_recess(n.height, n.width, n.reach) for n in notches), key=lambda b: -b.low)
    outer = sorted((_recess(n.height, n.width, n.seat) for n in outer_notches), key=lambda b: b.low)
    for recess in (*inner, *outer):
        refuse_narrow(
            recess.high - recess.low, relief, f"the notch at height {_middle(recess):.4g} mm"
        )
    shape.refuse(inner, outer)
    corners = shape.low_corners()
    height = shape.skin_low
    for recess in outer:
        corners += shape.skin(height, recess.low, "mouth")
        corners += [
            Corner(recess.reach, recess.low, 0.0, "inside"),
            Corner(recess.reach, recess.high, 0.0, "inside"),
            Corner(meridian.outer(recess.high), recess.high, 0.0, "mouth"),
        ]
        height = recess.high
    corners += shape.skin(height, shape.skin_high)
    corners += shape.high_corners()
    height = shape.edge_high
    floors = {n.height - n.width / 2: n.floor for n in notches}
    for recess in inner:
        corners += shape.edge(height, recess.high)
        corners += _notch(meridian, recess, floors[recess.low])
        height = recess.low
    corners += shape.edge(height, shape.edge_low)
    chain = without_repeats(corners)
    path = worked_path(chain, lead_in, relief) if lead_in or relief else plain_path(chain)
    outline = refuse_crossing(Outline(path), "a rib")
    return outline if hole is None else _holed(outline, hole)


class _Shape:
    """A rib's skin, inner edge and ends, and the heights at which they give way to one another."""

    def __init__(self, meridian: Meridian, ends: Ends) -> None:
        self._meridian = meridian
        self._ends = ends
        low, high = meridian.rib_low, meridian.rib_high
        self.skin_low = self.edge_low = low
        self.skin_high = self.edge_high = high
        for upper, end in enumerate(ends):
            if end is None:
                continue
            if meridian.closed[upper]:
                raise _fault(
                    "end-closed",
                    "a disc cannot lie flush with an end where the skin meets the axis",
                    "Cut the body off there, or put the disc lower.",
                )
            if upper:
                self.edge_high = high - end.depth
                self.skin_high = high if end.outer is None else self.edge_high
            else:
                self.edge_low = low + end.depth
                self.skin_low = low if end.outer is None else self.edge_low
        if not (self.edge_low < self.edge_high and self.skin_low < self.skin_high):
            raise _fault(
                "ends-meet",
                f"the ends of a rib from {low:.4g} to {high:.4g} mm leave nothing between them",
                "Use thinner discs or a taller body.",
            )
        self._refuse_ends()

    def _refuse_ends(self) -> None:
        meridian = self._meridian
        places = (
            (meridian.rib_low, self.edge_low, self._ends[0]),
            (self.edge_high, meridian.rib_high, self._ends[1]),
        )
        for (low, high, end), inmost in zip(places, (1, 0), strict=True):
            if end is None:
                continue
            skin = least(meridian.outer, low, high, meridian.breaks)
            if end.outer is None:
                edge = most(meridian.inner, low, high, meridian.breaks)
                if not edge < end.inner < skin:
                    raise _fault(
                        "notch-through-skin" if end.inner >= skin else "rabbet-off-rib",
                        f"a rabbet to radius {end.inner:.4g} mm does not lie in a rib from "
                        f"{edge:.4g} to {skin:.4g} mm at its end",
                        "Use another engagement or wider ribs there.",
                    )
                continue
            shoulder = meridian.inner((low, high)[inmost])
            if not shoulder <= end.inner < end.outer < skin:
                raise _fault(
                    "tongue-off-rib",
                    f"a tongue from radius {end.inner:.4g} to {end.outer:.4g} mm does not lie in "
                    f"a rib from {shoulder:.4g} to {skin:.4g} mm at its end",
                    "Use a narrower tongue or wider ribs there.",
                )

    def refuse(self, inner: Sequence[_Recess], outer: Sequence[_Recess]) -> None:
        """Nothing; GeometryError when recesses meet each other or the ends, or cut through."""
        meridian = self._meridian
        for recesses, low, high in (
            (inner[::-1], self.edge_low, self.edge_high),
            (outer, self.skin_low, self.skin_high),
        ):
            floor = low
            for recess in recesses:
                if recess.low <= floor or recess.high >= high:
                    raise _fault(
                        "notches-meet",
                        f"the notch at height {_middle(recess):.4g} mm meets another or the rib's "
                        "end",
                        "Move the disc, or make it thinner.",
                    )
                floor = recess.high
        steps = [*inner]
        for upper, end in enumerate(self._ends):
            if end is not None and end.outer is None:
                span = (
                    (self.edge_high, meridian.rib_high)
                    if upper
                    else (
                        meridian.rib_low,
                        self.edge_low,
                    )
                )
                steps.append(_Recess(*span, end.inner))
        for recess in steps:
            skin = least(meridian.outer, recess.low, recess.high, meridian.breaks)
            seats = [b.reach for b in outer if b.low <= recess.high and recess.low <= b.high]
            if recess.reach >= min([skin, *seats]):
                raise _in_two(recess)
        for recess in outer:
            skin = least(meridian.outer, recess.low, recess.high, meridian.breaks)
            edge = most(meridian.inner, recess.low, recess.high, meridian.breaks)
            if recess.reach <= edge:
                raise _in_two(recess)
            if recess.reach >= skin:
                raise _fault(
                    "notch-off-skin",
                    f"the notch at height {_middle(recess):.4g} mm, open outward, does not reach "
                    "into the rib",
                    "Make the flange's seat smaller.",
                )

    def skin(self, start: float, stop: float, work: str = "") -> list[Corner]:
        """The skin from one height up to another, its last corner marked."""
        corners = _skin(self._meridian, start, stop)
        return [*corners[:-1], corners[-1]._replace(work="mouth" if work else "")]

    def edge(self, start: float, stop: float) -> list[Corner]:
        """The inner edge from one height down to another."""
        return _edge(self._meridian, start, stop)

    def low_corners(self) -> list[Corner]:
        """The lower end's corners, from the inner edge outward."""
        return self._end(self._ends[0], self._meridian.rib_low, self.edge_low)

    def high_corners(self) -> list[Corner]:
        """The upper end's corners, from the skin inward."""
        return self._end(self._ends[1], self._meridian.rib_high, self.edge_high)[::-1]

    def _end(self, end: RibEnd | None, at: float, step: float) -> list[Corner]:
        edge = self._meridian.inner(step)
        if end is None:
            return []
        if end.outer is None:
            return [
                Corner(edge, step, 0.0, "mouth"),
                Corner(end.inner, step, 0.0, "inside"),
                Corner(end.inner, at, 0.0, "mouth"),
            ]
        return [
            Corner(edge, step),
            Corner(end.inner, step, 0.0, "inside"),
            Corner(end.inner, at),
            Corner(end.outer, at),
            Corner(end.outer, step, 0.0, "inside"),
        ]


def _skin(m: Meridian, start: float, stop: float) -> list[Corner]:
    """Return the skin between two heights, by its own arcs where it has any."""
    if m.outer_arcs is not None and abs(stop - start) > LEAST:
        ends = [z for z, shut in zip((m.rib_low, m.rib_high), m.closed, strict=True) if shut]
        points = ((m.pole_gap if z in ends else m.outer(z), z) for z in (start, stop))
        return [Corner(*vertex) for vertex in m.outer_arcs(*points)]
    return fit_curve(m.outer, m.outer_slope, m.breaks, start, stop)


def _edge(m: Meridian, start: float, stop: float) -> list[Corner]:
    """Return the inner edge downward between two heights; its arcs end where it meets the gap."""
    if m.inner_arcs is None:
        return fit_curve(m.inner, m.inner_slope, m.breaks, start, stop)
    places = [start, *(b for b in reversed(m.breaks) if stop < b < start), stop]
    corners = [Corner(m.inner(start), start)]
    for upper, lower in pairwise(places):
        if upper - lower > LEAST and m.inner((upper + lower) / 2) > m.pole_gap:
            corners += [Corner(*vertex) for vertex in m.inner_arcs(upper, lower)]
    return [*corners, Corner(m.inner(stop), stop)]


def _recess(height: float, width: float, reach: float) -> _Recess:
    return _Recess(height - width / 2, height + width / 2, reach)


def _middle(recess: _Recess) -> float:
    return (recess.low + recess.high) / 2


def _notch(meridian: Meridian, recess: _Recess, floor: Sequence[Vertex]) -> list[Corner]:
    """The corners of a notch open toward the axis, downward; an edge farther out stays.

    `floor` are the vertices beyond the mouth where the notch is not square.
    """
    upper, lower = meridian.inner(recess.high), meridian.inner(recess.low)
    above = Corner(upper, recess.high, 0.0, "mouth")
    below = Corner(lower, recess.low, 0.0, "mouth")
    inside = [
        Corner(recess.reach, recess.high, 0.0, "inside"),
        Corner(recess.reach, recess.low, 0.0, "inside"),
    ]
    if floor and max(upper, lower) < min(v.x for v in floor):
        return [above, *(Corner(v.x, _middle(recess) + v.y, v.bulge) for v in floor), below]
    if max(upper, lower) < recess.reach:
        return [above, *inside, below]
    if min(upper, lower) >= recess.reach:
        return _edge(meridian, recess.high, recess.low)
    bend = turning_place(meridian.inner, recess.reach, recess.low, recess.high)
    if upper < recess.reach:
        return [above, inside[0], *_edge(meridian, bend, recess.low)]
    return [*_edge(meridian, recess.high, bend), inside[1], below]


def _holed(outline: Outline, hole: RoundHole) -> Outline:
    """The outline with the hole; raises GeometryError when it leaves too little around it."""
    centre = (hole.x, hole.y)
    inside = encloses(outline.outer, centre)
    room = min(distance_to(s, centre) for s in outline.outer.segments)
    if not inside or room < hole.radius + hole.wall:
        raise _fault(
            "hole-breaks-out",
            f"a hole of radius {hole.radius:.4g} mm at radius {hole.x:.4g}, height {hole.y:.4g} mm "
            f"leaves {room - hole.radius if inside else 0.0:.4g} mm of the rib, less than "
            f"{hole.wall:.4g} mm",
            "Make the hole smaller, the rib wider, or move it.",
        )
    return Outline(outline.outer, (circle(hole.radius, clockwise=True).moved(0.0, *centre),))


def _in_two(recess: _Recess) -> GeometryError:
    return _fault(
        "notch-through-skin",
        f"the notch at height {_middle(recess):.4g} mm cuts the rib in two",
        "Use a smaller engagement or wider ribs there.",
    )


def _fault(code: str, message: str, hint: str) -> GeometryError:
    return GeometryError(Fault(code, message, hint=hint))
