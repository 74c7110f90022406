"""Where a frame's ribs stand: their longitudes, and the least angle between neighbours.

The spec's `ribs.count` is of places round the whole circle; `rib.count` is of ribs that stand, less
those of a sector cut away.
"""

from __future__ import annotations

from framekit.errors import Fault, SolveError
from framekit.spec.model import FrameSpec


def longitudes_of(frame: FrameSpec) -> tuple[float, ...]:
    """Return the longitude of each rib in degrees, less a sector cut away.

    Raise SolveError where the sector leaves fewer than two ribs.
    """
    ribs = frame.ribs
    found = ribs.longitudes
    if found is None:
        count = ribs.count or 0
        found = tuple(360.0 * i / count for i in range(count))
    if ribs.cut_away is None:
        return tuple(found)
    start, stop = ribs.cut_away
    wide = (stop - start) % 360.0
    kept = tuple(x for x in found if not 1e-9 < (x - start) % 360.0 < wide - 1e-9)
    if len(kept) < 2:
        raise SolveError(
            Fault(
                "too-few-ribs",
                f"the sector cut away leaves {len(kept)} of {len(found)} ribs",
                frame.where("ribs", "cut_away"),
                "Cut away less, or use more ribs.",
            )
        )
    return kept


def least_angle(longitudes: tuple[float, ...]) -> float:
    """Return the least angle between neighbours in degrees; `longitudes` has shape (n,), n ≥ 2."""
    turned = sorted(angle % 360.0 for angle in longitudes)
    return min(
        second - first
        for first, second in zip(turned, [*turned[1:], turned[0] + 360.0], strict=True)
    )
