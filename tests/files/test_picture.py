"""Pictures of finished frames, against rays cast at solids that another library made.

The oracle sweeps each outline with manifold3d, reads where the eye is from the file's description,
fits the page by the silhouette's extent and casts rays at the triangles by the formula of Möller
and Trumbore, "Fast, minimum storage ray/triangle intersection", Journal of Graphics Tools 2(1),
1997. The pictures are rendered by resvg. A painter who sorts whole faces gets these wrong.
"""

import re
import struct
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
import resvg_py
import shapely
from truth.solids import solid

from framekit.files.backends.picture import NOTICE, PictureBackend
from framekit.files.faces import part_faces
from framekit.files.visibility import visible_regions
from framekit.parts.build import make_parts
from framekit.sheets.model import Sheets
from framekit.solution.build import solve
from framekit.spec.build import parse_spec
from framekit.testing import check_backend, sample_sheets

SVG = "{http://www.w3.org/2000/svg}"
SAMPLES = 600

SPEC = """
framekit: 1
id: ball
title: A ball
body: {{shape: spheroid, equatorial_diameter: {across} mm, flattening: {flattening}}}
ribs: {{count: {ribs}, width: {{equator: 22, pole: 14}}}}
discs: [{discs}]
joint: {{style: {style}}}
sheet: {{material: birch-plywood, thickness: 3.0 ± 0.02, size: [600, 400]}}
cutter: {{kerf: 0.16}}
"""
BELT = "{at: {height: 0}, bore: auto}"
PAIR = "{at: {fraction: 0.5, both: true}}"
OPEN_PAIR = "{at: {fraction: 0.3, both: true}, bore: auto}"
HUB = "{at: {fraction: 0.88, both: true}}"

FRAMES = {
    "usual": {},
    "housed": {"style": "housed"},
    "two-ribs": {"ribs": 2, "discs": PAIR},
    "three-ribs-one-disc": {"ribs": 3, "discs": BELT},
    "hubs": {"across": 240, "discs": f"{BELT}, {HUB}"},
    "flat": {"ribs": 12, "across": 300, "flattening": 0.4},
    "tall": {"ribs": 6, "across": 140, "flattening": -0.5, "discs": f"{OPEN_PAIR}, {PAIR}"},
    "many": {"ribs": 24, "across": 400, "discs": f"{OPEN_PAIR}, {PAIR}"},
}


def sheets_of(ribs=8, across=200, flattening=0.05, discs=f"{BELT}, {PAIR}", style="cross-lap"):
    """Sheets of a frame; a picture needs no placements, which other files do."""
    text = SPEC.format(ribs=ribs, across=across, flattening=flattening, discs=discs, style=style)
    return Sheets(make_parts(solve(parse_spec(text))), (), "none", despite_failures=True)


def picture_of(sheets):
    (document,) = PictureBackend().render(sheets)
    return document


def test_keeps_the_contract_of_backends():
    check_backend(PictureBackend())


def test_is_well_formed_and_says_what_it_is():
    document = picture_of(sample_sheets())
    assert document.name == "sample-assembled.svg"
    root = ET.fromstring(document.data)
    assert root.find(f"{SVG}title").text == 'A sample <&> "frame", assembled'
    assert root.find(f"{SVG}desc").text.startswith(NOTICE)
    assert "not for cutting" in NOTICE
    # Nothing a cut file has: no lengths in mm, no class or colour for an operation.
    assert not re.search(r"[0-9]mm", root.attrib["width"] + root.attrib["height"])
    assert not any("class" in element.attrib for element in root.iter())
    ids = [part.id for part in sample_sheets().parts.all]
    drawn = [g.attrib["data-part"] for g in root.iter(f"{SVG}g") if "data-part" in g.attrib]
    assert set(drawn) <= set(ids) and drawn == [i for i in ids if i in drawn]


