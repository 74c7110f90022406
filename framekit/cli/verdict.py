"""The verdict: the one line that says what the checks and the assembly test come to."""

from __future__ import annotations

from collections.abc import Sequence

from framekit.cli.report import wrapped_ids
from framekit.parts.model import Parts
from framekit.parts.words import named
from framekit.solution.checks import ROUNDING
from framekit.solution.model import Quantity, Solution
from framekit.solution.quantities import ASSUMED


def verdict_line(solution: Solution, parts: Parts | None) -> str:
    """What the checks of all frames come to, what is not known, and what the cut alone lets loose.

    `parts` are those that passed the assembly test, None where a check failed. It is one line.
    """
    failed = len(solution.failed)
    if failed:
        return f"{failed} of the checks failed; nothing can be cut from this spec yet."
    sentences = [*_of_checks(solution), *_of_kerfs(solution)]
    loose = [] if parts is None else _loose(parts)
    if loose:
        sentences.append(f"But the cut alone does not hold everything: {'; '.join(loose)}.")
    return " ".join(sentences)


def _of_checks(solution: Solution) -> list[str]:
    """Say how far the checks hold, and for what exactly where a tolerance is not told."""
    checks = [check for frame in solution.frames for check in frame.undecided]
    if not checks:
        return ["All checks pass over the whole of the tolerances."]
    count = sum(1 for check in checks if check.low < -ROUNDING)
    sentences = ["All checks pass as drawn."]
    if count:
        sentences = [
            f"All checks pass as drawn; {count} of them not over the whole of the tolerances."
        ]
    untold = untold_sizes(solution)
    if untold:
        sizes = " and ".join(dict.fromkeys(f"{quantity.value:.2f} mm" for quantity in untold))
        places = _lines_of(untold)
        kerf = ", kerf is the catalogue's value" if _kerfs(solution, "default") else ""
        sentences += [
            f"Holds for exactly {sizes}.",
            f"No tolerance given{places}{kerf}: measure, or make a test piece.",
        ]
    return sentences


def _of_kerfs(solution: Solution) -> list[str]:
    """Say where a kerf, or how far it may differ, is not measured."""
    sentences = []
    if _kerfs(solution, "default") and not untold_sizes(solution):
        sentences.append("The kerf is the catalogue's value: measure it, or make a test piece.")
    assumed = [quantity for quantity in _kerfs(solution, "given") if quantity.note == ASSUMED]
    if assumed:
        sentences.append(f"No tolerance of the kerf is given{_lines_of(assumed)}: {ASSUMED_KERF}.")
    return sentences


ASSUMED_KERF = ASSUMED.partition(",")[0]


def untold_sizes(solution: Solution) -> list[Quantity]:
    """Return the thicknesses that an undecided check depends on and whose tolerance is not told."""
    return [
        frame.quantities[name]
        for frame in solution.frames
        for name in dict.fromkeys(n for check in frame.undecided for n in check.untold)
    ]


def _kerfs(solution: Solution, origin: str) -> list[Quantity]:
    """Return the kerfs above zero of that origin."""
    return [
        frame.quantities[name]
        for frame in solution.frames
        for name in ("cutter.kerf", "disc_sheet.kerf")
        if name in frame.quantities
        and frame.quantities[name].origin == origin
        and frame.quantities[name].value > 0
    ]


def _lines_of(quantities: Sequence[Quantity]) -> str:
    lines = sorted({q.where.line for q in quantities if q.where.line is not None})
    if not lines:
        return ""
    return f" (line{'s' * (len(lines) > 1)} {', '.join(map(str, lines))})"


def remark_lines(parts: Parts) -> list[str]:
    """The remarks of the assembly test, each once, in a set with the frames that they are of."""
    frames_of: dict[str, list[str]] = {}
    for frame in parts.frames:
        for remark in parts.tested_remarks(frame):
            frames_of.setdefault(remark.text, []).append(frame.solution.spec.id)
    if len(parts.frames) == 1:
        return list(frames_of)
    return [f"{wrapped_ids(ids)}: {text}" for text, ids in frames_of.items()]


def _loose(parts: Parts) -> list[str]:
    """What parts can do that a pass promises they cannot, in a set by frames alike."""
    frames_of: dict[str, list[str]] = {}
    for frame, remarks in zip(parts.frames, parts.remarks, strict=True):
        can: dict[str, list[str]] = {}
        for remark in remarks:
            if remark.contradicts_pass:
                can.setdefault(remark.loose, []).extend(remark.parts)
        if can:
            words = ", ".join(f"{named(ids)} {loose}" for loose, ids in can.items())
            frames_of.setdefault(words, []).append(frame.solution.spec.id)
    if len(parts.frames) == 1:
        return list(frames_of)
    return [f"{words} ({wrapped_ids(ids)})" for words, ids in frames_of.items()]
