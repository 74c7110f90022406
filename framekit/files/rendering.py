"""A frame's parts as shaded regions on a page: what a person sees of the finished frame."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import shapely

from framekit.files.faces import Face, part_faces, posed
from framekit.files.view import Axes, View, axes_at, view_of
from framekit.files.visibility import GRID, visible_regions
from framekit.geometry.path import Path
from framekit.parts.model import Part

Array = npt.NDArray[np.float64]

Shape = shapely.geometry.base.BaseGeometry

WIDTH = 900.0
"""Width of the page in page units; all below are in page units too unless they say otherwise."""
MARGIN = 24.0

ELEVATION = 24.0
"""Degrees the eye stands above the equator: discs show their upper faces, ribs stay tall."""
REMOTENESS = 6.0
"""Distance of the eye in half extents of the frame: near enough for depth, far enough that
circles stay round to the eye."""

_BESIDE = 0.38
"""The eye's azimuth lies this share of the way from the first rib to the next, so that it looks
in between two ribs, and never along the sheet of one."""

_FINENESS = 1.0 / 4000.0
"""Chord error of arcs as a share of the frame's extent: about a tenth of a page unit."""

_LIGHT = (-0.75, 0.75, 0.40)
"""Where the light comes from (right, up, toward the eye): above, from the left and the front."""
_FILL = (0.80, 0.10, 0.60)
"""Where a weaker light comes from, which keeps what is turned to the right from going dull."""
_SHARES = (0.52, 0.46, 0.16)
"""Shares of the light that comes from everywhere, of the light and of the weaker light."""
_LEVELS = 32
"""Levels of brightness, so that the flat pieces of a curved edge make few shapes."""

_UPRIGHT = 1e-6
"""The upward part of a normal up to which a face is upright and its shadow a line."""

_TOLERANCE = 1e-5
"""mm by which one face must be nearer than another to hide it."""
_LEAST_SEEN = 0.02
"""Square page units below which a visible region is not drawn."""
_FINE = 0.02
"""Page units within which the drawn edges of a region keep to the computed ones."""
_COARSE = 0.1
"""The same for contour and shadow, which are not to run into cracks."""


class Patch(NamedTuple):
    """A region of one brightness, 0 to 1, on the page; `edge` is False on the sheet's own faces."""

    part: int
    edge: bool
    brightness: float
    region: Shape


class Drawing(NamedTuple):
    """A frame on a page of width × height, y down: patches that do not overlap, and lines.

    `outlines` are the seen edges, `contour` the outer edge of it all, `marks` the seen marks and
    labels, `shadow` what the frame keeps the light from on the ground under it. `eye` is in mm in
    the frame's axes and looks from `azimuth` and `elevation` in degrees.
    """

    width: float
    height: float
    patches: tuple[Patch, ...]
    outlines: Shape
    contour: Shape
    marks: Shape
    shadow: Shape
    eye: tuple[float, float, float]
    azimuth: float
    elevation: float


def draw_frame(
    parts: Sequence[Part], labels: Mapping[str, Sequence[Path]], longitudes: Sequence[float]
) -> Drawing:
    """The drawing of a frame's assembled parts.

    `labels` has strokes by part id, in the part's own axes; `longitudes` of the ribs in degrees
    decide from which side the frame is seen.
    """
    chord_error = _FINENESS * _extent(parts)
    owners, faces = [], []
    for i, part in enumerate(parts):
        found = part_faces(part, chord_error)
        owners += [i] * len(found)
        faces += found
    azimuth = _azimuth(longitudes)
    axes = axes_at(azimuth, ELEVATION)
    shadows = _shadows(faces)
    corners, ground = (np.concatenate([f.rings[0] for f in some]) for some in (faces, shadows))
    view, height = view_of(axes, corners, ground, REMOTENESS, WIDTH, MARGIN)
    seen = _seen(view, faces)
    brightness = _Brightness(axes)
    surfaces: dict[tuple[int, int], list[Shape]] = defaultdict(list)
    shades: dict[tuple[int, bool, float], list[Shape]] = defaultdict(list)
    for i, face, region in zip(owners, faces, seen, strict=True):
        if not region.is_empty:
            surfaces[i, face.smooth].append(region)
            shades[i, face.smooth > 1, brightness.of(face.normal)].append(region)
    whole = {key: _joined(regions) for key, regions in surfaces.items()}
    patches = tuple(Patch(*key, _joined(shades[key])) for key in sorted(shades))
    return Drawing(
        WIDTH,
        height,
        tuple(patch for patch in patches if not patch.region.is_empty),
        _lines([region.boundary for region in whole.values()]),
        _joined(whole.values(), _COARSE).boundary,
        _marks(view, parts, labels, whole, chord_error),
        _joined([_polygon(view, face) for face in shadows], _COARSE),
        (float(view.eye[0]), float(view.eye[1]), float(view.eye[2])),
        azimuth,
        ELEVATION,
    )


