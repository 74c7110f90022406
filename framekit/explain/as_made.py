"""A result as made: its proved range, its standard deviation and what moves it, to be printed."""

from __future__ import annotations

import math

from framekit.explain.model import AsMade
from framekit.explain.rounding import NOISE, rounded_outward
from framekit.explain.substitution import formulas
from framekit.solution.model import Quantity
from framekit.spec.measure import LENGTH_UNITS

DECIMALS = 4
"""Decimals of a range in mm, where they show two digits of its width."""
MOST_DECIMALS = 8


def as_made(quantity: Quantity) -> AsMade | None:
    """The range of a quantity or margin over the tolerances; None where nothing moves it.

    A proof may leave a band as wide as rounding where no tolerance does a thing.
    """
    if quantity.low == quantity.high:
        return None
    if quantity.sigma == 0 and quantity.high - quantity.low <= NOISE:
        return None
    size = LENGTH_UNITS.get(quantity.unit, 1.0)
    low, high, sigma = (x / size for x in (quantity.low, quantity.high, quantity.sigma))
    digits = _decimals(sigma)
    law, formula, latex = quantity.made, "", ""
    if law is not None and law.form.template != "{0}":  # not where the input itself is made
        formula, latex = formulas(law.form, law.names)
    return AsMade(
        low=low,
        high=high,
        sigma=sigma,
        unit=quantity.unit,
        printed=(*rounded_outward(low, high, _decimals(high - low)), f"{sigma:.{digits}f}"),
        formula=formula,
        latex_formula=latex,
        shares=tuple(share._replace(slope=share.slope / size) for share in quantity.shares),
        curved=quantity.curved,
    )


def _decimals(size: float) -> int:
    """The decimals that show at least two digits of a number; four at least, eight at most."""
    needed = 1 - math.floor(math.log10(size)) if size > 0 else 0
    return min(max(DECIMALS, needed), MOST_DECIMALS)
