"""Sets on the command line: the table, the frame that is asked for, sheets at hand, progress."""

from __future__ import annotations

import json
import re

import pytest
from jsonschema import Draft202012Validator

from framekit.cli.progress import ProgressBar
from framekit.pipeline import build, verify

SPEC = """framekit: 1
id: pair
title: Two worlds
scale: "1:100 000 000"
shared:
  sheet: {thickness: 3 ± 0.02, size: [400, 300], price: 4.20 EUR}
  cutter: {kerf: 0.16 ± 0.02}
  ribs: {count: 4, width: 14}
  discs: [{at: {height: 0}}]
frames:
  - {id: A1, body: {catalogue: earth}}
  - {id: A2, body: {catalogue: mars}}
"""
STOCK = "stock: [{size: [150, 150]}]\n"


def test_the_table_of_a_set_by_hand(run, spec):
    code, out, err = run("check", spec)
    assert (code, err) == (0, "")
    # The verdict is a sentence, however long.
    assert max(len(line) for line in out.splitlines() if not line.startswith("All ")) <= 100
    rows = {line.split()[0]: line.split() for line in out.splitlines() if line.startswith("A")}
    # 12756.2732 km (WGCCRE 2015) over a hundred million is 127.6 mm, 6792.38 km is 67.9 mm.
    assert rows["A1"][1:7] == ["Earth", "12756.3", "km", "127.6", "4", "1"]
    assert rows["A2"][1:7] == ["Mars", "6792.38", "km", "67.9", "4", "1"]
    assert rows["A1"][-2:] == ["all", "pass"]
    parts = verify(spec).parts
    share = sum(p.outline.area for p in parts.frames[0].parts) / (400 * 300)
    assert rows["A1"][7] == f"{share:.2f}"
    assert "All frames are at 1:100 000 000." in out
    # An astronomical unit is 149 597 870.7 km (IAU 2012): 1.50 km at this scale, Mars' 1.5237 of
    # them 2.28 km, and twice that across.
    assert re.search(
        r"^Earth +1 AU +149\.6 million km +1:100 000 000 +1\.5 km +2\.99 km$", out, re.M
    )
    assert re.search(r"^Mars .* 2\.28 km +4\.56 km$", out, re.M)


def test_all_adds_each_frames_own_tables(run, spec):
    brief, every = (run("check", spec, *more)[1] for more in ((), ("--all",)))
    assert "disc-1.radius" not in brief and every.count("disc-1.radius") >= 2


def test_the_largest_scale_names_what_limits_it(run, spec):
    spec.write_text(SPEC.replace('"1:100 000 000"', "largest"), encoding="utf-8")
    out = run("check", spec)[1]
    assert "the largest scale that each of them bears" in out
    assert re.search(r"^No larger: A1 \(fits-stock of ", out, re.M)
    assert re.search(r"^No smaller than 1:[\d ]+: A2 \(", out, re.M)
    ranges = run("check", spec, "--all")[1]
    assert re.search(r"^frame +largest +smallest +no larger for +no smaller for$", ranges, re.M)


def test_a_failed_check_is_told_with_its_frames(run, spec):
    spec.write_text(SPEC.replace("width: 14", "width: 5"), encoding="utf-8")
    code, out, _ = run("check", spec)
    assert code == 1 and re.search(r"^A1, A2: FAILS  ligament|^A1: FAILS  ligament", out, re.M)


def test_a_frame_is_chosen_by_its_id(run, spec):
    one, two = (
        run("explain", spec, "model.equatorial_diameter", "--frame", name)[1]
        for name in ("A1", "A2")
    )
    assert "127.56" in one and "67.92" in two
    code, out, _ = run("allowed", spec, "sheet.thickness", "--frame", "A2")
    assert code == 0 and out.startswith("sheet.thickness")
    code, out, _ = run("allowed", spec, "sheet.thickness", "--frame", "A2", "--json")
    assert code == 0 and "sheet.thickness" in json.loads(out)["frames"][1]["allowed"]


@pytest.mark.parametrize("command", [("explain", "model.height"), ("allowed", "sheet.thickness")])
def test_a_frame_that_is_not_named_or_not_there_lists_the_ids(run, spec, command):
    name, what = command
    code, out, err = run(name, spec, what)
    assert code == 2 and out == "" and "--frame ID" in err and "A1, A2" in err
    code, out, err = run(name, spec, what, "--frame", "A3")
    assert code == 2 and "'A3'" in err and "Known: A1, A2." in err


def test_sheets_that_run_out_are_exit_2_and_nothing_is_written(run, spec, tmp_path):
    spec.write_text(SPEC + STOCK, encoding="utf-8")
    code, out, err = run("build", spec, "-o", tmp_path / "out")
    assert code == 2 and not (tmp_path / "out").exists()
    assert not (tmp_path / "pair.layout.json").exists()
    assert out.startswith("sheet-1: ") and "Nothing is written." in out
    assert re.search(r"at hand runs out: \d+ parts found no place \(A1/", err)
    assert "of 400 × 300 mm more" in err
    code, out, _ = run("build", spec, "-o", tmp_path / "out", "--json")
    short = json.loads(out)["short"]
    assert code == 2 and short[0]["more"] == 1 and short[0]["size"] == [400, 300]
    code, out, _ = run("build", spec, "-o", tmp_path / "out", "--despite-failures")
    assert code == 2 and "Written although the birch-plywood 3 mm at hand runs out" in out
    assert (tmp_path / "out" / "pair-sheet-1.svg").exists()


