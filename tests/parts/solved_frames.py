"""Frames of a sphere, solved and made from a short spec."""

from __future__ import annotations

from framekit.parts.build import make_parts
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

BASE = {
    "framekit": 1,
    "body": {"shape": "sphere", "diameter": 200},
    "ribs": {"count": 6, "width": {"equator": 20, "pole": 20}},
    "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"height": 50, "both": True}}],
    "sheet": {"thickness": 3, "size": [600, 400]},
    "cutter": {"kerf": 0.16},
}


def frame(**changes):
    return make_parts(solve(spec_from_values({**BASE, **changes}))).frames[0]
