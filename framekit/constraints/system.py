"""Laws of any kind solved from any sufficient set of values; what follows proved, swept, varied.

This is the way into the constraint layer for a program of its own: see
`docs/how-to/solve-laws-of-your-own.md`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import SimpleNamespace
from typing import Any, NamedTuple

from framekit.constraints.affected import (
    affected_program,
    affected_steps,
    overdetermined_by,
)
from framekit.constraints.feasibility import Family, Margin
from framekit.constraints.feasible_range import RangeSearch
from framekit.constraints.intervals import Bounds
from framekit.constraints.law import NO_VALUE, Form, Law
from framekit.constraints.loops import Searches
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import NO_SEARCHES, Plan, Relation
from framekit.constraints.program import Program, make_program
from framekit.constraints.searching import Searching
from framekit.constraints.solve import solve_relations
from framekit.constraints.uncertainty import Spread, Toleranced, worst_case
from framekit.errors import Fault, SolveError


class FeasibleRange(NamedTuple):
    """From `low` to `high` every margin is proved to hold, and what fails just outside.

    A limit is the name of a margin, `no value`, `end of the span` or `not proved`, or None where
    nothing fails as far as was looked.
    """

    low: float
    high: float
    low_limit: str | None
    high_limit: str | None


@dataclass(frozen=True)
class System:
    """Laws among quantities, which the names in them stand for.

    `searches` says which quantities may be searched for where no closed form leads on. Laws named
    in `implied` follow from the others, so they do not count when asking whether enough is given.
    """

    laws: tuple[Law, ...]
    searches: Searches = NO_SEARCHES
    implied: Collection[str] = ()

    @cached_property
    def relations(self) -> tuple[Relation, ...]:
        """The laws, each among the quantities of its own names."""
        return tuple(Relation(law, law.quantities) for law in self.laws)

    def solve(
        self, given: Mapping[str, float], defaults: Mapping[str, float] | None = None
    ) -> Solved:
        """Return every quantity that follows from the given ones; defaults fill in what lacks.

        Raises SolveError where too little is given, where no value or several fit, and where
        values that say the same disagree.
        """
        spare = dict(defaults or {})
        plan, values = solve_relations(self.relations, given, spare, self.searches, self.implied)
        return Solved(plan, values, (*given, *plan.defaults))


@dataclass(frozen=True)
class Solved:
    """A solved system: its plan, every value by name, and the names of its inputs."""

    plan: Plan
    values: Mapping[str, float]
    inputs: tuple[str, ...]

    def __getitem__(self, name: str) -> float:
        """The value of a quantity; raises KeyError for one that was not found."""
        return self.values[name]

    def spread(
        self, name: str, tolerances: Mapping[str, float], normal: Collection[str] = ()
    ) -> Spread:
        """Return how far a quantity varies as inputs do by their tolerances, ± from their values.

        Its bounds are proved and rounded outward. Sigma takes the inputs as uniform over their
        limits, those in `normal` as normal with a standard deviation of half the tolerance.
        Raises SolveError for what is no input, and DoubtError, a ValueError, where a search could
        not be proved to have one root over the tolerances.
        """
        varied = tuple(tolerances)
        run = self.run_on(varied)
        form = Form(name, varied, lambda m, *moved: run(m, moved)[name], "")
        spans = tuple(
            Toleranced(n, n, self.values[n], t, t / (2.0 if n in normal else math.sqrt(3.0)))
            for n, t in tolerances.items()
        )
        return worst_case(form, self.values, spans)

    def feasible(
        self,
        name: str,
        margins: Mapping[str, Margin],
        tolerances: Mapping[str, float] | None = None,
        span: Bounds = (-math.inf, math.inf),
        rounding: float = 1e-9,
    ) -> FeasibleRange | None:
        """Return the range of an input over which no margin is below zero; None where none is.

        A margin is a function of a namespace `m` and of all values by name. The range is proved:
        each margin holds for every value in it and for all values of other inputs within their
        `tolerances`. It starts at the input's own value, or at the nearest where all margins hold,
        and lies in `span`. A margin may be below zero by `rounding`. Raises SolveError for what is
        no input.
        """
        judge = _Judge(self, name, margins, dict(tolerances or {}), rounding)
        value = self.values[name]
        search: RangeSearch[str] = RangeSearch(
            judge=judge,
            size=abs(value) or 1.0,
            span=span,
            rounding=rounding,
            edge="end of the span",
            unproved=lambda x: "not proved",
        )
        start = value if search.passes(value) else search.elsewhere(value)
        if start is None:
            return None
        (low, low_limit), (high, high_limit) = (search.end(start, sign) for sign in (-1, 1))
        return FeasibleRange(low, high, low_limit, high_limit)

    def sweep(self, inputs: Mapping[str, Any]) -> dict[str, Any]:
        """Return every quantity as inputs take rows of values: arrays of shape (rows,), or floats.

        `inputs` are arrays of one length or single numbers by name. A row without a value, or with
        several, has NaN. Raises SolveError for what is no input.
        """
        import numpy as np  # slow to import, and only sweeps need it

        from framekit.constraints.arrays import ARRAYS, run_rows
        from framekit.constraints.loop_rows import solve_rows

        program = self._program(tuple(inputs))
        rows = {name: np.asarray(x, dtype=np.float64)[()] for name, x in inputs.items()}
        found = {**self.values, **rows}
        searching = SimpleNamespace(**vars(ARRAYS), solve_loop=solve_rows)
        with np.errstate(all="ignore"):
            found.update(run_rows(program, searching, found))
        return found

    def _program(self, varied: tuple[str, ...]) -> Program:
        """What follows some inputs; raises SolveError where one is no input or others hold it."""
        for name in varied:
            if name not in self.inputs:
                what = f"{name} is no input: these are {', '.join(self.inputs)}"
                raise SolveError(Fault("no-input", what, hint="Name one of these."))
        steps = affected_steps(self.plan, varied)
        held = overdetermined_by(self.plan, varied, steps, self.values)
        if held is not None:
            what = f"{' and '.join(varied)} cannot vary: other values say the same"
            hint = "Take away one of the values that say the same."
            raise SolveError(Fault("held-by-others", f"{what} ({held.law.words})", hint=hint))
        return affected_program(varied, steps)

    def run_on(self, varied: tuple[str, ...]) -> Callable[[Any, Sequence[Any]], dict[str, Any]]:
        """The function from a namespace and values of inputs to every value by name."""
        program = self._program(varied)

        def run(m: Any, moved: Sequence[Any]) -> dict[str, Any]:
            values = {**self.values, **dict(zip(varied, moved, strict=True))}
            return {**values, **program.run(Searching(m), values)}

        return run


class _Judge:
    """Margins of a solved system as one input varies and others lie within tolerances."""

    def __init__(
        self,
        solved: Solved,
        name: str,
        margins: Mapping[str, Margin],
        tolerances: Mapping[str, float],
        rounding: float,
    ) -> None:
        self._rounding = rounding
        self._names = (name, *tolerances)
        self._run = solved.run_on(self._names)
        self._margins = {label: self._over(margin) for label, margin in margins.items()}
        design = {f"{n} as given": solved[n] for n in tolerances}
        others = tuple(
            Toleranced(n, f"{n} as given", solved[n], t, t / math.sqrt(3.0))
            for n, t in tolerances.items()
        )
        self._family = Family({**solved.values, **design}, (name,), make_program((), ()), others)

    def _over(self, margin: Margin) -> Margin:
        """The margin with all that follows the inputs found first."""
        return lambda m, values: margin(m, self._run(m, [values[n] for n in self._names]))

    def margins(self, x: float) -> list[tuple[float, str]] | str:
        """Every margin at a value, with the others in each corner of their tolerances."""
        values = self._family.values(FLOATS, x)
        found: list[tuple[float, str]] = []
        try:
            for _ in self._family.corners(values):
                found += [(float(f(FLOATS, values)), label) for label, f in self._margins.items()]
        except (SolveError, *NO_VALUE):
            return "no value"
        return found

    def proved(self, low: float, high: float) -> bool:
        """Whether every margin is proved to hold for each value from low to high."""
        stretch = self._family.over(low, high)
        try:
            return all(stretch.holds(f, -self._rounding) for f in self._margins.values())
        except (SolveError, *NO_VALUE):
            return False
