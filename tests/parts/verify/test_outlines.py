"""Whether a cutter can run an outline: figures by hand, and one verdict on every road."""

from __future__ import annotations

import json
import math

import pytest

from framekit.cli.main import main
from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.parts.verify.outlines import FINENESS, widest_cutter


def bitten(radius):
    """A plate of 60 × 20 mm whose upper edge has a half-round bite of that radius."""
    return Outline(
        Path(
            (
                Vertex(0, 0),
                Vertex(60, 0),
                Vertex(60, 20),
                Vertex(30 + radius, 20, -1.0),
                Vertex(30 - radius, 20),
                Vertex(0, 20),
            )
        )
    )


def slotted(width):
    """A plate of 60 × 20 mm with a square slot 10 mm deep from above."""
    left, right = 30 - width / 2, 30 + width / 2
    corners = [(0, 0), (60, 0), (60, 20), (right, 20), (right, 10), (left, 10), (left, 20), (0, 20)]
    return Outline(Path(tuple(Vertex(*c) for c in corners)))


def bored(radius, clockwise=True):
    """A disc of 40 mm with a bore."""
    return Outline(circle(20.0), (circle(radius, clockwise=clockwise),))


SHAPES = {
    "bite": (bitten, 1.0),
    "bore": (bored, 1.0),
    "bore the other way round": (lambda radius: bored(radius, clockwise=False), 1.0),
    # A cutter of diameter d leaves a floor w − d long for its middle: none at d = w.
    "slot": (slotted, 0.5),
}


@pytest.mark.parametrize("kerf", [0.2, 3.0, 6.0])
@pytest.mark.parametrize(("shape", "share"), SHAPES.values(), ids=SHAPES)
def test_the_widest_cutter_is_as_wide_as_the_place_it_must_go_through(shape, share, kerf):
    """A cutter of radius r runs an inside arc of radius r at least, and a slot 2 r wide."""
    for size in (1.4, 2.9, 3.1, 7.0):
        found = widest_cutter(shape(size), kerf)
        # Twice the kerf's radius is the most that is looked for; to 0.001 mm, twice for the ends.
        assert found.radius == pytest.approx(min(size * share, kerf), abs=2 * FINENESS)
        fits = size * share > kerf / 2
        assert (found.radius >= kerf / 2) == fits
        assert bool(found.reason) == (size * share < kerf)


@pytest.mark.parametrize("over", [0.004, -0.004])
def test_just_past_the_limit_it_fails(over):
    assert (widest_cutter(bitten(1.5 + over), 3.0).radius >= 1.5) == (over > 0)
    assert (widest_cutter(bored(1.5 + over), 3.0).radius >= 1.5) == (over > 0)
    assert (widest_cutter(slotted(3.0 + over), 3.0).radius >= 1.5) == (over > 0)


def test_a_shape_without_hollows_takes_any_cutter():
    square = Outline(Path((Vertex(0, 0), Vertex(40, 0), Vertex(40, 40), Vertex(0, 40))))
    assert widest_cutter(square, 3.0) == (3.0, "")
    round_out = Outline(circle(0.5))  # an outside arc may be as tight as it likes
    assert widest_cutter(round_out, 3.0) == (3.0, "")


def test_the_reason_names_the_place():
    assert (
        "near x 31.4, y 20.0 mm has a radius of 1.400 mm" in widest_cutter(bitten(1.4), 3.0).reason
    )
    assert "near x" in widest_cutter(slotted(2.0), 3.0).reason


