"""The laws of a frame as designed that hold for every body and joint.

Those of one body or joint stand in its own class.
"""

from __future__ import annotations

from framekit.constraints.law import law_texts

OURS = "docs/explanation/geometry.md"
LEFT = "disc.joint_radius - joint.end_clearance - disc.bore_wall"

DESIGN = {
    **law_texts(
        "definition",
        """
body-equatorial-diameter: body.equatorial_diameter = 2*body.equatorial_radius
a diameter is two radii

body-height: body.height = body.high_end - body.low_end
from the lower end to the upper

scale-equatorial: model.equatorial_radius = body.equatorial_radius/scale.denominator
real size over the scale's denominator

scale-low-end: model.low_end = body.low_end/scale.denominator
real size over the scale's denominator

scale-high-end: model.high_end = body.high_end/scale.denominator
real size over the scale's denominator

scale-height: model.height = body.height/scale.denominator
real size over the scale's denominator

model-equatorial-diameter: model.equatorial_diameter = 2*model.equatorial_radius
a diameter is two radii

model-span: model.height = model.high_end - model.low_end
from the lower end to the upper

rib-span: rib.height = rib.high_end - rib.low_end
from the rib's lower end to its upper

disc-fraction: disc.height = disc.fraction*model.polar_radius
a fraction of the polar radius

disc-share: disc.height =
    (model.low_end + model.high_end)/2 + disc.fraction*(model.high_end - model.low_end)/2
a share of the way from the middle to an end

disc-mirror: disc.height = -original.height
the mirror image of the disc before

disc-mirror-span: disc.height = model.low_end + model.high_end - original.height
the mirror image about the middle

disc-side: disc.side <- step(disc.height, 1, -1)
north of the equator or on it, or south
- north of the equator or on it: 1
- south of the equator: -1

disc-half: disc.side <- step(-model.low_end - model.high_end + 2*disc.height, 1, -1)
in the upper half or at the middle, or in the lower
- in the upper half or at the middle: 1
- in the lower half: -1

disc-bore-none: disc.bore_radius = 0
the disc has no bore
""",
    ),
    **law_texts(
        "theorem of Pythagoras",
        """
rib-proud: rib.proud <- sqrt(model.equatorial_radius**2 + sheet.thickness**2/4)
    - model.equatorial_radius
a flat plate's faces lie outside the round skin its middle follows
""",
    ),
    **law_texts(
        "common practice, no source",
        """
disc-bore-wall: disc.bore_wall <-
    max(3*sheet.thickness, disc.notch_depth + 3/2*sheet.thickness)
three thicknesses, or the notch's depth and one and a half thicknesses
- three thicknesses: 3*sheet.thickness
- the notch's depth and one and a half thicknesses: disc.notch_depth + 3/2*sheet.thickness
""",
    ),
    **law_texts(
        OURS,
        f"""
rib-pole-gap: rib.pole_gap =
    sheet.thickness/2*cos(rib.angle*pi/360)/sin(rib.angle*pi/360) + rib.pole_allowance
two plates of thickness t at angle δ touch on the bisector unless each stops here; \
then the allowance

rib-low-cut: rib.low_end = model.low_end
the body is open there, and the rib ends with it

rib-high-cut: rib.high_end = model.high_end
the body is open there, and the rib ends with it

slot-width: joint.slot_width = sheet.thickness + joint.clearance
the sheet's thickness and the clearance

slot-width-drawn-file: joint.slot_width_drawn = joint.slot_width - cutter.kerf
the cut takes half a kerf from each side, so the file draws the slot narrower

slot-width-drawn-machine: joint.slot_width_drawn = joint.slot_width
the machine moves the cut itself, so the file draws the finished slot

joint-gap: joint.gap = joint.slot_width - sheet.thickness
what the slot leaves beside the sheet

notch-clearance: joint.notch_clearance = joint.clearance
notches are as loose as the slots that the spec gives

notch-width: joint.notch_width = disc_sheet.thickness + joint.notch_clearance
the discs' thickness and the notches' clearance

notch-width-drawn-file: joint.notch_width_drawn = joint.notch_width - cutter.kerf
the cut takes half a kerf from each side, so the file draws the notch narrower

notch-width-drawn-machine: joint.notch_width_drawn = joint.notch_width
the machine moves the cut itself, so the file draws the finished notch

disc-low-flush: disc.height = model.low_end + sheet.thickness/2
its lower face is flush with the end

disc-high-flush: disc.height = model.high_end - sheet.thickness/2
its upper face is flush with the end

disc-hub-high: disc.height <- rib.high_bend + joint.slot_width/2 + 3/2*sheet.thickness
above the rib's bend, with one and a half thicknesses of rib between

disc-hub-low: disc.height <- rib.low_bend - joint.slot_width/2 - 3/2*sheet.thickness
below the rib's bend, with one and a half thicknesses of rib between

disc-hub-high-alternate: disc.height <-
    max(rib.high_bend, alternate.high_bend) + joint.slot_width/2 + 3/2*sheet.thickness
above the bend of every rib, with one and a half thicknesses of rib between

disc-hub-low-alternate: disc.height <-
    min(rib.low_bend, alternate.low_bend) - joint.slot_width/2 - 3/2*sheet.thickness
below the bend of every rib, with one and a half thicknesses of rib between

disc-joint: disc.joint_radius =
    disc.rib_inner_radius + joint.engagement*(disc.mid_skin_radius - disc.rib_inner_radius)
the joint lies at the engagement's share of the rib's width

disc-notch-depth: disc.notch_depth = disc.joint_radius - disc.rib_inner_radius
from the rib's inner edge to the joint

disc-ligament: disc.ligament = disc.skin_radius - disc.joint_radius - joint.end_clearance
what is left of the rib between the notch's end and the skin

disc-bore-auto: disc.bore_radius <- step({LEFT} - 3*sheet.thickness, {LEFT}, 0)
what the wall leaves, or no bore when that is under three thicknesses
- what the wall leaves: {LEFT}
- no bore: 0
""",
    ),
}
