"""`framekit build SPEC`: write the cut files."""

from __future__ import annotations

import argparse
import glob
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from framekit.files.cautions import cautions
from framekit.files.document import ResultDocument, result_document
from framekit.files.model import Files
from framekit.files.naming import safe_name
from framekit.pipeline import STANDARD_BACKENDS, Progress, build, spec_for
from framekit.sheets.totals import StockTotal, stock_totals, whole_cost
from framekit.solution.build import solve
from framekit.solution.model import Solution


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    parser.add_argument(
        "-o", "--out", metavar="FOLDER", help="where the files go; default: beside the spec"
    )
    parser.add_argument(
        "--backend",
        action="append",
        metavar="NAME",
        help=f"a kind of file to write, again for more; default: {' and '.join(STANDARD_BACKENDS)}",
    )
    parser.add_argument("--nester", default="quick", metavar="NAME", help="default: quick")
    parser.add_argument(
        "--nest-again", action="store_true", help="look for a better layout than the kept one"
    )
    parser.add_argument(
        "--despite-failures", action="store_true", help="write files though a check failed"
    )
    parser.add_argument("--batch", metavar="NAME", help="cut for a pile of sheets in the spec")
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Write the files and say what lies where; 1 when a check failed, else 0."""
    if options.json and not options.despite_failures:
        failing = solve(spec_for(options.spec, options.batch))
        if failing.failed:
            print(_document(failing).model_dump_json())
            return 1
    with _Display(sys.stderr.isatty() and not options.json) as progress:
        files = build(
            options.spec,
            options.out,
            backends=options.backend or STANDARD_BACKENDS,
            nester=options.nester,
            nest_again=options.nest_again,
            despite_failures=options.despite_failures,
            progress=progress,
            batch=options.batch,
        )
    solution = files.sheets.parts.solution
    if options.json:
        print(_document(solution, files).model_dump_json())
    else:
        _print(files)
    return 1 if solution.failed else 0


def _document(solution: Solution, files: Files | None = None) -> ResultDocument:
    """The result document of a build, or of a spec that fails its checks before one."""
    if files is None:
        return result_document(solution)
    return result_document(solution, files.sheets.parts, files.sheets, files.files)


def _print(files: Files) -> None:
    sheets = files.sheets
    frame = sheets.parts.solution.frames[0]
    for sheet in sheets.sheets:
        count = len(sheet.placements)
        used = sum(p.part.outline.area for p in sheet.placements)
        share = used / (sheet.used_length * sheet.used_width)
        print(
            f"{sheet.id}: {sheet.stock}, {count} {'part' if count == 1 else 'parts'} on "
            f"{sheet.used_length:.1f} × {sheet.used_width:.1f} mm of {sheet.width:.0f} × "
            f"{sheet.height:.0f} mm, {share:.0%} of that filled, {sheet.cut_length / 1000:.2f} m "
            f"of cut, about {sheet.seconds / 60:.0f} min"
        )
    for line in stock_lines(stock_totals(sheets.sheets)):
        print(line)
    print(f"layout: {sheets.why}; nester {sheets.nester}")
    for file in files.files:
        print(f"wrote {file.path}")
    for path in _left_over(files):
        print(f"left over from an earlier build, no longer part of this one: {path}")
    for check in frame.undecided:
        print(
            f"Watch: {check.code} of {check.about} holds as drawn by {check.margin:.2f} mm, but "
            f"over the tolerances goes down to {check.low:+.2f} mm ({check.limited_by})."
        )
    if sheets.parts.solution.failed:
        print("Written although a check failed: these parts may not fit or hold.")
    print()
    for sentence in cautions(frame.spec.cutter.process):
        print(sentence)


def stock_lines(totals: Sequence[StockTotal]) -> list[str]:
    """What the sheets of each stock cost, and their time where there are several stocks.

    No line for one stock whose price is not known.
    """
    lines = []
    for total in totals:
        text = f"{total.sheets} {'sheet' if total.sheets == 1 else 'sheets'} of {total.stock}"
        if total.price is not None and total.cost is not None:
            text += (
                f" at {total.price[0]:.2f} {total.price[1]}: {total.cost[0]:.2f} {total.cost[1]}"
            )
        if len(totals) > 1:
            text += f", about {total.seconds / 60:.0f} min"
        if len(totals) > 1 or total.price is not None:
            lines.append(text)
    cost = whole_cost(totals)
    if len(totals) > 1 and cost is not None:
        lines.append(f"all sheets: {cost[0]:.2f} {cost[1]}")
    return lines


def _left_over(files: Files) -> list[Path]:
    """Sheets of this spec in the folder that an earlier build wrote and this one did not."""
    written = {file.path for file in files.files}
    name = safe_name(files.sheets.parts.solution.spec.id)
    found: set[Path] = set()
    for file in files.files:
        if file.backend != "layout":
            found |= set(file.path.parent.glob(f"{glob.escape(name)}-sheet-*{file.path.suffix}"))
    return sorted(found - written)


class _Display:
    """Shows progress on a terminal once a build takes over a second."""

    def __init__(self, wanted: bool) -> None:
        self.wanted = wanted
        self.started = time.monotonic()
        self.bar: Any = None
        self.task: Any = None

    def __enter__(self) -> Progress | None:
        """The callback to hand to the build, None where nothing is shown."""
        return self.show if self.wanted else None

    def show(self, what: str, share: float | None) -> None:
        """Draw the bar, at first only after a second."""
        if self.bar is None:
            if time.monotonic() - self.started < 1.0:
                return
            # rich takes 60 ms to import, so only a slow build pays for it.
            from rich.console import Console
            from rich.progress import Progress as Bar

            self.bar = Bar(console=Console(stderr=True), transient=True)
            self.bar.start()
            self.task = self.bar.add_task(what, total=1.0)
        self.bar.update(self.task, description=what, completed=share or 0.0)

    def __exit__(self, *_: object) -> None:
        """Take the bar away."""
        if self.bar is not None:
            self.bar.stop()
