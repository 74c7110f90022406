"""The options of commands that write files: where they go and which kinds."""

from __future__ import annotations

import argparse

from framekit.pipeline import STANDARD_BACKENDS


def add_output_options(parser: argparse.ArgumentParser) -> None:
    """Add `--out` and `--backend` to a command's words."""
    parser.add_argument(
        "-o", "--out", metavar="FOLDER", help="where the files go; default: beside the spec"
    )
    parser.add_argument(
        "--backend",
        action="append",
        metavar="NAME",
        help=f"a kind of file to write, again for more; default: {' and '.join(STANDARD_BACKENDS)}",
    )
