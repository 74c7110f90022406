"""Text with units → plain mm, degrees, seconds; the edge where units end.

Unit sizes: SI Brochure, 9th edition; 1 in = 25.4 mm exactly, 1 ft = 12 in (NIST Special
Publication 811, appendix B).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

LENGTH_UNITS = {
    "mm": 1.0,
    "um": 1e-3,
    "µm": 1e-3,
    "cm": 10.0,
    "dm": 100.0,
    "m": 1e3,
    "km": 1e6,
    "in": 25.4,
    "ft": 304.8,
}
"""Length units and their size in mm."""

ANGLE_UNITS = {"deg": 1.0, "°": 1.0, "rad": 180.0 / math.pi}
SPEED_UNITS = {"mm/s": 1.0, "mm/min": 1 / 60, "cm/s": 10.0, "m/s": 1e3, "m/min": 1e3 / 60}
TIME_UNITS = {"s": 1.0, "ms": 1e-3, "min": 60.0}

LARGEST_LENGTH = 1e16
"""Lengths beyond this many mm (about 67 000 astronomical units) are refused as slips."""

Spread = Literal["limits", "normal"]

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
LONGEST_TEXT = 120
"""Characters of a value; longer ones are refused before they are looked at."""
_FRACTION = re.compile(r"^\s*(?:([0-9]+)\s+)?([0-9]+)\s*/\s*([0-9]+)\s*(.*)$")
_PLAIN = re.compile(rf"^\s*({_NUMBER})\s*(.*?)\s*$")
_TOLERANCE = re.compile(r"±|\+/-|\+-")
_GROUPED = re.compile(r"^[0-9]{1,3}(?:[ _,\u2009\u202f][0-9]{3})+$")


class MeasureError(ValueError):
    """A value that is not what its key takes: a sentence and a remedy."""

    def __init__(self, message: str, hint: str = "", path: tuple[str | int, ...] = ()) -> None:
        """Keep the sentence, the remedy, and where below the faulty section it is."""
        super().__init__(message, hint)
        self.path = path
        self.message = message
        self.hint = hint

    def __str__(self) -> str:
        """The sentence."""
        return self.message


@dataclass(frozen=True)
class Measure:
    """A length in mm as written: value, tolerance (±, mm), how it spreads, the unit written.

    `spread` is `limits` (worst case: never outside) or `normal` (± is two standard deviations).
    `exact` says that a tolerance of 0 was written; without it a tolerance of 0 is not told.
    """

    value: float
    tolerance: float = 0.0
    spread: Spread = "limits"
    unit: str = "mm"
    exact: bool = False

    @classmethod
    def __get_pydantic_core_schema__(cls, source: object, handler: Callable[[Any], Any]) -> Any:
        """Any value: the field types parse before pydantic looks (and save it 10 ms a start)."""
        return handler(Any)

    @property
    def told(self) -> bool:
        """Whether a tolerance was written, ± 0 too."""
        return self.exact or self.tolerance > 0

    @property
    def sigma(self) -> float:
        """The standard deviation in mm: T/√3 for limits (uniform, GUM 4.3.7), T/2 for normal."""
        return self.tolerance / (math.sqrt(3.0) if self.spread == "limits" else 2.0)


def parse_length(raw: object) -> Measure:
    """The length written as a number (mm), as text with a unit, or as a mapping.

    Raises MeasureError when it is not a finite length in a known unit.

    >>> parse_length("1/8 in").value
    3.175
    >>> parse_length("3.05 ± 0.10 mm").tolerance
    0.1
    """
    if isinstance(raw, Measure):
        return raw
    _refuse_long(raw)
    if isinstance(raw, dict):
        return _from_mapping(raw)
    if isinstance(raw, str) and _TOLERANCE.search(raw):
        parts = _TOLERANCE.split(raw)
        if len(parts) != 2:
            raise MeasureError(f"'{raw}' has more than one ±", "Write '3.05 ± 0.10 mm'.")
        value, unit, has_unit = _number(parts[0], LENGTH_UNITS, "a length", "mm")
        spread, spread_unit, spread_has_unit = _number(parts[1], LENGTH_UNITS, "a tolerance", "mm")
        if spread_has_unit and not has_unit:
            unit = spread_unit
        if has_unit and not spread_has_unit:
            spread_unit = unit
        return _measure(value, unit, spread, spread_unit, "limits")
    value, unit, _ = _number(raw, LENGTH_UNITS, "a length", "mm")
    return _measure(value, unit, None, unit, "limits")


def _from_mapping(raw: dict[object, object]) -> Measure:
    known = ("value", "tolerance", "spread")
    unknown = [str(key) for key in raw if key not in known]
    if unknown or "value" not in raw:
        what = f"has the unknown key '{unknown[0]}'" if unknown else "lacks 'value'"
        raise MeasureError(
            f"this length {what}", "Write {value: 3.05 mm, tolerance: 0.10 mm, spread: limits}."
        )
    spread = raw.get("spread", "limits")
    if spread not in ("limits", "normal"):
        raise MeasureError(
            f"spread is {_quoted(spread)}",
            "Use 'limits' (worst case) or 'normal' (two standard deviations).",
        )
    value, unit, has_unit = _number(raw["value"], LENGTH_UNITS, "a length", "mm")
    tolerance, tolerance_unit, tolerance_has_unit = _number(
        raw.get("tolerance", 0.0), LENGTH_UNITS, "a tolerance", "mm"
    )
    if tolerance_has_unit and not has_unit:
        raise MeasureError(
            f"the tolerance is in {tolerance_unit} and the value has no unit",
            "Write the unit with both.",
        )
    if has_unit and not tolerance_has_unit:
        tolerance_unit = unit
    told = tolerance if "tolerance" in raw else None
    return _measure(value, unit, told, tolerance_unit, spread)


def _measure(
    value: float, unit: str, told: float | None, spread_unit: str, kind: Spread
) -> Measure:
    """Return the measure; `told` is the tolerance in its unit, None where none is written."""
    spread = told or 0.0
    if spread < 0:
        raise MeasureError(
            f"the tolerance {spread:g} is negative", "Write it as a positive number after ±."
        )
    size = value * LENGTH_UNITS[unit]
    if abs(size) > LARGEST_LENGTH:
        raise MeasureError(
            f"{value:g} {unit} is beyond any body framekit knows", "Check the number and its unit."
        )
    return Measure(size, spread * LENGTH_UNITS[spread_unit], kind, unit, told == 0)


def parse_angle(raw: object) -> float:
    """The angle in degrees; raises MeasureError.

    >>> parse_angle("40°")
    40.0
    """
    value, unit, _ = _number(raw, ANGLE_UNITS, "an angle", "deg")
    return value * ANGLE_UNITS[unit]


def parse_speed(raw: object) -> float:
    """The speed in mm/s; raises MeasureError.

    >>> parse_speed("600 mm/min")
    10.0
    """
    value, unit, _ = _number(raw, SPEED_UNITS, "a speed", "mm/s")
    if not 0.001 <= value * SPEED_UNITS[unit] <= 1e6:
        raise MeasureError(
            f"{value:g} {unit} is not between 0.001 and 1 000 000 mm/s", "Write it in mm/s."
        )
    return value * SPEED_UNITS[unit]


def parse_time(raw: object) -> float:
    """The time in seconds; raises MeasureError.

    >>> parse_time("200 ms")
    0.2
    """
    value, unit, _ = _number(raw, TIME_UNITS, "a time", "s")
    if not 0.0 <= value * TIME_UNITS[unit] <= 3600.0:
        raise MeasureError(f"{value:g} {unit} is not between 0 and an hour", "Write it in seconds.")
    return value * TIME_UNITS[unit]


def parse_number(raw: object) -> float:
    """The plain finite number, without a unit; raises MeasureError."""
    value, _, _ = _number(raw, {"": 1.0}, "a number", "")
    return value


def parse_ratio(raw: object) -> float:
    """The scale's denominator: `1:4` gives 4, `2:1` gives 0.5; raises MeasureError.

    >>> parse_ratio("1:40 000 000")
    40000000.0
    """
    _refuse_long(raw)
    example = "Write it as text, such as '1:4' or '1:40 000 000'."
    if not isinstance(raw, str) or raw.count(":") != 1:
        raise MeasureError(f"{_quoted(raw)} is not a ratio", example)
    sides = []
    for side in raw.split(":"):
        text = side.strip()
        if _GROUPED.match(text):
            text = re.sub(r"\D", "", text)
        if not re.fullmatch(_NUMBER, text):
            raise MeasureError(f"'{raw}' is not a ratio of two numbers", example)
        sides.append(float(text))
    if not all(math.isfinite(s) and s > 0 for s in sides):
        raise MeasureError(f"'{raw}' is not a ratio of two positive numbers", example)
    return sides[1] / sides[0]


def parse_money(raw: object) -> tuple[float, str]:
    """The amount and its currency, as `4.20 EUR` gives (4.2, 'EUR'); raises MeasureError.

    Currencies are three letters (ISO 4217).
    """
    text = raw if isinstance(raw, str) else ""
    match = re.fullmatch(rf"\s*({_NUMBER})\s*([A-Z]{{3}})\s*", text)
    if match is None:
        raise MeasureError(
            f"{_quoted(raw)} is not a price", "Write an amount and a currency, such as '4.20 EUR'."
        )
    amount = float(match[1])
    if amount < 0:
        raise MeasureError(f"the price {amount:g} is negative", "Write zero or more.")
    return amount, match[2]


def _number(
    raw: object, units: dict[str, float], what: str, default: str
) -> tuple[float, str, bool]:
    """The number, its unit, and whether the unit was written."""
    example = f"Write a number in {default}" if default else "Write a plain number"
    known = [u for u in units if u]
    hint = f"{example}{', or with one of these units: ' + ', '.join(known) if known else ''}."
    _refuse_long(raw)
    if isinstance(raw, bool) or raw is None:
        raise MeasureError(f"{_quoted(raw)} is not {what}", hint)
    if isinstance(raw, (int, float)):
        try:
            number = float(raw)
        except OverflowError:
            number = math.inf
        return _finite(number, raw, what, hint), default, False
    if not isinstance(raw, str):
        raise MeasureError(f"{_quoted(raw)} is not {what}", hint)
    fraction = _FRACTION.match(raw)
    if fraction:
        whole, top, bottom, unit = fraction.groups()
        if int(bottom) == 0:
            raise MeasureError(f"'{raw}' divides by zero", hint)
        number = int(whole or 0) + int(top) / int(bottom)
    else:
        plain = _PLAIN.match(raw)
        if plain is None:
            raise MeasureError(f"'{_short(raw)}' is not {what}", hint)
        number, unit = float(plain[1]), plain[2]
    unit = unit.strip()
    if unit == "":
        return _finite(number, raw, what, hint), default, False
    if unit not in units:
        raise MeasureError(f"'{_short(raw)}' has the unknown unit '{_short(unit)}'", hint)
    return _finite(number, raw, what, hint), unit, True


def _refuse_long(raw: object) -> None:
    if isinstance(raw, str) and len(raw) > LONGEST_TEXT:
        raise MeasureError(f"'{_short(raw)}' is too long for a value", "Write a number and a unit.")


def _finite(number: float, raw: object, what: str, hint: str) -> float:
    if not math.isfinite(number):
        raise MeasureError(f"{_quoted(raw)} is not {what}: it is not finite", hint)
    return number


def _quoted(raw: object) -> str:
    if raw is None:
        return "an empty value"
    if isinstance(raw, bool):
        return "'true'" if raw else "'false'"
    if isinstance(raw, dict):
        return "a mapping"
    if isinstance(raw, (list, tuple)):
        return "a list"
    return f"'{_short(str(raw))}'"


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "…"
