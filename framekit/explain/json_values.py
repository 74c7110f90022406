"""A derivation and a worksheet as plain values, for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from framekit.explain.model import AsMade, DerivationStep, Worksheet
from framekit.explain.rounding import with_minus
from framekit.explain.worksheet_pages import MARKING, TASK_ROUNDING


def derivation_values(steps: Sequence[DerivationStep]) -> list[dict[str, Any]]:
    """Return the steps as plain values, ready for JSON.

    The page docs/reference/command-line.md documents their keys. `file` and `line` are None where
    a step comes from nothing in the spec.
    """
    return [_step_values(step) for step in steps]


def _step_values(step: DerivationStep) -> dict[str, Any]:
    latex, choice, made = step.latex, step.choice, step.as_made
    return {
        **_fields(step, "name", "symbol"),
        "latex": latex.symbol,
        "formula": step.formula,
        "latex_formula": latex.formula,
        "substituted": step.substituted,
        "latex_substituted": latex.substituted,
        **_fields(step, "value", "result", "unit", "words", "law", "source", "origin"),
        "inputs": list(step.inputs),
        "lines": list(step.lines),
        "conversion": step.conversion,
        "choice": choice
        and {
            "taken": _fields(choice.taken, "words", "value"),
            "others": [_fields(other, "words", "value") for other in choice.others],
        },
        "as_made": made and _as_made_values(made),
        "check": step.check
        and _fields(step.check, "code", "about", "verdict", "text", "limited_by"),
        **_fields(step.where, "file", "line"),
    }


def _as_made_values(made: AsMade) -> dict[str, Any]:
    names = ("low_result", "high_result", "sigma_result")
    return {
        **_fields(made, "low", "high", "sigma"),
        **dict(zip(names, map(with_minus, made.printed), strict=True)),
        **_fields(made, "formula", "latex_formula"),
        "shares": [share._asdict() for share in made.shares],
        "curved": made.curved,
    }


def worksheet_values(sheet: Worksheet) -> dict[str, Any]:
    """Return the worksheet as plain values, ready for JSON."""
    return {
        "title": sheet.title,
        "rounding": TASK_ROUNDING,
        "marking": MARKING,
        "givens": derivation_values(sheet.givens),
        "notes": derivation_values(sheet.notes),
        "tasks": [
            {
                **_fields(task, "number", "section", "decimals", "low", "high"),
                "step": _step_values(task.step),
            }
            for task in sheet.tasks
        ],
        "mirrored": [{"disc": disc, "original": twin} for disc, twin in sheet.mirrored],
    }


def _fields(item: object, *names: str) -> dict[str, Any]:
    return {name: getattr(item, name) for name in names}
