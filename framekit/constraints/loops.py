"""Algebraic loops: quantities that depend on each other in a circle, solved together.

One of them, the unknown, is searched for: taken as known, it lets the others follow one after
another, and one law is left over that holds only at the right value (the residual). The search goes
over the whole range the unknown can have, so that every root is seen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from framekit.constraints.law import NO_VALUE, Form
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.roots import Spacing, Span, find_roots
from framekit.errors import Fault, SolveError

Values = Mapping[str, float]


def same_name(name: str) -> str:
    """Return the name itself."""
    return name


@dataclass(frozen=True)
class Searchable:
    """A quantity that may be searched for: the range of values it can have.

    `span(m, name, values)` gives the range of the quantity of that full name from the values
    outside the loop; `m` is a namespace such as `FLOATS`, and the ends are what it works on.
    Before, all names of one of the sets in `needs` must be known. A name in `narrowed_by` narrows
    the range where it is given. `unit` stands behind roots in messages; `hint` says what to give
    when several fit.
    """

    span: Callable[[Any, str, Mapping[str, Any]], Span]
    needs: tuple[frozenset[str], ...] = (frozenset(),)
    narrowed_by: tuple[str, ...] = ()
    unit: str = "1"
    hint: str = "Give {name} itself."

    @classmethod
    def between(cls, low: float, high: float, even: Spacing = "linear") -> Searchable:
        """Return the range from one number to another, its points spread as in `Span`."""
        return cls(lambda m, name, values: Span(low, high, even))


@dataclass(frozen=True)
class Searches:
    """What may be searched for, the best first, and how its names are written.

    `rows` go by name; `row_name` gives the name there that a full name belongs to, `full_name`
    the one of `narrowed_by` that goes with an unknown. `symbol` writes a name, `told` says whether
    a message tells a name outside the loop.
    """

    rows: Mapping[str, Searchable] = field(default_factory=dict)
    row_name: Callable[[str], str] = same_name
    full_name: Callable[[str, str], str] = lambda name, unknown: name
    symbol: Callable[[str], str] = same_name
    told: Callable[[str], bool] = lambda name: True

    def order(self, names: Sequence[str]) -> list[str]:
        """Return those of the names that may be searched for, the best first."""
        ranks = {name: rank for rank, name in enumerate(self.rows)}
        fit = [name for name in names if self.row_name(name) in ranks]
        return sorted(fit, key=lambda name: (ranks[self.row_name(name)], name))


class LoopStep(NamedTuple):
    """A step inside a loop: a form, its output's full name and its inputs' full names."""

    output: str
    form: Form
    inputs: tuple[str, ...]


class Loop(NamedTuple):
    """An algebraic loop made solvable: the unknown, what follows from it, and the law left over.

    `residual` gives `residual_name`, which is known or follows, and must agree with it.
    `outside` are the names the loop needs from outside, `told` those that a message tells;
    `search` says over which range the unknown is searched for.
    """

    unknown: str
    search: Searchable
    follows: tuple[LoopStep, ...]
    residual: Form
    residual_name: str
    residual_inputs: tuple[str, ...]
    outside: tuple[str, ...]
    told: tuple[str, ...] = ()


def span_of(loop: Loop, m: Any, values: Mapping[str, Any]) -> Span:
    """The range that the unknown is searched over, given everything outside the loop.

    The values and its ends are what `m`, a namespace such as `FLOATS`, works on.
    """
    return loop.search.span(m, loop.unknown, values)


def sides(loop: Loop, m: Any, values: Mapping[str, Any], x: Any) -> tuple[Any, Any]:
    """What the law left over gives and what it should give when the unknown is `x`.

    `values` are those outside the loop; `m` as in `Program.run`, and so is what this raises.
    """
    local = dict(values)
    local[loop.unknown] = x
    for output, form, inputs in loop.follows:
        local[output] = form.function(m, *(local[n] for n in inputs))
    expected = loop.residual.function(m, *(local[n] for n in loop.residual_inputs))
    return expected, local[loop.residual_name]


def solve_loop(loop: Loop, values: Values) -> float:
    """The unknown's one value, given everything outside the loop.

    Raises SolveError when no value, several values or every value fits.
    """
    points = span_of(loop, FLOATS, values).points()

    def both(x: float) -> tuple[float, float]:
        first, second = sides(loop, FLOATS, values, x)
        return float(first), float(second)

    def misfit(x: float) -> float:
        first, second = both(x)
        return first - second

    if _holds_anyway(both, points):
        raise SolveError(_idle_fault(loop))
    size = max([abs(values[n]) for n in loop.outside if n in values] or [1.0])
    roots = find_roots(misfit, points, size)
    if len(roots) == 1:
        return roots[0]
    raise SolveError(_fault(loop, roots))


IDLE = 1e-9
"""Relative difference within which a law left over is satisfied."""
IDLE_SHARE = 0.9
"""Share of the points at which a law that says nothing new is satisfied."""


def _holds_anyway(both: Callable[[float], tuple[float, float]], points: Sequence[float]) -> bool:
    """Whether the law left over is satisfied, to rounding, wherever it has a value."""
    fits = total = 0
    for x in points:
        try:
            first, second = both(x)
        except NO_VALUE:
            continue
        total += 1
        if total - fits > (1 - IDLE_SHARE) * len(points) + 1:
            return False
        fits += abs(first - second) <= IDLE * (abs(first) + abs(second))
    return total > 0 and fits >= IDLE_SHARE * total


def _idle_fault(loop: Loop) -> Fault:
    return Fault(
        "does-not-determine",
        f"{', '.join(loop.told)} hold for any {loop.unknown}, so they do not settle it",
        hint=f"Give one of: {loop.unknown}.",
    )


def _fault(loop: Loop, roots: Sequence[float]) -> Fault:
    unknown, known = loop.unknown, ", ".join(loop.told)
    unit = "" if loop.search.unit == "1" else f" {loop.search.unit}"
    if not roots:
        return Fault(
            "no-solution",
            f"no {unknown} agrees with the given {known}",
            hint=f"Change one of them, or give {unknown} itself.",
        )
    listed = ", ".join(f"{root:.4f}{unit}" for root in roots)
    return Fault(
        "several-solutions",
        f"{unknown} can be {listed}: all agree with the given {known}",
        hint=loop.search.hint.format(name=unknown),
    )


def loop_template(loop: Loop, write: Callable[[str], str]) -> str:
    """How the unknown is found, in symbols, without placeholders."""
    inputs = (write(n) for n in loop.residual_inputs)
    law = loop.residual.template.format(*inputs)
    return f"the {write(loop.unknown)} at which {write(loop.residual_name)} = {law}"


@dataclass(frozen=True)
class LoopSearch:
    """A function of the namespace and the outside values that gives the unknown.

    A namespace that works on more than plain floats has a function `solve_loop` of the loop and the
    outside values by name.
    """

    loop: Loop

    def __call__(self, m: Any, *outside: Any) -> Any:
        """The unknown; what it raises is what the namespace raises, or as `solve_loop`."""
        solver = getattr(m, "solve_loop", solve_loop)
        return solver(self.loop, dict(zip(self.loop.outside, outside, strict=True)))
