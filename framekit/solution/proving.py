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
from types import SimpleNamespace
from typing import Any, Literal, NamedTuple

from framekit.solution.checks import ROUNDING
from framekit.solution.fitting import disc_room, rib_fit, rib_room, room_of
from framekit.solution.generated import AS_MADE
from framekit.solution.guards import guard
from framekit.solution.margins import MarginUse, limit_values, margin_uses
from framekit.solution.model import FrameSolution
from framekit.solution.numeric import BANDS, FLOATS, Band, Interval
from framekit.solution.relations import placed_discs
from framekit.solution.tolerance import Toleranced
from framekit.solution.varying import domain_margins, frame_values, program_of

WORDS = {law.name: law.words for law in AS_MADE}
NO_VALUE = (ValueError, ZeroDivisionError, OverflowError)
"""What laws raise outside their domain."""

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
        made = {item.made: item.quantity for item in frame.toleranced}
        self.program = program_of(frame, () if varied in made else (varied,))
        self.base: Values = frame_values(frame)
        limits = self._limits(FLOATS, self.base)
        self.base.update(limits)
        names = {varied, *self.program.names[self.program.inputs :]}
        if names & {"sheet.thickness", "rib.width_equator", "rib.width_pole"}:
            names |= set(limits)
        names |= {item for item, quantity in made.items() if quantity in names}
        names |= {item.made for item in others}
        self.changing = frozenset(names)
        self.guarded = tuple(domain_margins(FLOATS, self.base, frame.quantities))
        self.entries = {disc.number: disc.entry for disc in placed_discs(frame.spec)}
        self.room = room_of(frame.spec)
        self._known: dict[Any, tuple[_Judged, ...]] = {}
        self._ends: dict[float, Values] = {}

    def _limits(self, m: Any, values: Mapping[str, Any]) -> Values:
        return limit_values(m, self.frame.spec, values, self.frame.material)

    def _values(self, m: Any, x: Any) -> Values:
        """Every value by name when the varied input is `x`; `m` and Raises as in `Program.run`."""
        found = dict(self.base)
        found[self.varied] = x
        if self.program.instructions:
            found.update(self.program.run(m, found))
            found.update({item.made: found[item.quantity] for item in self.frame.toleranced})
            found.update(self._limits(m, found))
        return found

    def _move(self, values: Values, moves: tuple[Any, ...]) -> None:
        """Put the others off their design by so much."""
        for item, move in zip(self.others, moves, strict=True):
            values[item.made] = move + values[item.quantity]

    def weakest(self, x: float) -> tuple[float, Limit]:
        """The least margin at a value in mm and whose it is; −∞ where there is no such frame.

        The others lie where it is worst among the corners of their tolerances.
        """
        try:
            values = self._values(FLOATS, x)
        except NO_VALUE:
            words = f"at {x:.6g} a length has no value"
            return -math.inf, Limit("frame", "no-solution", self.varied, words)
        fault = self._fault(values) if self.program.instructions else None
        if fault is not None:
            return -math.inf, fault
        found: list[tuple[float, Limit]] = []
        if "rib.height" in self.changing:
            found.append((rib_fit(values, self.room)[0], _FITS))
        judged = self._judged(values)
        for corner in product(*((-item.tolerance, item.tolerance) for item in self.others)):
            self._move(values, corner)
            found += [(j.margin(FLOATS, values), j.limit) for j in judged]
        return min(found, key=lambda pair: pair[0], default=(math.inf, _FITS))

    def _fault(self, values: Values) -> Limit | None:
        """Why there is no such frame; None when there is."""
        for name in self.guarded:
            head, _, number = name.partition(".")[0].partition("-")
            entry = self.entries[int(number)] if head == "disc" else None
            fault = guard(name, values, self.frame.spec, entry)
            if fault is not None:
                return Limit("frame", fault.code, name.partition(".")[0], fault.message)
        return None

    def _judged(self, values: Mapping[str, Any]) -> tuple[_Judged, ...]:
        """The margins that change with what varies, for the order and bores of these discs."""
        discs = range(1, self.frame.disc_count + 1)
        key = (
            tuple(sorted(discs, key=lambda n: (values[f"disc-{n}.height"], n))),
            tuple(n for n in discs if values[f"disc-{n}.bore_radius"] > 0),
        )
        if key not in self._known:
            uses = margin_uses(self.frame.spec, values)
            found = [_by_law(use) for use in uses if not self.changing.isdisjoint(use.names)]
            for number in discs:
                name = f"disc-{number}.radius"
                if name in self.changing:
                    found.append(_beside(number, partial(_disc_margin, name, self.room)))
            self._known[key] = tuple(found)
        return self._known[key]

    def failing_whatever(self) -> tuple[Limit, ...]:
        """The failing checks that the varied input and the others have no part in."""
        found = []
        for use in margin_uses(self.frame.spec, self.base):
            if self.changing.isdisjoint(use.names):
                judged = _by_law(use)
                if judged.margin(FLOATS, self.base) < -ROUNDING:
                    found.append(judged.limit)
        if "rib.height" not in self.changing and rib_fit(self.base, self.room)[0] < -ROUNDING:
            found.append(_FITS)
        for number in range(1, self.frame.disc_count + 1):
            name = f"disc-{number}.radius"
            if name not in self.changing:
                judged = _beside(number, partial(_disc_margin, name, self.room))
                if judged.margin(FLOATS, self.base) < -ROUNDING:
                    found.append(judged.limit)
        return tuple(dict.fromkeys(found))

    def proved(self, low: float, high: float) -> bool:
        """Whether every check is proved to hold for each value from low to high.

        The checks that `failing_whatever` looks at are not looked at again.
        """
        size = 1 + len(self.others)
        namespace = _Noting()
        try:
            values = self._values(namespace, Band(low, high, _slope(0, size)))
            ends = (self._end(low), self._end(high))
        except NO_VALUE:
            return False
        if self.program.instructions and not self._exists(values, ends):
            return False
        bands = enumerate(self.others, 1)
        self._move(
            values,
            tuple(Band(-item.tolerance, item.tolerance, _slope(n, size)) for n, item in bands),
        )
        # Discs whose spacing is never below zero keep their order, so one end's order is enough.
        sample = dict(ends[0])
        for number in range(1, self.frame.disc_count + 1):
            name = f"disc-{number}.bore_radius"
            sample[name] = _high(values[name])
        for judged in self._judged(sample):
            for version in _versions(judged, values, namespace):
                exact = version is values
                if not self._holds(judged.margin, version, ends if exact else None):
                    return False
        if "rib.height" not in self.changing:
            return True
        turns = {0.0, 90.0, *(rib_fit(end, self.room)[1] for end in ends)}
        return any(
            self._holds(partial(_rib_margin, degrees, self.room), values, ends)
            for degrees in sorted(turns)
        )

    def _end(self, x: float) -> Values:
        if x not in self._ends:
            self._ends[x] = self._values(FLOATS, x)
        return self._ends[x]

    def _exists(self, values: Values, ends: tuple[Values, Values]) -> bool:
        """Whether the frame is proved to exist over the whole interval."""
        margins = domain_margins(BANDS, values, self.guarded)
        at_ends = [domain_margins(FLOATS, end, self.guarded) for end in ends]
        for name, margin in margins.items():
            if not isinstance(margin, Band) or margin.low > 0:
                continue
            side = _lesser_end(margin.slopes[0])
            if side is None or not at_ends[side][name] > 0:
                return False
        return True

    def _holds(self, margin: Margin, values: Values, ends: tuple[Values, Values] | None) -> bool:
        """Whether a margin is proved not to be below zero; without `ends` by its band alone."""
        found = margin(BANDS, values)
        if _low(found) >= -ROUNDING:
            return True
        if ends is None or not isinstance(found, Band):
            return False
        side = _lesser_end(found.slopes[0])
        if side is None:
            return False
        corner = dict(ends[side])
        moves: list[Any] = []
        for item, slope in zip(self.others, found.slopes[1:], strict=True):
            least = _lesser_end(slope)
            whole = Band(-item.tolerance, item.tolerance, ())
            moves.append(whole if least is None else (-item.tolerance, item.tolerance)[least])
        self._move(corner, tuple(moves))
        return _low(margin(BANDS, corner)) >= -ROUNDING


