"""The kit for bodies: a shape's skin as the solver, the tolerances and the parts use it."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Callable, Mapping
from typing import Any

from framekit.bodies.model import Expression, Skin
from framekit.bodies.protocol import BodyShape
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.plugins import BODIES
from framekit.solution.meridian import meridian_of
from framekit.solution.model import FrameSolution
from framekit.solution.quantities import QUANTITIES
from framekit.testing.common import (
    FAILURES,
    check_installed,
    check_name,
    check_sizes,
    solved,
    stands,
)

DIAMETERS = (160.0, 240.0, 400.0)
"""mm across the models that the kit solves."""
STEPS = 1000
"""Steps from end to end in which a skin is looked at."""
ZERO_SHARE = 1e-6
"""Share of the greatest radius that rounding may leave of nothing, as for skins that close."""
LAYOUTS = (
    (0.0,),
    (-0.5, 0.5),
    (-0.6, 0.0, 0.6),
    (-0.3, 0.3),
    (-0.8, -0.4),
    (0.4, 0.8),
)
"""Fractions of the way from the middle to an end where discs are tried."""

Function = Callable[[float], float]


def check_body(shape: BodyShape, body: Mapping[str, object]) -> None:
    """Pass when a shape keeps its contract for the section `body` of a spec, else AssertionError.

    `body` is what stands under `body` beside `shape`, such as `{"sizes": {"belly": 90}}`. Its
    skin's radius is finite, nowhere below zero and without jumps; the greatest is the one it
    names; the slope is the derivative; intervals hold every value; lengths scale with the model;
    ends that meet the axis are said to; the parts of a frame pass the assembly test.
    """
    check_name(shape.name)
    check_sizes(shape.sizes, tuple(QUANTITIES), ("body", "model"))
    check_installed(BODIES, shape)
    skins = [_SolvedSkin(shape, body, diameter) for diameter in DIAMETERS]
    for skin in skins:
        skin.radius_is_a_skin()
        skin.ends_are_as_said()
        skin.slope_is_the_derivative()
        skin.breaks_are_inside()
        skin.inner_edge_is_inside()
        skin.intervals_hold()
        skin.words_can_be_printed()
    _lengths_scale(skins)
    _frames_stand(shape, body)


def _document(
    shape: BodyShape, body: Mapping[str, object], diameter: float, fractions: tuple[float, ...]
) -> dict[str, Any]:
    width = 0.12 * diameter
    return {
        "body": {**body, "shape": shape.name},
        "model": {"equatorial_diameter": diameter},
        "ribs": {"count": 6, "width": {"equator": width, "pole": 0.7 * width}},
        "discs": [{"at": {"fraction": u}} for u in fractions],
        "sheet": {"thickness": "3.0 ± 0.05", "size": [9000, 9000]},
        "cutter": {"kerf": "0.16 ± 0.02"},
    }


class _SolvedSkin:
    """The skin of one solved model."""

    def __init__(self, shape: BodyShape, body: Mapping[str, object], diameter: float) -> None:
        try:
            document = _document(shape, body, diameter, (0.0,))
            exact = {"sheet": {**document["sheet"], "thickness": "3.0 ± 0"}}
            # Without tolerances nothing asks for intervals before this kit does.
            self.frame: FrameSolution = solved(document | exact | {"cutter": {"kerf": "0.16 ± 0"}})
            self.skin: Skin = shape.skin(self.frame.spec)
        except FAILURES as error:
            raise AssertionError(
                f"a model {diameter:g} mm across has no solution: {error!r}"
            ) from (error)
        self.values = {name: quantity.value for name, quantity in self.frame.quantities.items()}
        ends = meridian_of(self.frame)
        self.low, self.high = ends.low, ends.high
        self.height = self.high - self.low
        self.greatest = self.values["model.equatorial_radius"]
        scale = self.values["scale.denominator"]
        self.breaks = [z / scale for z in self.skin.breaks]
        self.radius = self._floats(self.skin.radius)
        self.slope = self._floats(self.skin.slope)
        self.inner = self._floats(self.skin.inner)
        self.heights = [self.low + self.height * i / STEPS for i in range(STEPS)] + [self.high]

    def _inputs(self, expression: Expression) -> list[float]:
        return [self.values[name] for name in expression.inputs]

    def _floats(self, expression: Expression) -> Function:
        inputs = self._inputs(expression)

        def at(z: float) -> float:
            try:
                return float(expression.function(FLOATS, z, *inputs))
            except (ArithmeticError, ValueError) as error:
                raise AssertionError(
                    f"nothing comes at the height {z:.6g} mm: {error!r}"
                ) from error

        return at

    def radius_is_a_skin(self) -> None:
        radii = [self.radius(z) for z in self.heights]
        least = ZERO_SHARE * self.greatest
        for z, r in zip(self.heights, radii, strict=True):
            assert math.isfinite(r), f"the radius at {z:.6g} mm is {r}"
            assert r >= -least, f"the radius at {z:.6g} mm is {r:.6g} mm, below zero"
        for low, high in zip(self.heights, self.heights[1:], strict=False):
            self._no_jump(low, high)
        found = self._most(radii.index(max(radii)))
        assert found <= self.greatest + least, (
            f"the radius comes to {found:.6g} mm; the greatest is said to be {self.greatest:.6g} mm"
        )
        assert found >= self.greatest - least, (
            f"the radius comes only to {found:.6g} mm of the {self.greatest:.6g} mm it is said to"
        )

    def _no_jump(self, low: float, high: float) -> None:
        """Halve the half with the greater change: a jump stays, a steep slope does not.

        Where a skin closes its slope has no bound, and the change shrinks slowly; a jump's does
        not shrink at all between the 10th and the 34th halving.
        """
        start, before = low, 0.0
        first, last = self.radius(low), self.radius(high)
        for halving in range(34):
            if abs(last - first) <= 1e-4 * self.greatest:
                return
            if halving == 10:
                before = abs(last - first)
            middle = (low + high) / 2
            r = self.radius(middle)
            if abs(r - first) >= abs(last - r):
                high, last = middle, r
            else:
                low, first = middle, r
        assert abs(last - first) <= 0.9 * before, f"the radius jumps near {start:.6g} mm"

    def _most(self, place: int) -> float:
        """The greatest radius beside the greatest sample, by thirds."""
        low, high = self.heights[max(place - 1, 0)], self.heights[min(place + 1, STEPS)]
        for _ in range(80):
            one, two = low + (high - low) / 3, high - (high - low) / 3
            if self.radius(one) < self.radius(two):
                low = one
            else:
                high = two
        return max(self.radius((low + high) / 2), self.radius(self.heights[place]))

    def slope_is_the_derivative(self) -> None:
        step = 1e-6 * self.height
        for z in self.heights[10:-10]:
            if any(abs(z - b) <= 2 * step for b in self.breaks):
                continue
            numeric = (self.radius(z + step) - self.radius(z - step)) / (2 * step)
            found = self.slope(z)
            # A central difference is off by the step squared and by rounding over the step,
            # both far below this; slopes that jump in their own slope need the room.
            assert abs(found - numeric) <= 1e-4 * (1 + abs(numeric)), (
                f"the slope at {z:.6g} mm is {found:.6g}, and the radius rises by {numeric:.6g}"
            )

    def ends_are_as_said(self) -> None:
        for which, z, stated in zip(
            ("lower", "upper"), (self.low, self.high), self.skin.closed, strict=True
        ):
            closed = self.radius(z) <= ZERO_SHARE * self.greatest
            what = "meets the axis" if closed else f"has a radius of {self.radius(z):.6g} mm"
            assert closed == stated, (
                f"the {which} end {what} and is said to be {'closed' if stated else 'open'}"
            )

    def breaks_are_inside(self) -> None:
        for z in self.breaks:
            assert self.low < z < self.high, f"a break at {z:.6g} mm is not between the ends"

    def inner_edge_is_inside(self) -> None:
        for z in self.heights[1:-1]:
            edge, skin = self.inner(z), self.radius(z)
            assert math.isfinite(edge), f"the inner edge at {z:.6g} mm is {edge}"
            assert edge <= skin + 1e-6, (
                f"the inner edge at {z:.6g} mm is {edge:.6g} mm, outside the skin, {skin:.6g} mm"
            )

    def intervals_hold(self) -> None:
        random_ = random.Random(1)
        for name in ("radius", "slope", "inner"):
            for _ in range(40):
                self._interval_holds(name, getattr(self.skin, name), random_)

    def _interval_holds(self, what: str, expression: Expression, random_: random.Random) -> None:
        """Compare an interval of heights and sizes with samples in it; sizes move by up to 0.1 %.

        The inner edge's sizes stand still: a curve may be made for them.
        """
        inputs = self._inputs(expression)
        count = 1 + len(inputs)
        units = [tuple((float(i == j),) * 2 for j in range(count)) for i in range(count)]
        middle = self.low + self.height * random_.uniform(0.05, 0.95)
        reach = self.height * random_.choice((0.0, 1e-4, 1e-3, 1e-2))
        boxes = [(middle - reach, middle + reach)]
        moves = [0.0 if what == "inner" else random_.choice((0.0, 1e-3)) for _ in inputs]
        boxes += [(x - abs(x) * s, x + abs(x) * s) for x, s in zip(inputs, moves, strict=True)]
        intervals = [
            Interval(*box, unit) if i == 0 or moves[i - 1] else box[0]
            for i, (box, unit) in enumerate(zip(boxes, units, strict=True))
        ]
        found = expression.function(INTERVALS, *intervals)
        low, high = (found.low, found.high) if isinstance(found, Interval) else (found, found)
        for _ in range(8):
            z, *sizes = (random_.uniform(*box) for box in boxes)
            value = float(expression.function(FLOATS, z, *sizes))
            assert low <= value <= high, (
                f"the {what}'s interval at {z:.6g} mm is {low:.6g} to {high:.6g} and misses "
                f"{value:.6g}: every function must come from the namespace it is given"
            )

    def words_can_be_printed(self) -> None:
        for what in ("radius", "slope", "inner"):
            expression: Expression = getattr(self.skin, what)
            places = 1 + len(expression.inputs)
            named = {int(n) for n in re.findall(r"\{(\d+)\}", expression.template)}
            named |= {int(n) for n in re.findall(r"<(\d+)>", expression.latex)}
            assert all(n < places for n in named), f"the text of the {what} names a place too many"


def _lengths_scale(skins: list[_SolvedSkin]) -> None:
    first = skins[0]
    for skin in skins[1:]:
        ratio = skin.greatest / first.greatest
        for share in (0.1, 0.3, 0.5, 0.8):
            one = first.radius(first.low + share * first.height)
            other = skin.radius(skin.low + share * skin.height)
            # 1e-9: rounding of a few operations
            assert abs(other - ratio * one) <= 1e-9 * skin.greatest, (
                f"in a model {ratio:g} times as large the radius {share:g} of the way up is "
                f"{other / one:.6g} times as large"
            )


def _frames_stand(shape: BodyShape, body: Mapping[str, object]) -> None:
    passed, why = 0, ""
    for diameter in DIAMETERS[:2]:
        for fractions in LAYOUTS:
            reason = stands(_document(shape, body, diameter, fractions))
            passed += not reason
            why = reason or why
    assert passed, f"no frame of this body passes its checks; the last one says: {why}"
