"""Whether a frame's checks hold at a value of one input, and, proved, over a whole interval of it.

Over an interval each margin is a band with a band of slopes by the input. Where a slope's sign is
certain the margin is least at an end, and its value there decides; where it is not, the band must
do (Moore, Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009, chapter 6).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import partial
from itertools import product
from typing import Any, Literal, NamedTuple

from framekit.analysis.inputs import domain_margins, frame_values, images_of, program_of
from framekit.bodies.model import Skin
from framekit.constraints.choices import OpenChoice, RecordingFloats, RecordingIntervals
from framekit.constraints.intervals import Bounds, Interval
from framekit.constraints.loop_enclosure import Centre, enclose_loop, enclose_loop_between
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.uncertainty import Toleranced
from framekit.errors import SolveError
from framekit.solution.checks import ROUNDING
from framekit.solution.domain import not_finite
from framekit.solution.fitting import disc_room, rib_fit, rib_room, room_of, round_parts
from framekit.solution.limits import RIB_WIDTHS, limit_values
from framekit.solution.margins import margin_uses
from framekit.solution.model import FrameSolution, MarginUse
from framekit.solution.symbols import described

NO_VALUE = (ValueError, ZeroDivisionError, OverflowError)
"""What laws raise outside their domain."""

LIMITING = ("sheet.thickness", "disc_sheet.thickness", "cutter.kerf")
"""What limits are counted in, beside the ribs' widths."""

Values = dict[str, Any]
Margin = Callable[[Any, Mapping[str, Any]], Any]


class Limit(NamedTuple):
    """What stops an input: a check, a frame that could not be, the spec language, or the proof.

    `code` and `about` are those of the check or fault; `words` say it.
    """

    kind: Literal["check", "frame", "spec", "proof"]
    code: str
    about: str
    words: str

    def __str__(self) -> str:
        """Code and what it is about.

        >>> str(Limit("check", "slot-gap", "joint", "the joint's play above the tightest"))
        'slot-gap of joint'
        """
        return f"{self.code} of {self.about}"


class _Judged(NamedTuple):
    """A margin and whose it is; `bore` is the bore without which the disc has no such check."""

    limit: Limit
    margin: Margin
    bore: str | None


