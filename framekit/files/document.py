"""The result document: what `--json` prints and other apps read. One schema, from these models."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange, Limit, NoRange
from framekit.constraints.uncertainty import Share
from framekit.files.batch_rows import BatchRow, batch_rows
from framekit.files.model import WrittenFile
from framekit.files.remark_rows import RemarkRow, remark_rows
from framekit.geometry.path import Path
from framekit.parts.display.properties import properties_of
from framekit.parts.model import FrameParts, Part, Parts, Remark
from framekit.sheets.costs import frame_costs
from framekit.sheets.model import Sheet, Sheets, Shortage
from framekit.solution.model import FrameSolution, Quantity, Solution
from framekit.spec.measure import LENGTH_UNITS

Point = tuple[float, float]
Finite = Annotated[float, Field(allow_inf_nan=False)]


class _Model(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class ShareRow(_Model):
    """What one toleranced input does to a result."""

    input: str
    slope: Finite = Field(description="The result's unit by mm of the input.")
    share: Annotated[float, Field(ge=0.0, le=1.0)] = Field(
        description="The input's share of the variance; all shares of a result sum to 1."
    )


class QuantityRow(_Model):
    """A number with the worst case of what is made, in `unit`."""

    value: Finite
    unit: str
    low: Finite
    high: Finite
    sigma: Finite
    shares: tuple[ShareRow, ...] = Field(description="Most first; empty where nothing moves it.")
    curved: bool = Field(description="Sigma and shares come from sampling: slopes do not do.")
    origin: Literal["given", "default", "catalogue", "derived"]
    line: int | None = Field(description="The spec line it was given on or follows from.")


class CheckRow(_Model):
    """A check: its margin and the margin's band."""

    code: str
    about: str
    verdict: Literal["pass", "fail", "undecided"]
    margin: Finite
    low: Finite
    high: Finite
    sigma: Finite
    shares: tuple[ShareRow, ...] = Field(description="Most first; empty where nothing moves it.")
    curved: bool = Field(description="Sigma and shares come from sampling: slopes do not do.")
    unit: str
    text: str
    limited_by: str
    untold: tuple[str, ...] = Field(
        (), description="Quantities it depends on whose tolerance the spec does not give."
    )


class AllowedRow(_Model):
    """The range of an input that keeps every check passing, and what limits each end."""

    low: Finite
    high: Finite
    unit: str
    low_limit: str
    high_limit: str


class PartRow(_Model):
    """A finished part in its own plane, mm; chord error at most 0.01 mm."""

    id: str
    kind: str
    thickness: Finite
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...]
    marks: tuple[tuple[Point, ...], ...]
    pose: tuple[tuple[float, float, float, float], ...] = Field(
        description="A 4 × 4 matrix, row by row: the part's axes to the frame's."
    )
    mass: Finite = Field(description="grams")


class HandlingRow(_Model):
    """What a finished frame weighs, and where its centre of mass lies, its stand left out."""

    mass: Finite = Field(description="grams")
    centre: tuple[Finite, Finite, Finite] = Field(description="x, y, z in mm in the frame's axes")
    slenderness: Finite = Field(description="A rib's length over its least width.")
    hangs_at: Finite | None = Field(
        description="The axis's tilt from upright in degrees as it hangs, null without a hole."
    )
    sentences: tuple[str, ...]


class CostRow(_Model):
    """An amount of money."""

    amount: Finite
    currency: str


class MakingRow(_Model):
    """What making one frame takes: its share of the sheets, of their time and of their price."""

    sheets: int = Field(description="How many sheets hold any of its parts.")
    area: Finite = Field(description="Of its parts, mm².")
    shares: Finite = Field(description="Of sheets, each shared by part area, waste with it.")
    seconds: Finite = Field(description="An estimate: each sheet's time, shared by own cuts.")
    cost: CostRow | None = Field(description="Null where a price is not known.")


