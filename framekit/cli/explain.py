"""`framekit explain SPEC QUANTITY`: how a number follows from the spec."""

from __future__ import annotations

import argparse

from framekit.solution.build import solve
from framekit.solution.derivation import derivation_text, derive
from framekit.spec.build import load_spec


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("spec", help="the spec, a YAML file")
    parser.add_argument("quantity", help="its name, such as disc-1.radius")
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Print the derivation; 0."""
    solution = solve(load_spec(options.spec))
    steps = derive(solution.frames[0], options.quantity)
    if options.json:
        from framekit.files.document import result_document

        print(result_document(solution).model_dump_json())
        return 0
    print(derivation_text(steps))
    return 0
