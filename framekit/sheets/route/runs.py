"""What a run comes to: the very paths the machine follows, gaps for bridges cut out."""

from __future__ import annotations

from collections.abc import Sequence

from framekit.geometry.gaps import nearest_vertex, opened, started_at
from framekit.geometry.path import Outline, Path, Point
from framekit.sheets.model import Placement, Run


def run_paths(
    run: Run,
    outline: Outline,
    marks: Sequence[Path],
    middles: Sequence[Sequence[Point]],
    gap: float,
) -> tuple[Path, ...]:
    """The paths of a run in order, mm on the sheet: one, or the pieces between its bridges.

    `outline` is the placement's outline as it is to be run, finished or moved by the kerf;
    `middles` are the middles of the bridges of each hole and of the outline, `gap` their mm.
    """
    if run.operation == "mark":
        mark = marks[run.path]
        return (mark.reversed() if run.backward else mark,)
    inside = run.operation == "inside"
    path = outline.holes[run.path] if inside else outline.outer
    at = middles[run.path if inside else len(outline.holes)] if middles else ()
    if at:
        ordered = sorted(at, key=lambda p: (p[0] - run.start[0]) ** 2 + (p[1] - run.start[1]) ** 2)
        return opened(path, ordered, gap)
    return (started_at(path, nearest_vertex(path, run.start)),)


def all_paths(
    placements: Sequence[Placement], runs: Sequence[Run], gap: float
) -> list[tuple[Path, bool]]:
    """The paths of all runs in order at the finished outlines; the flag says mark, not cut."""
    outlines = [p.outline for p in placements]
    marks = [p.marks for p in placements]
    middles = [p.bridge_middles for p in placements]
    return [
        (path, run.operation == "mark")
        for run in runs
        for path in run_paths(
            run,
            outlines[run.placement],
            marks[run.placement],
            middles[run.placement],
            gap,
        )
    ]