def test_is_self_contained_small_and_rounded():
    data = picture_of(sheets_of(**FRAMES["many"])).data
    assert len(data) < 1_000_000
    assert b"href" not in data and b"url(" not in data and b"<script" not in data
    for path in ET.fromstring(data).iter(f"{SVG}path"):
        assert re.fullmatch(r"(?:[Mlz ]|-?\d+(?:\.\d{1,2})?)*", path.attrib["d"])


def test_same_sheets_same_bytes():
    assert picture_of(sheets_of()).data == picture_of(sheets_of()).data


def test_labels_are_drawn_where_sheets_have_them():
    placed = sample_sheets()
    bare = Sheets(placed.parts, (), "none", despite_failures=True)
    assert any(p.label for sheet in placed.sheets for p in sheet.placements)
    assert picture_of(placed).data != picture_of(bare).data


def test_two_frames_give_two_pictures():
    sheets = sheets_of()
    frame = sheets.parts.frames[0]
    parts = type(sheets.parts)(sheets.parts.solution, (frame, frame))
    twice = Sheets(parts, (), "none", despite_failures=True)
    names = [document.name for document in PictureBackend().render(twice)]
    assert names == ["ball-assembled.svg", "ball-assembled-2.svg"]


@pytest.mark.parametrize("name", FRAMES)
def test_the_nearest_part_is_seen(name):
    sheets = sheets_of(**FRAMES[name])
    parts = sheets.parts.all
    root = ET.fromstring(picture_of(sheets).data)
    ids = [part.id for part in parts]
    seen = rendered(root, ids)
    clear = settled(seen)
    rows, columns = np.nonzero(clear)
    chosen = np.random.default_rng(20).choice(len(rows), SAMPLES, replace=False)
    rows, columns = rows[chosen], columns[chosen]
    page = np.column_stack((columns + 0.5, rows + 0.5))
    meshes = [mesh_of(part) for part in parts]
    nearest = struck(meshes, *rays(root, meshes, page))
    agreed = float(np.mean(nearest == seen[rows, columns]))
    assert len(np.unique(nearest)) > 3
    # The two models' polylines differ by a tenth of a page unit, and the samples keep two units
    # from every edge, so nearly all must agree; a wrong order of two plates costs far more.
    assert agreed > 0.997


def test_ribs_and_discs_have_hues_of_their_own():
    sheets = sheets_of()
    root = ET.fromstring(picture_of(sheets).data)
    for group in root.iter(f"{SVG}g"):
        for path in group.findall(f"{SVG}path") if "data-part" in group.attrib else ():
            red, green, blue = bytes.fromhex(path.attrib["fill"][1:])
            kind = group.attrib["data-kind"]
            assert (blue > green > red) if kind == "rib" else (red > green > blue)


def test_a_part_has_the_faces_of_its_solid():
    # The volume by the divergence theorem over the faces is that of the kernel's solid.
    for part in sheets_of().parts.all:
        faces = part_faces(part, 0.005)
        volume = sum(float(f.rings[0][0] @ f.normal) * area_of(f) for f in faces) / 3.0
        kernel = solid_of(part).volume()
        # Both take the same arcs as chords: only rounding differs.
        assert volume == pytest.approx(kernel, rel=1e-6)


def test_crossing_faces_hide_half_of_each_other():
    # Two squares of 2 × 2 whose nearness differs by x: each hides the other on its own side.
    square = shapely.box(-1, -1, 1, 1)
    faces = np.array([square, square], dtype=object)
    regions = visible_regions(faces, np.array([[0.5, 0.0, 9.0], [-0.5, 0.0, 9.0]]), 1e-9)
    # 1e-3 is the grid that corners are rounded to.
    assert regions[0].equals_exact(shapely.box(0, -1, 1, 1), 1e-3, normalize=True)
    assert regions[1].equals_exact(shapely.box(-1, -1, 0, 1), 1e-3, normalize=True)