class FrameRow(_Model):
    """One frame: its numbers, its checks and its parts."""

    id: str
    title: str
    quantities: dict[str, QuantityRow]
    checks: tuple[CheckRow, ...]
    allowed: dict[str, AllowedRow] = Field(
        description="Ranges of inputs by name: of the sheet's thickness, and what was asked for."
    )
    parts: tuple[PartRow, ...]
    remarks: tuple[RemarkRow, ...] = Field(
        (), description="Of the assembly test and the stand; empty where no parts were made."
    )
    handling: HandlingRow | None = Field(description="Null where no parts were made.")
    making: MakingRow | None = Field(description="Null where nothing was laid on sheets.")
    batches: tuple[BatchRow, ...] = Field(
        (), description="The piles of sheets that the spec names, in its order."
    )


class PlacementRow(_Model):
    """A part turned by `rotation` degrees about its own origin, then moved by x, y mm."""

    frame: str
    part: str
    x: Finite
    y: Finite
    rotation: Finite


class SheetRow(_Model):
    """A sheet, mm; origin at its lower left corner, y up; `seconds` is an estimate."""

    id: str
    material: str = Field(description="The material that all its parts are cut from.")
    thickness: Finite
    width: Finite
    height: Finite
    placements: tuple[PlacementRow, ...]
    used_length: Finite
    used_width: Finite
    cut_length: Finite
    mark_length: Finite
    travel: Finite = Field(description="Between paths, in the order they are drawn.")
    pierces: int = Field(description="Starts of a cut.")
    seconds: Finite
    area: Finite = Field(description="Of the sheet, mm².")
    part_area: Finite = Field(description="Of the parts on it, mm²; the rest is waste.")
    cost: CostRow | None = Field(description="The sheet's price, null where it is not known.")
    outline: tuple[Point, ...] | None = Field(
        description="A leftover's corners, counter-clockwise; null for a whole sheet."
    )


class ShortRow(_Model):
    """What found no place on the sheets at hand, and how many more of `size` it would take."""

    stock: str
    parts: tuple[str, ...] = Field(description="Each as FRAME/PART.")
    more: int
    size: tuple[Finite, Finite]


class FileRow(_Model):
    """A file that was written."""

    path: str
    backend: str
    sha256: str


class ResultDocument(_Model):
    """Everything a run found and wrote."""

    framekit: Literal[1]
    frames: tuple[FrameRow, ...]
    sheets: tuple[SheetRow, ...]
    short: tuple[ShortRow, ...] = Field(description="Empty where everything found a place.")
    files: tuple[FileRow, ...]


def result_document(
    solution: Solution,
    parts: Parts | None = None,
    sheets: Sheets | None = None,
    files: tuple[WrittenFile, ...] = (),
    allowed: tuple[AllowedRange | NoRange, ...] = (),
    of_frame: int = 0,
) -> ResultDocument:
    """The result of a run as far as it went; stages not reached leave their lists empty.

    `allowed` has the ranges that were asked for, of the frame of that number; the range of the
    sheet's thickness is always there, where there is one.
    """
    made = parts.frames if parts is not None else (None,) * len(solution.frames)
    remarks = parts.remarks if parts is not None else ((),) * len(solution.frames)
    rows = {r.name: _range(r) for r in allowed if isinstance(r, AllowedRange)}
    takes = _makings(sheets) if sheets is not None else {}
    return ResultDocument(
        framekit=1,
        frames=tuple(
            _frame(frame, of, said, rows if number == of_frame else {}, takes.get(frame.spec.id))
            for number, (frame, of, said) in enumerate(
                zip(solution.frames, made, remarks, strict=True)
            )
        ),
        sheets=tuple(_sheet(sheet) for sheet in sheets.sheets) if sheets is not None else (),
        short=tuple(map(_short, sheets.short)) if sheets is not None else (),
        files=tuple(FileRow(path=str(f.path), backend=f.backend, sha256=f.sha256) for f in files),
    )


def _frame(
    solution: FrameSolution,
    parts: FrameParts | None,
    remarks: tuple[Remark, ...],
    allowed: dict[str, AllowedRow],
    making: MakingRow | None,
) -> FrameRow:
    return FrameRow(
        id=solution.spec.id,
        title=solution.spec.title,
        quantities={name: _quantity(q) for name, q in solution.quantities.items()},
        checks=tuple(
            CheckRow(
                code=c.code,
                about=c.about,
                verdict=c.verdict,
                margin=c.margin,
                low=c.low,
                high=c.high,
                sigma=c.sigma,
                shares=_shares(c.shares, 1.0),
                curved=c.curved,
                unit="mm",
                text=c.text,
                limited_by=c.limited_by,
                untold=c.untold,
            )
            for c in solution.checks
        ),
        allowed=_thickness(solution) | allowed,
        parts=tuple(_part(p) for p in parts.parts) if parts is not None else (),
        remarks=remark_rows(remarks),
        handling=_handling(parts) if parts is not None else None,
        making=making,
        batches=batch_rows(solution),
    )


