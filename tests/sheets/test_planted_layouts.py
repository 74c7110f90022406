"""Planted layouts: each breaks one rule by little more than the rounding, 1e-6 mm, or just not.

The tiles of `sheets.tiles`: where they lie is read off their coordinates.
"""

from __future__ import annotations

import math

import pytest
from sheets.tiles import BAD, ELL, GOOD, JOB, ROW, STICK, TILE, box, moved, sheets

from framekit.sheets.check import find_faults
from framekit.sheets.protocol import NestItem, NestJob, Place


def test_the_row_and_two_sheets_are_legal():
    assert find_faults(JOB, sheets(ROW)) == ()
    assert find_faults(JOB, sheets(ROW[:2], ROW[2:])) == ()


@pytest.mark.parametrize("by", [BAD, GOOD])
@pytest.mark.parametrize(
    ("number", "x", "y", "at"),
    [(0, -1, 0, (2, 2)), (2, 1, 0, (38, 2)), (3, 0, 1, (2, 27)), (1, 0, -1, (15, 2))],
)
def test_each_edge_s_margin(number, x, y, at, by):
    """To the left, right, top and bottom, by the part that lies nearest to it."""
    start = moved(number, at[0] - ROW[number].x, at[1] - ROW[number].y)
    assert find_faults(JOB, sheets(start)) == ()
    found = find_faults(JOB, sheets(moved(number, x * by, y * by, start)))
    name = "f/stick" if number == 3 else f"f/tile (copy {number + 1})"
    sentence = f"{name} lies 2.0000 mm from the edge of sheet 1; the margin is 2 mm."
    assert found == ((sentence,) if by == BAD else ())


@pytest.mark.parametrize("by", [BAD, GOOD])
@pytest.mark.parametrize("second", [False, True])
@pytest.mark.parametrize(("number", "other"), [(0, 1), (1, 2), (2, 1)])
def test_each_pair_s_spacing(number, other, second, by):
    """The first and the last pair, on the first sheet and on the second."""
    toward = by if number < other else -by
    row = moved(number, toward)
    found = find_faults(JOB, sheets((ROW[3],), row[:3]) if second else sheets(row))
    first, last = sorted((number + 1, other + 1))
    sentence = (
        f"f/tile (copy {first}) and f/tile (copy {last}) on sheet {2 if second else 1} are 3.0000 "
        "mm apart; the spacing is 3 mm."
    )
    assert found == ((sentence,) if by == BAD else ())


def test_corner_to_corner_is_a_distance_too():
    """3, 4, 5: tiles 3 mm apart along x and 4 mm along y are 5 mm apart."""
    job = NestJob((NestItem("t", box(10, 10), (), 2),), 50, 50, 2, 5)
    two = (Place(0, 0, 2, 2, 0), Place(0, 1, 15, 16, 0))
    assert find_faults(job, sheets(two)) == ()
    nearer = (two[0], Place(0, 1, 15, 15.9, 0))
    assert find_faults(job, sheets(nearer)) == (
        f"t (copy 1) and t (copy 2) on sheet 1 are {math.hypot(3, 3.9):.4f} mm apart; "
        "the spacing is 5 mm.",
    )


def test_touching_parts_without_a_spacing_do_not_overlap():
    job = NestJob((TILE,), 50, 30, 0, 0)
    row = [Place(0, k, 10 * k, 0, 0) for k in range(3)]
    assert find_faults(job, sheets(row)) == ()
    # 10 mm × 2e-7 and 5e-8 mm are 2e-6 and 5e-7 mm²
    for by, bad in ((2e-7, True), (5e-8, False)):
        found = find_faults(job, sheets(moved(0, by, 0, row)))
        sentence = "f/tile (copy 1) and f/tile (copy 2) on sheet 1 overlap by 0.0000 mm²."
        assert found == ((sentence,) if bad else ())


def test_a_part_within_another_overlaps_it():
    plate = NestItem("plate", box(40, 20))
    job = NestJob((plate, STICK), 50, 30, 2, 3)
    found = find_faults(job, sheets((Place(0, 0, 2, 2, 0), Place(1, 0, 20, 10, 0))))
    assert found == ("plate and f/stick on sheet 1 overlap by 4.0000 mm².",)