def test_check_says_what_the_area_alone_forbids(run, spec):
    spec.write_text(SPEC + "stock: [{size: [150, 60]}]\n", encoding="utf-8")
    code, out, _ = run("check", spec)
    assert code == 2 and "At hand of birch-plywood 3 mm: 1 sheet of 150 × 60 mm" in out
    assert "It takes at least 1 sheet of 400 × 300 mm more." in out


def test_a_build_prints_what_each_frame_takes(run, spec, tmp_path):
    code, out, _ = run("build", spec, "-o", tmp_path / "out")
    assert code == 0
    rows = {line.split()[0]: line for line in out.splitlines() if re.match(r"A\d |all ", line)}
    assert set(rows) == {"A1", "A2", "all"} and rows["all"].endswith("4.20 EUR")
    costs = [float(re.search(r"([\d.]+) EUR$", rows[name])[1]) for name in ("A1", "A2")]
    assert sum(costs) == pytest.approx(4.20, abs=0.011)  # two amounts rounded to a cent
    assert "Assumed for the time" in out and "Waste: " in out
    document = json.loads(run("build", spec, "-o", tmp_path / "out", "--json")[1])
    making = [frame["making"] for frame in document["frames"]]
    assert sum(m["shares"] for m in making) == pytest.approx(1, abs=1e-9)  # one sheet
    assert sum(m["seconds"] for m in making) == pytest.approx(
        document["sheets"][0]["seconds"], abs=1e-6
    )


def test_the_schema_takes_a_set_with_all_its_keys(run):
    from ruamel.yaml import YAML

    schema = Draft202012Validator(json.loads(run("schema", "spec")[1]))
    leftover = "stock: [{outline: [[0, 0], [90, 0], [0, 90]], count: 2}]\n"
    text = SPEC + leftover + "sheets: {keep_together: true}\n"
    values = YAML(typ="safe", pure=True).load(text)
    assert list(schema.iter_errors(values)) == []
    assert list(schema.iter_errors({**values, "stocks": []}))
    assert list(schema.iter_errors({**values, "stock": [{"count": 0}]}))


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("{catalogue: mars}}", "{catalogue: mars}, cutter: {kerf: 0.3}}", "another cutter"),
        ("{catalogue: mars}}", "{catalogue: mars}, stock: [{size: [9, 9]}]}", "share the set's"),
    ],
)
def test_one_machine_and_one_pile_of_sheets(run, spec, old, new, code):
    spec.write_text(SPEC.replace(old, new), encoding="utf-8")
    exit_code, out, err = run("check", spec)
    assert exit_code == 2 and out == "" and code in err


def test_stages_are_told_with_counts(spec):
    said: list[tuple[str, float | None]] = []
    verify(spec, lambda what, share: said.append((what, share)))
    assert ("testing the solids, frame 2 of 2", 0.5) in said
    said.clear()
    build(spec, spec.parent / "out", progress=lambda what, share: said.append((what, share)))
    assert said[-1][0] == "writing" and any(what.startswith("nesting") for what, _ in said)
    with ProgressBar() as progress:
        assert progress is None  # no terminal here


def test_a_single_spec_takes_sheets_at_hand_too(run, tmp_path):
    path = tmp_path / "one.yaml"
    path.write_text(
        "framekit: 1\nbody: {shape: sphere, diameter: 90}\nribs: {count: 4, width: 14}\n"
        "discs: [{at: {height: 0}}]\nsheet: {thickness: 3 ± 0.02, size: [400, 300]}\n"
        "cutter: {kerf: 0.16}\nstock: [{size: [200, 150], count: 3}]\n",
        encoding="utf-8",
    )
    code, out, _ = run("build", path, "-o", tmp_path / "out")
    assert code == 0 and "of 200 × 150 mm" in out


IMPOSSIBLE = """framekit: 1
id: moons
scale: "1:30 000 000"
shared:
  sheet: {material: birch-plywood, thickness: 3.05 ± 0.03, size: [600, 400]}
  cutter: {process: laser, kerf: 0.16}
  ribs: {count: 6, width: {equator: 18, pole: 12}}
  discs: [{at: {height: 0}}, {at: {fraction: 0.5, both: true}}]
frames:
  - {id: A1, body: {catalogue: moon}}
  - {id: A2, body: {catalogue: BODY}}
"""


@pytest.mark.parametrize(("body", "code"), [("jupiter", 1), ("mimas", 2)])
@pytest.mark.parametrize("command", ["check", "build"])
def test_the_rest_of_a_set_is_listed_where_a_frame_cannot_be(command, body, code, tmp_path, run):
    """A part larger than every sheet fails a check; a body too small for its ribs has no frame."""
    spec = tmp_path / "moons.yaml"
    spec.write_text(IMPOSSIBLE.replace("BODY", body), encoding="utf-8")
    found, out, err = run(command, spec)
    assert found == code and "A1" in out and "Traceback" not in err
    if command == "build":
        assert "Planned A1, without A2" in out and "Nothing is written." in out
        assert "A2: " in err
    assert [path.name for path in tmp_path.iterdir()] == ["moons.yaml"]
