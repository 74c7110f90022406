"""The main guarantee: a random spec passes and stands in space, fails a named check, or gets a
clear error. Oracle: plane and solid geometry in oracle.py, from the result document alone."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import event, given
from property.oracle import faults
from property.random_frames import frames

from framekit.errors import GeometryError, SolveError, SpecError
from framekit.files.document import result_document
from framekit.parts.build import make_parts
from framekit.pipeline import assembly_report
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values


@given(frames())
def test_every_spec_passes_fails_a_check_or_gets_a_clear_error(values: dict[str, Any]) -> None:
    try:
        solution = solve(spec_from_values(values))
    except (SpecError, SolveError) as error:
        event("refused: " + error.code)
        assert all(fault.message and fault.hint and fault.code for fault in error.faults)
        return
    if solution.failed:
        event("failed: " + solution.failed[0].code)
        assert all(check.text and check.margin < 0 for check in solution.failed)
        try:
            make_parts(solution)
        except GeometryError as error:
            assert error.hint
        return
    event("passed")
    parts = make_parts(solution)
    assembly_report(parts.frames[0])
    document = json.loads(result_document(solution, parts).model_dump_json())
    assert faults(document["frames"][0]) == []
