"""`framekit build SPEC`: write the cut files."""

from __future__ import annotations

import argparse
import glob
import math
from pathlib import Path

from framekit.cli.build_report import sheets_lines
from framekit.cli.output_options import add_output_options
from framekit.cli.progress import ProgressBar
from framekit.cli.verdict import remark_lines, verdict_line
from framekit.errors import BuildError, SolveError, StockError
from framekit.files.cautions import cautions
from framekit.files.document import ResultDocument, result_document
from framekit.files.model import Files
from framekit.files.naming import safe_name
from framekit.pipeline import STANDARD_BACKENDS, build, made_of, solve_file
from framekit.sheets.model import Sheets
from framekit.solution.model import Attempt, Solution


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    add_output_options(parser)
    parser.add_argument("--nester", default="quick", metavar="NAME", help="default: quick")
    parser.add_argument(
        "--seconds",
        type=_seconds,
        metavar="S",
        help="how long a nester that searches by the clock, such as tight, may take for a stock; "
        "Ctrl-C ends the search and keeps its best layout",
    )
    parser.add_argument(
        "--nest-again", action="store_true", help="look for a better layout than the kept one"
    )
    parser.add_argument(
        "--despite-failures", action="store_true", help="write files though a check failed"
    )
    parser.add_argument("--batch", metavar="NAME", help="cut for a pile of sheets in the spec")
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def _seconds(word: str) -> float:
    """A number of seconds, finite and not negative; raises ArgumentTypeError."""
    try:
        value = float(word)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or value < 0:
        raise argparse.ArgumentTypeError(f"'{word}' is no number of seconds")
    return value


def run(options: argparse.Namespace) -> int:
    """Write the files and say what lies where; 1 when a check failed, else 0.

    Where the sheets at hand run out, what could be laid is printed and nothing written, unless
    failures do not count; the exit code is 2. Where some frames of a set cannot be built, the rest
    is planned and printed, and nothing written.
    """
    solved = None
    if options.json and not options.despite_failures:
        solved = solve_file(options.spec, options.batch)
        checked, _ = made_of(solved.whole())
        if checked.failed:
            print(_document(checked).model_dump_json())
            return 1
    seen: list[Sheets] = []
    try:
        files = _built(options, seen, solved)
    except (StockError, BuildError, SolveError):
        for sheets in seen:
            print(_planned(sheets, options.json))
        raise
    solution = files.sheets.parts.solution
    if options.json:
        print(_document(solution, files).model_dump_json())
    else:
        _print(files)
    if solution.failed:
        return 1
    return StockError.exit_code if files.sheets.short else 0


def _built(options: argparse.Namespace, seen: list[Sheets], solved: Attempt | None) -> Files:
    """The files of a build; the sheets as planned come to `seen` before anything is written."""
    with ProgressBar(not options.json) as progress:
        return build(
            options.spec,
            options.out,
            backends=options.backend or STANDARD_BACKENDS,
            nester=options.nester,
            nest_again=options.nest_again,
            seconds=options.seconds,
            despite_failures=options.despite_failures,
            progress=progress,
            batch=options.batch,
            planned=seen.append,
            solved=solved,
        )


def _planned(sheets: Sheets, as_json: bool) -> str:
    """What could be laid on the sheets at hand, where they run out and nothing is written."""
    if as_json:
        parts = sheets.parts
        return result_document(parts.solution, parts, sheets).model_dump_json()
    planned = [frame.solution.spec.id for frame in sheets.parts.frames]
    wanted = [frame.id for frame in sheets.parts.solution.spec.frames]
    without = ", ".join(name for name in wanted if name not in planned)
    laid = ", ".join(planned)
    head = [f"Planned {laid}, without {without}, which cannot be built yet:"] if without else []
    return "\n".join([*head, *sheets_lines(sheets), "Nothing is written."])


def _document(solution: Solution, files: Files | None = None) -> ResultDocument:
    """The result document of a build, or of a spec that fails its checks before one."""
    if files is None:
        return result_document(solution)
    return result_document(solution, files.sheets.parts, files.sheets, files.files)


def _print(files: Files) -> None:
    sheets = files.sheets
    frames = sheets.parts.solution.frames
    several = len(frames) > 1
    print("\n".join(sheets_lines(sheets)))
    print(f"layout: {sheets.why}; nester {sheets.nester}")
    for file in files.files:
        print(f"wrote {file.path}")
    for path in _left_over(files):
        print(f"left over from an earlier build, no longer part of this one: {path}")
    for frame in frames:
        who = f"{frame.spec.id}, " if several else ""
        for check in frame.undecided:
            print(
                f"Watch: {who}{check.code} of {check.about} holds as drawn by {check.margin:.2f} "
                f"mm, but over the tolerances goes down to {check.low:+.2f} mm "
                f"({check.limited_by})."
            )
    for line in remark_lines(sheets.parts):
        print(line)
    if sheets.parts.solution.failed:
        print("Written although a check failed: these parts may not fit or hold.")
    for short in sheets.short:
        print(f"Written although {short.text}.")
    print()
    cutter = frames[0].spec.cutter
    for sentence in cautions(cutter.process, cutter.bridges is not None):
        print(sentence)
    if not sheets.parts.solution.failed:
        print(verdict_line(sheets.parts.solution, sheets.parts))


def _left_over(files: Files) -> list[Path]:
    """Sheets of this spec in the folder that an earlier build wrote and this one did not."""
    written = {file.path for file in files.files}
    name = safe_name(files.sheets.parts.solution.spec.id)
    found: set[Path] = set()
    for file in files.files:
        if file.backend != "layout":
            found |= set(file.path.parent.glob(f"{glob.escape(name)}-sheet-*{file.path.suffix}"))
    return sorted(found - written)
