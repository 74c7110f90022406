"""The recipe's first step after reading: a spec solved, its set's largest scale found before."""

from __future__ import annotations

from framekit.solution.build import attempt
from framekit.solution.model import Attempt, Solution
from framekit.spec.model import Spec


def solve_spec(spec: Spec) -> Solution:
    """Return the solution of every frame of a spec.

    Raises SolveError when a number is missing, values disagree or a part cannot exist, or no scale
    fits every frame of a set, and UnknownNameError for a body or material the catalogue lacks.
    """
    return attempt_spec(spec).whole()


def attempt_spec(spec: Spec) -> Attempt:
    """Return the solution of those frames that have one and the faults of the others.

    Raises SolveError where no scale fits every frame of a set that asks for the largest, and
    UnknownNameError as `solve_spec` does.
    """
    if spec.plan is None or spec.plan.scale != "largest":
        return attempt(spec)
    from framekit.analysis.set_scale import largest_scale  # 15 ms, and few specs are sets

    return attempt(spec, largest_scale(spec.frames))
