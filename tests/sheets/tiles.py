"""Tiles of 10 × 10 mm and a stick of 4 × 1 mm on a sheet of 50 × 30 mm, laid by hand.

The margin is 2 mm, the spacing 3 mm, and the row keeps both to the last digit.
"""

from __future__ import annotations

from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place

BAD, GOOD = 2e-6, 5e-7
"""mm past a limit: more than the rounding of coordinates, 1e-6 mm, and less."""


def box(width, height, x=0.0, y=0.0):
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


TILE = NestItem("f/tile", box(10, 10), (), 3)
STICK = NestItem("f/stick", box(4, 1))
JOB = NestJob((TILE, STICK), 50.0, 30.0, 2.0, 3.0)
ROW = (Place(0, 0, 2, 2, 0), Place(0, 1, 15, 2, 0), Place(0, 2, 28, 2, 0), Place(1, 0, 2, 16, 0))
ELL = ((0, 0), (50, 0), (50, 15), (20, 15), (20, 30), (0, 30))
"""A leftover of 50 × 30 mm whose upper right 30 × 15 mm is gone: its inner corner is (20, 15)."""


def sheets(*rows):
    return NestResult(tuple(tuple(row) for row in rows))


def moved(number, x=0.0, y=0.0, row=ROW):
    """The row with one place moved."""
    place = row[number]
    new = Place(place.item, place.copy, place.x + x, place.y + y, place.rotation)
    return (*row[:number], new, *row[number + 1 :])