def _makings(sheets: Sheets) -> dict[str, MakingRow]:
    return {
        m.frame: MakingRow(
            sheets=m.on, area=m.area, shares=m.shares, seconds=m.seconds, cost=_cost(m.cost)
        )
        for m in frame_costs(sheets)
    }


def _cost(cost: tuple[float, str] | None) -> CostRow | None:
    return None if cost is None else CostRow(amount=cost[0], currency=cost[1])


def _short(short: Shortage) -> ShortRow:
    return ShortRow(
        stock=short.stock,
        parts=tuple(f"{part.frame}/{part.id}" for part in short.parts),
        more=short.more,
        size=short.size,
    )


def _handling(parts: FrameParts) -> HandlingRow:
    found = properties_of(parts)
    return HandlingRow(
        mass=found.balance.mass,
        centre=found.balance.centre,
        slenderness=found.slenderness.ratio,
        hangs_at=None if found.hanging is None else found.hanging.tilt,
        sentences=found.sentences,
    )


def _thickness(solution: FrameSolution) -> dict[str, AllowedRow]:
    """The sheets that the drawn file works with; empty where there are none."""
    found = allowed_range(solution, "sheet.thickness")
    return {found.name: _range(found)} if isinstance(found, AllowedRange) else {}


def _range(found: AllowedRange) -> AllowedRow:
    size = LENGTH_UNITS.get(found.unit, 1.0)
    return AllowedRow(
        low=found.low / size,
        high=found.high / size,
        unit=found.unit,
        low_limit=_limit(found.low_limit),
        high_limit=_limit(found.high_limit),
    )


def _limit(limit: Limit | None) -> str:
    return "none found" if limit is None else str(limit)


def _quantity(quantity: Quantity) -> QuantityRow:
    size = LENGTH_UNITS.get(quantity.unit, 1.0)
    return QuantityRow(
        value=quantity.value / size,
        unit=quantity.unit,
        low=quantity.low / size,
        high=quantity.high / size,
        sigma=quantity.sigma / size,
        shares=_shares(quantity.shares, size),
        curved=quantity.curved,
        origin=quantity.origin,
        line=quantity.where.line,
    )


def _shares(shares: tuple[Share, ...], size: float) -> tuple[ShareRow, ...]:
    """The ranking, slopes in a unit of this size in mm."""
    return tuple(ShareRow(input=s.input, slope=s.slope / size, share=s.share) for s in shares)


def _part(part: Part) -> PartRow:
    return PartRow(
        id=part.id,
        kind=part.kind,
        thickness=part.thickness,
        outline=_points(part.outline.outer),
        holes=tuple(_points(hole) for hole in part.outline.holes),
        marks=tuple(_points(mark) for mark in part.marks),
        pose=part.pose,
        mass=part.mass,
    )


def _points(path: Path) -> tuple[Point, ...]:
    return path.polyline


def _sheet(sheet: Sheet) -> SheetRow:
    return SheetRow(
        id=sheet.id,
        material=sheet.material,
        thickness=sheet.thickness,
        width=sheet.width,
        height=sheet.height,
        placements=tuple(
            PlacementRow(frame=p.part.frame, part=p.part.id, x=p.x, y=p.y, rotation=p.rotation)
            for p in sheet.placements
        ),
        used_length=sheet.used_length,
        used_width=sheet.used_width,
        cut_length=sheet.cut_length,
        mark_length=sheet.mark_length,
        travel=sheet.travel,
        pierces=sheet.pierces,
        seconds=sheet.seconds,
        area=sheet.area,
        part_area=sheet.part_area,
        cost=_cost(sheet.price),
        outline=sheet.outline,
    )
