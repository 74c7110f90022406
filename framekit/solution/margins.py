"""Which check margins a frame has: the law of each and the quantities it looks at."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from framekit.bodies.build import book_of, skin_of
from framekit.catalogue.model import MaterialRow
from framekit.constraints.law import Form
from framekit.joints.build import style_of
from framekit.solution.fitting import margin_of, spacing_of
from framekit.solution.relations import (
    ALTERNATE,
    TWO_SHEETS,
    PlacedDisc,
    Renaming,
    disc_sheet,
    end_of,
    full_name,
    is_tenoned,
    placed_discs,
    renamed,
)
from framekit.spec.model import FrameSpec

SKIN_ALLOWANCE = 0.25
"""mm a disc's rim may stand proud of the skin: what sanding takes off (common practice, no
source)."""


RELIEF_ROOM = 0.02
"""mm the radius of a relief is above the tool's, so that the tool's middle has a path to go."""
OVERCUT = 1.0 - math.sqrt(0.5)
"""How far a square corner's relief goes beyond either side, over its radius."""


def disc_thickness(frame: FrameSpec) -> str:
    """The name of the thickness of the discs' sheet."""
    return "sheet.thickness" if frame.disc_sheet is None else "disc_sheet.thickness"


def is_relieved(frame: FrameSpec) -> bool:
    """Whether inside corners of the frame are cut beyond for a router's round tool."""
    if frame.cutter.process != "router":
        return False
    asked = frame.joint.style == "tenon" or bool(frame.flanges)
    return frame.joint.relief == "all" or (frame.joint.relief == "auto" and asked)


RIB_WIDTHS = tuple(
    f"{of}.width_{where}"
    for of in ("rib", "alternate")
    for where in ("equator", "pole", "bottom", "top")
)
"""The widths a rib may have, and every other one."""


class MarginUse(NamedTuple):
    """A margin that must not be negative.

    `law` gives it by `form`; `names` are the full names of the form's inputs in order, and
    `renamed` what the law's own names mean. `about` says of what it is; `governed` is the spec key
    that decides it when no tolerance does, `discs.` and `flanges.` standing for the one at place
    `entry` of the list. `words` say what it is; `sentence` asks it, where a plug-in's joint does.
    """

    code: str
    about: str
    law: str
    names: tuple[str, ...]
    governed: str
    form: Form
    words: str
    entry: int = 0
    renamed: Renaming = ()
    sentence: str = ""


class _Uses:
    """The margins of a frame as they are found."""

    def __init__(self, frame: FrameSpec) -> None:
        self.frame = frame
        self.book = book_of(frame)
        self.found: list[MarginUse] = []

    def add(
        self,
        code: str,
        about: str,
        law: str,
        governed: str,
        disc: int = 0,
        entry: int = 0,
        beside: str = "",
        flange: int = 0,
        meant: Renaming = (),
        sentence: str = "",
    ) -> None:
        """Add a margin; `beside` is the height that `next.height` means."""
        form = self.book.made[law]
        names = tuple(
            beside if name == "next.height" else renamed(meant, full_name(name, disc, 0, flange))
            for name in form.inputs
        )
        words = self.book.words[law]
        self.found.append(
            MarginUse(code, about, law, names, governed, form, words, entry, meant, sentence)
        )


def margin_uses(frame: FrameSpec, values: Mapping[str, float]) -> tuple[MarginUse, ...]:
    """The margins of a frame's checks, those of the joint first, then by disc.

    `values` decides which disc lies next to which and whether an automatic bore is there.
    """
    uses = _Uses(frame)
    uses.add("slot-gap", "joint", "slot-gap", "joint.clearance")
    uses.add("slot-slack", "joint", "slot-slack", "joint.clearance")
    if frame.disc_sheet is not None:
        for law in ("slot-gap", "slot-slack"):
            uses.add(law, "notches", law, "joint.clearance", meant=TWO_SHEETS)
    uses.add("smallest-feature", "joint", "feature-slot", "cutter.kerf")
    uses.add("cut-spacing", "sheet", "cut-spacing", "cutter.spacing")
    uses.add("cut-margin", "sheet", "cut-margin", "cutter.margin")
    uses.add("pole-clearance", "ribs", "pole-clearance", "ribs.pole_allowance")
    uses.add("smallest-feature", "ribs", "feature-rib", "ribs.width")
    if frame.cutter.process == "router" and frame.joint.relief != "all":
        uses.add("slot-seat", "joint", "slot-seat", "joint.end_clearance")
    skin = skin_of(frame)
    for end, closed in zip(("low", "high"), skin.closed if skin else (True, True), strict=True):
        if not closed:
            uses.add("end-room", f"ribs {_SIDES[end]}", f"end-room-{end}", "ribs.count")
    for placed in placed_discs(frame):
        _disc_uses(uses, frame, placed, values)
    for number in range(1, len(frame.flanges) + 1):
        _flange_uses(uses, frame, number)
    entries = {placed.number: placed.entry for placed in placed_discs(frame)}
    ranked = sorted(entries, key=lambda n: (values[f"disc-{n}.height"], n))
    meant = disc_sheet(frame)
    for lower, upper in pairwise(ranked):
        about = f"disc-{lower} and disc-{upper}"
        entry = entries[max(lower, upper)]
        beside = f"disc-{upper}.height"
        uses.add(
            "disc-spacing", about, "disc-spacing", "discs.at", lower, entry, beside, meant=meant
        )
    return tuple(uses.found)


