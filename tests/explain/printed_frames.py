"""Frames whose derivations are tested, and how a printed sum is worked out without framekit."""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from framekit.solution.build import solve
from framekit.spec.build import load_spec, parse_spec

ROOT = Path(__file__).parents[2]
SPECS = sorted((ROOT / "specs").glob("*.yaml"))

HARD = """
framekit: 1
id: hard
title: "A *hard* one | 100 $"
body: {shape: spheroid, equatorial_diameter: 8 1/3 in, flattening: 0.123456789}
scale: "7:3"
ribs: {count: 7, width: {equator: 20, pole: 11}}
discs:
  - {at: {height: 0}, bore: auto}
  - {at: {latitude: 37.7, kind: geodetic, both: true}}
  - {at: {fraction: 0.97}, bore: auto}
sheet: {thickness: 3.05 ± 0.03, size: [900, 900]}
cutter: {kerf: 0.007 in}
"""
"""Inches, a third of one, seven ribs, and a disc so near the pole that the pole gap holds."""

SEARCHED = """
framekit: 1
id: searched
body: {shape: spheroid, equatorial_diameter: 1.2 m, flattening: 0.05}
scale: "1:4"
ribs: {count: 8}
joint: {style: housed}
discs:
  - {at: {height: 0}}
  - {radius: 90, side: both}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
"""
"""A wanted radius of a housed disc, which no closed form turns into a height."""


def frame_of(source):
    spec = load_spec(source) if isinstance(source, Path) else parse_spec(source, "page.yaml")
    return solve(spec).frames[0]


PILLOW = """
framekit: 1
id: pillow
body: {shape: superellipsoid, equatorial_diameter: 1.1 m, flattening: 0.2, exponent: 2.5,
       span: [-300 mm, top]}
scale: "1:5"
ribs: {count: 6, width: {equator: 20, pole: 13}, alternate: {width: {equator: 16, pole: 12}}}
discs:
  - {at: {height: -20}, bore: auto}
  - {at: {height: 31.7}, bore: auto}
  - {at: {height: 70}}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
"""
"""A power that is no whole number, a part cut off, and every other rib narrower."""

CONE = """
framekit: 1
id: cone
body: {shape: cone, diameter: 200 mm, top_diameter: 0, height: 220}
ribs: {count: 6, width: {equator: 20, bottom: 26, top: 14}, alternate: {width: 18}}
discs:
  - {at: {end: bottom}, bore: auto}
  - {at: {height: 88}}
  - {at: {height: 130}}
joint: {style: tenon}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
disc_sheet: {thickness: 4.1 ± 0.04, size: [600, 400]}
"""
"""A pointed cone whose ribs' width varies, every other rib narrower, two sheets, tongues."""

WAVE = """
framekit: 1
id: wave
body: {shape: profile, radius_at: "60 - 14*cos(pi*z/90)**2 + abs(z)/30", from: -90, to: 95}
scale: "2:3"
ribs: {count: 6, width: 12}
discs:
  - {at: {height: 0}}
  - {at: {height: 30.5}, bore: auto}
joint: {style: cross-lap}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
cutter: {kerf: 0.2 ± 0.02}
"""
"""An author's formula with an angle, a waist within a disc, and both ends open."""

POINTS = """
framekit: 1
id: points
body: {shape: profile, points: [[80, -10], [95, 0], [70, 60], [90, 130], [20, 190], [0, 200]]}
scale: "2:3"
ribs: {count: 6, width: 12}
discs:
  - {at: {height: 40.2}}
  - {at: {height: 80}, bore: auto}
joint: {style: housed}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
cutter: {kerf: 0.2 ± 0.02}
"""
"""Points on another scale, open below and closed above, a waist within a disc."""

LOOP = """
framekit: 1
id: loop
body: {shape: cone, diameter: 200 mm, top_diameter: 120 mm, height: 220}
ribs: {count: 6, width: {equator: 20, pole: 13}}
discs:
  - {slot_depth: 9.5, side: south, bore: auto}
  - {at: {height: 150}}
joint: {style: cross-lap}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
cutter: {kerf: 0.2 ± 0.02}
"""
"""A slot's depth: disc, skin and inner edge depend on each other."""

