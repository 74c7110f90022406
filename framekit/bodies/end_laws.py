"""The names of the laws of a body's two ends, which every body has."""

from __future__ import annotations

SIZE = ("body-equatorial-diameter", "scale-equatorial", "model-equatorial-diameter")
"""The laws that tie a body's greatest radius to the model's."""


def end_laws(closed: tuple[bool, bool]) -> tuple[str, ...]:
    """Return the names of the laws of heights and of the ribs' ends.

    `closed` says whether the lower and the upper end meet the axis.
    """
    laws = ["body-height", "scale-low-end", "scale-high-end", "scale-height", "model-span"]
    laws += ["rib-span", "skin-rib-reach"]
    for name, shut in zip(("low", "high"), closed, strict=True):
        laws += [f"skin-rib-{name}-end", f"skin-rib-{name}-bend"] if shut else [f"rib-{name}-cut"]
    return tuple(laws)
