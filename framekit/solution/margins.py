"""Which check margins a frame has: the law of each and the quantities it looks at."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from framekit.catalogue.model import MaterialRow
from framekit.solution.fitting import margin_of, spacing_of
from framekit.solution.law import Form
from framekit.solution.relations import MADE_FORMS, PlacedDisc, full_name, placed_discs
from framekit.spec.model import FrameSpec

SKIN_ALLOWANCE = 0.25
"""mm a disc's rim may stand proud of the skin: what sanding takes off (common practice, no
source)."""


class MarginUse(NamedTuple):
    """A margin that must not be negative.

    `law` gives it; `names` are the full names of the law's inputs in order. `about` says of what
    it is; `governed` is the spec key that decides it when no tolerance does, `discs.` standing
    for the disc at place `entry` of the list.
    """

    code: str
    about: str
    law: str
    names: tuple[str, ...]
    governed: str
    entry: int = 0

    @property
    def form(self) -> Form:
        """The law as a function."""
        return MADE_FORMS[self.law]


def margin_uses(frame: FrameSpec, values: Mapping[str, float]) -> tuple[MarginUse, ...]:
    """The margins of a frame's checks, those of the joint first, then by disc.

    `values` decides which disc lies next to which and whether an automatic bore is there.
    """
    uses = [
        _use("slot-gap", "joint", "slot-gap", "joint.clearance"),
        _use("slot-slack", "joint", "slot-slack", "joint.clearance"),
        _use("smallest-feature", "joint", "feature-slot", "cutter.kerf"),
        _use("cut-spacing", "sheet", "cut-spacing", "cutter.spacing"),
        _use("cut-margin", "sheet", "cut-margin", "cutter.margin"),
        _use("pole-clearance", "ribs", "pole-clearance", "ribs.pole_allowance"),
        _use("smallest-feature", "ribs", "feature-rib", "ribs.width"),
    ]
    if frame.cutter.process == "router":
        uses.append(_use("slot-seat", "joint", "slot-seat", "joint.end_clearance"))
    for placed in placed_discs(frame):
        uses += _disc_uses(frame, placed, values)
    entries = {placed.number: placed.entry for placed in placed_discs(frame)}
    ranked = sorted(entries, key=lambda n: (values[f"disc-{n}.height"], n))
    for lower, upper in pairwise(ranked):
        about = f"disc-{lower} and disc-{upper}"
        entry = entries[max(lower, upper)]
        uses.append(_use("disc-spacing", about, "disc-spacing", "discs.at", lower, entry, upper))
    return tuple(uses)


def _disc_uses(
    frame: FrameSpec, placed: PlacedDisc, values: Mapping[str, float]
) -> list[MarginUse]:
    number, entry, disc = placed.number, placed.entry, f"disc-{placed.number}"
    cross_lap = frame.joint.style == "cross-lap"

    def use(code: str, law: str, governed: str, about: str = disc) -> MarginUse:
        return _use(code, about, law, governed, number, entry)

    uses = [use("ligament", "ligament", "ribs.width")]
    if cross_lap:
        uses.append(use("web", "web", "ribs.count"))
    for face in ("far", "near"):
        about = f"{disc} {face} face"
        uses.append(use("inside-skin", f"inside-skin-{face}", "discs.setback", about))
    uses.append(use("engagement", "engagement-rib", "joint.engagement"))
    if cross_lap:
        uses.append(use("engagement", "engagement-disc", "joint.engagement"))
    if values[f"{disc}.bore_radius"] > 0:
        uses.append(use("bore-wall", "bore-wall", "discs.bore"))
        uses.append(use("smallest-feature", "feature-bore", "discs.bore"))
    uses.append(use("rib-end", "rib-end", "discs.at"))
    uses.append(use("rib-flake", "rib-flake", "discs.at"))
    return uses


def _use(
    code: str,
    about: str,
    law: str,
    governed: str,
    disc: int = 0,
    entry: int = 0,
    upper: int = 0,
) -> MarginUse:
    names = tuple(
        f"disc-{upper}.height" if name == "next.height" else full_name(name, disc)
        for name in MADE_FORMS[law].inputs
    )
    return MarginUse(code, about, law, names, governed, entry)


def limit_values(
    m: Any, frame: FrameSpec, values: Mapping[str, Any], material: MaterialRow
) -> dict[str, Any]:
    """What the margins are measured against, in mm, by name; `m` as in `Program.run`."""
    t = values["sheet.thickness"]
    limits: dict[str, Any] = {
        "limit.least_gap": material.least_gap.value,
        "limit.most_gap": material.most_gap.value,
        "limit.least_ligament": material.ligament.value * t,
        "limit.least_web": material.web.value * t,
        "limit.least_wall": material.wall.value * t,
        "limit.skin_allowance": SKIN_ALLOWANCE,
        "limit.spacing": spacing_of(frame),
        "limit.margin": margin_of(frame),
        "rib.width_least": m.min(values["rib.width_equator"], values["rib.width_pole"]),
    }
    cross_lap = frame.joint.style == "cross-lap"
    for placed in placed_discs(frame):
        held = values["joint.end_clearance"] if cross_lap else 0.0
        limits[f"disc-{placed.number}.held_depth"] = held
    return limits
