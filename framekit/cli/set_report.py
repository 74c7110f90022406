"""The table of a set of frames: what each is, how large it comes out, and whether it can be cut."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framekit.catalogue.load import body as catalogue_body
from framekit.catalogue.model import BodyRow
from framekit.cli.report import number, table, verdict_lines, wrapped_ids
from framekit.parts.model import ROUND_KINDS, FrameParts, Part, Parts
from framekit.sheets.stock.jobs import StockJob, make_jobs
from framekit.sheets.stock.supply import need_of
from framekit.solution.fitting import stock_size
from framekit.solution.model import FrameSolution, SetScale, Solution
from framekit.spec.measure import LENGTH_UNITS

AU = 1.495978707e14
"""An astronomical unit in mm: 149 597 870 700 m exactly (IAU 2012 Resolution B2)."""

WIDTH = 24
"""Characters of a body's name that are shown."""


def set_lines(solution: Solution, parts: Parts | None) -> list[str]:
    """The set's tables and scale, then what fails or is undecided, as lines of text."""
    spec = solution.spec
    lines = [f"{spec.title} ({spec.id}), {len(solution.frames)} frames", ""]
    made = [None] * len(solution.frames) if parts is None else list(parts.frames)
    rows = [_row(frame, of) for frame, of in zip(solution.frames, made, strict=True)]
    heads = ["frame", "body", "real diameter", "model mm", "ribs", "discs", "sheets", "verdict"]
    lines += table(heads, rows, "llrrrrrl")
    lines += ["", *_scale_lines(solution)]
    lines += _distance_lines(solution.frames)
    lines += _verdicts(solution.frames)
    return lines


def _row(frame: FrameSolution, parts: FrameParts | None) -> list[str]:
    spec = frame.spec
    row = _catalogue(frame)
    name = row.title if row is not None else str(spec.body.shape)
    share = "–" if parts is None else f"{share_of_sheets(parts):.2f}"
    return [
        spec.id,
        name[:WIDTH],
        _real_diameter(frame),
        f"{frame.value('model.equatorial_diameter'):.1f}",
        f"{frame.value('rib.count'):.0f}",
        str(frame.disc_count),
        share,
        _verdict(frame),
    ]


def _catalogue(frame: FrameSolution) -> BodyRow | None:
    name = frame.spec.body.catalogue
    return None if name is None else catalogue_body(name, frame.spec.where("body", "catalogue"))


def _real_diameter(frame: FrameSolution) -> str:
    radius = frame.quantities["body.equatorial_radius"]
    value = 2 * radius.value / LENGTH_UNITS.get(radius.unit, 1.0)
    return f"{number(float(f'{value:.6g}'), '')} {radius.unit}"


def share_of_sheets(parts: FrameParts) -> float:
    """The area of a frame's parts over that of a sheet of each one's stock: the least it takes."""
    spec = parts.solution.spec
    shares = []
    for part in parts.parts:
        discs = part.kind in ROUND_KINDS and spec.disc_sheet is not None
        shares.append(part.outline.area / math.prod(stock_size(spec, discs)))
    return math.fsum(shares)


def _verdict(frame: FrameSolution) -> str:
    if frame.failed:
        return f"{len(frame.failed)} FAIL"
    if frame.undecided:
        return f"{len(frame.undecided)} undecided"
    return "all pass"


def _scale_lines(solution: Solution) -> list[str]:
    scales = [frame.value("scale.denominator") for frame in solution.frames]
    if solution.scale is not None:
        return _limits(solution.scale)
    if max(scales) <= min(scales) * (1 + 1e-9):
        return [f"All frames are at {ratio(scales[0])}."]
    groups: dict[str, list[str]] = {}
    for frame, scale in zip(solution.frames, scales, strict=True):
        groups.setdefault(ratio(scale), []).append(frame.spec.id)
    return [f"Scale {scale}: {wrapped_ids(ids)}" for scale, ids in groups.items()]


def _limits(scale: SetScale) -> list[str]:
    of = {found.frame: found for found in scale.ranges}
    large, small = of[scale.largest], of[scale.smallest]
    lines = [
        f"All frames are at {ratio(scale.denominator)}, the largest scale that each of them bears.",
        f"No larger: {large.frame} ({large.low_limit}).",
    ]
    if math.isfinite(small.high):
        lines.append(f"No smaller than {ratio(small.high)}: {small.frame} ({small.high_limit}).")
    if not all(found.proved for found in scale.ranges):
        lines.append("Some of the ranges were found by trying, not proved.")
    return lines


