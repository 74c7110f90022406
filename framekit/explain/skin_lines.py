"""The lines of an explanation: pieces at the values of a frame, each put on a line of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from framekit.bodies.cone import LEAN, LEAN_LATEX, WIDTHS, foot_height, thick_line
from framekit.bodies.model import Expression
from framekit.constraints.law import Law
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Relation, Step
from framekit.errors import Where
from framekit.explain.pieces import Piece, at_height, form_of, numbered_latex, piece
from framekit.explain.rounding import PrintedNumber, Rounding, printed
from framekit.solution.model import Quantity
from framekit.solution.structure import Structure
from framekit.solution.symbols import described

GEOMETRY = "docs/explanation/geometry.md"
LOW, HIGH = "model.low_end", "model.high_end"
BEYOND = 1e-9
"""mm that a height may lie beyond the body's end by rounding."""


class SkinLines:
    """The lines that explain one quantity, as they are found.

    Names are those of the quantity's law, such as `disc.height`; a new line joins them under the
    name of the same disc or flange.
    """

    def __init__(
        self, structure: Structure, known: Mapping[str, Quantity], quantity: Quantity, step: Step
    ) -> None:
        """Keep what is explained: a quantity, its step, and all that is known beside it."""
        self.spec, self.skin, self.quantity = structure.spec, structure.skin, quantity
        self.law = step.relation.law
        self.full: dict[str, str] = dict(zip(step.form.inputs, step.inputs, strict=True))
        self.values = {full: q.value for full, q in known.items()}
        self.found: dict[str, Quantity] = {}

    def value(self, name: str) -> float:
        """Return the value of one of the law's own names."""
        return self.values[self.full.get(name, name)]

    def piece(self, formula: str, words: str = "") -> Piece:
        """Return a formula in the law's names as a piece."""
        return piece(formula, self.full, words)

    def at(self, expression: Expression, height: Piece, words: str = "") -> Piece:
        """Return an expression at a height, which is held between the body's ends beforehand."""
        return at_height(expression, self.inputs(expression), height, words)

    def inputs(self, expression: Expression) -> tuple[str, ...]:
        """Return the full names of what an expression takes."""
        return tuple(self.full[n] for n in expression.inputs)

    def on_body(self, formula: str, words: str = "") -> Piece:
        """Return a height, or the end of the body that it lies beyond."""
        height = self.piece(formula, words)
        z = height.value(self.values)
        if z < self.values[LOW] - BEYOND:
            return self.piece(LOW, words)
        if z > self.values[HIGH] + BEYOND:
            return self.piece(HIGH, words)
        return height

    def radius(self, height: Piece) -> Piece:
        """Return the skin at a height."""
        return self.at(self.skin.radius, height, height.words)

    def inner(self, height: Piece, stem: str) -> Piece:
        """Return the inner edge at a height, with lines for the rib's width there if need be."""
        if self.skin.name != "cone":
            return self.at(self.skin.inner, height, "the inner edge")
        wall = self.skin.radius
        straight = wall._replace(
            inputs=(*wall.inputs, self.width(self.foot(height, stem), stem)),
            template=f"{wall.template} − {{5}}·{LEAN}",
            latex=rf"{wall.latex} - <5> \cdot {LEAN_LATEX}",
            function=thick_line,
        )
        return self.at(straight, height, "the inner edge")

    def foot(self, height: Piece, stem: str) -> Piece:
        """Return the height whose width counts: where the skin's normal through there stands.

        It has a line of its own where the rib's width changes along the wall. Beyond the body's end
        the width is that at the end.
        """
        names = tuple(self.full[n] for n in WIDTHS)
        if len({self.values[n] for n in names}) == 1:
            return height
        wall = self.inputs(self.skin.radius)

        def value(v: Mapping[str, float]) -> float:
            widths = (v[names[0]], v[names[1]], v[names[2]])
            base, top, low, high = (v[n] for n in wall)
            foot = float(foot_height(FLOATS, height.value(v), base, top, low, high, widths))
            return min(max(foot, low), high)

        reading = "the foot of the skin's normal"
        foot = Piece(height.text, height.latex, value, reading=reading)
        return self.piece(self.line(f"{stem}_foot", foot, "where the width is measured from"))

    def width(self, height: Piece, stem: str) -> str:
        """Return the name of a line for the rib's width at a height, after one for its share.

        The width runs from the middle's to an end's as 3u² − 2u³, u being that share of the way.
        """
        bottom, middle, top = WIDTHS
        upper = height.value(self.values) >= (self.values[LOW] + self.values[HIGH]) / 2
        where, end = ("the upper end", top) if upper else ("the lower end", bottom)
        twice = f"2*({height.formula})"
        way = f"{twice} - {LOW} - {HIGH}" if upper else f"{LOW} + {HIGH} - {twice}"
        share = self.piece(f"({way})/({HIGH} - {LOW})")
        u = self.line(f"{stem}_share", share, f"0 at the body's middle, 1 at {where}")
        width = self.piece(f"{middle} + ({end} - {middle})*(3*{u}**2 - 2*{u}**3)")
        return self.line(f"{stem}_width", width, f"from the middle's width to that at {where}")

    def line(self, name: str, piece: Piece, words: str, branches: tuple[Piece, ...] = ()) -> str:
        """Add a line of its own under a name such as `disc.skin_slope`; return that name."""
        head, _, rest = name.partition(".")
        owner = self.full.get(f"{head}.height", f"{head}.").partition(".")[0]
        output = self.full[name] = f"{owner}.{rest}"
        value = piece.value(self.values)
        step = self.step(output, words, piece, branches)
        self.values[output] = value
        self.found[output] = Quantity(
            output, value, value, value, 0.0, described(output).unit, "derived", Where(), step=step
        )
        return name

    def result(self, piece: Piece, branches: tuple[Piece, ...] = ()) -> None:
        """Add the quantity itself, which keeps its value."""
        step = self.step(self.quantity.name, self.law.words, piece, branches, self.law)
        self.found[self.quantity.name] = replace(self.quantity, step=step)

    def step(
        self,
        output: str,
        words: str,
        piece: Piece,
        branches: tuple[Piece, ...],
        law: Law | None = None,
    ) -> Step:
        """Return the step that gives `output` by a piece; under a law's name where one is given."""
        form = form_of(output, piece, self.values, branches)
        value = piece.value(self.values)
        taken = min(branches or (piece,), key=lambda each: abs(each.value(self.values) - value))
        if taken.reading:
            words += f"; read off {self.read_off(taken)}"
        names = (*form.inputs, output)
        named, source = ("", GEOMETRY) if law is None else (law.name, law.source)
        printed_form = form._replace(latex=numbered_latex(piece, form.inputs))
        explained = Law(named, words, source, names, (printed_form,))
        return Step(output, Relation(explained, names), form, form.inputs)

    def read_off(self, piece: Piece) -> str:
        """Return where a reading is taken: the curve, the height, and the author's points by it."""
        if piece.height is None:
            return piece.reading
        z = piece.height(self.values)
        words = f"{piece.reading} at the height {number(z)} mm"
        points = self.spec.body.points
        if piece.reading != self.skin.radius.reading or not points:
            return words
        scale = self.values["scale.denominator"]
        real, r = z * scale, piece.value(self.values) * scale
        if scale != 1:
            words += f", in full size r({number(real)} mm) = {number(r)} mm"
        ranked = sorted(points, key=lambda point: point[1].value)
        below = max((i for i, p in enumerate(ranked) if p[1].value <= real + BEYOND), default=0)
        pair = ranked[min(below, len(ranked) - 2) :][:2]
        first, second = (f"[{p[0].value:.10g}, {p[1].value:.10g}]" for p in pair)
        return f"{words}, between the points {first} and {second}"


def number(value: float) -> str:
    """Return a length in mm as it is printed, without its unit."""
    return printed(PrintedNumber(value, "mm"), Rounding()).replace("-", "−")
