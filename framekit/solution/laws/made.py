"""The laws of a frame as made: dimensions and check margins with the real sheet and kerf.

A file is drawn for the sheet and kerf of the spec; what is cut has the real ones. Names with
`made.` are the real values, all others the drawn design. Every edge moves by half the difference
of the kerfs. Those of one body or joint stand in its own class.
"""

from __future__ import annotations

from fractions import Fraction

from framekit.constraints.law import law_texts
from framekit.geometry.offset import CUT_REACH, PATH_REACH
from framekit.solution.laws.design import OURS
from framekit.spec.made_terms import CHAMFER, CHAMFER_DISC, OVER, OVER_DISC, SLOT

SIN, COS = "sin(rib.angle*pi/360)", "cos(rib.angle*pi/360)"
"""Of half the least angle between neighbouring ribs."""

MADE = law_texts(
    OURS,
    f"""
sheet.thickness: sheet.thickness <- made.thickness
the sheet as it is

cutter.kerf: cutter.kerf <- made.kerf
the kerf as it is

joint.clearance: joint.clearance <- made.clearance
the clearance as it turns out

joint.slot_width: joint.slot_width <- {SLOT}
the drawn slot and the real kerf

joint.gap: joint.gap <- {SLOT} - made.thickness
the slot as made less the sheet as it is

disc.radius: disc.radius <- disc.radius - {OVER}
the rim is cut beyond the design

disc.bore_radius: disc.bore_radius <- disc.bore_radius + {OVER}
the bore is cut beyond the design

disc.joint_radius: disc.joint_radius <- disc.joint_radius - {OVER}
the disc's seat is cut beyond the design

disc.slot_web: disc.slot_web <-
    2*(disc.joint_radius*{SIN} - {SLOT}/2*{COS}) - 2*{OVER}*{SIN}
slots are wider and deeper by the extra cut

rib.pole_gap: rib.pole_gap <- rib.pole_gap + {OVER}
the rib's end is cut beyond the design

rib.height: rib.height <- rib.height - 2*{OVER}
the rib's ends are cut beyond the design

rib.proud: rib.proud <- sqrt(model.equatorial_radius**2 + made.thickness**2/4)
    - model.equatorial_radius
with the real sheet

slot-gap: slot-gap <- {SLOT} - made.thickness - limit.least_gap
the joint's play above the tightest that goes

slot-slack: slot-slack <- limit.most_gap - ({SLOT} - made.thickness)
the joint's play below the loosest

web: web <-
    2*((disc.joint_radius - joint.end_clearance - {OVER})*{SIN} - {SLOT}/2*{COS}) - limit.least_web
the disc's material between slots, at their bottom, above the least

pole-clearance: pole-clearance <- 2*((rib.pole_gap + {OVER})*{SIN} - made.thickness/2*{COS})
the distance between neighbouring ribs where they come nearest

rim-web: rim-web <-
    2*(sqrt((disc.radius - {OVER})**2 - {SLOT}**2/4)*{SIN} - {SLOT}/2*{COS})
    - 2*{CHAMFER} - limit.least_web
the disc's material between the chamfers of slots, at its rim, above the least

engagement-disc: engagement-disc <-
    disc.slot_depth - joint.end_clearance - 2*{OVER} - {CHAMFER} - sheet.thickness
how deep the rib sits in the disc's slot, as cut, above one thickness

engagement-disc-two: engagement-disc-two <-
    disc.slot_depth - joint.end_clearance - {OVER} - {OVER_DISC} - {CHAMFER_DISC}
    - sheet.thickness
how deep the rib sits in the disc's slot, as cut, above one thickness

slot-end: slot-end <- joint.end_clearance + disc.held_depth + 2*{OVER}
the room between the floors of a notch and of the slot in it, or the disc's rim

slot-end-two: slot-end-two <- joint.end_clearance + disc.held_depth + {OVER} + {OVER_DISC}
the room between the floors of a notch and of the slot in it, or the disc's rim

bore-wall: bore-wall <-
    disc.joint_radius - disc.held_depth - {OVER} - (disc.bore_radius + {OVER}) - limit.least_wall
the disc's ring between bore and slots above the least

feature-slot: feature-slot <- {SLOT} - made.kerf
the slot's width above the kerf

feature-bore: feature-bore <- step(disc.bore_radius - 1/1000000,
    2*(disc.bore_radius + {OVER}) - made.kerf, disc.joint_radius)
the bore's width above the kerf, where there is a bore

feature-rib: feature-rib <- rib.width_least - 2*{OVER} - made.kerf
the rib's least width above the kerf

cut-spacing: cut-spacing <- limit.spacing - {Fraction(CUT_REACH)}*made.kerf
the gap between neighbours less what the cut round a corner of one takes of it

cut-margin: cut-margin <- limit.margin - {Fraction(PATH_REACH)}*made.kerf
the sheet's edge beyond the path round a corner of a part

lap-gap: lap-gap <- {SLOT} + (limit.layers - 1)*sheet.thickness - limit.layers*made.thickness
    - limit.least_gap
the play of a stand's plate in the other's slot above the tightest that goes

lap-end: lap-end <- 2*joint.end_clearance + 2*{OVER}
the room between the floors of the slots of a stand's two plates

slot-seat: slot-seat <- joint.end_clearance - made.kerf/2
the slot's run past its seat beyond what a round tool leaves in its corners

disc-spacing: disc-spacing <-
    next.height - disc.height - {SLOT} - 2*{CHAMFER} - sheet.thickness
the rib's tooth between two notches, at its tip, above one thickness
""",
)
