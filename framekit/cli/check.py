"""`framekit check SPEC`: solve and verify, print a table."""

from __future__ import annotations

import argparse

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange
from framekit.cli.progress import ProgressBar
from framekit.cli.report import inward
from framekit.cli.verdict import remark_lines, verdict_line
from framekit.errors import SolveError
from framekit.pipeline import Verified, solve_file, verify
from framekit.solution.model import FrameSolution, Solution


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    parser.add_argument("--all", action="store_true", help="every quantity and every check")
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Print the solved frames; 1 when a check failed, 2 when the sheets cannot do, else 0.

    Raises SolveError where a frame has no solution, once the rest of a set is printed.
    """
    with ProgressBar(not options.json) as progress:
        solved = solve_file(options.spec, progress=progress)
        verified = None if solved.faults else verify(solved.solution, progress)
    if verified is None:
        if not options.json:
            _print_solved(solved.solution)
        raise SolveError(*solved.faults)
    if options.json:
        from framekit.files.document import result_document

        print(result_document(verified.solution, verified.parts).model_dump_json())
        return 1 if verified.solution.failed else 0
    if verified.solution.spec.plan is not None:
        return _print_set(verified, options.all)
    _print_frames(verified, options.all)
    return _conclude(verified)


def _print_solved(rest: Solution) -> None:
    """Print the table of those frames of a set that have a solution, where others have none."""
    if not rest.frames:
        return
    from framekit.cli.set_report import set_lines  # few specs are sets

    found = {frame.spec.id for frame in rest.frames}
    without = ", ".join(frame.id for frame in rest.spec.frames if frame.id not in found)
    print("\n".join([*set_lines(rest, None), "", f"Not in the table: {without}.", ""]))


def _print_frames(verified: Verified, every: bool) -> None:
    from framekit.cli.report import frame_lines

    for frame in verified.solution.frames:
        print("\n".join(frame_lines(frame, every)))
        print("\n".join(["", *_sheet_lines(frame)]))
        if frame.spec.batches:
            from framekit.cli.batches import batch_lines  # few specs name piles

            print("\n".join(batch_lines(frame)))
    for report in verified.reports:
        print(
            "Solids: no overlap, in one piece, inside the skin, every rib slides in; rib edges "
            f"stand {report.protrusion:.2f} mm proud of the skin at most."
        )
    if verified.parts is not None:
        for line in remark_lines(verified.parts):
            print(line)
    for made in verified.parts.frames if verified.parts is not None else ():
        if every or made.display is not None:
            # Only where it is asked for.
            from framekit.parts.display.properties import properties_of

            print("\n".join(properties_of(made).sentences))


def _print_set(verified: Verified, every: bool) -> int:
    """Print the table of a set; with `every`, each frame's own tables too."""
    from framekit.cli.set_report import range_lines, set_lines  # few specs are sets

    print("\n".join(set_lines(verified.solution, verified.parts)))
    print()
    if every:
        if verified.solution.scale is not None:
            print("\n".join([*range_lines(verified.solution.scale), ""]))
        _print_frames(verified, every)
        return _conclude(verified)
    if any(frame.spec.batches for frame in verified.solution.frames):
        from framekit.cli.batches import set_batch_lines  # few specs name piles

        print("\n".join(set_batch_lines(verified.solution)))
    if verified.parts is not None:
        print(
            f"Solids of all {len(verified.reports)} frames: no overlap, in one piece, inside the "
            "skin, every rib slides in; rib edges\nstand "
            f"{max(r.protrusion for r in verified.reports):.2f} mm proud of the skin at most."
        )
        for line in remark_lines(verified.parts):
            print(line)
    return _conclude(verified)


def _conclude(verified: Verified) -> int:
    """Say what the checks come to, and the sheets at hand; the exit code."""
    short = False
    if verified.parts is not None and verified.solution.spec.supply is not None:
        from framekit.cli.set_report import supply_lines

        lines, short = supply_lines(verified.parts)
        print("\n".join(lines))
    print(verdict_line(verified.solution, verified.parts))
    if verified.solution.failed:
        return 1
    return 2 if short else 0


def _sheet_lines(frame: FrameSolution) -> list[str]:
    """The go and no-go limits for a caliper: sheets that the drawn file works with."""
    lines = []
    two = frame.spec.disc_sheet is not None
    for name, sheets in (
        ("sheet.thickness", "Sheets" if not two else "Sheets of the ribs"),
        ("disc_sheet.thickness", "Sheets of the discs"),
    ):
        if name not in frame.quantities:
            continue
        found = allowed_range(frame, name)
        if isinstance(found, AllowedRange):
            low, high = inward(found.low, found.high)
            of = "of" if not two else "from"
            lines.append(
                f"{sheets} {of} {low} to {high} mm work with this file; thinner: "
                f"{found.low_limit}; thicker: {found.high_limit}."
            )
    return lines
