"""The verdict and the remarks: printed by `check` and `build`, and data in the result document."""

from __future__ import annotations

import json

import pytest

from framekit.cli.main import main

PASS = "All checks pass over the whole of the tolerances."
LOOSE = " But the cut alone does not hold everything: "

BODY = """
framekit: 1
id: one
body: {shape: sphere, diameter: 190 mm}
ribs: {count: RIBS, width: 23}
discs: [DISCS]
joint: {style: housed}
sheet: {thickness: 3 mm ± 0, size: [600, 400]}
cutter: {kerf: 0.1 mm ± 0}
"""
TWO = "{at: {height: 30, both: true}}"
ONE = "{at: {height: 0}}"
LAMP = """
framekit: 1
id: two
body: {shape: cylinder, diameter: 190 mm, height: 150 mm}
ribs: {count: 6, width: 23}
discs: [{at: {end: bottom}}, {at: {end: top}}]
joint: {style: tenon}
sheet: {thickness: 3 mm ± 0, size: [600, 400]}
cutter: {kerf: 0.1 mm ± 0}
"""
TIPS = ("can-tip", [f"rib-{n}" for n in range(1, 7)], True)
CASES = {
    "held": (BODY.replace("RIBS", "6").replace("DISCS", TWO), "", []),
    "one disc": (
        BODY.replace("RIBS", "6").replace("DISCS", ONE),
        "rib-1 to rib-6 can tip",
        [TIPS],
    ),
    "two opposite ribs": (
        BODY.replace("RIBS", "2").replace("DISCS", TWO),
        "disc-1 and disc-2 can tip",
        [("can-tip", ["disc-1", "disc-2"], True)],
    ),
    "two lids": (
        LAMP,
        "disc-1 and disc-2 can come off",
        [("can-come-off", ["disc-1"], True), ("can-come-off", ["disc-2"], True)],
    ),
}


def written(folder, text):
    path = folder / "spec.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("case", CASES)
def test_check_and_build_name_what_the_cut_alone_does_not_hold(case, tmp_path, capsys):
    text, loose, remarks = CASES[case]
    path = written(tmp_path, text)
    line = PASS + (f"{LOOSE}{loose}." if loose else "")
    assert main(["check", path]) == 0
    checked = capsys.readouterr().out.splitlines()
    assert checked[-1] == line
    assert main(["build", path, "-o", str(tmp_path / "out")]) == 0
    built = capsys.readouterr().out.splitlines()
    assert built[-1] == line
    for command in (["check", path, "--json"], ["build", path, "--json"]):
        assert main(command) == 0
        (frame,) = json.loads(capsys.readouterr().out)["frames"]
        found = [(r["code"], r["parts"], r["contradicts_pass"]) for r in frame["remarks"]]
        assert found == remarks
        for remark in frame["remarks"]:
            assert remark["text"] in checked
            assert remark["text"] in built


def test_a_set_says_of_which_frames(tmp_path, capsys):
    head, _, keys = CASES["held"][0].partition("id: one\n")
    shared = "".join(f"  {line}\n" for line in keys.splitlines())
    frames = """frames:
  - {id: a, discs: [{at: {height: 0}}]}
  - {id: b, discs: [{at: {height: 10}}]}
  - {id: c}
"""
    path = written(tmp_path, f"{head}id: all\nshared:\n{shared}{frames}")
    assert main(["check", path]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == f"{PASS}{LOOSE}rib-1 to rib-6 can tip (a, b)."
    assert any(
        line.startswith("a, b: rib-1 to rib-6: held by disc-1 alone and can tip") for line in lines
    )
    assert not any(line.startswith("c: ") for line in lines)


def test_a_stands_remarks_do_not_contradict_a_pass(tmp_path, capsys):
    path = written(
        tmp_path, CASES["held"][0].replace("count: 6", "count: 8") + "stand: {tilt: 0}\n"
    )
    assert main(["check", path]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == PASS
    assert main(["check", path, "--json"]) == 0
    (frame,) = json.loads(capsys.readouterr().out)["frames"]
    found = {r["code"]: (r["parts"], r["contradicts_pass"]) for r in frame["remarks"]}
    assert found["stand-ledge"] == (["stand-1"], False)
    assert found["rests-by-rubbing"] == (["stand-1", "stand-2"], False)
    assert [r["text"] for r in frame["remarks"]] == frame["handling"]["sentences"][-2:]


def test_a_failed_check_has_no_remarks(tmp_path, capsys):
    path = written(tmp_path, CASES["one disc"][0].replace("width: 23", "width: 4"))
    assert main(["check", path]) == 1
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.endswith("of the checks failed; nothing can be cut from this spec yet.")
    assert main(["check", path, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["frames"][0]["remarks"] == []
