"""The sizes that a body's or a joint's plug-in asks for, against those that the spec gives."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

from framekit.errors import Fault, SolveError
from framekit.spec.model import FrameSpec


def check_sizes(
    frame: FrameSpec, section: Literal["body", "joint"], subject: str, asked: Collection[str]
) -> None:
    """Raise SolveError where the section's `sizes` are not those asked for.

    `subject` says in a message what asks for them, such as "the shape 'lantern'".
    """
    given = (frame.body if section == "body" else frame.joint).sizes or {}
    wrong = sorted(set(given) ^ set(asked))
    if wrong:
        what = "lacks" if wrong[0] in asked else "does not take"
        raise SolveError(
            Fault(
                f"{section}-sizes",
                f"{subject} {what} the size '{wrong[0]}'",
                frame.where(section, "sizes"),
                f"Its sizes are: {', '.join(asked) or 'none'}.",
            )
        )
