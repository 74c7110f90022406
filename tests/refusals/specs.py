"""Specs that are refused: what is changed in a sound one, the phrase of the message, and the place.

Each row is one refusal of the spec stage. The phrase is written by hand, as an author reads it.
"""

from __future__ import annotations

import json
from typing import Any, NamedTuple

GONE = object()
"""In place of a value: the key is removed."""


class Refused(NamedTuple):
    """A change to the sound spec, the path of the fault, a phrase of its message, its code."""

    change: dict[str, Any]
    path: str
    phrase: str
    code: str = "spec-value-error"


SOUND = {
    "framekit": 1,
    "id": "buoy",
    "body": {"shape": "sphere", "diameter": "190 mm"},
    "ribs": {"count": 6},
    "discs": [{"at": {"height": 0}}],
    "sheet": {"thickness": 3, "size": [600, 400]},
}


def text_with(change: dict[str, Any], base: dict[str, Any] = SOUND) -> str:
    """Return the sound spec with changes by dotted path, one key a line."""
    values = json.loads(json.dumps(base))
    for path, value in change.items():
        place = values
        *steps, last = path.split(".")
        for step in steps:
            place = place[int(step)] if step.isdigit() else place.setdefault(step, {})
        if value is GONE:
            del place[last]
        else:
            place[last] = json.loads(json.dumps(value))
    return json.dumps(values, ensure_ascii=False, indent=1)


def _body(**keys: Any) -> dict[str, Any]:
    return {"body": {name.rstrip("_"): value for name, value in keys.items()}}


def _disc(**keys: Any) -> dict[str, Any]:
    return {"discs": [keys]}


def _flange(**keys: Any) -> dict[str, Any]:
    return {"flanges": [keys]}


