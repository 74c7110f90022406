"""Where a part's label goes: upright where there is room, else turned to follow the part."""

from __future__ import annotations

import math
from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from framekit.geometry.lettering import text_strokes
from framekit.geometry.path import Outline, Path

CLEARANCE = 1.0
"""Least distance in mm from a label's strokes to any edge, hole or joint."""

CAP_HEIGHTS = (6.0, 5.0, 4.0, 3.5, 3.0, 2.5, 2.0)
"""Heights of capitals in mm that are tried, greatest first."""

EASY = 3.0
"""mm; a shorter text of this height or more is taken before a longer one that is lower."""

_CHORD_ERROR = 0.02
"""Distance in mm between a part's arcs and the polyline that labels keep clear of."""

_RAYS = 96
"""Points along the outer edge from which the middle of the part is sought."""

_KEPT = 24
"""Middles that are tried, those with most room first."""

Array = npt.NDArray[np.float64]

LabelRooms = MutableMapping[tuple[Outline, tuple[Path, ...]], "LabelRoom"]
"""Rooms already found, so that equal parts are searched once."""


@dataclass(frozen=True)
class LabelRoom:
    """Where labels may stand in one outline, found once for all labels of equal parts.

    `places` has a row for each candidate: x and y in mm, and the direction of the part there in
    degrees, -90 < direction ≤ 90; most room first.
    """

    inside: shapely.Polygon
    obstacles: shapely.Geometry
    places: tuple[tuple[float, float, float], ...]


def label_texts(set_id: str | None, frame: str, part: str) -> tuple[str, ...]:
    """What may be engraved on a part, the fullest first: set, frame, kind's initial and number.

    Without room the set's id goes first, then the space; what is left tells every part of a set
    from every other, since it ends in one letter and a number.

    >>> label_texts("moons", "A2", "rib-3")
    ('moons A2 R3', 'A2 R3', 'A2R3')
    """
    kind, _, number = part.partition("-")
    code = f"{kind[:1].upper()}{number}"
    short = (f"{frame} {code}", f"{frame}{code}")
    return short if set_id is None else (f"{set_id} {short[0]}", *short)


def place_fitting_label(
    texts: Sequence[str],
    outline: Outline,
    keep_clear: Sequence[Path] = (),
    rooms: LabelRooms | None = None,
) -> tuple[Path, ...]:
    """The strokes of the first of the texts that has room, as in `place_label`.

    Each is tried down to capitals of 3 mm, then each down to 2 mm.
    """
    for least in (EASY, CAP_HEIGHTS[-1]):
        for text in texts:
            strokes = place_label(text, outline, keep_clear, rooms, least)
            if strokes:
                return strokes
    return ()


def place_label(
    text: str,
    outline: Outline,
    keep_clear: Sequence[Path] = (),
    rooms: LabelRooms | None = None,
    least: float = CAP_HEIGHTS[-1],
) -> tuple[Path, ...]:
    """The strokes of a label inside the finished outline, in the part's own axes, mm.

    No stroke is nearer than `CLEARANCE` mm to an edge, a hole or a path of `keep_clear`: marks,
    or closed paths about joints. Capitals are as high as there is room for, 6 mm at most and
    `least` mm at least; at one height, upright goes before turned. No strokes come back when there
    is no room. With the same `rooms` passed each time, equal outlines are searched only once.
    """
    strokes = text_strokes(text, 1.0)
    if not strokes:
        return ()
    key = (outline, tuple(keep_clear))
    room = rooms.get(key) if rooms is not None else None
    if room is None:
        room = find_room(outline, keep_clear)
        if rooms is not None:
            rooms[key] = room
    low_x, low_y, high_x, high_y = _bounds(strokes)
    found = _first_fit(room, high_x - low_x, high_y - low_y, least)
    if found is None:
        return ()
    height, (x, y, rotation) = found
    to_middle = (-height * (low_x + high_x) / 2, -height * (low_y + high_y) / 2)
    return tuple(
        stroke.moved(0.0, *to_middle).moved(rotation, x, y) for stroke in text_strokes(text, height)
    )


