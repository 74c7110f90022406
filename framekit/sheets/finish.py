"""Placed parts → finished sheets: labels, bridges, runs in order, lengths and times."""

from __future__ import annotations

from framekit.geometry import path as geometry
from framekit.parts.model import Part, Parts
from framekit.sheets.estimate import pace_of, tally
from framekit.sheets.labels import LabelRooms, label_texts, place_fitting_label
from framekit.sheets.model import Placement, Run, Sheet
from framekit.sheets.protocol import Place, Point
from framekit.sheets.route.bridges import BridgePlan, bridge_plan, part_bridges
from framekit.sheets.route.runs import all_paths
from framekit.sheets.stock.supply import Board


class Finish:
    """Finishes the sheets of some parts; labels and bridges are found once for equal parts."""

    def __init__(self, parts: Parts) -> None:
        """Read the speeds and the bridges that the frames' specs ask for."""
        spec = parts.solution.spec
        self.pace = pace_of(parts.frames[0].solution.spec.cutter.speed)
        self.set_id = None if spec.plan is None else spec.id
        self.rooms: LabelRooms = {}
        self.plans = {f.solution.spec.id: bridge_plan(f) for f in parts.frames}
        self.bridges: dict[
            tuple[geometry.Outline, tuple[geometry.Path, ...], BridgePlan],
            tuple[tuple[Point, ...], ...],
        ] = {}

    @property
    def gap(self) -> float:
        """The gap in mm that bridges leave in a cut; 0 without them."""
        return max((plan.gap for plan in self.plans.values() if plan is not None), default=0.0)

    def placement(self, part: Part, place: Place) -> Placement:
        """The part at its place with its label and its bridges."""
        keep_clear = (*part.marks, *part.crossings)
        texts = label_texts(self.set_id, part.frame, part.id)
        label = place_fitting_label(texts, part.outline, keep_clear, self.rooms)
        return Placement(part, place.x, place.y, place.rotation, label, self._bridges(part))

    def _bridges(self, part: Part) -> tuple[tuple[Point, ...], ...]:
        plan = self.plans[part.frame]
        if plan is None:
            return ()
        key = (part.outline, part.crossings, plan)
        if key not in self.bridges:
            self.bridges[key] = part_bridges(part, plan)
        return self.bridges[key]

    def sheet(
        self,
        name: str,
        stock: tuple[str, float],
        board: Board,
        margin: float,
        placements: tuple[Placement, ...],
        runs: tuple[Run, ...],
    ) -> Sheet:
        """The sheet of this name with placed parts; stock is a material and a thickness in mm."""
        bounds = [p.outline.outer.bounds for p in placements]
        sums = tally(all_paths(placements, runs, self.gap), self.pace)
        return Sheet(
            id=name,
            width=board.width,
            height=board.height,
            placements=placements,
            used_length=max(b[2] for b in bounds) + margin,
            used_width=max(b[3] for b in bounds) + margin,
            cut_length=sums.cut,
            seconds=sums.seconds,
            material=stock[0],
            thickness=stock[1],
            price=board.price,
            outline=board.outline,
            area=board.area,
            runs=runs,
            gap=self.gap,
            pierces=sums.pierces,
            mark_length=sums.mark,
            travel=sums.travel,
        )
