"""What margins are measured against: the limits of the materials and of the sheet."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from framekit.solution.fitting import margin_of, spacing_of
from framekit.solution.structure import Structure
from framekit.spec.model import FrameSpec

SKIN_ALLOWANCE = 0.25
"""mm a disc's rim may stand proud of the skin: what sanding takes off (common practice, no
source)."""
RELIEF_ROOM = 0.02
"""mm the radius of a relief is above the tool's, so that the tool's middle has a path to go."""
OVERCUT = 1.0 - math.sqrt(0.5)
"""How far a square corner's relief goes beyond either side, over its radius."""

RIB_WIDTHS = tuple(
    f"{of}.width_{where}"
    for of in ("rib", "alternate")
    for where in ("equator", "pole", "bottom", "top")
)
"""The widths a rib may have, and every other one."""


LEAD_TURN = 2.0 - math.sqrt(2.0)
"""Share of an edge's cut by which a chamfer at 45° gives way less than the edge itself."""


def lead_in_of(frame: FrameSpec) -> float:
    """Return how far the mouths of slots and notches are chamfered, in mm."""
    return 0.0 if frame.joint.lead_in is None else frame.joint.lead_in.value


def limit_values(m: Any, structure: Structure, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the margins are measured against, in mm, by name; `m` as in `Program.run`.

    The ribs break behind notches, the discs and flanges between slots and around a bore, each by
    their own material. A joint must suit both.
    """
    ribs, discs = structure.material, structure.disc_material
    t = values["sheet.thickness"]
    t_disc = values[structure.disc_thickness]
    limits: dict[str, Any] = {
        "limit.least_gap": max(ribs.least_gap.value, discs.least_gap.value),
        "limit.most_gap": min(ribs.most_gap.value, discs.most_gap.value),
        "limit.least_ligament": ribs.ligament.value * t,
        "limit.least_web": discs.web.value * t_disc,
        "limit.least_wall": discs.wall.value * t_disc,
        "limit.skin_allowance": SKIN_ALLOWANCE,
        "limit.lead_in": lead_in_of(structure.spec),
        "limit.lead_turn": LEAD_TURN if lead_in_of(structure.spec) > 0 else 0.0,
        "limit.spacing": spacing_of(structure.spec),
        "limit.margin": margin_of(structure.spec),
        "limit.layers": 1.0 if structure.spec.stand is None else float(structure.spec.stand.layers),
        "rib.width_least": m.min(*[values[n] for n in RIB_WIDTHS if n in values]),
    }
    if structure.is_relieved:
        over = OVERCUT * (values["cutter.kerf"] / 2 + RELIEF_ROOM)
        limits["limit.least_ligament"] = limits["limit.least_ligament"] + over
        limits["limit.least_web"] = limits["limit.least_web"] + 2 * over
        limits["limit.least_wall"] = limits["limit.least_wall"] + over
    held = values["joint.end_clearance"] if structure.slotted else 0.0
    limits.update({f"{disc.name}.held_depth": held for disc in structure.discs})
    return limits
