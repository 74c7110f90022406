"""The constraint layer on what is no frame: a pair of gears, any direction, proved and swept.

The laws are those of ISO 21771:2007 for a pair of spur gears with profile shift; the involute
function inv α = tan α - α has no inverse in closed form. Oracle: mpmath at 30 digits.
"""

from __future__ import annotations

import itertools
import math
import random
import subprocess
import sys
from types import SimpleNamespace

import mpmath
import numpy as np
import pytest

from framekit.constraints.law import Form, Law, LawText
from framekit.constraints.loops import Searchable, Searches
from framekit.constraints.symbolic.equation import Equation, cosine, quantity
from framekit.constraints.symbolic.from_text import equation_of
from framekit.constraints.symbolic.generate import Table, render
from framekit.constraints.system import Solved, System
from framekit.errors import SolveError

ISO = "ISO 21771:2007"
MODULE, PINION, WHEEL = "pair.module", "pinion.teeth", "wheel.teeth"
ANGLE, WORKING, SHIFT = "pair.angle", "pair.working_angle", "pair.shift_sum"
REFERENCE, DISTANCE, RATIO = "pair.reference_distance", "pair.distance", "pair.ratio"
TEXTS = (
    LawText(
        "reference", REFERENCE, f"{MODULE}*({PINION} + {WHEEL})/2", "two half pitch circles", ISO
    ),
    LawText("ratio", RATIO, f"{WHEEL}/{PINION}", "teeth by teeth", ISO),
)
OPERATING = Equation(
    "operating",
    quantity(DISTANCE),
    quantity(REFERENCE) * cosine(quantity(ANGLE)) / cosine(quantity(WORKING)),
    "the base circles stay",
    ISO,
)


def involute(m, degrees):
    radians = degrees * (m.pi / 180)
    return m.tan(radians) - radians


def shift_sum(m, pinion, wheel, angle, working):
    off = involute(m, working) - involute(m, angle)
    return off * (pinion + wheel) / (2 * m.tan(angle * (m.pi / 180)))


INPUTS = (PINION, WHEEL, ANGLE, WORKING)
BACKLASH_FREE = Law(
    "backlash-free",
    "the teeth meet without play",
    ISO,
    (SHIFT, *INPUTS),
    (Form(SHIFT, INPUTS, shift_sum, ""),),
)
# Made by hand but for the working angle: cos 25° = 0.90631 gives 54·0.93969/0.90631 mm.
WITNESS = {
    MODULE: 3.0, PINION: 12.0, WHEEL: 24.0, RATIO: 2.0, REFERENCE: 54.0, ANGLE: 20.0, WORKING: 25.0,
    DISTANCE: 54 * math.cos(math.radians(20)) / math.cos(math.radians(25)),
}  # fmt: skip
SEARCHES = Searches(
    {
        WORKING: Searchable.between(1.0, 60.0),
        ANGLE: Searchable.between(1.0, 45.0),
        PINION: Searchable.between(1.0, 1e3, "log"),
    }
)


@pytest.fixture(scope="module")
def gears() -> System:
    module = SimpleNamespace()
    table = Table("GEARS", [*map(equation_of, TEXTS), OPERATING], lambda equation: [WITNESS])
    exec(render("A pair of gears.", table), vars(module))
    return System((*module.GEARS, BACKLASH_FREE), SEARCHES)


@pytest.fixture
def pair(gears: System) -> Solved:
    return gears.solve({MODULE: 3, PINION: 12, WHEEL: 24, ANGLE: 20, SHIFT: 0.96})


@pytest.fixture(autouse=True)
def digits():
    with mpmath.workdps(30):
        yield


def exact(module=3, pinion=12, wheel=24, angle=20, shift="0.96"):
    """Working angle in degrees and distance in mm, by mpmath."""
    alpha = mpmath.radians(mpmath.mpf(angle))
    goal = mpmath.tan(alpha) - alpha + 2 * mpmath.mpf(shift) / (pinion + wheel) * mpmath.tan(alpha)
    working = mpmath.findroot(lambda x: mpmath.tan(x) - x - goal, alpha + 0.1)
    reference = mpmath.mpf(module) * (pinion + wheel) / 2
    return mpmath.degrees(working), reference * mpmath.cos(alpha) / mpmath.cos(working)


