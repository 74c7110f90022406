"""Sheets to draw, made by hand: what the files stage reads of a spec, and no more."""

import math
from types import SimpleNamespace

from framekit.errors import Where
from framekit.geometry.path import Path, Vertex
from framekit.parts.model import FrameParts, Part, Parts
from framekit.sheets.model import Sheet, Sheets

UPRIGHT = tuple(tuple(float(i == j) for j in range(4)) for i in range(4))


def make_part(part_id, outline, marks=(), title="A part", frame="buoy"):
    """A part of birch plywood, 3 mm thick."""
    return Part(
        id=part_id,
        kind="disc",
        frame=frame,
        title=title,
        thickness=3.0,
        material="birch-plywood",
        outline=outline,
        marks=marks,
        crossings=(),
        pose=UPRIGHT,
        mass=10.0,
        origin=Where("buoy.yaml", 12),
    )


def make_sheets(
    *placements,
    kerf=0.16,
    compensate="file",
    process="laser",
    strokes=(None, None, None),
    spec_id="buoy",
    title="Harbour buoy",
):
    """One sheet of 400 × 300 mm with the placements."""
    cutter = SimpleNamespace(
        process=process,
        compensate=compensate,
        strokes=SimpleNamespace(mark=strokes[0], inside=strokes[1], outside=strokes[2]),
    )
    spec = SimpleNamespace(
        id="buoy", cutter=cutter, disc_sheet=None, where=lambda *key: Where("buoy.yaml", 30)
    )
    frame = SimpleNamespace(spec=spec, value={"cutter.kerf": kerf}.__getitem__)
    solution = SimpleNamespace(spec=SimpleNamespace(id=spec_id, title=title), frames=(frame,))
    parts = tuple(p.part for p in placements)
    return Sheets(
        Parts(solution, (FrameParts(frame, parts),)),
        (
            Sheet(
                *("sheet-1", 400.0, 300.0, placements, 390.0, 290.0, 1000.0, 60.0),
                *("birch-plywood", 3.0),
            ),
        ),
        "test",
        despite_failures=True,  # made by hand: there is no frame to test
    )


def ring_sector():
    """A quarter of a ring, radii 40 and 60 mm, with its straight ends along the axes."""
    quarter = math.tan(math.pi / 8)
    return Path((Vertex(60, 0, quarter), Vertex(0, 60), Vertex(0, 40, -quarter), Vertex(40, 0)))
