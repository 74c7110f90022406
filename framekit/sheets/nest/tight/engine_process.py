"""The program of the process in which spyrrow runs: a task comes in, layouts go out.

It is started by its path and imports nothing of framekit. The first line on standard input is
the task in JSON; while the input stays open it works, and when it closes it ends. Each feasible
layout shorter than those before goes out at once as a line of JSON: its length in mm and, for
each part, its shape's number, x, y in mm and turn in degrees. The last line says that it is done
or what went wrong.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from typing import Any, TextIO

LOOK = 0.05
"""Seconds between two looks at what the search has found."""


def main() -> None:
    """Work on the task that comes in."""
    # What the search itself prints must not mix with the layouts.
    out = os.fdopen(os.dup(1), "w", encoding="ascii")
    os.dup2(2, 1)
    task = json.loads(sys.stdin.readline())
    threading.Thread(target=_end_with_parent, daemon=True).start()
    faults: list[str] = []
    threading.excepthook = lambda args: faults.append(
        f"{getattr(args.exc_type, '__name__', 'error')}: {args.exc_value}"
    )
    import spyrrow

    kinds = spyrrow.ReportType
    feasible = (kinds.ExplFeas, kinds.CmprFeas, kinds.Final)
    reports = spyrrow.ProgressQueue()
    search = threading.Thread(target=_solve, args=(spyrrow, task, reports), daemon=True)
    search.start()
    best = float("inf")
    working = True
    while working:
        search.join(LOOK)
        working = search.is_alive()
        for kind, layout in reports.drain():
            if kind in feasible and layout.width < best:
                best = layout.width
                _send(out, {"length": best, "parts": _parts(layout)})
    _send(out, {"failed": faults[0][:300]} if faults else {"done": True})
    out.flush()
    os._exit(0)  # threads of the search may still hold the process


def _end_with_parent() -> None:
    sys.stdin.read()
    os._exit(0)


def _solve(spyrrow: Any, task: dict[str, Any], reports: Any) -> None:
    items = [
        spyrrow.Item(
            str(kind["shape"]), [(x, y) for x, y in kind["outline"]], kind["copies"], kind["turns"]
        )
        for kind in task["kinds"]
    ]
    instance = spyrrow.StripPackingInstance("strip", task["height"], items)
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=task["spacing"] or None,
        total_computation_time=task["seconds"],
        seed=task["seed"],
    )
    instance.solve(config, reports)


def _parts(layout: Any) -> list[list[float]]:
    return [[int(p.id), *p.translation, p.rotation] for p in layout.placed_items]


def _send(out: TextIO, report: dict[str, Any]) -> None:
    out.write(json.dumps(report) + "\n")
    out.flush()


if __name__ == "__main__":
    main()
