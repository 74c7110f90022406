"""Piles of sheets that were measured: which of them the drawn file works with, and specs for each.

The drawn file works with sheets in one range of thickness, the allowed range; a pile is judged by
its readings and by what its next sheet may be.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import replace

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange, Limit, NoRange
from framekit.calibration.build import measured_thickness
from framekit.calibration.model import BatchVerdict, Estimate
from framekit.errors import Fault, UnknownNameError
from framekit.solution.model import FrameSolution, Verdict
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec, Spec
from framekit.spec.sections import Batch


def judge_batches(frame: FrameSolution) -> tuple[BatchVerdict, ...]:
    """The verdict on each batch of a frame's sheets, in the order of the spec.

    Raises SolveError as `allowed_range` does.
    """
    if not frame.spec.batches:
        return ()
    found = allowed_range(frame, "sheet.thickness")
    return tuple(_batch_verdict(frame, batch, found) for batch in frame.spec.batches)


def for_batch(spec: Spec, name: str) -> Spec:
    """The spec with a batch's thickness and tolerance in place of its own, named after both.

    Every frame that has the batch is changed. Raises UnknownNameError when none has it.
    """
    frames = tuple(_for_batch(frame, name) for frame in spec.frames)
    if all(new is old for new, old in zip(frames, spec.frames, strict=True)):
        known = dict.fromkeys(batch.name for frame in spec.frames for batch in frame.batches)
        close = difflib.get_close_matches(name, known, n=2)
        near = f" Did you mean {' or '.join(repr(c) for c in close)}?" if close else ""
        raise UnknownNameError(
            Fault(
                "unknown-batch",
                f"the spec has no batch named '{name[:40]}'",
                spec.frames[0].where("batches"),
                f"Its batches: {', '.join(known) or 'none'}.{near}",
            )
        )
    return replace(
        spec, id=f"{spec.id}-{plain_name(name)}", title=f"{spec.title}, {name}", frames=frames
    )


def plain_name(name: str) -> str:
    """A batch's name as files carry it.

    >>> plain_name("blue pile")
    'blue-pile'
    """
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")


def thickness_of(frame: FrameSpec, batch: Batch) -> Estimate:
    """Return the thickness of a batch's sheets; few readings leave the tolerance to the spec."""
    return measured_thickness([r.value for r in batch.thickness], frame.sheet.thickness)


def _for_batch(frame: FrameSpec, name: str) -> FrameSpec:
    for number, batch in enumerate(frame.batches):
        if batch.name == name:
            found = thickness_of(frame, batch)
            value, tolerance = found.written
            measure = Measure(value, tolerance, found.spread, "mm")
            place = frame.where("batches", number, "thickness")
            return replace(
                frame,
                sheet=frame.sheet.model_copy(update={"thickness": measure}),
                places={**frame.places, ("sheet", "thickness"): place},
            )
    return frame


def _batch_verdict(
    frame: FrameSolution, batch: Batch, allowed: AllowedRange | NoRange
) -> BatchVerdict:
    found = thickness_of(frame.spec, batch)
    value, tolerance = found.written
    low, high = value - tolerance, value + tolerance
    verdict, text = _verdict([reading.value for reading in batch.thickness], (low, high), allowed)
    return BatchVerdict(batch.name, batch.count, found, low, high, verdict, text)


def _verdict(
    readings: list[float], reach: tuple[float, float], allowed: AllowedRange | NoRange
) -> tuple[Verdict, str]:
    if isinstance(allowed, NoRange):
        return "fail", "The drawn file works with no sheet as it is."
    worst = max(readings, key=lambda t: _beyond(allowed, t, t)[0])
    off, side, limit = _beyond(allowed, worst, worst)
    if off > 0:
        return "fail", f"A sheet of {worst:.2f} mm is {_mm(off)} mm too {side}: {limit}."
    off, side, limit = _beyond(allowed, *reach)
    if off > 0:
        side = "thinner" if side == "thin" else "thicker"
        return (
            "undecided",
            f"All readings are in the range, but a sheet of the pile may be {_mm(off)} mm {side} "
            f"than it: {limit}.",
        )
    return "pass", "The drawn file works with it."


def _beyond(allowed: AllowedRange, low: float, high: float) -> tuple[float, str, Limit | None]:
    """Return how far in mm sheets reach out of the range, where farthest, and what limits there."""
    return max(
        (allowed.low - low, "thin", allowed.low_limit),
        (high - allowed.high, "thick", allowed.high_limit),
        key=lambda side: side[0],
    )


def _mm(value: float) -> str:
    return f"{math.ceil(value * 1000 - 1e-6) / 1000:.3f}"
