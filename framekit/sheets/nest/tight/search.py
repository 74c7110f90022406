"""Sheets made denser by a search on strips, each for so many seconds; never worse than they were.

The search knows no sheets, only strips. A layout of one sheet is laid anew on a strip. Of several
sheets, each but the last gets more of the last one's parts at a target density, which falls where
the search does not reach it; equal sheets are laid once and repeated. What is left on the last
sheet is then laid as short as it goes.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from framekit.sheets.nest.compaction import Spot, used_right
from framekit.sheets.nest.quick.packing import ROUNDING, Packer
from framekit.sheets.nest.shapes import SearchShape, turned
from framekit.sheets.nest.tight.engine import Report, Strip, StripKind, run_strip
from framekit.sheets.protocol import NestProgress, Point, Progress

Spots = list[Spot]
Layouts = list[Spots]

SLACK = 0.003
"""Spacing in mm beyond the job's: the search counts in single precision."""
OUTWARD = 0.02
"""How far in mm an outline may be simplified outward for the search."""
LAST_SHARE = 0.25
"""The share of the time for the last of several sheets."""
ATTEMPTS = 2
"""How many times the rest of the time may serve each group of equal sheets."""
FIRST_STEP = 0.06
"""By how much of itself a sheet's density is to rise at first."""
LEAST_STEP = 0.004
SQUEEZING = 0.5
"""Seconds kept for the last squeeze and the check."""
OVERLONG = 0.05
"""A layout too long by this share of the room's length may be squeezed to fit."""
MOVES = 6
"""Parts added or exchanged in one attempt."""
SEED = 1
RUN = 10.0
"""Seconds of one search for the shortest strip: two short ones, each squeezed, beat a long one."""


@dataclass
class Clock:
    """The seconds a search may take, counted from when it is made."""

    seconds: float
    started: float = field(default_factory=time.monotonic)

    @property
    def spent(self) -> float:
        """Seconds gone by."""
        return time.monotonic() - self.started

    @property
    def left(self) -> float:
        """Seconds left, never negative."""
        return max(0.0, self.seconds - self.spent)


