"""`framekit schema spec|result`: the JSON Schema of what goes in or comes out."""

from __future__ import annotations

import argparse
import json
from typing import Any

from pydantic import TypeAdapter

from framekit.files.document import ResultDocument
from framekit.spec.sections import FrameDocument
from framekit.spec.set_sections import SetDocument


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The command's words."""
    parser.add_argument("what", choices=("spec", "result"), help="the spec or the result document")
    parser.add_argument("--json", action="store_true", help="the same: a schema is JSON already")


def run(options: argparse.Namespace) -> int:
    """Print the schema; 0."""
    model: TypeAdapter[Any] = TypeAdapter(
        FrameDocument | SetDocument if options.what == "spec" else ResultDocument
    )
    print(json.dumps(model.json_schema(), indent=2, ensure_ascii=False))
    return 0
