"""`framekit schema spec|result`: the JSON Schema of what goes in or comes out."""

from __future__ import annotations

import argparse
import json

from framekit.files.document import ResultDocument
from framekit.spec.sections import FrameDocument


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("what", choices=("spec", "result"), help="the spec or the result document")
    parser.add_argument("--json", action="store_true", help="the same: a schema is JSON already")


def run(options: argparse.Namespace) -> int:
    """Print the schema; 0."""
    model = FrameDocument if options.what == "spec" else ResultDocument
    print(json.dumps(model.model_json_schema(), indent=2, ensure_ascii=False))
    return 0
