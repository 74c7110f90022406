"""Which frame of a set a command is about."""

from __future__ import annotations

import argparse
import difflib

from framekit.errors import Fault, UnknownNameError, Where
from framekit.solution.model import Solution

SHOWN = 60
"""Ids that one message lists."""


def add_frame_option(parser: argparse.ArgumentParser) -> None:
    """The word that names a frame of a set."""
    parser.add_argument("--frame", metavar="ID", help="which frame of a set")


def frame_number(solution: Solution, wanted: str | None) -> int:
    """The place of the frame with that id, 0 for a spec of one frame.

    Raises UnknownNameError that lists the ids where there is no such frame, or where a set's is
    not named.
    """
    ids = [frame.spec.id for frame in solution.frames]
    where = Where(solution.spec.file)
    listed = ", ".join(ids[:SHOWN]) + (" …" if len(ids) > SHOWN else "")
    if wanted is None:
        if len(ids) == 1:
            return 0
        raise UnknownNameError(
            Fault(
                "which-frame",
                f"this is a set of {len(ids)} frames",
                where,
                f"Say which with '--frame ID': {listed}.",
            )
        )
    if wanted in ids:
        return ids.index(wanted)
    close = difflib.get_close_matches(wanted, ids, n=2)
    near = f" Did you mean {' or '.join(close)}?" if close else ""
    raise UnknownNameError(
        Fault("unknown-frame", f"no frame has the id '{wanted}'", where, f"Known: {listed}.{near}")
    )
