"""One row of a sweep, solved by itself."""

from __future__ import annotations

import copy

from framekit.errors import SolveError
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values


def frame_of(values):
    return solve(spec_from_values(values)).frames[0]


def row_of(spec, keys, changes):
    """The frame of one row, None where it cannot be; `keys` says where each input stands."""
    values = copy.deepcopy(spec)
    for name, value in changes.items():
        place = values
        *path, last = keys[name]
        for step in path:
            place = place[step]
        place[last] = f"1:{value!r}" if name == "scale.denominator" else value
    try:
        return frame_of(values)
    except SolveError:
        return None
