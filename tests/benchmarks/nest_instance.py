"""Run a nester on instance files and judge the layout with code of its own.

    python tests/benchmarks/nest_instance.py FILE... [--nester quick]

An instance is a JSON file with `parts` (name, outer, holes, copies), `sheet` [length, height],
`margin`, `spacing` and `objective`; lengths in mm. The length used is the rightmost point of any
part plus the margin. The verdict comes from integer polygon clipping (pyclipper), which the
nester does not use: every outline is grown by half the spacing and no two may then overlap.
"""

from __future__ import annotations

import argparse
import json
import math
import resource
import sys
import time
from pathlib import Path
from typing import Any

import pyclipper

from framekit.sheets.nest.quick.nester import QuickNester
from framekit.sheets.protocol import Nester, NestItem, NestJob, NestResult

UNITS = 10_000
"""Clipper's whole numbers in a mm."""
ALLOWED = 0.02
"""Overlap in mm² of two grown outlines put down to rounding and to the chords of grown corners."""

NESTERS: dict[str, Nester] = {"quick": QuickNester()}

Ring = list[tuple[float, float]]


def read_job(data: dict[str, Any]) -> NestJob:
    """The job in an instance's data."""
    items = tuple(
        NestItem(
            part["name"],
            tuple((x, y) for x, y in part["outer"]),
            tuple(tuple((x, y) for x, y in hole) for hole in part["holes"]),
            part["copies"],
        )
        for part in data["parts"]
    )
    sheets = "sheet" in data["objective"]
    return NestJob(
        items, *data["sheet"], data["margin"], data["spacing"], "sheets" if sheets else "length"
    )


def moved(ring: Ring, angle: float, x: float, y: float) -> Ring:
    """The ring turned by `angle` degrees ccw about the origin, then moved by x, y mm."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return [(c * px - s * py + x, s * px + c * py + y) for px, py in ring]


def rings_of(part: dict[str, Any], angle: float, x: float, y: float) -> list[Ring]:
    """The part's outline and holes where it was placed, mm."""
    return [moved(ring, angle, x, y) for ring in (part["outer"], *part["holes"])]


def ring_area(ring: Ring) -> float:
    """The ring's area in mm², never negative."""
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs)) / 2


def grown(rings: list[Ring], by: float) -> list[list[tuple[int, int]]]:
    """The part grown by `by` mm, in clipper's units."""
    offset = pyclipper.PyclipperOffset(2.0, 0.001 * UNITS)
    for number, ring in enumerate(rings):
        whole = [(round(x * UNITS), round(y * UNITS)) for x, y in ring]
        if pyclipper.Orientation(whole) != (number == 0):
            whole.reverse()
        offset.AddPath(whole, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    result: list[list[tuple[int, int]]] = offset.Execute(by * UNITS)
    return result


def faults_of(data: dict[str, Any], result: NestResult) -> list[str]:
    """What is wrong with the layout, in words; nothing for a legal one."""
    faults = []
    parts, margin = data["parts"], data["margin"]
    width, height = data["sheet"]
    seen = sorted((p.item, p.copy) for sheet in result.sheets for p in sheet)
    if seen != [(i, c) for i, part in enumerate(parts) for c in range(part["copies"])]:
        faults.append("copies are missing or doubled")
    for number, sheet in enumerate(result.sheets):
        shapes = []
        for p in sheet:
            rings = rings_of(parts[p.item], p.rotation, p.x, p.y)
            xs, ys = [x for x, _ in rings[0]], [y for _, y in rings[0]]
            box = min(xs), min(ys), max(xs), max(ys)
            room = min(box[0], box[1], width - box[2], height - box[3])
            if room < margin - 1e-6:
                faults.append(f"{parts[p.item]['name']} leaves sheet {number + 1}")
            shapes.append((parts[p.item]["name"], grown(rings, data["spacing"] / 2), box))
        for i, (name, one, a) in enumerate(shapes):
            for other, two, b in shapes[:i]:
                far = data["spacing"]
                if a[0] > b[2] + far or b[0] > a[2] + far or a[1] > b[3] + far or b[1] > a[3] + far:
                    continue
                clip = pyclipper.Pyclipper()
                clip.AddPaths(one, pyclipper.PT_SUBJECT, True)
                clip.AddPaths(two, pyclipper.PT_CLIP, True)
                common = clip.Execute(pyclipper.CT_INTERSECTION)
                area = sum(pyclipper.Area(path) for path in common) / UNITS**2
                if abs(area) > ALLOWED:
                    faults.append(f"{name} and {other} are too near on sheet {number + 1}")
    return faults


def report(path: Path, nester: Nester) -> bool:
    """Print a line on one instance; true when its layout is legal."""
    data = json.loads(path.read_text(encoding="utf-8"))
    job = read_job(data)
    start = time.perf_counter()
    result = nester.nest(job)
    seconds = time.perf_counter() - start
    used = []
    for sheet in result.sheets:
        ends = [
            x for p in sheet for x, _ in moved(data["parts"][p.item]["outer"], p.rotation, p.x, p.y)
        ]
        used.append(max(ends) + job.margin)
    area = sum(
        part["copies"] * (ring_area(part["outer"]) - sum(map(ring_area, part["holes"])))
        for part in data["parts"]
    )
    least = area / (job.height - 2 * job.margin) + 2 * job.margin
    whole = (job.width - 2 * job.margin) * (job.height - 2 * job.margin)
    density = area / (sum(used) * job.height)
    last = min(used)
    size = f"{last:.1f} mm" if len(used) == 1 else f"{len(used)} sheets, last {last:.1f} mm"
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    faults = faults_of(data, result)
    print(
        f"{path.stem}: {size}; {seconds:.2f} s; peak {peak:.0f} MiB; density {density:.3f}; "
        f"area bound {least:.1f} mm or {math.ceil(area / whole)} sheets; "
        f"{'legal' if not faults else 'ILLEGAL: ' + '; '.join(faults)}"
    )
    return not faults


def main() -> int:
    """Run every file that is named; 0 when all layouts are legal."""
    parser = argparse.ArgumentParser(description="Run a nester on instance files.")
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--nester", choices=sorted(NESTERS), default="quick")
    options = parser.parse_args()
    verdicts = [report(path, NESTERS[options.nester]) for path in options.files]
    return 0 if all(verdicts) else 1


if __name__ == "__main__":
    sys.exit(main())
