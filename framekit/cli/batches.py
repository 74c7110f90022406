"""Lines on the piles of sheets that a spec names."""

from __future__ import annotations

from framekit.calibration.batches import judge_batches
from framekit.solution.model import FrameSolution, Solution


def batch_lines(frame: FrameSolution) -> list[str]:
    """Each batch with its verdict, then the names of those the drawn file does not work with."""
    found = judge_batches(frame)
    file = frame.spec.where().file or "SPEC"
    lines = []
    for batch in found:
        count = "" if batch.count is None else f", {batch.count} sheets"
        lines.append(
            f"Batch {batch.name}{count}: {batch.verdict}, next sheet {batch.low:.3f} to "
            f"{batch.high:.3f} mm. {batch.text}"
        )
    bad = [batch.name for batch in found if batch.verdict == "fail"]
    if bad:
        lines.append(
            f"Not with this file: {', '.join(bad)}. Draw one for it: framekit build {file} "
            f'--batch "{bad[0]}"'
        )
    return lines


def set_batch_lines(solution: Solution) -> list[str]:
    """Each batch of a set with the frames it fails for or is undecided for, one line each."""
    verdicts: dict[str, dict[str, list[str]]] = {}
    for frame in solution.frames:
        for batch in judge_batches(frame):
            verdicts.setdefault(batch.name, {}).setdefault(batch.verdict, []).append(frame.spec.id)
    lines = []
    for name, found in verdicts.items():
        listed = "; ".join(
            f"{verdict} for {', '.join(found[verdict])}"
            for verdict in ("fail", "undecided", "pass")
            if verdict in found
        )
        lines.append(f"Batch {name}: {listed}.")
    bad = [name for name, found in verdicts.items() if "fail" in found]
    if bad:
        file = solution.spec.file or "SPEC"
        lines.append(
            f"Not with this file: {', '.join(bad)}. Draw one for it: framekit build {file} "
            f'--batch "{bad[0]}"'
        )
    return lines
