"""A skin by an author's points or formula, in the model's size.

Heights and radii of the author are real ones; a model's height times the scale's denominator is
the real height. The inner edge is a curve of its own, made for given sizes (`inner_edge`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

from framekit.bodies.end_laws import SIZE, end_laws
from framekit.bodies.inner_edge import inner_curve
from framekit.bodies.model import Expression, Skin
from framekit.bodies.protocol import Shape
from framekit.bodies.validity import check_radius
from framekit.constraints.formula.derivative import derivative
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.roots import sign_changes
from framekit.errors import SpecError
from framekit.geometry.profile_curve import HeightCurve, points_curve
from framekit.spec.given import Given
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec

S = "scale.denominator"
LOW, HIGH = "model.low_end", "model.high_end"
WIDTHS = ("rib.width_bottom", "rib.width_equator", "rib.width_top")
EDGE = "the skin moved inward along its normal by the rib's width"
STEEP = "the slope of the skin's curve"
"""Where the inner edge and the slope are read off."""
SAMPLES = 800
"""Steps in which the turns of a formula are looked for."""


FLOOR = 1e-9
"""What a root in a slope is held at, so that the slope at a pole is steep and finite."""


class ProfileCurve(NamedTuple):
    """A real skin: radius and slope over the height, and what is known of it; mm.

    `radius(m, z)` and `slope(m, z)` take the namespace of functions. `widest` is the greatest
    radius, `waists` are height and radius of the least between greater ones, `corners` heights
    where the slope jumps.
    """

    radius: Callable[..., Any]
    slope: Callable[..., Any]
    low: float
    high: float
    widest: float
    waists: tuple[tuple[float, float], ...]
    corners: tuple[float, ...]
    words: str
    latex: str
    reading: str = ""

    @property
    def closed(self) -> tuple[bool, bool]:
        """Whether the skin meets the axis at the lower and at the upper end."""
        return (self._meets(self.low), self._meets(self.high))

    def _meets(self, z: float) -> bool:
        return bool(self.radius(FLOATS, z) <= 1e-6 * self.widest)


class Profile(Shape):
    """Any profile, by points or by a formula."""

    name = "profile"

    def skin(self, frame: FrameSpec) -> Skin:
        """Return the skin of the frame's body; raise SpecError where there is none."""
        return profile_skin(profile_of(frame))

    def givens(self, frame: FrameSpec) -> tuple[Given, ...]:
        """Return the real curve's greatest radius and ends in mm."""
        profile = profile_of(frame)
        where = frame.where("body", "points" if frame.body.points is not None else "radius_at")
        return (
            Given("body.equatorial_radius", Measure(profile.widest), "given", where),
            Given("body.low_end", Measure(profile.low), "given", where),
            Given("body.high_end", Measure(profile.high), "given", where),
        )


def profile_of(frame: FrameSpec) -> ProfileCurve:
    """Return the real profile of a body given by points or a formula; raise SpecError if bad."""
    body = frame.body
    low, high = (x.value if isinstance(x, Measure) else None for x in body.span or (None, None))
    try:
        if body.points is not None:
            points = tuple((r.value, z.value) for r, z in body.points)
            return points_profile(points, body.smooth is not False, low, high)
        assert body.radius_at is not None and body.from_ is not None and body.to is not None
        start = body.from_.value if low is None else max(low, body.from_.value)
        stop = body.to.value if high is None else min(high, body.to.value)
        return formula_profile(body.radius_at, start, stop)
    except SpecError as error:
        where = frame.where("body", "points" if body.points is not None else "radius_at")
        raise SpecError(*(replace(f, where=where) for f in error.faults)) from None


