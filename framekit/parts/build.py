"""Solution → Parts: exact finished outlines, each with its pose in space."""

from __future__ import annotations

from framekit.errors import Where
from framekit.geometry.path import Outline, Path, cosine_sine, rectangle
from framekit.parts.disc import longitude_marks, plain_disc, slotted_disc
from framekit.parts.model import FrameParts, Part, Parts, Pose
from framekit.parts.rib import Notch, RibShape, rib_outline
from framekit.solution.model import FrameSolution, Solution
from framekit.solution.relations import placed_discs


def make_parts(solution: Solution) -> Parts:
    """The parts of every frame, ribs first, then discs in the order of the spec.

    Raises GeometryError when a failed check leaves no outline to draw.
    """
    return Parts(solution, tuple(_frame_parts(frame) for frame in solution.frames))


def _frame_parts(solution: FrameSolution) -> FrameParts:
    return FrameParts(solution, (*_ribs(solution), *_discs(solution)))


def _ribs(solution: FrameSolution) -> list[Part]:
    value = solution.value
    notches = tuple(
        Notch(
            value(f"disc-{n}.height"),
            value("joint.slot_width"),
            value(f"disc-{n}.joint_radius") + value("joint.end_clearance"),
        )
        for n in range(1, solution.disc_count + 1)
    )
    outline = rib_outline(
        RibShape(
            value("model.equatorial_radius"),
            value("model.polar_radius"),
            value("rib.inner_equatorial_radius"),
            value("rib.inner_polar_radius"),
            value("rib.pole_gap"),
            notches,
        )
    )
    crossings = tuple(
        rectangle(
            value(f"disc-{n}.rib_inner_radius"),
            value("model.equatorial_radius"),
            value(f"disc-{n}.height"),
            value("joint.slot_width"),
        )
        for n in range(1, solution.disc_count + 1)
    )
    count = len(solution.longitudes)
    return [
        _part(
            solution,
            f"rib-{i}",
            "rib",
            f"rib {i} of {count} at longitude {angle:g}°",
            outline,
            (),
            crossings,
            _upright(angle),
            solution.spec.where("ribs"),
        )
        for i, angle in enumerate(solution.longitudes, 1)
    ]


def _discs(solution: FrameSolution) -> list[Part]:
    value, angles = solution.value, solution.longitudes
    found = []
    for placed in placed_discs(solution.spec):
        disc = f"disc-{placed.number}"
        radius, bore = value(f"{disc}.radius"), value(f"{disc}.bore_radius")
        marks: tuple[Path, ...] = ()
        if solution.spec.joint.style == "housed":
            outline = plain_disc(radius, bore)
            marks = longitude_marks(radius, value(f"{disc}.notch_depth"), bore, angles)
        else:
            floor = value(f"{disc}.joint_radius") - value("joint.end_clearance")
            outline = slotted_disc(radius, bore, value("joint.slot_width"), floor, angles)
        height = value(f"{disc}.height")
        found.append(
            _part(
                solution,
                disc,
                "disc",
                f"disc {placed.number} at height {height:.1f} mm",
                outline,
                marks,
                tuple(
                    rectangle(
                        value(f"{disc}.rib_inner_radius"),
                        radius,
                        0.0,
                        value("joint.slot_width"),
                    ).moved(angle)
                    for angle in angles
                ),
                _level(height),
                solution.spec.where("discs", placed.entry),
            )
        )
    return found


def _part(
    solution: FrameSolution,
    part_id: str,
    kind: str,
    title: str,
    outline: Outline,
    marks: tuple[Path, ...],
    crossings: tuple[Path, ...],
    pose: Pose,
    origin: Where,
) -> Part:
    thickness = solution.value("sheet.thickness")
    return Part(
        id=part_id,
        kind=kind,
        frame=solution.spec.id,
        title=title,
        thickness=thickness,
        material=solution.material.name,
        outline=outline,
        marks=marks,
        crossings=crossings,
        pose=pose,
        mass=solution.material.mass(outline.area, thickness),
        origin=origin,
    )


def _upright(longitude: float) -> Pose:
    """The pose of a plate whose x points outward at that longitude and whose y is the axis."""
    c, s = cosine_sine(longitude)
    return ((c, 0.0, s, 0.0), (s, 0.0, -c, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))


def _level(height: float) -> Pose:
    """The pose of a horizontal plate whose middle lies at that height in mm."""
    return (
        (1.0, 0.0, 0.0, 0.0),
        (0.0, 1.0, 0.0, 0.0),
        (0.0, 0.0, 1.0, height),
        (0.0, 0.0, 0.0, 1.0),
    )
