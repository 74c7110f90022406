"""The margins of checks: one row each with its law, its spec key and its sentence."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from framekit.joints.protocol import Cut
from framekit.solution.relations import (
    PlacedDisc,
)
from framekit.solution.structure import Structure

Condition = Callable[[Structure, PlacedDisc, float], bool]
"""Whether a disc has a check, by the frame's structure, the disc, and its bore's radius in mm."""


class FrameMargin(NamedTuple):
    """A check of the whole frame; `cut` says what its law speaks of."""

    code: str
    about: str
    law: str
    governed: str
    sentence: str
    when: Callable[[Structure], bool] = lambda structure: True
    cut: Cut = "rib"


class DiscMargin(NamedTuple):
    """A check of each disc; `cut` says what its law speaks of.

    `two` takes the law's place where discs have a sheet of their own, for a law that both sheets'
    kerfs decide.
    """

    code: str
    law: str
    governed: str
    sentence: str
    when: Condition = lambda structure, disc, bore: True
    about: str = "{disc}"
    cut: Cut = "notch"
    two: str | None = None


def _has_two_sheets(structure: Structure) -> bool:
    return structure.spec.disc_sheet is not None


def _keeps_fillets(structure: Structure) -> bool:
    spec = structure.spec
    return spec.cutter.process == "router" and spec.joint.relief != "all"


def _seats_in_two_sheets(structure: Structure) -> bool:
    return _has_two_sheets(structure) and _keeps_fillets(structure)


def _stands(structure: Structure) -> bool:
    return structure.spec.stand is not None


def _open(upper: bool) -> Callable[[Structure], bool]:
    return lambda structure: not structure.skin.closed[upper]


_GAP = (
    "The slot leaves {joint.slot_width-sheet.thickness:.2f} mm beside the sheet; in {material} it "
    "must leave at least {limit.least_gap:.2f} mm to go together."
)
_SLACK = (
    "The slot leaves {joint.slot_width-sheet.thickness:.2f} mm beside the sheet; in {material} "
    "more than {limit.most_gap:.2f} mm would rattle."
)
_END_ROOM = (
    "At the body's {side} end the skin must leave the ribs {sheet.thickness:.1f} mm outside the "
    "{rib.pole_gap:.1f} mm that keep them apart."
)

_SLOT_WIDTH = (
    "The slot is {joint.slot_width:.2f} mm wide; it must be wider than the cut, "
    "{cutter.kerf:.2f} mm."
)
_SPACING = (
    "Parts lie {limit.spacing:.2f} mm apart on the sheet; the cut round a part, "
    "{cutter.kerf:.2f} mm wide, reaches a quarter farther at a corner."
)
_MARGIN = (
    "The sheet keeps {limit.margin:.2f} mm at its edges; the path round a part's corner goes up to "
    "three quarters of the cut's {cutter.kerf:.2f} mm beyond it."
)
_SEAT = (
    "Slots run {joint.end_clearance:.2f} mm past their seat; the round tool leaves "
    "{cutter.kerf/2:.2f} mm in their corners."
)

_LAP_GAP = (
    "A slot for {limit.layers:.0f} sheets of a stand's plate leaves "
    "{joint.slot_width-sheet.thickness:.2f} mm beside them; in {material} it must leave at least "
    "{limit.least_gap:.2f} mm to go together."
)
_LAP_END = (
    "Between the floors of the slots of the stand's plates there must be room; "
    "{joint.end_clearance:.2f} mm past each seat is drawn."
)

FRAME = (
    FrameMargin("slot-gap", "joint", "slot-gap", "joint.clearance", _GAP, cut="slot"),
    FrameMargin("slot-slack", "joint", "slot-slack", "joint.clearance", _SLACK, cut="slot"),
    FrameMargin(
        *("slot-gap", "notches", "slot-gap", "joint.clearance", _GAP), _has_two_sheets, "notch"
    ),
    FrameMargin(
        *("slot-slack", "notches", "slot-slack", "joint.clearance", _SLACK),
        *(_has_two_sheets, "notch"),
    ),
    FrameMargin(
        *("smallest-feature", "joint", "feature-slot", "cutter.kerf", _SLOT_WIDTH), cut="slot"
    ),
    FrameMargin(
        *("smallest-feature", "notches", "feature-slot", "cutter.kerf", _SLOT_WIDTH),
        *(_has_two_sheets, "notch"),
    ),
    FrameMargin("slot-gap", "stand", "lap-gap", "joint.clearance", _LAP_GAP, _stands),
    FrameMargin("slot-end", "stand", "lap-end", "joint.end_clearance", _LAP_END, _stands),
    FrameMargin("cut-spacing", "sheet", "cut-spacing", "cutter.spacing", _SPACING),
    FrameMargin(
        *("cut-spacing", "disc_sheet", "cut-spacing", "cutter.spacing", _SPACING),
        *(_has_two_sheets, "disc"),
    ),
    FrameMargin("cut-margin", "sheet", "cut-margin", "cutter.margin", _MARGIN),
    FrameMargin(
        *("cut-margin", "disc_sheet", "cut-margin", "cutter.margin", _MARGIN),
        *(_has_two_sheets, "disc"),
    ),
    FrameMargin(
        *("pole-clearance", "ribs", "pole-clearance", "ribs.pole_allowance"),
        "The ribs stop {rib.pole_gap:.2f} mm from the axis; neighbours must not touch there.",
    ),
    FrameMargin(
        *("smallest-feature", "ribs", "feature-rib", "ribs.width"),
        "The ribs are {rib.width_least:.1f} mm wide at least; they must be wider than the cut.",
    ),
    FrameMargin(
        *("slot-seat", "joint", "slot-seat", "joint.end_clearance", _SEAT, _keeps_fillets),
        cut="slot",
    ),
    FrameMargin(
        *("slot-seat", "notches", "slot-seat", "joint.end_clearance", _SEAT),
        *(_seats_in_two_sheets, "notch"),
    ),
    FrameMargin(
        *("end-room", "ribs below", "end-room-low", "ribs.count"),
        *(_END_ROOM.replace("{side}", "lower"), _open(False)),
    ),
    FrameMargin(
        *("end-room", "ribs above", "end-room-high", "ribs.count"),
        *(_END_ROOM.replace("{side}", "upper"), _open(True)),
    ),
)
"""The checks of a whole frame, those of the joint first."""


def _notched(structure: Structure, disc: PlacedDisc, bore: float) -> bool:
    return disc.joint.notched


def _slotted(structure: Structure, disc: PlacedDisc, bore: float) -> bool:
    return disc.joint.slotted


def _chamfered(structure: Structure, disc: PlacedDisc, bore: float) -> bool:
    return disc.joint.slotted and structure.spec.joint.lead_in is not None


def _bored(structure: Structure, disc: PlacedDisc, bore: float) -> bool:
    return bore > 0


def _bored_notched(structure: Structure, disc: PlacedDisc, bore: float) -> bool:
    return bore > 0 and disc.joint.notched


def _short_of(upper: bool) -> Condition:
    """Return whether a disc is not flush with an end."""
    return lambda structure, disc, bore: disc.end != ("bottom", "top")[upper]


def _at_pole(upper: bool) -> Condition:
    return lambda structure, disc, bore: structure.skin.closed[upper]


_RIB_END = (
    "{side} {disc}'s notch the rib's end must keep {sheet.thickness:.1f} mm of height{chamfer}."
)
_FLAKE = (
    "Between {disc}'s notch and the rib's inner edge no flake thinner than {sheet.thickness:.1f} "
    "mm may be left{chamfer}."
)

NOTCH = (
    DiscMargin(
        *("ligament", "ligament", "ribs.width"),
        "Behind {disc}'s notch the rib keeps {disc.ligament:.1f} mm; it needs "
        "{limit.least_ligament:.1f} mm not to break.",
        _notched,
    ),
    DiscMargin(
        *("web", "web", "ribs.count"),
        "Between {disc}'s slots {disc.slot_web:.1f} mm of material are left; it needs "
        "{limit.least_web:.1f} mm not to break.",
        _slotted,
        cut="slot",
    ),
    DiscMargin(
        *("web", "rim-web", "joint.lead_in"),
        "Between the chamfers of {disc}'s slots {limit.least_web:.1f} mm of its rim must be left.",
        _chamfered,
        "{disc} rim",
        "slot",
    ),
    DiscMargin(
        *("inside-skin", "inside-skin", "discs.setback"),
        "{disc}'s rim, radius {disc.radius:.2f} mm, must lie under the skin over all its "
        "thickness; {limit.skin_allowance:g} mm proud is allowed.",
        cut="disc",
    ),
    DiscMargin(
        *("engagement", "engagement-rib", "joint.engagement"),
        "{disc} must sit {sheet.thickness:.2f} mm deep in the rib, also where the notch is "
        "shallowest; its seat is {disc.notch_depth:.2f} mm from the inner edge at its "
        "middle{chamfer}.",
        _notched,
        two="engagement-rib-two",
    ),
    DiscMargin(
        *("engagement", "engagement-disc", "joint.engagement"),
        "The ribs must sit {sheet.thickness:.2f} mm deep in {disc}'s slots; their seat is "
        "{disc.slot_depth:.2f} mm from the rim{chamfer}.",
        _slotted,
        two="engagement-disc-two",
    ),
    DiscMargin(
        *("slot-end", "slot-end", "joint.end_clearance"),
        "Between {disc} and the floors of the ribs' notches there must be room; "
        "{joint.end_clearance:.2f} mm past each seat is drawn.",
        _notched,
        two="slot-end-two",
    ),
)
"""The checks of a disc's seat in the ribs and under the skin."""

