"""The coupon's parts: a plate with a ladder of slots and a tab, and loose strips; mm."""

from __future__ import annotations

from framekit.calibration.model import CouponPlan
from framekit.geometry.lettering import text_strokes
from framekit.geometry.path import Outline, Path, Vertex, rectangle
from framekit.parts.model import FrameParts, Part, Parts
from framekit.parts.shape.poses import level
from framekit.solution.model import FrameSolution, Solution

NUMERALS = 3.0
"""Height in mm of the engraved numerals."""
LEAST_NUMERALS = 1.5
"""Height in mm below which the plate's own name is left out: it could not be read."""
CLEAR = 3.0
"""mm between engravings, and from them to edges."""
TAB = 15.0
"""Length and width in mm of the tab that a caliper grips, free of engravings."""
STRIP_LENGTH = 40.0


def coupon_parts(solution: Solution, plan: CouponPlan) -> Parts:
    """The coupon's parts for a spec's first frame: the plate, then the strips; kind `coupon`."""
    frame = solution.frames[0]
    plate = _part(frame, "coupon-1", _plate_title(plan), _plate(frame, plan), _marks(frame, plan))
    strip = Outline(rectangle(0.0, STRIP_LENGTH, plan.strip_width / 2, plan.strip_width))
    strips = (
        _part(
            frame,
            f"strip-{n}",
            f"strip {n} of {plan.strips}, {plan.strip_width:g} mm wide",
            strip,
            (),
        )
        for n in range(1, plan.strips + 1)
    )
    return Parts(solution, (FrameParts(frame, (plate, *strips)),), test_pieces=True)


def _plate_title(plan: CouponPlan) -> str:
    least, most = plan.label(plan.slots[0]), plan.label(plan.slots[-1])
    return f"slots of {least} to {most} mm, finished, in steps of {plan.step:g} mm"


def _part(
    frame: FrameSolution, part_id: str, title: str, outline: Outline, marks: tuple[Path, ...]
) -> Part:
    thickness = frame.value("sheet.thickness")
    return Part(
        id=part_id,
        kind="coupon",
        frame=frame.spec.id,
        title=title,
        thickness=thickness,
        material=frame.material.name,
        outline=outline,
        marks=marks,
        crossings=(),
        pose=level(0.0),
        mass=frame.material.mass(outline.area, thickness),
        origin=frame.spec.where("sheet"),
    )


def _pitch(frame: FrameSolution, plan: CouponPlan) -> float:
    """The distance in mm between slots: stout teeth, and room for the numerals."""
    tooth = max(6.0, 2.5 * frame.value("sheet.thickness"))
    widest = max(_width(text_strokes(plan.label(slot), NUMERALS)) for slot in plan.slots)
    return max(plan.slots[-1] + tooth, widest + CLEAR)


def _floor() -> float:
    """The height in mm of the slots' floor: two rows of engraving lie below."""
    return 2 * NUMERALS + 4 * CLEAR


def _sizes(frame: FrameSolution, plan: CouponPlan) -> tuple[float, float]:
    """The plate's length without the tab and its height, mm.

    A slot runs four thicknesses deep, and past that by a round tool's radius.
    """
    deep = max(10.0, 4 * frame.value("sheet.thickness")) + plan.allowance / 2
    return len(plan.slots) * _pitch(frame, plan) + 2 * CLEAR, _floor() + deep


def _middle_of(frame: FrameSolution, plan: CouponPlan, number: int) -> float:
    return CLEAR + (number + 0.5) * _pitch(frame, plan)


def _plate(frame: FrameSolution, plan: CouponPlan) -> Outline:
    length, height = _sizes(frame, plan)
    tab = length + TAB
    corners = [(0.0, 0.0), (tab, 0.0), (tab, TAB), (length, TAB), (length, height)]
    for number in reversed(range(len(plan.slots))):
        x, half = _middle_of(frame, plan, number), plan.slots[number] / 2
        corners += [(x + half, height), (x + half, _floor())]
        corners += [(x - half, _floor()), (x - half, height)]
    corners.append((0.0, height))
    return Outline(Path(tuple(Vertex(x, y) for x, y in corners)))


def _marks(frame: FrameSolution, plan: CouponPlan) -> tuple[Path, ...]:
    """The value below each slot, a line under the expected one, and what the plate is for."""
    low = 2 * CLEAR + NUMERALS
    marks: list[Path] = []
    for number, slot in enumerate(plan.slots):
        strokes = text_strokes(plan.label(slot), NUMERALS)
        x = _middle_of(frame, plan, number)
        wide = _width(strokes)
        marks += [stroke.moved(0.0, x - wide / 2, low) for stroke in strokes]
        if slot == plan.middle:
            ends = (Vertex(x - wide / 2, low - 1.0), Vertex(x + wide / 2, low - 1.0))
            marks.append(Path(ends, closed=False))
    length, _ = _sizes(frame, plan)
    name = text_strokes(f"{frame.spec.id} kerf {plan.allowance:.4g}", 1.0)
    high = min(NUMERALS, (length - 2 * CLEAR) / _width(name))
    if high >= LEAST_NUMERALS:
        name = text_strokes(f"{frame.spec.id} kerf {plan.allowance:.4g}", high)
        marks += [stroke.moved(0.0, CLEAR, CLEAR) for stroke in name]
    return tuple(marks)


def _width(strokes: tuple[Path, ...]) -> float:
    """The width in mm of text that begins at 0."""
    return max(stroke.bounds[2] for stroke in strokes)
