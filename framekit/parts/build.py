"""Solution → Parts: exact finished outlines, each with its pose in space."""

from __future__ import annotations

from collections.abc import Callable

from framekit.constraints.namespaces import FLOATS
from framekit.errors import Where
from framekit.geometry.path import Outline, Path, rectangle
from framekit.parts.model import FrameParts, Part, Parts, Pose, kerf_name
from framekit.parts.shape.disc import (
    longitude_marks,
    mortised_disc,
    plain_disc,
    slotted_disc,
)
from framekit.parts.shape.poses import level, upright
from framekit.parts.shape.rib import Ends, Notch, OuterNotch, rib_outline
from framekit.parts.shape.sector import Sector
from framekit.solution.givens import rings_of
from framekit.solution.limits import lead_in_of, limit_values
from framekit.solution.meridian import meridian_of
from framekit.solution.model import FrameSolution, Solution
from framekit.solution.relations import PlacedDisc, Renaming
from framekit.spec.model import FrameSpec

SAME = 1e-9
"""mm within which two widths are one."""


def make_parts(solution: Solution) -> Parts:
    """The parts of every frame, ribs first, then discs in the order of the spec, then flanges.

    Raises GeometryError when a failed check leaves no outline to draw.
    """
    return Parts(solution, tuple(_frame_parts(frame) for frame in solution.frames))


def _frame_parts(solution: FrameSolution) -> FrameParts:
    maker = _Maker(solution)
    parts = (*maker.ribs(), *maker.discs(), *maker.flanges())
    spec = solution.spec
    if spec.stand is None and spec.hang is None:
        return FrameParts(solution, parts)
    # Few frames have a stand, and a check of the others must start fast.
    from framekit.parts.display.build import displayed

    return displayed(solution, parts)