LINE = [[40, 0], [30, 90]]
SQUARE = [[0, 0], [300, 0], [300, 300], [0, 300]]
LANTERN = {"shape": "lantern"}
T = "sheet.thickness"
REFUSED = [
    # The whole.
    Refused({"framekit": "1"}, "framekit", "the version is not the whole number 1"),
    Refused({"framekit": 0}, "framekit", "the spec language has no version 0"),
    Refused({"title": "two\nlines"}, "title", "line breaks or control characters"),
    Refused({"id": "no spaces"}, "id", "id is 'no spaces'", "spec-string-pattern-mismatch"),
    Refused({"title": "x" * 121}, "title", "title is too long", "spec-string-too-long"),
    Refused({"title": 7}, "title", "title is 7, not text", "spec-string-type"),
    Refused({"ribs": GONE}, "ribs", "'ribs' is missing", "spec-missing"),
    Refused({"ribs": 6}, "ribs", "ribs is 6, not a mapping", "spec-model-type"),
    Refused({"discs": 6}, "discs", "discs is 6, not a list", "spec-tuple-type"),
    Refused({"discs": []}, "discs", "discs has 0 items", "spec-too-short"),
    Refused({"flanges": [{"rings": "all"}] * 9}, "flanges", "flanges has 9 items", "spec-too-long"),
    Refused({"cuter": 1}, "cuter", "the key 'cuter' is not known", "spec-unknown-key"),
    Refused({"ribs.counts": 1}, "ribs.counts", "'counts' is not known in", "spec-unknown-key"),
    Refused({"ribs.count": 6.5}, "ribs.count", "6.5, not a whole number", "spec-int-type"),
    Refused({"ribs.count": 1}, "ribs.count", "ribs.count is 1", "spec-greater-than-equal"),
    Refused({"ribs.count": 181}, "ribs.count", "ribs.count is 181", "spec-less-than-equal"),
    Refused({"joint": {"fit": "loose"}}, "joint.fit", "is 'loose'", "spec-literal-error"),
    Refused(_disc(hub="maybe"), "discs[0].hub", "is 'maybe'", "spec-bool-parsing"),
    Refused(_disc(hub=[]), "discs[0].hub", "discs[0].hub is []", "spec-bool-type"),
    # The body.
    Refused(_body(radius=9), "body", "neither 'shape' nor 'catalogue'"),
    Refused(_body(catalogue="mars", radius=9), "body", "'radius' is surplus"),
    Refused(_body(shape="shpere"), "body.shape", "there is no shape named 'shpere'"),
    Refused(_body(shape="lantern", radius=9), "body", "'lantern' is none of them"),
    Refused(_body(shape="spheroid", radius=9), "body", "is a sphere's size; a spheroid has two"),
    Refused(_body(shape="cone", mean_kind="arithmetic"), "body", "'mean_kind' goes with"),
    Refused(_body(shape="spheroid", mean_kind="arithmetic"), "body", "'mean_kind' goes with"),
    Refused(_body(shape="spheroid", mean_radius=9), "body", "two meanings and 'mean_kind'"),
    Refused(_body(shape="cone", exponent=2), "body", "'exponent' does not go with 'shape: cone'"),
    Refused(_body(shape="superellipsoid", polar_radius=9), "body", "has no 'exponent'"),
    Refused(_body(shape="cylinder", radius=9, diameter=9), "body", "'radius' and 'diameter' say"),
    Refused(
        _body(shape="cone", top_radius=9, top_diameter=9),
        *("body", "'top_radius' and 'top_diameter' say one thing twice"),
    ),
    Refused(_body(shape="profile"), "body", "neither 'points' nor 'radius_at'"),
    Refused(
        _body(shape="profile", points=LINE, radius_at="9"), "body", "both 'points' and 'radius_at'"
    ),
    Refused(_body(shape="profile", points=LINE, to=9), "body", "'from' and 'to' go with"),
    Refused(_body(shape="profile", radius_at="9", smooth=True), "body", "'smooth' goes with"),
    Refused(_body(shape="profile", radius_at="9", to=9), "body", "needs the heights"),
    Refused(
        _body(shape="profile", radius_at="9", from_=9, to=9),
        *("body", "'to', 9 mm, is not above 'from', 9 mm"),
    ),
    Refused(_body(shape="profile", radius_at=9), "body.radius_at", "the formula is 9, not text"),
    Refused(_body(shape="profile", radius_at="9+"), "body.radius_at", "formula"),
    Refused(_body(shape="profile", points=9), "body.points", "the points are no list"),
    Refused(_body(shape="profile", points=[[1, 0]]), "body.points", "the profile has 1 points"),
    Refused(
        _body(shape="profile", points=[[1, 0]] * 2001), "body.points", "the profile has 2001 points"
    ),
    Refused(_body(shape="profile", points=[[1, 0], 9]), "body.points", "point 2 is no pair"),
    Refused(
        _body(shape="profile", points=[[1, 0], [-2, 9]]),
        "body.points",
        "point 2: -2 mm is negative",
    ),
    Refused(_body(shape="sphere", radius=9, span=9), "body.span", "the span is no pair"),
    Refused(
        _body(shape="sphere", radius=9, span=[3, 3]),
        "body.span",
        "lower end is not below its upper",
    ),
    Refused(
        _body(shape="sphere", radius=9, span=["bottom", "top"]),
        "body.span",
        "leaves the body whole",
    ),
    Refused(_body(**LANTERN, sizes=9), "body.sizes", "the sizes are no mapping"),
    Refused(_body(**LANTERN, sizes={"A b": 9}), "body.sizes", "'A b' is no name of a size"),
    Refused(_body(**LANTERN, sizes={"waist": "x"}), "body.sizes", "'x' is not a length"),
    Refused(_body(shape="spheroid", flattening=1), "body.flattening", "not between -9 and 1"),
    Refused(_body(shape="spheroid", flattening=-9.5), "body.flattening", "flattening -9.5 is not"),
    Refused(_body(shape="superellipsoid", exponent=0.9), "body.exponent", "not between 1 and 20"),
    Refused(_body(shape="superellipsoid", exponent=21), "body.exponent", "not between 1 and 20"),
    Refused(_body(shape="sphere", radius=0), "body.radius", "0 mm is not above zero"),
    Refused(_body(shape="cone", top_radius=-1), "body.top_radius", "-1 mm is negative"),
    # Flanges.
    Refused(_flange(rings="all", outer_radius=9), "flanges[0]", "'rings' already gives"),
    Refused(_flange(outer_radius=9), "flanges[0]", "the flange lacks a radius"),
    Refused(_flange(inner_radius=9, outer_radius=9), "flanges[0]", "inner radius is not below"),
    # Ribs.
    Refused({"ribs.width": "-2 mm"}, "ribs.width", "-2 mm is not above zero"),
    Refused({"ribs.width": "22 ± 1"}, "ribs.width", "a tolerance is not taken here"),
    Refused({"ribs": {"width": 9}}, "ribs", "neither 'count' nor 'longitudes'"),
    Refused({"ribs": {"count": 3, "longitudes": [0, 90]}}, "ribs", "'count' says 3 ribs and"),
    Refused(
        {"ribs": {"longitudes": [0, 359.6]}}, "ribs", "within half a degree of longitude 359.6"
    ),
    Refused({"ribs": {"longitudes": [0, 361]}}, "ribs.longitudes[1]", "not between -360 and 360"),
    Refused({"ribs.cut_away": [0, 0.5]}, "ribs", "the sector cut away is 0.5 degrees wide"),
    Refused({"ribs.cut_away": [0, 241]}, "ribs", "the sector cut away is 241 degrees wide"),
    Refused({"ribs.width": {"top": 9}}, "ribs.width.top", "'top' of ribs.width is for bodies with"),
    Refused(
        {"ribs.alternate": {"width": {"bottom": 9}}},
        *("ribs.alternate.width.bottom", "'bottom' of ribs.alternate.width is for bodies with"),
    ),
    Refused(
        {**_body(shape="cone", radius=99), "ribs.inner_radius": {"pole": 9}},
        *("ribs.inner_radius", "'inner_radius' goes with spheroids, not with 'shape: cone'"),
    ),
    # Discs.
    Refused(_disc(at={"height": 0, "fraction": 0}), "discs[0].at", "has height and fraction"),
    Refused(_disc(at={"both": True}), "discs[0].at", "this disc has no height"),
    Refused(_disc(at={"height": 0, "kind": "geodetic"}), "discs[0].at", "'kind' goes with"),
    Refused(_disc(at={"height": 0, "both": True}), "discs[0].at", "is its own mirror image"),
    Refused(_disc(hub=True), "discs[0]", "a hub finds its own place and size"),
    Refused(_disc(bore="auto"), "discs[0]", "this disc has no place"),
    Refused(
        _disc(at={"height": 0}, side="north"), "discs[0].side", "'at' already says on which side"
    ),
    Refused(_disc(at={"fraction": 1}), "discs[0].at.fraction", "1 is not between -1 and 1"),
    Refused(_disc(at={"fraction": -1}), "discs[0].at.fraction", "-1 is not between -1 and 1"),
    Refused(_disc(at={"latitude": 90}), "discs[0].at.latitude", "not between -90 and 90"),
    Refused(_disc(at={"latitude": -90}), "discs[0].at.latitude", "not between -90 and 90"),
    Refused(_disc(at={"height": 0}, bore="big"), "discs[0].bore", "'big' is not a length"),
    Refused(_disc(at={"height": 0}, bore=0), "discs[0].bore", "0 mm is not above zero"),
    Refused(
        {**_body(shape="cone", radius=99), **_disc(at={"latitude": 9})},
        *("discs[0].at.latitude", "a latitude has no meaning on 'shape: cone'"),
    ),
    Refused(
        {**_body(shape="spheroid", polar_radius=99), **_disc(at={"latitude": 9})},
        *("discs[0].at.latitude", "disc 1 has a latitude without 'kind'"),
    ),
    # The joint.
    Refused({"joint": {"style": "glue"}}, "joint.style", "no joint style named 'glue'"),
    Refused({"joint": {"engagement": 1}}, "joint.engagement", "1 is not between 0 and 1"),
    Refused({"joint": {"fit": "slip", "clearance": 0}}, "joint", "'fit' and 'clearance' both say"),
    Refused(
        {"joint": {"style": "housed"}, **_disc(slot_depth=9, side="north")},
        *("discs[0].slot_depth", "a housed disc has no slots"),
    ),
    Refused(
        {"joint": {"style": "housed"}, **_disc(at={"height": 0}, setback=1)},
        *("discs[0].setback", "a housed disc ends in the rib"),
    ),
    Refused(
        {
            "joint": {"style": "tenon", "relief": "none"},
            "cutter": {"process": "router", "tool_diameter": 3},
        },
        *("joint.relief", "round corners keep tongues from seating"),
    ),
    Refused(
        {
            "joint": {"relief": "none"},
            "cutter": {"process": "router", "tool_diameter": 3},
            **_flange(inner_radius=98, outer_radius=120),
        },
        *("joint.relief", "round corners keep flanges from seating"),
    ),
    # Stand and hang.
    Refused({"stand": {"tilt": 181}}, "stand.tilt", "181 degrees is not between 0 and 180"),
    Refused({"hang": {"tilt": -1}}, "hang.tilt", "-1 degrees is not between 0 and 180"),
    Refused({"stand": {"reach": 81}}, "stand.reach", "81 degrees is not between 10 and 80"),
    # The sheet and the cutter.
    Refused({"sheet": {"thickness": 3}}, "", "neither 'sheet.size' nor 'cutter.bed' is given"),
    Refused(
        {"sheet.size": [600]}, "sheet.size[1]", "'sheet.size' has too few items", "spec-missing"
    ),
    Refused({"cutter": {"spacing": 400}}, "cutter.spacing", "400 mm, is as wide as the sheet"),
    Refused({"cutter": {"margin": 200}}, "cutter.margin", "margins of 200 mm leave nothing"),
    Refused({"cutter": {"kerf": "0.1 ± 0.2"}}, "cutter.kerf", "0.2 mm is larger than the value"),
    Refused({"cutter": {"process": "knife", "kerf": 1}}, "cutter", "a knife takes no material"),
    Refused({"cutter": {"tool_diameter": 3}}, "cutter", "'tool_diameter' goes with"),
    Refused({"cutter": {"process": "router"}}, "cutter", "a router needs 'tool_diameter'"),
    Refused(
        {"cutter": {"process": "router", "tool_diameter": 3, "kerf": 3}},
        *("cutter", "'tool_diameter' and 'kerf' are one thing for a router"),
    ),
    Refused({"cutter": {"strokes": {"mark": "red"}}}, "cutter.strokes.mark", "'red' is not a"),
    Refused(
        {"cutter": {"strokes": {"mark": "#00ff00", "inside": "#00FF00"}}},
        *("cutter.strokes", "two operations have one colour"),
    ),
    Refused(
        {"cutter": {"bridges": {"count": 13}}}, "cutter.bridges.count", "count of bridges is 13"
    ),
    Refused({"cutter": {"speed": {"cut": 0}}}, "cutter.speed.cut", "0 mm/s is not between 0.001"),
    Refused(
        {"cutter": {"speed": {"cut": "1001 m/s"}}}, "cutter.speed.cut", "1001 m/s is not between"
    ),
    Refused(
        {"cutter": {"speed": {"pierce": "61 min"}}},
        *("cutter.speed.pierce", "61 min is not between 0 and an hour"),
    ),
    Refused(
        {"cutter": {"bridges": {"count": 2}, "compensate": "machine"}},
        *("cutter.bridges", "'bridges' make open paths of the cuts"),
    ),
    # Stock and batches.
    Refused({"stock": [{"count": 2}]}, "stock[0]", "need either a 'size' or an 'outline'"),
    Refused(
        {"stock": [{"size": [9, 9], "count": 0}]}, "stock[0].count", "the count of sheets is 0"
    ),
    Refused({"stock": [{"outline": 9}]}, "stock[0].outline", "the outline is no list of corners"),
    Refused({"stock": [{"outline": [[0, 0], 9, 9]}]}, "stock[0].outline", "corner 2 is no pair"),
    Refused(
        {"stock": [{"outline": [[0, 0], [9, "x"], [9, 9]]}]},
        *("stock[0].outline", "corner 2: 'x' is not a length"),
    ),
    Refused(
        {"stock": [{"outline": [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]}]},
        *("stock[0].outline", "the outline crosses itself: its sides 1 and 3 meet"),
    ),
    Refused({"stock": [{"outline": [[0, 0], [9, 0], [5, 0]]}]}, "stock[0].outline", "no area"),
    Refused(
        {"batches": [{"name": "***", "thickness": [3]}]},
        *("batches[0].name", "the batch's name '***' cannot name a file"),
    ),
    Refused(
        {"batches": [{"name": n, "thickness": [3]} for n in ("blue pile", "Blue-pile")]},
        *("batches[1].name", "two batches are called 'Blue-pile', or nearly so"),
    ),
    # Values.
    Refused({T: "3 ± 1 ± 1"}, T, "has more than one ±"),
    Refused({T: {"value": 3, "tolerence": 1}}, T, "has the unknown key 'tolerence'"),
    Refused({T: {"tolerance": 1}}, T, "this length lacks 'value'"),
    Refused({T: {"value": 3, "spread": "wide"}}, T, "spread is 'wide'"),
    Refused({T: {"value": 3, "tolerance": "0.1 cm"}}, T, "in cm and the value has no unit"),
    Refused({T: "3 ± -1"}, T, "the tolerance -1 is negative"),
    Refused({T: {"value": 3, "tolerance": -1}}, T, "the tolerance -1 is negative"),
    Refused({T: "3 ± 3"}, T, "± 3 mm is as large as the value"),
    Refused({T: "1e11 km"}, T, "beyond any body framekit knows"),
    Refused({T: "3 parsec"}, T, "has the unknown unit 'parsec'"),
    Refused({T: "wide"}, T, "'wide' is not a length"),
    Refused({T: True}, T, "'true' is not a length"),
    Refused({T: [3]}, T, "a list is not a length"),
    Refused({T: "1/0 in"}, T, "'1/0 in' divides by zero"),
    Refused({T: "1e400"}, T, "it is not finite"),
    Refused({T: "3" + " " * 120 + "mm"}, T, "is too long for a value"),
    Refused({"scale": 4}, "scale", "'4' is not a ratio"),
    Refused({"scale": "a:b"}, "scale", "'a:b' is not a ratio of two numbers"),
    Refused({"scale": "1:0"}, "scale", "'1:0' is not a ratio of two positive numbers"),
    Refused({"sheet.price": "4.20"}, "sheet.price", "'4.20' is not a price"),
    Refused({"sheet.price": "-1 EUR"}, "sheet.price", "the price -1 is negative"),
]