_FITS = Limit("check", "fits-stock", "ribs", "what a rib leaves of the sheet")


def _by_law(use: MarginUse) -> _Judged:
    function, names = use.form.function, use.names

    def margin(m: Any, values: Mapping[str, Any]) -> Any:
        return function(m, *[values[name] for name in names])

    bore = next((name for name in names if name.endswith(".bore_radius")), None)
    return _Judged(Limit("check", use.code, use.about, WORDS[use.law]), margin, bore)


def _beside(number: int, margin: Margin) -> _Judged:
    words = "what the disc leaves of the sheet"
    return _Judged(Limit("check", "fits-stock", f"disc-{number}", words), margin, None)


def _disc_margin(name: str, room: tuple[float, float], m: Any, values: Mapping[str, Any]) -> Any:
    return disc_room(values[name], room)


def _rib_margin(
    degrees: float, room: tuple[float, float], m: Any, values: Mapping[str, Any]
) -> Any:
    return rib_room(m, values, room, degrees)


class _Noting(SimpleNamespace):
    """The functions on bands; a choice that is open over the band is noted with both its sides."""

    def __init__(self) -> None:
        super().__init__(**{name: f for name, f in vars(BANDS).items() if name != "choose"})
        self.open: dict[int, tuple[Band, Any, Any]] = {}

    def choose(self, test: Any, first: Any, second: Any) -> Any:
        """The first where the test is not negative, the hull of both where that is not certain."""
        result = BANDS.choose(test, first, second)
        if isinstance(test, Band) and test.low < 0 <= test.high:
            self.open[id(result)] = (result, first, second)
        return result


def _versions(judged: _Judged, values: Values, noted: _Noting) -> list[Values]:
    """The values, or, where it is open whether a disc has a bore, those with the bore it may have.

    A disc without a bore has no check of it.
    """
    if judged.bore is None or id(values[judged.bore]) not in noted.open:
        return [values]
    _, *sides = noted.open[id(values[judged.bore])]
    return [{**values, judged.bore: side} for side in sides if _high(side) > 0]


def _slope(place: int, size: int) -> tuple[Interval, ...]:
    return tuple((1.0, 1.0) if n == place else (0.0, 0.0) for n in range(size))


def _lesser_end(slope: Interval) -> int | None:
    """At which end a function with such slopes is least, None when that is not certain."""
    return 0 if slope[0] >= 0 else 1 if slope[1] <= 0 else None


def _low(x: Any) -> float:
    return float(x.low if isinstance(x, Band) else x)


def _high(x: Any) -> float:
    return float(x.high if isinstance(x, Band) else x)
