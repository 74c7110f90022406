"""The tenon: the ribs' ends go through mortises in the discs at the body's open ends."""

from __future__ import annotations

from framekit.constraints.law import Law, LawText, law_texts
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
from framekit.spec.made_terms import OVER, OVER_DISC, SLOT

MORTISE = "(disc.tongue_width + max(0, joint.clearance) + (made.clearance - joint.clearance))"
"""The mortise's length: a negative clearance grips the tenon's faces, not its edges."""
INSIDE = "disc.joint_radius - (disc.tongue_width + max(0, joint.clearance))/2 - disc.bore_wall"

LAWS = {
    **law_texts(
        PRACTICE,
        """
disc-tongue: disc.tongue_width = (disc.skin_radius - disc.rib_inner_radius)/3
a tenon takes a third of the rib's width

disc-bore-wall-tenon: disc.bore_wall <- 3*sheet.thickness
three thicknesses
""",
    ),
    **law_texts(
        OURS,
        f"""
disc-radius-tenon: disc.radius = disc.skin_radius - disc.setback
the rim stays under the skin, less the setback

disc-ligament-tenon: disc.ligament =
    disc.skin_radius - disc.joint_radius - disc.tongue_width/2
the rib's shoulder between the tongue and the skin

disc-bore-auto-tenon: disc.bore_radius <- step({INSIDE} - 3*sheet.thickness, {INSIDE}, 0)
what the wall leaves inside the mortises, or no bore when that is under three thicknesses
- what the wall leaves: {INSIDE}
- no bore: 0
""",
    ),
}
MADE = law_texts(
    OURS,
    f"""
tongue: tongue <- disc.tongue_width - 2*{OVER} - 2*sheet.thickness
the tongue's width above two thicknesses

shoulder-outer: shoulder-outer <- disc.ligament - 2*{OVER} - sheet.thickness
the rib's shoulder outside the tongue above one thickness

tongue-end: tongue-end <- max(0, joint.clearance) + (made.clearance - joint.clearance) + 4*{OVER}
the mortise's length beyond the tongue's width

tongue-end-two: tongue-end-two <-
    max(0, joint.clearance) + (made.clearance - joint.clearance) + 2*{OVER} + 2*{OVER_DISC}
the mortise's length beyond the tongue's width

mortise-rim: mortise-rim <-
    (disc.radius - {OVER}) - (disc.joint_radius + {MORTISE}/2 + {OVER}) - limit.least_web
the disc's rim outside the mortise above the least

mortise-web: mortise-web <-
    2*((disc.joint_radius - {MORTISE}/2 - {OVER})*sin(rib.angle*pi/360)
    - {SLOT}/2*cos(rib.angle*pi/360)) - limit.least_web
the disc's material between mortises, at their inner end, above the least

mortise-wall: mortise-wall <-
    disc.joint_radius - {MORTISE}/2 - {OVER} - (disc.bore_radius + {OVER}) - limit.least_wall
the disc's ring between bore and mortises above the least
""",
)
SHOULDERS = (
    "The ribs' shoulders {side} their tongues, {disc.tongue_width:.1f} mm wide, through {disc} "
    "need {sheet.thickness:.1f} mm."
)
MARGINS = (
    JointMargin(
        *("tongue", MADE["tongue"], "ribs.width"),
        "The ribs' tongues through {disc} are {disc.tongue_width:.1f} mm wide; they need two "
        "thicknesses, {2*sheet.thickness:.1f} mm.",
        cut="rib",
    ),
    JointMargin(
        *("shoulder", MADE["shoulder-outer"], "ribs.width"),
        SHOULDERS.replace("{side}", "outside"),
        cut="rib",
    ),
    JointMargin(
        *("shoulder", "shoulder-rib", "ribs.width"),
        SHOULDERS.replace("{side}", "inside"),
        cut="rib",
    ),
    JointMargin(
        *("slot-end", MADE["tongue-end"], "joint.clearance"),
        "The mortises in {disc} must be as long as the ribs' tongues are wide, "
        "{disc.tongue_width:.2f} mm.",
        cut="rib",
        two=MADE["tongue-end-two"],
    ),
    JointMargin(
        *("web", MADE["mortise-rim"], "joint.engagement"),
        "Outside its mortises {disc} must keep a rim of {limit.least_web:.1f} mm.",
        "{disc} rim",
        cut="slot",
    ),
    JointMargin(
        *("web", MADE["mortise-web"], "ribs.count"),
        "Between {disc}'s mortises {limit.least_web:.1f} mm of material must be left.",
        cut="slot",
    ),
    JointMargin(
        *("bore-wall", MADE["mortise-wall"], "discs.bore"),
        "{disc}'s ring must keep {limit.least_wall:.1f} mm between its bore, radius "
        "{disc.bore_radius:.1f} mm, and its mortises.",
        when="bore",
        cut="slot",
    ),
)


class Tenon(Notched):
    """Tenons on the ribs' ends through mortises in the end discs; other discs are cross-lapped."""

    name: str = "tenon"
    notched: bool = False
    at_ends: bool = True
    laws: tuple[Law | LawText, ...] = tuple(LAWS.values())
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
