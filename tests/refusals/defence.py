"""Refusals that no spec reaches: a plug-in or a search at fault, or a part called by itself."""

from __future__ import annotations

import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from files.made_sheets import make_part
from refusals.calls import Call, formula, job, solution, written

from framekit.analysis.allowed_range import allowed_range
from framekit.constraints.formula.differentiate import differentiated
from framekit.files import build as file_build
from framekit.files import drawing
from framekit.files.model import Document
from framekit.geometry.path import Outline, circle
from framekit.parts.build import make_parts
from framekit.parts.display.cradle import ConvexBody, TiltedBody
from framekit.parts.display.stand import make_stand
from framekit.parts.display.stand_shape import Obstacle, StandShape
from framekit.sheets import build as sheet_build
from framekit.sheets.layout import read_layouts
from framekit.sheets.nest.quick import nester as quick
from framekit.sheets.nest.tight import nester as tight
from framekit.spec import yaml_text
from framekit.testing import sample_sheets


def patched(module: Any, name: str, value: object, run: Any) -> Any:
    """Run a call while a module has another object under a name."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, name, value)
        return run()


def told(*_: object) -> list[str]:
    """Return one sentence, as a check of a layout does that finds an overlap."""
    return ["two parts overlap"]


def ball(radius: float, half: float) -> ConvexBody:
    """Return a spheroid, mm."""
    return ConvexBody(
        lambda z: radius * math.sqrt(max(0.0, half * half - z * z)) / half, -half, half
    )


def stand(**changes: Any) -> StandShape:
    """Return a stand's shape for a ball of 100 mm, with changes."""
    given = {
        "tilt": 20.0,
        "reach": 45.0,
        "thickness": 3.0,
        "slot_width": 3.1,
        "base_width": 180.0,
        "foot_height": 25.0,
        "wall": 8.0,
        "clearance": 0.3,
        "end_clearance": 0.1,
    }
    return StandShape(**{**given, **changes})


def built(*obstacles: Obstacle, body: ConvexBody | None = None, **changes: Any) -> object:
    """Make a stand under a ball."""
    return make_stand(body or ball(100.0, 92.0), (0.0, 0.0, 0.0), stand(**changes), obstacles)


def coarse_cut() -> object:
    """Move the edge of a plate outward by more than a hole's radius."""
    plate = make_part("plate", Outline(circle(50.0), (circle(0.5).reversed(),)))
    return drawing._moved(plate, 0.6)


def stuck() -> object:
    """Fill a sheet with a packer that places nothing."""
    packer: Any = SimpleNamespace(fill=lambda left: ([], left))
    return quick._filled(packer, [0], lambda _: None)


def illegal() -> object:
    """Nest a frame while the check of the layout finds an overlap."""
    parts = make_parts(solution())
    return patched(sheet_build, "faults_of", told, lambda: sheet_build.nest_parts(parts))


def doubled_name() -> object:
    """Write with a backend that names one file twice."""
    backend = SimpleNamespace(render=lambda _: (Document("a.svg", b""), Document("a.svg", b"")))
    return patched(
        *(file_build, "load", lambda *_: backend),
        lambda: file_build.write_sheets(sample_sheets(), "nowhere", ["svg"]),
    )


def kept(folder: Path, data: bytes) -> object:
    """Read a kept layout."""
    return read_layouts(written(folder, "a.layout.json", data), (), "quick")


def profile_range() -> object:
    """Ask for the range of a scale, under a body whose inner edge is made anew for each."""
    frame = solution(
        {
            "body": {"shape": "profile", "points": [[60, 0], [80, 90], [60, 180]]},
            "ribs.width": 20,
            "discs": [{"at": {"height": 90}}],
        }
    ).frames[0]
    return allowed_range(frame, "ribs.width.equator")


def steep() -> object:
    """Differentiate a formula whose slope has numbers beyond the largest double."""
    return differentiated(formula("(((z*1e12)**9*1e12)**9*1e12)**9"), "z")


def too_many_values() -> object:
    """Read text with more values than may be, which are few here: a real limit takes seconds."""
    return patched(
        *(yaml_text, "MOST_VALUES", 9),
        lambda: yaml_text.read_yaml("a: [1, 2, 3, 4, 5, 6, 7, 8]", None),
    )


CALLS = [
    Call("yaml-too-large", "more than 9 values", lambda _: too_many_values()),
    Call("kerf", "has a feature too fine for a kerf of 1.2 mm", lambda _: coarse_cut()),
    Call("backend-file-name", "names a file 'a.svg'", lambda _: doubled_name()),
    Call("layout-unreadable", "cannot be read", lambda d: kept(d, b"\xff")),
    Call("layout-unreadable", "cannot be read", lambda d: kept(d, b"{}")),
    Call("layout-unreadable", "no file of a layout's size", lambda d: read_layouts(d, (), "quick")),
    Call(
        *("nest-illegal", "two parts overlap"),
        lambda _: patched(quick, "find_faults", told, lambda: quick.QuickNester().nest(job())),
    ),
    Call("edge-made-for-sizes", "no range of", lambda _: profile_range()),
    Call("formula", "cannot be written down", lambda _: steep()),
    Call("stand-body", "cannot be tilted by 181°", lambda _: TiltedBody(ball(9, 9), 0.0, 181.0)),
    Call("stand-body", "centre of mass is at 9 mm", lambda _: TiltedBody(ball(9, 9), 9.0, 0.0)),
    Call("stand-range", "The stand's wall is 0 mm", lambda _: built(wall=0.0)),
    Call("stand-range", "Clearances of -1 and 0.1 mm", lambda _: built(clearance=-1.0)),
    Call("stand-range", "with 0 layers make no stand", lambda _: built(layers=0)),
    Call("stand-reach", "The stand's reach is 5°", lambda _: built(reach=5.0)),
    Call("stand-base", "cradle ends", lambda _: built(base_width=120.0)),
    Call(
        *("stand-base", "no room between feet and slot"),
        lambda _: built(base_width=150.0, wall=30.0, reach=15.0, foot_height=95.0),
    ),
    Call(
        *("stand-obstacle", "cannot pass below"),
        lambda _: built(Obstacle(110.0, 160.0, -30.0, 3.0), tilt=45.0, foot_height=45.0),
    ),
    Call(
        *("stand-off-plumb", "beside the plumb line"),
        lambda _: built(body=ball(100.0, 20.0), tilt=80.0, reach=10.0),
    ),
    Call("nest-stuck", "found no place on an empty sheet", lambda _: stuck()),
    Call(
        *("nest-illegal", "two parts overlap"),
        lambda _: patched(
            *(tight, "find_faults", told),
            lambda: tight.TightNester().nest(job(seconds=0.1)),
        ),
    ),
    Call("layout-illegal", "two parts overlap", lambda _: illegal()),
]
