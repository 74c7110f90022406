"""Seeded random frames, drawn near the limits of what holds.

Bodies, ribs, discs and flanges come from `property.random_bodies`. What decides whether a frame can
be cut and put together is drawn here: sheets, cutter, tolerances, clearances, chamfers, slot ends,
stands and holes to hang by. Two frames of three have tolerances that use up most of the clearance.
"""

from __future__ import annotations

import random
from typing import Any

from judge.told import MATERIALS
from property.random_bodies import random_spec

Values = dict[str, Any]

CONVEX = ("sphere", "spheroid", "superellipsoid", "cylinder", "cone")


def drawn_frame(seed: int) -> Values:
    """Return the spec of a seed: the same every time."""
    rng = random.Random(f"frame {seed}")
    spec = random_spec(seed)
    thick = float(str(spec["sheet"]["thickness"]).split()[0])
    _sheets(rng, spec, thick)
    _cutter(rng, spec, thick)
    _joint(rng, spec, thick)
    _tolerances(rng, spec)
    _display(rng, spec, thick)
    return spec


def _sheets(rng: random.Random, spec: Values, thick: float) -> None:
    material = rng.choice(list(MATERIALS))
    spec["sheet"] |= {"material": material, "thickness": thick}
    spec.pop("disc_sheet", None)
    if rng.random() < 0.3:
        other = rng.choice([*MATERIALS, material, material])
        second = round(max(0.25, thick * rng.choice([1.0, rng.uniform(0.6, 1.6)])), 2)
        spec["disc_sheet"] = {"material": other, "thickness": second, "size": spec["sheet"]["size"]}


def _cutter(rng: random.Random, spec: Values, thick: float) -> None:
    thin = min(thick, spec.get("disc_sheet", spec["sheet"])["thickness"])
    cutter: Values = {"process": rng.choices(("laser", "router", "knife"), (0.6, 0.25, 0.15))[0]}
    if cutter["process"] == "router":
        cutter["tool_diameter"] = round(max(0.1, rng.uniform(0.35, 0.9) * thin), 2)
    elif cutter["process"] == "laser" and rng.random() < 0.75:
        cutter["kerf"] = min(round(rng.uniform(0.05, 0.35), 2), round(0.4 * thin, 2))
    if rng.random() < 0.4:
        cutter["compensate"] = rng.choice(["file", "machine"])
    if rng.random() < 0.15:
        cutter["bridges"] = {"count": rng.randrange(1, 5)}
    if rng.random() < 0.2:
        cutter["margin"] = rng.choice([0, 1, 10])
    spec["cutter"] = cutter


def _joint(rng: random.Random, spec: Values, thick: float) -> None:
    joint = {"style": spec["joint"]["style"]}
    if rng.random() < 0.5:
        joint["engagement"] = round(rng.choice([rng.uniform(0.4, 0.6), rng.uniform(0.1, 0.9)]), 2)
    way = rng.random()
    if way < 0.5:
        joint["clearance"] = round(rng.uniform(0.0, 0.25), 3)
    elif way < 0.8:
        joint["fit"] = rng.choice(["slip", "snug", "press"])
    if rng.random() < 0.3:
        joint["lead_in"] = round(rng.choice([0.3, rng.uniform(0.1, 2.0)]) * thick, 2)
    if rng.random() < 0.35:
        joint["relief"] = rng.choice(["auto", "all", "none"])
    if rng.random() < 0.35:
        most = 0.4 if spec["cutter"]["process"] != "router" else spec["cutter"]["tool_diameter"]
        joint["end_clearance"] = rng.choice([0, 0, round(rng.uniform(0.0, most), 3)])
    spec["joint"] = joint


def _tolerances(rng: random.Random, spec: Values) -> None:
    """Tolerances that together use up most of the clearance, or a little more than all of it."""
    joint, cutter = spec["joint"], spec["cutter"]
    row = MATERIALS[spec["sheet"]["material"]]
    clearance = joint.get("clearance", row.fits[joint.get("fit", "snug")])
    room = clearance - row.least_gap
    if rng.random() < 0.3:
        room = min(room, row.most_gap - clearance)
    # The last third of the draw passes the limit.
    used = max(0.0, room) * rng.choice([rng.uniform(0, 0.8), rng.uniform(0.9, 1.0), 1.05])
    shares = [rng.random() for _ in range(3)]
    if "clearance" not in joint or rng.random() < 0.6:
        shares[2] = 0.0
    size = "tool_diameter" if cutter["process"] == "router" else "kerf"
    if size not in cutter:
        shares[1] = 0.0
    whole = sum(shares) or 1.0
    thick, kerf, slot = (round(used * s / whole, 3) for s in shares)
    if rng.random() < 0.9:
        for sheet in {id(s): s for s in (spec["sheet"], spec.get("disc_sheet"))}.values():
            if sheet is not None:
                most = max(0.0, 0.2 * sheet["thickness"])
                sheet["thickness"] = f"{sheet['thickness']} ± {min(thick, most):.3f}"
    if size in cutter and rng.random() < 0.95:
        cutter[size] = f"{cutter[size]} ± {min(kerf, 0.8 * cutter[size]):.3f}"
    if slot:
        joint["clearance"] = f"{joint['clearance']} ± {slot:.3f}"


def _display(rng: random.Random, spec: Values, thick: float) -> None:
    if spec["body"].get("shape", "catalogue") in CONVEX and rng.random() < 0.15:
        spec["stand"] = {"tilt": rng.choice([0, 0, round(rng.uniform(0, 60), 1)])}
        if rng.random() < 0.2:
            spec["stand"]["layers"] = rng.choice([1, 2])
    elif rng.random() < 0.2:
        spec["hang"] = {"hole": round(rng.uniform(0.8, 1.6) * thick, 2)}
        if rng.random() < 0.3:
            spec["hang"]["tilt"] = round(rng.uniform(0, 120), 1)
