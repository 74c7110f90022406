"""Cut files against closed forms, other libraries and the standards that say how to read them.

Sources: W3C, CSS Values and Units, section 6.2 (1 in = 25.4 mm = 96 px); AutoCAD DXF Reference
(bulge, group code 42, is tan(angle / 4); $INSUNITS 4 is mm; $MEASUREMENT 1 is metric); areas and
lengths in closed form as each test says.
"""

import io
import math
import struct
from itertools import pairwise
from types import SimpleNamespace

import ezdxf
import pyclipper
import pytest
import resvg_py
import shapely
import svgelements

from framekit.errors import Where
from framekit.files.backends.dxf import DxfBackend
from framekit.files.backends.svg import SvgBackend
from framekit.files.drawing import draw_sheets
from framekit.files.settings import cut_settings
from framekit.geometry.offset import offset_path
from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.parts.model import FrameParts, Part, Parts
from framekit.sheets.model import Placement, Sheet, Sheets

READER_MM = 25.4 * 0.0393701
"""A millimetre as svgelements reads it at 25.4 units an inch: it has mm in inches to 7 digits."""


def sheets_of(outline, x=0.0, y=0.0, rotation=0.0, size=(400.0, 300.0), kerf=0.16):
    """One sheet with one part, and as much of a spec as the files stage reads."""
    part = Part(
        id="disc-1",
        kind="disc",
        frame="f",
        title="",
        thickness=3.0,
        material="mdf",
        outline=outline,
        marks=(),
        crossings=(),
        pose=(),
        mass=1.0,
        origin=Where(),
    )
    strokes = SimpleNamespace(mark=None, inside=None, outside=None)
    cutter = SimpleNamespace(process="laser", compensate="file", strokes=strokes)
    frame = SimpleNamespace(
        spec=SimpleNamespace(id="f", cutter=cutter, disc_sheet=None),
        value={"cutter.kerf": kerf}.__getitem__,
    )
    solution = SimpleNamespace(spec=SimpleNamespace(id="f", title="F"), frames=(frame,))
    sheet = Sheet("sheet-1", *size, (Placement(part, x, y, rotation),), *size, 0.0, 0.0, "mdf", 3.0)
    return Sheets(
        Parts(solution, (FrameParts(frame, (part,)),)), (sheet,), "none", despite_failures=True
    )


def box(width, height):
    return Path((Vertex(0, 0), Vertex(width, 0), Vertex(width, height), Vertex(0, height)))


def slotted_disc(radius=60.0, slots=8, width=3.05, bottom=45.0):
    """A disc with slots from its rim to a straight bottom, by polar coordinates."""
    at_rim = math.asin(width / 2 / radius)
    rim = math.tan((2 * math.pi / slots - 2 * at_rim) / 4)
    at_bottom = (math.hypot(bottom, width / 2), math.atan2(width / 2, bottom))
    vertices = []
    for i in range(slots):
        for r, a, bulge in (
            (radius, -at_rim, 0.0),
            (at_bottom[0], -at_bottom[1], 0.0),
            (at_bottom[0], at_bottom[1], 0.0),
            (radius, at_rim, rim),
        ):
            a += 2 * math.pi * i / slots
            vertices.append(Vertex(r * math.cos(a), r * math.sin(a), bulge))
    return Path(tuple(vertices))


DISC = Outline(slotted_disc(), (circle(30.0, clockwise=True),))


def dxf_entities(sheets):
    (document,) = DxfBackend().render(sheets)
    return ezdxf.read(io.StringIO(document.data.decode())), document


def dxf_points(entity):
    """Vertices x, y, bulge of an entity, its first one again at the end."""
    points = [tuple(p) for p in entity.get_points("xyb")]
    return [*points, points[0]]


def bulge_area(points):
    """Signed area in mm²: the chords' shoelace and each arc's segment r²(a - sin a)/2."""
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in pairwise(points):
        total += (x0 * y1 - x1 * y0) / 2
        if bulge:
            a = 4 * math.atan(bulge)
            r = math.hypot(x1 - x0, y1 - y0) / 2 / math.sin(abs(a) / 2)
            total += r * r * (a - math.sin(a)) / 2
    return total


