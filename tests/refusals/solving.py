"""Specs that are sound as text and refused when they are solved, or as YAML, or in a set."""

from __future__ import annotations

import json
from typing import Any

from refusals.specs import GONE, Refused, text_with

BUCKET = {"body": {"shape": "cone", "radius": 90, "top_radius": 60, "height": 150}}
RIBS = {"ribs": {"count": 6, "width": 20}}


def _discs(*discs: dict[str, Any]) -> dict[str, Any]:
    return {"discs": list(discs)}


UNSOLVED = [
    Refused({"body": {"catalogue": "vulcan"}}, "body.catalogue", "no body", "unknown-body"),
    Refused({"sheet.material": "oak"}, "sheet.material", "'oak'", "unknown-material"),
    Refused({"sheet.material": "pvc"}, "sheet.material", "is left out", "material-refused"),
    Refused(
        {"body": {"catalogue": "saturn"}, "scale": "1:500000000", "flanges": [{"rings": ["Z"]}]},
        *("flanges[0].rings", "has no ring", "unknown-ring"),
    ),
    Refused(
        {"body": {"catalogue": "venus"}, "scale": "1:60000000", "flanges": [{"rings": "all"}]},
        *("flanges[0].rings", "has no rings", "unknown-ring"),
    ),
    Refused(
        {"body": {"shape": "lantern", "sizes": {"hat": 9}}, **RIBS},
        *("body.sizes", "the size '", "body-sizes"),
    ),
    Refused(
        {"joint": {"style": "round-lap", "sizes": {"hat": 9}}, **RIBS},
        *("joint.sizes", "the size 'hat'", "joint-sizes"),
    ),
    Refused({"ribs.width": 95}, "ribs.width", "is not below", "rib-too-wide"),
    Refused(
        {"ribs": {"count": 180, "width": 9}},
        *("ribs.width", "does not come to the 86.43 mm that ribs keep", "rib-too-wide"),
    ),
    Refused(
        {"body": {"shape": "sphere", "radius": 80}, "ribs": {"count": 180, "width": 9}},
        *("ribs", "must each stop 86.43 mm from the axis", "too-many-ribs"),
    ),
    Refused({"discs": [{"at": {"height": 99}}]}, "discs[0].at", "outside", "disc-outside-body"),
    Refused({"sheet.thickness": GONE}, "sheet", "too little is given", "too-little-given"),
    Refused(
        {"body": {"shape": "spheroid", "polar_radius": 9}}, "body", "too little", "too-little-given"
    ),
    Refused(
        {"body": {"shape": "sphere", "radius": 95, "diameter": 180}},
        *("body.diameter", "these disagree: body.radius, body.diameter", "values-disagree"),
    ),
    Refused(
        {"discs": [{"at": {"end": "top"}}]}, "discs[0].at.end", "a point or pole", "end-closed"
    ),
    Refused(
        {**BUCKET, **RIBS, **_discs({"hub": True, "side": "north"})},
        *("discs[0]", "disc-1 cannot be a hub: the body's top is open", "hub-at-open-end"),
    ),
    Refused({"joint": {"style": "tenon"}}, "joint.style", "no disc lies flush", "no-tenon"),
    Refused(
        {"ribs": {"longitudes": [0, 10, 20], "cut_away": [5, 245]}},
        *("ribs.cut_away", "the sector cut away leaves 1 of 3 ribs", "too-few-ribs"),
    ),
    Refused(
        {"body": {"shape": "sphere", "radius": 95, "span": [-99, "top"]}, **RIBS},
        *("body.span[0]", "the span's lower end, -99 mm, lies beyond", "span-outside-body"),
    ),
    Refused(
        {**BUCKET, "body.height": 2, **RIBS},
        *("discs[0].at", "the body is 2 mm high, and disc-1 3 mm thick", "body-too-low"),
    ),
    Refused(
        {"joint": {"slot_width": 2, "clearance": 2.5}, "sheet": {"size": [600, 400]}},
        *("sheet", "comes out as -0.5, not above zero", "not-positive"),
    ),
    Refused(
        {
            "body": {"shape": "cone", "radius": 90, "top_radius": 3, "height": 150},
            **RIBS,
            **_discs({"at": {"height": 60}}),
        },
        *("body", "upper end has the radius 3 mm", "end-too-narrow"),
    ),
    Refused({"discs": [{"radius": 300, "side": "north"}]}, "", "has no value", "no-solution"),
    Refused(
        {"body": {"shape": "sphere", "radius": 95}, "scale": "1e300:1"},
        *("", "comes out as no finite number", "not-finite"),
    ),
    Refused(
        {
            "body": {"shape": "profile", "points": [[0, 0], [20, 45], [0, 90]]},
            "ribs": {"count": 80, "width": 5},
            **_discs({"at": {"height": 45}}),
        },
        *("ribs", "must each stop", "too-many-ribs"),
    ),
]
UNSORTED = [
    Refused(
        {
            "stock": [{"size": [600, 400]}],
            "disc_sheet": {"thickness": 5, "size": [600, 400]},
        },
        *("stock[0]", "these sheets may be", "stock-of-which"),
    ),
    Refused(
        {"stock": [{"size": [600, 400], "material": "mdf"}]},
        *("stock[0]", "no part is cut from these sheets", "stock-of-none"),
    ),
    Refused(
        {"stock": [{"outline": [[0, 0], [900, 0], [0, 300]]}], "cutter": {"bed": [600, 400]}},
        *("stock[0]", "this leftover is 900 × 300 mm", "leftover-beyond-bed"),
    ),
]
YAML = [
    ("a: [1", "yaml-syntax", "this is not YAML"),
    ("a: \x07", "yaml-syntax", "this is not YAML"),
    ("", "yaml-empty", "the spec is empty"),
    ("- 1", "spec-not-mapping", "is not a mapping of keys to values"),
    ("a: !!binary x", "yaml-tag", "the tag '!!binary' is not read"),
    ("a: !!set {x}", "yaml-tag", "the tag '!!set' is not read"),
    ("? [a]\n: 1", "yaml-key", "a key must be plain text"),
    ("a: 1\na: 2", "yaml-doubled-key", "the key 'a' stands twice"),
    ("a: !!float x", "yaml-number", "'x' is not a number"),
    ("a: " + "[" * 60 + "]" * 60, "yaml-too-deep", "nested deeper than 40 levels"),
    ("a: " + "[" * 600 + "]" * 600, "yaml-too-deep", "nested deeper than 40 levels"),
    (" " * 1_000_001, "yaml-too-large", "the spec has 1000001 characters"),
    ("framekit: 2", "spec-newer", "this is version 2 of the spec language"),
]
PARTS = {key: value for key, value in json.loads(text_with({})).items() if key != "framekit"}
FRAME = {**PARTS, "id": "one"}


