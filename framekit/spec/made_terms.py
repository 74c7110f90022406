"""What is drawn for the spec's sheet and cut with the real ones: names and terms of laws."""

MADE_INPUTS = {
    "sheet.thickness": "made.thickness",
    "cutter.kerf": "made.kerf",
    "joint.clearance": "made.clearance",
    "disc_sheet.thickness": "made.disc_thickness",
    "disc_sheet.kerf": "made.disc_kerf",
    "joint.notch_clearance": "made.notch_clearance",
}
"""The toleranced inputs and their as-made symbols."""
MEASURED = ("sheet.thickness", "disc_sheet.thickness")
"""Those that nobody can assume a tolerance of: every sheet is to be measured."""
OVER = "(made.kerf - cutter.kerf)/2"
"""How far each edge is cut beyond the design, mm."""
CHAMFER = f"(limit.lead_in - limit.lead_turn*{OVER})"
"""What the chamfer of a mouth takes of its side, mm: an edge cut beyond moves the chamfer by less
than the mouth, 2 − √2 of it (`limit.lead_turn`; the parallel of a corner of 135°)."""
OVER_DISC = "(made.disc_kerf - disc_sheet.kerf)/2"
"""How far each edge of a disc that has a sheet of its own is cut beyond the design, mm."""
CHAMFER_DISC = f"(limit.lead_in - limit.lead_turn*{OVER_DISC})"
"""The same of a mouth in a disc that has a sheet of its own, mm."""
SLOT = "(joint.slot_width + (made.kerf - cutter.kerf) + (made.clearance - joint.clearance))"
"""The slot's width as made, mm."""
