"""What the solution stage hands on: every number with its origin, band and derivation."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from framekit.catalogue.model import MaterialRow
from framekit.constraints.law import Form
from framekit.constraints.plan import Plan, Step
from framekit.constraints.uncertainty import Share, Toleranced
from framekit.errors import Fault, SolveError, Where
from framekit.geometry.path import Point, Vertex
from framekit.solution.relations import Renaming
from framekit.solution.structure import Structure
from framekit.spec.given import Origin
from framekit.spec.model import FrameSpec, Spec

Verdict = Literal["pass", "fail", "undecided"]
HeightFunction = Callable[[float], float]
"""A radius in mm, or its slope, at a height in mm."""


class MadeLaw(NamedTuple):
    """A law of what is made with the full names of its inputs."""

    form: Form
    names: tuple[str, ...]


@dataclass(frozen=True)
class Quantity:
    """A number of the frame; lengths in mm, angles in degrees, the rest plain.

    `low` and `high` are the worst case of what is made, over the tolerances of sheet thickness,
    kerf and clearance; `sigma` its standard deviation. `shares` rank what moves it, as in
    `Spread`, slopes in its own unit by mm; `curved` says that sigma and shares come from sampling.
    `unit` is the unit people read it in. `step` is how it was derived, None for what was given;
    `made` is the law of what is made that gives the band, None where the band is the value.
    """

    name: str
    value: float
    low: float
    high: float
    sigma: float
    unit: str
    origin: Origin
    where: Where
    note: str = ""
    step: Step | None = None
    made: MadeLaw | None = None
    shares: tuple[Share, ...] = ()
    curved: bool = False


class MarginUse(NamedTuple):
    """A margin that must not be negative.

    `law` gives it by `form`; `names` are the full names of the form's inputs in order, and
    `renamed` what the law's own names mean. `about` says of what it is; `governed` is the spec key
    that decides it when no tolerance does, `discs.` and `flanges.` standing for the one at place
    `entry` of the list. `words` say what it is and `sentence` what must hold, with places for
    quantities and for `plates`, the discs and flanges it is of by their names in the laws.
    """

    code: str
    about: str
    law: str
    names: tuple[str, ...]
    governed: str
    form: Form
    words: str
    sentence: str
    plates: tuple[tuple[str, str], ...] = ()
    entry: int = 0
    renamed: Renaming = ()


@dataclass(frozen=True)
class Check:
    """One thing that must hold: its margin in mm, the margin's band, and the verdict.

    The verdict is `pass` when the whole band is at or above zero, `fail` when the design itself
    is below, `undecided` when the design holds but not everywhere in the band, or nobody knows.
    `sigma` in mm,
    `shares` and `curved` are the margin's as in `Spread`. `limited_by` is the input that decides
    the margin, `where` its place in the spec. `use` is the margin's law and what it looks at,
    None for a check that has no law. `untold` names the quantities it depends on whose tolerance
    nobody gave: the band leaves them out, and the verdict is at best `undecided`.
    """

    code: str
    about: str
    verdict: Verdict
    margin: float
    low: float
    high: float
    text: str
    limited_by: str
    where: Where
    sigma: float = 0.0
    shares: tuple[Share, ...] = ()
    curved: bool = False
    use: MarginUse | None = None
    untold: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Code and what it is about, as people ask for it: `slot-gap of joint`."""
        return f"{self.code} of {self.about}"


