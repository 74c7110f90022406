"""Whether a frame's checks hold at a value of one input, and, proved, over an interval of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any, Literal, NamedTuple

from framekit.analysis.inputs import domain_margins, frame_values, images_of, program_of
from framekit.bodies.model import Skin
from framekit.constraints.feasibility import (
    NO_VALUE,
    Family,
    Margin,
    Stretch,
    Values,
    high_of,
    low_of,
)
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

LIMITING = ("sheet.thickness", "disc_sheet.thickness", "cutter.kerf")
"""What limits are counted in, beside the ribs' widths."""


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

    `varied` is a name of the laws: `made.thickness` is the sheet under an unchanged file.
    """

    def __init__(
        self, frame: FrameSolution, varied: str, others: tuple[Toleranced, ...] = ()
    ) -> None:
        """Find what follows the varied input; raises SolveError as `inputs.following`."""
        self.frame = frame
        self.varied = varied
        self._made = made = {item.made: item.quantity for item in frame.toleranced}
        images = images_of(frame, varied)
        program = program_of(frame, () if varied in made else (varied, *images))
        base = frame_values(frame)
        limits = limit_values(FLOATS, frame.structure, base)
        self.base: Values = {**base, **limits}
        self.family = Family(self.base, (varied, *images), program, others, self._after)
        self._solved = bool(program.instructions)
        names = {varied, *images, *program.names[program.inputs :]}
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
        self._hardest: _Judged | None = None

    def _after(self, m: Any, values: Values) -> Values:
        """What follows the solved quantities: what is made, as drawn, and the limits."""
        made = {item: values[quantity] for item, quantity in self._made.items()}
        return {**made, **limit_values(m, self.frame.structure, {**values, **made})}

    def margins(self, x: float) -> list[tuple[float, Limit]] | Limit:
        """Every margin in mm at a value and whose it is, or why there is no such frame.

        The others lie in each corner of their tolerances in turn.
        """
        try:
            values = self.family.values(FLOATS, x)
        except SolveError as error:
            return Limit("frame", error.code, self.varied, f"at {x:.6g} {error.faults[0].message}")
        except NO_VALUE:
            words = f"at {x:.6g} a length has no value"
            return Limit("frame", "no-solution", self.varied, words)
        fault = self._fault(values) if self._solved else None
        if fault is not None:
            return fault
        found: list[tuple[float, Limit]] = []
        if "rib.height" in self.changing:
            found.append((rib_fit(self.skin, values, self.room)[0], _FITS))
        judged = self._judged(values)
        for _ in self.family.corners(values):
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
        if self._solved or self.varied not in self._made:
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
        structure = self.frame.structure

        def existence(m: Any, values: Mapping[str, Any]) -> dict[str, Any]:
            return domain_margins(m, structure, values, self.guarded)

        try:
            stretch = self.family.over(low, high)
        except NO_VALUE:
            return False
        if self._solved and not stretch.exceeds(existence, 0.0):
            return False
        # Discs whose spacing is never below zero keep their order, so one end's order is enough.
        sample = dict(stretch.ends[0])
        for number in range(1, self.frame.disc_count + 1):
            name = f"disc-{number}.bore_radius"
            sample[name] = high_of(stretch.values[name])
        # What stood in the way of the last interval is looked at first.
        for judged in sorted(self._judged(sample), key=lambda j: j is not self._hardest):
            if not _holds(judged, stretch):
                self._hardest = judged
                return False
        if "rib.height" not in self.changing:
            return True
        turns = {0.0, 90.0, *(rib_fit(self.skin, end, self.room)[1] for end in stretch.ends)}
        return any(
            stretch.holds(partial(_rib_margin, self.skin, degrees, self.room), -ROUNDING)
            for degrees in sorted(turns)
        )


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


def _holds(judged: _Judged, stretch: Stretch) -> bool:
    """Whether a check is proved to hold; a disc without a bore has no check of it.

    Where it is open whether there is a bore, it must hold with the bore that there may be.
    """
    values, bore = stretch.values, judged.bore
    if bore is None or id(values[bore]) not in stretch.open:
        return stretch.holds(judged.margin, -ROUNDING)
    choice = stretch.open[id(values[bore])]
    return all(
        low_of(judged.margin(INTERVALS, {**values, bore: side})) >= -ROUNDING
        for side in (choice.first, choice.second)
        if high_of(side) > 0
    )