def test_a_published_pair(pair):
    """Module 3, 12 and 24 teeth, shifts 0.6 and 0.36: Kohara, Gear Technical Reference, gives
    26.0886° and 56.4999 mm (quoted from memory; mpmath gives the same digits)."""
    assert round(pair[WORKING], 4) == 26.0886 and round(pair[DISTANCE], 4) == 56.4999
    working, distance = exact()
    # 1e-14: a few roundings
    assert pair[WORKING] == pytest.approx(float(working), rel=1e-14)
    assert pair[DISTANCE] == pytest.approx(float(distance), rel=1e-14)
    assert pair[RATIO] == 2.0 and pair[REFERENCE] == 54.0


@pytest.mark.parametrize(
    "given",
    [
        (MODULE, PINION, WHEEL, ANGLE, DISTANCE),
        (MODULE, PINION, RATIO, WORKING, SHIFT),
        (REFERENCE, PINION, RATIO, ANGLE, WORKING),
        (DISTANCE, WHEEL, RATIO, ANGLE, SHIFT),
        (MODULE, RATIO, DISTANCE, ANGLE, SHIFT),
        (MODULE, RATIO, DISTANCE, ANGLE, WORKING),
    ],
)
def test_any_direction_gives_the_pair_back(gears, pair, given):
    """The last but one goes in a circle: teeth from the distance, which needs the teeth."""
    again = gears.solve({name: pair[name] for name in given})
    # 1e-9: a search whose residual carries the digits of a difference of involutes
    assert again.values == pytest.approx(pair.values, rel=1e-9)


def test_the_proved_range_holds_every_value_and_is_tight(pair):
    spread = pair.spread(DISTANCE, {SHIFT: 0.02, MODULE: 0.001})
    ends = [
        exact(module=mpmath.mpf(3) + sign * mpmath.mpf("0.001"), shift=0.96 + sign * 0.02)[1]
        for sign in (-1, 1)
    ]
    # 1e-12 mm: rounding outward; the distance rises with both, so its ends are those of the box
    assert ends[0] - 1e-12 < spread.low <= ends[0] and ends[1] <= spread.high < ends[1] + 1e-12
    pick = random.Random(1)
    for _ in range(50):
        module, shift = pick.uniform(2.999, 3.001), pick.uniform(0.94, 0.98)
        assert spread.low <= exact(module=module, shift=shift)[1] <= spread.high
    assert spread.driver == SHIFT


def test_sigma_is_that_of_the_slopes(pair):
    """Slopes by mpmath's finite differences; a uniform ± t has the deviation t/√3."""
    spread = pair.spread(DISTANCE, {SHIFT: 0.02, ANGLE: 0.01}, normal=(ANGLE,))
    by_shift = mpmath.diff(lambda x: exact(shift=x)[1], mpmath.mpf("0.96"))
    by_angle = mpmath.diff(lambda x: exact(angle=x)[1], mpmath.mpf(20))
    sigma = mpmath.hypot(by_shift * 0.02 / mpmath.sqrt(3), by_angle * 0.01 / 2)
    # 1e-9: what finite differences at 30 digits leave
    assert spread.sigma == pytest.approx(float(sigma), rel=1e-9)
    assert {s.input: s.slope for s in spread.shares} == pytest.approx(
        {SHIFT: float(by_shift), ANGLE: float(by_angle)}, rel=1e-9
    )


def test_the_feasible_range_ends_where_a_margin_fails(pair):
    margins = {
        "room": lambda m, values: 57.0 - values[DISTANCE],
        "angle": lambda m, values: values[WORKING] - 22.0,
    }
    found = pair.feasible(SHIFT, margins)
    working = mpmath.acos(54 * mpmath.cos(mpmath.radians(20)) / 57)
    high = shift_sum(mpmath, 12, 24, mpmath.mpf(20), mpmath.degrees(working))
    low = shift_sum(mpmath, 12, 24, mpmath.mpf(20), mpmath.mpf(22))
    # 1e-8: the margins may be off by 1e-9, and ends are rounded to short numbers near them
    assert (found.low, found.high) == pytest.approx((float(low), float(high)), abs=1e-8)
    assert (found.low_limit, found.high_limit) == ("angle", "room")
    loose = pair.feasible(SHIFT, margins, {MODULE: 0.01})
    # With the module at 3.01 mm the distance of 57 mm is reached sooner; the angle has no part.
    working = mpmath.acos(18 * mpmath.mpf("3.01") * mpmath.cos(mpmath.radians(20)) / 57)
    high = shift_sum(mpmath, 12, 24, mpmath.mpf(20), mpmath.degrees(working))
    assert (loose.low, loose.high) == pytest.approx((float(low), float(high)), abs=1e-8)
    assert pair.feasible(SHIFT, {"never": lambda m, values: -1.0 - 0 * values[SHIFT]}) is None


