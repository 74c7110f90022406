"""What is drawn for the spec's sheet and cut with the real ones: names and terms of laws."""

MADE_INPUTS = {
    "sheet.thickness": "made.thickness",
    "cutter.kerf": "made.kerf",
    "joint.clearance": "made.clearance",
    "disc_sheet.thickness": "made.disc_thickness",
}
"""The toleranced inputs and their as-made symbols."""
OVER = "(made.kerf - cutter.kerf)/2"
"""How far each edge is cut beyond the design, mm."""
SLOT = "(joint.slot_width + (made.kerf - cutter.kerf) + (made.clearance - joint.clearance))"
"""The slot's width as made, mm."""
