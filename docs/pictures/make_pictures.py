"""Makes the pictures of the pages from the example specs: frames, a sheet, a rib and a bayonet.

Run it from anywhere: `python docs/pictures/make_pictures.py`. The same framekit gives the same
bytes. All are pictures for people, not for cutting: `framekit build` writes the cut files.
"""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

from framekit import Parts, Sheets, load_spec, make_parts, nest, solve, verify_parts
from framekit.files.backends.picture import NOTICE, PictureBackend
from framekit.files.backends.svg import SvgBackend

HERE = Path(__file__).parent
SPECS = HERE.parent.parent / "specs"
FRAMES = ("planetarium-dome", "hourglass-lamp", "ringed-planet", "open-earth")
"""The specs whose frames are shown beside the README's."""

SVG = "http://www.w3.org/2000/svg"
STROKE_WIDTH = "0.7"
"""Width of the lines in the sheet's own mm, so that they show in a small picture."""
STOCK = "#efe4cf"
PART = "#dcc08c"
RIB = "#62b2d0"
LINE = "#2a211c"
FAINT = "#8a8a8a"
SKIN = "#b3541e"


def frame_picture(sheets: Sheets) -> bytes:
    """The picture of the first frame, assembled."""
    return PictureBackend().render(sheets)[0].data


def sheet_picture(sheets: Sheets) -> bytes:
    """A picture of the first sheet: its parts in wood colours on the stock, lines thick."""
    root = ET.fromstring(SvgBackend().render(sheets)[0].data)
    for size in ("width", "height"):
        # Bare numbers, not mm: a picture has no scale that a machine could use.
        root.attrib[size] = root.attrib[size].removesuffix("mm")
    described = root.find(f"{{{SVG}}}desc")
    lines = root.find(f"{{{SVG}}}g")
    if described is None or lines is None:
        raise ValueError("the sheet's file has no description or no parts")
    described.text = f"{NOTICE} One sheet with its parts as they are cut."
    lines.attrib["stroke-width"] = STROKE_WIDTH
    woods: dict[str, ET.Element] = {}
    for group in lines:
        # A part's marks and its cuts may be groups apart: the first of them has the wood.
        part, paths = group.attrib["data-part"], group.findall(f"{{{SVG}}}path")
        if part not in woods:
            woods[part] = ET.Element(f"{{{SVG}}}path", {"fill": PART, "fill-rule": "evenodd"})
            group.insert(1, woods[part])
        cuts = [path.attrib["d"] for path in paths if path.attrib.pop("class") != "mark"]
        woods[part].attrib["d"] = "".join((woods[part].attrib.get("d", ""), *cuts))
    stock = {"width": root.attrib["width"], "height": root.attrib["height"], "fill": STOCK}
    root.insert(list(root).index(lines), ET.Element(f"{{{SVG}}}rect", stock))
    ET.register_namespace("", SVG)
    data: bytes = ET.tostring(root, encoding="UTF-8", xml_declaration=True)
    return data + b"\n"


def small(picture: bytes) -> bytes:
    """The picture with one decimal, which is enough for a page: 900 units go across."""
    text = picture.decode()
    head, body = text[: text.index("</desc>")], text[text.index("</desc>") :]
    body = re.sub(r"-?\d+\.\d+", lambda m: f"{float(m[0]):.1f}".removesuffix(".0"), body)
    return (head + body).encode()


def solved(name: str) -> Parts:
    """The parts of an example, tested as solids."""
    return verify_parts(make_parts(solve(load_spec(SPECS / f"{name}.yaml"))))


def _page(width: float, height: float, title: str, lines: list[str]) -> bytes:
    """An SVG with a white ground."""
    head = (
        f'<svg xmlns="{SVG}" viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
        f'height="{height:g}" font-family="sans-serif" font-size="13">'
    )
    ground = f'<rect width="{width:g}" height="{height:g}" fill="#ffffff"/>'
    return "\n".join([head, f"<title>{title}</title>", ground, *lines, "</svg>", ""]).encode()


def _polygon(points: list[tuple[float, float]], style: str) -> str:
    corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polygon points="{corners}" {style}/>'