class Question:
    """A frame whose input `varied` takes other values, and `others` any within their tolerances.

    `varied` is a name of the laws: `made.thickness` is the sheet under an unchanged file. Values
    at the ends of intervals are kept, as they are asked for again.
    """

    def __init__(
        self, frame: FrameSolution, varied: str, others: tuple[Toleranced, ...] = ()
    ) -> None:
        """Find what follows the varied input; raises SolveError as `varying.following`."""
        self.frame = frame
        self.varied = varied
        self.others = others
        self._made = made = {item.made: item.quantity for item in frame.toleranced}
        self.images = images_of(frame, varied)
        self.program = program_of(frame, () if varied in made else (varied, *self.images))
        self.base: Values = frame_values(frame)
        limits = self._limits(FLOATS, self.base)
        self.base.update(limits)
        names = {varied, *self.images, *self.program.names[self.program.inputs :]}
        if names & {*LIMITING, *RIB_WIDTHS}:
            names |= set(limits)
        names |= {item for item, quantity in made.items() if quantity in names}
        names |= {item.made for item in others}
        self.changing = frozenset(names)
        self.uses = margin_uses(frame.structure, self.base)
        self.guarded = tuple(domain_margins(FLOATS, frame.structure, self.base, frame.quantities))
        self.skin = frame.structure.skin
        self.room = room_of(frame.spec)
        disc_stock = room_of(frame.spec, discs=True)
        self.rounds = {
            name: _beside(a, name, disc_stock) for a, name in round_parts(frame.structure)
        }
        self._known: dict[Any, tuple[_Judged, ...]] = {}
        self._ends: dict[float, Values] = {}
        self._hardest: _Judged | None = None
        self._single: list[tuple[float, float]] = []

    def _limits(self, m: Any, values: Mapping[str, Any]) -> Values:
        return limit_values(m, self.frame.structure, values)

    def _values(self, m: Any, x: Any) -> Values:
        """Every value by name when the varied input is `x`; `m` and Raises as in `Program.run`."""
        found = dict(self.base)
        found.update(dict.fromkeys((self.varied, *self.images), x))
        if self.program.instructions:
            found.update(self.program.run(m, found))
            found.update({item.made: found[item.quantity] for item in self.frame.toleranced})
            found.update(self._limits(m, found))
        return found

    def _move(self, values: Values, moves: tuple[Any, ...]) -> None:
        """Put the others off their design by so much."""
        for item, move in zip(self.others, moves, strict=True):
            values[item.made] = move + values[item.quantity]

    def margins(self, x: float) -> list[tuple[float, Limit]] | Limit:
        """Every margin in mm at a value and whose it is, or why there is no such frame.

        The others lie in each corner of their tolerances in turn.
        """
        try:
            values = self._values(FLOATS, x)
        except SolveError as error:
            return Limit("frame", error.code, self.varied, f"at {x:.6g} {error.faults[0].message}")
        except NO_VALUE:
            words = f"at {x:.6g} a length has no value"
            return Limit("frame", "no-solution", self.varied, words)
        fault = self._fault(values) if self.program.instructions else None
        if fault is not None:
            return fault
        found: list[tuple[float, Limit]] = []
        if "rib.height" in self.changing:
            found.append((rib_fit(self.skin, values, self.room)[0], _FITS))
        judged = self._judged(values)
        for corner in product(*((-item.tolerance, item.tolerance) for item in self.others)):
            self._move(values, corner)
            found += [(margin(FLOATS, values), limit) for limit, margin, _ in judged]
        return found

    def _fault(self, values: Values) -> Limit | None:
        """Why there is no such frame; None when there is."""
        structure = self.frame.structure
        for name, margin in domain_margins(FLOATS, structure, values, self.guarded).items():
            row = described(name)
            fault = not_finite(name, values[name], structure)
            if fault is None and row.domain is not None and not margin > 0:
                fault = row.domain.fault(name, row.words, values, structure)
            if fault is not None:
                return Limit("frame", fault.code, name.partition(".")[0], fault.message)
        return None

    def _judged(self, values: Mapping[str, Any]) -> tuple[_Judged, ...]:
        """The margins that change with what varies, for the order and bores of these discs."""
        discs = range(1, self.frame.disc_count + 1)
        key: Any = None
        if self.program.instructions or self.varied not in self._made:
            key = (
                tuple(sorted(discs, key=lambda n: (values[f"disc-{n}.height"], n))),
                tuple(n for n in discs if values[f"disc-{n}.bore_radius"] > 0),
            )
        if key not in self._known:
            uses = self.uses if key is None else margin_uses(self.frame.structure, values)
            # A pair that only became neighbours counts though neither of the two has moved.
            new = set(uses) - set(self.uses)
            found = [
                _by_law(use)
                for use in uses
                if use in new or not self.changing.isdisjoint(use.names)
            ]
            found += [judged for name, judged in self.rounds.items() if name in self.changing]
            self._known[key] = tuple(found)
        return self._known[key]

    def failing_whatever(self) -> tuple[Limit, ...]:
        """The failing checks that the varied input and the others have no part in."""
        found = []
        for use in self.uses:
            if self.changing.isdisjoint(use.names):
                judged = _by_law(use)
                if judged.margin(FLOATS, self.base) < -ROUNDING:
                    found.append(judged.limit)
        if (
            "rib.height" not in self.changing
            and rib_fit(self.skin, self.base, self.room)[0] < -ROUNDING
        ):
            found.append(_FITS)
        for name, judged in self.rounds.items():
            if name not in self.changing and judged.margin(FLOATS, self.base) < -ROUNDING:
                found.append(judged.limit)
        return tuple(dict.fromkeys(found))

    def proved(self, low: float, high: float) -> bool:
        """Whether every check is proved to hold for each value from low to high.

        The checks that `failing_whatever` looks at are not looked at again.
        """
        size = 1 + len(self.others)
        try:
            ends = (self._end(low), self._end(high))
            namespace = RecordingIntervals(self._searching(low, high, ends))
            values = self._values(namespace, Interval(low, high, _slope(0, size)))
        except NO_VALUE:
            return False
        self._single.append((low, high))
        if self.program.instructions and not self._exists(values, ends):
            return False
        bands = enumerate(self.others, 1)
        self._move(
            values,
            tuple(Interval(-item.tolerance, item.tolerance, _slope(n, size)) for n, item in bands),
        )
        # Discs whose spacing is never below zero keep their order, so one end's order is enough.
        sample = dict(ends[0])
        for number in range(1, self.frame.disc_count + 1):
            name = f"disc-{number}.bore_radius"
            sample[name] = _high(values[name])
        # What stood in the way of the last interval is looked at first.
        for judged in sorted(self._judged(sample), key=lambda j: j is not self._hardest):
            for version in _versions(judged, values, namespace):
                exact = version is values
                if not self._holds(judged.margin, version, ends if exact else None):
                    self._hardest = judged
                    return False
        if "rib.height" not in self.changing:
            return True
        turns = {0.0, 90.0, *(rib_fit(self.skin, end, self.room)[1] for end in ends)}
        return any(
            self._holds(partial(_rib_margin, self.skin, degrees, self.room), values, ends)
            for degrees in sorted(turns)
        )

    def _searching(
        self, low: float, high: float, ends: tuple[Values, Values]
    ) -> Callable[..., Any] | None:
        """What does the searches over an interval; raises ValueError where they are not sure.

        Where all of it lies in one that has been looked at, no other roots are looked for again.
        """
        if not self.program.searches:
            return None
        middle, size = (low + high) / 2, 1 + len(self.others)
        narrow = RecordingIntervals(partial(enclose_loop_between, *ends))
        at_middle = self._values(narrow, Interval(middle, middle, _slope(0, size)))
        reach = (max(middle - low, high - middle) * (1 + 1e-15), *[0.0] * len(self.others))
        alone = any(least <= low and high <= most for least, most in self._single)
        return partial(enclose_loop, Centre(at_middle, reach, alone))

    def _end(self, x: float) -> Values:
        if x not in self._ends:
            self._ends[x] = self._values(FLOATS, x)
        return self._ends[x]

    def _exists(self, values: Values, ends: tuple[Values, Values]) -> bool:
        """Whether the frame is proved to exist over the whole interval."""
        structure = self.frame.structure
        margins = domain_margins(INTERVALS, structure, values, self.guarded)
        at_ends = [domain_margins(FLOATS, structure, end, self.guarded) for end in ends]
        width = ends[1][self.varied] - ends[0][self.varied]
        return all(
            _low(margin) > 0
            or (
                isinstance(margin, Interval)
                and _least(margin.slopes[0], at_ends[0][name], at_ends[1][name], width) > 0
            )
            for name, margin in margins.items()
        )

    def _holds(self, margin: Margin, values: Values, ends: tuple[Values, Values] | None) -> bool:
        """Whether a margin is proved not to be below zero; without `ends` by its band alone."""
        noted = RecordingIntervals()
        found = margin(noted, values)
        if ends is not None and id(found) in noted.open:
            found = self._taken(margin, noted.open[id(found)], ends)
        if _low(found) >= -ROUNDING:
            return True
        if ends is None or not isinstance(found, Interval):
            return False
        moves: list[Any] = []
        for item, slope in zip(self.others, found.slopes[1:], strict=True):
            whole = Interval(-item.tolerance, item.tolerance, ())
            side = 0 if slope[0] >= 0 else 1 if slope[1] <= 0 else None
            moves.append(whole if side is None else (-item.tolerance, item.tolerance)[side])
        at_ends = []
        for end in ends:
            corner = dict(end)
            self._move(corner, tuple(moves))
            at_ends.append(_low(margin(INTERVALS, corner)))
        width = ends[1][self.varied] - ends[0][self.varied]
        return _least(found.slopes[0], at_ends[0], at_ends[1], width) >= -ROUNDING

    def _taken(self, margin: Margin, choice: OpenChoice, ends: tuple[Values, Values]) -> Any:
        """The side of a margin's open choice that its test takes over the whole interval.

        The hull of both where the test does not keep its sign, or hangs on the others.
        """
        at_ends = []
        for end in ends:
            asked = RecordingFloats()
            margin(asked, end)
            if len(asked.tests) != 1:
                return choice.hull
            at_ends.append(asked.tests[0])
        if any(slope != (0.0, 0.0) for slope in choice.test.slopes[1:]):
            return choice.hull
        width = ends[1][self.varied] - ends[0][self.varied]
        down, up = choice.test.slopes[0]
        if _least((down, up), at_ends[0], at_ends[1], width) >= 0:
            return choice.first
        if _least((-up, -down), -at_ends[0], -at_ends[1], width) > 0:
            return choice.second
        return choice.hull


