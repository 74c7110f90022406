"""Parts → tested parts: the checks of what was made, then the frames put together as solids."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from framekit.errors import BuildError
from framekit.parts.model import AssemblyReport, FrameParts, Parts
from framekit.parts.verify.check import check_assembly
from framekit.parts.verify.outlines import outline_checks
from framekit.solution.check_words import failure_faults
from framekit.solution.meridian import meridian_of
from framekit.solution.model import Check

Progress = Callable[[int, int], None]
"""Told how many frames are tested, and of how many."""

NO_MORE: Mapping[str, tuple[Check, ...]] = MappingProxyType({})


def checked_parts(parts: Parts, more: Mapping[str, tuple[Check, ...]] = NO_MORE) -> Parts:
    """Return the parts with the checks of their outlines among those of their solution.

    `more` has further checks by the frame's id. Those that a solution has by name stay.
    """
    frames = tuple(
        _with(frame, (*outline_checks(frame), *more.get(frame.solution.spec.id, ())))
        for frame in parts.frames
    )
    own = {frame.solution.spec.id: frame.solution for frame in frames}
    solved = tuple(own.get(frame.spec.id, frame) for frame in parts.solution.frames)
    return replace(parts, frames=frames, solution=replace(parts.solution, frames=solved))


def _with(frame: FrameParts, checks: tuple[Check, ...]) -> FrameParts:
    known = frame.solution.checks
    names = {check.name for check in known}
    added = tuple(check for check in checks if check.name not in names)
    return replace(frame, solution=replace(frame.solution, checks=(*known, *added)))


def tested_parts(parts: Parts, progress: Progress | None = None) -> Parts:
    """Return the parts with the checks of their outlines and each frame's assembly report.

    Raises BuildError where a check failed, or where the solids do not go together, with all faults
    of the first frame that has some.
    """
    parts = checked_parts(parts)
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
