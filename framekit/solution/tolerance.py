"""Worst case of a law over the box of toleranced inputs, proved, and its standard deviation."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from framekit.solution.law import Form
from framekit.solution.numeric import BANDS, FLOATS, Band

DEEPEST_SPLIT = 6
"""How often a box is halved where a slope's sign is not certain; then the interval itself holds."""


class Toleranced(NamedTuple):
    """An input as made: its name in the laws, its quantity, value ± tolerance and sigma."""

    made: str
    quantity: str
    value: float
    tolerance: float
    sigma: float


class Spread(NamedTuple):
    """A result at the design, its proved worst case, its sigma, and what moves it most."""

    value: float
    low: float
    high: float
    sigma: float
    driver: str | None


def worst_case(form: Form, values: Mapping[str, float], inputs: tuple[Toleranced, ...]) -> Spread:
    """The bounds of a law over all toleranced inputs within their limits.

    `values` has every other input of the law; results are in the law's own unit. The bounds
    enclose every value the law takes in the box; they are exact unless a slope changes sign in
    the smallest boxes.
    """
    live = tuple(i for i in inputs if i.made in form.inputs and i.tolerance > 0)
    fixed = {name: values[name] for name in form.inputs if name in values}
    fixed.update({i.made: i.value for i in inputs if i.made in form.inputs})
    nominal = float(form.function(FLOATS, *(fixed[n] for n in form.inputs)))
    if not live:
        return Spread(nominal, nominal, nominal, 0.0, None)
    box = tuple((i.value - i.tolerance, i.value + i.tolerance) for i in live)
    low, high = _bounds(form, fixed, live, box, 0)
    effects = [_effect(form, fixed, i) for i in live]
    sigma = math.sqrt(math.fsum((e * i.sigma) ** 2 for e, i in zip(effects, live, strict=True)))
    strongest = max(
        zip(effects, live, strict=True), key=lambda pair: abs(pair[0]) * pair[1].tolerance
    )
    driver = strongest[1].quantity if strongest[0] else None
    return Spread(nominal, min(low, nominal), max(high, nominal), sigma, driver)


def _effect(form: Form, fixed: Mapping[str, float], item: Toleranced) -> float:
    """The slope of the law by one input at the design, by a central difference."""
    step = item.tolerance / 64

    def at(value: float) -> float:
        return float(
            form.function(FLOATS, *(value if n == item.made else fixed[n] for n in form.inputs))
        )

    return (at(item.value + step) - at(item.value - step)) / (2 * step)


def _bounds(
    form: Form,
    fixed: Mapping[str, float],
    live: tuple[Toleranced, ...],
    box: tuple[tuple[float, float], ...],
    depth: int,
) -> tuple[float, float]:
    names = {item.made: n for n, item in enumerate(live)}
    bands = []
    for n, (low, high) in enumerate(box):
        slopes = tuple((1.0, 1.0) if i == n else (0.0, 0.0) for i in range(len(box)))
        bands.append(Band(low, high, slopes))
    arguments = (bands[names[n]] if n in names else fixed[n] for n in form.inputs)
    result = form.function(BANDS, *arguments)
    if not isinstance(result, Band):
        return (result, result)
    undecided = [n for n, s in enumerate(result.slopes) if s[0] < 0 < s[1]]
    if not undecided:
        corners = []
        for side in (0, 1):
            corner = {
                item.made: box[n][side if result.slopes[n][0] >= 0 else 1 - side]
                for n, item in enumerate(live)
            }
            corners.append(
                float(form.function(FLOATS, *(corner.get(n, fixed[n]) for n in form.inputs)))
            )
        return (corners[0], corners[1])
    if depth == DEEPEST_SPLIT:
        return (result.low, result.high)
    widest = max(undecided, key=lambda n: box[n][1] - box[n][0])
    middle = (box[widest][0] + box[widest][1]) / 2
    halves = [
        _bounds(form, fixed, live, (*box[:widest], part, *box[widest + 1 :]), depth + 1)
        for part in ((box[widest][0], middle), (middle, box[widest][1]))
    ]
    return (min(h[0] for h in halves), max(h[1] for h in halves))
