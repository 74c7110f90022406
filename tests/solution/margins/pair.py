"""Pairs of specs about one margin: one that just holds, one just past the limit.

The sum of a pair is worked out by hand from the spec's own numbers, in plain arithmetic. It calls
no law of framekit's.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any, NamedTuple

Spec = dict[str, Any]


class Made(NamedTuple):
    """What is really there, in mm.

    The ribs' sheet `t`, the kerf in it `k`, the clearance of slots `g`; the discs' sheet `d`, the
    kerf in it `e`, the clearance of notches `h`.
    """

    t: float
    k: float
    g: float
    d: float
    e: float
    h: float


STATED = {
    "t": (3.0, 0.05),
    "k": (0.2, 0.04),
    "g": (0.1, 0.01),
    "d": (4.0, 0.06),
    "e": (0.3, 0.05),
    "h": (0.1, 0.01),
}
"""The values and tolerances in mm of the specs below."""


def as_stated(x: float) -> dict[str, tuple[float, float]]:
    """Return no other values than those of `STATED`."""
    return {}


class Pair(NamedTuple):
    """A margin by hand.

    `spec` makes a spec from one number, `by_hand` the margin in mm from that number and from what
    is really there. `inside` is a number whose margin just holds as drawn, `past` one whose margin
    does not. `stated` says which values and tolerances differ from `STATED`. `past_is` is what a
    frame just past gets: some margins cannot fall below zero as drawn, so that they are undecided
    at worst, and some frames are refused before any check. `within` is the most that a margin in
    mm is away from zero. `jumps` says that the margin jumps between inside and past, so that its
    least over the tolerances is at no corner. `law` is None where the check has none.
    """

    law: str | None
    code: str
    about: str
    spec: Callable[[float], Spec]
    by_hand: Callable[[float, Made], float]
    inside: float
    past: float
    stated: Callable[[float], dict[str, tuple[float, float]]] = as_stated
    past_is: str = "fail"
    within: float = 0.05
    jumps: bool = False

    def ends(self, x: float) -> tuple[float, float, float]:
        """Return the margin at its least, as drawn, and at its greatest.

        Each of these margins rises or falls all the way with each input, so it is least and
        greatest at corners.
        """
        stated = {**STATED, **self.stated(x)}
        corners = itertools.product(*((v - tol, v + tol) for v, tol in stated.values()))
        found = [self.by_hand(x, Made(*corner)) for corner in corners]
        return min(found), self.drawn(x), max(found)

    def drawn(self, x: float) -> float:
        """Return the margin as drawn."""
        return self.by_hand(x, self._drawn(x))

    def slope(self, x: float, name: str) -> float:
        """Return how much the margin rises for each mm of an input."""
        drawn, step = self._drawn(x), 0.001
        near = [getattr(drawn, name) + side for side in (-step, step)]
        low, high = (self.by_hand(x, drawn._replace(**{name: v})) for v in near)
        return (high - low) / (2 * step)

    def _drawn(self, x: float) -> Made:
        return Made(*(value for value, _ in {**STATED, **self.stated(x)}.values()))


def over(made: Made) -> float:
    """Return how far each edge is cut beyond the design of 0.2 mm kerf."""
    return (made.k - 0.2) / 2


def slot(made: Made) -> float:
    """Return the width of a slot drawn for 3 mm, 0.1 mm clearance and 0.2 mm kerf."""
    return 3.0 + 0.1 + (made.k - 0.2) + (made.g - 0.1)


def over_disc(made: Made) -> float:
    """Return how far each edge of a disc of 4 mm is cut beyond the design of 0.3 mm kerf."""
    return (made.e - 0.3) / 2


def slot_in_4(made: Made) -> float:
    """Return the width of a slot for ribs of 3 mm in a disc of 4 mm."""
    return 3.0 + 0.1 + (made.e - 0.3) + (made.g - 0.1)


def notch(made: Made) -> float:
    """Return the width of a notch for discs of 4 mm in a rib of 3 mm."""
    return 4.0 + 0.1 + (made.k - 0.2) + (made.h - 0.1)


def chamfer(made: Made) -> float:
    """Return what a chamfer of 0.5 mm takes of a side, from the mouth as cut.

    The side and the mouth each move by the cut v, the chamfer by v square to itself: their corner
    moves √2 v − v away from the mouth's old place, and the mouth v after it.
    """
    return 0.5 + (math.sqrt(2) - 1) * over(made) - over(made)


def chamfer_in_4(made: Made) -> float:
    """Return the same of a slot in a disc of 4 mm."""
    return 0.5 + (math.sqrt(2) - 1) * over_disc(made) - over_disc(made)


def sine(degrees: float) -> float:
    """Return the sine of degrees."""
    return math.sin(math.radians(degrees))


def cosine(degrees: float) -> float:
    """Return the cosine of degrees."""
    return math.cos(math.radians(degrees))


GAP_OF_SIX = 1.5 / math.tan(math.radians(30)) + 0.5
"""mm that six ribs of 3 mm keep from the axis: half of 60° between them, and half a millimetre."""


def round_at(radius: float, height: float) -> float:
    """Return a sphere's radius at a height, by the theorem of Pythagoras."""
    return math.sqrt(radius**2 - height**2)


