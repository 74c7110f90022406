"""Tables and sentences that more than one command prints."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framekit.explain.ranking import ranking
from framekit.solution.model import Check, FrameSolution, Quantity
from framekit.solution.quantities import QUANTITIES
from framekit.spec.measure import LENGTH_UNITS


def frame_lines(frame: FrameSolution, every: bool) -> list[str]:
    """The frame's title, quantities and checks as lines of text."""
    spec = frame.spec
    lines = [f"{spec.title} ({spec.id})", ""]
    names = list(frame.quantities) if every else _headlines(frame)
    rows = [_quantity_row(frame.quantities[name]) for name in names]
    lines += table(["quantity", "value", "as made", "unit", "origin", "line"], rows, "lrrlll")
    lines.append("")
    checks = frame.checks if every else _worst(frame.checks)
    rows = [_check_row(check) for check in checks]
    lines += table(["check", "of", "verdict", "margin mm", "as made", "limited by"], rows, "lllrrl")
    if not every:
        lines.append(
            f"The tightest of each kind; all {len(frame.checks)} checks and every quantity: --all"
        )
        worst = min(frame.checks, key=lambda check: check.low)
        lines.append(f"How one comes about: framekit explain {_file_of(frame)} '{worst.name}'")
    for check in (*frame.failed, *frame.undecided):
        lines += ["", *_sentence(check)]
    return lines


def _file_of(frame: FrameSolution) -> str:
    """The spec's file as words of a shell take it."""
    file = frame.spec.where().file or "SPEC"
    return f"'{file}'" if " " in file else file


def _headlines(frame: FrameSolution) -> list[str]:
    """Return the names of what everyone wants to see; `--all` shows the rest."""
    ranked = sorted((row.headline, name) for name, row in QUANTITIES.items() if row.headline)
    names = [name for _, name in ranked]
    for disc in frame.structure.discs:
        names += [n.replace("disc", disc.name, 1) for n in names if n.startswith("disc.")]
    bores = (f"{disc.name}.bore_radius" for disc in frame.structure.discs)
    without = {name for name in bores if frame.value(name) == 0}
    return [name for name in names if name in frame.quantities and name not in without]


def _worst(checks: Sequence[Check]) -> list[Check]:
    """The check of least margin of each code, failed and undecided ones all."""
    best: dict[str, Check] = {}
    for check in checks:
        if check.code not in best or check.low < best[check.code].low:
            best[check.code] = check
    return [c for c in checks if c is best[c.code] or c.verdict != "pass"]


def _quantity_row(quantity: Quantity) -> list[str]:
    size = LENGTH_UNITS.get(quantity.unit, 1.0)
    value, low, high = (x / size for x in (quantity.value, quantity.low, quantity.high))
    bounds = "" if low == high else f"{number(low, quantity.unit)} … {number(high, quantity.unit)}"
    unit = "" if quantity.unit == "1" else quantity.unit
    line = "" if quantity.where.line is None else str(quantity.where.line)
    return [quantity.name, number(value, quantity.unit), bounds, unit, quantity.origin, line]


def _check_row(check: Check) -> list[str]:
    bounds = "" if check.low == check.high else f"{signed(check.low)} … {signed(check.high)}"
    return [
        check.code,
        check.about,
        check.verdict,
        signed(check.margin),
        bounds,
        check.limited_by,
    ]


def verdict_lines(frame: FrameSolution) -> list[str]:
    """A sentence on each check that fails or is undecided."""
    return [line for check in (*frame.failed, *frame.undecided) for line in _sentence(check)]


def _sentence(check: Check) -> list[str]:
    mark = "FAILS" if check.verdict == "fail" else "UNDECIDED"
    place = f"{check.where.file}:{check.where.line}" if check.where.line else "not in the spec"
    moved = f" Its spread: {ranking(check.shares)}." if check.shares else ""
    short = f"It is short by {-check.margin:.2f} mm. " if check.verdict == "fail" else ""
    end = f"{short}It depends most on {check.limited_by} ({place}).{moved}"
    if check.verdict == "undecided" and check.untold:
        names = " and ".join(check.untold)
        end = (
            f"As drawn it holds by {check.margin:.2f} mm, and how far {names} may differ is not "
            "told: measure, and write the tolerance with ±."
        )
    elif check.verdict == "undecided":
        end = (
            f"As drawn it holds by {check.margin:.2f} mm; over the tolerances it goes down to "
            f"{check.low:+.2f} mm. It depends most on {check.limited_by} ({place}): measure it "
            f"more closely.{moved}"
        )
    return [f"{mark}  {check.code} of {check.about}: {check.text} {end}"]


def signed(value: float) -> str:
    """The value in mm with its sign and two decimals; what rounds to nothing is +0.00."""
    return f"{value:+.2f}".replace("-0.00", "+0.00")


def number(value: float, unit: str) -> str:
    """The value rounded for reading: two decimals of a mm, enough digits otherwise."""
    if unit == "mm":
        return f"{value + 0.0:.2f}".replace("-0.00", "0.00")
    if unit == "deg":
        return f"{value:.4g}"
    return f"{value:.10g}"


def inward(low: float, high: float) -> tuple[str, str]:
    """Both ends in decimals, rounded so that nothing outside the range is printed.

    Two decimals, none for large numbers, more where two would hide a twentieth of the range.

    >>> inward(2.8512, 3.1)
    ('2.86', '3.10')
    """
    usual = 2 if max(abs(low), abs(high)) < 1e5 else 0
    fine = -math.floor(math.log10(max(high - low, 1e-9) / 20))
    decimals = max(usual, min(fine, 10))
    scale = 10.0**decimals
    # What floating point leaves of an exact decimal does not count as beyond it.
    ends = (math.ceil(low * scale - 1e-5) / scale, math.floor(high * scale + 1e-5) / scale)
    return (f"{ends[0] + 0.0:.{decimals}f}", f"{ends[1] + 0.0:.{decimals}f}")


def table(head: list[str], rows: list[list[str]], align: str) -> list[str]:
    """Lines of a table with a head; `align` has l or r for each column."""
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    lines = []
    for row in [head, *rows]:
        cells = [
            cell.rjust(width) if side == "r" else cell.ljust(width)
            for cell, width, side in zip(row, widths, align, strict=True)
        ]
        lines.append("  ".join(cells).rstrip())
    lines.insert(1, "  ".join("─" * width for width in widths))
    return lines


def wrapped_ids(ids: Sequence[str]) -> str:
    """The ids in one line of at most some 70 characters, with a count of the rest."""
    text = ""
    for n, name in enumerate(ids):
        if len(text) + len(name) > 70:
            return f"{text} and {len(ids) - n} more"
        text += f", {name}" if text else name
    return text