def range_lines(scale: SetScale) -> list[str]:
    """Every frame's range of scales, as a table."""
    rows = [
        [
            found.frame,
            ratio(found.low),
            ratio(found.high) if math.isfinite(found.high) else "any",
            found.low_limit,
            found.high_limit,
        ]
        for found in scale.ranges
    ]
    return table(["frame", "largest", "smallest", "no larger for", "no smaller for"], rows, "lrrll")


def ratio(denominator: float) -> str:
    """A scale as people write it, six digits, thousands set apart.

    >>> ratio(13204724.4), ratio(0.5)
    ('1:13 204 700', '2:1')
    """
    if denominator < 1:
        return f"{number(float(f'{1 / denominator:.6g}'), '')}:1"
    value = float(f"{denominator:.6g}")
    return f"1:{value:,.0f}".replace(",", " ") if value >= 1000 else f"1:{value:.6g}"


def _distance_lines(frames: Sequence[FrameSolution]) -> list[str]:
    """How far each body is from its star at its frame's scale, one row a body and scale."""
    rows: dict[tuple[str, float], list[str]] = {}
    without: list[str] = []
    for frame in frames:
        body = _catalogue(frame)
        if body is None or body.kind == "star":
            continue
        if body.orbit is None:
            without.append(body.title)
            continue
        scale = frame.value("scale.denominator")
        axis = body.orbit.value * AU / scale
        rows.setdefault(
            (body.name, round(scale, 3)),
            [
                body.title,
                f"{body.orbit.value:.4g} AU",
                f"{body.orbit.value * AU / 1e12:.4g} million km",
                ratio(scale),
                far(axis),
                far(2 * axis),
            ],
        )
    lines = []
    if rows:
        heads = ["body", "from the Sun", "that is", "scale", "at scale", "its orbit across"]
        lines += ["", *table(heads, list(rows.values()), "lrrrrr")]
        lines.append("Distances are semi-major axes of the catalogue.")
    if without:
        names = ", ".join(dict.fromkeys(without))
        lines += ["", f"The catalogue has no distance of {names}."]
    return lines


def far(length: float) -> str:
    """A distance in mm in m or km, three digits.

    >>> far(1.13293e7), far(512345.0)
    ('11.3 km', '512 m')
    """
    size, unit = (1e6, "km") if length >= 1e6 else (1e3, "m")
    value = float(f"{length / size:.3g}")
    return f"{value:,.10g} {unit}".replace(",", " ")


def _verdicts(frames: Sequence[FrameSolution]) -> list[str]:
    """What fails or is undecided, once for frames of which the same is to be said."""
    frames_of: dict[str, list[str]] = {}
    for frame in frames:
        for line in verdict_lines(frame):
            frames_of.setdefault(line, []).append(frame.spec.id)
    lines = []
    for line, ids in frames_of.items():
        lines += ["", f"{wrapped_ids(ids)}: {line}"]
    return lines


def supply_lines(parts: Parts) -> tuple[list[str], bool]:
    """What the sheets at hand are to the parts by area, and whether they cannot do."""
    lines = []
    short = False
    for job in make_jobs(parts):
        lines.append(_at_hand(job))
        need = need_of(job.stock, _parts(job), job.boards, parts.frames[0].solution.spec)
        if need.text:
            short = True
            lines.append(need.text)
    return lines, short


def _parts(job: StockJob) -> list[Part]:
    return [part for group in job.groups for part in group]


def _at_hand(job: StockJob) -> str:
    kinds = []
    for board in job.boards:
        what = "leftover" if board.outline is not None else "sheet"
        count = board.count or 0
        kinds.append(
            f"{count} {what}{'' if count == 1 else 's'} of {board.width:g} × {board.height:g} mm"
        )
    area = sum(part.outline.area for part in _parts(job))
    there = sum(board.area * (board.count or 0) for board in job.boards)
    share = f", {area / there:.0%} of it parts" if there else ""
    return f"At hand of {job.stock}: {', '.join(kinds) or 'nothing'}{share}."
