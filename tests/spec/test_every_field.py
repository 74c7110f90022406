"""Each key of a spec reads every unit and takes or refuses a tolerance, from the whole text.

The table below says by hand what each key takes. A key without a row fails, so a new one needs one.
Sizes of units: SI Brochure, 9th edition; 1 in = 25.4 mm and 1 ft = 0.3048 m exactly (NIST SP 811,
appendix B.8); 1 rad = 180/π degrees.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from framekit.errors import SpecError
from framekit.spec.build import parse_spec
from framekit.spec.measure import (
    ANGLE_UNITS,
    LENGTH_UNITS,
    SPEED_UNITS,
    TIME_UNITS,
    Measure,
    parse_angle,
    parse_length,
    parse_speed,
    parse_time,
)
from framekit.spec.sections import FrameDocument
from framekit.spec.set_sections import SetDocument

MILLIMETRES = {
    "mm": 1.0,
    "um": 0.001,
    "µm": 0.001,
    "cm": 10.0,
    "dm": 100.0,
    "m": 1000.0,
    "km": 1_000_000.0,
    "in": 25.4,
    "ft": 304.8,
}
DEGREES = {"deg": 1.0, "°": 1.0, "rad": 57.29577951308232}
MM_A_SECOND = {
    "mm/s": 1.0,
    "mm/min": 0.016666666666666666,
    "cm/s": 10.0,
    "m/s": 1000.0,
    "m/min": 16.666666666666668,
}
SECONDS = {"s": 1.0, "ms": 0.001, "min": 60.0}
TABLES = [
    ("length", LENGTH_UNITS, MILLIMETRES, lambda text: parse_length(text).value),
    ("angle", ANGLE_UNITS, DEGREES, parse_angle),
    ("speed", SPEED_UNITS, MM_A_SECOND, parse_speed),
    ("time", TIME_UNITS, SECONDS, parse_time),
]


@pytest.mark.parametrize(("kind", "units", "sizes", "read"), TABLES, ids=lambda x: str(x)[:8])
def test_every_unit_of_every_table(kind, units, sizes, read) -> None:
    assert set(units) == set(sizes), f"give each {kind} unit a figure of the test's own"
    for unit, size in sizes.items():
        for text, number in ((f"7 {unit}", 7.0), (f"2.5{unit}", 2.5), (f" 3/4  {unit} ", 0.75)):
            # 1e-15 relative: one multiplication of doubles, and a third as a double.
            assert read(text) == pytest.approx(number * size, rel=4e-16), text


def test_a_number_alone_is_in_the_default_unit() -> None:
    assert parse_length(7).value == parse_length("7").value == 7.0
    assert parse_angle(7) == 7.0
    assert parse_speed(7) == 7.0
    assert parse_time(7) == 7.0


# Value and ± of 1/8 and 0.004, by which of the two has a unit; a unit written once holds for both.
MIXED = [
    (value_unit, tolerance_unit, (value_unit or tolerance_unit, tolerance_unit or value_unit))
    for value_unit in ("", *MILLIMETRES)
    for tolerance_unit in ("", *MILLIMETRES)
]


@pytest.mark.parametrize(("first", "second", "both"), MIXED, ids=str)
def test_units_mix_in_a_tolerance(first, second, both) -> None:
    value, tolerance = 0.125 * MILLIMETRES[both[0] or "mm"], 0.004 * MILLIMETRES[both[1] or "mm"]
    for sign in ("±", "+/-", "+-"):
        for number in ("1/8", "0.125"):
            measure = parse_length(f"{number} {first} {sign} 0.004 {second}")
            # 4e-16 relative: one multiplication of doubles.
            assert measure.value == pytest.approx(value, rel=4e-16)
            assert measure.tolerance == pytest.approx(tolerance, rel=4e-16)
    if first or not second:
        for spread, divisor in (("limits", math.sqrt(3)), ("normal", 2.0)):
            mapping = parse_length(
                {"value": f"1/8 {first}", "tolerance": f"0.004 {second}", "spread": spread}
            )
            assert mapping.value == pytest.approx(value, rel=4e-16)
            assert mapping.tolerance == pytest.approx(tolerance, rel=4e-16)
            # GUM (JCGM 100) 4.3.7 for limits; ± is two standard deviations for normal.
            assert mapping.sigma == pytest.approx(tolerance / divisor, rel=1e-15)


def test_the_issue_of_an_inch_and_its_thousandths() -> None:
    # 1/8 in = 3.175 mm, 0.004 in = 0.1016 mm, 1 1/2 in = 38.1 mm.
    for text in ("1/8 in ± 0.004", "1/8 ± 0.004 in", "1/8 in ± 0.1016 mm", "3.175 mm ± 0.004 in"):
        measure = parse_length(text)
        # 1e-15: two roundings.
        assert (measure.value, measure.tolerance) == pytest.approx((3.175, 0.1016), rel=1e-15)
    measure = parse_length("1 1/2 in ± 1/64")
    assert (measure.value, measure.tolerance) == pytest.approx((38.1, 25.4 / 64), rel=1e-15)


SPHERE = {
    "framekit": 1,
    "body": {"shape": "sphere", "diameter": "190 mm"},
    "ribs": {"count": 6},
    "discs": [{"at": {"height": 0}}],
    "sheet": {"thickness": 3, "size": [600, 400]},
    "cutter": {},
}
SPHEROID = {"body": {"shape": "spheroid"}}
CONE = {"body": {"shape": "cone"}}
MEAN = {"body": {"shape": "spheroid", "mean_kind": "arithmetic"}}
FORMULA = {"body": {"shape": "profile", "radius_at": "40", "from": "-1 km", "to": "1 km"}}
ROUTER = {"cutter": {"process": "router"}}
FLANGE = {"flanges": [{"inner_radius": "1e-6 um", "outer_radius": "1 km"}]}
WIDE = {"sheet": {"thickness": 3, "size": ["1 km", "1 km"]}}
STOCK = {"stock": [{"size": [600, 400]}]}
BATCH = {"batches": [{"name": "blue"}]}

# What each key takes, and what the rest of the spec must be for it. `±` marks the keys whose
# tolerance is read.
KEYS: dict[str, tuple[str, dict[str, Any]]] = {
    "body.radius": ("length", {"body": {"shape": "sphere"}}),
    "body.diameter": ("length", {"body": {"shape": "sphere"}}),
    "body.equatorial_radius": ("length", SPHEROID),
    "body.equatorial_diameter": ("length", SPHEROID),
    "body.polar_radius": ("length", SPHEROID),
    "body.polar_diameter": ("length", SPHEROID),
    "body.mean_radius": ("length", MEAN),
    "body.mean_diameter": ("length", MEAN),
    "body.flattening": ("number", SPHEROID),
    "body.exponent": ("exponent", {"body": {"shape": "superellipsoid"}}),
    "body.height": ("length", CONE),
    "body.top_radius": ("length", CONE),
    "body.top_diameter": ("length", CONE),
    "body.points": ("points", {"body": {"shape": "profile"}}),
    "body.from": ("length", FORMULA),
    "body.to": ("length", FORMULA),
    "body.span": ("pair", SPHEROID),
    "body.sizes": ("sizes", {"body": {"shape": "lantern"}}),
    "scale": ("ratio", {}),
    "model.equatorial_radius": ("length", {}),
    "model.equatorial_diameter": ("length", {}),
    "model.polar_radius": ("length", {}),
    "model.height": ("length", {}),
    "ribs.longitudes": ("angles", {"ribs": {}}),
    "ribs.width": ("length or mapping", {}),
    "ribs.width.equator": ("length", {}),
    "ribs.width.pole": ("length", {}),
    "ribs.width.bottom": ("length", FORMULA),
    "ribs.width.top": ("length", FORMULA),
    "ribs.inner_radius.equator": ("length", {}),
    "ribs.inner_radius.pole": ("length", {}),
    "ribs.pole_allowance": ("length", {}),
    "ribs.alternate.width": ("length or mapping", {}),
    "ribs.alternate.width.equator": ("length", {}),
    "ribs.alternate.width.pole": ("length", {}),
    "ribs.alternate.width.bottom": ("length", FORMULA),
    "ribs.alternate.width.top": ("length", FORMULA),
    "ribs.cut_away": ("angles", {}),
    "discs.at.height": ("length", {"discs": [{"at": {}}]}),
    "discs.at.fraction": ("number", {"discs": [{"at": {}}]}),
    "discs.at.latitude": ("angle", {"discs": [{"at": {}}]}),
    "discs.radius": ("length", {"discs": [{"side": "north"}]}),
    "discs.slot_depth": ("length", {"discs": [{"side": "north"}]}),
    "discs.bore": ("length", {}),
    "discs.setback": ("length", {}),
    "joint.engagement": ("number", {}),
    "joint.clearance": ("length ±", {}),
    "joint.slot_width": ("length", {}),
    "joint.slot_width_drawn": ("length", {}),
    "joint.end_clearance": ("length", {}),
    "joint.lead_in": ("length", {}),
    "joint.sizes": ("sizes", {"joint": {"style": "round-lap"}}),
    "flanges.at": ("length", FLANGE),
    "flanges.inner_radius": ("length", FLANGE),
    "flanges.outer_radius": ("length", FLANGE),
    "flanges.seat_depth": ("length", FLANGE),
    "stand.tilt": ("angle", {}),
    "stand.reach": ("angle", {}),
    "stand.clearance": ("length", {}),
    "stand.foot": ("length", {}),
    "stand.base": ("length", {}),
    "hang.hole": ("length", {}),
    "hang.tilt": ("angle", {}),
    "sheet.thickness": ("length ±", {}),
    "sheet.size": ("pair", {}),
    "sheet.price": ("money", {}),
    "disc_sheet.thickness": ("length ±", {}),
    "disc_sheet.kerf": ("length ±", {}),
    "disc_sheet.size": ("pair", {}),
    "disc_sheet.price": ("money", {}),
    "cutter.bed": ("pair", {}),
    "cutter.margin": ("length", WIDE),
    "cutter.spacing": ("length", WIDE),
    "cutter.kerf": ("length ±", {}),
    "cutter.tool_diameter": ("length ±", ROUTER),
    "cutter.speed.cut": ("speed", {}),
    "cutter.speed.mark": ("speed", {}),
    "cutter.speed.travel": ("speed", {}),
    "cutter.speed.pierce": ("time", {}),
    "cutter.bridges.width": ("length", {}),
    "stock.size": ("pair", STOCK),
    "stock.outline": ("corners", {"stock": [{}]}),
    "stock.thickness": ("length", STOCK),
    "stock.price": ("money", STOCK),
    "batches.thickness": ("list", BATCH),
}
WORDS = {
    *("framekit", "id", "title", "body.shape", "body.catalogue", "body.mean_kind", "body.smooth"),
    *("body.radius_at", "ribs.count", "discs.at.end", "discs.at.kind", "discs.at.both"),
    *("discs.side", "discs.hub", "joint.style", "joint.fit", "joint.relief", "flanges.rings"),
    *("stand.layers", "sheet.material", "disc_sheet.material", "cutter.process"),
    *("cutter.compensate", "cutter.strokes.mark", "cutter.strokes.inside"),
    *("cutter.strokes.outside", "cutter.bridges.count", "stock.count", "stock.material"),
    *("batches.name", "batches.count"),
}
"""Keys whose value has no unit: words, counts, choices and formulas."""
SET_KEYS = {"framekit", "id", "title", "scale", "shared", "frames", "sheets.keep_together"}
"""Of a set; its `stock` is a frame's, and `shared` and `frames` have a frame's keys."""
LENGTHS = [key for key, (kind, _) in KEYS.items() if kind.startswith("length")]
TOLERANCED = [key for key, (kind, _) in KEYS.items() if kind.endswith("±")]


def leaves(model: type[BaseModel], above: str = "") -> Iterator[str]:
    """The keys of a model that have a value of their own."""
    for name, field in model.model_fields.items():
        at = f"{above}{(field.alias or name)}"
        below = list(sections(field.annotation))
        for section in below:
            yield from leaves(section, at + ".")
        if not below:
            yield at


def sections(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from sections(inner)


def test_every_key_has_a_row() -> None:
    widths = {"ribs.width", "ribs.alternate.width"}  # a length, or a mapping of its own keys
    assert set(leaves(FrameDocument)) == (set(KEYS) - widths) | WORDS
    stock = {key for key in (*KEYS, *WORDS) if key.startswith("stock.")}
    assert set(leaves(SetDocument)) == SET_KEYS | stock


def merged(below: Any, above: Any) -> Any:
    """A copy of the first with the second's keys in it."""
    if isinstance(below, dict) and isinstance(above, dict):
        both = {key: merged(value, above.get(key)) for key, value in below.items()}
        return {**both, **{key: merged(above[key], None) for key in above if key not in below}}
    return json.loads(json.dumps(below if above is None else above))


