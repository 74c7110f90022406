"""What a name means: a quantity, or a check by its code and what it is about."""

from __future__ import annotations

import difflib

from framekit.errors import Fault, UnknownNameError, Where
from framekit.solution.model import Check, FrameSolution, Quantity

MOST_NAMED = 8
"""Names of checks that a message lists."""


def find_named(frame: FrameSolution, name: str) -> Quantity | Check:
    """Return what a name such as `disc-1.radius`, `ligament of disc-1` or `slot-gap` means.

    A bare code stands for a check where only one has it. Raises UnknownNameError with near misses
    among quantities and checks.
    """
    if name in frame.quantities:
        return frame.quantities[name]
    wanted = " ".join(name.split())
    checks = {check.name: check for check in frame.checks}
    if wanted in checks:
        return checks[wanted]
    same = [check for check in frame.checks if check.code == wanted]
    if len(same) == 1:
        return same[0]
    raise UnknownNameError(_several(frame, same) if same else _unknown(frame, wanted, list(checks)))


def _several(frame: FrameSolution, checks: list[Check]) -> Fault:
    names = [f"'{check.name}'" for check in checks[:MOST_NAMED]]
    more = ", …" if len(checks) > MOST_NAMED else ""
    return Fault(
        "unknown-check",
        f"{len(checks)} checks of this frame have the code '{checks[0].code}'",
        Where(frame.spec.where().file),
        f"Ask for one of them: {', '.join(names)}{more}.",
    )


def _unknown(frame: FrameSolution, name: str, checks: list[str]) -> Fault:
    known = [*frame.quantities, *checks, *dict.fromkeys(check.code for check in frame.checks)]
    close = difflib.get_close_matches(name, known, n=4, cutoff=0.4)
    near = ", ".join(f"'{other}'" if " " in other else other for other in close)
    return Fault(
        "unknown-quantity",
        f"this frame has no quantity or check '{name}'",
        Where(frame.spec.where().file),
        f"Near: {near}."
        if close
        else "See 'framekit check SPEC --all' for the names; a check's is "
        f"its code, 'of' and what it is about, such as '{checks[0]}'.",
    )
