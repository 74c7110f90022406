"""Frames that passed and could not be built: what each must give, and files without a fault.

The judge takes the outlines from the written SVG and DXF alone; `judge.py` has its clauses.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from judge.judge import findings
from judge.made_files import outcome_of
from judge.scene import case_of
from ruamel.yaml import YAML

CASES = Path(__file__).with_name("cases")
REFUSED = {"fail", "refused"}
WRITTEN = {"pass", "undecided"}

WANTED: dict[str, set[str]] = {
    # A rib keeps 0.006 mm behind its flange's notch.
    "altfl2": {"fail"},
    # The horn below the notch of every other rib is 1.5 mm thin and less: to nothing at 41.5 mm.
    "alt": {"fail"},
    # A lid comes off by a pull.
    "lid": {"pass", "refused"},
    "step": {"pass", "refused"},
    # It hung 0.006 mm above its centre of mass.
    "neutral": {"pass", "refused"},
    # Its neighbours hang from a pair of ribs.
    "hangmin": WRITTEN,
    # What is not told is not exact.
    "notol": {"undecided"},
    # Each sheet's own kerf and limits.
    "acr": WRITTEN,
    "acr1": WRITTEN,
    # At the low end of the kerf slot ends collide by 0.12 mm.
    "endclear": {"undecided", "fail"},
    # The straight seat is 1.9 mm in 3 mm sheet; a tooth's tip is 0.3 mm.
    "leadeng": {"fail"},
    "leadtooth": {"fail"},
    # Its stand was refused by the fit that the joints use.
    "card": WRITTEN,
    # Open paths say no side.
    "mb": {"pass", "fail", "refused"},
    # A check passed, and a build refused an arc finer than the tool.
    "s141m": {"fail"},
}

RED: dict[str, str] = {}
"""Cases that do not yet give what they must, and why."""


def read(name: str) -> dict[str, Any]:
    """The values of a case's spec."""
    text = (CASES / f"{name}.yaml").read_text(encoding="utf-8")
    values: dict[str, Any] = json.loads(json.dumps(YAML(typ="safe", pure=True).load(text)))
    return values


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(
            name,
            marks=[pytest.mark.xfail(raises=AssertionError, strict=True, reason=RED[name])]
            if name in RED
            else [],
        )
        for name in WANTED
    ],
)
def test_a_frame_that_passed_and_must_not(name: str, shelf: str) -> None:
    values = read(name)
    outcome = outcome_of(values, shelf)
    assert outcome.verdict in WANTED[name], outcome.words
    if outcome.document is not None:
        case = case_of(values, outcome.svg, outcome.dxf, outcome.document)
        assert findings(case, outcome.verdict) == []


def test_every_case_says_what_it_must_give() -> None:
    assert sorted(path.stem for path in CASES.glob("*.yaml")) == sorted(WANTED)
