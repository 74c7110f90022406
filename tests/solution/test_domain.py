"""A value that no frame can have is refused on every road: solve, sweep and allowed range."""

from __future__ import annotations

import math

import numpy as np
import pytest

from framekit import solve, solve_many
from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.feasibility import Feasibility
from framekit.analysis.inputs import variable_inputs
from framekit.analysis.model import Limit
from framekit.errors import SolveError
from framekit.solution.quantities import QUANTITIES
from framekit.solution.symbols import described
from framekit.spec.build import load_spec, spec_from_values

EXAMPLES = ("harbour-buoy", "open-earth", "garden-bin", "planetarium-dome", "ringed-planet")


def ball(width, **more):
    """A sphere 200 mm across with every other rib of that width, mm."""
    values = {
        "framekit": 1,
        "body": {"shape": "sphere", "diameter": 200},
        "ribs": {"count": 8, "width": 30, "alternate": {"width": {"equator": width, "pole": 12}}},
        "discs": [{"at": {"height": 0}}],
        "sheet": {"thickness": 3, "size": [600, 600]},
        "cutter": {"kerf": 0.16},
    }
    return spec_from_values({**values, **more})


def test_alternate_ribs_wider_than_the_body_are_refused():
    """A rib 150 mm wide in a sphere of 100 mm radius would be half a disc and no rib."""
    with pytest.raises(SolveError, match="150 mm, is not below the model's equatorial radius, 100"):
        solve(ball(150))
    frame = solve(ball(30)).frames[0]
    found = allowed_range(frame, "alternate.width_equator")
    assert found.high < 100.0
    sweep = solve_many(frame, {"alternate.width_equator": np.array([30.0, 90.0, 99.0, 150.0])})
    # At 99 mm the inner edge is nowhere as far from the axis as the ribs keep: half a disc.
    assert sweep.valid.tolist() == [True, True, False, False]


def test_the_fault_names_the_width_that_is_too_large():
    with pytest.raises(SolveError) as caught:
        solve(ball(150))
    assert caught.value.faults[0].code == "rib-too-wide"


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_a_row_forbids_no_road_lets_through(name):
    """Every input whose row has a domain, at values of either sign far from any frame's."""
    frame = solve(load_spec(f"specs/{name}.yaml")).frames[0]
    tried = 0
    for quantity in variable_inputs(frame):
        if described(quantity).domain is None or frame.quantities[quantity].unit == "1":
            continue
        place = quantity.endswith("_end") or quantity.startswith(("disc-", "flange-"))
        for value in (-1e7, 1e7) if place else (-1.0, 0.0, 1e7):
            try:
                sweep = solve_many(frame, {quantity: np.array([value])})
            except SolveError as error:
                assert error.code == "held-by-others"
                continue
            if value <= 0.0 or place or "width" in quantity:
                judged = Feasibility(frame, quantity).margins(value)
                tried += 1
                assert not sweep.valid[0] and not sweep.as_drawn[0], (quantity, value)
                assert isinstance(judged, Limit) and judged.kind == "frame", (quantity, value)
    assert tried > 3


def test_every_size_that_must_be_above_zero_says_so_in_its_row():
    """A length that laws divide by, or that parts are as thick or wide as, has a domain."""
    for name in (
        *("body.equatorial_radius", "scale.denominator", "model.equatorial_radius"),
        *("sheet.thickness", "disc_sheet.thickness", "joint.slot_width", "joint.notch_width"),
        *("rib.width_equator", "rib.width_pole", "rib.width_bottom", "rib.width_top"),
        *(f"alternate.width_{end}" for end in ("equator", "pole", "bottom", "top")),
        *(
            f"{of}.inner_{at}_radius"
            for of in ("rib", "alternate")
            for at in ("equatorial", "polar")
        ),
    ):
        assert QUANTITIES[name].domain is not None, name
    assert all(row.takes is None or row.takes[0] < row.takes[1] for row in QUANTITIES.values())
    assert math.isinf(QUANTITIES["disc.height"].takes[1])
