"""The bayonet of a flange: dropped over the ribs and turned into notches in their outer edge."""

from __future__ import annotations

from framekit.constraints.law import LawText, law_texts
from framekit.joints.protocol import OURS, FlangeMargin, Value
from framekit.spec.made_terms import CHAMFER, OVER, OVER_DISC, SLOT

DEFINITION = "definition"

LAWS = {
    **law_texts(
        DEFINITION,
        """
flange-scale-inner: flange.inner_radius = flange.body_inner_radius/scale.denominator
real size over the scale's denominator

flange-scale-outer: flange.outer_radius = flange.body_outer_radius/scale.denominator
real size over the scale's denominator
""",
    ),
    **law_texts(
        OURS,
        """
flange-seat: flange.seat_radius = flange.skin_radius - flange.seat_depth
the flange's rim lies in the ribs' outer notches

flange-slot: flange.slot_radius = model.equatorial_radius + joint.end_clearance
the slots let the widest part of the ribs pass while the flange is dropped over
""",
    ),
}
FLANGE_LAWS = (
    *("flange-scale-inner", "flange-scale-outer", "skin-flange", "flange-seat"),
    "flange-slot",
)
"""The names of the laws of every flange; `skin-flange` follows from the skin."""

APART = f"abs(flange.height - next.height) - {SLOT} - 2*{CHAMFER} - sheet.thickness"
MADE = law_texts(
    OURS,
    f"""
flange-ring: flange-ring <-
    flange.outer_radius - flange.slot_radius - 2*{OVER} - limit.least_web
the flange's ring outside its slots above the least

flange-teeth: flange-teeth <-
    2*(sqrt((flange.seat_radius + {OVER})**2 - {SLOT}**2/4)*sin(rib.angle*pi/360)
    - {SLOT}/2*cos(rib.angle*pi/360))
    - 2*{CHAMFER} - made.thickness - limit.least_web
the flange's teeth, wider than a rib by the least web

flange-engagement: flange-engagement <-
    flange.seat_depth - 2*{OVER} - {CHAMFER} - sheet.thickness
the flange's seat in the rib, as cut, above one thickness

flange-engagement-two: flange-engagement-two <-
    flange.seat_depth - {OVER} - {OVER_DISC} - {CHAMFER} - sheet.thickness
the flange's seat in the rib, as cut, above one thickness

flange-end: flange-end <- joint.end_clearance + 2*{OVER}
the room between the flange's rim and the floor of the rib's notch

flange-end-two: flange-end-two <- joint.end_clearance + {OVER} + {OVER_DISC}
the room between the flange's rim and the floor of the rib's notch

flange-spacing: flange-spacing <- {APART}
the rib's tooth between a flange's notch and a disc's

flange-over-disc: flange-over-disc <-
    max(flange.seat_radius - joint.end_clearance - disc.joint_radius - joint.end_clearance
    - 2*{OVER} - limit.least_ligament, {APART})
the rib's material between a flange's notch and a disc's, or their distance in height

flange-way: flange-way <-
    max((flange.seat_radius + {OVER}) - (disc.radius - {OVER}) - max(0, joint.clearance),
    flange.height - next.height)
the flange's inner rim clear of a disc it is dropped past, or the disc below it
""",
)


NEAR = (
    "{about} lie too near each other, unless the disc is housed; slot and tooth between them need "
    "{joint.slot_width+sheet.thickness:.1f} mm{chamfers}."
)
MARGINS = (
    FlangeMargin(
        *("flange-ring", MADE["flange-ring"], "flanges.outer_radius"),
        "{flange}'s slots reach to {flange.slot_radius:.1f} mm, past the widest part of the ribs; "
        "outside them its ring, radius {flange.outer_radius:.1f} mm, must keep "
        "{limit.least_web:.1f} mm.",
        cut="disc",
    ),
    FlangeMargin(
        *("flange-teeth", MADE["flange-teeth"], "ribs.count"),
        "{flange}'s teeth at {flange.seat_radius:.1f} mm must be wider than a rib by "
        "{limit.least_web:.1f} mm, to lock it when it is turned.",
        cut="slot",
    ),
    FlangeMargin(
        *("flange-engagement", MADE["flange-engagement"], "flanges.seat_depth"),
        "{flange} sits {flange.seat_depth:.2f} mm deep in the ribs{chamfer}; it needs "
        "{sheet.thickness:.2f} mm.",
        two=MADE["flange-engagement-two"],
    ),
    FlangeMargin(
        *("slot-end", MADE["flange-end"], "joint.end_clearance"),
        "Between {flange}'s rim and the floor of the ribs' notches there must be room; "
        "{joint.end_clearance:.2f} mm is drawn.",
        two=MADE["flange-end-two"],
    ),
    FlangeMargin(
        *("flange-ligament", "flange-ligament", "flanges.seat_depth"),
        "Behind {flange}'s notch, at {flange.seat_radius:.1f} mm, the ribs must keep "
        "{limit.least_ligament:.1f} mm not to break.",
    ),
    FlangeMargin("flange-spacing", MADE["flange-spacing"], "flanges.at", NEAR, "flanges", "tooth"),
    FlangeMargin("flange-spacing", MADE["flange-spacing"], "flanges.at", NEAR, "slotted", "tooth"),
    FlangeMargin(
        *("flange-spacing", MADE["flange-over-disc"], "flanges.at"),
        "Between the notches of {about} the ribs must keep {limit.least_ligament:.1f} mm not to "
        "break, unless one lies above the other.",
        "plain",
        "tooth",
    ),
    FlangeMargin(
        *("flange-way", MADE["flange-way"], "flanges.seat_depth"),
        "{flange} is dropped over from above, past {disc}: its inner rim, "
        "{flange.seat_radius:.1f} mm, must clear the disc, {disc.radius:.1f} mm. A setback makes "
        "the disc smaller.",
        "discs",
        "disc",
    ),
)


class Bayonet:
    """A flange: a flat ring around the body, locked by its teeth between the ribs."""

    laws: tuple[LawText, ...] = tuple(LAWS.values())
    margins: tuple[FlangeMargin, ...] = MARGINS

    def notch(self, value: Value) -> float:
        """Return the radius in mm that the ribs' outer notch is cut in to."""
        return value("flange.seat_radius") - value("joint.end_clearance")
