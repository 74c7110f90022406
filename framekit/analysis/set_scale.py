"""One scale for a set of frames: the largest at which every one of them can be built.

Each frame has a range of scales at which all its checks pass; the set's is what they share. The
denominator grows as the model shrinks, so the largest scale is the greatest of the lower ends.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange
from framekit.errors import Fault, FramekitError, SolveError
from framekit.solution.build import solve_frame
from framekit.solution.fitting import room_of
from framekit.solution.model import FrameSolution, ScaleRange, SetScale
from framekit.spec.model import FrameSpec

SCALE = "scale.denominator"
STEPS = 400
"""Values tried when a range has to be found without a proof."""
STEP = 1.03
"""Factor between them."""
NEAR = 1e-10
"""Relative width at which a bisection stops."""


def _solved(frame: FrameSpec, denominator: float) -> FrameSolution:
    """Return the frame's solution at a scale; raises as `solve_frame`."""
    return solve_frame(replace(frame, scale=denominator))


def scale_range(frame: FrameSpec) -> ScaleRange:
    """Return the scales at which a frame can be built."""
    start = _first_guess(frame)
    solution: FrameSolution | None = None
    trouble = ""
    for n in range(STEPS):
        try:
            solution = _solved(frame, start * STEP ** _zigzag(n))
            break
        except FramekitError as error:
            trouble = trouble or error.message
    if solution is None:
        return _none(frame, trouble)
    try:
        found = allowed_range(solution, SCALE)
    except SolveError as error:
        if error.code != "edge-made-for-sizes":
            raise
        return _tried(frame, solution.value(SCALE))
    if isinstance(found, AllowedRange):
        low, high = (str(x or "nothing") for x in (found.low_limit, found.high_limit))
        return ScaleRange(frame.id, found.low, found.high, low, high, True)
    return _none(frame, ", ".join(map(str, found.failing)))


def _none(frame: FrameSpec, trouble: str) -> ScaleRange:
    return ScaleRange(frame.id, math.inf, 0.0, "", "", True, trouble)


def _zigzag(n: int) -> int:
    """0, 1, −1, 2, −2 …"""
    return (n + 1) // 2 * (1 if n % 2 else -1)


def _first_guess(frame: FrameSpec) -> float:
    """A denominator at which the model about fills the sheet."""
    for power in (0, 3, 6, 9, 11):
        try:
            solved = _solved(frame, 10.0**power)
        except FramekitError:
            continue
        size = max(solved.value("model.equatorial_diameter"), solved.value("model.height"))
        return max(size * 10.0**power / (0.8 * min(room_of(frame))), 1e-6)
    return 1.0


def _tried(frame: FrameSpec, start: float) -> ScaleRange:
    """The range about a passing scale found by trying, where none can be proved."""

    def failing(x: float) -> str:
        try:
            failed = _solved(frame, x).failed
        except FramekitError as error:
            return error.message
        return failed[0].name if failed else ""

    passing = next((x for n in range(STEPS) if not failing(x := start * STEP ** _zigzag(n))), None)
    if passing is None:
        return _none(frame, failing(start))

    def end(good: float, sign: int) -> tuple[float, str]:
        tried = [good * STEP ** (sign * n) for n in range(1, STEPS)]
        for bad in tried:
            limit = failing(bad)
            if limit:
                break
            good = bad
        else:
            return 0.0 if sign < 0 else math.inf, "nothing"
        while abs(bad - good) > NEAR * good:
            middle = math.sqrt(good * bad)
            words = failing(middle)
            if words:
                bad, limit = middle, words
            else:
                good = middle
        return good, limit

    (low, low_limit), (high, high_limit) = end(passing, -1), end(passing, 1)
    return ScaleRange(frame.id, low, high, low_limit, high_limit, False)


def largest_scale(frames: Sequence[FrameSpec]) -> SetScale:
    """The largest scale at which every frame can be built.

    Raises SolveError that names the frames that exclude each other, by how much, and ways out.
    """
    ranges = tuple(scale_range(frame) for frame in frames)
    alone = [r for r in ranges if r.empty]
    if alone:
        by_id = {frame.id: frame for frame in frames}
        raise SolveError(
            *(
                Fault(
                    "no-scale",
                    f"{r.frame} can be built at no scale: {r.trouble}",
                    by_id[r.frame].where("body"),
                    "Change its ribs, discs or sheet, or take it out of the set.",
                )
                for r in alone
            )
        )
    least = max(ranges, key=lambda r: r.low)
    most = min(ranges, key=lambda r: r.high)
    if least.low > most.high:
        raise SolveError(_excluded(frames, ranges, least, most))
    return SetScale(least.low, ranges, least.frame, most.frame)


def _excluded(
    frames: Sequence[FrameSpec],
    ranges: Sequence[ScaleRange],
    large: ScaleRange,
    small: ScaleRange,
) -> Fault:
    factor = large.low / small.high
    where = next(frame for frame in frames if frame.id == small.frame).where("body")
    groups = scale_groups(ranges)
    split = "; ".join(
        f"1:{_short(max(r.low for r in group))} for {', '.join(r.frame for r in group)}"
        for group in groups
    )
    return Fault(
        "scales-exclude",
        f"no scale fits all: {large.frame} must be 1:{_short(large.low)} or smaller "
        f"({large.low_limit}), and {small.frame} 1:{_short(small.high)} or larger "
        f"({small.high_limit}); they miss each other by a factor of {factor:.3g}",
        where,
        f"Split the set into {len(groups)} scales ({split}); give the small ones fewer or "
        "narrower ribs, fewer discs or thinner sheet; show the smallest as a plain disc instead "
        "of a frame; or cut from larger sheet.",
    )


def scale_groups(ranges: Sequence[ScaleRange]) -> tuple[tuple[ScaleRange, ...], ...]:
    """The fewest groups whose members share a scale, large bodies first.

    The ranges in order of their upper ends, each group taking all that its first one's upper end
    lies in: the greedy piercing of intervals, which is the least (any text on algorithms).
    """
    left = sorted(ranges, key=lambda r: (r.high, r.frame))
    groups = []
    while left:
        point = left[0].high
        groups.append(tuple(r for r in left if r.low <= point))
        left = [r for r in left if r.low > point]
    return tuple(reversed(groups))


def _short(denominator: float) -> str:
    return f"{denominator:,.4g}" if denominator < 1e4 else f"{denominator:.4g}"
