"""The lines of an explanation: pieces at the values at hand, each put on a line of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from framekit.bodies.cone import LEAN, LEAN_LATEX, WIDTHS, foot_height, thick_line
from framekit.bodies.model import Expression, Skin
from framekit.constraints.law import Law
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Relation, Step
from framekit.errors import Where
from framekit.explain.pieces import Said, at, form_of, name, written
from framekit.explain.rounding import PrintedNumber, Rounding, shown
from framekit.solution.model import Quantity
from framekit.solution.symbols import described
from framekit.spec.model import FrameSpec

GEOMETRY = "docs/explanation/geometry.md"
LOW, HIGH = "model.low_end", "model.high_end"
BEYOND = 1e-9
"""mm that a height may lie beyond the body's end by rounding."""


class Lines:
    """The lines that explain one quantity, as they are found."""

    def __init__(
        self,
        spec: FrameSpec,
        skin: Skin,
        known: Mapping[str, Quantity],
        quantity: Quantity,
        step: Step,
    ) -> None:
        """Keep what is explained: a quantity, its step, and all that is known beside it."""
        self.spec, self.skin, self.quantity = spec, skin, quantity
        self.law = step.relation.law
        self.full: dict[str, str] = dict(zip(step.form.inputs, step.inputs, strict=True))
        self.values = {full: q.value for full, q in known.items()}
        self.found: dict[str, Quantity] = {}

    def of(self, template: str) -> Said:
        """One of the law's own names."""
        return name(self.full[template])

    def inputs(self, expression: Expression) -> tuple[str, ...]:
        """The full names of what an expression takes."""
        return tuple(self.full[n] for n in expression.inputs)

    def held(self, height: Said) -> Said:
        """The height, or the end of the body that it lies beyond."""
        z = height.value(self.values)
        if z < self.values[LOW] - BEYOND:
            return name(LOW)._replace(words=height.words)
        if z > self.values[HIGH] + BEYOND:
            return name(HIGH)._replace(words=height.words)
        return height

    def radius(self, height: Said) -> Said:
        """The skin at a height."""
        return at(self.skin.radius, self.inputs(self.skin.radius), height, height.words)

    def inner(self, height: Said, stem: str) -> Said:
        """The inner edge at a height, with lines for the rib's width there where it is needed."""
        expression = self.skin.inner
        if self.skin.name != "cone":
            return at(expression, self.inputs(expression), height, "the inner edge")
        wall = self.skin.radius
        width = self.width(self.foot(height, stem), stem)
        straight = wall._replace(
            inputs=(*wall.inputs, width),
            template=f"{wall.template} − {{5}}·{LEAN}",
            latex=rf"{wall.latex} - <5> \cdot {LEAN_LATEX}",
            function=thick_line,
        )
        return at(straight, (*self.inputs(wall), width), height, "the inner edge")

    def foot(self, height: Said, stem: str) -> Said:
        """The height whose width counts: where the skin's normal through there stands.

        It has a line of its own where the rib's width changes along the wall.
        """
        names = tuple(self.full[n] for n in WIDTHS)
        if len({self.values[n] for n in names}) == 1:
            return height
        wall = self.inputs(self.skin.radius)

        def value(v: Mapping[str, float]) -> float:
            widths = (v[names[0]], v[names[1]], v[names[2]])
            base, top, low, high = (v[n] for n in wall)
            return float(foot_height(FLOATS, height.value(v), base, top, low, high, widths))

        said = Said(height.text, height.latex, value, reading="the foot of the skin's normal")
        return name(self.line(f"{stem}_foot", said, "where the width is measured from"))

    def width(self, height: Said, stem: str) -> str:
        """The name of a line for the rib's width at a height, after one for the share of the way.

        The width runs from the middle's to an end's as 3u² − 2u³, u being that share.
        """
        bottom, middle, top = (self.full[n] for n in WIDTHS)
        low, high = self.values[LOW], self.values[HIGH]
        upper = height.value(self.values) >= (low + high) / 2
        doubled = f"2·({height.text})" if " " in height.text else f"2·{height.text}"
        tex = rf"2 \cdot \left({height.latex}\right)" if " " in height.text else (
            rf"2 \cdot {height.latex}"
        )  # fmt: skip
        ends, tex_ends = f"«{LOW}» − «{HIGH}»", f"«{LOW}» - «{HIGH}»"
        text = f"{doubled} − {ends}" if upper else f"«{LOW}» + «{HIGH}» − {doubled}"
        top_tex = f"{tex} - {tex_ends}" if upper else f"«{LOW}» + «{HIGH}» - {tex}"

        def share(v: Mapping[str, float]) -> float:
            u = (2 * height.value(v) - v[LOW] - v[HIGH]) / (v[HIGH] - v[LOW])
            return u if upper else -u

        where = "the upper end" if upper else "the lower end"
        said = Said(
            f"({text})/(«{HIGH}» − «{LOW}»)", rf"\frac{{{top_tex}}}{{«{HIGH}» - «{LOW}»}}", share
        )
        u = self.line(f"{stem}_share", said, f"0 at the body's middle, 1 at {where}")
        end = top if upper else bottom
        run = Said(
            f"«{middle}» + («{end}» − «{middle}»)·(3·«{u}»² − 2·«{u}»³)",
            rf"«{middle}» + \left(«{end}» - «{middle}»\right) \cdot "
            rf"\left(3 \cdot «{u}»^{{2}} - 2 \cdot «{u}»^{{3}}\right)",
            lambda v: v[middle] + (v[end] - v[middle]) * (3 * v[u] ** 2 - 2 * v[u] ** 3),
        )
        return self.line(f"{stem}_width", run, f"from the middle's width to that at {where}")

    def line(self, output: str, said: Said, words: str, branches: tuple[Said, ...] = ()) -> str:
        """Add a line of its own; its name."""
        value = said.value(self.values)
        step = self.step(output, words, said, branches)
        self.values[output] = value
        self.found[output] = Quantity(
            output, value, value, value, 0.0, described(output).unit, "derived", Where(), step=step
        )
        return output

    def result(self, said: Said, branches: tuple[Said, ...] = ()) -> None:
        """Add the quantity itself, which keeps its value."""
        step = self.step(self.quantity.name, self.law.words, said, branches, self.law)
        self.found[self.quantity.name] = replace(self.quantity, step=step)

    def step(
        self,
        output: str,
        words: str,
        said: Said,
        branches: tuple[Said, ...],
        law: Law | None = None,
    ) -> Step:
        """The step that gives `output` by a piece; under the law's name where one is given."""
        form = form_of(output, said, self.values, branches)
        taken = min(
            branches or (said,),
            key=lambda piece: abs(piece.value(self.values) - said.value(self.values)),
        )
        if taken.reading:
            words += f"; read off {self.read_off(taken)}"
        names = (*form.inputs, output)
        named = "" if law is None else law.name
        source = GEOMETRY if law is None else law.source
        shown_form = form._replace(latex=written(said, form.inputs))
        told = Law(named, words, source, names, (shown_form,))
        return Step(output, Relation(told, names), form, form.inputs)

    def read_off(self, said: Said) -> str:
        """Where a reading is taken: the curve, the height, and the author's points beside it."""
        if said.height is None:
            return said.reading
        z = said.height(self.values)
        words = f"{said.reading} at the height {number(z)} mm"
        points = self.spec.body.points
        if said.reading != self.skin.radius.reading or not points:
            return words
        scale = self.values["scale.denominator"]
        real, r = z * scale, said.value(self.values) * scale
        if scale != 1:
            words += f", in full size r({number(real)} mm) = {number(r)} mm"
        ranked = sorted(points, key=lambda point: point[1].value)
        below = max((i for i, p in enumerate(ranked) if p[1].value <= real + BEYOND), default=0)
        pair = ranked[min(below, len(ranked) - 2) :][:2]
        first, second = (f"[{p[0].value:.10g}, {p[1].value:.10g}]" for p in pair)
        return f"{words}, between the points {first} and {second}"


def number(value: float) -> str:
    """A length in mm as it is printed, without its unit."""
    return shown(PrintedNumber(value, "mm"), Rounding()).replace("-", "−")