_COMMON: Spec = {
    "framekit": 1,
    "scale": "1:4",
    "ribs": {"count": 6, "width": 20},
    "discs": [{"at": {"height": 0}}],
    "joint": {"clearance": "0.1 ± 0.01"},
    "sheet": {"material": "birch-plywood", "thickness": "3 ± 0.05", "size": [600, 400]},
    "cutter": {"kerf": "0.2 ± 0.04"},
}
SPHERE = {**_COMMON, "body": {"shape": "sphere", "diameter": "0.8 m"}}
"""A sphere of 100 mm radius on the model; the inner edge of the ribs is one of 80 mm."""
CYLINDER = {
    **_COMMON,
    "body": {"shape": "cylinder", "diameter": "64 cm", "height": "0.4 m"},
    "discs": [{"at": {"height": 50}}],
}
"""A cylinder of 80 mm radius, 100 mm high; the ribs' inner edge is at 60 mm."""
CONE = {
    **_COMMON,
    "body": {"shape": "cone", "diameter": "0.8 m", "top_diameter": "0.2 m", "height": "0.4 m"},
    "discs": [{"at": {"height": 50}}],
}
"""A cone of 100 mm radius below and 25 mm above, 100 mm high.

It leans by 3 in 4, so that 4 mm square to the skin are 5 mm level.
"""
FUNNEL = {
    **CONE,
    "body": {"shape": "cone", "diameter": "0.2 m", "top_diameter": "0.8 m", "height": "0.4 m"},
}
"""The cone turned over."""
PLANET = {
    **_COMMON,
    "body": {"shape": "sphere", "diameter": "0.96 m"},
    "ribs": {"count": 6, "width": 40},
    "joint": {"clearance": "0.1 ± 0.01", "style": "housed"},
    "flanges": [{"at": 35, "inner_radius": "44 cm", "outer_radius": "56 cm"}],
}
"""A sphere of 120 mm radius with a flange from 110 to 140 mm; the inner edge is one of 80 mm."""
DISC_SHEET = {"material": "birch-plywood", "thickness": "4 ± 0.06", "kerf": "0.3 ± 0.05"}
"""A second sheet, for the discs."""


def on(base: Spec, **changes: Any) -> Spec:
    """Return a spec with some keys changed; those of a section one by one."""
    made = dict(base)
    for key, value in changes.items():
        old = base.get(key)
        both = isinstance(old, dict) and isinstance(value, dict)
        made[key] = {**old, **value} if both and key != "body" else value
    return made