def rib_picture() -> bytes:
    """A rib of the vase, upright beside its axis, with the widths it was asked for."""
    parts = solved("clay-vase")
    rib = parts.frames[0].part("rib-1")
    value = parts.frames[0].solution.value
    size, left, foot = 2.0, 40.0, 410.0

    def at(r: float, z: float) -> tuple[float, float]:
        return (left + size * r, foot - size * z)

    points = [at(x, y) for x, y in rib.outline.outer.polyline]
    lines = [
        f'<path d="M{left:g} 10V420" stroke="{FAINT}" stroke-dasharray="8 3 2 3"/>',
        _polygon(points, f'fill="{RIB}" fill-opacity="0.35" stroke="{LINE}"'),
    ]
    low, high = value("model.low_end"), value("model.high_end")
    for z, name, words in (
        (low, "bottom", "bottom"),
        ((low + high) / 2, "equator", "equator: half-way up"),
        (high, "top", "top"),
    ):
        _, y = at(0.0, z)
        width = value(f"rib.width_{name}")
        lines.append(f'<path d="M200 {y:g}H215" stroke="{FAINT}"/>')
        lines.append(f'<text x="220" y="{y + 4:g}" fill="{LINE}">{words}, {width:g} mm</text>')
    for number in (1, 2, 3):
        r, z = value(f"disc-{number}.joint_radius"), value(f"disc-{number}.height")
        x, y = at(r, z)
        words = f"disc-{number}{', its mortise takes the tongue' if number == 1 else ''}"
        shift = 20 if number == 1 else 0
        lines.append(f'<path d="M{x:.1f} {y:.1f}L220 {y - shift:.1f}" stroke="{SKIN}"/>')
        lines.append(f'<text x="224" y="{y - shift + 4:.1f}" fill="{SKIN}">{words}</text>')
    lines.append(f'<text x="8" y="24" fill="{LINE}">axis</text>')
    return _page(430, 424, "A rib of the vase: skin, inner edge, notches and tongue", lines)


def bayonet_picture() -> bytes:
    """Saturn's flange from above: dropped over the ribs, then turned."""
    frame = solved("ringed-planet").frames[0]
    flange, value = frame.part("flange-1"), frame.solution.value
    seat, reach = value("flange-1.seat_radius"), value("model.equatorial_radius")
    inner, half = value("disc-1.rib_inner_radius"), value("sheet.thickness") / 2
    turn = value("rib.angle") / 2
    lines: list[str] = []
    for place, (words, back) in enumerate((("dropped over", -turn), (f"turned by {turn:g}°", 0.0))):
        x0, y0, size = 130.0 + 250 * place, 130.0, 1.25

        def at(
            x: float, y: float, x0: float = x0, y0: float = y0, size: float = size
        ) -> tuple[float, float]:
            return (x0 + size * x, y0 - size * y)

        def turned(x: float, y: float, angle: float) -> tuple[float, float]:
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            return (c * x - s * y, s * x + c * y)

        angle = turn + back
        hole = [at(*turned(x, y, angle)) for x, y in flange.outline.holes[0].polyline]
        rim = size * (reach + 18)
        lines.append(f'<circle cx="{x0:g}" cy="{y0:g}" r="{rim:.1f}" fill="{PART}"/>')
        lines.append(_polygon(hole, f'fill="#ffffff" stroke="{LINE}"'))
        for rib in frame.solution.longitudes:
            corners = ((inner, -half), (reach, -half), (reach, half), (inner, half))
            box = [at(*turned(x, y, rib)) for x, y in corners]
            lines.append(_polygon(box, f'fill="{RIB}" fill-opacity="0.8" stroke="{LINE}"'))
        lines.append(
            f'<circle cx="{x0:g}" cy="{y0:g}" r="{size * seat:.1f}" fill="none" stroke="{SKIN}" '
            'stroke-dasharray="3 3"/>'
        )
        lines.append(f'<text x="{x0:g}" y="275" text-anchor="middle" fill="{LINE}">{words}</text>')
    lines.append(f'<text x="255" y="20" text-anchor="middle" fill="{SKIN}">- - - seat</text>')
    return _page(510, 290, "A flange from above, dropped over eight ribs and turned", lines)


def main() -> None:
    """Write all pictures beside this file."""
    sheets = nest(solved("harbour-buoy"))
    (HERE / "frame.svg").write_bytes(frame_picture(sheets))
    (HERE / "sheet.svg").write_bytes(sheet_picture(sheets))
    for name in FRAMES:
        (HERE / f"{name}.svg").write_bytes(small(frame_picture(nest(solved(name)))))
    (HERE / "rib.svg").write_bytes(rib_picture())
    (HERE / "bayonet.svg").write_bytes(bayonet_picture())


if __name__ == "__main__":
    main()
