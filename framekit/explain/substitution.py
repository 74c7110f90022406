"""A quantity's sum: its formula with the numbers put in, and which branch of a law holds."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from framekit.constraints.law import Branch, Form
from framekit.constraints.loops import LoopSearch
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Step
from framekit.explain.model import Alternative, Choice, Substitution
from framekit.explain.rounding import (
    PrintedNumber,
    Rounding,
    digits_for,
    is_length,
    printed,
    unit_latex,
    unit_text,
    with_minus,
)
from framekit.solution.model import Quantity
from framekit.solution.symbols import described, latex_symbol, symbol
from framekit.spec.measure import LENGTH_UNITS


def number_of(quantity: Quantity) -> PrintedNumber:
    """The quantity's number in the unit people read it in; what is not derived is exact."""
    value = quantity.value / LENGTH_UNITS.get(quantity.unit, 1.0)
    return PrintedNumber(value, quantity.unit, exact=quantity.step is None)


MARGIN = "m"
"""The symbol of every check's margin."""


def is_margin(name: str) -> bool:
    """Whether the name is a check's, `slot-gap of joint`, and not a quantity's."""
    return " of " in name


def substitutions(
    quantities: Mapping[str, Quantity], quantity: Quantity, rounding: Rounding
) -> tuple[Substitution, Substitution]:
    """The sum of a quantity as plain text and in LaTeX."""
    plain = latex = MARGIN
    if not is_margin(quantity.name):
        plain, latex = symbol(quantity.name), latex_symbol(quantity.name)
    step = quantity.step
    if step is None:
        return Substitution(plain), Substitution(latex)
    if is_search(step):
        return _unsolved(step, plain, latex)
    form = step.form
    part: Form | Branch = branch_taken(quantities, quantity) or form
    formula, latex_formula = formulas(form, step.inputs)
    if not step.inputs:
        return Substitution(plain, formula), Substitution(latex, latex_formula)
    inputs = [number_of(quantities[n]) for n in step.inputs]
    result = printed(number_of(quantity), rounding)

    def compute(numbers: Sequence[float]) -> str:
        values = [
            number * LENGTH_UNITS.get(item.unit, 1.0)
            for number, item in zip(numbers, inputs, strict=True)
        ]
        try:
            value = float(part.function(FLOATS, *values))
        except (ValueError, ZeroDivisionError, OverflowError):
            return ""
        value /= LENGTH_UNITS.get(quantity.unit, 1.0)
        return printed(number_of(quantity)._replace(value=value), rounding)

    numbers = digits_for(inputs, result, rounding, compute)
    units = _units(quantities, quantity)
    plain_angles = in_radians(step)
    texts, latexes = [], []
    for i, (number, item) in enumerate(zip(numbers, inputs, strict=True)):
        unit = item.unit if units or not is_length(item.unit) else "1"
        unit = "1" if plain_angles and unit == "deg" else unit
        powered = re.search(rf"\{{{i}\}}[²³⁴^]", part.template)
        bracket = number.startswith("-") or (unit != "1" and powered)
        text = with_minus(number) + unit_text(unit)
        texts.append(f"({text})" if bracket else text)
        text = number + unit_latex(unit)
        latexes.append(rf"\left({text}\right)" if bracket else text)
    substituted = re.sub(r"\|\((−[\d.]+)\)\|", r"|\1|", part.template.format(*texts))
    return (
        Substitution(plain, formula, substituted),
        Substitution(latex, latex_formula, fill(part.latex, latexes)),
    )


def formulas(form: Form, names: Sequence[str]) -> tuple[str, str]:
    """Return a form in the symbols of its inputs' full names, as plain text and in LaTeX."""
    latex = fill(form.latex, [latex_symbol(name) for name in names])
    return form.template.format(*map(symbol, names)), latex


