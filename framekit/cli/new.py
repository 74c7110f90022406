"""`framekit new BODY SIZE [FILE]`: write a commented starter spec."""

from __future__ import annotations

import argparse
from pathlib import Path

from framekit.analysis.build import solve_spec
from framekit.errors import Fault, Where, WriteError
from framekit.files.model import Document
from framekit.files.naming import is_plain_name
from framekit.files.write import write_files
from framekit.spec.build import parse_spec
from framekit.spec.starter import SHAPES, starter_spec


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument(
        "body", help=f"a body of the catalogue, such as saturn, or {' or '.join(SHAPES)}"
    )
    parser.add_argument("size", help="the model's equatorial diameter, such as '200 mm'")
    parser.add_argument("file", nargs="?", help="where to write it; default BODY.yaml")
    parser.add_argument("--json", action="store_true", help="print the result document instead")


def run(options: argparse.Namespace) -> int:
    """Write the spec; 0, or 1 when a check already fails.

    Raises WriteError when the file is there already or its name is no plain one.
    """
    text = starter_spec(options.body, options.size)
    path = Path(options.file or f"{options.body.lower()}.yaml")
    if path.exists():
        raise WriteError(
            Fault(
                "file-exists",
                "the file is there already and is not overwritten",
                Where(str(path)),
                "Name another file, or delete this one.",
            )
        )
    if not is_plain_name(path.name):
        raise WriteError(
            Fault(
                "file-name",
                "this is no plain file name with an ending",
                Where(str(path)),
                f"Write, for example, {options.body.lower()}.yaml.",
            )
        )
    solution = solve_spec(parse_spec(text, str(path)))
    write_files({"spec": (Document(path.name, text.encode()),)}, path.parent)
    if options.json:
        from framekit.files.document import result_document

        print(result_document(solution).model_dump_json())
    else:
        print(f"wrote {path}")
        print(f"next: framekit check {path}")
        for check in solution.failed:
            print(f"It will need changes: {check.code} of {check.about}. {check.text}")
    return 1 if solution.failed else 0
