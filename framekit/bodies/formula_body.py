"""A body whose skin is one formula, as plug-ins make theirs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from framekit.bodies.end_laws import SIZE, end_laws
from framekit.bodies.inner_edge import inner_curve
from framekit.bodies.model import Expression, Skin
from framekit.bodies.profile import EDGE, STEEP, turning_heights
from framekit.bodies.protocol import size_givens
from framekit.constraints.formula.derivative import derivative
from framekit.constraints.formula.parse import Formula, parse_formula
from framekit.constraints.formula.text_law import text_law
from framekit.constraints.law import Law
from framekit.constraints.namespaces import FLOATS
from framekit.errors import Fault, PluginError
from framekit.spec.given import Given
from framekit.spec.model import FrameSpec
from framekit.spec.sizes import check_sizes

LOW, HIGH, S = "model.low_end", "model.high_end", "scale.denominator"
WIDTHS = ("rib.width_bottom", "rib.width_equator", "rib.width_top")


@dataclass(frozen=True)
class FormulaBody:
    """A body whose skin is one formula of the height and of its sizes.

    `radius` gives the model's radius from `z` and the model's sizes, written `model.NAME`;
    `low_end`, `high_end` and `greatest_radius` follow from the real ones, `body.NAME`. Lengths in
    mm, angles in radians. `words` say what the radius is and `source` where the formula stands.
    """

    name: str
    sizes: tuple[str, ...]
    radius: str
    low_end: str
    high_end: str
    greatest_radius: str
    words: str
    source: str
    reads: tuple[str, ...] = ()

    def givens(self, frame: FrameSpec) -> tuple[Given, ...]:
        """Return the sizes under `body.sizes`, and the heights at which it is cut off; mm."""
        return size_givens(frame)

    def skin(self, frame: FrameSpec) -> Skin:
        """The skin of the frame's body; raises SolveError where a size is missing or surplus."""
        check_sizes(frame, "body", f"the shape '{self.name}'", self.sizes)
        given = frame.body.sizes or {}
        real = tuple(given[name].value for name in self.sizes)
        return _formula_skin(self, real)


@lru_cache(maxsize=32)
def _formula_skin(shape: FormulaBody, real: tuple[float, ...]) -> Skin:
    inputs = tuple(f"model.{name}" for name in shape.sizes)
    names = ("z", *inputs)
    formula = parse_formula(shape.radius, names, internal=True)
    radius = formula.over(names, 0.0)
    steep = derivative(formula, "z").over(names, 1e-12)
    own = _size_laws(shape)
    values = _real_values(shape, own, real)
    sizes_of = tuple(values[name] for name in inputs)
    closed = _closed(shape, values, radius, sizes_of)
    waists = _waists(radius, steep, values, sizes_of)
    made = _inner_maker(radius, steep)

    def inner(m: Any, z: Any, *sizes: Any) -> Any:
        return m.made_curve(made, sizes, z)

    return Skin(
        shape.name,
        _with_scale(_expression(formula, names, radius)),
        _with_scale(Expression(inputs, steep, "r′({0})", r"r'(<0>)", STEEP)),
        Expression(
            (LOW, HIGH, *WIDTHS, *inputs),
            inner,
            "r_i({0}; {3}, {4}, {5})",
            r"r_i(<0>; <3>, <4>, <5>)",
            EDGE,
        ),
        (*SIZE, *(law.name for law in own), *end_laws(closed)),
        closed,
        waists=waists,
        own=own,
        made_edge=True,
    )


def _size_laws(shape: FormulaBody) -> tuple[Law, ...]:
    """What ties the real sizes to the model's, and gives the body's ends."""
    laws = []
    for name in shape.sizes:
        plain = name.endswith("_ratio")
        formula = f"body.{name}" if plain else f"body.{name}/scale.denominator"
        words = "a model keeps the ratio" if plain else "real size over the scale's denominator"
        laws.append(text_law(f"{shape.name}-{name}", f"model.{name}", formula, words, "definition"))
    for output, formula, words in (
        ("body.low_end", shape.low_end, "the height of the lower end"),
        ("body.high_end", shape.high_end, "the height of the upper end"),
        ("body.equatorial_radius", shape.greatest_radius, "the greatest radius"),
    ):
        name = f"{shape.name}-{output.partition('.')[2]}"
        laws.append(text_law(name, output, formula, words, shape.source))
    return tuple(laws)


