"""Whether sheets may become files: one gate, which every kind of file goes through."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from framekit.errors import BuildError, Fault, StockError
from framekit.parts.model import Part
from framekit.sheets.model import NAMED, Sheets, Shortage
from framekit.solution.check_words import failure_faults

_DESPITE = "or write them all the same with 'despite_failures'"


def refuse_unfit(sheets: Sheets) -> None:
    """Pass when sheets may be written, or when they say `despite_failures`.

    Raises BuildError where a check failed, where the solids of a frame were not tested as they are
    now, or where a sheet holds what no frame has; StockError where parts found no place.
    """
    if sheets.despite_failures:
        return
    parts = sheets.parts
    if not parts.test_pieces:
        faults = failure_faults(parts.solution)
        own = tuple(frame.solution for frame in parts.frames)
        if not faults and any(frame.failed for frame in own):
            faults = failure_faults(parts.solution, own)
        faults = faults or tuple(_untested(frame.solution.spec.id) for frame in parts.untested)
        if faults:
            raise BuildError(*faults)
    missing, strange = _differences(sheets)
    if strange:
        raise BuildError(
            Fault(
                "part-unknown",
                f"the sheets hold what is no part of the frames: {_names(strange)}",
                hint="Nest the parts again: framekit.nest(parts).",
            )
        )
    if sheets.short:
        raise StockError(*map(_shortage, sheets.short))
    if missing:
        raise StockError(
            Fault(
                "part-without-place",
                f"no sheet holds {_names(missing)}",
                hint=f"Nest the parts again, {_DESPITE}.",
            )
        )


def _untested(frame: str) -> Fault:
    return Fault(
        "solids-untested",
        f"the parts of {frame} were not tested as solids, so nobody knows whether they go together",
        hint=f"Nest what framekit.verify_parts(parts) returns, {_DESPITE}.",
    )


def _shortage(short: Shortage) -> Fault:
    return Fault(
        "stock-runs-out",
        short.text,
        hint="Add sheets to 'stock', make the models smaller, or take frames out of the set.",
    )


def _differences(sheets: Sheets) -> tuple[list[Part], list[Part]]:
    """The parts that lie on no sheet, and what lies on one and is none of the parts."""
    placed = [p.part for sheet in sheets.sheets for p in sheet.placements]
    known = {(part.frame, part.id): part for part in sheets.parts.all}
    on_sheets = Counter((part.frame, part.id) for part in placed)
    missing = [part for name, part in known.items() if not on_sheets[name]]
    strange = [p for p in placed if known.get((p.frame, p.id)) != p]
    return missing, strange


def _names(parts: Sequence[Part]) -> str:
    names = ", ".join(f"{part.frame}/{part.id}" for part in parts[:NAMED])
    rest = len(parts) - NAMED
    return names if rest <= 0 else f"{names} and {rest} more"