BORE = DiscMargin(
    *("bore-wall", "bore-wall", "discs.bore"),
    "{disc}'s ring must keep {limit.least_wall:.1f} mm between its bore, radius "
    "{disc.bore_radius:.1f} mm, and its joints.",
    _bored_notched,
    cut="disc",
)

ENDS = (
    DiscMargin(
        *("smallest-feature", "feature-bore", "discs.bore"),
        "{disc}'s bore is {2*disc.bore_radius:.1f} mm wide; it must be wider than the cut.",
        _bored,
        cut="disc",
    ),
    DiscMargin(
        *("rib-end", "rib-end-low", "discs.at", _RIB_END.replace("{side}", "Below")),
        *(_short_of(False), "{disc} below", "tooth"),
    ),
    DiscMargin(
        *("rib-flake", "rib-flake-low", "discs.at", _FLAKE, _at_pole(False)),
        *("{disc} below", "tooth"),
    ),
    DiscMargin(
        *("rib-end", "rib-end-high", "discs.at", _RIB_END.replace("{side}", "Above")),
        *(_short_of(True), "{disc} above", "tooth"),
    ),
    DiscMargin(
        *("rib-flake", "rib-flake-high", "discs.at", _FLAKE, _at_pole(True)),
        *("{disc} above", "tooth"),
    ),
)
"""The checks of a disc's bore, and of what the ribs keep beyond the disc."""

NEIGHBOURS = (
    FrameMargin(
        "disc-spacing",
        "{disc} and {next}",
        "disc-spacing",
        "discs.at",
        "{about} lie {next.height-disc.height:.1f} mm apart; slot and tooth between them need "
        "{joint.slot_width+sheet.thickness:.1f} mm{chamfers}.",
        cut="tooth",
    ),
)
"""The checks of two discs next to each other."""
