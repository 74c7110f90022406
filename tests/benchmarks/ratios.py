"""Speed as ratios in one run: `python tests/benchmarks/ratios.py [SPEC]`.

Prints the processor time of a whole `framekit check` over that of importing the libraries it
stands on, and the warm time of solving, building and testing a frame.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROUNDS = 9
DEMO = Path(__file__).parents[2] / "specs" / "harbour-buoy.yaml"


def processor_seconds(command: list[str]) -> tuple[float, float]:
    """The median processor and wall seconds of a command, over `ROUNDS` runs."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    used, wall = [], []
    for _ in range(ROUNDS):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        wall.append(time.perf_counter() - start)
        used.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(used), statistics.median(wall)


def warm_milliseconds(spec: Path) -> dict[str, float]:
    """The median milliseconds of each stage in one warm process."""
    from framekit import load_spec, make_parts, solve
    from framekit.pipeline import assembly_report

    times: dict[str, list[float]] = {"solve": [], "parts": [], "solids": [], "all": []}
    loaded = load_spec(spec)
    for _ in range(ROUNDS):
        marks = [time.perf_counter()]
        solution = solve(loaded)
        marks.append(time.perf_counter())
        parts = make_parts(solution)
        marks.append(time.perf_counter())
        assembly_report(parts.frames[0])
        marks.append(time.perf_counter())
        for name, start, end in zip(times, marks, marks[1:], strict=False):
            times[name].append(end - start)
        times["all"].append(marks[-1] - marks[0])
    return {name: 1000 * statistics.median(values) for name, values in times.items()}


def main() -> None:
    """Print the figures."""
    spec = Path(sys.argv[1]) if len(sys.argv) > 1 else DEMO
    base, base_wall = processor_seconds(
        [sys.executable, "-c", "import pydantic, shapely, manifold3d"]
    )
    check, check_wall = processor_seconds([sys.executable, "-m", "framekit", "check", str(spec)])
    print(f"imports alone   {1000 * base:6.0f} ms processor, {1000 * base_wall:6.0f} ms wall")
    print(f"framekit check  {1000 * check:6.0f} ms processor, {1000 * check_wall:6.0f} ms wall")
    print(f"ratio           {check / base:6.2f}    processor, {check_wall / base_wall:6.2f} wall")
    for name, milliseconds in warm_milliseconds(spec).items():
        print(f"warm {name:10} {milliseconds:6.1f} ms")


if __name__ == "__main__":
    main()
