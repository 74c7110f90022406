"""Quantities that depend on each other in a circle, solved together.

One of them is torn out: taken as known, it lets the others follow one after another, and one law
is left over that holds only at the right value. That value is searched for over the whole range
the torn quantity can have, so that every root is seen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from framekit.errors import Fault, SolveError
from framekit.solution.law import Form
from framekit.solution.numeric import FLOATS
from framekit.solution.quantities import described, symbol, template_name
from framekit.solution.roots import find_roots, linear_points, log_points

Values = Mapping[str, float]
Points = Callable[[str, Values], list[float]]


class Inner(NamedTuple):
    """A step inside a block: a form, its output's full name and its inputs' full names."""

    output: str
    form: Form
    inputs: tuple[str, ...]


class Tearing(NamedTuple):
    """A block made solvable: the torn quantity, what follows from it, and the law left over.

    `residual` gives `residual_name`, which is known or follows, and must agree with it.
    `outside` are the names the block needs from outside.
    """

    torn: str
    follows: tuple[Inner, ...]
    residual: Form
    residual_name: str
    residual_inputs: tuple[str, ...]
    outside: tuple[str, ...]


def tear_order(names: Sequence[str]) -> list[str]:
    """The names of a block that may be torn, the best first."""
    order = list(_RANGES)
    fit = [name for name in names if template_name(name) in _RANGES]
    return sorted(fit, key=lambda name: (order.index(template_name(name)), name))


def range_needs(torn: str) -> tuple[str, ...]:
    """What must be known before the range of a torn quantity is."""
    return ("model.polar_radius",) if template_name(torn) == "disc.height" else ()


def range_hints(torn: str) -> tuple[str, ...]:
    """What narrows the range of a torn quantity when it is given."""
    return (torn.replace(".height", ".side"),) if template_name(torn) == "disc.height" else ()


def solve_torn(tearing: Tearing, values: Values) -> float:
    """The torn quantity's one value, given everything outside the block.

    Raises SolveError when no value, several values or every value fits.
    """
    points = _RANGES[template_name(tearing.torn)](tearing.torn, values)

    def sides(x: float) -> tuple[float, float]:
        local = dict(values)
        local[tearing.torn] = x
        for output, form, inputs in tearing.follows:
            local[output] = form.function(FLOATS, *(local[n] for n in inputs))
        expected = tearing.residual.function(FLOATS, *(local[n] for n in tearing.residual_inputs))
        return float(expected), float(local[tearing.residual_name])

    def misfit(x: float) -> float:
        first, second = sides(x)
        return first - second

    if _holds_anyway(sides, points):
        raise SolveError(_idle_fault(tearing))
    size = max([abs(values[n]) for n in tearing.outside if n in values] or [1.0])
    roots = _distinct(find_roots(misfit, points, size), points)
    if len(roots) == 1:
        return roots[0]
    raise SolveError(_fault(tearing, roots))


def _holds_anyway(sides: Callable[[float], tuple[float, float]], points: Sequence[float]) -> bool:
    """Whether the law left over is satisfied, to rounding, wherever it has a value."""
    fits = total = 0
    for x in points:
        try:
            first, second = sides(x)
        except (ValueError, ZeroDivisionError, OverflowError):
            continue
        total += 1
        fits += abs(first - second) <= 1e-9 * (abs(first) + abs(second))
    return total > 0 and fits >= 0.9 * total


def _idle_fault(tearing: Tearing) -> Fault:
    return Fault(
        "does-not-determine",
        f"{_known(tearing)} hold for any {tearing.torn}, so they do not settle it",
        hint=f"Give one of: {tearing.torn}.",
    )


def _known(tearing: Tearing) -> str:
    return ", ".join(n for n in tearing.outside if not n.startswith(("model", "rib.pole")))


def _distinct(roots: Sequence[float], points: Sequence[float]) -> list[float]:
    step = 1e-7 * (max(points) - min(points))
    kept: list[float] = []
    for root in roots:
        if not kept or abs(root - kept[-1]) > step:
            kept.append(root)
    return kept


def _fault(tearing: Tearing, roots: Sequence[float]) -> Fault:
    torn, unit = tearing.torn, described(tearing.torn).unit
    unit = "" if unit == "1" else f" {unit}"
    known = _known(tearing)
    if not roots:
        return Fault(
            "no-solution",
            f"no {torn} agrees with the given {known}",
            hint=f"Change one of them, or give {torn} itself.",
        )
    listed = ", ".join(f"{root:.4f}{unit}" for root in roots)
    return Fault(
        "several-solutions",
        f"{torn} can be {listed}: all agree with the given {known}",
        hint=f"Give a hint that picks one, or {torn} itself.",
    )


def torn_template(tearing: Tearing, write: Callable[[str], str] = symbol) -> str:
    """How the torn quantity is found, in symbols, without placeholders."""
    inputs = (write(n) for n in tearing.residual_inputs)
    law = tearing.residual.template.format(*inputs)
    return f"the {write(tearing.torn)} at which {write(tearing.residual_name)} = {law}"


def _disc_heights(name: str, values: Values) -> list[float]:
    c = values["model.polar_radius"]
    side = values.get(name.replace(".height", ".side"))
    if side is None:
        return linear_points(-c, c)
    return linear_points(0.0, c) if side > 0 else linear_points(-c, 0.0)


def _flattenings(name: str, values: Values) -> list[float]:
    return linear_points(-9.0, 1.0)


def _radii(name: str, values: Values) -> list[float]:
    size = max(v for n, v in values.items() if n.partition(".")[0] == name.partition(".")[0])
    return log_points(size * 1e-3, size * 1e3)


def _scales(name: str, values: Values) -> list[float]:
    return log_points(1e-6, 1e18)


def _range(low: float, high: float) -> Points:
    def points(name: str, values: Values) -> list[float]:
        return linear_points(low, high)

    return points


_RANGES: dict[str, Points] = {
    "disc.height": _disc_heights,
    "body.flattening": _flattenings,
    "joint.engagement": _range(0.0, 1.0),
    "joint.clearance": _range(-2.0, 5.0),
    "sheet.thickness": _range(0.0, 60.0),
    "cutter.kerf": _range(0.0, 20.0),
    "rib.width_equator": _range(0.0, 5000.0),
    "rib.width_pole": _range(0.0, 5000.0),
    "scale.denominator": _scales,
    "body.equatorial_radius": _radii,
    "model.equatorial_radius": _radii,
}
"""What may be torn, the best first, and the values it is searched over."""


def run_torn(tearing: Tearing) -> Callable[..., Any]:
    """A function of the namespace and the outside values that gives the torn quantity."""

    def function(m: Any, *outside: Any) -> Any:
        return solve_torn(tearing, dict(zip(tearing.outside, outside, strict=True)))

    return function
