"""The commented spec that `framekit new` starts an author with."""

from __future__ import annotations

import difflib

from framekit.catalogue.load import bodies
from framekit.errors import Fault, SpecError, UnknownNameError
from framekit.spec.measure import MeasureError, parse_length
from framekit.spec.migrations import CURRENT

SHAPES = ("sphere", "spheroid")
"""The shapes that `new` takes beside the catalogue's bodies."""

_TEMPLATE = """\
# A frame for framekit. Lengths are mm unless a unit is written, angles degrees.
# 'framekit check' verifies it, 'framekit build' writes the cut files.
framekit: {version}
id: {name}
title: {title}

# The body in its real size: a body of the catalogue, or a shape with sizes.
body:
  {body}

# The finished model's size decides the scale; 'scale: "1:500"' instead is as good.
model:
  equatorial_diameter: {size}

# Half-ring ribs round the axis. 6 to 12 are usual.
ribs:
  count: 8
  width:
    equator: {equator:<4} # mm, taken from the skin inward; 20 to 25 are usual
    pole: {pole:<7} # 10 to 15 are usual

# Horizontal discs that hold the ribs: height in mm, fraction of the polar radius, or latitude.
discs:
  - at: {{fraction: 0}}
    bore: auto    # auto, none, or a radius: smaller parts are cut from the hole
  - at: {{fraction: 0.6, both: true}}

joint:
  style: cross-lap   # cross-lap: half a slot in each part; housed: plain discs in notches
  fit: snug          # slip, snug or press

# Measure the sheet with a caliper in several places: it is seldom what the label says.
sheet:
  material: birch-plywood
  thickness: 3.0 ± 0.05
  size: [600, 400]

# Measure the kerf on a test cut of the same material.
cutter:
  process: laser     # laser, router or knife
  bed: [600, 400]
  margin: 5
  spacing: 2
  kerf: 0.16 ± 0.03
  compensate: file   # file: the drawing allows for the kerf; machine: the machine does
"""


def starter_spec(body: str, size: str) -> str:
    """The text of a commented spec for a catalogue body or a shape, `size` across the equator.

    Rib widths are scaled down for models under 200 mm. Raises UnknownNameError for a body that
    is neither in the catalogue nor a shape, SpecError for a size that is no positive length.
    """
    try:
        measure = parse_length(size)
    except MeasureError as error:
        raise SpecError(Fault("spec-size", f"SIZE: {error}", hint=error.hint)) from None
    if measure.tolerance:
        raise SpecError(
            Fault("spec-size", f"SIZE: {size} has a tolerance", hint="Write the plain size.")
        )
    if not measure.value > 0:
        raise SpecError(
            Fault("spec-size", f"SIZE: {size} is not above zero", hint="Write it as '200 mm'.")
        )
    known = {row.name: row for row in bodies()}
    name = body.lower()
    if name not in known and name not in SHAPES:
        close = difflib.get_close_matches(name, [*known, *SHAPES], n=3)
        near = f" Did you mean {' or '.join(close)}?" if close else ""
        raise UnknownNameError(
            Fault(
                "unknown-body",
                f"'{body}' is neither a body of the catalogue nor a shape",
                hint=f"Shapes: {', '.join(SHAPES)}. Bodies: {', '.join(known)}.{near}",
            )
        )
    shown = f"{measure.value:g} mm"
    body_lines = [f"catalogue: {name}"]
    if name not in known:
        body_lines = [f"shape: {name}", f"equatorial_diameter: {shown}"]
        body_lines += ["flattening: 0.1"] if name == "spheroid" else []
    shrink = min(1.0, measure.value / 200.0)
    return _TEMPLATE.format(
        version=CURRENT,
        name=name,
        title=f"{known[name].title if name in known else f'A {name}'}, {shown} across",
        body="\n  ".join(body_lines),
        size=shown,
        equator=22 if shrink == 1.0 else round(max(22 * shrink, 12.0), 1),
        pole=12 if shrink == 1.0 else round(max(12 * shrink, 9.5), 1),
    )
