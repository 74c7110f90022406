"""Inside an allowed range every check passes, just outside one fails.

Oracles: for the inputs of the design the frame solved again from a spec with the other value; for
what is made the margins of docs/reference/checks.md written out here.
"""

from __future__ import annotations

import copy
import math
import random
from collections.abc import Iterator
from itertools import pairwise, product
from typing import Any

from hypothesis import event, given, settings
from hypothesis import strategies as st
from property.random_frames import frames

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange, NoRange
from framekit.errors import SolveError, SpecError
from framekit.solution.build import solve
from framekit.solution.model import FrameSolution
from framekit.spec.build import spec_from_values

NEAR = 1e-6
"""How near to its true place an end must lie, as a share of the input."""
ROUNDING = 1e-8
"""mm of a margin that floating point and the checks' own allowance of 1e-9 mm may leave."""
MADE = ("sheet.thickness", "cutter.kerf", "joint.clearance")


MORE = 2 * settings.default.max_examples
"""Examples a test: about half of the random specs have a range."""


@st.composite
def likely_frames(draw: st.DrawFn) -> dict[str, Any]:
    """A random frame; most with room on the sheet and a joint that is neither tight nor loose."""
    values = draw(frames())
    if draw(st.integers(0, 4)):
        values["sheet"]["size"] = [1600, 1600]
        values["joint"].pop("clearance", None)
        values["joint"]["fit"] = "snug"
        values["cutter"] = {"kerf": "0.16 ± 0.01"}
    return values


@st.composite
def searched_frames(draw: st.DrawFn) -> dict[str, Any]:
    """A random frame with a disc that a search places, and at times a body found by one."""
    values = draw(likely_frames())
    radius = draw(st.floats(60, 300).map(lambda x: round(x, 2)))
    values.pop("scale", None)
    values.pop("model", None)
    if draw(st.booleans()):
        values["body"] = {"shape": "sphere", "radius": radius}
    else:
        values["body"] = {
            "shape": "spheroid",
            "mean_radius": radius,
            "mean_kind": draw(st.sampled_from(["arithmetic", "volumetric"])),
            "polar_radius": round(radius * draw(st.floats(0.8, 1.2)), 2),
        }
    width = round(radius * draw(st.floats(0.15, 0.4)), 2)
    values["ribs"]["width"] = {"equator": width, "pole": round(width * draw(st.floats(0.5, 1)), 2)}
    values["sheet"]["thickness"] = round(radius * 0.02, 2)
    disc: dict[str, Any] = {"side": draw(st.sampled_from(["north", "south"]))}
    if draw(st.integers(0, 3)):
        values["joint"]["style"] = "housed"
        disc["radius"] = round(radius * draw(st.floats(0.5, 0.9)), 2)
    else:
        values["joint"]["style"] = "cross-lap"
        disc["slot_depth"] = round(width * draw(st.floats(0.3, 0.6)), 2)
    values["discs"] = [disc, {"at": {"height": 0}}][: draw(st.integers(1, 2))]
    return values


def solved(values: dict[str, Any]) -> FrameSolution | None:
    try:
        return solve(spec_from_values(values)).frames[0]
    except (SpecError, SolveError):
        return None


def with_value(values: dict[str, Any], name: str, x: float) -> dict[str, Any] | None:
    """The spec with a value of the design replaced; None when the spec lacks the input."""
    new = copy.deepcopy(values)
    head, _, key = name.partition(".")
    if name.startswith("rib.width_"):
        new["ribs"]["width"][name.rpartition("_")[2]] = x
    elif name == "rib.pole_allowance" and key in new["ribs"]:
        new["ribs"][key] = x
    elif name == "joint.engagement" and key in new["joint"]:
        new["joint"][key] = x
    elif name == "model.equatorial_radius" and "model" in new:
        new["model"][key] = x
    elif name == "scale.denominator" and "scale" in new:
        new["scale"] = f"1:{x:.17g}"
    elif name in ("disc-1.radius", "disc-1.slot_depth") and key in new["discs"][0]:
        new["discs"][0][key] = x
    elif name in ("body.mean_radius", "body.polar_radius") and key in new["body"]:
        new["body"][key] = x
    elif head == "disc-1" and key == "setback" and key in new["discs"][0]:
        new["discs"][0][key] = x
    elif head == "disc-1" and key in new["discs"][0].get("at", {}):
        new["discs"][0]["at"][key] = x
    else:
        return None
    return new