def find_room(outline: Outline, keep_clear: Sequence[Path] = ()) -> LabelRoom:
    """The room for labels in an outline: middles of the part, most room first.

    Rays from points spread evenly along the outer edge run square into the part; half-way to the
    edge that each meets next is a middle of the part.
    """
    outer = np.array(outline.outer.polyline_within(_CHORD_ERROR))
    holes = [np.array(hole.polyline_within(_CHORD_ERROR)) for hole in outline.holes]
    inside = shapely.Polygon(outer, holes)
    obstacles = shapely.GeometryCollection(
        [inside.boundary, *(_obstacle(path) for path in keep_clear)]
    )
    places = _middles(outer, holes, clockwise=outline.outer.area < 0.0)
    shapely.prepare(obstacles)
    shapely.prepare(inside)
    room = shapely.distance(shapely.points(places[:, :2]), obstacles)
    # Equal room is told by hundredths of a millimetre, so that rounding does not choose.
    order = np.lexsort((np.arange(len(places)), -np.round(room, 2)))[:_KEPT]
    return LabelRoom(inside, obstacles, tuple((x, y, a) for x, y, a in places[order].tolist()))


def _first_fit(
    room: LabelRoom, width: float, depth: float, least: float
) -> tuple[float, tuple[float, float, float]] | None:
    """The greatest cap height and first place where a box of that many cap heights has room.

    No height is below `least` mm.
    """
    if not room.places:
        return None
    places = np.array(room.places)
    upright = places.copy()
    upright[:, 2] = 0.0
    tried = np.concatenate([upright, places])
    turn = np.radians(tried[:, 2])
    along = np.column_stack([np.cos(turn), np.sin(turn)])
    across = np.column_stack([-along[:, 1], along[:, 0]])
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) / 2
    reach = CLEARANCE + _CHORD_ERROR
    for height in (h for h in CAP_HEIGHTS if h >= least):
        boxes = shapely.polygons(
            tried[:, None, :2]
            + height * width * corners[None, :, :1] * along[:, None, :]
            + height * depth * corners[None, :, 1:] * across[:, None, :]
        )
        fits = shapely.contains_properly(room.inside, boxes)
        fits[fits] = ~shapely.dwithin(room.obstacles, boxes[fits], reach)
        if fits.any():
            x, y, rotation = tried[int(np.argmax(fits))].tolist()
            return height, (x, y, rotation)
    return None


def _bounds(paths: Sequence[Path]) -> tuple[float, float, float, float]:
    low_x, low_y, high_x, high_y = zip(*(path.bounds for path in paths), strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def _obstacle(path: Path) -> shapely.Geometry:
    points = path.polyline_within(_CHORD_ERROR)
    return shapely.Polygon(points) if path.closed else shapely.LineString(points)


def _middles(outer: Array, holes: Sequence[Array], clockwise: bool) -> Array:
    """The middles of the part as rows of x, y in mm and direction in degrees, shape (n, 3)."""
    starts = np.concatenate([outer, *holes])
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in (outer, *holes)])
    edges = ends - starts
    steps = np.roll(outer, -1, axis=0) - outer
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    along = np.cumsum(lengths)
    at = (np.arange(_RAYS) + 0.5) / _RAYS * along[-1]
    k = np.minimum(np.searchsorted(along, at), len(outer) - 1)
    share = 1.0 - (along[k] - at) / lengths[k]
    origin = outer[k] + steps[k] * share[:, None]
    tangent = steps[k] / lengths[k][:, None]
    side = -1.0 if clockwise else 1.0
    inward = side * np.column_stack([-tangent[:, 1], tangent[:, 0]])
    # Ray o + t·n meets edge s + u·e where t = (s − o)×e / n×e and u = (s − o)×n / n×e.
    gap = starts[None, :, :] - origin[:, None, :]
    cross = inward[:, None, 0] * edges[None, :, 1] - inward[:, None, 1] * edges[None, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (gap[..., 0] * edges[None, :, 1] - gap[..., 1] * edges[None, :, 0]) / cross
        u = (gap[..., 0] * inward[:, None, 1] - gap[..., 1] * inward[:, None, 0]) / cross
    t[~((u >= 0.0) & (u <= 1.0) & (t > 1e-6))] = math.inf
    width = t.min(axis=1)
    met = np.isfinite(width)
    middles = origin[met] + inward[met] * (width[met] / 2)[:, None]
    direction = np.degrees(np.arctan2(tangent[met, 1], tangent[met, 0]))
    # Half a turn is taken off so that text never stands on its head.
    direction = 90.0 - (90.0 - np.round(direction, 6)) % 180.0
    return np.column_stack([middles, direction])
