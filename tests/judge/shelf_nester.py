"""A nester for tests that takes a millisecond: boxes in rows, one beside the other.

It is a plug-in as anyone could write one; `conftest.py` registers it. The judge looks at parts more
than at layouts, and `quick` takes most of the time of a build.
"""

from __future__ import annotations

from framekit.errors import Fault, NestError
from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place, Progress

SLACK = 0.1
"""mm more than the spacing: outlines come as chords of their arcs."""


class ShelfNester:
    """Lays the boxes of parts in rows, the highest first, each on the first sheet with room."""

    name = "shelf"

    def nest(self, job: NestJob, progress: Progress | None = None) -> NestResult:
        """Return rows of boxes; raise NestError for a part that is larger than the sheet."""
        wide, high = job.width - 2 * job.margin, job.height - 2 * job.margin
        boxes = sorted(
            ((*_box(item, wide, high), i) for i, item in enumerate(job.items)),
            key=lambda b: (-b[3], b[5]),
        )
        sheets: list[list[Place]] = []
        x = y = row = 0.0
        for x0, y0, w, h, turn, i in boxes:
            for copy in range(job.items[i].copies):
                if not sheets or x + w > wide:
                    x, y, row = 0.0, y + row, 0.0
                if not sheets or y + h > high:
                    sheets.append([])
                    x = y = row = 0.0
                gap = job.margin + SLACK
                sheets[-1].append(Place(i, copy, x - x0 + gap, y - y0 + gap, turn))
                x, row = x + w + job.spacing + SLACK, max(row, h + job.spacing + SLACK)
        return NestResult(tuple(map(tuple, sheets)))


def _box(item: NestItem, wide: float, high: float) -> tuple[float, float, float, float, float]:
    """The lower left corner of the item's box as it is turned, its size, and the turn."""
    for turn in (90.0, 0.0):
        points = [(-y, x) if turn else (x, y) for x, y in item.outer]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        w, h = max(xs) - min(xs) + 2 * SLACK, max(ys) - min(ys) + 2 * SLACK
        if w <= wide and h <= high:
            return min(xs), min(ys), w, h, turn
    raise NestError(Fault("nest-too-large", f"{item.key} is larger than the sheet."))