DESIGN = (
    "rib.width_equator",
    "rib.width_pole",
    "rib.pole_allowance",
    "joint.engagement",
    "model.equatorial_radius",
    "scale.denominator",
    "disc-1.height",
    "disc-1.fraction",
    "disc-1.latitude",
    "disc-1.setback",
    "disc-1.radius",
    "disc-1.slot_depth",
    "body.mean_radius",
    "body.polar_radius",
)


def inside(found: AllowedRange, seed: int) -> list[float]:
    """Values just inside both ends and some in between."""
    pick = random.Random(seed)
    width = found.high - found.low
    edge = min(NEAR * max(abs(found.low), abs(found.high)), width / 4)
    return [
        found.low + edge,
        found.high - edge,
        *(pick.uniform(found.low, found.high) for _ in range(3)),
    ]


def outside(found: AllowedRange) -> Iterator[list[float]]:
    """Values just outside the ends that a check or the frame itself sets, the farthest first.

    Near where the ribs' inner edge meets the pole gap a check may fail over less than `NEAR`.
    """
    for end, limit, sign in ((found.low, found.low_limit, -1), (found.high, found.high_limit, 1)):
        if limit is not None and limit.kind in ("check", "frame"):
            yield [end + sign * far * max(abs(end), 1e-2) for far in (NEAR, NEAR / 30, NEAR / 1000)]
        elif limit is not None:
            event(f"end by {limit.kind}")
            assert limit.kind != "proof"


@settings(max_examples=MORE)
@given(likely_frames(), st.data(), st.integers(0, 1 << 30))
def test_ranges_of_the_design(values: dict[str, Any], data: st.DataObject, seed: int) -> None:
    assert_ends_are_true(values, data, seed)