@dataclass(frozen=True)
class FrameSolution:
    """One frame's quantities by name, in reading order, and its checks.

    `structure` is what it is made of. `plan` says which law gave what; `toleranced` are the inputs
    that may turn out otherwise.
    """

    structure: Structure
    quantities: Mapping[str, Quantity]
    checks: tuple[Check, ...]
    plan: Plan
    toleranced: tuple[Toleranced, ...]

    @property
    def spec(self) -> FrameSpec:
        """The frame's spec."""
        return self.structure.spec

    @property
    def material(self) -> MaterialRow:
        """The ribs' material."""
        return self.structure.material

    @property
    def disc_material(self) -> MaterialRow:
        """The discs' and flanges' material."""
        return self.structure.disc_material

    @property
    def longitudes(self) -> tuple[float, ...]:
        """The longitude of each rib in degrees."""
        return self.structure.longitudes

    @property
    def disc_count(self) -> int:
        """How many discs it has."""
        return len(self.structure.discs)

    def value(self, name: str) -> float:
        """The value of a quantity in mm, degrees or plain; raises KeyError."""
        return self.quantities[name].value

    @property
    def failed(self) -> tuple[Check, ...]:
        """The checks that the design does not pass."""
        return tuple(check for check in self.checks if check.verdict == "fail")

    @property
    def undecided(self) -> tuple[Check, ...]:
        """The checks that the design passes but not every sheet and kerf within tolerance."""
        return tuple(check for check in self.checks if check.verdict == "undecided")


@dataclass(frozen=True)
class ScaleRange:
    """The denominators at which one frame can be built, and what limits each end.

    `high` may be infinite. `proved` says whether every value between is known to work, rather
    than found by trying. `trouble` is what is wrong where no value works.
    """

    frame: str
    low: float
    high: float
    low_limit: str
    high_limit: str
    proved: bool
    trouble: str = ""

    @property
    def empty(self) -> bool:
        """Whether no scale works."""
        return self.low > self.high


@dataclass(frozen=True)
class SetScale:
    """A set's scale: its denominator, every frame's range, and the frames that limit it.

    `largest` is the frame that allows no larger scale, `smallest` the one that allows no smaller.
    """

    denominator: float
    ranges: tuple[ScaleRange, ...]
    largest: str
    smallest: str


@dataclass(frozen=True)
class Solution:
    """The solved frames of a spec; `scale` is how a set's largest scale was found."""

    spec: Spec
    frames: tuple[FrameSolution, ...]
    scale: SetScale | None = None

    @property
    def failed(self) -> tuple[Check, ...]:
        """The failed checks of all frames."""
        return tuple(check for frame in self.frames for check in frame.failed)


@dataclass(frozen=True)
class Attempt:
    """The solution of those frames of a spec that have one, and the faults of the others."""

    solution: Solution
    faults: tuple[Fault, ...]

    def whole(self) -> Solution:
        """Return the solution of every frame; raises SolveError where a frame has none."""
        if self.faults:
            raise SolveError(*self.faults)
        return self.solution


class Meridian(NamedTuple):
    """What a rib lies between; heights and radii in mm on the model, in the frame's axes.

    `outer(z)` is the skin's radius and `outer_slope(z)` its derivative, for heights from `low` to
    `high`, the ends of the body. `inner(z)` is the rib's inner edge, nowhere nearer to the axis
    than the pole gap, and `inner_slope(z)` its derivative. `rib_low` and `rib_high` are the rib's
    own ends: where the body is open (`closed` is False there) the rib ends with it in a
    horizontal edge, else it stops where the skin comes to the pole gap. `breaks` are heights
    where one of the functions has a corner or changes its formula, rising, all inside.
    `outer_arcs(start, stop)` draws the skin as arcs from one radius and height to another, and
    `inner_arcs` the inner edge from one height to another, where it is beyond the pole gap; None
    where arcs are to be fitted.
    """

    outer: HeightFunction
    outer_slope: HeightFunction
    inner: HeightFunction
    inner_slope: HeightFunction
    low: float
    high: float
    rib_low: float
    rib_high: float
    closed: tuple[bool, bool]
    pole_gap: float
    breaks: tuple[float, ...]
    outer_arcs: Callable[[Point, Point], tuple[Vertex, ...]] | None = None
    inner_arcs: Callable[[float, float], tuple[Vertex, ...]] | None = None