def test_a_sweep_finds_each_row_as_by_itself(gears, pair):
    shift = np.linspace(-0.2, 1.5, 40)
    teeth = np.tile([12.0, 17.0], 20)
    rows = pair.sweep({SHIFT: shift, PINION: teeth})
    for row in range(0, 40, 7):
        angle, distance = exact(pinion=int(teeth[row]), shift=shift[row])
        # 1e-12: roots to the last digits
        assert rows[WORKING][row] == pytest.approx(float(angle), rel=1e-12)
        assert rows[DISTANCE][row] == pytest.approx(float(distance), rel=1e-12)
    assert rows[MODULE] == 3.0 and rows[RATIO][1] == 24 / 17
    far = pair.sweep({SHIFT: np.array([0.96, 500.0])})
    assert np.isnan(far[DISTANCE]).tolist() == [False, True]


def test_what_cannot_be_solved_is_refused_in_words(gears, pair):
    with pytest.raises(SolveError, match="too little is given"):
        gears.solve({MODULE: 3, PINION: 12})
    with pytest.raises(SolveError, match=r"no pair\.working_angle agrees"):
        gears.solve({MODULE: 3, PINION: 12, WHEEL: 24, ANGLE: 20, SHIFT: 500.0})
    with pytest.raises(SolveError, match=r"these disagree: pair\.ratio = 3, .*teeth by teeth"):
        gears.solve({**{n: pair[n] for n in (MODULE, PINION, WHEEL, ANGLE, SHIFT)}, RATIO: 3})
    with pytest.raises(SolveError, match="has no value"):
        gears.solve({MODULE: 3, PINION: 12, WHEEL: 24, ANGLE: 20, DISTANCE: 20.0})
    with pytest.raises(SolveError, match=r"pair\.distance is no input"):
        pair.sweep({DISTANCE: [56.0]})
    twice = gears.solve({**{n: pair[n] for n in (MODULE, PINION, WHEEL, ANGLE, SHIFT)}, RATIO: 2})
    with pytest.raises(SolveError, match=r"wheel\.teeth cannot vary: other values say the same"):
        twice.spread(DISTANCE, {WHEEL: 1.0})
    bare = System((BACKLASH_FREE,))
    with pytest.raises(SolveError, match="none of them may be searched for"):
        bare.solve({PINION: 12, WHEEL: 24, ANGLE: 20, SHIFT: 0.96})


def test_defaults_fill_in_only_what_lacks(gears):
    given = {MODULE: 3, PINION: 12, ANGLE: 20, SHIFT: 0.96}
    assert gears.solve({**given, RATIO: 2}, {WHEEL: 30})[WHEEL] == 24
    solved = gears.solve(given, {WHEEL: 30})
    assert solved[WHEEL] == 30 and WHEEL in solved.inputs


def test_the_layer_stands_on_its_own():
    """Importing it brings nothing else of framekit, and neither sympy nor numpy."""
    code = "import sys, framekit.constraints.system; print(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(run.stdout.split())
    assert not loaded & {"sympy", "numpy"}
    ours = {name for name in loaded if name.startswith("framekit.")}
    rooms = ("framekit.constraints", "framekit.geometry", "framekit.errors")
    assert sorted(name for name in ours if not name.startswith(rooms)) == []


def test_a_thin_lens_both_ways():
    """Three sums by hand: 1/20 = 1/30 + 1/60, twice as large; 1/50 = 1/75 + 1/150."""
    texts = (
        LawText("lens", "lens.focus", "1/(1/lens.object + 1/lens.image)", "thin lens", "optics"),
        LawText(
            "size", "lens.enlargement", "lens.image/lens.object", "similar triangles", "optics"
        ),
    )
    names = ("lens.focus", "lens.object", "lens.image", "lens.enlargement")
    points = [
        dict(zip(names, p, strict=True))
        for p in ((20.0, 30.0, 60.0, 2.0), (50.0, 75.0, 150.0, 2.0))
    ]
    module = SimpleNamespace()
    table = Table("LENS", [equation_of(text) for text in texts], lambda equation: points)
    exec(render("A lens.", table), vars(module))
    lens = System(module.LENS, Searches({"lens.image": Searchable.between(1.0, 1e4, "log")}))
    for point in points:
        for pair_given in itertools.combinations(names, 2):
            found = lens.solve({name: point[name] for name in pair_given})
            # 1e-12: roundings, and a search where both laws must hold at once
            assert found.values == pytest.approx(point, rel=1e-12)
