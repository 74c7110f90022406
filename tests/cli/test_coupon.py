"""The coupon as its users meet it: the files read back by others' libraries, and the readings.

Files are read by svgelements and ezdxf, and judged by shapely; none of them shares code with what
draws. Sums are worked by hand beside them.
"""

from __future__ import annotations

import json
import re
from itertools import pairwise

import ezdxf
import pytest
import shapely
import svgelements
from ezdxf.path import make_path

from framekit.calibration.build import plan_coupon
from framekit.files.document import ResultDocument
from framekit.geometry.lettering import text_strokes
from framekit.parts.shape.coupon import coupon_parts
from framekit.sheets.rows import lay_in_rows
from framekit.solution.build import solve
from framekit.spec import rewrite
from framekit.spec.build import load_spec, parse_spec

SPEC = """\
# Globe of the third form.
framekit: 1
id: small
body: {shape: sphere, diameter: 120 mm}   # outside
ribs: {count: 4, width: 18}
discs:
  - {at: {height: 0}}      # one is enough
joint:
    style: cross-lap
    fit: snug              # the shop's usual
sheet:
    material:  birch-plywood
    thickness: 3.00 ± 0.06     # by caliper, in May
    size: [400, 300]
cutter: {kerf: 0.16 ± 0.02, margin: 5, spacing: 2}
# end
"""
CUTTERS = {
    "laser": ("{kerf: 0.16 ± 0.02, margin: 5, spacing: 2}", 0.16, 0.16),
    "machine": ("{kerf: 0.16, compensate: machine}", 0.0, 0.16),
    "router": ("{process: router, tool_diameter: 2 mm}", 2.0, 2.0),
    "knife": ("{process: knife}", 0.0, 0.0),
}
"""What a spec says, what its file makes slots narrower by, and the kerf, mm."""
LADDER = [2.85, 2.9, 2.95, 3.0, 3.05, 3.1, 3.15, 3.2, 3.25]
READINGS = ("slot=3.10", "strips=120.02", "caliper=3.02,3.05,3.01,3.04")


def given(*readings):
    return [word for reading in readings for word in ("--reading", reading)]


def spec_with(name):
    return re.sub(r"cutter: .*", f"cutter: {CUTTERS[name][0]}", SPEC)


@pytest.fixture(params=CUTTERS)
def cut(request, run, tmp_path):
    """The coupon of a process, cut by name, with its files in `out`."""
    path = tmp_path / "small.yaml"
    path.write_text(spec_with(request.param), encoding="utf-8")
    code, out, err = run("coupon", path, "-o", tmp_path / "out")
    assert (code, err) == (0, "")
    return request.param, path, out, tmp_path / "out"


def svg_shapes(path):
    """Every closed path as a polygon in mm, y up, by part."""
    svg = svgelements.SVG.parse(path, ppi=25.4)
    shapes = {}
    for group in svg.select(lambda e: isinstance(e, svgelements.Group) and "data-part" in e.values):
        for element in group:
            if isinstance(element, svgelements.Path) and element.values["class"] == "outside":
                corners = [(p.x, 300 - p.y) for p in element.as_points()]
                shapes[group.values["data-part"]] = shapely.Polygon(corners)
    return shapes


def dxf_shapes(path):
    document = ezdxf.readfile(path)
    audit = document.audit()
    assert not audit.errors and document.header["$INSUNITS"] == 4
    shapes = {}
    for entity in document.modelspace().query('LWPOLYLINE[layer=="FRAME-OUTSIDE"]'):
        name = entity.get_xdata("FRAMEKIT")[1].value
        corners = [(p.x, p.y) for p in make_path(entity).flattening(0.001)]
        shapes[name] = shapely.Polygon(corners)
    return shapes


def slot_widths(plate):
    """The widths in mm of the gaps along a line across the teeth, left to right."""
    left, _, right, top = plate.bounds
    teeth = plate.intersection(shapely.LineString([(left - 1, top - 5), (right + 1, top - 5)]))
    pieces = sorted(piece.bounds for piece in shapely.get_parts(teeth))
    return [after[0] - before[2] for before, after in pairwise(pieces)]