@lru_cache(maxsize=64)
def points_profile(
    points: tuple[tuple[float, float], ...],
    smooth: bool,
    low: float | None = None,
    high: float | None = None,
) -> ProfileCurve:
    """The profile through points of radius and height, cut to a span; raises SpecError."""
    curve = points_curve(points, smooth)
    start = curve.heights[0] if low is None else max(low, curve.heights[0])
    stop = curve.heights[-1] if high is None else min(high, curve.heights[-1])

    def radius(m: Any, z: Any) -> Any:
        return m.curve(curve, z)

    def slope(m: Any, z: Any) -> Any:
        return m.curve_slope(curve, z)

    inside = tuple(z for z in curve.minima() if start < z < stop)
    return ProfileCurve(
        radius,
        slope,
        start,
        stop,
        curve.extremes(start, stop)[1],
        tuple((z, curve.at(z)) for z in inside),
        tuple(z for z in curve.corners() if start < z < stop),
        "r({0})",
        r"r(<0>)",
        "the curve through the author's points",
    )


@lru_cache(maxsize=64)
def formula_profile(text: str, low: float, high: float) -> ProfileCurve:
    """The profile of a formula of the height z between two heights.

    Raises SpecError where the radius is not a finite length above zero all along.
    """
    formula = parse_formula(text, ("z",))
    check_radius(formula, low, high)
    # The check above has shown that only rounding passes the edge of a root's domain.
    radius = formula.over(("z",), 0.0)
    slope = derivative(formula, "z").over(("z",), FLOOR)
    turns = turning_heights(slope, low, high)
    radii = [float(radius(FLOATS, z)) for z in (low, *turns, high)]
    waists = [
        (z, r)
        for before, z, r, after in zip(radii, turns, radii[1:], radii[2:], strict=False)
        if r < before and r < after
    ]
    return ProfileCurve(
        radius,
        slope,
        low,
        high,
        max(radii),
        tuple(waists),
        (),
        formula.template,
        formula.latex,
    )


def turning_heights(slope: Callable[..., Any], low: float, high: float) -> tuple[float, ...]:
    """The heights where the slope changes its sign."""
    heights = [low + i * ((high - low) / SAMPLES) for i in range(SAMPLES + 1)]
    return sign_changes(lambda z: slope(FLOATS, z), heights)


@lru_cache(maxsize=64)
def profile_skin(profile: ProfileCurve) -> Skin:
    """Return the skin of a profile on the model."""

    def radius(m: Any, z: Any, scale: Any) -> Any:
        return profile.radius(m, z * scale) / scale

    def slope(m: Any, z: Any, scale: Any) -> Any:
        return profile.slope(m, z * scale)

    made = _inner_maker(profile)

    def inner(m: Any, z: Any, *sizes: Any) -> Any:
        return m.made_curve(made, sizes, z)

    text, latex = profile.words, profile.latex
    if profile.reading:
        text, latex = text.replace("{0}", "{0}·{1}"), latex.replace("<0>", r"<0> \cdot <1>")
    else:
        text = f"({text})".replace("{0}", "({0}·{1})")
        latex = latex.replace("<0>", r"\left(<0> \cdot <1>\right)")
    return Skin(
        "profile",
        Expression((S,), radius, f"{text}/{{1}}", rf"\frac{{{latex}}}{{<1>}}", profile.reading),
        Expression((S,), slope, "r′({0}·{1})", r"r'(<0> \cdot <1>)", STEEP),
        Expression(
            (S, LOW, HIGH, *WIDTHS),
            inner,
            "r_i({0}; {4}, {5}, {6})",
            r"r_i(<0>; <4>, <5>, <6>)",
            EDGE,
        ),
        (*SIZE, *end_laws(profile.closed)),
        profile.closed,
        breaks=profile.corners,
        waists=profile.waists,
        made_edge=True,
    )


def _inner_maker(profile: ProfileCurve) -> Callable[..., HeightCurve]:
    """A function of the sizes that gives the inner edge, kept for the last sizes."""

    @lru_cache(maxsize=32)
    def make(
        scale: float, low: float, high: float, bottom: float, middle: float, top: float
    ) -> HeightCurve:
        return inner_curve(
            lambda z: float(profile.radius(FLOATS, z * scale)) / scale,
            lambda z: float(profile.slope(FLOATS, z * scale)),
            (low, high),
            (bottom, middle, top),
            tuple(z / scale for z in profile.corners),
        )

    return make
