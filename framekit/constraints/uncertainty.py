"""How much a result varies over the toleranced inputs: worst case, sigma, and what moves it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from framekit.constraints.enclosure import enclose, rounded_out, shape_of, turns_over
from framekit.constraints.law import Form
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.propagation import CURVATURE, bent
from framekit.constraints.series import Series, along

STEP = 1024.0
"""How far an input is moved to find the slope of a straight law: any step is exact there, and a
long one rounds least."""

LONG = 2.0**20
"""Size of the values, mm, beyond which the step grows with them."""

ROUNDINGS = 2.0**-46
"""Relative size of what a straight law may be off by rounding: 64 roundings of a double."""


TAIL = 5.0
"""Standard deviations a normal input may go out: what lies beyond has no weight."""


class Toleranced(NamedTuple):
    """An input as made: its name in the laws, its quantity, value ± tolerance and sigma.

    Sigma is T/√3 when the tolerance is `limits` (uniform) and T/2 when it is `normal`. `told` says
    whether anyone gave the tolerance: 0 is then exact, else it is not known.
    """

    made: str
    quantity: str
    value: float
    tolerance: float
    sigma: float
    told: bool = True

    @property
    def uniform(self) -> bool:
        """Whether the values spread evenly over the limits, rather than normally."""
        return math.isclose(self.sigma * math.sqrt(3.0), self.tolerance, rel_tol=1e-9)


class Share(NamedTuple):
    """What one input does: the result's slope by it, and its share of the variance, 0 to 1."""

    input: str
    slope: float
    share: float


class Spread(NamedTuple):
    """A result at the design, its proved worst case, its sigma, and what moves it most.

    `driver` is the input that moves the worst case most, None when none does. `shares` rank the
    inputs by variance, most first; they sum to 1. `curved` says that the law bends too much
    over the tolerances for slopes alone, so that sigma and shares come from sampling.
    """

    value: float
    low: float
    high: float
    sigma: float
    driver: str | None
    shares: tuple[Share, ...] = ()
    curved: bool = False


def worst_case(form: Form, values: Mapping[str, float], inputs: tuple[Toleranced, ...]) -> Spread:
    """The spread of a law over all toleranced inputs within their limits.

    `values` has every other input of the law; results are in the law's own unit. The bounds
    hold every value the law takes in the box of limits; see `bounds.enclose`. Raises KeyError
    for an input that has no value, and ValueError or ZeroDivisionError where the law has none.
    """
    made = {item.made: item for item in inputs}
    arguments: list[float] = []
    live: list[Toleranced] = []
    places: list[int] = []
    for name in form.inputs:
        item = made.get(name)
        if item is None:
            arguments.append(values[name])
            continue
        if item.tolerance > 0:
            live.append(item)
            places.append(len(arguments))
        arguments.append(item.value)
    value = float(form.function(FLOATS, *arguments))
    if not live:
        return Spread(value, value, value, 0.0, None)
    shape = shape_of(form.function, len(arguments), tuple(places))
    if shape == "constant":
        return Spread(value, value, value, 0.0, None)
    if shape == "same":
        (item,) = live
        shares = (Share(item.quantity, 1.0, 1.0),)
        reach = item.tolerance
        return Spread(value, value - reach, value + reach, item.sigma, item.quantity, shares)
    if shape in ("straight", "rooted"):
        spread = _straight(form.function, arguments, live, places, value)
        if shape == "straight" or spread.low == spread.high:
            return spread
        least, most = rounded_out(form.function, arguments)
        return spread._replace(low=spread.low - value + least, high=spread.high - value + most)
    return _bent(form.function, arguments, live, places, value)


def _straight(
    function: Callable[..., Any],
    arguments: list[float],
    live: Sequence[Toleranced],
    places: Sequence[int],
    value: float,
) -> Spread:
    """The spread of a law that only adds multiples of its inputs."""
    slopes = []
    size = abs(value) + sum([abs(a) for a in arguments]) + sum([i.tolerance for i in live])
    step = STEP if size < LONG else 2.0 ** math.frexp(size)[1]
    for item, place in zip(live, places, strict=True):
        arguments[place] = item.value + step
        slopes.append((float(function(FLOATS, *arguments)) - value) / step)
        arguments[place] = item.value
    reach = sum([abs(s) * i.tolerance for s, i in zip(slopes, live, strict=True)])
    if reach:
        reach += ROUNDINGS * size * max(1.0, *[abs(s) for s in slopes])
    return _ranked(value, value - reach, value + reach, live, slopes)


