"""The verdict: the one line that says what the checks and the assembly test come to."""

from __future__ import annotations

from framekit.cli.report import wrapped_ids
from framekit.parts.model import Parts
from framekit.parts.words import named
from framekit.solution.model import Solution


def verdict_line(solution: Solution, parts: Parts | None) -> str:
    """What the checks of all frames come to, and which parts the cut alone does not hold.

    `parts` are those that passed the assembly test, None where a check failed.
    """
    failed = len(solution.failed)
    if failed:
        return f"{failed} of the checks failed; nothing can be cut from this spec yet."
    undecided = sum(len(frame.undecided) for frame in solution.frames)
    line = "All checks pass over the whole of the tolerances."
    if undecided:
        line = (
            f"All checks pass as drawn; {undecided} of them not over the whole of the tolerances."
        )
    loose = [] if parts is None else _loose(parts)
    if not loose:
        return line
    return f"{line} But the cut alone does not hold everything: {'; '.join(loose)}."


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