def test_a_turn_is_about_the_part_s_own_origin():
    """A stick from (0, 0) to (4, 1), turned by 90°, goes from −1 to 0 along x, 0 to 4 along y."""
    job = NestJob((STICK,), 50, 30, 2, 3)
    for place, legal in (((3, 2, 90), True), ((2.9, 2, 90), False), ((6, 3, 180), True)):
        assert (find_faults(job, sheets((Place(0, 0, *place),))) == ()) is legal
    # 45°: its corner at (0, 1) is √½ to the left
    for x, legal in ((2 + math.sqrt(0.5), True), (2 + math.sqrt(0.5) - BAD, False)):
        assert (find_faults(job, sheets((Place(0, 0, x, 5, 45),))) == ()) is legal


TWICE = "f/tile (copy 2) is placed 2 times instead of once."


@pytest.mark.parametrize(
    ("result", "sentences"),
    [
        (sheets(ROW, (Place(0, 1, 2, 2, 0),)), [TWICE]),
        (sheets((*ROW, Place(0, 1, 15, 16, 0))), [TWICE]),
        (
            sheets((*ROW[:2], Place(0, 1, 28, 2, 0), ROW[3])),
            [TWICE, "f/tile (copy 3) is placed 0 times instead of once."],
        ),
        (sheets(ROW[:3]), ["f/stick is placed 0 times instead of once."]),
        (
            sheets((*ROW, Place(2, 0, 15, 16, 0))),
            ["The layout places copy 1 of item 3, which the job does not have."],
        ),
        (
            sheets((*ROW, Place(-1, 0, 15, 16, 0))),
            ["The layout places copy 1 of item 0, which the job does not have."],
        ),
        (
            # of no item is what lies there, so it overlaps none
            sheets((*ROW, Place(-1, 0, 15, 2, 0))),
            ["The layout places copy 1 of item 0, which the job does not have."],
        ),
        (
            sheets((*ROW, Place(1, 1, 15, 16, 0))),
            ["The layout places copy 2 of item 2, which the job does not have."],
        ),
        (
            sheets((*ROW, Place(0, -1, 15, 16, 0))),
            ["The layout places copy 0 of item 1, which the job does not have."],
        ),
    ],
)
def test_every_copy_lies_on_one_sheet(result, sentences):
    assert list(find_faults(JOB, result)) == sentences


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("which", [2, 3, 4])
def test_every_number_of_a_place_is_finite(value, which):
    numbers = [0, 1, 15.0, 2.0, 0.0]
    numbers[which] = value
    found = find_faults(JOB, sheets((ROW[0], Place(*numbers), *ROW[2:])))
    assert found == ("f/tile (copy 2) on sheet 1 has a place that is not a finite number.",)


def test_only_copies_that_are_missing_may_lie_on_no_sheet():
    gone = frozenset({(0, 2)})
    assert find_faults(JOB, sheets((*ROW[:2], ROW[3])), missing=gone) == ()
    assert find_faults(JOB, sheets((*ROW[1:],)), missing=gone) == (
        "f/tile (copy 1) is placed 0 times instead of once.",
    )
    twice = (*ROW, Place(0, 2, 28, 16, 0))
    assert find_faults(JOB, sheets(twice), missing=gone) == (
        "f/tile (copy 3) is placed 2 times instead of once.",
    )


@pytest.mark.parametrize(
    ("place", "sentence"),
    [
        ((8, 15, 0), ""),
        ((8 + BAD, 15, 0), "lies 2.0000 mm from the edge of sheet 2; the margin is 2 mm."),
        ((8 + GOOD, 15, 0), ""),
        ((28, 3, 0), ""),
        ((28, 3 + BAD, 0), "lies 2.0000 mm from the edge of sheet 2; the margin is 2 mm."),
        ((30, 18, 0), "lies beyond sheet 2 with 100.0000 mm² of it."),
        ((28, 10, 0), "lies beyond sheet 2 with 50.0000 mm² of it."),
        ((60, 2, 0), "lies beyond sheet 2 with 100.0000 mm² of it."),
        ((-5, 2, 0), "lies beyond sheet 2 with 50.0000 mm² of it."),
    ],
)
def test_a_leftover_s_own_outline_counts(place, sentence):
    """The second sheet is the leftover; the first is whole."""
    whole = box(50, 30)
    result = sheets((*ROW[1:],), (Place(0, 0, *place),))
    found = find_faults(JOB, result, (whole, ELL))
    assert found == ((f"f/tile (copy 1) {sentence}",) if sentence else ())


def test_a_part_may_cross_no_inner_corner():
    """A tile over the corner at (20, 15): 2 × 2 mm of it are beyond."""
    found = find_faults(JOB, sheets((*ROW[1:],), (Place(0, 0, 12, 7, 0),)), (box(50, 30), ELL))
    assert found == ("f/tile (copy 1) lies beyond sheet 2 with 4.0000 mm² of it.",)
