"""A random spec of any body passes and stands in space, fails a check, or is refused in words.

Oracle: `solid_oracle` and `plain_skin`, from the result document and the spec's own numbers.
A thousand specs with FRAMEKIT_PROFILE=full, sixty without; in batches, so that workers share them.
"""

from __future__ import annotations

import json
import os
import time
from collections import Counter
from typing import Any

import pytest
from property.random_bodies import KINDS, MATERIALS, STYLES, random_spec
from property.solid_oracle import faults

from framekit import pipeline
from framekit.errors import BuildError, GeometryError, SolveError, SpecError
from framekit.files.document import result_document
from framekit.parts.build import make_parts
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

FULL = os.environ.get("FRAMEKIT_PROFILE", "ci") == "full"
SPECS = 1000 if FULL else 60
BATCH = 20 if FULL else 6
LONGEST = 2.0
"""Seconds of processor time that the check of one spec may take."""
LEAST_PASSED = 0.25
"""Share of the specs that must pass, so that what is proved of passing ones says something."""


@pytest.mark.parametrize("start", range(0, SPECS, BATCH))
def test_every_spec_passes_fails_a_check_or_gets_a_sentence(start: int) -> None:
    found = []
    for seed in range(start, min(start + BATCH, SPECS)):
        values = random_spec(seed)
        found += [f"seed {seed}: {fault}" for fault in _faults(values)]
    assert found == []


def _faults(values: dict[str, Any]) -> list[str]:
    """What is wrong with what framekit says of a spec; other errors than its own come through."""
    began = time.process_time()
    try:
        solution = solve(spec_from_values(values))
    except (SpecError, SolveError) as error:
        return _silent(error)
    if solution.failed:
        spent = time.process_time() - began
        bad = [c.code for c in solution.failed if not (c.text and c.margin < 0)]
        return [f"the failed check {code} says nothing" for code in bad] + _slow(spent)
    try:
        parts = make_parts(solution)
    except GeometryError as error:
        return _silent(error)
    try:
        pipeline.assembly_report(parts.frames[0])
    except BuildError as error:
        return [f"the checks pass, yet {fault.message}" for fault in error.faults]
    spent = time.process_time() - began
    document = json.loads(result_document(solution, parts).model_dump_json())
    return faults(document["frames"][0], values) + _slow(spent)


def _silent(error: SpecError | SolveError | GeometryError) -> list[str]:
    """Faults that lack their sentence or their remedy."""
    return [f"{f.code} says nothing" for f in error.faults if not (f.code and f.message and f.hint)]


def _slow(spent: float) -> list[str]:
    return [f"its check took {spent:.1f} s"] if spent > LONGEST else []


def test_a_quarter_of_the_specs_passes_its_checks() -> None:
    passed = 0
    for seed in range(SPECS):
        try:
            passed += not solve(spec_from_values(random_spec(seed))).failed
        except (SpecError, SolveError):
            continue
    assert passed >= LEAST_PASSED * SPECS


def test_the_specs_have_every_body_joint_and_feature() -> None:
    """Each kind of thing is there in the sixty specs at least once."""
    seen: Counter[str] = Counter()
    for seed in range(60):
        spec = random_spec(seed)
        body, ribs, joint, cutter = spec["body"], spec["ribs"], spec["joint"], spec["cutter"]
        for section in (spec, ribs, joint, cutter, body):
            seen.update(list(section))
        seen.update([body.get("shape", "catalogue"), joint["style"], cutter["process"]])
        seen.update([f"sheet {spec['sheet']['material']}", f"relief {joint.get('relief')}"])
        seen.update([f"fit {joint.get('fit')}", f"smooth {body.get('smooth', True)}"])
        for disc in spec["discs"]:
            seen.update(list(disc))
            seen.update(f"at {key}" for key in disc.get("at", ()))
    shapes = [kind for kind in KINDS if kind not in ("smooth", "straight", "formula")]
    wanted = {*shapes, *STYLES, "laser", "router", "knife", *(f"sheet {m}" for m in MATERIALS)}
    wanted |= {"profile", "smooth True", "smooth False", "radius_at", "span", "scale", "model"}
    wanted |= {"alternate", "cut_away", "longitudes", "count", "flanges", "disc_sheet", "lead_in"}
    wanted |= {"relief auto", "relief all", "relief none", "hub", "radius", "slot_depth", "setback"}
    wanted |= {f"at {key}" for key in ("height", "fraction", "latitude", "end", "both")}
    wanted |= {"fit slip", "fit snug", "fit press", "clearance", "bore", "compensate"}
    assert wanted - set(seen) == set()


def test_a_seed_gives_one_spec() -> None:
    assert random_spec(7) == random_spec(7) != random_spec(16)


VASE: dict[str, Any] = {
    "framekit": 1,
    "id": "vase",
    "body": {"shape": "profile", "points": [[60, 0], [90, 70], [70, 150], [80, 200]]},
    "ribs": {"count": 6, "width": 26},
    "discs": [{"at": {"end": "bottom"}}, {"at": {"height": 120}}],
    "joint": {"style": "tenon"},
    "flanges": [{"at": 70, "inner_radius": 96, "outer_radius": 140}],
    "sheet": {"material": "mdf", "thickness": 3, "size": [900, 900]},
    "cutter": {"process": "laser"},
}


def _vase() -> dict[str, Any]:
    solution = solve(spec_from_values(VASE))
    assert solution.failed == ()
    document = json.loads(result_document(solution, make_parts(solution)).model_dump_json())
    frame: dict[str, Any] = document["frames"][0]
    return frame


def test_the_oracle_sees_what_is_planted() -> None:
    """Parts shifted, turned or made larger: a fault of the right kind each time."""
    assert faults(_vase(), VASE) == []
    planted = {
        "share": ("disc-2", lambda part: part["pose"][2].__setitem__(3, 121.0)),
        "not 120": ("disc-2", lambda part: part["pose"][2].__setitem__(3, 121.0)),
        "leaves the skin": ("rib-2", lambda part: _scaled(part, 1.002)),
        "proud": ("disc-2", lambda part: _scaled(part, 1.01)),
        "on its way": ("flange-1", lambda part: part["pose"].__setitem__(slice(0, 2), _LEVEL)),
        "from the axis": ("rib-1", lambda part: part["outline"].append([0.0, 160.0])),
    }
    for words, (name, plant) in planted.items():
        frame = _vase()
        plant(next(part for part in frame["parts"] if part["id"] == name))
        found = faults(frame, VASE)
        assert any(words in fault for fault in found), (words, found)


_LEVEL = [[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0]]
"""The first rows of the pose of a plate that is not turned: the flange's slots at the ribs."""


def _scaled(part: dict[str, Any], factor: float) -> None:
    part["outline"] = [[factor * x, factor * y] for x, y in part["outline"]]