@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_slots_and_strips_are_as_wide_as_engraved_and_the_kerf(cut, kind) -> None:
    name, _, out, folder = cut
    allowed = CUTTERS[name][1]
    read = svg_shapes if kind == "svg" else dxf_shapes
    shapes = read(str(folder / f"small-coupon.{kind}"))
    # 6e-5 mm: files have five decimals, and svgelements' inch is 5.4e-7 too long.
    widths = slot_widths(shapes["coupon-1"])
    assert widths == pytest.approx([slot - allowed for slot in LADDER], abs=6e-5)
    strips = [shape for part, shape in shapes.items() if part.startswith("strip-")]
    assert len(strips) == (0 if name == "knife" else 10)
    for strip in strips:
        left, low, right, high = strip.bounds
        assert (right - left, high - low) == pytest.approx((40 + allowed, 12 + allowed), abs=6e-5)
    assert ", ".join(f"{slot:.2f}" for slot in LADDER) in out
    assert ("must allow for a kerf of 0.16 mm" in out) == (name == "machine")


def test_parts_lie_apart_on_the_sheet_and_hold_their_engraving(cut) -> None:
    name, path, _, _ = cut
    solution = solve(load_spec(path))
    sheets = lay_in_rows(coupon_parts(solution, plan_coupon(solution.frames[0])), "coupon")
    (sheet,) = sheets.sheets
    kerf = CUTTERS[name][2]
    spacing = 3.0 if name == "router" else 2.0
    assert {p.part.kind for p in sheet.placements} == {"coupon"}
    shapes = [shapely.Polygon([v[:2] for v in p.outline.outer.vertices]) for p in sheet.placements]
    for n, shape in enumerate(shapes):
        assert shape.is_valid
        # 1e-9 mm: rounding of sums.
        assert shapely.box(5, 5, 395, 295).buffer(1e-9).contains(shape)
        for other in shapes[:n]:
            assert shape.distance(other) >= max(spacing, 2 * kerf) - 1e-9
    for placement, shape in zip(sheet.placements, shapes, strict=True):
        for mark in placement.marks:
            line = shapely.LineString(mark.polyline)
            assert shape.contains(line) and line.distance(shape.boundary) >= max(1.0, kerf / 2)


def test_every_slot_has_its_own_number_below_it() -> None:
    """The strokes below each slot are those of its finished width, moved."""
    solution = solve(parse_spec(SPEC))
    plan = plan_coupon(solution.frames[0])
    plate = coupon_parts(solution, plan).all[0]
    xs = [v.x for v in plate.outline.outer.vertices if v.y == min(
        u.y for u in plate.outline.outer.vertices if u.y > 15
    )]  # fmt: skip
    middles = sorted((a + b) / 2 for a, b in zip(xs[::2], xs[1::2], strict=True))
    marks = list(plate.marks)
    for slot, x in zip(LADDER, middles, strict=True):
        strokes = text_strokes(f"{slot:.2f}", 3.0)
        wide = max(s.bounds[2] for s in strokes)
        for stroke in strokes:
            mark = marks.pop(0)
            for one, other in zip(mark.vertices, stroke.vertices, strict=True):
                assert one.x == pytest.approx(other.x + x - wide / 2, abs=1e-9)
        if slot == 3.05:  # the expected one is underlined
            assert len(marks.pop(0).vertices) == 2


def test_a_router_gets_what_its_tool_can_cut(run, tmp_path) -> None:
    path = tmp_path / "small.yaml"
    text = spec_with("router").replace("2 mm", "2.95 mm")
    path.write_text(text, encoding="utf-8")
    code, out, _ = run("coupon", path)
    assert code == 0 and "left out, too narrow for the cutter: 2.85, 2.90, 2.95" in out
    widths = slot_widths(svg_shapes(str(tmp_path / "small/small-coupon.svg"))["coupon-1"])
    # 6e-5 mm: files have five decimals, and svgelements' inch is 5.4e-7 too long.
    assert widths == pytest.approx([slot - 2.95 for slot in LADDER[3:]], abs=6e-5)
    assert "hands, hair and sleeves" in out