def set_text(frames: list[dict[str, Any]], **keys: Any) -> str:
    """Return the text of a set."""
    return json.dumps({"framekit": 1, **keys, "frames": frames}, indent=1)


SETS = [
    (set_text([{"use": "../up.yaml"}]), "use-path", "is no file beside this one"),
    (set_text([{"use": "set.yaml"}]), "set-uses-set", "'set.yaml' is a set"),
    (set_text([{**FRAME, "scale": "1:2"}], scale="1:3"), "two-scales", "a 'scale' of its own"),
    (set_text([{**FRAME, "model": {"height": 9}}], scale="1:3"), "two-scales", "a 'model' of"),
    (
        set_text([{**FRAME, "stock": [{"size": [9, 9]}]}]),
        "stock-of-a-frame",
        "a 'stock' of its own",
    ),
    (
        set_text([FRAME, {**FRAME, "id": "two", "cutter": {"spacing": 9}}]),
        *("two-machines", "frame 'two' has another cutter than 'one'"),
    ),
    (set_text([FRAME, {**FRAME, "id": "ONE"}]), "frame-id-doubled", "two frames are called 'ONE'"),
    (set_text([]), "spec-too-short", "frames has 0 items"),
    (set_text([{"use": "gone.yaml"}]), "spec-unreadable", "cannot read the spec"),
]
