"""Parts → tested parts: the checks of what was made, then the frames put together as solids."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from framekit.errors import BuildError
from framekit.parts.model import AssemblyReport, FrameParts, Parts
from framekit.parts.verify.check import check_assembly
from framekit.solution.check_words import failure_faults
from framekit.solution.meridian import meridian_of

Progress = Callable[[int, int], None]
"""Told how many frames are tested, and of how many."""


def tested_parts(parts: Parts, progress: Progress | None = None) -> Parts:
    """Return the parts with the report of each frame's assembly test.

    Raises BuildError where a check failed, or where the solids do not go together, with all faults
    of the first frame that has some.
    """
    faults = failure_faults(parts.solution)
    if faults:
        raise BuildError(*faults)
    reports = []
    for number, frame in enumerate(parts.frames):
        if progress is not None:
            progress(number, len(parts.frames))
        reports.append(assembly_report(frame))
    return replace(parts, reports=tuple(reports))


def assembly_report(frame: FrameParts) -> AssemblyReport:
    """Return the report of a frame's assembly test; raises BuildError."""
    return check_assembly(frame, meridian_of(frame.solution))