class _Maker:
    """Makes the parts of one frame from its solution."""

    def __init__(self, solution: FrameSolution) -> None:
        self.solution = solution
        self.spec: FrameSpec = solution.spec
        self.value: Callable[[str], float] = solution.value
        self.angles = solution.longitudes
        self.structure = solution.structure
        self.placed = self.structure.discs
        two = self.spec.disc_sheet is not None
        self.notch_width = self.value("joint.notch_width" if two else "joint.slot_width")
        self.disc_thickness = self.value(self.structure.disc_thickness)
        self.lead_in = lead_in_of(self.spec)
        tool = self.value("cutter.kerf") / 2
        self.relief = tool if self.structure.is_relieved else 0.0
        self.slot_relief = tool if self.structure.relieves_slots else 0.0

    def of(self, head: str) -> Callable[[str], float]:
        """The values under the names that laws use, `disc.` and `flange.` meaning one of them."""

        def value(name: str) -> float:
            kind, _, rest = name.partition(".")
            if name == "joint.notch_width":
                return self.notch_width
            return self.value(f"{head}.{rest}" if kind in ("disc", "flange") else name)

        return value

    def ribs(self) -> list[Part]:
        """The ribs, every other one of another width where the spec says so."""
        outlines = [self._rib_outline(kind) for kind in self.structure.rib_kinds]
        crossings = self._rib_crossings()
        count = len(self.angles)
        return [
            self._part(
                f"rib-{i}",
                "rib",
                f"rib {i} of {count} at longitude {angle:g}°",
                outlines[(i - 1) % len(outlines)],
                (),
                crossings,
                upright(angle),
                self.spec.where("ribs"),
            )
            for i, angle in enumerate(self.angles, 1)
        ]

    def _rib_outline(self, kind: Renaming) -> Outline:
        outer = tuple(
            OuterNotch(
                self.value(f"flange-{n}.height"),
                self.notch_width,
                self._seat(n),
            )
            for n in self.structure.flanges
        )
        return rib_outline(
            meridian_of(self.solution, kind),
            self._notches(),
            self._ends(),
            outer,
            lead_in=self.lead_in,
            relief=self.relief,
        )

    def _seat(self, flange: int) -> float:
        """Return the radius in mm that the ribs' outer notch for a flange is cut in to."""
        from framekit.joints.flange import Bayonet  # few frames have one

        return Bayonet().notch(self.of(f"flange-{flange}"))

    def _ends(self) -> Ends:
        """Return how the rib ends below and above at discs flush with its ends."""
        # A soft disc may be thicker than its notch, and still lies flush with the rib's end.
        depth = self.disc_thickness + max(0.0, self.notch_width - self.disc_thickness) / 2
        found = {
            placed.end: placed.joint.rib_end(self.of(placed.name), depth)
            for placed in self.placed
            if placed.end is not None
        }
        return found.get("bottom"), found.get("top")

    def _notches(self) -> tuple[Notch, ...]:
        """The notches for discs along the rib."""
        notches = []
        for placed in self.placed:
            if placed.end is not None:
                continue
            floor = placed.joint.notch(self.of(placed.name))
            half = self.notch_width / 2
            square = [v for v in floor if v.bulge == 0 and abs(abs(v.y) - half) < SAME] == [*floor]
            square = square and len(floor) == 2 and floor[0].x == floor[1].x
            reach = floor[0].x if square else Path(floor, closed=False).bounds[2]
            height = self.value(f"{placed.name}.height")
            notches.append(Notch(height, self.notch_width, reach, () if square else floor))
        return tuple(notches)

    def _rib_crossings(self) -> tuple[Path, ...]:
        discs = [
            rectangle(
                self.value(f"disc-{p.number}.rib_inner_radius"),
                self.value("model.equatorial_radius"),
                self.value(f"disc-{p.number}.height"),
                self.notch_width,
            )
            for p in self.placed
        ]
        flanges = [
            rectangle(
                self._seat(n),
                self.value("model.equatorial_radius") + 1.0,
                self.value(f"flange-{n}.height"),
                self.notch_width,
            )
            for n in self.structure.flanges
        ]
        return (*discs, *flanges)

    def discs(self) -> list[Part]:
        """The discs, mirrored ones after their original."""
        return [self._disc(placed) for placed in self.placed]

    def _disc(self, placed: PlacedDisc) -> Part:
        value = self.of(placed.name)
        radius, bore = value("disc.radius"), value("disc.bore_radius")
        sector = self._sector(chamfered=placed.joint.slotted)
        marks: tuple[Path, ...] = ()
        slot, mortise = placed.joint.slot(value), placed.joint.mortise(value)
        if mortise is not None:
            outline = mortised_disc(
                radius, bore, mortise, self.angles, relief=self.relief, sector=sector
            )
        elif not slot:
            outline = plain_disc(radius, bore, sector=sector)
            marks = longitude_marks(radius, value("disc.notch_depth"), bore, self.angles)
        else:
            square = len(slot) == 2 and all(v.bulge == 0 for v in slot)
            outline = slotted_disc(
                radius,
                bore,
                value("joint.slot_width"),
                min(v.x for v in slot),
                self.angles,
                lead_in=self.lead_in,
                relief=self.slot_relief,
                sector=sector,
                floor=() if square else slot,
            )
        height = value("disc.height")
        crossings = tuple(
            rectangle(value("disc.rib_inner_radius"), radius, 0.0, value("joint.slot_width")).moved(
                angle
            )
            for angle in self.angles
        )
        return self._part(
            placed.name,
            "disc",
            f"disc {placed.number} at height {height:.1f} mm",
            outline,
            marks,
            crossings,
            level(height),
            self.spec.where("discs", placed.entry),
        )

    def _sector(self, chamfered: bool) -> Sector | None:
        """The sector the discs lose with the ribs, so far inside it that a web is left of a tooth.

        A cut as wide as it may be, and a slot as wide, leave the tooth that web, and a bore its
        wall. `chamfered` says whether the disc's slots have mouths that lose a chamfer.
        """
        cut = self.spec.ribs.cut_away
        if cut is None:
            return None
        values = {name: q.value for name, q in self.solution.quantities.items()}
        limits = limit_values(FLOATS, self.structure, values)
        off = {t.quantity: t.tolerance for t in self.solution.toleranced}
        kerf = off.get(kerf_name(self.solution, "disc"), 0.0)
        half = (self.value("joint.slot_width") + off.get("joint.clearance", 0.0)) / 2
        web = limits["limit.least_web"] + (self.lead_in if chamfered else 0.0)
        start, stop = self._beside(cut)
        return Sector(start, stop, half + web + kerf, limits["limit.least_wall"] + kerf)

    def _beside(self, cut: tuple[float, float]) -> tuple[float, float]:
        """The longitudes of the ribs on either side of the sector, degrees."""
        start = max(self.angles, key=lambda a: -((cut[0] - a) % 360.0))
        stop = min(self.angles, key=lambda a: (a - cut[1]) % 360.0)
        return start, stop

    def flanges(self) -> list[Part]:
        """The flanges, turned by half the least angle between ribs so that they lock."""
        return [self._flange(n) for n in self.structure.flanges]

    def _flange(self, number: int) -> Part:
        from framekit.parts.shape.flange import FlangeShape, flange_marks, flange_outline

        value = self.of(f"flange-{number}")
        shape = FlangeShape(
            value("flange.outer_radius"),
            value("flange.seat_radius"),
            value("flange.slot_radius"),
            value("joint.slot_width"),
        )
        outline = flange_outline(shape, self.angles, lead_in=self.lead_in, relief=self.relief)
        marks = flange_marks(self._ring_edges(number), shape, self.angles, relief=self.relief)
        height = value("flange.height")
        turn = value("rib.angle") / 2
        crossings = tuple(
            rectangle(shape.seat, value("model.equatorial_radius"), 0.0, shape.slot_width).moved(
                angle - turn
            )
            for angle in self.angles
        )
        return self._part(
            f"flange-{number}",
            "flange",
            f"flange {number} at height {height:.1f} mm, dropped over and turned by {turn:g}°",
            outline,
            marks,
            crossings,
            level(height, turn),
            self.spec.where("flanges", number - 1),
        )

    def _ring_edges(self, number: int) -> tuple[float, ...]:
        """The model's radii in mm of the ring's inner edge and of the edges between rings."""
        value = self.of(f"flange-{number}")
        flange = self.spec.flanges[number - 1]
        outer, scale = value("flange.outer_radius"), value("scale.denominator")
        edges = {value("flange.inner_radius")}
        if flange.rings is not None:
            for name, inner, beyond in rings_of(self.spec):
                if flange.rings == "all" or name in flange.rings:
                    edges |= {inner / scale, beyond / scale}
        return tuple(sorted(e for e in edges if e < outer - 1e-6))

    def _part(
        self,
        part_id: str,
        kind: str,
        title: str,
        outline: Outline,
        marks: tuple[Path, ...],
        crossings: tuple[Path, ...],
        pose: Pose,
        origin: Where,
    ) -> Part:
        rib = kind == "rib"
        thickness = self.value("sheet.thickness") if rib else self.disc_thickness
        material = self.solution.material if rib else self.solution.disc_material
        return Part(
            id=part_id,
            kind=kind,
            frame=self.spec.id,
            title=title,
            thickness=thickness,
            material=material.name,
            outline=outline,
            marks=marks,
            crossings=crossings,
            pose=pose,
            mass=material.mass(outline.area, thickness),
            origin=origin,
        )
