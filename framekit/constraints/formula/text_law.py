"""Laws written as text, for plug-ins: `disc.radius` from `disc.skin_radius - joint.lip`.

The text passes the same whitelist as an author's formula, so it needs no sympy. It is read from
right to left; a quantity on the right side is found by a search.
"""

from __future__ import annotations

import re

from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.law import Form, Law

_NAME = re.compile(r"[a-z_]+\.[a-z_0-9]+")


def text_law(name: str, output: str, formula: str, words: str, source: str) -> Law:
    """The law `output = formula`; names are quantities as in `quantities`, `disc.` for any disc.

    Angles are radians; `words` say what the law says and `source` where it comes from. Raises
    SpecError for what is no formula.

    >>> text_law("lip", "disc.radius", "disc.skin_radius - 2", "a lip of 2 mm", "ours").quantities
    ('disc.radius', 'disc.skin_radius')
    """
    names = tuple(dict.fromkeys(_NAME.findall(formula)))
    parsed = parse_formula(formula, names, internal=True)
    form = Form(
        output, names, parsed.over(names), _template(parsed.template, parsed.names, names), ""
    )
    latex = _latex(parsed.latex, parsed.names, names)
    return Law(
        name, words, source, tuple(dict.fromkeys((output, *names))), (form._replace(latex=latex),)
    )


def _template(template: str, used: tuple[str, ...], names: tuple[str, ...]) -> str:
    """The template with its places counted in the order of `names`."""
    return template.format(*(f"{{{names.index(name)}}}" for name in used))


def _latex(latex: str, used: tuple[str, ...], names: tuple[str, ...]) -> str:
    for i, name in enumerate(used):
        latex = latex.replace(f"<{i}>", f"\0{names.index(name)}\1")
    return latex.replace("\0", "<").replace("\1", ">")
