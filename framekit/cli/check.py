"""`framekit check SPEC`: solve and verify, print a table."""

from __future__ import annotations

import argparse

from framekit.cli.report import inward
from framekit.pipeline import verify
from framekit.solution.allowed import AllowedRange, allowed_range
from framekit.solution.model import FrameSolution


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    parser.add_argument("--all", action="store_true", help="every quantity and every check")
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Print the solved frame; 1 when a check failed, else 0."""
    verified = verify(options.spec)
    if options.json:
        from framekit.files.document import result_document

        print(result_document(verified.solution, verified.parts).model_dump_json())
        return 1 if verified.solution.failed else 0
    from framekit.cli.report import frame_lines

    for frame in verified.solution.frames:
        print("\n".join(frame_lines(frame, options.all)))
        print("\n".join(["", *_sheet_lines(frame)]))
        if frame.spec.batches:
            from framekit.cli.batches import batch_lines  # few specs name piles

            print("\n".join(batch_lines(frame)))
    for report in verified.reports:
        print(
            "Solids: no overlap, in one piece, inside the skin, every rib slides in; rib edges "
            f"stand {report.proud:.2f} mm proud of the skin at most."
        )
        for remark in report.remarks:
            print(remark)
    for made in verified.parts.frames if verified.parts is not None else ():
        if options.all or made.shown is not None:
            from framekit.parts.handling import handling_of  # only where it is asked for

            print("\n".join(handling_of(made).sentences))
    failed = len(verified.solution.failed)
    undecided = sum(len(frame.undecided) for frame in verified.solution.frames)
    if failed:
        print(f"{failed} of the checks failed; nothing can be cut from this spec yet.")
        return 1
    if undecided:
        print(
            f"All checks pass as drawn; {undecided} of them not over the whole of the tolerances."
        )
    else:
        print("All checks pass over the whole of the tolerances.")
    return 0


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
