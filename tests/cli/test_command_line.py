"""The command line as its users meet it: words, exit codes, files, messages."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import ezdxf
import pytest
from jsonschema import Draft202012Validator

from framekit.errors import FramekitError
from framekit.files.document import ResultDocument

SPEC = """framekit: 1
id: small
title: Small globe
body: {shape: sphere, diameter: 120 mm}
ribs: {count: 4, width: 18}
discs:
  - {at: {height: 0}, bore: auto}
  - {at: {fraction: 0.5, both: true}}
sheet: {material: birch-plywood, thickness: 3 ± 0.02, size: [400, 300]}
cutter: {kerf: 0.16 ± 0.01}
"""


def test_check_prints_a_table_and_passes(run, spec):
    code, out, err = run("check", spec)
    assert (code, err) == (0, "")
    assert "disc-1.radius" in out and "slot-gap" in out
    assert "All checks pass over the whole of the tolerances." in out
    assert len(run("check", spec, "--all")[1]) > len(out)


def test_check_json_is_the_result_document_and_nothing_else(run, spec):
    code, out, err = run("check", spec, "--json")
    assert (code, err) == (0, "")
    document = json.loads(out)
    ResultDocument.model_validate(document)
    frame = document["frames"][0]
    assert document["framekit"] == 1 and document["sheets"] == [] and document["files"] == []
    assert set(frame) == {
        "id", "title", "quantities", "checks", "allowed", "parts", "remarks", "handling", "making",
        "batches",
    }  # fmt: skip
    assert set(frame["quantities"]["disc-1.radius"]) == {
        "value", "unit", "low", "high", "sigma", "shares", "curved", "origin", "line",
    }  # fmt: skip
    assert set(frame["checks"][0]) == {
        "code", "about", "verdict", "margin", "low", "high", "sigma", "shares", "curved", "unit",
        "text", "limited_by", "untold",
    }  # fmt: skip
    assert frame["quantities"]["sheet.thickness"]["line"] == 9
    assert [p["id"] for p in frame["parts"]] == [
        "rib-1", "rib-2", "rib-3", "rib-4", "disc-1", "disc-2", "disc-3",
    ]  # fmt: skip
    assert set(frame["parts"][0]) == {
        "id", "kind", "thickness", "outline", "holes", "marks", "pose", "mass",
    }  # fmt: skip


def test_a_failed_check_is_exit_1_and_writes_nothing(run, spec, tmp_path):
    spec.write_text(SPEC.replace("width: 18", "width: 5"), encoding="utf-8")
    code, out, _ = run("check", spec)
    assert code == 1 and "FAILS  ligament" in out
    folder = tmp_path / "out"
    code, out, err = run("build", spec, "-o", folder)
    assert code == 1 and out == "" and "ligament of disc-1" in err
    assert not folder.exists()
    assert not (tmp_path / "small.layout.json").exists()


def test_a_failed_build_still_gives_the_result_document(run, spec, tmp_path):
    spec.write_text(SPEC.replace("width: 18", "width: 5"), encoding="utf-8")
    code, out, _ = run("build", spec, "-o", tmp_path / "out", "--json")
    document = json.loads(out)
    assert code == 1 and not (tmp_path / "out").exists()
    assert "fail" in {c["verdict"] for c in document["frames"][0]["checks"]}


def test_despite_failures_writes_and_still_says_1(run, spec, tmp_path):
    spec.write_text(SPEC.replace("width: 18", "width: 8"), encoding="utf-8")
    code, out, _ = run("build", spec, "-o", tmp_path / "out", "--despite-failures")
    assert code == 1 and "although a check failed" in out
    assert (tmp_path / "out" / "small-sheet-1.svg").exists()


def test_build_writes_files_that_open_and_again_the_same_bytes(run, spec, tmp_path):
    code, out, err = run("build", spec, "-o", tmp_path / "one")
    assert (code, err) == (0, "")
    assert "manual" in out
    assert "layout: new" in out
    names = sorted(p.name for p in (tmp_path / "one").iterdir())
    assert names == ["small-sheet-1.dxf", "small-sheet-1.svg"]
    audit = ezdxf.readfile(tmp_path / "one" / "small-sheet-1.dxf").audit()
    assert not audit.errors and not audit.fixes
    code, out, _ = run("build", spec, "-o", tmp_path / "two")
    assert "layout: used again" in out
    for name in names:
        one, two = (tmp_path / folder / name for folder in ("one", "two"))
        assert one.read_bytes() == two.read_bytes()


def test_the_kept_layout_is_left_when_the_parts_change(run, spec, tmp_path):
    run("build", spec, "-o", tmp_path / "one")
    spec.write_text(SPEC.replace("count: 4", "count: 5"), encoding="utf-8")
    code, out, _ = run("build", spec, "-o", tmp_path / "one")
    assert code == 0 and "layout: new" in out


def test_nest_again_keeps_the_old_layout_when_it_is_as_good(run, spec, tmp_path):
    run("build", spec, "-o", tmp_path / "one")
    layout = (tmp_path / "small.layout.json").read_bytes()
    code, out, _ = run("build", spec, "-o", tmp_path / "one", "--nest-again")
    assert code == 0 and "layout: used again" in out
    assert (tmp_path / "small.layout.json").read_bytes() == layout


def test_a_broken_layout_file_is_named(run, spec, tmp_path):
    (tmp_path / "small.layout.json").write_text("{", encoding="utf-8")
    code, _, err = run("build", spec, "-o", tmp_path / "one")
    assert code == 1 and "small.layout.json" in err and "Delete the file" in err


def test_an_illegal_kept_layout_is_not_used(run, spec, tmp_path):
    run("build", spec, "-o", tmp_path / "one")
    layout = tmp_path / "small.layout.json"
    text = re.sub(r'"x": [-0-9.]+', '"x": 100.0', layout.read_text(encoding="utf-8"))
    layout.write_text(text, encoding="utf-8")
    code, out, _ = run("build", spec, "-o", tmp_path / "one")
    assert code == 0 and "layout: new" in out


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (r'"copy": 0', '"copy": Infinity'),
        (r'"copy": 0', '"copy": true'),
        (r'"x": [-0-9.]+', '"x": NaN'),
        (r'"sheets": \[', '"sheets": [ [], '),
        (r'"item": "[^"]+"', '"item": "elsewhere"'),
    ],
)
def test_a_tampered_layout_is_refused_with_a_remedy(run, spec, tmp_path, old, new):
    run("build", spec, "-o", tmp_path / "one")
    layout = tmp_path / "small.layout.json"
    text = re.sub(old, new, layout.read_text(encoding="utf-8"), count=1)
    layout.write_text(text, encoding="utf-8")
    code, _, err = run("build", spec, "-o", tmp_path / "one")
    assert code == 1 and "small.layout.json" in err and "Traceback" not in err


def test_another_id_nests_again_and_names_the_old_sheets(run, spec, tmp_path):
    run("build", spec, "-o", tmp_path / "one")
    spec.write_text(SPEC.replace("id: small", "id: other"), encoding="utf-8")
    code, out, _ = run("build", spec, "-o", tmp_path / "one")
    assert code == 0 and "have changed" in out


def test_sheets_left_over_from_an_earlier_build_are_named(run, spec, tmp_path):
    (tmp_path / "one").mkdir()
    old = tmp_path / "one" / "small-sheet-7.svg"
    old.write_text("old", encoding="utf-8")
    out = run("build", spec, "-o", tmp_path / "one")[1]
    assert f"no longer part of this one: {old}" in out and old.exists()


@pytest.mark.parametrize(
    ("cutter", "code"),
    [
        ("{process: router, tool_diameter: 2.5, spacing: 2}", "cut-spacing"),
        ("{kerf: 0.4, spacing: 0.1}", "cut-spacing"),
        ("{process: router, tool_diameter: 2.5, margin: 1}", "cut-margin"),
    ],
)
def test_a_cut_that_would_reach_a_neighbour_or_the_edge_fails(run, spec, cutter, code):
    spec.write_text(SPEC.replace("{kerf: 0.16 ± 0.01}", cutter), encoding="utf-8")
    exit_code, out, _ = run("check", spec)
    assert exit_code == 1 and f"FAILS  {code} of sheet" in out


def test_a_router_slot_that_cannot_seat_fails(run, spec):
    text = SPEC.replace("{kerf: 0.16 ± 0.01}", "{process: router, tool_diameter: 2.5}")
    spec.write_text(text, encoding="utf-8")
    assert run("check", spec)[0] == 0
    spec.write_text(text + "joint: {end_clearance: 0.5}\n", encoding="utf-8")
    code, out, _ = run("check", spec)
    assert code == 1 and "FAILS  slot-seat of joint" in out


@pytest.mark.parametrize("cutter", ["{compensate: machine}", "{process: knife}"])
def test_the_kerf_has_a_default_where_no_law_needs_it(run, spec, cutter):
    spec.write_text(SPEC.replace("{kerf: 0.16 ± 0.01}", cutter), encoding="utf-8")
    assert run("check", spec)[0] == 0


def test_what_is_no_regular_file_is_not_read(run):
    code, _, err = run("check", "/dev/null")
    assert code == 2 and "no regular file" in err


def test_build_json_lists_sheets_and_files(run, spec, tmp_path):
    code, out, _ = run("build", spec, "-o", tmp_path / "one", "--json", "--backend", "svg")
    document = json.loads(out)
    assert code == 0
    placed = [p["part"] for s in document["sheets"] for p in s["placements"]]
    assert sorted(placed) == sorted(p["id"] for p in document["frames"][0]["parts"])
    assert {f["backend"] for f in document["files"]} == {"svg", "layout"}
    assert all(len(f["sha256"]) == 64 for f in document["files"])


def test_without_a_folder_files_go_beside_the_spec(run, spec, tmp_path):
    assert run("build", spec)[0] == 0
    assert (tmp_path / "small" / "small-sheet-1.svg").exists()


def test_a_folder_that_cannot_be_written_leaves_nothing(run, spec, tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("mine", encoding="utf-8")
    code, out, err = run("build", spec, "-o", blocked / "deeper")
    assert code == 2 and out == "" and "cannot be written" in err
    assert blocked.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("option", [["--backend", "svgg"], ["--nester", "quik"]])
def test_unknown_plugins_name_the_known_ones(run, spec, tmp_path, option):
    code, _, err = run("build", spec, "-o", tmp_path / "x", *option)
    assert code == 2 and "Known:" in err and "Did you mean" in err
    assert not (tmp_path / "x").exists()


def test_explain_prints_a_chain_that_ends_in_the_quantity(run, spec):
    code, out, _ = run("explain", spec, "disc-2.radius")
    assert code == 0
    assert "R[2]   = r_f[2] − b[2] =" in out
    code, _, err = run("explain", spec, "disc-2.radios")
    assert code == 2 and "disc-2.radius" in err


def test_new_writes_a_spec_that_checks_and_never_overwrites(run, tmp_path):
    for body, size in (("saturn", "200 mm"), ("sphere", "8 in"), ("spheroid", "150")):
        path = tmp_path / f"{body}.yaml"
        code, out, _ = run("new", body, size, path)
        assert code == 0 and str(path) in out
        assert path.read_text(encoding="utf-8").count("#") > 10
        assert run("check", path)[0] == 0
        code, _, err = run("new", body, size, path)
        assert code == 2 and "not overwritten" in err


@pytest.mark.parametrize(
    ("words", "phrase"),
    [
        (["new", "satrun", "200"], "saturn"),
        (["new", "saturn", "wide"], "SIZE"),
        (["new", "saturn", "-4"], "above zero"),
        (["check", "nowhere.yaml"], "cannot read"),
        (["chek", "x"], "invalid choice"),
        (["build"], "required"),
        (["schema", "specs"], "invalid choice"),
    ],
)
def test_wrong_words_are_exit_2_and_one_sentence(run, words, phrase):
    code, out, err = run(*words)
    assert code == 2 and out == ""
    assert phrase in err and "Traceback" not in err


@pytest.mark.parametrize("what", ["spec", "result"])
def test_schemas_are_json_schema(run, what):
    code, out, _ = run("schema", what)
    assert code == 0
    Draft202012Validator.check_schema(json.loads(out))


def test_the_spec_schema_takes_the_examples_and_refuses_a_slip(run):
    from ruamel.yaml import YAML

    schema = Draft202012Validator(json.loads(run("schema", "spec")[1]))
    examples = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
    assert examples
    for example in examples:
        values = json.loads(json.dumps(YAML(typ="safe", pure=True).load(example)))
        assert list(schema.iter_errors(values)) == [], example.name
    assert list(schema.iter_errors({"framekit": 1, "bodyy": {}}))


@pytest.mark.parametrize(
    ("points", "sound"),
    [
        ([[40, 0], [60, 90]], True),
        ([["4 cm", 0], [60, 90], [30, "5 in"]], True),
        ([[60, 90]], False),
        ([[40, 0], [60]], False),
        ([[40, 0], [60, 90, 120]], False),
    ],
)
def test_the_spec_schema_takes_two_points_or_more_of_two_lengths_each(run, points, sound):
    from ruamel.yaml import YAML

    schema = Draft202012Validator(json.loads(run("schema", "spec")[1]))
    values = YAML(typ="safe", pure=True).load(SPEC)
    profile = {"shape": "profile", "points": points}
    assert schema.is_valid({**values, "body": profile}) == sound


def test_version_and_help(run):
    assert run("--version")[1].startswith("framekit 0.")
    assert run("check", "--help")[0] == 0
    assert run()[0] == 2


def test_an_interrupt_is_exit_130(run, spec, monkeypatch):
    def stop(*_args, **_kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("framekit.cli.check.verify", stop)
    code, _, err = run("check", spec)
    assert code == 130 and "interrupted" in err


def test_an_interrupted_build_leaves_the_old_files_whole(run, spec, tmp_path, monkeypatch):
    folder = tmp_path / "out"
    run("build", spec, "-o", folder)
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    spec.write_text(SPEC.replace("120 mm", "121 mm"), encoding="utf-8")

    def stop(*_args, **_kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("framekit.files.write.os.replace", stop)
    assert run("build", spec, "-o", folder)[0] == 130
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before


def test_every_error_class_has_an_exit_code():
    for kind in FramekitError.__subclasses__():
        assert kind.exit_code in (1, 2, 3)


def test_a_price_gives_the_cost(run, spec, tmp_path):
    spec.write_text(SPEC.replace("size: [400, 300]", "size: [400, 300], price: 4.20 EUR"))
    assert "4.20 EUR" not in run("check", spec)[1]
    out = run("build", spec, "-o", tmp_path / "out")[1]
    assert re.search(r"1 sheet of .* at 4\.20 EUR: 4\.20 EUR", out)


def test_two_stocks_are_printed_with_their_sums(run, spec, tmp_path):
    sheet = "size: [400, 300], price: 4.20 EUR"
    two = "disc_sheet: {material: mdf, thickness: 6, size: [300, 200], price: 2 EUR}"
    spec.write_text(f"{SPEC.replace('size: [400, 300]', sheet)}{two}\n", encoding="utf-8")
    out = run("build", spec, "-o", tmp_path / "out", "--despite-failures")[1]
    sheets = re.findall(r"^(sheet-\d): (\S+ [\d.]+ mm), \d+ part", out, re.MULTILINE)
    assert sheets[0][0] == "sheet-1" and sheets[0][1].startswith("birch-plywood")
    assert {stock for _, stock in sheets[1:]} == {"mdf 6 mm"}
    discs = len(sheets) - 1
    assert re.search(r"^1 sheet of birch-plywood \S+ mm at 4\.20 EUR: 4\.20 EUR, about", out, re.M)
    assert f" of mdf 6 mm at 2.00 EUR: {2 * discs:.2f} EUR, about" in out
    assert f"all sheets: {4.2 + 2 * discs:.2f} EUR" in out


def test_a_title_cannot_lead_out_of_the_folder(run, tmp_path):
    spec = tmp_path / "odd.yaml"
    title = '"../../<script>alert(1)</script>"'
    spec.write_text(SPEC.replace("Small globe", title), encoding="utf-8")
    assert run("build", spec, "-o", tmp_path / "out")[0] == 0
    assert {p.name for p in tmp_path.iterdir()} == {"odd.yaml", "odd.layout.json", "out"}
    text = (tmp_path / "out" / "small-sheet-1.svg").read_text(encoding="utf-8")
    assert "<script" not in text
    shutil.rmtree(tmp_path / "out")


@pytest.mark.parametrize(
    "words",
    [
        ["SPEC", "disc-1.radius", "--format", "json"],
        ["SPEC", "--format", "json", "disc-1.radius"],
        ["--format", "json", "SPEC", "disc-1.radius"],
        ["--format=json", "SPEC", "--", "disc-1.radius"],
    ],
)
def test_names_and_options_go_in_any_order(run, spec, words):
    wanted = run("explain", spec, "disc-1.radius", "--format", "json")
    assert wanted[0] == 0 and json.loads(wanted[1])[-1]["name"] == "disc-1.radius"
    assert run("explain", *(spec if word == "SPEC" else word for word in words)) == wanted


def test_names_on_both_sides_of_an_option_are_all_taken(run, spec):
    words = ("explain", spec, "model.height", "--format", "json", "disc-1.radius", "slot-gap")
    code, out, _ = run(*words)
    names = [step["name"] for step in json.loads(out)]
    assert code == 0 and {"model.height", "disc-1.radius", "slot-gap of joint"} <= set(names)


def test_all_and_a_name_are_told_apart_in_any_order(run, spec):
    for words in ((spec, "--all", "model.height"), ("--all", spec, "model.height")):
        code, _, err = run("explain", *words)
        assert code == 2 and "names and --all together" in err
    assert run("explain", "--all", spec) == run("explain", spec, "--all")


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (["check", "--all", "SPEC"], ["check", "SPEC", "--all"]),
        (["check", "--json", "SPEC"], ["check", "SPEC", "--json"]),
        (
            ["allowed", "SPEC", "--others", "anywhere", "sheet.thickness"],
            ["allowed", "SPEC", "sheet.thickness", "--others", "anywhere"],
        ),
        (["schema", "--json", "spec"], ["schema", "spec", "--json"]),
    ],
)
def test_the_order_of_words_does_not_matter(run, spec, first, second):
    one, two = (
        run(*(spec if word == "SPEC" else word for word in words)) for words in (first, second)
    )
    assert one == two and one[0] == 0 and one[1]


def test_build_and_new_take_options_first_and_between(run, spec, tmp_path):
    out = tmp_path / "out"
    assert run("build", "-o", out, "--backend", "svg", spec)[0] == 0
    assert (out / "small-sheet-1.svg").exists()
    path = tmp_path / "moon.yaml"
    assert run("new", "--json", "moon", "150 mm", path)[0] == 0 and path.exists()
    path = tmp_path / "saturn.yaml"
    assert run("new", "saturn", "--json", "150 mm", path)[0] == 0 and path.exists()
    code, _, err = run("new", "saturn", "--", "-4")
    assert code == 2 and "above zero" in err


def test_options_of_no_command_are_refused_before_and_after_it(run, spec):
    for words in (["--bad", "check", spec], ["check", spec, "--bad"], ["check", "--bad", spec]):
        code, out, err = run(*words)
        assert code == 2 and out == "" and "unrecognized arguments: --bad" in err
    assert run("--version", "check", spec)[1].startswith("framekit 0.")
    assert "explain" in run("--help", "check")[1]


def test_check_says_what_moves_an_undecided_check_and_how_to_ask(run, spec):
    spec.write_text(SPEC.replace("3 ± 0.02", "3 ± 0.06"), encoding="utf-8")
    code, out, _ = run("check", spec)
    assert code == 0
    line = next(line for line in out.splitlines() if line.startswith("UNDECIDED  slot-gap"))
    # Uniform ± 0.06 mm and ± 0.01 mm with slopes of one: 36/37 and 1/37 of the variance.
    assert line.endswith("Its spread: 97 % sheet.thickness, 3 % cutter.kerf.")
    ask = re.search(r"framekit explain (\S+) '(.+)'$", out, re.MULTILINE)
    assert ask and run("explain", ask[1], ask[2])[0] == 0
    tables = out.partition("UNDECIDED")[0].splitlines()
    rows = [row for row in tables if not row.startswith("How one comes about")]
    assert max(map(len, rows)) <= 100


def test_a_failing_check_says_what_moves_it(run, spec):
    spec.write_text(SPEC.replace("width: 18", "width: 5"), encoding="utf-8")
    out = run("check", spec)[1]
    line = next(line for line in out.splitlines() if line.startswith("FAILS  ligament of disc-1"))
    assert line.endswith("Its spread: 100 % cutter.kerf.")