def test_cautions_and_the_next_words(run, spec, tmp_path) -> None:
    code, out, _ = run("coupon", spec)
    assert code == 0
    assert "Follow the machine's manual" in out and "Never PVC" in out
    assert f"framekit coupon {spec} --reading slot=…" in out
    svg = (tmp_path / "small" / "small-coupon.svg").read_text(encoding="utf-8")
    assert "Follow the machine&apos;s manual" in svg or "Follow the machine's manual" in svg


def test_the_same_coupon_is_the_same_bytes(run, spec, tmp_path) -> None:
    for folder in ("one", "two"):
        run("coupon", spec, "-o", tmp_path / folder)
    for name in ("small-coupon.svg", "small-coupon.dxf"):
        one, two = ((tmp_path / folder / name).read_bytes() for folder in ("one", "two"))
        assert one == two


def test_backends_steps_and_counts(run, spec, tmp_path) -> None:
    words = ("--backend", "svg", "--slots", "5", "--step", "0.02", "--strips", "4")
    code, out, _ = run("coupon", spec, *words)
    assert code == 0 and "slots: 3.01, 3.03, 3.05, 3.07, 3.09 mm" in out
    assert "strips: 4 of 12 mm" in out
    assert [p.name for p in (tmp_path / "small").iterdir()] == ["small-coupon.svg"]


def test_json_of_a_coupon_is_the_result_document(run, spec) -> None:
    code, out, err = run("coupon", spec, "--json")
    assert (code, err) == (0, "")
    document = ResultDocument.model_validate_json(out)
    assert document.sheets[0].id == "coupon" and len(document.files) == 2


@pytest.mark.parametrize("bed", ["[130, 120]", "[90, 145]"])
def test_a_small_sheet_is_told_or_the_coupon_turned(run, spec, tmp_path, bed) -> None:
    text = SPEC.replace("[400, 300]", bed).replace("120 mm", "70 mm")
    spec.write_text(text, encoding="utf-8")
    code, _, err = run("coupon", spec, "--strips", "2")
    if bed == "[90, 145]":
        assert code == 0
        assert slot_widths_of_turned(tmp_path / "small" / "small-coupon.dxf")
    else:
        assert code == 1 and "fewer slots" in err and not (tmp_path / "small").exists()


def slot_widths_of_turned(path):
    plate = shapely.affinity.rotate(dxf_shapes(path)["coupon-1"], -90, origin=(0, 0))
    return slot_widths(plate) == pytest.approx([s - 0.16 for s in LADDER], abs=2e-5)


def test_readings_print_a_derivation_and_lines_to_paste(run, spec) -> None:
    before = spec.read_bytes()
    code, out, err = run("coupon", spec, *given(*READINGS))
    assert (code, err) == (0, "")
    # (3.02 + 3.05 + 3.01 + 3.04)/4; (121.6 − 120.02)/10; 3.10 − 0.16 + 0.158 − 3.03.
    for figure in ("= 3.0300 mm", "= 0.1580 mm", "g = 3.0980 − 3.0300 = 0.0680 mm"):
        assert figure in out
    assert "JCGM 100:2008" in out and "They agree." in out
    pasted = out.partition("'fit: snug':\n")[2]
    assert re.search(r"^sheet:\n  thickness: \{value: 3\.030, ", pasted)
    assert spec.read_bytes() == before


def test_write_changes_only_those_values(run, spec) -> None:
    code, out, err = run("coupon", spec, *given(*READINGS), "--write")
    assert (code, err) == (0, "") and "engraved=0.16" in out
    values = {
        name: re.search(rf"(\{{value: {start}[^}}]*\}})", spec.read_text(encoding="utf-8"))[1]
        for name, start in (("thickness", "3.030"), ("kerf", "0.158"), ("clearance", "0.068"))
    }
    wanted = SPEC.replace("3.00 ± 0.06", values["thickness"])
    wanted = wanted.replace("0.16 ± 0.02", values["kerf"])
    wanted = wanted.replace("fit: snug", f"clearance: {values['clearance']}")
    assert spec.read_text(encoding="utf-8") == wanted
    solution = solve(load_spec(spec)).frames[0]
    # The drawn slot is as wide as the path of the slot that fitted; 1e-9: rounding.
    assert solution.value("joint.slot_width_drawn") == pytest.approx(3.1 - 0.16, abs=1e-9)