def bulge_length(points):
    """Length in mm: chords, and r·a of arcs."""
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in pairwise(points):
        chord = math.hypot(x1 - x0, y1 - y0)
        a = 4 * math.atan(abs(bulge))
        total += chord if a == 0.0 else chord / 2 / math.sin(a / 2) * a
    return total


def bulge_box(points):
    """The exact box in mm: the ends, and an arc's quadrants where the arc runs over them."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    for (x0, y0, bulge), (x1, y1, _) in pairwise(points):
        if not bulge:
            continue
        a = 4 * math.atan(bulge)
        r = math.hypot(x1 - x0, y1 - y0) / 2 / math.sin(abs(a) / 2)
        to_end = math.atan2(y1 - y0, x1 - x0)
        # From the start, the centre lies a quarter less half the arc off the chord.
        to_centre = to_end + math.copysign(math.pi / 2 - abs(a) / 2, a)
        cx, cy = x0 + r * math.cos(to_centre), y0 + r * math.sin(to_centre)
        first = to_centre + math.pi
        for quarter in range(4):
            q = quarter * math.pi / 2
            if ((q - first) * math.copysign(1, a)) % (2 * math.pi) <= abs(a):
                xs.append(cx + r * math.cos(q))
                ys.append(cy + r * math.sin(q))
    return min(xs), min(ys), max(xs), max(ys)


def svg_paths(sheets):
    """The paths of the SVG as svgelements reads them, in mm, y down."""
    (document,) = SvgBackend().render(sheets)
    svg = svgelements.SVG.parse(io.BytesIO(document.data), ppi=25.4)
    paths = [e for e in svg.elements() if isinstance(e, svgelements.Path)]
    return [abs(p * svgelements.Matrix.scale(1 / READER_MM)) for p in paths]


def test_bulge_of_a_quarter():
    # tan(90° / 4) = √2 − 1 = 0.414213562, and r = c (1 + b²) / (4 |b|).
    quarter = Path((Vertex(10, 0, 0.414213562), Vertex(0, 10), Vertex(0, 0)))
    # The bulge has 9 digits.
    assert quarter.segments[0].radius == pytest.approx(10.0, rel=1e-8)
    assert quarter.area == pytest.approx(math.pi * 100 / 4, rel=1e-8)


@pytest.mark.parametrize("kerf", [0.0, 0.16])
def test_dxf_area_is_the_models(kerf):
    sheets = sheets_of(DISC, 100.0, 100.0, 25.0, kerf=kerf)
    document, _ = dxf_entities(sheets)
    assert document.header["$INSUNITS"] == 4 and document.header["$MEASUREMENT"] == 1
    assert not document.audit().has_errors
    drawn = draw_sheets(sheets, cut_settings(sheets))[0].parts[0].operations
    for entity, operation in zip(document.modelspace(), drawn, strict=True):
        assert bulge_area(dxf_points(entity)) == pytest.approx(operation.path.area, rel=1e-9)


def test_dxf_area_of_the_disc_in_closed_form():
    hole, rim = dxf_entities(sheets_of(DISC, kerf=0.0))[0].modelspace()
    # A disc of 60 mm less 8 slots 3.05 mm wide: each runs from 45 mm to the rim, which adds the
    # rim's segment r²(a − sin a)/2 beyond the chord at the slot's mouth.
    a = 2 * math.asin(3.05 / 2 / 60)
    slot = 3.05 * (60 * math.cos(a / 2) - 45) + 3600 * (a - math.sin(a)) / 2
    assert bulge_area(dxf_points(rim)) == pytest.approx(math.pi * 3600 - 8 * slot, rel=1e-12)
    assert bulge_area(dxf_points(hole)) == pytest.approx(-math.pi * 900, rel=1e-12)


@pytest.mark.parametrize(
    "outline, rotation", [(DISC, 0.0), (DISC, 25.0), (Outline(box(100.0, 50.0)), 33.0)]
)
def test_svg_and_dxf_agree(outline, rotation):
    sheets = sheets_of(outline, 150.0, 120.0, rotation)
    entities = list(dxf_entities(sheets)[0].modelspace())
    paths = svg_paths(sheets)
    assert len(paths) == len(entities)
    for path, entity in zip(paths, entities, strict=True):
        points = dxf_points(entity)
        left, low, right, high = bulge_box(points)
        # The sheet is 300 mm high, and SVG's y runs down. Five decimals round by 5e-6 mm a corner.
        assert path.bbox() == pytest.approx((left, 300 - high, right, 300 - low), abs=1e-4)
        length = sum(
            s.rx * abs(s.sweep) if isinstance(s, svgelements.Arc) else s.length() for s in path
        )
        assert length == pytest.approx(bulge_length(points), abs=1e-4)


def test_png_is_at_scale():
    # 100 × 50 mm at 96 px an inch: 377.95 and 188.98 px, W3C CSS Values.
    sheets = sheets_of(Outline(box(80.0, 30.0)), 10.0, 10.0, size=(100.0, 50.0))
    (document,) = SvgBackend().render(sheets)
    png = bytes(resvg_py.svg_to_bytes(svg_string=document.data.decode(), dpi=96))
    assert struct.unpack(">II", png[16:24]) == (378, 189)


def test_kerf_area_by_two_other_libraries():
    # 100 × 50 moved by 0.1 with mitres: 100.2 × 50.2 = 5030.04 mm².
    mine = offset_path(box(100.0, 50.0), 0.1).area
    corners = [(0, 0), (100, 0), (100, 50), (0, 50)]
    by_shapely = shapely.Polygon(corners).buffer(0.1, join_style="mitre").area
    # pyclipper counts in integers: here in millionths of a millimetre.
    clipper = pyclipper.PyclipperOffset()
    clipper.AddPath(
        [(x * 10**6, y * 10**6) for x, y in corners],
        pyclipper.JT_MITER,
        pyclipper.ET_CLOSEDPOLYGON,
    )
    (path,) = clipper.Execute(0.1 * 10**6)
    by_clipper = pyclipper.Area(path) / 10**12
    for area in (mine, by_shapely, by_clipper):
        assert area == pytest.approx(5030.04, abs=1e-4)


@pytest.mark.parametrize("outline", [Outline(box(100.0, 50.0)), DISC])
def test_shrinking_the_cut_path_gives_the_finished_part(outline):
    # The middle line of a cut k wide, less k/2 all round, is what is left of the sheet.
    kerf = 0.3
    sheets = sheets_of(outline, kerf=kerf)
    *holes, rim = (o.path for o in draw_sheets(sheets, cut_settings(sheets))[0].parts[0].operations)
    fine = 1e-5
    sheet = shapely.box(-200, -200, 200, 200)
    cut = shapely.union_all(
        [shapely.LinearRing(p.polyline_within(fine)).buffer(kerf / 2) for p in (rim, *holes)]
    )
    inside = shapely.Polygon(
        rim.polyline_within(fine), [hole.polyline_within(fine) for hole in holes]
    )
    left = sheet.difference(cut).intersection(inside)
    finished = shapely.Polygon(
        outline.outer.polyline_within(fine), [h.polyline_within(fine) for h in outline.holes]
    )
    # Corners that point outward come out sharp, since the cutter passes on their mitre; so do
    # those that point inward but for a rounding of k/2, at most (1 − π/4)(k/2)² each.
    corners = 2 * 8 if outline is DISC else 0
    rounding = corners * (1 - math.pi / 4) * (kerf / 2) ** 2
    # shapely rounds ends by 16 chords a half turn and simplifies by a hundredth of k/2.
    slack = 0.01 * kerf / 2 * finished.length
    assert left.symmetric_difference(finished).area < rounding + slack
    assert left.difference(finished).area < rounding + slack