def test_three_bars_that_hide_each_other_in_a_ring():
    # Each lies over the next, so no order of whole bars is right. 14 long, 2 wide, they form a
    # triangle; a bar whose nearness leans along its length is over one neighbour and under the
    # other.
    bar = shapely.box(-7, -1, 7, 1)
    faces, nearness = [], []
    for turn in (0.0, 120.0, 240.0):
        c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        matrix = (c, -s, s, c, s * 2.5, -c * 2.5)
        faces.append(shapely.affinity.affine_transform(bar, matrix))
        nearness.append((0.1 * c, 0.1 * s, 9.0))
    regions = visible_regions(np.array(faces, dtype=object), np.array(nearness), 1e-9)
    lost = [face.area - region.area for face, region in zip(faces, regions, strict=True)]
    corner = faces[0].intersection(faces[1]).area
    # By symmetry each bar loses one corner: the rhombus 2 · 2 / sin 60° where two bars cross.
    assert corner == pytest.approx(4.0 / np.sin(np.radians(60.0)), rel=1e-9)
    assert lost == pytest.approx([corner] * 3, abs=0.02)  # the grid along 5 mm of edge
    assert shapely.union_all(faces).area == pytest.approx(sum(r.area for r in regions), abs=0.02)


def area_of(face):
    """A flat face's area, by Newell's formula for each ring."""
    area = 0.0
    for i, ring in enumerate(face.rings):
        normal = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0) / 2.0
        area += float(np.linalg.norm(normal)) * (1.0 if i == 0 else -1.0)
    return area


def solid_of(part):
    outline = part.outline
    return solid(
        outline.outer.polyline, [h.polyline for h in outline.holes], part.thickness, part.pose
    )


def mesh_of(part):
    """The triangles of a part's solid, shape (k, 3, 3), mm."""
    mesh = solid_of(part).to_mesh()
    return np.asarray(mesh.vert_properties, dtype=float)[:, :3][np.asarray(mesh.tri_verts)]


def rays(root, meshes, page):
    """The eye, shape (3,), and the directions from it through places on the page, shape (k, 3)."""
    text = root.find(f"{SVG}desc").text
    eye = np.array([float(v) for v in re.search(r"eye is at \(([^)]*)\)", text)[1].split(",")])
    azimuth = np.radians(float(re.search(r"azimuth (\S+)°", text)[1]))
    elevation = np.radians(float(re.search(r"elevation (\S+)°", text)[1]))
    level = np.array((np.cos(azimuth), np.sin(azimuth), 0.0))
    pole = np.array((0.0, 0.0, 1.0))
    ahead = -(np.cos(elevation) * level + np.sin(elevation) * pole)
    up = np.cos(elevation) * pole - np.sin(elevation) * level
    right = np.cross(ahead, up)
    corners = np.concatenate(meshes).reshape(-1, 3) - eye
    flat = corners @ np.column_stack((right, up)) / (corners @ ahead)[:, None]
    drawn = np.concatenate([points_of(path.attrib["d"]) for path in part_paths(root)])
    (left, top), (far, bottom) = drawn.min(axis=0), drawn.max(axis=0)
    (west, south), (east, north) = flat.min(axis=0), flat.max(axis=0)
    scale = (far - left) / (east - west)
    # The page shows the frame at one scale; 0.2 units is twice the chord error of its arcs.
    assert bottom - top == pytest.approx(scale * (north - south), abs=0.2)
    x = west + (page[:, 0] - left) / scale
    y = north - (page[:, 1] - top) / scale
    return eye, ahead + x[:, None] * right + y[:, None] * up


def struck(meshes, eye, directions):
    """The mesh that each ray strikes first, by number, and -1 for none."""
    best = np.full(len(directions), np.inf)
    which = np.full(len(directions), -1)
    for number, triangles in enumerate(meshes):
        a, b, c = triangles.transpose(1, 0, 2)
        ab, ac, to_eye = b - a, c - a, eye - a
        across = np.cross(to_eye, ab)
        # The triple products by the ray, all rays and triangles at once: shape (k, triangles)
        with np.errstate(divide="ignore", invalid="ignore"):
            inverse = 1.0 / (directions @ np.cross(ac, ab).T)
            u = (directions @ np.cross(ac, to_eye).T) * inverse
            v = (directions @ across.T) * inverse
            distance = (ac * across).sum(axis=1) * inverse
            hit = (u >= 0) & (v >= 0) & (u + v <= 1) & (distance > 0)
        near = np.where(hit, distance, np.inf).min(axis=1)
        which[near < best] = number
        best = np.minimum(best, near)
    return which


