"""Whether a frame's checks hold at a value of one input, and, proved, over an interval of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any, NamedTuple

from framekit.analysis.inputs import domain_margins, frame_values, images_of, program_of
from framekit.analysis.model import Limit
from framekit.bodies.model import Skin
from framekit.constraints.feasibility import (
    Family,
    Margin,
    Stretch,
    Values,
    high_of,
    low_of,
)
from framekit.constraints.law import NO_VALUE
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.uncertainty import Toleranced
from framekit.errors import SolveError
from framekit.solution.checks import ROUNDING
from framekit.solution.domain import not_finite
from framekit.solution.fitting import (
    RIB_REACHES,
    disc_room,
    rib_fit,
    rib_room,
    room_of,
    round_parts,
)
from framekit.solution.limits import RIB_WIDTHS, limit_values
from framekit.solution.margins_in_force import margin_uses
from framekit.solution.model import FrameSolution, MarginUse
from framekit.solution.symbols import described

RIB_EXTENTS = ("rib.height", *RIB_REACHES)
"""What decides whether a rib goes on the sheet."""
LIMITING = ("sheet.thickness", "disc_sheet.thickness", "cutter.kerf")
"""What limits are counted in, beside the ribs' widths."""


class _CheckMargin(NamedTuple):
    """A margin and whose it is; `bore` is the bore without which the disc has no such check."""

    limit: Limit
    margin: Margin
    bore: str | None = None


class Feasibility:
    """A frame whose input `varied` takes other values, and `others` any within their tolerances.

    `varied` is a name of the laws: `made.thickness` is the sheet under an unchanged file.
    """

    def __init__(
        self, frame: FrameSolution, varied: str, others: tuple[Toleranced, ...] = ()
    ) -> None:
        """Find what follows the varied input; raises SolveError as `inputs.affected_steps`."""
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
        self.restricted = tuple(
            domain_margins(FLOATS, frame.structure, self.base, frame.quantities)
        )
        self.skin = frame.structure.skin
        self.room = room_of(frame.spec)
        fits = Limit("check", "fits-stock", "ribs", "what a rib leaves of the sheet")
        self.ribs = _CheckMargin(fits, lambda _, values: rib_fit(self.skin, values, self.room)[0])
        disc_stock = room_of(frame.spec, discs=True)
        self.rounds = {
            name: _beside(a, name, disc_stock) for a, name in round_parts(frame.structure)
        }
        self._by_pattern: dict[Any, tuple[_CheckMargin, ...]] = {}
        self._hardest: _CheckMargin | None = None

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
        if not self.changing.isdisjoint(RIB_EXTENTS):
            found.append((self.ribs.margin(FLOATS, values), self.ribs.limit))
        checks = self._margins_at(values)
        for _ in self.family.corners(values):
            found += [(margin(FLOATS, values), limit) for limit, margin, _ in checks]
        return found

    def _fault(self, values: Values) -> Limit | None:
        """Why there is no such frame; None when there is."""
        structure = self.frame.structure
        for name, margin in domain_margins(FLOATS, structure, values, self.restricted).items():
            row = described(name)
            fault = not_finite(name, values[name], structure)
            if fault is None and row.domain is not None and not margin > 0:
                fault = row.domain.fault(name, row.words, values, structure)
            if fault is not None:
                return Limit("frame", fault.code, name.partition(".")[0], fault.message)
        return None

    def _margins_at(self, values: Mapping[str, Any]) -> tuple[_CheckMargin, ...]:
        """The margins that change with what varies, for the order and bores of these discs."""
        discs = range(1, self.frame.disc_count + 1)
        key: Any = None
        if self._solved or self.varied not in self._made:
            key = (
                tuple(sorted(discs, key=lambda n: (values[f"disc-{n}.height"], n))),
                tuple(n for n in discs if values[f"disc-{n}.bore_radius"] > 0),
            )
        if key not in self._by_pattern:
            uses = self.uses if key is None else margin_uses(self.frame.structure, values)
            # A pair that only became neighbours counts though neither of the two has moved.
            new = set(uses) - set(self.uses)
            found = [
                _by_law(use)
                for use in uses
                if use in new or not self.changing.isdisjoint(use.names)
            ]
            found += [check for name, check in self.rounds.items() if name in self.changing]
            self._by_pattern[key] = tuple(found)
        return self._by_pattern[key]

    def failing_regardless(self) -> tuple[Limit, ...]:
        """The failing checks that the varied input and the others have no part in."""
        fixed = [_by_law(use) for use in self.uses if self.changing.isdisjoint(use.names)]
        fixed += [check for name, check in self.rounds.items() if name not in self.changing]
        if self.changing.isdisjoint(RIB_EXTENTS):
            fixed.append(self.ribs)
        failing = (check.limit for check in fixed if check.margin(FLOATS, self.base) < -ROUNDING)
        return tuple(dict.fromkeys(failing))

    def proved(self, low: float, high: float) -> bool:
        """Whether every check is proved to hold for each value from low to high.

        The checks that `failing_regardless` looks at are not looked at again.
        """
        structure = self.frame.structure

        def existence(m: Any, values: Mapping[str, Any]) -> dict[str, Any]:
            return domain_margins(m, structure, values, self.restricted)

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
        # The margin that failed over the last interval is check first.
        for check in sorted(self._margins_at(sample), key=lambda j: j is not self._hardest):
            if not _holds(check, stretch):
                self._hardest = check
                return False
        if self.changing.isdisjoint(RIB_EXTENTS):
            return True
        turns = {0.0, 90.0, *(rib_fit(self.skin, end, self.room)[1] for end in stretch.ends)}
        return any(
            stretch.holds(partial(_turned_room, self.skin, self.room, degrees), -ROUNDING)
            for degrees in sorted(turns)
        )


def _by_law(use: MarginUse) -> _CheckMargin:
    function, names = use.form.function, use.names

    def margin(m: Any, values: Mapping[str, Any]) -> Any:
        return function(m, *[values[name] for name in names])

    bore = next((name for name in names if name.endswith(".bore_radius")), None)
    return _CheckMargin(Limit("check", use.code, use.about, use.words), margin, bore)


def _beside(about: str, name: str, room: tuple[float, float]) -> _CheckMargin:
    """What a disc or flange, whose radius has that name, leaves of its stock."""
    words = f"what the {about.partition('-')[0]} leaves of the sheet"
    limit = Limit("check", "fits-stock", about, words)
    return _CheckMargin(limit, lambda _, values: disc_room(values[name], room))


def _turned_room(
    skin: Skin, room: tuple[float, float], degrees: float, m: Any, values: Mapping[str, Any]
) -> Any:
    return rib_room(m, skin, values, room, degrees)


def _holds(check: _CheckMargin, stretch: Stretch) -> bool:
    """Whether a check is proved to hold; a disc without a bore has no check of it.

    Where it is open whether there is a bore, it must hold with the bore that there may be.
    """
    values, bore = stretch.values, check.bore
    if bore is None or id(values[bore]) not in stretch.open:
        return stretch.holds(check.margin, -ROUNDING)
    choice = stretch.open[id(values[bore])]
    return all(
        low_of(check.margin(INTERVALS, {**values, bore: side})) >= -ROUNDING
        for side in (choice.first, choice.second)
        if high_of(side) > 0
    )
