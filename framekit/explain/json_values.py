"""A derivation as plain values, for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from framekit.explain.build import DerivationStep


class AlternativeValues(TypedDict):
    """What a law could choose, in JSON."""

    words: str
    value: float


class ChoiceValues(TypedDict):
    """What a law that chooses took, and what else there was, in JSON."""

    taken: AlternativeValues
    others: list[AlternativeValues]


class ShareValues(TypedDict):
    """What one toleranced input does, in JSON: slope in the step's unit by mm, share of 1."""

    input: str
    slope: float
    share: float


class AsMadeValues(TypedDict):
    """The range over the tolerances, in JSON, in the step's unit; `…_result` as printed."""

    low: float
    high: float
    sigma: float
    low_result: str
    high_result: str
    sigma_result: str
    formula: str
    latex_formula: str
    shares: list[ShareValues]
    curved: bool


class CheckValues(TypedDict):
    """The check whose margin a step gives, in JSON."""

    code: str
    about: str
    verdict: str
    text: str
    limited_by: str


class StepValues(TypedDict):
    """One step of a derivation in JSON: `value` in `unit`, `result` the same as printed.

    `inputs` are the names of what it is made from, `lines` those of the spec it reads from.
    `file` and `line` are null where nothing in the spec stands behind it.
    """

    name: str
    symbol: str
    latex: str
    formula: str
    latex_formula: str
    substituted: str
    latex_substituted: str
    value: float
    result: str
    unit: str
    words: str
    law: str
    source: str
    origin: str
    inputs: list[str]
    lines: list[int]
    conversion: str
    choice: ChoiceValues | None
    as_made: AsMadeValues | None
    check: CheckValues | None
    file: str | None
    line: int | None


def derivation_values(steps: Sequence[DerivationStep]) -> list[StepValues]:
    """The steps as plain values, ready for JSON."""
    return [
        StepValues(
            name=step.name,
            symbol=step.symbol,
            latex=step.latex.symbol,
            formula=step.formula,
            latex_formula=step.latex.formula,
            substituted=step.substituted,
            latex_substituted=step.latex.substituted,
            value=step.value,
            result=step.result,
            unit=step.unit,
            words=step.words,
            law=step.law,
            source=step.source,
            origin=step.origin,
            inputs=list(step.inputs),
            lines=list(step.lines),
            conversion=step.conversion,
            choice=_choice_values(step),
            as_made=_as_made_values(step),
            check=_check_values(step),
            file=step.where.file,
            line=step.where.line,
        )
        for step in steps
    ]


def _as_made_values(step: DerivationStep) -> AsMadeValues | None:
    made = step.as_made
    if made is None:
        return None
    low, high, sigma = (text.replace("-", "−") for text in made.printed)
    return AsMadeValues(
        low=made.low,
        high=made.high,
        sigma=made.sigma,
        low_result=low,
        high_result=high,
        sigma_result=sigma,
        formula=made.formula,
        latex_formula=made.latex_formula,
        shares=[ShareValues(input=s.input, slope=s.slope, share=s.share) for s in made.shares],
        curved=made.curved,
    )


def _check_values(step: DerivationStep) -> CheckValues | None:
    check = step.check
    if check is None:
        return None
    return CheckValues(
        code=check.code,
        about=check.about,
        verdict=check.verdict,
        text=check.text,
        limited_by=check.limited_by,
    )


def _choice_values(step: DerivationStep) -> ChoiceValues | None:
    if step.choice is None:
        return None
    taken, *others = (
        AlternativeValues(words=a.words, value=a.value)
        for a in (step.choice.taken, *step.choice.others)
    )
    return ChoiceValues(taken=taken, others=others)