def spec_with(key: str, value: Any) -> str:
    """A whole spec, as text, in which the key has the value."""
    _, rest = KEYS[key]
    values = merged(SPHERE, None)
    for name, section in rest.items():
        values[name] = merged(section, None)
    place = values
    *steps, last = key.split(".")
    for step in steps:
        place = place.setdefault(step, [{}] if step in ("discs", "flanges", "stock") else {})
        place = place[0] if isinstance(place, list) else place
    place[last] = value
    return json.dumps(values, ensure_ascii=False)


def read(key: str, value: Any) -> Any:
    """What the whole spec has at the key."""
    found: Any = parse_spec(spec_with(key, value), "frame.yaml").frames[0]
    for step in key.split("."):
        found = found[0] if isinstance(found, tuple) else found
        found = getattr(found, "from_" if step == "from" else step)
    return found


def measure_of(key: str, value: Any) -> Measure:
    """The length at a key; of a width that is one length, the one at the equator."""
    found = read(key, value)
    if KEYS[key][0] == "length or mapping":
        assert found.equator == found.pole
        found = found.equator
    assert isinstance(found, Measure)
    return found


@pytest.mark.parametrize("key", LENGTHS)
def test_a_length_is_read_in_every_unit(key: str) -> None:
    for unit, size in MILLIMETRES.items():
        # 1e-15: one multiplication of doubles.
        assert measure_of(key, f"0.15 {unit}").value == pytest.approx(0.15 * size, rel=1e-15)
    for plain in (0.15, "0.15"):
        assert measure_of(key, plain).value == 0.15


