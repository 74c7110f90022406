"""The check that every part goes on its own stock, as drawn, over ranges and in sweeps."""

from __future__ import annotations

import pytest

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange
from framekit.analysis.sweep import solve_many
from framekit.solution.build import solve
from framekit.solution.fitting import room_of, sheet_size, stock_size
from framekit.spec.build import spec_from_values

SPEC = {
    "framekit": 1,
    "id": "duo",
    "body": {"shape": "sphere", "diameter": 200},
    "ribs": {"count": 6, "width": 24},
    "discs": [{"at": {"height": 0}}, {"at": {"fraction": 0.6, "both": True}}],
    "sheet": {"material": "birch-plywood", "thickness": 4, "size": [400, 300]},
    "cutter": {"kerf": 0.2},
}
OWN = {"material": "mdf", "thickness": 4, "size": [500, 230]}


def frame_of(**changes):
    return solve(spec_from_values({**SPEC, **changes})).frames[0]


def fits(frame):
    return {c.about: c for c in frame.checks if c.code == "fits-stock"}


def test_which_size_is_meant():
    plain, own = frame_of().spec, frame_of(disc_sheet=OWN).spec
    assert stock_size(plain) == stock_size(plain, discs=True) == (400, 300)
    assert (stock_size(own), stock_size(own, discs=True)) == ((400, 300), (500, 230))
    # A margin of 5 mm, the default, at each edge
    assert room_of(own, discs=True) == (490, 220)
    bare = frame_of(disc_sheet={"material": "mdf", "thickness": 4}).spec
    assert sheet_size(bare, discs=True) == (400, 300)
    bed = {"kerf": 0.2, "bed": [450, 260]}
    reached = frame_of(disc_sheet=OWN, cutter=bed).spec
    assert (stock_size(reached), stock_size(reached, discs=True)) == ((400, 260), (450, 230))
    only = frame_of(sheet={"thickness": 4}, disc_sheet={"thickness": 4}, cutter=bed).spec
    assert sheet_size(only, discs=True) == (450, 260)


def test_the_plain_case_reads_as_ever():
    found = fits(frame_of())
    assert list(found) == ["ribs", "disc-1", "disc-2", "disc-3"]
    assert found["disc-1"].text == (
        "disc-1, 200 mm across, must go on the sheet: 400 × 300 mm less 5 mm at each edge."
    )
    assert found["disc-1"].limited_by == "sheet.size"


def test_discs_are_laid_on_their_own_sheet():
    frame = frame_of(disc_sheet=OWN)
    found = fits(frame)
    for disc in ("disc-1", "disc-2", "disc-3"):
        across = 2 * frame.value(f"{disc}.radius")
        # 1e-9: rounding of one sum
        assert found[disc].margin == pytest.approx(230 - 2 * 5 - across, abs=1e-9)
        assert found[disc].limited_by == "disc_sheet.size"
        assert found[disc].text.endswith(
            "must go on the discs' sheet: 500 × 230 mm less 5 mm at each edge."
        )
    plain = fits(frame_of())["ribs"]
    assert (found["ribs"].margin, found["ribs"].text) == (plain.margin, plain.text)
    assert fits(frame_of(disc_sheet={**OWN, "size": [500, 200]}))["disc-1"].verdict == "fail"


def test_the_bed_limits_the_discs_sheet_too():
    found = fits(frame_of(disc_sheet=OWN, cutter={"kerf": 0.2, "bed": [220, 450]}))
    assert found["disc-1"].limited_by == "cutter.bed"
    across = 2 * frame_of().value("disc-1.radius")
    assert found["disc-1"].margin == pytest.approx(220 - 10 - across, abs=1e-9)


def test_flanges_are_laid_on_the_discs_sheet():
    """Radii of 140 and 150 mm at 1:1: 280 and 300 mm across."""
    flanges = [
        {"at": "35 mm", "inner_radius": 120, "outer_radius": 140},
        {"at": "-35 mm", "inner_radius": 120, "outer_radius": 150},
    ]
    found = fits(frame_of(flanges=flanges))
    # 400 × 300 mm less 5 mm at each edge; 1e-9: rounding of one sum
    assert found["flange-1"].margin == pytest.approx(290 - 280, abs=1e-9)
    assert found["flange-2"].margin == pytest.approx(290 - 300, abs=1e-9)
    assert found["flange-2"].verdict == "fail" and "must go on the sheet" in found["flange-2"].text
    own = {**OWN, "size": [500, 450]}
    found = fits(frame_of(flanges=flanges, disc_sheet=own))
    assert found["flange-1"].margin == pytest.approx(440 - 280, abs=1e-9)
    assert found["flange-2"].margin == pytest.approx(440 - 300, abs=1e-9)
    assert "flange-1, 280 mm across, must go on the discs' sheet" in found["flange-1"].text


def test_a_sweep_and_a_range_know_the_discs_sheet():
    frame = frame_of(disc_sheet=OWN)
    sizes = [180.0, 220.0, 260.0]
    sweep = solve_many(frame, {"body.equatorial_diameter": sizes})
    for row, size in enumerate(sizes):
        one = fits(frame_of(disc_sheet=OWN, body={"shape": "sphere", "diameter": size}))
        for about, check in one.items():
            # 1e-9: the same sums in another order
            margin = sweep.margins["fits-stock", about][row]
            assert margin == pytest.approx(check.margin, abs=1e-9)
    found = allowed_range(frame, "body.equatorial_diameter")
    assert isinstance(found, AllowedRange)
    assert (found.high_limit.code, found.high_limit.about) == ("fits-stock", "disc-1")
    at_end = frame_of(disc_sheet=OWN, body={"shape": "sphere", "diameter": found.high})
    # The range's ends are found to about a millionth of the value; 1e-3 mm is far above that.
    assert fits(at_end)["disc-1"].margin == pytest.approx(0, abs=1e-3)


def test_a_range_ends_where_a_flange_no_longer_fits():
    flange = {"at": "35 mm", "inner_radius": 120, "outer_radius": 140}
    frame = frame_of(flanges=[flange])
    assert not frame.failed
    found = allowed_range(frame, "flange-1.body_outer_radius")
    assert isinstance(found, AllowedRange)
    assert (found.high_limit.code, found.high_limit.about) == ("fits-stock", "flange-1")
    assert found.high_limit.words == "what the flange leaves of the sheet"
    # 290 mm of room across; 1e-3 mm as above
    assert found.high == pytest.approx(145, abs=1e-3)


def test_a_flange_that_never_fits_is_told():
    flange = {"at": "35 mm", "inner_radius": 120, "outer_radius": 150}
    found = allowed_range(frame_of(flanges=[flange]), "rib.width_equator")
    assert ("fits-stock", "flange-1") in {(f.code, f.about) for f in found.failing}
