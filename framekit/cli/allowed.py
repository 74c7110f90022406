"""`framekit allowed SPEC INPUT`: the range of an input that keeps every check passing."""

from __future__ import annotations

import argparse

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.build import solve_spec
from framekit.analysis.model import AllowedRange, Limit
from framekit.cli.choosing import add_frame_option, frame_number
from framekit.cli.report import inward
from framekit.files.document import result_document
from framekit.spec.build import load_spec
from framekit.spec.measure import LENGTH_UNITS


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    parser.add_argument("input", help="its name, such as sheet.thickness or rib.width_equator")
    parser.add_argument(
        "--others",
        choices=("nominal", "anywhere"),
        default="nominal",
        help="where the other real values are: as written, or anywhere in their tolerances",
    )
    add_frame_option(parser)
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Print the range; 1 when no value keeps every check passing, else 0."""
    solution = solve_spec(load_spec(options.spec))
    number = frame_number(solution, options.frame)
    found = allowed_range(solution.frames[number], options.input, options.others)
    if options.json:
        print(result_document(solution, allowed=(found,), of_frame=number).model_dump_json())
        return 0 if isinstance(found, AllowedRange) else 1
    size = LENGTH_UNITS.get(found.unit, 1.0)
    unit = {"1": "", "deg": "°"}.get(found.unit, f" {found.unit}")
    if not isinstance(found, AllowedRange):
        print(f"No {found.name} was found at which every check passes.")
        for limit in found.failing:
            print(f"  at {found.nominal / size:.6g}{unit} fails {limit_text(limit)}")
        return 1
    low, high = inward(found.low / size, found.high / size)
    kept = "the file stays as drawn" if found.as_made else "the frame is drawn anew"
    print(f"{found.name}: {low} to {high}{unit} ({kept}; others {found.others})")
    print(f"  below: {limit_text(found.low_limit)}")
    print(f"  above: {limit_text(found.high_limit)}")
    for limit in found.failing:
        print(f"  {found.nominal / size:.6g}{unit}, as written, fails {limit_text(limit)}")
    return 0


def limit_text(limit: Limit | None) -> str:
    """What ends a range, in words."""
    if limit is None:
        return "no end was found"
    if limit.kind == "check":
        return f"{limit.code} of {limit.about}: {limit.words}"
    return limit.words