def _disc_uses(
    uses: _Uses, frame: FrameSpec, placed: PlacedDisc, values: Mapping[str, float]
) -> None:
    number, entry, disc = placed.number, placed.entry, f"disc-{placed.number}"
    meant = disc_sheet(frame)
    skin = skin_of(frame)
    tenon = is_tenoned(frame, placed)
    style = style_of(frame)
    slotted = not tenon and style.slotted

    def add(
        code: str,
        law: str,
        governed: str,
        about: str = disc,
        by_rib: bool = False,
        sentence: str = "",
    ) -> None:
        renaming = () if by_rib else meant
        uses.add(code, about, law, governed, number, entry, meant=renaming, sentence=sentence)

    if tenon:
        add("tongue", "tongue", "ribs.width", by_rib=True)
        add("shoulder", "shoulder-outer", "ribs.width", by_rib=True)
        add("shoulder", "shoulder-inner", "ribs.width", by_rib=True)
        add("web", "mortise-rim", "joint.engagement", f"{disc} rim", by_rib=True)
        add("web", "mortise-web", "ribs.count", by_rib=True)
    else:
        add("ligament", "ligament", "ribs.width")
    if slotted:
        add("web", "web", "ribs.count", by_rib=True)
    if skin is None:
        for face in ("far", "near"):
            add("inside-skin", f"inside-skin-{face}", "discs.setback", f"{disc} {face} face")
    else:
        add("inside-skin", "inside-skin", "discs.setback")
    if not tenon:
        add("engagement", "engagement-rib", "joint.engagement")
    if slotted:
        add("engagement", "engagement-disc", "joint.engagement")
    for margin in () if tenon else style.margins:
        add(margin.code, margin.law.name, margin.governed, by_rib=True, sentence=margin.sentence)
    if frame.ribs.alternate is not None:
        about = f"{disc} in every other rib"
        code, law = ("shoulder", "shoulder-rib") if tenon else ("engagement", "engagement-rib")
        both = (*(() if tenon else meant), *ALTERNATE)
        uses.add(code, about, law, "ribs.alternate", number, entry, meant=both)
    if values[f"{disc}.bore_radius"] > 0:
        add("bore-wall", "mortise-wall" if tenon else "bore-wall", "discs.bore", by_rib=tenon)
        add("smallest-feature", "feature-bore", "discs.bore")
    if skin is None:
        add("rib-end", "rib-end", "discs.at")
        add("rib-flake", "rib-flake", "discs.at")
        return
    flush = {"bottom": "low", "top": "high"}.get(end_of(frame, placed) or "")
    for end, closed in zip(("low", "high"), skin.closed, strict=True):
        if end != flush:
            add("rib-end", f"rib-end-{end}", "discs.at", f"{disc} {_SIDES[end]}")
        if closed:
            add("rib-flake", f"rib-flake-{end}", "discs.at", f"{disc} {_SIDES[end]}")


_SIDES = {"low": "below", "high": "above"}


def _flange_uses(uses: _Uses, frame: FrameSpec, number: int) -> None:
    about = f"flange-{number}"
    meant = disc_sheet(frame)

    def add(
        code: str, law: str, governed: str, disc: int = 0, by_rib: bool = False, more: str = ""
    ) -> None:
        uses.add(
            code,
            about + more,
            law,
            governed,
            disc,
            number - 1,
            f"disc-{disc}.height",
            number,
            () if by_rib else meant,
        )

    add("flange-ring", "flange-ring", "flanges.outer_radius")
    add("flange-teeth", "flange-teeth", "ribs.count", by_rib=True)
    add("flange-engagement", "flange-engagement", "flanges.seat_depth")
    add("flange-ligament", "flange-ligament", "flanges.seat_depth")
    for other in range(1, number):
        uses.add(
            "flange-spacing",
            f"flange-{other} and {about}",
            "flange-spacing",
            "flanges.at",
            0,
            number - 1,
            f"flange-{other}.height",
            number,
            meant,
        )
    law = "flange-spacing" if style_of(frame).slotted else "flange-over-disc"
    for placed in placed_discs(frame):
        more = f" and disc-{placed.number}"
        add("flange-spacing", law, "flanges.at", placed.number, more=more)
        add("flange-way", "flange-way", "flanges.seat_depth", placed.number, more=more)


def limit_values(
    m: Any,
    frame: FrameSpec,
    values: Mapping[str, Any],
    material: MaterialRow,
    discs: MaterialRow,
) -> dict[str, Any]:
    """What the margins are measured against, in mm, by name; `m` as in `Program.run`.

    `material` is the ribs', which break behind notches; `discs` the discs' and flanges', which
    break between slots and round a bore. A joint must suit both.
    """
    t = values["sheet.thickness"]
    t_disc = values[disc_thickness(frame)]
    limits: dict[str, Any] = {
        "limit.least_gap": max(material.least_gap.value, discs.least_gap.value),
        "limit.most_gap": min(material.most_gap.value, discs.most_gap.value),
        "limit.least_ligament": material.ligament.value * t,
        "limit.least_web": discs.web.value * t_disc,
        "limit.least_wall": discs.wall.value * t_disc,
        "limit.skin_allowance": SKIN_ALLOWANCE,
        "limit.spacing": spacing_of(frame),
        "limit.margin": margin_of(frame),
        "rib.width_least": m.min(*[values[n] for n in RIB_WIDTHS if n in values]),
    }
    if is_relieved(frame):
        over = OVERCUT * (values["cutter.kerf"] / 2 + RELIEF_ROOM)
        limits["limit.least_ligament"] = limits["limit.least_ligament"] + over
        limits["limit.least_web"] = limits["limit.least_web"] + 2 * over
        limits["limit.least_wall"] = limits["limit.least_wall"] + over
    slotted = style_of(frame).slotted
    for placed in placed_discs(frame):
        held = values["joint.end_clearance"] if slotted else 0.0
        limits[f"disc-{placed.number}.held_depth"] = held
    return limits
