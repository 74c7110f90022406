"""Fixtures of the files stage."""

from types import SimpleNamespace

import pytest
from files.made_sheets import make_part, make_sheets, ring_sector

from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.sheets.model import Placement


@pytest.fixture
def sample():
    """Builders for parts and sheets."""
    return SimpleNamespace(part=make_part, sheets=make_sheets, sector=ring_sector)


@pytest.fixture
def two_parts():
    """A ring with a mark across it, and a turned sector of a ring: every kind of path."""
    ring = Outline(circle(50.0), (circle(20.0, clockwise=True),))
    mark = Path((Vertex(22, 0), Vertex(48, 0)), closed=False)
    return make_sheets(
        Placement(make_part("disc-1", ring, (mark,)), 80.0, 90.0, 30.0),
        Placement(make_part("rib-1", Outline(ring_sector())), 250.0, 100.0, 17.0),
    )