WAIST = """framekit: 1
id: waist
body:
  shape: profile
  points: [[125.0, 0.0], [162.5, 75.0], [150.0, 175.0], [100.0, 275.0], [112.5, 325.0]]
  smooth: false
ribs: {count: 10, width: 54.60, alternate: {width: {equator: 65.52, pole: 48.05}}}
discs:
  - {at: {height: 162.500}, bore: auto}
  - {at: {height: 219.375, both: true}, bore: 8, setback: 0.4}
joint: {style: cross-lap, clearance: 0.08 ± 0.02, relief: auto}
sheet: {material: mdf, thickness: 9.1 ± 0.01, size: [1500, 1200]}
cutter: {process: router, tool_diameter: 3 ± 0.02, compensate: file, spacing: 5}
"""
BALL = """framekit: 1
id: ball
body: {shape: sphere, diameter: 120}
ribs: {count: 4, width: 18}
discs: [{at: {height: 0}}]
sheet: {material: mdf, thickness: 3 ± 0.02, size: [600, 400]}
cutter: {kerf: 0.16 ± 0.02}
"""
REFUSED = {
    "an arc finer than the tool, by the file": (WAIST, 1, "cutter-path of rib-1"),
    "an arc finer than the tool, by the machine": (
        WAIST.replace("compensate: file", "compensate: machine"),
        1,
        "cutter-path of rib-1",
    ),
    "a bridge on no edge": (
        BALL.replace("± 0.02}", "± 0.02, bridges: {count: 2, width: 200}}"),
        1,
        "bridge-room of",
    ),
    "a stand larger than the sheet": (
        BALL.replace("[600, 400]", "[200, 140]").replace("count: 4", "count: 8")
        + "stand: {tilt: 10, base: 300}\n",
        1,
        "fits-stock of stand-1",
    ),
    "a part larger than the sheet": (
        BALL.replace("[600, 400]", "[100, 100]"),
        1,
        "fits-stock of disc-1",
    ),
    "one colour twice": (
        BALL.replace("± 0.02}", "± 0.02, strokes: {mark: '#4b2e83'}}"),
        2,
        "two operations have one colour",
    ),
    "open paths for a machine": (
        BALL.replace("± 0.02}", "± 0.02, compensate: machine, bridges: {count: 2}}"),
        2,
        "an open path has no inside",
    ),
    "a stand that does not hold": (
        BALL + "stand: {tilt: 10, base: 200}\n",
        2,
        "would fall off its stand",
    ),
    "sheets that run out": (
        BALL + "stock: [{size: [140, 140], count: 1}]\n",
        2,
        "mdf 3 mm at hand",
    ),
}


@pytest.mark.parametrize(("text", "code", "words"), REFUSED.values(), ids=REFUSED)
def test_check_finds_what_stops_a_build(text, code, words, tmp_path, capsys):
    """The same exit code, and the same sentence, whatever a build would stop at."""
    spec, folder = tmp_path / "spec.yaml", tmp_path / "out"
    spec.write_text(text, encoding="utf-8")
    checked = main(["check", str(spec)])
    said = "".join(capsys.readouterr())
    built = main(["build", str(spec), "-o", str(folder)])
    error = capsys.readouterr().err
    assert checked == built and built != 0
    assert built == code
    assert words in said and words in error
    assert not folder.exists()
    if code == 1:
        assert main(["check", str(spec), "--json"]) == main(["build", str(spec), "--json"]) == 1
        of_check, of_build = capsys.readouterr().out.splitlines()
        assert of_check == of_build and words.partition(" of")[0] in of_build


@pytest.mark.parametrize("who", ["file", "machine"])
def test_the_band_is_half_the_tolerance_of_the_tool(who, tmp_path, capsys):
    """By hand: 3 ± 0.02 mm moves the radius by 0.01 mm to each side."""
    spec = tmp_path / "waist.yaml"
    spec.write_text(WAIST.replace("compensate: file", f"compensate: {who}"), encoding="utf-8")
    assert main(["check", str(spec), "--json"]) == 1
    frame = json.loads(capsys.readouterr().out)["frames"][0]
    (found,) = (c for c in frame["checks"] if c["code"] == "cutter-path" and c["verdict"] == "fail")
    # 1e-9: sums of doubles
    assert found["margin"] - found["low"] == pytest.approx(0.01, abs=1e-9)
    assert found["high"] - found["margin"] == pytest.approx(0.01, abs=1e-9)
    assert math.copysign(1, found["margin"]) == -1


def test_explain_knows_the_checks_of_outlines(tmp_path, capsys):
    spec = tmp_path / "ball.yaml"
    spec.write_text(BALL, encoding="utf-8")
    assert main(["explain", str(spec), "cutter-path of disc-1"]) == 0
    # By hand: a laser's path may be as wide again as its kerf of 0.16 mm, so 0.16 − 0.08 is left.
    assert "0.0800 mm" in capsys.readouterr().out