def refusal(key: str, value: Any) -> list[Any]:
    with pytest.raises(SpecError) as caught:
        read(key, value)
    return list(caught.value.faults)


WITH_TOLERANCE = [
    ("1/8 in ± 0.004", 3.175, 0.1016, "limits"),
    ("1/8 ± 0.004 in", 3.175, 0.1016, "limits"),
    ("3.05 ± 0.1", 3.05, 0.1, "limits"),
    ("0.3 cm +/- 200 um", 3.0, 0.2, "limits"),
    ({"value": "1/8 in", "tolerance": 0.004}, 3.175, 0.1016, "limits"),
    ({"value": 3, "tolerance": 0.2, "spread": "normal"}, 3.0, 0.2, "normal"),
]


@pytest.mark.parametrize("key", TOLERANCED)
def test_a_tolerance_that_is_taken_is_read_whole(key: str) -> None:
    for text, value, tolerance, spread in WITH_TOLERANCE:
        measure = measure_of(key, text)
        # 1e-15: one multiplication of doubles.
        assert measure.value == pytest.approx(value, rel=1e-15)
        assert measure.tolerance == pytest.approx(tolerance, rel=1e-15)
        assert measure.spread == spread


OTHERS = [
    key
    for key, (kind, _) in KEYS.items()
    if kind in ("length", "length or mapping", "pair", "list")
]