_FITS = Limit("check", "fits-stock", "ribs", "what a rib leaves of the sheet")


def _by_law(use: MarginUse) -> _Judged:
    function, names = use.form.function, use.names

    def margin(m: Any, values: Mapping[str, Any]) -> Any:
        return function(m, *[values[name] for name in names])

    bore = next((name for name in names if name.endswith(".bore_radius")), None)
    return _Judged(Limit("check", use.code, use.about, use.words), margin, bore)


def _beside(about: str, name: str, room: tuple[float, float]) -> _Judged:
    """What a disc or flange, whose radius has that name, leaves of its stock."""
    words = f"what the {about.partition('-')[0]} leaves of the sheet"
    margin = partial(_disc_margin, name, room)
    return _Judged(Limit("check", "fits-stock", about, words), margin, None)


def _disc_margin(name: str, room: tuple[float, float], m: Any, values: Mapping[str, Any]) -> Any:
    return disc_room(values[name], room)


def _rib_margin(
    skin: Skin, degrees: float, room: tuple[float, float], m: Any, values: Mapping[str, Any]
) -> Any:
    return rib_room(m, skin, values, room, degrees)


def _versions(judged: _Judged, values: Values, noted: RecordingIntervals) -> list[Values]:
    """The values, or, where it is open whether a disc has a bore, those with the bore it may have.

    A disc without a bore has no check of it.
    """
    if judged.bore is None or id(values[judged.bore]) not in noted.open:
        return [values]
    choice = noted.open[id(values[judged.bore])]
    sides = (choice.first, choice.second)
    return [{**values, judged.bore: side} for side in sides if _high(side) > 0]


def _slope(place: int, size: int) -> tuple[Bounds, ...]:
    return tuple((1.0, 1.0) if n == place else (0.0, 0.0) for n in range(size))


def _least(slope: Bounds, at_low: float, at_high: float, width: float) -> float:
    """The least a function can be over an interval, from its slopes and its values at the ends.

    It falls from the low end no faster than the least slope, and toward the high end it rises no
    faster than the greatest; where these two lines meet is the bound (Neumaier, Bounds Methods
    for Systems of Equations, Cambridge 1990, section 2.4).
    """
    down, up = slope
    if down >= 0:
        return at_low
    if up <= 0:
        return at_high
    if math.isinf(down) or math.isinf(up):
        return -math.inf
    return (up * at_low - down * at_high + down * up * width) / (up - down)


def _low(x: Any) -> float:
    return float(x.low if isinstance(x, Interval) else x)


def _high(x: Any) -> float:
    return float(x.high if isinstance(x, Interval) else x)
