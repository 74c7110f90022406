"""Law of propagation of uncertainty for any plain function of several uncertain inputs.

It follows the Guide to the expression of uncertainty in measurement (JCGM 100:2008, the GUM).
The frame's laws, a chain of dimensions and a calibration all pass through it. A function has
the form `function(m, *values)`, `m` being a namespace of functions such as `namespaces.FLOATS`; it
uses arithmetic and the functions of `m` only.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from framekit.constraints.series import Series, along
from framekit.constraints.t_quantile import two_sided
from framekit.errors import Fault, SolveError

Function = Callable[..., Any]
Distribution = Literal["uniform", "normal", "triangular", "arcsine"]

DIVISORS: dict[Distribution, float] = {
    "uniform": math.sqrt(3.0),
    "normal": 2.0,
    "triangular": math.sqrt(6.0),
    "arcsine": math.sqrt(2.0),
}
"""Half-width over standard uncertainty: GUM 4.3.7, 4.3.9 and H.1.3.4; of a normal distribution
the half-width is taken as two standard deviations."""

CURVATURE = 0.03
"""Largest |f''| σ / (2 |f'|) at which slopes alone give the standard deviation: its square is
below a thousandth of the variance."""

VISIBLE = 0.003
"""Share of the whole standard deviation below which an input's bend does not matter."""


class Uncertain(NamedTuple):
    """An input: its name, value, standard uncertainty and degrees of freedom."""

    name: str
    value: float
    uncertainty: float
    freedom: float = math.inf


class Contribution(NamedTuple):
    """What an input adds: the result's slope by it, |slope| · u in the result's unit, and its
    share of the variance."""

    name: str
    slope: float
    uncertainty: float
    share: float


class Expanded(NamedTuple):
    """The result ± `half_width` at a level of confidence: coverage factor, degrees of freedom."""

    half_width: float
    factor: float
    freedom: float


@dataclass(frozen=True)
class Propagated:
    """A result: its value, combined standard uncertainty, and what each input adds.

    `contributions` has the largest share first; with correlations a share may be negative, and
    all sum to 1. `freedom` is the effective degrees of freedom, None where the formula does not
    hold (correlated inputs of finite freedom). `second_order` is the standard uncertainty with
    the next terms of the Taylor series, None unless asked for. `curved` says that the function
    bends so much within an input's uncertainty that slopes alone do not do.
    """

    value: float
    uncertainty: float
    contributions: tuple[Contribution, ...]
    freedom: float | None
    second_order: float | None
    curved: bool

    def expanded(self, level: float = 0.95, whole: bool = True) -> Expanded:
        """The expanded uncertainty at a level of confidence (GUM G.6.4).

        `whole` truncates the effective degrees of freedom to the next lower whole number, as
        the GUM does for tables. Raises SolveError when the level is not between 0 and 1 or the
        degrees of freedom are not known.
        """
        if not 0 < level < 1:
            raise _fault("level", f"the level of confidence is {level:g}", "Use 0.95, say.")
        if self.freedom is None:
            raise _fault(
                "no-freedom",
                "correlated inputs of few observations have no effective degrees of freedom",
                "Give the inputs without degrees of freedom, or without correlations.",
            )
        freedom = self.freedom
        if whole and math.isfinite(freedom) and freedom >= 1:
            freedom = float(math.floor(freedom))
        factor = two_sided(level, freedom)
        return Expanded(factor * self.uncertainty, factor, freedom)


def from_limits(
    name: str,
    value: float,
    half_width: float,
    distribution: Distribution = "uniform",
    freedom: float = math.inf,
) -> Uncertain:
    """The input that lies within `value ± half_width`, spread in one of four ways.

    >>> round(from_limits("temperature", 20.0, 0.5, "arcsine").uncertainty, 3)
    0.354
    """
    return Uncertain(name, value, half_width / DIVISORS[distribution], freedom)


def freedom_of_doubt(doubt: float) -> float:
    """The degrees of freedom of an uncertainty that is itself uncertain by a share (GUM G.4.2).

    >>> freedom_of_doubt(0.5)
    2.0
    """
    return 1 / (2 * doubt * doubt)


def propagate(
    function: Function,
    inputs: Sequence[Uncertain],
    correlations: Mapping[tuple[str, str], float] | None = None,
    second_order: bool = False,
) -> Propagated:
    """The value of `function(m, *values)` with its combined standard uncertainty.

    First order with correlations is GUM equation 16, effective degrees of freedom G.2b, second
    order the note to GUM 5.1.2 (independent normal inputs). `correlations` maps pairs of input
    names to coefficients between -1 and 1. Raises SolveError when a slope is not finite, a
    correlation does not fit or is asked for with second order, and what the function raises.

    >>> area = propagate(
    ...     lambda m, a, b: a * b,
    ...     [Uncertain("a", 20.0, 0.1), Uncertain("b", 10.0, 0.1)],
    ... )
    >>> area.value, round(area.uncertainty, 6), area.contributions[0].name
    (200.0, 2.236068, 'b')
    """
    values = [i.value for i in inputs]
    lines = [_line(function, values, n) for n in range(len(inputs))]
    value = lines[0].c0 if lines else along(function, values, values).c0
    for line, item in zip(lines, inputs, strict=True):
        if not math.isfinite(line.c1):
            raise _fault(
                "no-slope",
                f"the result has no finite slope by {item.name} at {item.value:g}",
                "Sample it, or move the value away from the edge of the domain.",
            )
    effects = [line.c1 * i.uncertainty for line, i in zip(lines, inputs, strict=True)]
    pairs = _pairs(inputs, correlations or {})
    if pairs and second_order:
        raise _fault("correlated", "second order needs independent inputs", "Ask for one of them.")
    weights = [e * e for e in effects]
    for (a, b), r in pairs.items():
        weights[a] += r * effects[a] * effects[b]
        weights[b] += r * effects[a] * effects[b]
    variance = max(0.0, math.fsum(weights))
    sigma = math.sqrt(variance)
    bends = [line.c2 * i.uncertainty**2 for line, i in zip(lines, inputs, strict=True)]
    contributions = [
        Contribution(i.name, line.c1, abs(e), w / variance if variance else 0.0)
        for i, line, e, w in zip(inputs, lines, effects, weights, strict=True)
    ]
    return Propagated(
        value=value,
        uncertainty=sigma,
        contributions=tuple(sorted(contributions, key=lambda c: -c.share)),
        freedom=_freedom(inputs, effects, sigma, pairs),
        second_order=_second_order(function, inputs, lines, variance) if second_order else None,
        curved=any(bent(e, b, sigma) for e, b in zip(effects, bends, strict=True)),
    )


def bent(effect: float, bend: float, sigma: float) -> bool:
    """Whether an input's bend spoils its slope.

    `effect` is f' σᵢ, `bend` f'' σᵢ²/2, `sigma` the result's standard deviation: the bend must
    be more than 3 % of the effect, and visible in the whole.
    """
    return abs(bend) > CURVATURE * abs(effect) and abs(bend) > VISIBLE * sigma


def _line(function: Function, values: Sequence[float], moved: int) -> Series:
    return along(function, values, [float(n == moved) for n in range(len(values))])


def _pairs(
    inputs: Sequence[Uncertain], correlations: Mapping[tuple[str, str], float]
) -> dict[tuple[int, int], float]:
    places = {item.name: n for n, item in enumerate(inputs)}
    pairs: dict[tuple[int, int], float] = {}
    for (first, second), r in correlations.items():
        a, b = places.get(first), places.get(second)
        if a is None or b is None or a == b or not -1 <= r <= 1 or (b, a) in pairs:
            raise _fault(
                "correlation",
                f"the correlation {r:g} of {first} and {second} does not fit",
                "Name two different inputs once, with a coefficient from -1 to 1.",
            )
        if r:
            pairs[a, b] = r
    return pairs


def _freedom(
    inputs: Sequence[Uncertain],
    effects: Sequence[float],
    sigma: float,
    pairs: Mapping[tuple[int, int], float],
) -> float | None:
    """The Welch-Satterthwaite formula, GUM equation G.2b."""
    if any(math.isfinite(inputs[n].freedom) for pair in pairs for n in pair):
        return None
    total = math.fsum(
        (e / sigma) ** 4 / i.freedom
        for e, i in zip(effects, inputs, strict=True)
        if e and math.isfinite(i.freedom)
    )
    return 1 / total if total else math.inf


def _second_order(
    function: Function, inputs: Sequence[Uncertain], lines: Sequence[Series], variance: float
) -> float:
    """The standard uncertainty with the terms of the note to GUM 5.1.2.

    With each input counted in its own standard uncertainty they are ½ fᵢⱼ² + fᵢ fᵢⱼⱼ, summed over
    all i and j. Mixed derivatives come from the series along the sum and the difference of two.
    """
    values = [i.value for i in inputs]
    sizes = [i.uncertainty for i in inputs]
    first = [line.c1 * u for line, u in zip(lines, sizes, strict=True)]
    third = [6 * line.c3 * u**3 for line, u in zip(lines, sizes, strict=True)]
    terms = [variance]
    for line, u, f_i, f_iii in zip(lines, sizes, first, third, strict=True):
        terms.append(0.5 * (2 * line.c2 * u * u) ** 2 + f_i * f_iii)
    for i in range(len(inputs)):
        for j in range(i):
            plus, minus = (
                along(
                    function,
                    values,
                    [u if n == i else sign * u if n == j else 0.0 for n, u in enumerate(sizes)],
                )
                for sign in (1.0, -1.0)
            )
            f_ij = (plus.c2 - minus.c2) / 2
            f_ijj = plus.c3 + minus.c3 - third[i] / 3
            f_iij = plus.c3 - minus.c3 - third[j] / 3
            terms += [f_ij * f_ij, first[i] * f_ijj, first[j] * f_iij]
    return math.sqrt(max(0.0, math.fsum(terms)))


def _fault(code: str, message: str, hint: str) -> SolveError:
    return SolveError(Fault(code, message, hint=hint))
