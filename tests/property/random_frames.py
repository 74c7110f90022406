"""Random specs, from sound to absurd, as plain values of the spec language."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda x: round(x, 3))


@st.composite
def bodies(draw: st.DrawFn) -> tuple[dict[str, Any], float, bool]:
    """A body, its equatorial radius in mm when given so, and whether it is a sphere."""
    kind = draw(st.sampled_from(["sphere", "sphere-radius", "flat", "two", "mean", "catalogue"]))
    size = draw(_mm(20, 700))
    if kind == "sphere":
        return {"shape": "sphere", "diameter": size}, size / 2, True
    if kind == "sphere-radius":
        return {"shape": "sphere", "radius": f"{size / 10} cm"}, size, True
    if kind == "flat":
        flattening = draw(st.floats(-0.6, 0.6).map(lambda x: round(x, 4)))
        body = {"shape": "spheroid", "equatorial_diameter": size, "flattening": flattening}
        return body, size / 2, False
    if kind == "two":
        polar = draw(_mm(20, 700))
        body = {"shape": "spheroid", "equatorial_radius": size / 2, "polar_diameter": polar}
        return body, size / 2, False
    if kind == "mean":
        body = {
            "shape": "spheroid",
            "mean_radius": size / 2,
            "mean_kind": draw(st.sampled_from(["arithmetic", "volumetric"])),
            "flattening": draw(st.floats(-0.3, 0.3).map(lambda x: round(x, 4))),
        }
        return body, size / 2, False
    return {"catalogue": draw(st.sampled_from(["saturn", "earth", "moon", "iapetus"]))}, 0.0, False


@st.composite
def discs(draw: st.DrawFn, radius: float) -> dict[str, Any]:
    """One disc's entry; `radius` in mm is about the body's size."""
    way = draw(st.sampled_from(["height", "fraction", "latitude"]))
    at: dict[str, Any] = {}
    if way == "height":
        at["height"] = draw(_mm(-radius, radius))
    elif way == "fraction":
        at["fraction"] = draw(st.floats(-0.97, 0.97).map(lambda x: round(x, 3)))
    else:
        at["latitude"] = draw(st.floats(-85, 85).map(lambda x: round(x, 2)))
        at["kind"] = draw(st.sampled_from(["geocentric", "geodetic", "parametric"]))
    if next(iter(at.values())) != 0 and draw(st.booleans()):
        at["both"] = True
    disc: dict[str, Any] = {"at": at}
    bore = draw(st.sampled_from(["none", "auto", "radius", None]))
    if bore == "radius":
        disc["bore"] = draw(_mm(0.5, radius))
    elif bore is not None:
        disc["bore"] = bore
    if draw(st.integers(0, 4)) == 0:
        disc["setback"] = draw(_mm(0, 3))
    return disc


def _between(
    radius: float, sensible: bool, low: float, high: float, least: float, most: float
) -> tuple[float, float]:
    """The range of a width: a share of the radius, the narrow one when sensible."""
    a, b = (low, high) if sensible else (least, most)
    return max(1.0, a * radius), max(2.0, b * radius)


@st.composite
def frames(draw: st.DrawFn) -> dict[str, Any]:
    """A whole spec of one frame."""
    body, radius, _ = draw(bodies())
    sensible = draw(st.integers(0, 3)) > 0
    spec: dict[str, Any] = {"framekit": 1, "id": "random", "body": body}
    if radius == 0.0:
        radius = draw(_mm(25, 250))
        spec["model"] = {"equatorial_radius": radius}
    elif draw(st.booleans()):
        ratio = draw(st.sampled_from([1, 2, 3]))
        spec["scale"] = f"1:{ratio}"
        radius /= ratio
    t = draw(_mm(0.02 * radius, 0.03 * radius) if sensible else _mm(0.5, 7))
    ribs: dict[str, Any] = {}
    if draw(st.integers(0, 3)):
        ribs["count"] = draw(st.integers(2, 20))
    else:
        angles = draw(st.lists(st.integers(0, 71), min_size=2, max_size=9, unique=True))
        ribs["longitudes"] = [5 * a for a in angles]
    ribs["width"] = {
        "equator": draw(_mm(*_between(radius, sensible, 0.2, 0.5, 0.05, 0.6))),
        "pole": draw(_mm(*_between(radius, sensible, 0.15, 0.3, 0.05, 0.5))),
    }
    if draw(st.booleans()):
        ribs["pole_allowance"] = draw(_mm(0, 3))
    spec["ribs"] = ribs
    most = 2 if sensible else 4
    spec["discs"] = draw(st.lists(discs(radius), min_size=1, max_size=most))
    joint: dict[str, Any] = {"style": draw(st.sampled_from(["cross-lap", "housed"]))}
    if draw(st.booleans()):
        span = (0.35, 0.6) if sensible else (0.15, 0.85)
        joint["engagement"] = draw(st.floats(*span).map(lambda x: round(x, 2)))
    if draw(st.booleans()):
        joint["clearance"] = draw(_mm(-0.12, 0.3))
    else:
        joint["fit"] = draw(st.sampled_from(["slip", "snug", "press"]))
    spec["joint"] = joint
    if joint["style"] == "housed":
        for disc in spec["discs"]:
            disc.pop("setback", None)
    material = draw(st.sampled_from(["birch-plywood", "mdf", "cast-acrylic", "card"]))
    tolerance = draw(st.sampled_from([0.0, 0.02, 0.1]))
    spec["sheet"] = {
        "material": material,
        "thickness": f"{t} ± {tolerance}",
        "size": [draw(_mm(1500 if sensible else 200, 1600)), draw(_mm(200, 1600))],
    }
    process = draw(st.sampled_from(["laser", "router", "knife"]))
    cutter: dict[str, Any] = {"process": process}
    if process == "laser":
        cutter["kerf"] = f"{draw(_mm(0.05, 0.4))} ± {draw(st.sampled_from([0.0, 0.03]))}"
    if draw(st.booleans()):
        cutter["compensate"] = draw(st.sampled_from(["file", "machine"]))
    if process == "laser" and draw(st.booleans()):
        cutter.pop("kerf")
    elif process == "router":
        cutter["tool_diameter"] = draw(_mm(0.8, 4))
    spec["cutter"] = cutter
    return spec
