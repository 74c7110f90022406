"""A parts list as CSV, for the person who sorts the parts after cutting."""

import csv
import io

from framekit.files.model import Document
from framekit.files.naming import safe_name
from framekit.sheets.model import Sheets


class PartsListBackend:
    """One table for all sheets: sheet, part, what it is, its thickness and its mass."""

    name = "parts-list"

    def render(self, sheets: Sheets) -> tuple[Document, ...]:
        """The table as CSV, a row for each part in cutting order."""
        text = io.StringIO()
        rows = csv.writer(text, lineterminator="\n")
        rows.writerow(["sheet", "part", "what it is", "thickness mm", "mass g"])
        for sheet in sheets.sheets:
            for placement in sheet.placements:
                part = placement.part
                sizes = (f"{part.thickness:.2f}", f"{part.mass:.1f}")
                rows.writerow([sheet.id, part.id, part.title, *sizes])
        name = safe_name(f"{sheets.parts.solution.spec.id}-parts-list")
        return (Document(f"{name}.csv", text.getvalue().encode()),)
