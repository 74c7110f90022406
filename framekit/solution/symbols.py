"""A quantity's row, symbol and LaTeX by its full name."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from framekit.constraints.loops import Searches
from framekit.solution.law_terms import EXPLAINED, LAW_TERMS
from framekit.solution.quantities import QUANTITIES, Row

_GREEK = {"δ": r"\delta", "φ": r"\varphi"}


def described(name: str) -> Row:
    """Return the row of a quantity, `disc-3.radius` as well as `disc.radius`; raise KeyError."""
    template = template_name(name)
    if template in LAW_TERMS:
        return LAW_TERMS[template]
    found = QUANTITIES.get(template) or EXPLAINED.get(template)
    return _of_plugin(template) if found is None else found


@lru_cache(maxsize=256)
def _of_plugin(template: str) -> Row:
    """Return the row of a plug-in's quantity: a size of the body, of the model or of the joint.

    A name that ends in `_ratio` is a plain number, every other a length. Raise KeyError for what
    no plug-in can name.
    """
    head, _, rest = template.partition(".")
    if head not in ("body", "model", "joint") or not rest:
        raise KeyError(template)
    unit = "1" if rest.endswith("_ratio") else "mm"
    letter = rest[0].upper() if head == "body" else rest[0]
    return Row(f"{letter}_{rest}", unit, f"the {head}'s {rest.replace('_', ' ')}")


@lru_cache(maxsize=4096)
def template_name(name: str) -> str:
    """The name with the disc's number taken out.

    >>> template_name("disc-3.radius")
    'disc.radius'
    """
    head, dot, tail = name.partition(".")
    kind, dash, number = head.partition("-")
    return f"{kind}{dot}{tail}" if dash and number.isdigit() else name


def symbol(name: str) -> str:
    """The symbol of a quantity, with the disc's number in brackets when it has one.

    >>> symbol("disc-3.radius")
    'R[3]'
    """
    short = described(name).symbol
    head = name.partition(".")[0]
    number = head.partition("-")[2]
    return f"{short}[{number}]" if number else short


def latex_symbol(name: str) -> str:
    """The symbol of a quantity in LaTeX, with the disc's number as a subscript.

    >>> latex_symbol("rib.pole_allowance")
    'e_{0}'
    >>> latex_symbol("disc-3.skin_radius")
    'r_{f,3}'
    """
    whole = described(name).symbol
    prime = "'" if whole.endswith("′") else ""
    letter, _, below = whole.removesuffix("′").partition("_")
    number = name.partition(".")[0].partition("-")[2]
    if len(below) > 1:
        below = rf"\mathrm{{{below}}}"
    subscript = ",".join(part for part in (below, number) if part)
    text = _GREEK.get(letter, letter) + prime
    return f"{text}_{{{subscript}}}" if subscript else text


def _beside(name: str, unknown: str) -> str:
    """Return the full name of a quantity of the same disc as the unknown."""
    return unknown.partition(".")[0] + "." + name.partition(".")[2]


_RANKED = sorted(
    ((row.search.rank, name, row) for name, row in QUANTITIES.items() if row.search is not None),
)
SEARCHES = Searches(
    rows={name: replace(row.search.over, unit=row.unit) for _, name, row in _RANKED if row.search},
    row_name=template_name,
    full_name=_beside,
    symbol=symbol,
    told=lambda name: not name.startswith(("model", "rib.pole")),
)
"""What may be searched for in a frame, the best first."""