@dataclass
class Tightener:
    """The sheets of a layout as they get denser; `sheets` is legal at every moment.

    `notes` says in words what went wrong, `searched` whether there was time for any search.
    """

    packer: Packer
    spacing: float
    sheets: Layouts
    clock: Clock
    report: Progress
    notes: list[str] = field(default_factory=list)
    searched: bool = False
    _outlines: dict[int, StripKind] = field(default_factory=dict)

    def run(self) -> None:
        """Make the sheets denser until the time is up; KeyboardInterrupt leaves the best."""
        if len(self.sheets) > 1:
            self._fill(self.clock.left * LAST_SHARE)
        last = self._last
        wanted = [s.shape for s in self.sheets[last]]
        runs = max(1, round(self.clock.left / RUN))
        for number in range(runs):
            shorter = self._search(
                wanted, self.clock.left / (runs - number), last, self._put(last), seed=SEED + number
            )
            if shorter is not None:
                self._put(last)(shorter)

    @property
    def _last(self) -> int:
        """The sheet with the least length used."""
        return min(range(len(self.sheets)), key=lambda i: (self._right(self.sheets[i]), -i))

    def _put(self, number: int) -> Callable[[Spots], None]:
        def keep(spots: Spots) -> None:
            if self._right(spots) < self._right(self.sheets[number]):
                self._replace([number], spots)

        return keep

    def _replace(self, numbers: list[int], spots: Spots) -> None:
        self.sheets = [spots if i in numbers else old for i, old in enumerate(self.sheets)]

    def _right(self, spots: Spots) -> float:
        return used_right(spots, self.packer.fine)

    # --- several sheets

    def _fill(self, reserve: float) -> None:
        """Move parts of the last sheet to the others until only `reserve` seconds are left."""
        steps: dict[frozenset[tuple[int, int]], float] = {}
        each: float | None = None
        while len(self.sheets) > 1:
            last = self._last
            groups: dict[frozenset[tuple[int, int]], list[int]] = {}
            for i, spots in enumerate(self.sheets):
                if i != last:
                    kinds = frozenset(Counter(s.shape for s in spots).items())
                    groups.setdefault(kinds, []).append(i)
            if each is None:
                each = max(2.0, (self.clock.left - reserve) / (ATTEMPTS * len(groups)))
            tried = False
            for kinds, numbers in sorted(groups.items(), key=lambda g: self._area(g[1][0])):
                step = steps.get(kinds, FIRST_STEP)
                if step < LEAST_STEP or self.clock.left - reserve < 1.0:
                    continue
                wanted, rest = self._moved(numbers, last, step)
                if wanted is None:
                    steps[kinds] = step / 2
                    tried = True
                    continue
                seconds = min(each, self.clock.left - reserve)
                found = self._search(wanted, seconds, numbers[0], None, goal=True)
                tried = True
                if found is None or not self._take(numbers, found, last, rest):
                    steps[kinds] = step / 2
                    continue
                grown = frozenset(Counter(wanted).items())
                steps[grown] = step if step == FIRST_STEP else step / 2
                break
            if not tried:
                return

    def _area(self, number: int) -> float:
        return sum(self.packer.fine[s.shape].solid for s in self.sheets[number])

    def _take(self, numbers: list[int], found: Spots, last: int, rest: Counter[int]) -> bool:
        """Put the found sheet in the place of equal ones, and leave only `rest` on the last.

        False, and nothing changed, where that rest finds no place.
        """
        kept: Spots = []
        counts = Counter(rest)
        for spot in self.sheets[last]:
            if counts[spot.shape] > 0:
                counts[spot.shape] -= 1
                kept.append(spot)
        missing = list(counts.elements())
        if missing:  # parts that were exchanged the other way must find a place again
            laid = self.packer.pack(list(rest.elements()), lambda *_: None)
            if laid is None:
                return False
            kept = laid
        sheets = [found if i in numbers else spots for i, spots in enumerate(self.sheets)]
        sheets[last : last + 1] = [kept] if kept else []
        self.sheets = sheets  # at once: the user may end the search at any moment
        return True

    def _moved(
        self, numbers: list[int], last: int, step: float
    ) -> tuple[list[int] | None, Counter[int]]:
        """What each of the equal sheets is to hold when its area grows by the share `step`."""
        times = len(numbers)
        now = Counter(s.shape for s in self.sheets[numbers[0]])
        rest = Counter(s.shape for s in self.sheets[last])
        area = {k: self.packer.fine[k].solid for k in {*now, *rest}}
        room = step * sum(area[k] * count for k, count in now.items())
        changed = False
        for _ in range(MOVES):
            spare = [k for k, count in rest.items() if count >= times]
            moves = [(area[k], k, -1) for k in spare]
            moves += [(area[k] - area[j], k, j) for k in spare for j, n in now.items() if n]
            fitting = [move for move in moves if 1e-6 < move[0] <= room]
            if not fitting:
                break
            gain, new, old = max(fitting, key=lambda m: (m[0], m[2] < 0, m[1:]))
            now[new] += 1
            rest[new] -= times
            if old >= 0:
                now[old] -= 1
                rest[old] += times
            room -= gain
            changed = True
        return (sorted((+now).elements()) if changed else None), +rest

    # --- one strip

    def _search(
        self,
        wanted: list[int],
        seconds: float,
        number: int,
        keep: Callable[[Spots], None] | None,
        goal: bool = False,
        seed: int = SEED,
    ) -> Spots | None:
        """The shortest legal layout of the wanted shapes found in `seconds`, None for none.

        With `goal` the first one that fits the room ends the search. `keep` gets each better one.
        One that is a little too long may still be squeezed into the room.
        """
        whole = max(1, math.floor(seconds - SQUEEZING))
        end = self.packer.margin + self.packer.size[0] + ROUNDING
        if seconds < SQUEEZING or not wanted:
            return None
        self.searched = True
        beyond = OVERLONG * self.packer.size[0]
        best: Spots | None = None
        what = f"sheet {number + 1} of {len(self.sheets)}"

        def receive(reports: list[Report]) -> bool:
            nonlocal best
            for report in sorted(reports, key=lambda r: r.length):
                shortest = end + beyond if best is None else self._right(best)
                if report.length - 2 * self.spacing > shortest - self.packer.margin + 1.0:
                    break
                spots = self._fitted(list(report.spots))
                if self._right(spots) >= shortest:
                    break
                if self.packer.is_legal(spots, beyond):
                    best = spots
                    if keep is not None and self._right(spots) <= end:
                        keep(spots)
                    break
            self._report_length(what, best)
            return goal and best is not None and self._right(best) <= end

        failure = run_strip(self._strip(wanted), whole, seed, receive)
        if failure is not None and failure not in self.notes:
            self.notes.append(failure)
        if best is None:
            return None
        if not goal or self._right(best) > end:
            squeezed = self.packer.squeezed(best)
            if self._right(squeezed) < self._right(best):
                best = squeezed
        return best if self._right(best) <= end else None

    def _report_length(self, what: str, best: Spots | None) -> None:
        length = None if best is None else self._right(best) + self.packer.margin
        total = max(1, math.ceil(self.clock.seconds))
        self.report(NestProgress(min(total, int(self.clock.spent)), total, length, what))

    def _fitted(self, spots: Spots) -> Spots:
        """The spots with the leftmost part at the margin and none out of the sheet by rounding."""
        packer = self.packer
        boxes = np.array(
            [np.add(packer.fine[s.shape].extent(s.angle), (s.x, s.y, s.x, s.y)) for s in spots]
        )
        left = boxes[:, 0].min() - packer.margin
        low, high = boxes[:, 1].min(), boxes[:, 3].max()
        top = packer.margin + packer.size[1]
        shift = low - packer.margin
        if high - shift > top:  # shared out, then each part is put back by what rounding took
            shift = (low + high) / 2 - (packer.margin + packer.size[1] / 2)
        fitted = []
        for spot, (_, y0, _, y1) in zip(spots, boxes - np.array([left, shift] * 2), strict=True):
            back = min(max(0.0, packer.margin - y0), SLACK) - min(max(0.0, y1 - top), SLACK)
            fitted.append(replace(spot, x=spot.x - float(left), y=spot.y - float(shift - back)))
        return fitted

    def _strip(self, wanted: list[int]) -> Strip:
        spacing = self.spacing + SLACK
        kinds = []
        for shape, copies in sorted(Counter(wanted).items()):
            if shape not in self._outlines:
                self._outlines[shape] = self._kind(shape)
            kinds.append(replace(self._outlines[shape], copies=copies))
        # the search keeps the spacing to the strip's edges too, and wants a hair of play
        height = self.packer.size[1] + 2 * spacing + SLACK / 2
        return Strip(tuple(kinds), height, spacing)

    def _kind(self, number: int) -> StripKind:
        shape = self.packer.fine[number]
        outline = outline_around(shape, self.spacing)
        return StripKind(number, outline, 1, self._turns(number))

    def _turns(self, number: int) -> tuple[float, ...] | None:
        """Any turn for a shape that fits its sheet however it is turned, else the known ones."""
        shape = self.packer.fine[number]
        if shape.round:
            return (0.0,)
        rim = shape.exact
        widest = max(float(np.ptp(turned(rim, angle), axis=0).max()) for angle in range(0, 90, 5))
        return None if widest < min(self.packer.size) else self.packer.turns[number]


def outline_around(shape: SearchShape, spacing: float) -> tuple[Point, ...]:
    """A simple outline in mm with fewer corners that holds the shape's exact outline.

    Slots that no other part can use at this spacing are closed: growing by the spacing and
    shrinking again leaves what a neighbour may reach as it was. Elsewhere it lies at most
    `OUTWARD` mm outside.
    """
    exact = Polygon(shape.exact).buffer(0)
    closed = exact
    if spacing > 0:
        closed = exact.buffer(spacing, quad_segs=32).buffer(-spacing, quad_segs=32)
    solid = shapely.union(closed, exact)
    for share in (0.5, 0.25):
        grown = solid.buffer(OUTWARD * share, join_style="mitre", mitre_limit=1.5)
        few = shapely.simplify(grown, OUTWARD * share)
        if isinstance(few, Polygon) and few.is_valid and Polygon(few.exterior).covers(exact):
            return tuple((float(x), float(y)) for x, y in few.exterior.coords[:-1])
    return tuple((float(x), float(y)) for x, y in shape.exact)