def _extent(parts: Sequence[Part]) -> float:
    """About half the frame's size in mm."""
    boxes = [(part, part.outline.outer.bounds) for part in parts]
    corners = [
        posed(part.pose, np.array(((x0, y0), (x0, y1), (x1, y0), (x1, y1))), 0.0)
        for part, (x0, y0, x1, y1) in boxes
    ]
    points = np.concatenate(corners)
    return float((points.max(axis=0) - points.min(axis=0)).max()) / 2.0


def _azimuth(longitudes: Sequence[float]) -> float:
    """The eye's azimuth in degrees."""
    angles = sorted(angle % 360.0 for angle in longitudes)
    if not angles:
        return 0.0
    following = angles[1] if len(angles) > 1 else angles[0] + 360.0
    return angles[0] + _BESIDE * (following - angles[0])


def _seen(view: View, faces: Sequence[Face]) -> list[Shape]:
    """What is seen on the page of each face, empty for those turned away."""
    turned = [i for i, f in enumerate(faces) if view.faces_eye(f.rings[0][0], f.normal)]
    shapes = np.array([_polygon(view, faces[i]) for i in turned], dtype=object)
    nearness = [view.nearness(faces[i].rings[0][0], faces[i].normal) for i in turned]
    distance = float(np.linalg.norm(view.eye - faces[0].rings[0][0]))
    regions = visible_regions(shapes, np.array(nearness), _TOLERANCE / distance**2)
    seen: list[Shape] = [shapely.Polygon()] * len(faces)
    for i, region in zip(turned, regions, strict=True):
        seen[i] = region
    return seen


def _polygon(view: View, face: Face) -> Shape:
    """A face on the page; of an outline that crosses itself, as much as has an inside."""
    outer, *holes = (view.seen(ring) for ring in face.rings)
    polygon = shapely.Polygon(outer, holes)
    return polygon if polygon.is_valid else polygon.buffer(0.0)


class _Brightness:
    """How bright faces are, by Lambert's cosine law."""

    def __init__(self, axes: Axes) -> None:
        self._lights = np.array((axes.direction(*_LIGHT), axes.direction(*_FILL)))

    def of(self, normal: Array) -> float:
        """The brightness of a face, 0 to 1, in steps."""
        everywhere, *shares = _SHARES
        lit = everywhere + float(np.array(shares) @ np.maximum(0.0, self._lights @ normal))
        return round(min(1.0, lit) * _LEVELS) / _LEVELS


def _joined(regions: Iterable[Shape], fine: float = _FINE) -> Shape:
    """The regions' union, without specks, spikes and cracks narrower than twice `fine`."""
    union = shapely.union_all(list(regions), grid_size=GRID).simplify(_FINE)
    for step in (fine, -2.0 * fine, fine):
        union = union.buffer(step, join_style="mitre")
    polygons = [p for p in shapely.get_parts(union) if p.area > _LEAST_SEEN]
    return shapely.MultiPolygon(polygons).simplify(_FINE)


def _lines(lines: Sequence[Shape]) -> Shape:
    """The lines, drawn once where they lie on each other, in strokes as long as can be."""
    return shapely.line_merge(shapely.union_all(list(lines), grid_size=GRID))


def _marks(
    view: View,
    parts: Sequence[Part],
    labels: Mapping[str, Sequence[Path]],
    whole: Mapping[tuple[int, int], Shape],
    chord_error: float,
) -> Shape:
    """What is seen of marks and labels, which lie on the face on the side of a part's own z."""
    seen = []
    for i, part in enumerate(parts):
        face = whole.get((i, 0))
        if face is None or face.is_empty:
            continue
        for path in (*part.marks, *labels.get(part.id, ())):
            points = list(path.polyline_within(chord_error))
            points += points[:1] if path.closed else []
            flat = view.seen(posed(part.pose, np.array(points), part.thickness / 2.0))
            seen.append(shapely.intersection(shapely.LineString(flat), face))
    return shapely.line_merge(shapely.MultiLineString(_line_strings(seen)))


def _line_strings(shapes: Sequence[Shape]) -> list[shapely.LineString]:
    return [
        line
        for line in shapely.get_parts(shapely.get_parts(np.array(shapes, dtype=object)))
        if isinstance(line, shapely.LineString) and not line.is_empty
    ]


def _shadows(faces: Sequence[Face]) -> list[Face]:
    """The shadows that the upper faces throw straight down, on the ground the frame stands on."""
    ground = min(float(face.rings[0][:, 2].min()) for face in faces)
    flat = np.array((1.0, 1.0, 0.0))
    return [
        face._replace(rings=tuple(r * flat + (0.0, 0.0, ground) for r in face.rings))
        for face in faces
        if face.normal[2] > _UPRIGHT
    ]
