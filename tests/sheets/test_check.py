"""Layouts with known faults: distances here are read off axis-parallel squares."""

from __future__ import annotations

import pytest

from framekit.sheets.check import find_faults
from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
JOB = NestJob((NestItem("tile", SQUARE, (), 2),), 50.0, 30.0, 2.0, 3.0)


def layout(*places: tuple[float, float, float]) -> NestResult:
    return NestResult((tuple(Place(0, k, *place) for k, place in enumerate(places)),))


def test_a_legal_layout_has_no_faults() -> None:
    assert find_faults(JOB, layout((2, 2, 0), (15, 2, 0))) == ()
    # turned 90° ccw about its origin the tile reaches from x - 10 to x
    assert find_faults(JOB, layout((12, 2, 90), (15, 2, 0))) == ()


@pytest.mark.parametrize(
    ("places", "sentence"),
    [
        (((2, 2, 0), (14.9, 2, 0)), "2.9000 mm apart; the spacing is 3 mm"),
        (((2, 2, 0), (7, 2, 0)), "overlap by 50.0000 mm²"),
        (((1, 2, 0), (15, 2, 0)), "lies 1.0000 mm from the edge of sheet 1; the margin is 2 mm"),
        (((2, 2, 0), (15, 19, 0)), "lies 1.0000 mm from the edge"),
        (((float("nan"), 2, 0), (15, 2, 0)), "not a finite number"),
        (((2, 2, 0),), "tile (copy 2) is placed 0 times"),
        (((2, 2, 0), (15, 2, 0), (28, 2, 0)), "copy 3 of item 1, which the job does not have"),
    ],
)
def test_a_fault_is_told(places: tuple[tuple[float, float, float], ...], sentence: str) -> None:
    faults = find_faults(JOB, layout(*places))
    assert len(faults) == 1
    assert sentence in faults[0]


def test_a_part_inside_a_hole_is_legal_and_on_the_material_is_not() -> None:
    ring = NestItem(
        "ring", ((0, 0), (40, 0), (40, 20), (0, 20)), (((5, 3), (35, 3), (35, 17), (5, 17)),)
    )
    job = NestJob((ring, NestItem("tile", SQUARE)), 60.0, 30.0, 2.0, 1.5)
    inside = NestResult(((Place(0, 0, 2, 2, 0), Place(1, 0, 12, 7, 0)),))
    assert find_faults(job, inside) == ()
    touching = NestResult(((Place(0, 0, 2, 2, 0), Place(1, 0, 8, 7, 0)),))
    assert any("1.0000 mm apart" in fault for fault in find_faults(job, touching))
