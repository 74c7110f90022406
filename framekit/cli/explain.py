"""`framekit explain SPEC NAME…`: how numbers and margins come about; `--all`: a worksheet."""

from __future__ import annotations

import argparse
import json

from framekit.analysis.build import solve_spec
from framekit.cli.choosing import add_frame_option, frame_number
from framekit.errors import Fault, UnknownNameError, Where
from framekit.explain.lookup import find_named
from framekit.solution.model import FrameSolution, Solution
from framekit.spec.build import load_spec


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    parser.add_argument(
        "name",
        nargs="*",
        help="a quantity, such as disc-1.radius, or a check, such as 'ligament of disc-1' or, "
        "where only one has it, its code alone; 'framekit check SPEC --all' lists both",
    )
    parser.add_argument("--all", action="store_true", help="a worksheet with an answer key")
    parser.add_argument(
        "--format",
        choices=("text", "markdown", "json"),
        help="what to print it as; default text, and markdown for --all",
    )
    add_frame_option(parser)
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Print the derivation or the worksheet; 0. Raises UnknownNameError when no one name fits."""
    if options.all == bool(options.name):
        raise UnknownNameError(
            Fault(
                "no-quantity",
                "names and --all together" if options.all else "no quantity or check is named",
                Where(options.spec),
                "Give the names of quantities, such as disc-1.radius, or of checks, such as "
                "'ligament of disc-1' in quotes, or --all for a worksheet. 'framekit check SPEC "
                "--all' lists the names.",
            )
        )
    solution = solve_spec(load_spec(options.spec))
    frame = _frame_with(solution, frame_number(solution, options.frame), options.name)
    if options.json:
        from framekit.files.document import result_document

        _derivation(frame, options.name, "text")
        print(result_document(solution).model_dump_json())
    elif options.all:
        print(_worksheet(frame, options.format or "markdown"))
    else:
        print(_derivation(frame, options.name, options.format or "text"))
    return 0


def _frame_with(solution: Solution, number: int, names: list[str]) -> FrameSolution:
    """The frame; with the checks of its parts where a name is none of a solved frame's."""
    frame = solution.frames[number]
    try:
        for name in names:
            find_named(frame, name)
    except UnknownNameError:
        from framekit.pipeline import made_of  # few checks are of parts

        return made_of(solution)[0].frames[number]
    return frame


def _derivation(frame: FrameSolution, names: list[str], form: str) -> str:
    from framekit.explain.build import derive
    from framekit.explain.derivation_pages import derivation_markdown, derivation_text

    steps = derive(frame, *names)
    if form == "json":
        from framekit.explain.json_values import derivation_values

        return json.dumps(derivation_values(steps), ensure_ascii=False, indent=2)
    if form == "markdown":
        return derivation_markdown(steps)
    return derivation_text(steps)


def _worksheet(frame: FrameSolution, form: str) -> str:
    from framekit.explain.build import make_worksheet
    from framekit.explain.worksheet_pages import worksheet_markdown, worksheet_text

    sheet = make_worksheet(frame)
    if form == "json":
        from framekit.explain.json_values import worksheet_values

        return json.dumps(worksheet_values(sheet), ensure_ascii=False, indent=2)
    return worksheet_text(sheet) if form == "text" else worksheet_markdown(sheet)
