"""What holds where a spec says nothing: mm, plain numbers; common practice, no source."""

from collections.abc import Mapping
from types import MappingProxyType

MIDDLE_WIDTH = 22.0
"""mm a rib is wide at the equator."""
END_WIDTH = 12.0
"""mm a rib is wide at its ends."""
POLE_ALLOWANCE = 0.5
"""mm of extra radius kept free at the poles; framekit's choice."""
KERF_SPREAD = 0.03
"""± mm of a kerf whose tolerance nobody states: between the ± 0.015 and ± 0.04 mm that the
catalogue has for a laser in MDF and in acrylic; focus, a sheet that is not flat, the run-out of a
router's tool (chosen for framekit, no source)."""
ENGAGEMENT = 0.5
"""The share of the rib's width that its notch takes."""
END_CLEARANCE = 0.1
"""mm a slot runs past its seat, and past the fillet that a router's tool leaves in its corners."""
SETBACK = 0.0
"""mm a disc's rim stays behind the skin: it meets the skin."""
SEAT_THICKNESSES = 2
"""Sheet thicknesses that a flange sits deep in the ribs."""
SCALE = 1.0
"""A scale's denominator: full size."""
STROKES: Mapping[str, str] = MappingProxyType(
    {"mark": "#2a7f62", "inside": "#b3541e", "outside": "#4b2e83"}
)
"""The colour of each operation; green, rust and violet, told apart by weak colour sight too since
they differ in lightness."""
