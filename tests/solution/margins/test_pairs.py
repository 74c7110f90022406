"""Every margin by hand: one spec that just holds and one just past the limit that does not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from solution.margins import (
    disc_pairs,
    end_pairs,
    flange_pairs,
    frame_pairs,
    seat_pairs,
    stock_pairs,
)
from solution.margins.pair import Pair

import framekit.solution.margins as rows
from framekit.errors import SolveError
from framekit.joints import flange, tenon
from framekit.joints.protocol import FlangeMargin, JointMargin
from framekit.solution.build import solve
from framekit.spec.build import parse_spec, spec_from_values

PAIRS: tuple[Pair, ...] = (
    *frame_pairs.PAIRS,
    *disc_pairs.PAIRS,
    *end_pairs.PAIRS,
    *flange_pairs.PAIRS,
    *seat_pairs.PAIRS,
    *stock_pairs.PAIRS,
)
EXAMPLES = sorted((Path(__file__).parents[3] / "specs").glob("*.yaml"))


def exact(spec):
    """The spec with every tolerance said to be nothing."""
    if isinstance(spec, dict):
        return {key: exact(value) for key, value in spec.items()}
    if isinstance(spec, list):
        return [exact(value) for value in spec]
    return re.sub(r"± [\d.]+", "± 0", spec) if isinstance(spec, str) else spec


def check_of(pair, spec):
    frame = solve(spec_from_values(spec)).frames[0]
    found = [c for c in frame.checks if (c.code, c.about) == (pair.code, pair.about)]
    assert len(found) == 1, [(c.code, c.about) for c in frame.checks]
    check = found[0]
    # Of two laws with one code the stricter is shown: the pair must be about that one.
    assert (check.use.law if check.use else None) == pair.law
    return check


INPUTS = {
    "sheet.thickness": "t",
    "cutter.kerf": "k",
    "joint.clearance": "g",
    "disc_sheet.thickness": "d",
    "disc_sheet.kerf": "e",
    "joint.notch_clearance": "h",
}


def assert_as_by_hand(pair, x, check):
    low, drawn, high = pair.ends(x)
    # 1e-6 mm: the bounds are proved, and a curved law's are a little wide
    assert (check.margin, check.high) == pytest.approx((drawn, high), abs=1e-6)
    if pair.jumps and low < 0:
        assert low - 0.05 < check.low <= low
    else:
        assert check.low == pytest.approx(low, abs=1e-6)
    assert check.verdict == ("fail" if drawn < 0 else "undecided" if low < 0 else "pass")
    # A wrong sign leaves the range alone where nothing else depends on that input.
    slopes = {INPUTS[share.input]: share.slope for share in check.shares}
    for name in () if check.curved else INPUTS.values():
        # 1e-3: so near a margin is all but straight
        assert slopes.get(name, 0.0) == pytest.approx(pair.slope(x, name), abs=1e-3), name


@pytest.mark.parametrize("pair", PAIRS, ids=lambda p: f"{p.law or p.code}: {p.about}")
def test_each_margin_is_the_sum_by_hand_and_fails_just_past_its_limit(pair):
    judged = 0 if pair.past_is == "undecided" else 1
    assert 0 < pair.ends(pair.inside)[judged] < pair.within
    assert -pair.within < pair.ends(pair.past)[judged] < 0

    plain = check_of(pair, exact(pair.spec(pair.inside)))
    # 1e-9 mm: sums of doubles
    at_rest = pytest.approx(pair.drawn(pair.inside), abs=1e-9)
    assert plain.low == at_rest and plain.margin == at_rest and plain.high == at_rest
    assert plain.verdict == "pass"

    if pair.past_is == "refused" or pair.jumps:
        assert_as_by_hand(pair, pair.inside, check_of(pair, pair.spec(pair.inside)))
    if pair.past_is == "refused":
        with pytest.raises(SolveError, match=f"the radius {pair.past:g} mm"):
            solve(spec_from_values(pair.spec(pair.past)))
        return
    check = check_of(pair, pair.spec(pair.past))
    assert check.verdict == pair.past_is
    assert_as_by_hand(pair, pair.past, check)


def kind(about):
    """Which plates a check is of, without their numbers."""
    return re.sub(r"-\d+", "", about)


PAIRED = {(pair.code, pair.law, kind(pair.about)) for pair in PAIRS}


def rows_of(module, *kinds):
    """Every row among a module's values, and in tuples of them."""
    values = vars(module).values()
    within = [row for value in values if type(value) is tuple for row in value]
    return [row for row in (*values, *within) if isinstance(row, kinds)]


def test_every_row_of_a_margin_has_a_pair():
    found = [
        *rows_of(rows, rows.FrameMargin, rows.DiscMargin),
        *rows_of(tenon, JointMargin),
        *rows_of(flange, FlangeMargin),
    ]
    laws = {(r.code, r.law if isinstance(r.law, str) else r.law.name) for r in found}
    # 40 rows with as many laws, but for those with a twin for another sheet, rib or plate
    assert len(laws) >= 33
    assert laws - {(code, law) for code, law, _ in PAIRED} == set()


def test_every_check_of_the_examples_and_of_the_pairs_has_a_pair():
    specs = [parse_spec(path.read_text(encoding="utf-8"), path.name) for path in EXAMPLES]
    specs += [spec_from_values(pair.spec(pair.inside)) for pair in PAIRS]
    missing = {
        (check.code, check.use.law if check.use else None, kind(check.about))
        for spec in specs
        for frame in solve(spec).frames
        for check in frame.checks
    } - PAIRED
    assert missing == set()