@pytest.mark.parametrize("key", OTHERS)
def test_a_tolerance_that_is_not_taken_is_refused(key: str) -> None:
    kind = KEYS[key][0]
    for text, *_ in WITH_TOLERANCE:
        if kind == "length or mapping" and isinstance(text, dict):
            continue  # its mapping has keys of its own
        value = [text, "9 km"] if kind == "pair" else [text] if kind == "list" else text
        (fault,) = refusal(key, value)
        assert fault.code == "spec-value-error"
        assert fault.message == "a tolerance is not taken here"
        assert fault.where.line == 1 and fault.where.column
        assert fault.where.path.replace("[0]", "").startswith(key)
        if key != "discs.bore":  # which may be a word, and says so
            assert all(taken in fault.hint for taken in TOLERANCED)
            assert len(fault.hint.split(", ")) == len(TOLERANCED)


def test_lists_of_lengths_refuse_a_tolerance_and_read_units() -> None:
    for pair in ("sheet.size", "cutter.bed", "stock.size", "disc_sheet.size"):
        sizes = read(pair, ["2 ft", "1.5 m"])
        assert [size.value for size in sizes] == [609.6, 1500.0], pair
    assert [m.value for m in read("batches.thickness", ["1/8 in", 3, "0.3 cm"])] == [3.175, 3, 3]
    assert [m.value for m in read("body.span", ["-1 in", "2 cm"])] == [-25.4, 20.0]
    points = [["1 in", 0], [3, "1 dm"]]
    assert [[m.value for m in pair] for pair in read("body.points", points)] == [
        [25.4, 0],
        [3, 100],
    ]
    corners = read("stock.outline", [[0, 0], ["1 ft", 0], [0, "40 cm"]])
    assert sorted(corners) == [(0.0, 0.0), (0.0, 400.0), (304.8, 0.0)]
    for key, value in (
        ("body.points", [["40 ± 1", 0], [30, 90]]),
        ("body.points", [[40, 0], [30, "90 ± 1"]]),
        ("body.span", ["0 ± 1", "top"]),
        ("body.span", ["bottom", "9 ± 1"]),
        ("body.points", [["40 mm", 0], ["30 ± 1 mm", 90]]),
        ("stock.outline", [[0, 0], ["300 ± 1", 0], [0, 300]]),
        ("body.sizes", {"waist": "30 ± 1 mm"}),
        ("joint.sizes", {"waist": "30 ± 1 mm"}),
    ):
        faults = refusal(key, value)
        assert any("a tolerance is not taken here" in fault.message for fault in faults), key