def fill(template: str, texts: Sequence[str]) -> str:
    r"""The LaTeX of a law with a text for every input.

    >>> fill(r"\frac{<0>}{2}", ["D"])
    '\\frac{D}{2}'
    """
    return re.sub(r"<(\d+)>", lambda match: texts[int(match[1])], template)


def is_search(step: Step) -> bool:
    """Whether a step has no sum: it looks for the value at which a law holds, or is a reading."""
    return not step.form.latex


def is_reading(step: Step) -> bool:
    """Whether the value of a step is read off a curve."""
    return is_search(step) and not isinstance(step.form.function, LoopSearch)


def in_radians(step: Step) -> bool:
    """Whether a step's formula turns angles into radians itself, as formulas of authors do."""
    angles = any(described(name).unit == "deg" for name in step.inputs)
    return "π" in step.form.template or (has_angles(step) and not angles)


def has_angles(step: Step) -> bool:
    """Whether a step's formula has a function of an angle."""
    return re.search(r"(sin|cos|tan)\(", step.form.template) is not None


def notation(step: Step) -> str:
    """What has to be said of a formula's functions, as the end of a sentence; often empty."""
    words = "; angles in radians" if in_radians(step) and has_angles(step) else ""
    return words + ("; log is the natural logarithm, ln" if "log(" in step.form.template else "")


def _unsolved(step: Step, plain: str, latex: str) -> tuple[Substitution, Substitution]:
    """Return how a value without a sum is read off, or the law that must hold for it."""
    relation, form = step.relation, step.relation.law.forms[0]
    text, law = formulas(form, [relation.name_of(n) for n in form.inputs])
    if is_reading(step):
        reading = rf"\text{{read off: }} {law}"
        return Substitution(plain, f"read off: {text}"), Substitution(latex, reading)
    output = latex_symbol(relation.name_of(form.output))
    found = rf"\text{{the value at which }} {output} = {law}"
    return Substitution(plain, step.form.template), Substitution(latex, found)


def _units(quantities: Mapping[str, Quantity], quantity: Quantity) -> tuple[str, ...]:
    """The units of length that meet in a step, none when all are the same."""
    step = quantity.step
    names = () if step is None else step.inputs
    units = [*(quantities[n].unit for n in names), quantity.unit]
    different = tuple(dict.fromkeys(unit for unit in units if is_length(unit)))
    return different if len(different) > 1 else ()


def conversion_of(quantities: Mapping[str, Quantity], quantity: Quantity) -> str:
    """How the units that meet in a step turn into mm; empty when there is one only."""
    units = (unit for unit in _units(quantities, quantity) if unit != "mm")
    return "; ".join(f"1 {unit} = {LENGTH_UNITS[unit]:.10g} mm" for unit in units)


def branch_taken(quantities: Mapping[str, Quantity], quantity: Quantity) -> Branch | None:
    """The branch of a law that chooses whose value is the quantity's; None where it has none."""
    step = quantity.step
    if step is None:
        return None
    inputs = [quantities[n].value for n in step.inputs]
    return min(
        step.form.branches,
        key=lambda branch: abs(float(branch.function(FLOATS, *inputs)) - quantity.value),
        default=None,
    )


def choice_of(
    quantities: Mapping[str, Quantity], quantity: Quantity, rounding: Rounding
) -> Choice | None:
    """What the law behind a quantity took and did not take; None where it has no choice."""
    step = quantity.step
    taken = branch_taken(quantities, quantity)
    if step is None or taken is None:
        return None
    inputs = [quantities[n].value for n in step.inputs]
    size = LENGTH_UNITS.get(quantity.unit, 1.0)

    def alternative(branch: Branch) -> Alternative:
        value = float(branch.function(FLOATS, *inputs)) / size
        text = with_minus(printed(PrintedNumber(value, quantity.unit), rounding))
        text += unit_text(quantity.unit)
        return Alternative(branch.words, value, text if "{" in branch.template else "")

    others = tuple(alternative(b) for b in step.form.branches if b is not taken)
    return Choice(alternative(taken), others)
