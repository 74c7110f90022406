"""The tenon: the ribs' ends go through mortises in the discs at the body's open ends."""

from __future__ import annotations

from framekit.constraints.law import BranchText, Law, LawText
from framekit.joints.cross_lap import CrossLap
from framekit.joints.protocol import (
    OURS,
    PRACTICE,
    End,
    JointMargin,
    JointStyle,
    Mortise,
    Notched,
    RibEnd,
    Value,
)

OVER = "(made.kerf - cutter.kerf)/2"
"""How far each edge is cut beyond the design."""
SLOT = "(joint.slot_width + (made.kerf - cutter.kerf) + (made.clearance - joint.clearance))"
"""The slot as made."""
MORTISE = "(disc.tongue_width + max(0, joint.clearance) + (made.clearance - joint.clearance))"
"""The mortise's length: a negative clearance grips the tenon's faces, not its edges."""
INSIDE = "disc.joint_radius - (disc.tongue_width + max(0, joint.clearance))/2 - disc.bore_wall"

LAWS = (
    LawText(
        "disc-tongue",
        "disc.tongue_width",
        "(disc.skin_radius - disc.rib_inner_radius)/3",
        "a tenon takes a third of the rib's width",
        PRACTICE,
    ),
    LawText(
        "disc-radius-tenon",
        "disc.radius",
        "disc.skin_radius - disc.setback",
        "the rim stays under the skin, less the setback",
        OURS,
    ),
    LawText(
        "disc-ligament-tenon",
        "disc.ligament",
        "disc.skin_radius - disc.joint_radius - disc.tongue_width/2",
        "the rib's shoulder between the tongue and the skin",
        OURS,
    ),
    LawText(
        "disc-bore-wall-tenon",
        "disc.bore_wall",
        "3*sheet.thickness",
        "three thicknesses",
        PRACTICE,
    ),
    LawText(
        "disc-bore-auto-tenon",
        "disc.bore_radius",
        f"step({INSIDE} - 3*sheet.thickness, {INSIDE}, 0)",
        "what the wall leaves inside the mortises, or no bore when that is under three thicknesses",
        OURS,
        both_ways=False,
        branches=(BranchText("what the wall leaves", INSIDE), BranchText("no bore", "0")),
    ),
)
SHOULDERS = "The ribs' shoulders {side} their tongues, {disc.tongue_width:.1f} mm wide, through "


def _margin(name: str, formula: str, words: str) -> LawText:
    return LawText(name, name, formula, words, OURS, both_ways=False)


MARGINS = (
    JointMargin(
        "tongue",
        _margin(
            "tongue",
            f"disc.tongue_width - 2*{OVER} - 2*sheet.thickness",
            "the tongue's width above two thicknesses",
        ),
        "ribs.width",
        "The ribs' tongues through {disc} are {disc.tongue_width:.1f} mm wide; they need two "
        "thicknesses, {2*sheet.thickness:.1f} mm.",
        "tongue",
    ),
    JointMargin(
        "shoulder",
        _margin(
            "shoulder-outer",
            f"disc.ligament - 2*{OVER} - sheet.thickness",
            "the rib's shoulder outside the tongue above one thickness",
        ),
        "ribs.width",
        SHOULDERS.replace("{side}", "outside") + "{disc} need {sheet.thickness:.1f} mm.",
    ),
    JointMargin(
        "shoulder",
        _margin(
            "shoulder-inner",
            "disc.joint_radius - disc.tongue_width/2 - disc.rib_inner_radius"
            f" - 2*{OVER} - sheet.thickness",
            "the rib's shoulder inside the tongue above one thickness",
        ),
        "ribs.width",
        SHOULDERS.replace("{side}", "inside") + "{disc} need {sheet.thickness:.1f} mm.",
    ),
    JointMargin(
        "web",
        _margin(
            "mortise-rim",
            f"(disc.radius - {OVER}) - (disc.joint_radius + {MORTISE}/2 + {OVER})"
            " - limit.least_web",
            "the disc's rim outside the mortise above the least",
        ),
        "joint.engagement",
        "Outside its mortises {disc} must keep a rim of {limit.least_web:.1f} mm.",
        "{disc} rim",
    ),
    JointMargin(
        "web",
        _margin(
            "mortise-web",
            f"2*((disc.joint_radius - {MORTISE}/2 - {OVER})*sin(rib.angle*pi/360)"
            f" - {SLOT}/2*cos(rib.angle*pi/360)) - limit.least_web",
            "the disc's material between mortises, at their inner end, above the least",
        ),
        "ribs.count",
        "Between {disc}'s mortises {limit.least_web:.1f} mm of material must be left.",
    ),
    JointMargin(
        "bore-wall",
        _margin(
            "mortise-wall",
            f"disc.joint_radius - {MORTISE}/2 - {OVER} - (disc.bore_radius + {OVER})"
            " - limit.least_wall",
            "the disc's ring between bore and mortises above the least",
        ),
        "discs.bore",
        "{disc}'s ring must keep {limit.least_wall:.1f} mm between its bore, radius "
        "{disc.bore_radius:.1f} mm, and its mortises.",
        when="bore",
    ),
)


class Tenon(Notched):
    """Tenons on the ribs' ends through mortises in the end discs; other discs are cross-lapped."""

    name: str = "tenon"
    notched: bool = False
    at_ends: bool = True
    laws: tuple[Law | LawText, ...] = LAWS
    disc_laws: tuple[str, ...] = ("disc-tongue", "disc-radius-tenon", "disc-ligament-tenon")
    bore_laws: tuple[str, str] = ("disc-bore-wall-tenon", "disc-bore-auto-tenon")
    margins: tuple[JointMargin, ...] = MARGINS

    def at(self, end: End | None) -> JointStyle:
        """Return this joint at an open end, the cross-lap elsewhere."""
        return CrossLap() if end is None else self

    def mortise(self, value: Value) -> Mortise:
        """Return the mortise about the joint, longer than the tenon by the clearance."""
        half = (value("disc.tongue_width") + max(0.0, value("joint.clearance"))) / 2
        seat = value("disc.joint_radius")
        return Mortise(seat - half, seat + half, value("joint.slot_width"))

    def rib_end(self, value: Value, depth: float) -> RibEnd:
        """Return the tenon about the joint."""
        half, seat = value("disc.tongue_width") / 2, value("disc.joint_radius")
        return RibEnd(depth, seat - half, seat + half)
