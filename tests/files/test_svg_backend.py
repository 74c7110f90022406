"""SVG files, read back by the standard library's XML parser and svgelements."""

import io
import math
import re
import xml.etree.ElementTree as ET

import pytest
import svgelements

from framekit.files.backends.svg import SvgBackend
from framekit.files.cautions import cautions
from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.sheets.model import Placement
from framekit.spec.defaults import STROKES

SVG = "{http://www.w3.org/2000/svg}"


def render(sheets):
    (document,) = SvgBackend().render(sheets)
    return document


def tree(sheets):
    return ET.fromstring(render(sheets).data)


def test_size_and_scale(two_parts):
    document = render(two_parts)
    assert document.name == "buoy-sheet-1.svg"
    root = ET.fromstring(document.data)
    assert root.attrib["width"] == "400mm" and root.attrib["height"] == "300mm"
    assert root.attrib["viewBox"] == "0 0 400 300"
    description = root.find(f"{SVG}desc").text
    assert "1 user unit = 1 mm" in description
    for caution in cautions("laser"):
        assert caution in description


def test_only_parts_are_drawn(two_parts):
    root = tree(two_parts)
    groups = root.findall(f"{SVG}g/{SVG}g")
    # The mark of the disc comes before all cuts, so the disc is drawn in two goes.
    assert [g.attrib["data-part"] for g in groups] == ["disc-1", "disc-1", "rib-1"]
    assert [g.attrib["id"] for g in groups] == ["buoy-disc-1", "buoy-disc-1-2", "buoy-rib-1"]
    inside = [p for g in groups for p in g.findall(f"{SVG}path")]
    assert len(inside) == len(list(root.iter(f"{SVG}path"))) == 4
    tags = {element.tag for element in root.iter()}
    assert tags == {f"{SVG}{tag}" for tag in ("svg", "title", "desc", "g", "path")}


def test_order_and_colours(two_parts):
    paths = list(tree(two_parts).iter(f"{SVG}path"))
    assert [p.attrib["class"] for p in paths] == ["mark", "inside", "outside", "outside"]
    assert [p.attrib["stroke"] for p in paths] == [STROKES[p.attrib["class"]] for p in paths]


def test_given_colours_are_used(sample):
    part = Placement(sample.part("disc-1", Outline(circle(50.0))), 80.0, 90.0, 0.0)
    data = render(sample.sheets(part, strokes=(None, None, "#0a0b0c"))).data
    assert b'stroke="#0a0b0c"' in data and STROKES["outside"].encode() not in data


def test_at_most_five_decimals(two_parts):
    for path in tree(two_parts).iter(f"{SVG}path"):
        assert not re.search(r"\.\d{6}", path.attrib["d"])
        assert not re.search(r"e|nan|inf", path.attrib["d"])


READER_MM = 25.4 * 0.0393701
"""A millimetre as svgelements reads it at 25.4 units an inch: it has mm in inches to 7 digits."""


def read(sheets):
    """The paths as svgelements reads them, in mm."""
    svg = svgelements.SVG.parse(io.BytesIO(render(sheets).data), ppi=25.4)
    paths = [e for e in svg.elements() if isinstance(e, svgelements.Path)]
    return [abs(path * svgelements.Matrix.scale(1 / READER_MM)) for path in paths]


def test_y_is_flipped_and_arcs_keep_their_side(sample):
    # A D: straight along x from (10, 10) to (30, 10), back by an upper half circle to y = 20.
    shape = Path((Vertex(10, 10), Vertex(30, 10, 1.0)))
    part = sample.part("disc-1", Outline(shape))
    (path,) = read(sample.sheets(Placement(part, 0.0, 0.0, 0.0), kerf=0.0))
    # The sheet is 300 mm high, so its top at y = 20 is at 280 from the file's top edge.
    assert path.bbox() == pytest.approx((10.0, 280.0, 30.0, 290.0), abs=1e-4)


@pytest.mark.parametrize("degrees", [10, 60, 89, 91, 135, 179.99, 180, 180.01, 270, 350])
@pytest.mark.parametrize("sense", [1, -1])
def test_arcs_of_any_width_are_true(sample, degrees, sense):
    # A pie of radius 37.123 456 mm about (150, 150), the arc first.
    radius, angle = 37.123456, math.radians(degrees) * sense
    x, y = 150 + radius * math.cos(angle), 150 + radius * math.sin(angle)
    pie = Path((Vertex(150 + radius, 150, math.tan(angle / 4)), Vertex(x, y), Vertex(150, 150)))
    part = sample.part("disc-1", Outline(pie))
    (path,) = read(sample.sheets(Placement(part, 0.0, 0.0, 0.0), kerf=0.0))
    arcs = [s for s in path if isinstance(s, svgelements.Arc)]
    for arc in arcs:
        for t in (0.0, 0.25, 0.5, 0.75, 1.0):
            p = arc.point(t)
            # Ends and radius are rounded by up to 0.00005 mm each; √2 for the two directions,
            # and 1.4 for how a quarter arc's middle follows its ends and radius.
            assert math.hypot(p.x - 150, 150 - p.y) == pytest.approx(radius, abs=2e-4)
    turned = sum(arc.sweep for arc in arcs)
    assert abs(turned) == pytest.approx(abs(angle), abs=1e-4)


def test_full_circle_is_two_arcs_of_the_exact_radius(sample):
    part = sample.part("disc-1", Outline(circle(33.33333)))
    sheets = sample.sheets(Placement(part, 77.77777, 99.99999, 33.0), kerf=0.0)
    (path,) = tree(sheets).iter(f"{SVG}path")
    assert path.attrib["d"].count("A") == 2
    (read_back,) = read(sheets)
    # Centre and radius are rounded by up to 0.00005 mm each.
    assert read_back.bbox() == pytest.approx(
        (77.77777 - 33.33333, 200.00001 - 33.33333, 77.77777 + 33.33333, 200.00001 + 33.33333),
        abs=1.01e-4,
    )


HOSTILE = [
    '</title><script>alert(1)</script><title x="',
    '" onload="alert(1)',
    "<!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]>&e;",
    "]]> <![CDATA[ -->",
    "nul \x00 bell \x07 surrogate \ud800 end",
    "line\nbreak\tand 'quotes' & more",
    "Hafenboje, größer: 1∶4 🛟",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_titles_stay_text(sample, text):
    part = sample.part(text, Outline(circle(50.0)), title=text, frame=text)
    placements = (Placement(part, 80.0, 90.0, 0.0), Placement(part, 250.0, 90.0, 0.0))
    sheets = sample.sheets(*placements, spec_id=text, title=text)
    document = render(sheets)
    assert b"<!" not in document.data and b"<script" not in document.data
    root = ET.fromstring(document.data)
    assert {e.tag for e in root.iter()} == {
        f"{SVG}{tag}" for tag in ("svg", "title", "desc", "g", "path")
    }
    known = {"id", "data-frame", "data-part", "class", "stroke", "d", "fill", "stroke-width"}
    for element in list(root.iter())[1:]:
        assert set(element.attrib) <= known
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(set(ids)) == len(ids) == 2
    assert all(re.fullmatch(r"[A-Za-z][A-Za-z0-9_.-]*", i) for i in ids)
    if "\x00" not in text:
        assert root.find(f"{SVG}g/{SVG}g").attrib["data-part"] == text
    assert not set(document.name) & set('/\\<>"\0')


def test_same_bytes(two_parts):
    assert render(two_parts).data == render(two_parts).data