def test_more_readings_after_the_spec_has_changed(run, spec) -> None:
    run("coupon", spec, *given(*READINGS), "--write")
    words = given("strips=120.02", "engraved=0.16", "slot=3.10")
    out = run("coupon", spec, *words, "--json")[1]
    found = json.loads(out)["estimates"]["cutter.kerf"]["value"]
    assert found == pytest.approx(0.158, abs=1e-12)


def test_write_for_a_router_names_its_tool(run, tmp_path) -> None:
    path = tmp_path / "small.yaml"
    path.write_text(spec_with("router"), encoding="utf-8")
    code, _, err = run("coupon", path, *given("strips=119.8"), "--write")
    assert (code, err) == (0, "")
    # 12 + 2 − 119.8/10.
    assert "tool_diameter: {value: 2.020, " in path.read_text(encoding="utf-8")


def test_json_of_readings(run, spec) -> None:
    code, out, err = run("coupon", spec, *given(*READINGS), "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert set(found["estimates"]) == {"sheet.thickness", "cutter.kerf", "joint.clearance"}
    for estimate in found["estimates"].values():
        assert sum(estimate["shares"].values()) == pytest.approx(1.0, abs=1e-12)
    assert found["cross_check"]["agrees"] is True and found["written"] is False
    assert "sheet.thickness" in found["changes"]


def test_a_file_of_readings_and_a_better_caliper(run, spec, tmp_path) -> None:
    path = tmp_path / "readings.yaml"
    path.write_text("caliper: [3.02, 3.05, 3.01, 3.04]\nstrips: 120.02\n", encoding="utf-8")

    def uncertainty(*words):
        out = run("coupon", spec, "--readings", path, "--json", *words)[1]
        return json.loads(out)["estimates"]["cutter.kerf"]["standard_uncertainty"]

    usual = uncertainty()
    assert uncertainty("--caliper-error", "0.01") < usual < uncertainty("--resolution", "0.05")


def test_a_set_takes_the_values_in_its_shared_part(run, tmp_path) -> None:
    path = tmp_path / "pair.yaml"
    text = """framekit: 1
id: pair
shared:
  ribs: {count: 4, width: 18}
  discs: [{at: {height: 0}}]
  sheet: {thickness: 3.00 ± 0.06, size: [400, 300]}   # both
frames:
  - {id: A, body: {shape: sphere, diameter: 120 mm}}
  - {id: B, body: {shape: sphere, diameter: 140 mm}}
"""
    path.write_text(text, encoding="utf-8")
    words = given("caliper=3.02,3.05,3.01,3.04")
    assert run("coupon", path, "-o", tmp_path)[0] == 0
    assert run("coupon", path, *words, "--write")[0] == 0
    new = path.read_text(encoding="utf-8")
    assert re.sub(r"\{value: 3\.030[^}]*\}", "3.00 ± 0.06", new) == text
    own = text.replace("140 mm}}", "140 mm}, sheet: {thickness: 3.1}}")
    path.write_text(own, encoding="utf-8")
    code, _, err = run("coupon", path, *words, "--write")
    assert code == 2 and "frame B has its own sheet.thickness" in err
    assert path.read_text(encoding="utf-8") == own


@pytest.mark.parametrize(
    "words",
    [
        ["--write"],
        ["--caliper-error", "0.02"],
        ["--step", "0"],
        ["--step", "nan"],
        ["--slots", "4"],
        ["--strips", "0"],
        [*given("slot=3.10"), "-o", "out"],
        given("slot=-3.10"),
        given("slot=nan"),
        given("slot=abc"),
        given("slot=3.07"),
        given("caliper=" + ",".join(["3"] * 201)),
        given("caliper=30.2"),
        given("strips=150"),
        given("colour=3"),
        [*given("slot=3.10"), "--resolution", "0"],
        [*given("slot=3.10"), "--resolution", "x"],
        ["--readings", "none.yaml"],
    ],
)
def test_wrong_words_are_2_and_change_nothing(run, spec, tmp_path, words) -> None:
    code, out, err = run("coupon", spec, *words)
    assert code == 2 and out == "" and err.count("\n") <= 2 and len(err) < 2000
    assert spec.read_text(encoding="utf-8") == SPEC
    assert [p.name for p in tmp_path.iterdir()] == ["small.yaml"]


def test_a_spec_that_would_not_read_again_is_left(run, spec) -> None:
    """One sheet of 3 mm and one of 2 mm give a tolerance as large as the sheet."""
    words = given("caliper=2,4,2,4,1.6")
    code, _, err = run("coupon", spec, *words, "--write")
    assert code == 2 and "tolerance" in err
    assert spec.read_text(encoding="utf-8") == SPEC


def test_an_interrupted_write_leaves_the_spec(run, spec, tmp_path, monkeypatch) -> None:
    def fail(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(rewrite.os, "fsync", fail)
    assert run("coupon", spec, *given(*READINGS), "--write")[0] == 130
    assert spec.read_text(encoding="utf-8") == SPEC
    assert [p.name for p in tmp_path.iterdir()] == ["small.yaml"]


def test_a_check_that_fails_with_what_was_measured_is_1(run, spec) -> None:
    """A slot 0.33 mm wide of the sheet holds nothing: the spec is right, the fit is not."""
    words = given("slot=3.25", "strips=120.02", "caliper=2.92,2.91,2.92")
    code, out, _ = run("coupon", spec, *words, "--write")
    assert code == 1 and "FAILS  slot-slack" in out


BATCHES = """batches:
  - {name: blue pile, thickness: [2.98, 2.99, 2.98, 2.99, 2.98], count: 6}
  - {name: thick, thickness: [3.02, 3.05, 3.11]}
"""


def test_check_lists_batches(run, spec) -> None:
    spec.write_text(SPEC + BATCHES, encoding="utf-8")
    code, out, _ = run("check", spec)
    assert code == 0
    assert re.search(r"^Batch blue pile, 6 sheets: pass, next sheet 2\.9", out, re.MULTILINE)
    assert re.search(r"^Batch thick: fail, .* too thick: slot-gap", out, re.MULTILINE)
    assert (
        f'Not with this file: thick. Draw one for it: framekit build {spec} --batch "thick"' in out
    )
    document = json.loads(run("check", spec, "--json")[1])
    assert [b["verdict"] for b in document["frames"][0]["batches"]] == ["pass", "fail"]


def test_build_for_a_batch(run, spec, tmp_path) -> None:
    spec.write_text(SPEC + BATCHES, encoding="utf-8")
    code, _, err = run("build", spec, "--batch", "blue pile")
    assert (code, err) == (0, "")
    names = sorted(p.name for p in (tmp_path / "small-blue-pile").iterdir())
    assert names == ["small-blue-pile-sheet-1.dxf", "small-blue-pile-sheet-1.svg"]
    assert (tmp_path / "small-blue-pile.layout.json").exists()
    assert not (tmp_path / "small.layout.json").exists()
    svg = (tmp_path / "small-blue-pile" / names[1]).read_text(encoding="utf-8")
    assert "birch-plywood 2.984 mm" in svg
    code, _, err = run("build", spec, "--batch", "red pile")
    assert code == 2 and "no batch named 'red pile'" in err and "blue pile" in err


def test_check_of_a_set_says_which_frames_a_batch_is_not_for(run, tmp_path) -> None:
    path = tmp_path / "pair.yaml"
    path.write_text(
        """framekit: 1
id: pair
shared:
  ribs: {count: 4, width: 18}
  discs: [{at: {height: 0}}]
  sheet: {thickness: 3.00 ± 0.03, size: [400, 300]}
  batches: [{name: blue pile, thickness: [3.1, 3.1, 3.1]}]
frames:
  - {id: A, body: {shape: sphere, diameter: 120 mm}}
  - {id: B, body: {shape: sphere, diameter: 140 mm}, joint: {clearance: 0.2}}
""",
        encoding="utf-8",
    )
    out = run("check", path)[1]
    # 3.1 mm goes into the second's slots of 3.2 mm, not into the first's of 3.05 mm.
    assert "Batch blue pile: fail for A; pass for B." in out
    assert f'Draw one for it: framekit build {path} --batch "blue pile"' in out
