"""Field types of the spec models: text with units in, plain numbers out, with JSON Schema."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import PlainValidator, WithJsonSchema

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


def _plain(raw: object) -> Measure:
    measure = parse_length(raw)
    if measure.tolerance:
        raise MeasureError(
            "a tolerance is not taken here",
            "Tolerances are read for sheet.thickness, cutter.kerf and joint.clearance.",
        )
    return measure


def _positive(measure: Measure) -> Measure:
    if measure.value <= 0:
        raise MeasureError(f"{measure.value:g} mm is not above zero", "Write a positive length.")
    return measure


def _not_negative(measure: Measure) -> Measure:
    if measure.value < 0:
        raise MeasureError(f"{measure.value:g} mm is negative", "Write zero or a positive length.")
    return measure


def _band_positive(raw: object) -> Measure:
    measure = _positive(parse_length(raw))
    if measure.tolerance >= measure.value:
        raise MeasureError(
            f"the tolerance ± {measure.tolerance:g} mm is as large as the value "
            f"{measure.value:g} mm",
            "Measure again; the value less its tolerance must stay above zero.",
        )
    return measure


def _band_not_negative(raw: object) -> Measure:
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


Length = Annotated[Measure, PlainValidator(_plain), WithJsonSchema(_LENGTH_SCHEMA)]
PositiveLength = Annotated[
    Measure, PlainValidator(lambda raw: _positive(_plain(raw))), WithJsonSchema(_LENGTH_SCHEMA)
]
LengthFromZero = Annotated[
    Measure, PlainValidator(lambda raw: _not_negative(_plain(raw))), WithJsonSchema(_LENGTH_SCHEMA)
]
TolerancedLength = Annotated[
    Measure, PlainValidator(parse_length), WithJsonSchema(_TOLERANCED_SCHEMA)
]
ThicknessLength = Annotated[
    Measure, PlainValidator(_band_positive), WithJsonSchema(_TOLERANCED_SCHEMA)
]
KerfLength = Annotated[
    Measure, PlainValidator(_band_not_negative), WithJsonSchema(_TOLERANCED_SCHEMA)
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
