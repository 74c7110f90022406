"""Searches over boxes: intervals hold every root by hand, and nothing is proved that is not so."""

from __future__ import annotations

import math
import random
from functools import partial

import pytest

from framekit.constraints.intervals import Interval
from framekit.constraints.law import Form
from framekit.constraints.loop_enclosure import Centre, enclose_loop, enclose_loop_between
from framekit.constraints.loops import Loop, LoopStep, Searchable
from framekit.constraints.roots import Span

C = 10.0
"""The range searched is from -10 to 10."""


def loop_of(law):
    """A made-up circle: a height z at which law(m, z, p) = 0, the way being two steps."""
    double = Form("twice", ("z",), lambda m, z: 2 * z, "")
    residual = Form("zero", ("twice", "p"), lambda m, d, p: law(m, d / 2, p), "")
    return Loop(
        unknown="z",
        search=Searchable(lambda m, name, values: Span(-values["reach"], values["reach"])),
        follows=(LoopStep("twice", double, ("z",)),),
        residual=residual,
        residual_name="zero",
        residual_inputs=("twice", "p"),
        outside=("p", "reach", "zero"),
    )


def proved(law, root, low, high):
    """The interval for p from low to high; `root` gives the roots at the ends."""
    loop, fixed = loop_of(law), {"reach": C, "zero": 0.0}
    middle = (low + high) / 2
    ends = ({"z": root(p)} for p in (low, high))
    centre = {**fixed, "p": Interval(middle, middle, ((1.0, 1.0),))}
    at_middle = partial(enclose_loop_between, *ends)(loop, centre)
    values = {**centre, "z": at_middle}
    box = Centre(values, (max(high - middle, middle - low),))
    return enclose_loop(box, loop, {**fixed, "p": Interval(low, high, ((1.0, 1.0),))})


LAWS = [
    (lambda m, z, p: z * z * z - p, math.cbrt, lambda p: 1 / (3 * math.cbrt(p) ** 2), (1, 900)),
    (lambda m, z, p: m.exp(z) - p, math.log, lambda p: 1 / p, (1e-3, 1e4)),
    (lambda m, z, p: z + m.max(z, 0.0) - p, lambda p: min(p, p / 2), None, (-9, 19)),
    (lambda m, z, p: m.sqrt(z + 5) - p, lambda p: p * p - 5, lambda p: 2 * p, (0.1, 3.8)),
]


@pytest.mark.parametrize("case", range(len(LAWS)))
def test_the_interval_holds_the_roots_and_their_slopes(case):
    """Oracle: the inverse functions, written out."""
    law, root, slope, (least, most) = LAWS[case]
    pick = random.Random(case)
    shown = 0
    for _ in range(300):
        low = pick.uniform(least, most)
        high = min(most, low + 10 ** pick.uniform(-8, 0) * (abs(low) + 1e-3))
        try:
            interval = proved(law, root, low, high)
        except ValueError:
            continue
        shown += 1
        for share in (0.0, 0.3, 1.0):
            p = low + (high - low) * share
            # 1e-14: what the C library's function may be off
            room = 1e-14 * (abs(root(p)) + 1)
            assert interval.low - room <= root(p) <= interval.high + room
            if slope:
                (steep,) = interval.slopes
                assert steep[0] * (1 - 1e-12) <= slope(p) <= steep[1] * (1 + 1e-12)
        width = abs(root(high) - root(low))
        # The interval is not much wider than need be where the box is small.
        if high - low < 1e-4 * abs(low):
            assert interval.high - interval.low <= 2.5 * width + 1e-12
    assert shown > 100


@pytest.mark.parametrize(
    ("law", "root", "low", "high"),
    [
        # Two roots.
        (lambda m, z, p: m.square(z) - p, math.sqrt, 3.0, 3.01),
        # Two more that come and go within the box.
        (lambda m, z, p: (z - 5) * (m.square(z + 5) + p), lambda p: 5.0, -1e-3, 1e-2),
        # A root that leaves the range within the box.
        (lambda m, z, p: z - p, lambda p: p, 9.9, 10.1),
        # A pair much nearer than the search's points.
        (lambda m, z, p: (z - 5) * (m.square(z + 5) - 1e-9 * p), lambda p: 5.0, 1.0, 1.001),
        # A jump, which is no root.
        (lambda m, z, p: m.choose(z - p, 1.0, -1.0), lambda p: p, 1.0, 1.001),
        # A double root, which no test can be sure of.
        (lambda m, z, p: m.square(z - p), lambda p: p, 1.0, 1.0),
    ],
)
def test_nothing_is_proved_that_is_not_so(law, root, low, high):
    with pytest.raises((ValueError, ZeroDivisionError)):
        proved(law, root, low, high)


def test_the_same_laws_are_proved_where_they_have_one_root():
    away = proved(lambda m, z, p: (z - 5) * (m.square(z + 5) + p), lambda p: 5.0, 1e-3, 1e-2)
    # 1e-12: a few roundings
    assert away.low == pytest.approx(5.0, abs=1e-12) and away.high == pytest.approx(5.0, abs=1e-12)
    inside = proved(lambda m, z, p: z - p, lambda p: p, 9.8, 9.9)
    assert inside.low <= 9.8 and inside.high >= 9.9


def test_plain_numbers_give_a_plain_root():
    loop = loop_of(lambda m, z, p: z * z * z - p)
    values = {"p": 8.0, "reach": C, "zero": 0.0}
    # 1e-12: the search's own tolerance
    assert enclose_loop(Centre(values, ()), loop, values) == pytest.approx(2.0, rel=1e-12)
