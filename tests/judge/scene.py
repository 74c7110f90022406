"""A frame put together from its files alone, at a corner of the tolerances."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from judge.cut_files import SAME, Array, CutSheet, read_dxf, read_svg
from judge.pieces import Corner, CutPart, cut_parts, in_own_plane, made, path_polygon
from judge.plates import Plate
from judge.told import Told, Values, told_by


@dataclass(frozen=True)
class Place:
    """What the judge takes of a part from the result document: its kind, pose and place."""

    kind: str
    pose: Array
    sheet: int
    spot: tuple[float, float, float]
    """x and y in mm and the turn in degrees: no cut file says which way up a part lies."""


def _alike(one: Any, other: Any) -> bool:
    """Whether two outlines are one and the same within the rounding of files and turns."""
    if max(abs(a - b) for a, b in zip(one.bounds, other.bounds, strict=True)) > 2 * SAME:
        return False
    return one.equals_exact(other, SAME) or one.hausdorff_distance(other) < 2 * SAME


@dataclass
class Case:
    """The files of one frame, both formats, the poses, and the spec that they were made from."""

    told: Told
    svg: list[CutSheet]
    dxf: list[CutSheet]
    places: dict[str, Place]
    cuts: dict[str, CutPart] = field(default_factory=dict)
    paths: dict[str, Any] = field(default_factory=dict)
    """The polygon of each part's paths in its own plane; equal ones are one object."""

    joints: dict[Corner, Any] = field(default_factory=dict)
    """What was measured of the joints at a corner, for the clauses that ask for more of it."""
    parts_by_sheet: list[list[CutPart]] = field(default_factory=list)

    def __post_init__(self) -> None:
        for number, sheet in enumerate(self.svg):
            self.parts_by_sheet.append(cut_parts(number, sheet))
        for cut in (cut for sheet in self.parts_by_sheet for cut in sheet):
            self.cuts.setdefault(cut.id, cut)
        known: dict[str, list[Any]] = {}
        for name, cut in self.cuts.items():
            if name not in self.places or not cut.outside:
                continue
            place = self.places[name]
            shape = in_own_plane(path_polygon(cut), *place.spot).normalize()
            alike = known.setdefault(place.kind, [])
            for other in alike:
                if _alike(shape, other):
                    shape = other
                    break
            else:
                alike.append(shape)
            self.paths[name] = shape
        self._made: dict[Any, Any] = {}

    def made(self, name: str, corner: Corner, less: float = 0.0) -> Any:
        """The part cut at a corner, each edge taken back by `less` mm."""
        path, kind = self.paths[name], self.places[name].kind
        key = (id(path), corner.kerf, less)
        if key not in self._made:
            self._made[key] = made(path, self.told, kind, corner, less)
        return self._made[key]

    def plates(self, corner: Corner, less: float = 0.0, joint: bool = False) -> list[Plate]:
        """All parts in their places; with `joint` as thick as their slots have to take them.

        A slot that comes out narrower by its clearance's ± meets a sheet as it would meet a
        thicker one; a soft sheet gives way by its least gap.
        """
        found = []
        for name, place in self.places.items():
            if name not in self.paths:
                continue
            thick = self.told.sheets[place.kind].at(corner.sheet) - 2 * less
            if place.kind == "stand":
                # The outer layer moves out by all that the others grow.
                layers = int((self.told.spec["stand"] or {}).get("layers", 1))
                thick += 2 * (layers - 1) * corner.sheet * self.told.sheets["stand"].off / 2
            if joint:
                thick -= corner.slots * self.told.clearances[place.kind].off
                thick -= max(0.0, -self.told.materials[place.kind].least_gap)
            shape = self.made(name, corner, less)
            found.append(Plate(name, place.kind, shape, max(0.05, thick), place.pose))
        return found


def case_of(
    spec: Values,
    svg: tuple[tuple[str, bytes], ...],
    dxf: tuple[tuple[str, bytes], ...],
    document: dict[str, Any],
) -> Case:
    """Return the case of a frame's files; of the document kinds, poses and places are read."""
    (frame,) = document["frames"]
    kinds = {p["id"]: (p["kind"], np.array(p["pose"])) for p in frame["parts"]}
    places = {}
    for number, sheet in enumerate(document["sheets"]):
        for spot in sheet["placements"]:
            where = (spot["x"], spot["y"], spot["rotation"])
            places[spot["part"]] = Place(*kinds[spot["part"]], number, where)
    return Case(
        told_by(spec),
        [read_svg(*file) for file in svg],
        [read_dxf(*file) for file in dxf],
        places,
    )