LANTERN = ROOT / "tests/plugins/sample/lantern.yaml"
"""A body and a joint of a plug-in."""

SOURCES = [*SPECS, LANTERN, HARD, SEARCHED, PILLOW, CONE, WAVE, POINTS, LOOP]
FRAMES = {s.stem if isinstance(s, Path) else s.split("\n")[2]: frame_of(s) for s in SOURCES}
BUOY = FRAMES["harbour-buoy"]
every_frame = pytest.mark.parametrize("frame", FRAMES.values(), ids=FRAMES)

UNITS = {"mm": 1.0, "cm": 10.0, "m": 1e3, "km": 1e6, "in": 25.4}


PAGE = (ROOT / "docs/reference/command-line.md").read_text(encoding="utf-8")
SECTION = PAGE.partition("## framekit explain")[2].partition("\n## ")[0]
STEP_KEYS = {
    key: (kind, set(re.findall(r"`(\w+)`", about)))
    for key, kind, about in re.findall(r"^\| `(\w+)` \| (.*?) \| (.*) \|$", SECTION, re.MULTILINE)
}
"""What the page of the command line says of a step in JSON: its keys, their types, keys below."""


def worked_out(text):
    """A printed sum by Python's arithmetic; lengths with a unit are put in mm."""
    for sign, python in (
        ("−", "-"), ("·", "*"), ("√(", "sqrt("), ("∛(", "cbrt("), ("°", "*pi/180"),
        ("²", "**2"), ("³", "**3"), ("⁴", "**4"), ("^", "**"), ("π", "pi"),
        ("≥", ">="), (", else", " else"),
    ):  # fmt: skip
        text = text.replace(sign, python)
    text = re.sub(r"\|([^|]*)\|", r"abs(\1)", text)
    text = re.sub(r"([\d.]+) (mm|cm|m|km|in)\b", lambda m: f"({m[1]}*{UNITS[m[2]]})", text)
    known = ("sqrt", "cbrt", "sin", "cos", "tan", "asin", "acos", "atan", "exp", "log", "pi")
    names = {name: getattr(math, name) for name in known}
    return eval(text, {"__builtins__": {}, "abs": abs, "max": max, "min": min}, names)


def rounded(value, decimals):
    """At school: halves away from zero. Fifteen digits, since a double has no more."""
    step = Decimal(1).scaleb(-decimals)
    return Decimal(f"{value:.15g}").quantize(step, ROUND_HALF_UP)


def agrees(value, step):
    """Whether a worked-out sum is the printed result, to the printed digits."""
    result = step.result.replace("−", "-")
    has_units = bool(step.conversion)
    value = value / UNITS.get(step.unit, 1.0) if has_units else value
    printed = len(result.partition(".")[2])
    # 1e-13: what doubles leave of a sum of numbers of some hundred mm, which tells at a half
    near = {rounded(value + way, printed) for way in (0.0, 1e-13, -1e-13)}
    return Decimal(result) in near


MATH = re.compile(r"\$\$([^$]+)\$\$|(?<![\\$])\$([^$]+)\$")


def formulas_of(page):
    return [(block or inline).strip() for block, inline in MATH.findall(page)]


def sound(latex):
    """Braces balance, every left has its right, nothing is left open for a number."""
    depth = 0
    for character in latex:
        depth += {"{": 1, "}": -1}.get(character, 0)
        if depth < 0:
            return False
    pairs = (r"\left", r"\right"), (r"\begin", r"\end")
    matched = all(
        len(re.findall(rf"\{a}(?![a-z])", latex)) == len(re.findall(rf"\{b}(?![a-z])", latex))
        for a, b in pairs
    )
    # Markdown takes a backslash before punctuation for an escape, so none may stand there.
    return depth == 0 and matched and not re.search(r"<\d|\\[^a-zA-Z ]|[−·√²°]|nan", latex)