@pytest.mark.parametrize("key", [k for k, (kind, _) in KEYS.items() if kind == "angle"])
def test_an_angle_is_read_in_every_unit(key: str) -> None:
    for unit, size in DEGREES.items():
        number = 0.75 if unit == "rad" else 43.5
        # 1e-15: one multiplication of doubles.
        assert read(key, f"{number} {unit}") == pytest.approx(number * size, rel=1e-15)
    assert read(key, 43.5) == 43.5
    assert refusal(key, "43.5 ± 1 deg") and refusal(key, "43.5 mm")


@pytest.mark.parametrize("key", ["ribs.longitudes", "ribs.cut_away"])
def test_angles_of_a_list_are_read_in_every_unit(key: str) -> None:
    found = read(key, ["0.5 rad", "1.5 rad"])
    # 1e-15: one multiplication of doubles.
    assert found == pytest.approx((28.64788975654116, 85.94366926962348), rel=1e-15)
    assert read(key, [10, "50°"]) == (10.0, 50.0)


@pytest.mark.parametrize("key", [k for k, (kind, _) in KEYS.items() if kind == "speed"])
def test_a_speed_is_read_in_every_unit(key: str) -> None:
    for unit, size in MM_A_SECOND.items():
        # 1e-15: one multiplication of doubles.
        assert read(key, f"6 {unit}") == pytest.approx(6 * size, rel=1e-15)
    assert read(key, 6) == 6.0
    assert refusal(key, "6 ± 1 mm/s") and refusal(key, "6 s")


def test_a_time_a_price_and_a_scale() -> None:
    for unit, size in SECONDS.items():
        # 1e-15: one multiplication of doubles.
        assert read("cutter.speed.pierce", f"6 {unit}") == pytest.approx(6 * size, rel=1e-15)
    for key in ("sheet.price", "disc_sheet.price", "stock.price"):
        assert read(key, "4.20 EUR") == (4.2, "EUR")
        assert refusal(key, "4.20 ± 1 EUR")
    assert read("scale", "1:2.5") == 2.5
    assert refusal("scale", "1:4 ± 1")
    # A ratio takes its number as written, a size its unit.
    for key in ("body.sizes", "joint.sizes"):
        sizes = read(key, {"waist": "1 in", "bulge_ratio": 1.5})
        assert {n: m.value for n, m in sizes.items()} == {"waist": 25.4, "bulge_ratio": 1.5}


@pytest.mark.parametrize("key", ["body.flattening", "discs.at.fraction", "joint.engagement"])
def test_a_plain_number_takes_no_unit(key: str) -> None:
    assert read(key, 0.25) == read(key, "1/4") == 0.25
    for bad in ("0.25 mm", "0.25 ± 0.1", "25 %"):
        assert refusal(key, bad)
    assert read("body.exponent", 2.5) == 2.5
    assert refusal("body.exponent", "2.5 in")