@settings(max_examples=MORE // 4)
@given(searched_frames(), st.data(), st.integers(0, 1 << 30))
def test_ranges_where_a_search_is_needed(
    values: dict[str, Any], data: st.DataObject, seed: int
) -> None:
    assert_ends_are_true(values, data, seed)


def assert_ends_are_true(values: dict[str, Any], data: st.DataObject, seed: int) -> None:
    frame = solved(values)
    if frame is None:
        event("no such frame")
        return
    names = [n for n in DESIGN if n in frame.quantities and with_value(values, n, 1.0)]
    name = data.draw(st.sampled_from(names))
    found = allowed_range(frame, name)
    if isinstance(found, NoRange):
        event("no range")
        assert frame.failed
        return
    event(f"range of {name}")
    assert found.low <= found.nominal <= found.high or frame.failed
    for value in inside(found, seed):
        again = solved(with_value(values, name, value))
        assert again is not None, (name, value, found)
        assert all(c.margin >= -ROUNDING for c in again.checks), (name, value, found, again.failed)
    for beyond in outside(found):
        tried = (solved(with_value(values, name, value)) for value in beyond)
        assert any(again is None or again.failed for again in tried), (name, beyond, found)


def margins_as_made(frame: FrameSolution, t: float, k: float, g: float) -> dict[str, float]:
    """The least margin of each check in mm with a sheet, a kerf and a clearance as they are."""
    q = {name: quantity.value for name, quantity in frame.quantities.items()}
    row, drawn = frame.material, q["sheet.thickness"]
    a, c = q["model.equatorial_radius"], q["model.polar_radius"]
    a_i, c_i = q["rib.inner_equatorial_radius"], q["rib.inner_polar_radius"]
    half, gap, end = math.radians(q["rib.angle"]) / 2, q["rib.pole_gap"], q["joint.end_clearance"]
    v = (k - q["cutter.kerf"]) / 2
    w = q["joint.slot_width"] + 2 * v + g - q["joint.clearance"]
    cross_lap = frame.spec.joint.style == "cross-lap"

    cutter = frame.spec.cutter
    tool = cutter.tool_diameter
    spacing = 2.0 if tool is None else max(2.0, 1.25 * (tool.value + tool.tolerance) + 1)
    margin = 5.0 if tool is None else max(5.0, 0.75 * (tool.value + tool.tolerance) + 1)
    if cutter.margin is not None:
        margin = cutter.margin.value

    def skin(z: float) -> float:
        return a * math.sqrt(max(0.0, 1 - (z / c) ** 2))

    narrow = min(q["rib.width_equator"], q["rib.width_pole"])
    found = {
        "slot-gap": [w - t - row.least_gap.value],
        "slot-slack": [row.most_gap.value - (w - t)],
        "smallest-feature": [w - k, narrow - 2 * v - k],
        "pole-clearance": [2 * ((gap + v) * math.sin(half) - t / 2 * math.cos(half))],
        "rib-end": [],
        "disc-spacing": [],
        "ligament": [],
        "inside-skin": [],
        "engagement": [],
        "web": [],
        "bore-wall": [],
        "cut-spacing": [spacing - 1.25 * k],
        "cut-margin": [margin - 0.75 * k],
        "slot-seat": [end - k / 2] if cutter.process == "router" else [],
    }
    heights = []
    for n in range(1, frame.disc_count + 1):
        d = {key: q.get(f"disc-{n}.{key}", 0.0) for key in KEYS}
        z, seat = abs(d["height"]), d["joint_radius"]
        heights.append(d["height"])
        slope = a * (z + drawn / 2) / (c**2 * math.sqrt(1 - ((z + drawn / 2) / c) ** 2))
        stretch = math.hypot(1.0, slope)
        found["rib-end"].append(q["rib.height"] / 2 - v - (z + w / 2) - drawn)
        found["ligament"].append(
            skin(z + drawn / 2) - seat - end - v * (1 + stretch) - row.ligament.value * drawn
        )
        for face in (z + t / 2, z - t / 2):
            found["inside-skin"].append(skin(face) - (d["radius"] - v) + 0.25)
        shallow = max(0.0, z - w / 2 - drawn / 2)
        inner = max(gap, a_i * math.sqrt(max(0.0, 1 - (shallow / c_i) ** 2)))
        found["engagement"].append(seat - inner - drawn)
        if cross_lap:
            found["engagement"].append(d["radius"] - seat - drawn)
            web = (seat - end - v) * math.sin(half) - w / 2 * math.cos(half)
            found["web"].append(2 * web - row.web.value * drawn)
        if d["bore_radius"] > 0:
            held = end if cross_lap else 0.0
            wall = (seat - held - v) - (d["bore_radius"] + v)
            found["bore-wall"].append(wall - row.wall.value * drawn)
            found["smallest-feature"].append(2 * (d["bore_radius"] + v) - k)
    heights.sort()
    for low, high in pairwise(heights):
        found["disc-spacing"].append(high - low - w - drawn)
    # These two hang on the design alone.
    for code in ("rib-flake", "fits-stock"):
        found[code] = [check.margin for check in frame.checks if check.code == code]
    return {code: min(margins) for code, margins in found.items() if margins}


KEYS = ("height", "joint_radius", "radius", "bore_radius")


@settings(max_examples=MORE)
@given(
    likely_frames(),
    st.sampled_from(MADE),
    st.sampled_from(["nominal", "anywhere"]),
    st.integers(0, 1 << 30),
)
def test_ranges_of_what_is_made(values: dict[str, Any], name: str, others: str, seed: int) -> None:
    frame = solved(values)
    if frame is None:
        event("no such frame")
        return
    bands = [
        (i.value,)
        if i.quantity == name or others == "nominal"
        else (i.value - i.tolerance, i.value, i.value + i.tolerance)
        for i in frame.toleranced
    ]
    place = MADE.index(name)
    assert [i.quantity for i in frame.toleranced] == list(MADE)

    def least(value: float) -> float:
        """The least margin of all checks, over the corners of what else is made."""
        points = product(*bands[:place], (value,), *bands[place + 1 :])
        return min(min(margins_as_made(frame, *point).values()) for point in points)

    found = allowed_range(frame, name, others)
    if isinstance(found, NoRange):
        event("no range")
        assert least(found.nominal) < ROUNDING
        return
    event(f"range of {name}, others {others}")
    assert found.low <= found.nominal <= found.high or least(found.nominal) < ROUNDING
    for value in inside(found, seed):
        assert least(value) >= -ROUNDING, (name, value, found)
    for beyond in outside(found):
        assert least(beyond[0]) < 0, (name, beyond, found)
