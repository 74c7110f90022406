"""The judge judged: each clause finds a fault planted in a good frame's files, and good files pass.

The plants change the paths of both formats alike, or the spec that the files are held against; the
clause that must notice is named beside each.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from judge.cut_files import CutSheet, Knot, Run
from judge.judge import CORNERWISE, ONCE, findings
from judge.made_files import Outcome, outcome_of
from judge.scene import Case, case_of
from shapely import Polygon

GOOD: dict[str, Any] = {
    "framekit": 1,
    "body": {"shape": "sphere", "diameter": 200},
    "ribs": {"count": 6, "width": 26},
    "discs": [
        {"at": {"height": 0}, "bore": 20},
        {"at": {"height": 45, "both": True}, "bore": "none"},
    ],
    "hang": {},
    "sheet": {"material": "birch-plywood", "thickness": "3 ± 0.02", "size": [900, 600]},
    "cutter": {"process": "laser", "kerf": "0.16 ± 0.02"},
}


@pytest.fixture(scope="module")
def good(shelf: str) -> Outcome:
    outcome = outcome_of(GOOD, shelf)
    assert outcome.verdict == "pass", outcome.words
    return outcome


def _case(outcome: Outcome, spec: dict[str, Any] | None = None) -> Case:
    assert outcome.document is not None
    return case_of(spec or GOOD, outcome.svg, outcome.dxf, outcome.document)


Change = Callable[[Run], list[Run]]


def _changed(case: Case, change: Change, both: bool = True) -> Case:
    """The case with every run of its files changed, in one format or in both."""

    def of(sheet: CutSheet) -> CutSheet:
        return replace(sheet, runs=tuple(new for run in sheet.runs for new in change(run)))

    dxf = list(map(of, case.dxf)) if both else case.dxf
    return Case(case.told, list(map(of, case.svg)), dxf, case.places)


def _with_points(run: Run, points: Any) -> Run:
    """The run along other points, as straight pieces."""
    knots: tuple[Knot, ...] = tuple((float(x), float(y), 0.0) for x, y in points)
    return replace(run, knots=knots)


def _of(name: str, does: str, change: Change) -> Change:
    return lambda run: change(run) if (run.part, run.does) == (name, does) else [run]


def _moved(away: tuple[float, float]) -> Change:
    """Moves a path by so many mm."""
    return lambda run: [
        replace(run, knots=tuple((x + away[0], y + away[1], b) for x, y, b in run.knots))
    ]


def _in_plane(case: Case, name: str, work: Callable[[Polygon], Polygon]) -> Change:
    """Changes a part's outline in the part's own plane; `work` gets and gives its path."""
    x, y, degrees = case.places[name].spot
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    turn = np.array([[c, s], [-s, c]])

    def change(run: Run) -> list[Run]:
        own = (run.points[:-1] - [x, y]) @ turn.T
        found = np.asarray(work(Polygon(own)).exterior.coords)[:-1]
        return [_with_points(run, found @ turn + [x, y])]

    return _of(name, "outside", change)


def _box(x: float, y: float, wide: float, high: float) -> Polygon:
    return Polygon(
        [
            (x - wide / 2, y - high / 2),
            (x + wide / 2, y - high / 2),
            (x + wide / 2, y + high / 2),
            (x - wide / 2, y + high / 2),
        ]
    )


def _spec(**sections: Any) -> dict[str, Any]:
    spec = copy.deepcopy(GOOD)
    for name, keys in sections.items():
        spec.setdefault(name, {}).update(keys)
    return spec


def _cut_rib(x: float, y: float, wide: float, high: float) -> Callable[[Case], Case]:
    return lambda case: _changed(
        case, _in_plane(case, "rib-1", lambda p: p.difference(_box(x, y, wide, high)))
    )


def _fill_rib(x: float, y: float, wide: float, high: float) -> Callable[[Case], Case]:
    return lambda case: _changed(
        case, _in_plane(case, "rib-1", lambda p: p.union(_box(x, y, wide, high)))
    )


def _cut_disc(x: float, y: float, wide: float, high: float) -> Callable[[Case], Case]:
    return lambda case: _changed(
        case, _in_plane(case, "disc-2", lambda p: p.difference(_box(x, y, wide, high)))
    )


def _far(case: Case) -> Case:
    """Rib 1 stands 60 mm outside its place."""
    place = case.places["rib-1"]
    pose = place.pose.copy()
    pose[:3, 3] += 60 * pose[:3, 0]
    places = {**case.places, "rib-1": replace(place, pose=pose)}
    return Case(case.told, case.svg, case.dxf, places)


def _late_hole(case: Case) -> Case:
    def of(sheet: CutSheet) -> CutSheet:
        return replace(sheet, runs=tuple(sorted(sheet.runs, key=lambda r: r.does == "inside")))

    return Case(case.told, list(map(of, case.svg)), list(map(of, case.dxf)), case.places)


def _low_hole(case: Case) -> Case:
    """The hole to hang by lies in disc 3, below the centre of mass."""
    holes = {r.part for s in case.svg for r in s.runs if r.does == "inside"} - {"disc-1"}
    (name,) = holes
    other = "disc-3" if name == "disc-2" else "disc-2"
    places = {**case.places, name: case.places[other], other: case.places[name]}
    moved = {n: replace(places[n], spot=case.places[n].spot) for n in (name, other)}
    return Case(case.told, case.svg, case.dxf, {**places, **moved})


def _onto_another(case: Case) -> Case:
    """Rib 1 is cut where rib 2 lies."""
    (x0, y0, _), (x1, y1, _) = (case.places[name].spot for name in ("rib-1", "rib-2"))
    return _changed(case, _of("rib-1", "outside", _moved((x1 - x0 + 1, y1 - y0 + 1))))


def _grown(run: Run) -> list[Run]:
    """The bore of 20 mm as one of 84: the slots' floors are at 87."""
    middle = run.points[:-1].mean(axis=0)
    return [_with_points(run, middle + 4.2 * (run.points[:-1] - middle))]


