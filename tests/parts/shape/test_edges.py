"""Distances to lines and arcs against fine polylines."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from framekit.geometry.path import Path, Segment, Vertex
from framekit.parts.shape.edges import distance_to


@pytest.mark.parametrize("bulge", [0.0, 0.3, -0.6, 1.7])
def test_distance_against_fine_points(bulge):
    segment = Segment((1.0, 2.0), (9.0, -1.0), bulge)
    fine = Path((Vertex(1, 2, bulge), Vertex(9, -1)), closed=False).polyline_within(1e-7)
    for i in range(40):
        p = (-6 + 0.5 * i, 7 - 0.37 * i)
        near = min(_to_chord(p, a, b) for a, b in pairwise(fine))
        assert distance_to(segment, p) == pytest.approx(near, abs=1e-6)  # chords 1e-7 off


def _to_chord(p, a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    t = min(1.0, max(0.0, t))
    return math.dist(p, (a[0] + t * dx, a[1] + t * dy))
