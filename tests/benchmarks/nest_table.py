"""One table of nesters on instances: length, sheets, seconds, memory, ratio to what is to reach.

    python tests/benchmarks/nest_table.py FILE... [--seconds 30] [--to-reach 162 348 3/300]

Every figure comes from a process of its own, one at a time. `spyrrow alone` gets the outlines as
they are on an endless strip, so it fills no bores and knows no sheets. Memory is the process's
peak, and that of the search's process with it. `--to-reach` has a length in mm or sheets/length
for each file; the ratio compares lengths of all sheets together. Layouts are judged as in
nest_instance.py.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from framekit.sheets.nest.quick.nester import QuickNester
from framekit.sheets.nest.tight.nester import TightNester
from framekit.sheets.protocol import NestJob, NestResult, Place

sys.path.insert(0, str(Path(__file__).parents[1]))
from benchmarks.nest_instance import faults_of, moved, read_job

WAYS = ("quick", "tight", "spyrrow alone")
HAIR = 0.003
"""Spacing in mm added for spyrrow, which counts in single precision."""


def strip_alone(job: NestJob, seconds: int) -> NestResult:
    """What spyrrow finds on an endless strip when it gets the job's outlines as they are."""
    import spyrrow

    gap = job.spacing + HAIR
    items = [
        spyrrow.Item(str(number), list(item.outer), item.copies, None)
        for number, item in enumerate(job.items)
    ]
    height = job.height - 2 * job.margin + 2 * gap
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=gap,
        total_computation_time=seconds,
        seed=1,
    )
    found = spyrrow.StripPackingInstance("alone", height, items).solve(config)
    copies: dict[int, int] = {}
    places = []
    shift = job.margin - gap
    for part in found.placed_items:
        number = int(part.id)
        copy = copies.get(number, 0)
        copies[number] = copy + 1
        x, y = part.translation
        places.append(Place(number, copy, x + shift, y + shift, part.rotation))
    return NestResult((tuple(places),))


def measured(path: Path, way: str, seconds: int) -> dict[str, Any]:
    """The figures of one run in this process."""
    data = json.loads(path.read_text(encoding="utf-8"))
    job = read_job(data)
    start = time.perf_counter()
    if way == "quick":
        result = QuickNester().nest(job)
    elif way == "tight":
        result = TightNester().nest(replace(job, seconds=float(seconds)))
    else:
        result = strip_alone(job, seconds)
        data["sheet"] = [1e6, job.height]
    spent = time.perf_counter() - start
    peak = sum(
        resource.getrusage(who).ru_maxrss / 1024
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    used = [
        job.margin
        + max(
            x for p in sheet for x, _ in moved(data["parts"][p.item]["outer"], p.rotation, p.x, p.y)
        )
        for sheet in result.sheets
    ]
    return {
        "sheets": len(used),
        "last": min(used),
        "width": job.width,
        "seconds": spent,
        "peak": peak,
        "faults": faults_of(data, result),
    }


def whole_length(sheets: int, last: float, width: float) -> float:
    """The length in mm of all sheets, the last one cut off where its parts end."""
    return (sheets - 1) * width + last


def row(path: Path, way: str, seconds: int, goal: str | None) -> str:
    """A line of the table, measured in a process of its own."""
    command = [sys.executable, __file__, str(path), "--way", way, "--seconds", str(seconds)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    figures = json.loads(done.stdout)
    ratio = ""
    if goal is not None:
        count, _, length = goal.rpartition("/")
        reach = whole_length(int(count or 1), float(length), figures["width"])
        whole = whole_length(figures["sheets"], figures["last"], figures["width"])
        ratio = f"{whole / reach:.3f}"
    verdict = "legal" if not figures["faults"] else "ILLEGAL: " + figures["faults"][0]
    return (
        f"| {path.stem} | {way} | {figures['sheets']} | {figures['last']:.1f} | "
        f"{figures['seconds']:.1f} | {figures['peak']:.0f} | {ratio} | {verdict} |"
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="A table of nesters on instances.")
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--seconds", type=int, default=30)
    parser.add_argument("--to-reach", nargs="*", default=[], metavar="LENGTH")
    parser.add_argument("--way", choices=WAYS, help="measure this alone and print JSON")
    options = parser.parse_args()
    if options.way:
        print(json.dumps(measured(options.files[0], options.way, options.seconds)))
        return
    print("| instance | nester | sheets | last, mm | s | MiB | to reach | verdict |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for number, path in enumerate(options.files):
        goal = options.to_reach[number] if number < len(options.to_reach) else None
        for way in WAYS:
            print(row(path, way, options.seconds, goal), flush=True)


if __name__ == "__main__":
    main()