PLANTS: dict[str, Callable[[Case], Case]] = {
    "formats": lambda case: _changed(case, _of("rib-1", "outside", _moved((0.05, 0))), both=False),
    "edge": lambda case: _changed(case, _of("rib-1", "outside", _moved((-30, -30)))),
    "near": _onto_another,
    "count": lambda case: _changed(case, lambda run: [] if run.part == "rib-1" else [run]),
    "order": _late_hole,
    "bridge": lambda case: _changed(
        case, _of("rib-1", "outside", lambda run: [replace(run, closed=False)])
    ),
    "crossed": lambda case: _changed(
        case,
        _of("disc-1", "inside", lambda r: [_with_points(r, r.points[[0, 20, 10, 30]])]),
    ),
    "hang": _low_hole,
    "overlap": _fill_rib(88, 0, 8, 4),
    "blocked": _fill_rib(76, 2, 3, 2),
    "in-two": _cut_rib(67.95, 20, 60, 0.1),
    "apart": _far,
    "play": _cut_rib(80, 1.55, 12, 0.8),
    "seat": _cut_rib(75, 0, 26, 8),
    "ligament": _cut_rib(90, 0, 12, 2.9),
    "tooth": _cut_rib(50, 75, 200, 52),
    "flake": _cut_rib(80, 6, 25, 7.2),
    "web": _cut_disc(88, 5, 60, 6),
    "wall": lambda case: _changed(case, _of("disc-1", "inside", _grown)),
}
"""By clause: how a good frame's files are spoiled so that this clause, at least, must notice."""

HELD_AGAINST: dict[str, dict[str, Any]] = {
    "side": _spec(cutter={"compensate": "machine"}),
    "told": _spec(sheet={"thickness": 3}),
}
"""By clause: another spec that the same files are held against."""


def test_good_files_pass(good: Outcome) -> None:
    assert findings(_case(good), "pass") == []


@pytest.mark.parametrize("clause", PLANTS)
def test_each_clause_notices_its_plant(clause: str, good: Outcome) -> None:
    spoiled = PLANTS[clause](_case(good))
    assert clause in {finding.clause for finding in findings(spoiled, "pass")}


@pytest.mark.parametrize("clause", HELD_AGAINST)
def test_files_held_against_another_spec(clause: str, good: Outcome) -> None:
    case = _case(good, HELD_AGAINST[clause])
    if clause == "side":
        opened = _of("rib-1", "outside", lambda run: [replace(run, closed=False)])
        case = _changed(case, opened)
    assert clause in {finding.clause for finding in findings(case, "pass")}


def test_no_clause_is_without_a_plant() -> None:
    assert {*PLANTS, *HELD_AGAINST} == {*CORNERWISE, *ONCE, "told"}