def _bent(
    function: Callable[..., Any],
    arguments: list[float],
    live: Sequence[Toleranced],
    places: Sequence[int],
    value: float,
) -> Spread:
    box = [
        (place, item.value - item.tolerance, item.value + item.tolerance)
        for item, place in zip(live, places, strict=True)
    ]
    low, high, kinked = enclose(function, arguments, box)
    if not kinked and not all(item.uniform for item in live):
        tails = [_tails(i, p) for i, p in zip(live, places, strict=True)]
        kinked = turns_over(function, arguments, tails)
    if low == high and not kinked:
        return Spread(value, value, value, 0.0, None)
    low, high = min(low, value), max(high, value)
    lines = [
        along(function, arguments, [float(n == place) for n in range(len(arguments))])
        for place in places
    ]
    slopes = [line.c1 for line in lines]
    if not kinked and not _curved(value, low, high, live, lines):
        return _ranked(value, low, high, live, slopes)
    if kinked:
        slopes = [math.nan for _ in slopes]
    return _sampled(function, arguments, live, places, (value, low, high), slopes)


def _curved(
    value: float, low: float, high: float, live: Sequence[Toleranced], lines: Sequence[Series]
) -> bool:
    """Whether slopes alone do not give sigma: an input bends, or the proved range is not theirs."""
    if not all(math.isfinite(line.c1) for line in lines):
        return True
    effects = [line.c1 * i.sigma for line, i in zip(lines, live, strict=True)]
    sigma = math.sqrt(math.fsum(e * e for e in effects))
    bends = [line.c2 * i.sigma**2 for line, i in zip(lines, live, strict=True)]
    if any(bent(e, b, sigma) for e, b in zip(effects, bends, strict=True)):
        return True
    reach = math.fsum(abs(line.c1) * i.tolerance for line, i in zip(lines, live, strict=True))
    off = max(abs(high - value - reach), abs(value - reach - low))
    return off > 2 * CURVATURE * reach + 1e-12 * max(1.0, abs(value))


def _tails(item: Toleranced, place: int) -> tuple[int, float, float]:
    """The range an input hardly leaves, which for a normal one is beyond its limits."""
    reach = item.tolerance if item.uniform else max(item.tolerance, TAIL * item.sigma)
    return (place, item.value - reach, item.value + reach)


def _sampled(
    function: Callable[..., Any],
    arguments: list[float],
    live: Sequence[Toleranced],
    places: Sequence[int],
    interval: tuple[float, float, float],
    slopes: Sequence[float],
) -> Spread:
    """The spread with sigma and shares from sampling.

    Where there is no one slope, nan or infinite, the chord between the limits stands for it.
    """
    from framekit.constraints.sampling import Source, sampled_deviation  # rare, and slow to import

    sources = [
        Source(place, item.value, item.sigma, item.uniform)
        for item, place in zip(live, places, strict=True)
    ]
    sigma, alone = sampled_deviation(function, arguments, sources)
    finite = []
    for slope, item, place in zip(slopes, live, places, strict=True):
        if not math.isfinite(slope):
            ends = []
            for end in (item.value - item.tolerance, item.value + item.tolerance):
                moved = [*arguments[:place], end, *arguments[place + 1 :]]
                ends.append(float(function(FLOATS, *moved)))
            slope = (ends[1] - ends[0]) / (2 * item.tolerance)
        finite.append(slope)
    return _ranked(*interval, live, finite, (sigma, alone))


def _ranked(
    value: float,
    low: float,
    high: float,
    live: Sequence[Toleranced],
    slopes: Sequence[float],
    sampled: tuple[float, tuple[float, ...]] | None = None,
) -> Spread:
    """The spread with its inputs ranked; by slopes, or by what sampling gave."""
    if sampled is None:
        variances: Sequence[float] = [(s * i.sigma) ** 2 for s, i in zip(slopes, live, strict=True)]
        sigma = math.sqrt(math.fsum(variances))
    else:
        sigma, variances = sampled
    total = math.fsum(variances)
    if sigma > 0 and total == 0:  # none alone moves it, only all together
        variances = [1.0] * len(live)
        total = float(len(live))
    shares = [
        Share(item.quantity, slope, v / total)
        for item, slope, v in zip(live, slopes, variances, strict=True)
        if v > 0
    ]
    shares.sort(key=lambda share: -share.share)
    reaches = [abs(s) * i.tolerance for s, i in zip(slopes, live, strict=True)]
    furthest = max(reaches)
    driver = live[reaches.index(furthest)].quantity if furthest else None
    if driver is None and high > low:
        driver = shares[0].input if shares else max(live, key=lambda i: i.tolerance).quantity
    return Spread(value, low, high, sigma, driver, tuple(shares), sampled is not None)
