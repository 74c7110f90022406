"""Pictures of finished frames for people to look at, one SVG file a frame; nothing to cut from.

Written to Scalable Vector Graphics (SVG) 1.1, W3C Recommendation, 2011. Every region that is drawn
is what is seen of one part, so the regions do not overlap and their order does not matter.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from xml.sax.saxutils import escape, quoteattr

import numpy as np
import shapely
from numpy.typing import NDArray

from framekit.files.model import Document
from framekit.files.naming import safe_name
from framekit.files.release import refuse_unfit
from framekit.files.rendering import Drawing, Patch, draw_frame
from framekit.geometry.path import Path
from framekit.parts.model import FrameParts, Part, Pose
from framekit.sheets.model import Sheets

NOTICE = "A picture, not for cutting."
"""What every picture says of itself."""

FROM_THE_SIDE = (-110.0, -70.0)
"""Longitudes that a frame on a stand is looked at between, so that its tilt shows."""

Colour = tuple[int, int, int]

SHEET_COLOURS: Mapping[str, Colour] = {"rib": (98, 178, 208), "disc": (247, 184, 80)}
"""Red, green and blue of a part's sheet faces in full light: blue ribs, amber discs. Our choice,
and told apart by weak colour sight too."""
_OTHER: Colour = (150, 178, 110)
"""Other kinds of part."""
_CHAR: Colour = (58, 34, 20)
"""What edges are mixed with, for a laser leaves them darker than the sheet; a choice of looks."""
_CHARRED = 0.52
"""How much of it an edge gets."""
_LINE = "#2a211c"
_LINE_WIDTH = 0.9
_CONTOUR_WIDTH = 1.8
_MARK_WIDTH = 0.7
_SEAM_WIDTH = 0.8
"""Width of the line in its own colour about each region, which closes the hairline gaps that
renderers leave between regions that touch."""

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold (section 2.2, Characters)."""


class PictureBackend:
    """Draws each frame put together, as a shaded perspective picture."""

    name = "picture"

    def render(self, sheets: Sheets) -> tuple[Document, ...]:
        """The picture of each frame, named for the frame.

        Raises BuildError or StockError where the sheets are not fit to be cut, as cut files do.
        """
        refuse_unfit(sheets)
        labels: dict[tuple[str, str], tuple[Path, ...]] = {}
        for sheet in sheets.sheets:
            for placement in sheet.placements:
                labels[placement.part.frame, placement.part.id] = placement.label
        documents, taken = [], set[str]()
        stocks = _stocks(sheets)
        for frame in sheets.parts.frames:
            name = _free(safe_name(f"{frame.solution.spec.id}-assembled"), taken)
            own = {part.id: labels.get((part.frame, part.id), ()) for part in frame.parts}
            tilted = frame.display is not None and frame.display.stand is not None
            looked_at = FROM_THE_SIDE if tilted else frame.solution.longitudes
            drawing = draw_frame(_as_shown(frame), own, looked_at)
            text = "".join(f"{line}\n" for line in _svg(frame, drawing, stocks))
            documents.append(Document(f"{name}.svg", text.encode()))
        return tuple(documents)


def _as_shown(frame: FrameParts) -> tuple[Part, ...]:
    """The parts as they stand: where there is a stand, in its axes instead of the frame's."""
    if frame.display is None or frame.display.stand is None:
        return frame.parts
    upright = np.linalg.inv(np.array(frame.display.stand.pose))
    return tuple(replace(part, pose=_rows(upright @ np.array(part.pose))) for part in frame.parts)


def _rows(matrix: NDArray[np.float64]) -> Pose:
    a, b, c, d = ((float(w), float(x), float(y), float(z)) for w, x, y, z in matrix)
    return (a, b, c, d)


def _free(name: str, taken: set[str]) -> str:
    free, count = name, 1
    while free in taken:
        count += 1
        free = f"{name}-{count}"
    taken.add(free)
    return free


def _stocks(sheets: Sheets) -> str:
    """A sentence on what each sheet is; empty where there are none."""
    names: dict[str, list[str]] = {}
    for sheet in sheets.sheets:
        names.setdefault(sheet.stock, []).append(sheet.id)
    found = "; ".join(f"{stock} ({', '.join(ids)})" for stock, ids in names.items())
    return f"The sheets are {found}. " if found else ""


