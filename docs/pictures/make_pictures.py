"""Makes the pictures of the README from the example spec: `frame.svg` and `sheet.svg`.

Run it from anywhere: `python docs/pictures/make_pictures.py`. The same framekit gives the same
bytes. Both are pictures for people, not for cutting: `framekit build` writes the cut files.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

from framekit import Sheets, load_spec, make_parts, nest, solve
from framekit.files.backends.picture import NOTICE, PictureBackend
from framekit.files.backends.svg import SvgBackend

HERE = Path(__file__).parent
SPEC = HERE.parent.parent / "specs" / "harbour-buoy.yaml"

SVG = "http://www.w3.org/2000/svg"
STROKE_WIDTH = "0.7"
"""Width of the lines in the sheet's own mm, so that they show in a small picture."""
STOCK = "#efe4cf"
PART = "#dcc08c"


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
    for part in lines:
        paths = part.findall(f"{{{SVG}}}path")
        edges = "".join(path.attrib["d"] for path in paths if path.attrib["class"] != "mark")
        wood = {"fill": PART, "fill-rule": "evenodd", "d": edges}
        part.insert(1, ET.Element(f"{{{SVG}}}path", wood))
        for path in paths:
            del path.attrib["class"]
    stock = {"width": root.attrib["width"], "height": root.attrib["height"], "fill": STOCK}
    root.insert(list(root).index(lines), ET.Element(f"{{{SVG}}}rect", stock))
    ET.register_namespace("", SVG)
    data: bytes = ET.tostring(root, encoding="UTF-8", xml_declaration=True)
    return data + b"\n"


def main() -> None:
    """Write both pictures beside this file."""
    sheets = nest(make_parts(solve(load_spec(SPEC))))
    (HERE / "frame.svg").write_bytes(frame_picture(sheets))
    (HERE / "sheet.svg").write_bytes(sheet_picture(sheets))


if __name__ == "__main__":
    main()