def _real_values(
    shape: FormulaBody, own: tuple[Law, ...], real: tuple[float, ...]
) -> dict[str, float]:
    """The sizes, ends and greatest radius at full size, by name."""
    values = {f"body.{name}": x for name, x in zip(shape.sizes, real, strict=True)}
    values["scale.denominator"] = 1.0
    for law in own:
        form = law.forms[0]
        values[form.output] = float(form.function(FLOATS, *(values[n] for n in form.inputs)))
    return values


def _closed(
    shape: FormulaBody, values: Mapping[str, float], radius: Any, sizes: tuple[float, ...]
) -> tuple[bool, bool]:
    """Whether the ends meet the axis, at full size."""
    greatest = values["body.equatorial_radius"]
    ends = [radius(FLOATS, values[n], *sizes) for n in ("body.low_end", "body.high_end")]
    if not all(-1e-6 * greatest <= r <= greatest * (1 + 1e-6) for r in ends):
        raise PluginError(
            Fault(
                "broken-body",
                f"the shape '{shape.name}' gives radii of {ends[0]:g} and {ends[1]:g} mm at its "
                f"ends and {greatest:g} mm as the greatest",
                hint="Mend its formulas, or the sizes.",
            )
        )
    return (ends[0] <= 1e-6 * greatest, ends[1] <= 1e-6 * greatest)


def _waists(
    radius: Any, steep: Any, values: Mapping[str, float], sizes: tuple[float, ...]
) -> tuple[tuple[float, float], ...]:
    """Real heights and radii where the skin is narrower than above and below."""
    low, high = values["body.low_end"], values["body.high_end"]
    at = turning_heights(lambda m, z: steep(m, z, *sizes), low, high)
    radii = [float(radius(FLOATS, z, *sizes)) for z in (low, *at, high)]
    return tuple(
        (z, r)
        for before, z, r, after in zip(radii, at, radii[1:], radii[2:], strict=False)
        if r < before and r < after
    )


def _with_scale(expression: Expression) -> Expression:
    """The expression with the scale's denominator as a first input that it does not use."""

    def function(m: Any, z: Any, scale: Any, *values: Any) -> Any:
        return expression.function(m, z, *values)

    count = len(expression.inputs)
    template = expression.template.format("{0}", *(f"{{{i + 2}}}" for i in range(count)))
    latex = expression.latex
    for i in reversed(range(count)):
        latex = latex.replace(f"<{i + 1}>", f"<{i + 2}>")
    inputs = (S, *expression.inputs)
    return Expression(inputs, function, template, latex, expression.reading)


def _expression(formula: Formula, names: tuple[str, ...], radius: Any) -> Expression:
    template = formula.template.format(*(f"{{{names.index(n)}}}" for n in formula.names))
    latex = formula.latex
    for i, name in enumerate(formula.names):
        latex = latex.replace(f"<{i}>", f"\0{names.index(name)}\1")
    return Expression(names[1:], radius, template, latex.replace("\0", "<").replace("\1", ">"))


def _inner_maker(radius: Any, steep: Any) -> Any:
    """A function of ends, widths and sizes that gives the inner edge."""

    @lru_cache(maxsize=32)
    def make(low: float, high: float, *more: float) -> Any:
        widths, sizes = more[:3], more[3:]
        return inner_curve(
            lambda z: float(radius(FLOATS, z, *sizes)),
            lambda z: float(steep(FLOATS, z, *sizes)),
            (low, high),
            (widths[0], widths[1], widths[2]),
        )

    return make