def _svg(frame: FrameParts, drawing: Drawing, stocks: str) -> Iterator[str]:
    width, height = _number(drawing.width), _number(drawing.height)
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}" '
        f'height="{height}" viewBox="0 0 {width} {height}">'
    )
    yield f"<title>{_text(f'{frame.solution.spec.title}, assembled')}</title>"
    yield f"<desc>{_text(_description(frame, drawing, stocks))}</desc>"
    yield f'<path fill="#000000" fill-opacity="0.09" d="{_area(drawing.shadow)}"/>'
    for i, part in enumerate(frame.parts):
        yield from _part(part, [p for p in drawing.patches if p.part == i])
    yield f'<g fill="none" stroke="{_LINE}" stroke-linejoin="round" stroke-linecap="round">'
    for line, line_width in (
        (drawing.marks, _MARK_WIDTH),
        (drawing.outlines, _LINE_WIDTH),
        (drawing.contour, _CONTOUR_WIDTH),
    ):
        if not line.is_empty:
            yield f'<path stroke-width="{_number(line_width)}" d="{_strokes(line)}"/>'
    yield "</g>"
    yield "</svg>"


def _description(frame: FrameParts, drawing: Drawing, stocks: str) -> str:
    ribs = sum(part.kind == "rib" for part in frame.parts)
    discs = sum(part.kind == "disc" for part in frame.parts)
    others = [part.id for part in frame.parts if part.kind not in ("rib", "disc")]
    eye = ", ".join(_number(value) for value in drawing.eye)
    return (
        f"{NOTICE} The finished frame in perspective: ribs {ribs}, discs {discs}"
        f"{''.join(f', {name}' for name in others)}. "
        f"{stocks}The colours and the darker edges are a choice of looks, not the sheet's. "
        "Point at a part for its name. "
        f"The eye is at ({eye}) mm in the frame's axes and looks from azimuth "
        f"{_number(drawing.azimuth)}°, elevation {_number(drawing.elevation)}°."
    )


def _part(part: Part, patches: Sequence[Patch]) -> Iterator[str]:
    if not patches:
        return
    yield (
        f"<g data-part={quoteattr(part.id)} data-kind={quoteattr(part.kind)} "
        f'stroke-width="{_number(_SEAM_WIDTH)}" stroke-linejoin="round">'
        f"<title>{_text(part.title)}</title>"
    )
    for patch in patches:
        colour = _colour(part.kind, patch)
        yield f'<path fill="{colour}" stroke="{colour}" d="{_area(patch.region)}"/>'
    yield "</g>"


def _colour(kind: str, patch: Patch) -> str:
    sheet = SHEET_COLOURS.get(kind, _OTHER)
    share = _CHARRED if patch.edge else 0.0
    return "#" + "".join(
        f"{round((own * (1.0 - share) + char * share) * patch.brightness):02x}"
        for own, char in zip(sheet, _CHAR, strict=True)
    )


def _area(region: shapely.Geometry) -> str:
    """The path data of polygons with holes; the fill rule of SVG asks for rings run both ways."""
    words = []
    for polygon in shapely.get_parts(shapely.normalize(region)):
        oriented = shapely.orient_polygons(polygon)
        for ring in (oriented.exterior, *oriented.interiors):
            words.append(_data(shapely.get_coordinates(ring)[:-1].tolist()) + "z")
    return "".join(words)


def _strokes(lines: shapely.Geometry) -> str:
    """The path data of lines."""
    words = []
    for line in shapely.get_parts(shapely.normalize(lines)):
        points = shapely.get_coordinates(line).tolist()
        closed = points[0] == points[-1]
        words.append(_data(points[:-1]) + "z" if closed else _data(points))
    return "".join(words)


def _data(points: Sequence[Sequence[float]]) -> str:
    """A move and lines, relative and in whole hundredths of a page unit, so nothing adds up."""
    words, here = [], (0, 0)
    for i, (x, y) in enumerate(points):
        there = (round(100 * x), round(100 * y))
        if i == 0:
            words.append(f"M{_number(there[0] / 100)} {_number(there[1] / 100)}")
        elif there != here:
            dx, dy = (_number((b - a) / 100) for a, b in zip(here, there, strict=True))
            words.append(f"{'l' if len(words) == 1 else ' '}{dx} {dy}")
        here = there
    return "".join(words)


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _text(text: str) -> str:
    return escape(_NOT_XML.sub("\ufffd", text))
