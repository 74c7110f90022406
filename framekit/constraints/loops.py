"""Algebraic loops: quantities that depend on each other in a circle, solved together.

One of them, the unknown, is searched for: taken as known, it lets the others follow one after
another, and one law is left over that holds only at the right value (the residual). The search goes
over the whole range the unknown can have, so that every root is seen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any, Literal, NamedTuple

from framekit.constraints.law import Form
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.roots import Span, find_roots
from framekit.errors import Fault, SolveError
from framekit.solution.quantities import described, symbol, template_name

Values = Mapping[str, float]
Range = Callable[[Any, str, Mapping[str, Any]], Span]


class LoopStep(NamedTuple):
    """A step inside a block: a form, its output's full name and its inputs' full names."""

    output: str
    form: Form
    inputs: tuple[str, ...]


class Loop(NamedTuple):
    """A block made solvable: the unknown, what follows from it, and the law left over.

    `residual` gives `residual_name`, which is known or follows, and must agree with it.
    `outside` are the names the block needs from outside.
    """

    unknown: str
    follows: tuple[LoopStep, ...]
    residual: Form
    residual_name: str
    residual_inputs: tuple[str, ...]
    outside: tuple[str, ...]


def search_order(names: Sequence[str]) -> list[str]:
    """The names of a block that may be searched for, the best first."""
    order = list(_RANGES)
    fit = [name for name in names if template_name(name) in _RANGES]
    return sorted(fit, key=lambda name: (order.index(template_name(name)), name))


def range_needs(unknown: str) -> tuple[frozenset[str], ...]:
    """What must be known before the range of an unknown is: any one of these sets."""
    template = template_name(unknown)
    ends = frozenset(("model.low_end", "model.high_end"))
    if template == "disc.height":
        return (ends, frozenset(("model.polar_radius",)))
    return (ends if template in _RIB_ENDS else frozenset(),)


def range_hints(unknown: str) -> tuple[str, ...]:
    """What narrows the range of an unknown when it is given."""
    return (unknown.replace(".height", ".side"),) if template_name(unknown) == "disc.height" else ()


def span_of(loop: Loop, m: Any, values: Mapping[str, Any]) -> Span:
    """The range that the unknown is searched over, given everything outside the block.

    The values and its ends are what `m`, a namespace such as `namespaces.FLOATS`, works on.
    """
    return _RANGES[template_name(loop.unknown)](m, loop.unknown, values)


def sides(loop: Loop, m: Any, values: Mapping[str, Any], x: Any) -> tuple[Any, Any]:
    """What the law left over gives and what it should give when the unknown is `x`.

    `values` are those outside the block; `m` as in `Program.run`, and so is what this raises.
    """
    local = dict(values)
    local[loop.unknown] = x
    for output, form, inputs in loop.follows:
        local[output] = form.function(m, *(local[n] for n in inputs))
    expected = loop.residual.function(m, *(local[n] for n in loop.residual_inputs))
    return expected, local[loop.residual_name]


def solve_loop(loop: Loop, values: Values) -> float:
    """The unknown's one value, given everything outside the block.

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
        except (ValueError, ZeroDivisionError, OverflowError):
            continue
        total += 1
        if total - fits > (1 - IDLE_SHARE) * len(points) + 1:
            return False
        fits += abs(first - second) <= IDLE * (abs(first) + abs(second))
    return total > 0 and fits >= IDLE_SHARE * total


def _idle_fault(loop: Loop) -> Fault:
    return Fault(
        "does-not-determine",
        f"{_known(loop)} hold for any {loop.unknown}, so they do not settle it",
        hint=f"Give one of: {loop.unknown}.",
    )


def _known(loop: Loop) -> str:
    return ", ".join(n for n in loop.outside if not n.startswith(("model", "rib.pole")))


def _fault(loop: Loop, roots: Sequence[float]) -> Fault:
    unknown, unit = loop.unknown, described(loop.unknown).unit
    unit = "" if unit == "1" else f" {unit}"
    known = _known(loop)
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
        hint=f"Give the side it lies on, north or south, or {unknown} itself."
        if template_name(unknown) == "disc.height"
        else f"Give {unknown} itself.",
    )


def loop_template(loop: Loop, write: Callable[[str], str] = symbol) -> str:
    """How the unknown is found, in symbols, without placeholders."""
    inputs = (write(n) for n in loop.residual_inputs)
    law = loop.residual.template.format(*inputs)
    return f"the {write(loop.unknown)} at which {write(loop.residual_name)} = {law}"


def _disc_heights(m: Any, name: str, values: Mapping[str, Any]) -> Span:
    if "model.high_end" in values:
        low, high = values["model.low_end"], values["model.high_end"]
        middle = (low + high) / 2
        if "model.polar_radius" in values:  # the equator, or the end it was cut off with
            middle = m.min(m.max(low, 0.0), high)
    else:
        low, middle, high = -values["model.polar_radius"], 0.0, values["model.polar_radius"]
    side = values.get(name.replace(".height", ".side"))
    if side is None:
        return Span(low, high)
    return Span(m.choose(-side, low, middle), m.choose(-side, middle, high))


def _rib_ends(m: Any, name: str, values: Mapping[str, Any]) -> Span:
    """From the middle of the body, or from its open other end, to the end that the name says."""
    low, high = values["model.low_end"], values["model.high_end"]
    middle = (low + high) / 2
    if ".high_" in name:
        return Span(values.get("rib.low_end", middle), high)
    return Span(low, values.get("rib.high_end", middle))


def _radii(m: Any, name: str, values: Mapping[str, Any]) -> Span:
    head = name.partition(".")[0]
    size = reduce(m.max, [v for n, v in values.items() if n.partition(".")[0] == head])
    return Span(size * 1e-3, size * 1e3, "log")


def _range(low: float, high: float, even: Literal["linear", "log"] = "linear") -> Range:
    def span(m: Any, name: str, values: Mapping[str, Any]) -> Span:
        return Span(low, high, even)

    return span


_RIB_ENDS = ("rib.high_end", "rib.low_end", "rib.high_bend", "rib.low_bend")

_RANGES: dict[str, Range] = {
    "disc.height": _disc_heights,
    **dict.fromkeys(_RIB_ENDS, _rib_ends),
    "body.flattening": _range(-9.0, 1.0),
    "joint.engagement": _range(0.0, 1.0),
    "joint.clearance": _range(-2.0, 5.0),
    "sheet.thickness": _range(0.0, 60.0),
    "cutter.kerf": _range(0.0, 20.0),
    "rib.width_equator": _range(0.0, 5000.0),
    "rib.width_pole": _range(0.0, 5000.0),
    "scale.denominator": _range(1e-6, 1e18, "log"),
    "body.equatorial_radius": _radii,
    "model.equatorial_radius": _radii,
}
"""What may be searched for, the best first, and the values it is searched over."""


@dataclass(frozen=True)
class Search:
    """A function of the namespace and the outside values that gives the unknown.

    A namespace that works on more than plain floats has a function `solve_loop` of the loop and the
    outside values by name.
    """

    loop: Loop

    def __call__(self, m: Any, *outside: Any) -> Any:
        """The unknown; what it raises is what the namespace raises, or as `solve_loop`."""
        solver = getattr(m, "solve_loop", solve_loop)
        return solver(self.loop, dict(zip(self.loop.outside, outside, strict=True)))
