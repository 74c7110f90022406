"""Numbers as people read them: how far they are rounded, and how many digits a sum needs.

A printed sum must come out: whoever works it out from the printed numbers gets the printed result.
So each number is given with the digits it is printed with elsewhere, and with more where these are
too few.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Context, Decimal
from typing import NamedTuple

from framekit.spec.measure import LENGTH_UNITS

MOST_DIGITS = 16
"""Decimals beyond the printed ones after which a double has no more to give."""

COARSE, FINE = 6, 11
"""A number with up to six decimals is rounded to eleven first: what a difference of doubles leaves
of an exact half lies below that."""

NOISE = 1e-9
"""How far in its unit, mm, a proved bound may lie beyond the printed one: what floating point
leaves of an exact decimal, a millionth of a micrometre."""

_ROOMY = Context(prec=60)


class Rounding(NamedTuple):
    """How far results are rounded: decimals of a mm, and digits of every other number.

    Digits left of the point are always whole. A length under a tenth of a mm has `small` decimals.
    """

    decimals: int = 4
    digits: int = 8
    small: int = 4


STANDARD = Rounding()
"""How a derivation is rounded: 0.0001 mm, eight digits of everything else."""

ROUNDED = Rounding(decimals=2, digits=7, small=4)
"""How a pupil rounds: 0.01 mm, four decimals of a length under 0.1 mm, seven digits otherwise."""


class PrintedNumber(NamedTuple):
    """A number to print: its value in `unit`, and whether it is written as exactly as it is."""

    value: float
    unit: str
    exact: bool = False


def places(number: PrintedNumber, rounding: Rounding) -> int:
    """The decimals that a number is printed with."""
    value, unit, exact = number
    if exact and float(f"{value:.10g}") == float(f"{value:.15g}"):
        written = f"{abs(value):.10g}"
        short = _decimals(written)
        return max(short, rounding.decimals) if unit == "mm" else short
    if unit == "mm":
        small = 0 < abs(value) < 0.1 and not is_exact_in(number, rounding.decimals)
        return rounding.small if small else rounding.decimals
    if value == 0:
        return 0
    return max(0, rounding.digits - 1 - math.floor(math.log10(abs(value))))


def is_exact_in(number: PrintedNumber, decimals: int) -> bool:
    """Whether the number has no more decimals than these, but for the noise of floating point."""
    return abs(float(_fixed(number.value, decimals)) - number.value) <= 1e-12 * abs(number.value)


def _decimals(written: str) -> int:
    digits, _, power = written.partition("e")
    return max(0, len(digits.partition(".")[2]) - int(power or 0))


def printed(number: PrintedNumber, rounding: Rounding) -> str:
    """The number as a result is printed: lengths in mm with all decimals, others without zeros.

    >>> printed(PrintedNumber(150.0, "mm"), Rounding())
    '150.0000'
    >>> printed(PrintedNumber(334822222.2222, "1"), Rounding())
    '334822222'
    """
    text = _fixed(number.value, places(number, rounding))
    return text if number.unit == "mm" else _short(text)


def digits_for(
    numbers: Sequence[PrintedNumber],
    result: str,
    rounding: Rounding,
    compute: Callable[[Sequence[float]], str],
) -> tuple[str, ...]:
    """The inputs of a sum as text, with just the digits that make it come out as `result`.

    `compute` gives the result as it is printed from the inputs in their units. Every number starts
    with the digits it is printed with.
    """

    def texts(extras: Sequence[int]) -> tuple[str, ...]:
        return tuple(
            _short(_fixed(number.value, places(number, rounding) + extra))
            for number, extra in zip(numbers, extras, strict=True)
        )

    def comes_out(extras: Sequence[int]) -> bool:
        return compute([float(text) for text in texts(extras)]) == result

    count = len(numbers)
    extra = next((e for e in range(MOST_DIGITS) if comes_out([e] * count)), MOST_DIGITS)
    extras = [extra] * count
    for i in range(count):
        for fewer in range(extra):
            if comes_out([*extras[:i], fewer, *extras[i + 1 :]]):
                extras[i] = fewer
                break
    return texts(extras)


def rounded_outward(low: float, high: float, decimals: int) -> tuple[str, str]:
    """Both ends of a range in decimals, rounded so that nothing in it lies outside the printed one.

    >>> rounded_outward(-0.00004, 3.10001, 4)
    ('-0.0001', '3.1001')
    >>> rounded_outward(3.05 - 0.03, 0.1 + 0.2, 4)
    ('3.0200', '0.3000')
    """
    unit, noise = Decimal(1).scaleb(-decimals), Decimal(NOISE)
    ends = (
        (Decimal(low) + noise).quantize(unit, ROUND_FLOOR, _ROOMY),
        (Decimal(high) - noise).quantize(unit, ROUND_CEILING, _ROOMY),
    )
    first, second = (f"{end:f}".lstrip("-") if end == 0 else f"{end:f}" for end in ends)
    return first, second


def with_minus(text: str) -> str:
    """Return a number with a minus sign as it is printed."""
    return text.replace("-", "−")


def unit_text(unit: str) -> str:
    """The unit as it follows a number in plain text.

    >>> unit_text("mm"), unit_text("deg"), unit_text("1")
    (' mm', '°', '')
    """
    return {"1": "", "deg": "°"}.get(unit, f" {unit}")


def unit_latex(unit: str) -> str:
    r"""The unit as it follows a number in LaTeX.

    >>> unit_latex("km")
    '\\ \\mathrm{km}'
    """
    return {"1": "", "deg": r"^{\circ}"}.get(unit, rf"\ \mathrm{{{unit}}}")


def is_length(unit: str) -> bool:
    """Whether the unit is one of length."""
    return unit in LENGTH_UNITS


def _fixed(value: float, decimals: int) -> str:
    """The number rounded as at school, halves away from zero; noise of floating point is none."""
    exact = Decimal(f"{value:.15g}")
    if decimals <= COARSE:
        exact = exact.quantize(Decimal(1).scaleb(-FINE), ROUND_HALF_UP, _ROOMY)
    text = f"{exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP, _ROOMY):f}"
    return text.lstrip("-") if float(text) == 0 else text


def _short(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text
