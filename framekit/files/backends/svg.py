"""SVG files for cutting, one a sheet: a user unit is a millimetre, arcs are true arcs.

Written to Scalable Vector Graphics (SVG) 1.1, W3C Recommendation, 2011: arcs by section 8.3.8,
sizes with units by section 7.10. SVG's y runs down, so every y is the sheet's height less its own.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from framekit.files.cautions import cautions
from framekit.files.drawing import DrawnPart, DrawnSheet, draw_sheets
from framekit.files.model import Document
from framekit.files.naming import safe_name
from framekit.files.settings import OPERATIONS, CutSettings, cut_settings
from framekit.geometry.path import Path, Segment
from framekit.sheets.model import Sheets

DECIMALS = 5
"""Decimals of every number in mm: 0.1 µm, far below what any cutter holds. A path's length, which
adds up the rounding of its corners, is true to about 0.1 µm a corner."""

STROKE_WIDTH = 0.1
"""Width of the drawn lines in mm; cutters follow a line's middle, whatever its width."""

_WIDEST_ARC = math.pi / 2 * 1.000001
"""Greatest angle in radians of one arc command. SVG gives an arc by its ends and radius, so
rounding the radius moves the middle of a wide arc: by √(2 r · error) of a half circle, but by less
than the rounding itself up to a quarter."""

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold (section 2.2, Characters)."""

_NOT_ID = re.compile(r"[^A-Za-z0-9_.-]+")


class SvgBackend:
    """Draws each sheet as an SVG file in mm with a group for each part."""

    name = "svg"

    def render(self, sheets: Sheets) -> tuple[Document, ...]:
        """The SVG file of each sheet, named for the spec and the sheet.

        Raises:
            BuildError: a check failed, or the parts were not tested as solids.
            StockError: parts found no place on the sheets.
            GeometryError: a part has a feature too fine for the kerf.
        """
        settings = cut_settings(sheets)
        return tuple(
            Document(
                f"{safe_name(f'{settings.id}-{sheet.id}')}.svg",
                "".join(f"{line}\n" for line in _lines(sheet, settings)).encode(),
            )
            for sheet in draw_sheets(sheets, settings)
        )


def _lines(sheet: DrawnSheet, settings: CutSettings) -> Iterator[str]:
    width, height = _number(sheet.width), _number(sheet.height)
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" '
        f'height="{height}mm" viewBox="0 0 {width} {height}">'
    )
    yield f"<title>{_text(f'{settings.title}, {sheet.id}: {sheet.stock}')}</title>"
    yield f"<desc>{_text(_description(sheet, settings))}</desc>"
    yield f'<g fill="none" stroke-width="{_number(STROKE_WIDTH)}">'
    taken: set[str] = set()
    for part in sheet.parts:
        yield from _part_lines(part, sheet.height, settings, taken)
    yield "</g>"
    yield "</svg>"


def _description(sheet: DrawnSheet, settings: CutSettings) -> str:
    paths = (
        f"Paths lie half a kerf of {settings.kerf_words} outside the finished parts."
        if settings.offset
        else "Paths are the finished parts' edges: the machine makes up for what it cuts away."
    )
    colours = ", ".join(f"{name} {settings.strokes[name]}" for name in OPERATIONS)
    return "\n".join(
        (
            f"Sheet of {sheet.stock}, {_number(sheet.width)} x {_number(sheet.height)} mm, "
            f"{sheet.count} parts. Scale: 1 user unit = 1 mm. Paths are in the order to run: all "
            "marks, then the cuts.",
            paths,
            *_about_bridges(sheet),
            f"Colours: {colours}.",
            *cautions(settings.process, sheet.bridges),
        )
    )


def _about_bridges(sheet: DrawnSheet) -> Iterator[str]:
    if sheet.bridges:
        yield "Gaps in the cuts are bridges that hold the parts in the sheet."
    if sheet.outline is not None:
        corners = " ".join(f"{_number(x)},{_number(y)}" for x, y in sheet.outline)
        yield f"The sheet is a leftover with corners, in mm from its lower left: {corners}."


def _part_lines(
    part: DrawnPart, height: float, settings: CutSettings, taken: set[str]
) -> Iterator[str]:
    group = _id(f"{part.frame}-{part.id}", taken)
    yield (
        f'<g id="{group}" data-frame={_attribute(part.frame)} data-part={_attribute(part.id)}>'
        f"<title>{_text(part.title)}</title>"
    )
    for operation in part.operations:
        stroke = _attribute(settings.strokes[operation.name])
        yield (
            f'<path class="{operation.name}" stroke={stroke} d="{_data(operation.path, height)}"/>'
        )
    yield "</g>"


def _data(path: Path, height: float) -> str:
    """The path data, flipped so that y runs down from the sheet's top edge."""
    if _is_circle(path):
        return _circle_data(path, height)
    x, y = path.vertices[0][:2]
    words = [f"M{_number(x)} {_number(height - y)}"]
    for segment in path.segments:
        if segment.bulge == 0.0:
            end = segment.end
            words.append(f"L{_number(end[0])} {_number(height - end[1])}")
            continue
        # Counter-clockwise with y up stays so to the eye, and is SVG's negative-angle sweep.
        sweep = 0 if segment.bulge > 0.0 else 1
        radius = _number(segment.radius)
        for end_x, end_y in _arc_ends(segment):
            words.append(
                f"A{radius} {radius} 0 0 {sweep} {_number(end_x)} {_number(height - end_y)}"
            )
    if path.closed:
        words.append("Z")
    return "".join(words)


def _arc_ends(segment: Segment) -> Iterator[tuple[float, float]]:
    """The ends of the equal arcs, none over a quarter, that the arc is drawn as."""
    count = math.ceil(abs(segment.angle) / _WIDEST_ARC)
    (cx, cy), radius = segment.centre, segment.radius
    first = math.atan2(segment.start[1] - cy, segment.start[0] - cx)
    for i in range(1, count):
        at = first + segment.angle * i / count
        yield (cx + radius * math.cos(at), cy + radius * math.sin(at))
    yield segment.end


def _is_circle(path: Path) -> bool:
    if not path.closed or len(path.vertices) != 2:
        return False
    one, two = path.segments
    return abs(one.bulge) == 1.0 and one.bulge == two.bulge


def _circle_data(path: Path, height: float) -> str:
    """A full circle as two arcs between points whose distance is exactly twice the radius."""
    segment = path.segments[0]
    cx, cy = segment.centre
    radius = round(segment.radius, DECIMALS)
    middle = round(cx, DECIMALS)
    left, right = middle - radius, middle + radius
    y = _number(height - cy)
    sweep = 0 if segment.bulge > 0.0 else 1
    arc = f"A{_number(radius)} {_number(radius)} 0 0 {sweep}"
    return f"M{_number(right)} {y}{arc} {_number(left)} {y}{arc} {_number(right)} {y}Z"


def _number(value: float) -> str:
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _text(text: str) -> str:
    return escape(_NOT_XML.sub("\ufffd", text))


def _attribute(text: str) -> str:
    return quoteattr(_NOT_XML.sub("\ufffd", text))


def _id(text: str, taken: set[str]) -> str:
    """An id that no other element has, of characters that every XML tool takes."""
    wanted = _NOT_ID.sub("-", text)
    if not wanted[:1].isalpha() or not wanted.isascii():
        wanted = f"part-{wanted}"
    unique, count = wanted, 1
    while unique in taken:
        count += 1
        unique = f"{wanted}-{count}"
    taken.add(unique)
    return unique
