"""The sentence of a check, filled in with the numbers it speaks of; failed checks as faults."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from framekit.errors import Fault
from framekit.solution.model import FrameSolution, Solution
from framekit.solution.relations import Renaming, renamed

_PLACE = re.compile(r"\{([a-z0-9_.+*/-]+)(?::(\.[0-9]f|g))?\}")
_TERM = re.compile(r"([+-]?)(?:([0-9]+)\*)?([a-z_]+\.[a-z_]+)(?:/([0-9]+))?")


def filled(
    sentence: str,
    words: Mapping[str, str],
    plates: Mapping[str, str],
    values: Mapping[str, float],
    meant: Renaming = (),
) -> str:
    """Return a sentence with its places filled in.

    A place is one of the `words`, or a sum of quantities such as `{2*disc.radius:.1f}` or
    `{next.height-disc.height:.1f}` with a format, `.2f` unless given. `plates` say which disc or
    flange a name is of, and `meant` what it means in the frame, as in the check's law; lengths in
    mm.

    >>> filled("{disc} is {2*disc.radius:.1f} wide", {"disc": "disc-3"}, {"disc": "disc-3"},
    ...        {"disc-3.radius": 4.0})
    'disc-3 is 8.0 wide'
    """

    def value(name: str) -> float:
        kind, _, rest = name.partition(".")
        return values[f"{plates[kind]}.{rest}" if kind in plates else renamed(meant, name)]

    def place(match: re.Match[str]) -> str:
        name = match[1]
        if name in words:
            return words[name]
        total = 0.0
        for sign, times, quantity, over in _TERM.findall(name):
            part = value(quantity) * float(times or 1) / float(over or 1)
            total = total - part if sign == "-" else total + part
        return format(total, match[2] or ".2f")

    return _PLACE.sub(place, sentence)


def failure_faults(
    solution: Solution, frames: Sequence[FrameSolution] | None = None
) -> tuple[Fault, ...]:
    """Return a fault for each failed check of the `frames`, those of the solution unless given.

    A frame's id stands before the sentence where the solution has several.
    """
    several = len(solution.frames) > 1
    return tuple(
        Fault(
            "check-failed",
            f"{f'{frame.spec.id}: ' if several else ''}{check.name}: {check.margin:+.2f} mm. "
            f"{check.text}",
            check.where,
            f"It depends most on {check.limited_by}.",
        )
        for frame in (solution.frames if frames is None else frames)
        for check in frame.failed
    )
