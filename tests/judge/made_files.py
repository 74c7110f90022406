"""What framekit makes of a spec, by its public names: a refusal in words, a failed check, or files.

The judge itself knows nothing of framekit; this is its only hand into it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from framekit import FramekitError, nest, solve
from framekit.files.backends.dxf import DxfBackend
from framekit.files.backends.svg import SvgBackend
from framekit.files.document import result_document
from framekit.pipeline import verify
from framekit.spec.build import spec_from_values


@dataclass(frozen=True)
class Outcome:
    """`refused`, `fail`, `undecided` or `pass`, with the words or the files."""

    verdict: str
    words: tuple[str, ...] = ()
    svg: tuple[tuple[str, bytes], ...] = ()
    dxf: tuple[tuple[str, bytes], ...] = ()
    document: dict[str, Any] | None = None


def outcome_of(values: dict[str, Any], nester: str = "quick") -> Outcome:
    """Return what framekit gives for a spec's values."""
    try:
        verified = verify(solve(spec_from_values(values)))
        solution, parts = verified.solution, verified.parts
        checks = [check for frame in solution.frames for check in frame.checks]
        failed = [c for c in checks if c.verdict == "fail"]
        if failed or parts is None:
            return Outcome("fail", tuple(f"{c.code} of {c.about}: {c.text}" for c in failed))
        sheets = nest(parts, nester)
        files = [
            tuple((d.name, d.data) for d in backend.render(sheets))
            for backend in (SvgBackend(), DxfBackend())
        ]
    except FramekitError as error:
        assert all(fault.message and fault.code for fault in error.faults)
        return Outcome("refused", tuple(f"{f.code}: {f.message}" for f in error.faults))
    document = json.loads(result_document(solution, parts, sheets).model_dump_json())
    verdict = "pass" if all(c.verdict == "pass" for c in checks) else "undecided"
    return Outcome(verdict, (), *files, document)
