"""Field types of the spec models: text with units in, plain numbers out, with JSON Schema."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import PlainValidator, WithJsonSchema

from framekit.errors import SpecError
from framekit.spec.corners import MOST_CORNERS, parse_corners
from framekit.spec.measure import (
    Measure,
    MeasureError,
    parse_angle,
    parse_length,
    parse_money,
    parse_number,
    parse_ratio,
    parse_speed,
    parse_time,
)

_LENGTH_SCHEMA: dict[str, Any] = {
    "anyOf": [
        {"type": "number", "description": "mm"},
        {"type": "string", "examples": ["12 cm", "1/8 in", "4879.4 km"]},
    ],
    "description": "a length: a number in mm, or text with a unit",
}
_TOLERANCED_SCHEMA: dict[str, Any] = {
    "anyOf": [
        {"type": "number", "description": "mm"},
        {"type": "string", "examples": ["3.05 ± 0.10 mm", "3.05 +/- 0.10"]},
        {
            "type": "object",
            "properties": {
                "value": {"type": ["number", "string"]},
                "tolerance": {"type": ["number", "string"]},
                "spread": {"enum": ["limits", "normal"]},
            },
            "required": ["value"],
            "additionalProperties": False,
        },
    ],
    "description": "a length, with a tolerance if there is one",
}
TOLERANCED = (
    *("sheet.thickness", "disc_sheet.thickness", "disc_sheet.kerf", "cutter.kerf"),
    *("cutter.tool_diameter", "joint.clearance"),
)
"""The keys whose tolerance is read; at every other key a tolerance is refused."""


def _plain(raw: object) -> Measure:
    measure = parse_length(raw)
    if measure.told:
        raise MeasureError(
            "a tolerance is not taken here",
            f"Remove the ±. Tolerances are read for {', '.join(TOLERANCED)} only.",
        )
    return measure


def _positive(measure: Measure) -> Measure:
    if measure.value <= 0:
        raise MeasureError(f"{measure.value:g} mm is not above zero", "Write a positive length.")
    return measure


def positive_length(raw: object) -> Measure:
    """The length above zero, without a tolerance; raises MeasureError."""
    return _positive(_plain(raw))


def _not_negative(measure: Measure) -> Measure:
    if measure.value < 0:
        raise MeasureError(f"{measure.value:g} mm is negative", "Write zero or a positive length.")
    return measure


def _limits_positive(raw: object) -> Measure:
    measure = _positive(parse_length(raw))
    if measure.tolerance >= measure.value:
        raise MeasureError(
            f"the tolerance ± {measure.tolerance:g} mm is as large as the value "
            f"{measure.value:g} mm",
            "Measure again; the value less its tolerance must stay above zero.",
        )
    return measure


def _limits_not_negative(raw: object) -> Measure:
    measure = _not_negative(parse_length(raw))
    if measure.tolerance > measure.value:
        raise MeasureError(
            f"the tolerance ± {measure.tolerance:g} mm is larger than the value "
            f"{measure.value:g} mm",
            "Measure again; the value less its tolerance must not be negative.",
        )
    return measure


def _bore(raw: object) -> Measure | str:
    if raw in ("none", "auto"):
        return str(raw)
    try:
        return _positive(_plain(raw))
    except MeasureError as error:
        raise MeasureError(str(error), "Write none, auto or a radius.") from None


def _fraction(raw: object) -> float:
    value = parse_number(raw)
    if not -1.0 < value < 1.0:
        raise MeasureError(
            f"{value:g} is not between -1 and 1", "0 is the equator, 1 and -1 are the poles."
        )
    return value


def _latitude(raw: object) -> float:
    value = parse_angle(raw)
    if not -90.0 < value < 90.0:
        raise MeasureError(
            f"{value:g} degrees is not between -90 and 90", "Write a latitude between the poles."
        )
    return value


def _longitude(raw: object) -> float:
    value = parse_angle(raw)
    if not -360.0 <= value <= 360.0:
        raise MeasureError(
            f"{value:g} degrees is not between -360 and 360", "Write a longitude in degrees."
        )
    return value


def _flattening(raw: object) -> float:
    value = parse_number(raw)
    if not -9.0 <= value < 1.0:
        raise MeasureError(
            f"the flattening {value:g} is not between -9 and 1",
            "It is 1 less polar over equatorial radius: 0 for a sphere, below 0 for an egg on end.",
        )
    return value


def _engagement(raw: object) -> float:
    value = parse_number(raw)
    if not 0.0 < value < 1.0:
        raise MeasureError(
            f"the engagement {value:g} is not between 0 and 1",
            "It is the share of the rib's width that its notch takes; 0.5 is usual.",
        )
    return value


def _exponent(raw: object) -> float:
    value = parse_number(raw)
    if not 1.0 <= value <= 20.0:
        raise MeasureError(
            f"the exponent {value:g} is not between 1 and 20",
            "2 is a spheroid, 1 a double cone; larger is boxier.",
        )
    return value


def _angle180(raw: object) -> float:
    value = parse_angle(raw)
    if not 0.0 <= value <= 180.0:
        raise MeasureError(
            f"{value:g} degrees is not between 0 and 180", "0 is upright, 180 upside down."
        )
    return value


def _tilt(raw: object) -> float | str:
    return "auto" if raw == "auto" else _angle180(raw)


def _reach(raw: object) -> float:
    value = parse_angle(raw)
    if not 10.0 <= value <= 80.0:
        raise MeasureError(
            f"{value:g} degrees is not between 10 and 80",
            "0 is the skin's lowest point and 90 a wall; 45 is usual.",
        )
    return value


def _formula(raw: object) -> str:
    if not isinstance(raw, str):
        raise MeasureError(
            f"the formula is {raw!r:.40}, not text", 'Write it in quotes, such as "40 + 2*cos(z)".'
        )
    # Few specs have a formula, and the reader of formulas takes time to load.
    from framekit.constraints.formula.parse import parse_formula

    try:
        return parse_formula(raw, ("z",)).text()
    except SpecError as error:
        raise MeasureError(error.message, error.hint) from None


MOST_POINTS = 2000
MOST_SHEETS = 1000
MOST_BRIDGES = 12


def _whole(raw: object, what: str, most: int) -> int:
    if type(raw) is not int or not 1 <= raw <= most:
        raise MeasureError(
            f"{what} is {raw!r:.40}, not a whole number from 1 to {most}",
            "Write a whole number.",
        )
    return raw


def _points(raw: object) -> tuple[tuple[Measure, Measure], ...]:
    if not isinstance(raw, (list, tuple)):
        raise MeasureError("the points are no list", "Write [[radius, height], …].")
    if not 2 <= len(raw) <= MOST_POINTS:
        raise MeasureError(
            f"the profile has {len(raw)} points", f"It takes 2 to {MOST_POINTS} points."
        )
    found = []
    for number, pair in enumerate(raw, 1):
        if not isinstance(pair, (list, tuple)) or len(pair) != 2:
            raise MeasureError(
                f"point {number} is no pair of radius and height", "Write [radius, height]."
            )
        try:
            found.append((_not_negative(_plain(pair[0])), _plain(pair[1])))
        except MeasureError as error:
            raise MeasureError(f"point {number}: {error}", error.hint) from None
    return tuple(found)


def _span(raw: object) -> tuple[Measure | str, Measure | str]:
    if not isinstance(raw, (list, tuple)) or len(raw) != 2:
        raise MeasureError("the span is no pair", "Write [low, high], such as [0 mm, top].")
    low = "bottom" if raw[0] == "bottom" else _plain(raw[0])
    high = "top" if raw[1] == "top" else _plain(raw[1])
    if isinstance(low, Measure) and isinstance(high, Measure) and low.value >= high.value:
        raise MeasureError("the span's lower end is not below its upper", "Swap them.")
    if low == "bottom" and high == "top":
        raise MeasureError("the span leaves the body whole", "Remove it.")
    return (low, high)


def _sizes(raw: object) -> dict[str, Measure]:
    if not isinstance(raw, dict) or not raw or len(raw) > 40:
        raise MeasureError("the sizes are no mapping", "Write 'sizes: {waist: 30 mm}'.")
    found = {}
    for name, value in raw.items():
        if not isinstance(name, str) or not re.fullmatch(r"[a-z][a-z0-9_]{0,30}", name):
            raise MeasureError(f"'{name!s:.40}' is no name of a size", "Use a-z, 0-9 and _.")
        plain = name.endswith("_ratio")
        found[name] = Measure(parse_number(value), unit="1") if plain else _plain(value)
    return found


Corners = Annotated[
    tuple[tuple[float, float], ...],
    PlainValidator(lambda raw: parse_corners(raw, _plain)),
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 3,
            "maxItems": MOST_CORNERS,
            "items": {"type": "array", "minItems": 2, "maxItems": 2, "items": _LENGTH_SCHEMA},
        }
    ),
]
SheetCount = Annotated[
    int,
    PlainValidator(lambda raw: _whole(raw, "the count of sheets", MOST_SHEETS)),
    WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_SHEETS}),
]
BridgeCount = Annotated[
    int,
    PlainValidator(lambda raw: _whole(raw, "the count of bridges", MOST_BRIDGES)),
    WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_BRIDGES}),
]
Angle180 = Annotated[
    float, PlainValidator(_angle180), WithJsonSchema({"type": ["number", "string"]})
]
Tilt = Annotated[
    float | Literal["auto"],
    PlainValidator(_tilt),
    WithJsonSchema({"anyOf": [{"const": "auto"}, {"type": ["number", "string"]}]}),
]
Reach = Annotated[float, PlainValidator(_reach), WithJsonSchema({"type": ["number", "string"]})]
Exponent = Annotated[float, PlainValidator(_exponent), WithJsonSchema({"type": "number"})]
Formula = Annotated[str, PlainValidator(_formula), WithJsonSchema({"type": "string"})]
Points = Annotated[
    tuple[tuple[Measure, Measure], ...],
    PlainValidator(_points),
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 2,
            "maxItems": MOST_POINTS,
            "items": {"type": "array", "minItems": 2, "maxItems": 2, "items": _LENGTH_SCHEMA},
        }
    ),
]
Span = Annotated[
    tuple[Measure | str, Measure | str],
    PlainValidator(_span),
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 2,
            "maxItems": 2,
            "items": {"anyOf": [{"enum": ["bottom", "top"]}, _LENGTH_SCHEMA]},
        }
    ),
]
Sizes = Annotated[
    dict[str, Measure],
    PlainValidator(_sizes),
    WithJsonSchema({"type": "object", "additionalProperties": _LENGTH_SCHEMA}),
]
Length = Annotated[Measure, PlainValidator(_plain), WithJsonSchema(_LENGTH_SCHEMA)]
PositiveLength = Annotated[Measure, PlainValidator(positive_length), WithJsonSchema(_LENGTH_SCHEMA)]
LengthFromZero = Annotated[
    Measure, PlainValidator(lambda raw: _not_negative(_plain(raw))), WithJsonSchema(_LENGTH_SCHEMA)
]
TolerancedLength = Annotated[
    Measure, PlainValidator(parse_length), WithJsonSchema(_TOLERANCED_SCHEMA)
]
ThicknessLength = Annotated[
    Measure, PlainValidator(_limits_positive), WithJsonSchema(_TOLERANCED_SCHEMA)
]
KerfLength = Annotated[
    Measure, PlainValidator(_limits_not_negative), WithJsonSchema(_TOLERANCED_SCHEMA)
]
Bore = Annotated[
    Measure | Literal["none", "auto"],
    PlainValidator(_bore),
    WithJsonSchema({"anyOf": [{"enum": ["none", "auto"]}, _LENGTH_SCHEMA]}),
]
Ratio = Annotated[
    float,
    PlainValidator(parse_ratio),
    WithJsonSchema({"type": "string", "examples": ["1:4", "1:40 000 000"]}),
]
SetScale = Annotated[
    float | Literal["largest"],
    PlainValidator(lambda raw: "largest" if raw == "largest" else parse_ratio(raw)),
    WithJsonSchema({"type": "string", "examples": ["1:4", "largest"]}),
]
Fraction = Annotated[float, PlainValidator(_fraction), WithJsonSchema({"type": "number"})]
Latitude = Annotated[
    float, PlainValidator(_latitude), WithJsonSchema({"type": ["number", "string"]})
]
Longitude = Annotated[
    float, PlainValidator(_longitude), WithJsonSchema({"type": ["number", "string"]})
]
Flattening = Annotated[float, PlainValidator(_flattening), WithJsonSchema({"type": "number"})]
Engagement = Annotated[float, PlainValidator(_engagement), WithJsonSchema({"type": "number"})]
Speed = Annotated[
    float,
    PlainValidator(parse_speed),
    WithJsonSchema({"type": ["number", "string"], "examples": ["12 mm/s", "600 mm/min"]}),
]
Time = Annotated[
    float,
    PlainValidator(parse_time),
    WithJsonSchema({"type": ["number", "string"], "examples": ["0.2 s"]}),
]
Money = Annotated[
    tuple[float, str],
    PlainValidator(parse_money),
    WithJsonSchema({"type": "string", "examples": ["4.20 EUR"]}),
]