def part_paths(root):
    return [p for g in root.iter(f"{SVG}g") if "data-part" in g.attrib for p in g if p.get("d")]


def points_of(data):
    """The corners of path data of absolute moves and relative lines, shape (k, 2)."""
    found = []
    for ring in re.findall(r"M[^M]*", data):
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", ring)]
        found.append(np.cumsum(np.array(numbers).reshape(-1, 2), axis=0))
    return np.concatenate(found)


def rendered(root, ids):
    """The number of the part that resvg draws in each pixel, -1 where there is none.

    Each part is painted in a colour that is its number; shadow and lines are left out.
    """
    for element in [e for e in root if e.tag in (f"{SVG}path", f"{SVG}g")]:
        if "data-part" not in element.attrib:
            root.remove(element)
            continue
        number = ids.index(element.attrib["data-part"]) + 1
        for path in element.iter(f"{SVG}path"):
            path.attrib["fill"] = path.attrib["stroke"] = f"#{number:02x}0000"
    text = ET.tostring(root, encoding="unicode")
    pixels = png_pixels(bytes(resvg_py.svg_to_bytes(svg_string=text)))
    return np.where(pixels[:, :, 3] == 255, pixels[:, :, 0].astype(int) - 1, -1)


def settled(numbers):
    """Where a pixel and the two around it on every side show one part."""
    height, width = numbers.shape
    inner = numbers[2 : height - 2, 2 : width - 2]
    same = np.zeros_like(numbers, dtype=bool)
    same[2 : height - 2, 2 : width - 2] = np.all(
        [
            numbers[2 + dy : height - 2 + dy, 2 + dx : width - 2 + dx] == inner
            for dy in range(-2, 3)
            for dx in range(-2, 3)
        ],
        axis=0,
    )
    return same


def png_pixels(png):
    """The pixels, shape (height, width, 4), of a PNG of 8-bit RGBA (W3C, PNG, 2003: sections 9
    filtering and 11 chunks)."""
    at, packed = 8, b""
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        kind, body = png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        if kind == b"IHDR":
            width, height, depth, colours, _, _, interlace = struct.unpack(">IIBBBBB", body)
            assert (depth, colours, interlace) == (8, 6, 0)
        elif kind == b"IDAT":
            packed += body
        at += 12 + length
    raw = zlib.decompress(packed)
    line = 1 + 4 * width
    above, rows = bytes(line + 3), []
    for y in range(height):
        found = bytearray(4) + raw[y * line + 1 : (y + 1) * line]
        filtering = raw[y * line]
        # Four bytes before the row's first stand for the pixel to its left.
        if filtering == 1:
            for i in range(4, len(found)):
                found[i] = (found[i] + found[i - 4]) & 255
        elif filtering == 2:
            for i in range(4, len(found)):
                found[i] = (found[i] + above[i]) & 255
        elif filtering == 3:
            for i in range(4, len(found)):
                found[i] = (found[i] + (found[i - 4] + above[i]) // 2) & 255
        elif filtering == 4:
            for i in range(4, len(found)):
                left, up, corner = found[i - 4], above[i], above[i - 4]
                da, db, dc = abs(up - corner), abs(left - corner), abs(left + up - 2 * corner)
                guess = left if da <= db and da <= dc else up if db <= dc else corner
                found[i] = (found[i] + guess) & 255
        above = found
        rows.append(bytes(found[4:]))
    return np.frombuffer(b"".join(rows), np.uint8).reshape(height, width, 4)
