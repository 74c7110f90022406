"""The page `docs/reference/laws.md`: every law with its formula, words, source and directions.

Run `python -m framekit.explain.reference` after a change of a law; a test compares.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from framekit.bodies.cone import cone
from framekit.bodies.model import Expression, Skin
from framekit.bodies.profile import formula_profile, points_profile, profile_skin
from framekit.bodies.spheroid import spheroid
from framekit.bodies.superellipsoid import superellipsoid
from framekit.constraints.law import Form, Law
from framekit.explain.substitution import fill
from framekit.solution.book import skin_book
from framekit.solution.generated import AS_MADE, DESIGN
from framekit.solution.law_terms import LAW_TERMS
from framekit.solution.quantities import QUANTITIES
from framekit.solution.symbols import described, latex_symbol

HEAD = """\
# The laws

Written from the laws by `python -m framekit.explain.reference`; do not edit.

Every number of a frame follows from these laws. A law is one equation, and it is read for
whichever of its quantities is wanted. `framekit explain SPEC QUANTITY` prints the laws that were
used, with the numbers of a spec; [the geometry page](../explanation/geometry.md) derives them.
Lengths are mm, angles degrees. The body's own sizes may be in any unit of length.
"""

SYMBOLS = "In a frame, `disc.` stands for `disc-1.`, `disc-2.` … in the order of the spec."

MADE = """\
A file is drawn for the sheet, kerf and clearance of the spec; what is cut has the real ones. A
prime marks what is made: $t'$, $k'$ and $g'$ are the real sheet, kerf and clearance, each within
its tolerance. The tolerances of a result come from these laws.
"""

MARGINS = """\
What [the checks](checks.md) look at, in mm: each margin, $m$, must be zero or more over all
tolerances.
"""

SKINS = """\
The laws above about the skin and the ribs' inner edge are those of a whole sphere or spheroid. Any
other body, and a spheroid with a part cut off, has the laws below. They are made when its spec is
read, from three functions of a height $z$ on the model.

- $r(z)$ is the skin's radius,
- $r'(z)$ its slope,
- $r_{i}(z)$ the ribs' inner edge, which is negative where a rib is solid to the axis.

Beyond the body's ends each counts as at the end. [The geometry page](../explanation/geometry.md)
says how they are found. What is not named here follows from the laws above.
"""

SKIN_DESIGN = """\
These stand in place of the spheroid's, with the body's own functions put in. They are read from
right to left alone, but where an end is closed: there the height of the rib's end, or of the bend
where its inner edge meets the pole gap, is what makes both sides equal. At a waist of the skin
within a disc's thickness the waist's radius counts.
"""

SKIN_MADE = """\
These are the laws of what is made, and of the margins, that hang on the skin. Of margins at the
ribs' ends the lower one is shown; the upper one is its mirror image.
"""

SKIN_EXAMPLES = """\
`framekit explain` prints the laws above with the body's own functions. One of each kind:
"""

GROUPS = (
    ("The body", ("body",)),
    ("The model", ("scale", "model")),
    ("The ribs", ("rib",)),
    ("The joint", ("joint", "sheet", "disc_sheet", "cutter")),
    ("The discs", ("disc", "original")),
    ("The flanges", ("flange",)),
)


def laws_page() -> str:
    """The text of the page, in Markdown with LaTeX."""
    lines = [HEAD, "## Symbols", "", SYMBOLS, ""]
    lines += ["| symbol | name | unit | what it is |", "| --- | --- | --- | --- |"]
    for name in (*QUANTITIES, *LAW_TERMS):
        about = described(name)
        lines.append(f"| ${latex_symbol(name)}$ | `{name}` | {_unit(name)} | {about.words} |")
    for heading, heads in GROUPS:
        lines += ["", f"## {heading}"]
        for law in DESIGN:
            if law.forms[0].output.partition(".")[0] in heads:
                lines += ["", *_design(law)]
    dimensions = [law for law in AS_MADE if law.name in QUANTITIES]
    lines += ["", "## As made", "", MADE.rstrip("\n")]
    for law in dimensions:
        lines += ["", *_made(law, primed(latex_symbol(law.name)))]
    lines += ["", "## The margins of the checks", "", MARGINS.rstrip("\n")]
    for law in AS_MADE:
        if law not in dimensions:
            lines += ["", *_made(law, "m")]
    return "\n".join([*lines, "", *_skins()]) + "\n"


def _zero(*values: Any) -> float:
    """What a function that is only printed gives."""
    return 0.0


def _any_skin() -> Skin:
    """A skin whose functions are printed by their names alone."""
    radius, slope, inner = (
        Expression((), _zero, f"{name}({{0}})", rf"{latex}\left(<0>\right)")
        for name, latex in (("r", "r"), ("r′", "r'"), ("r_i", "r_{i}"))
    )
    return Skin("any", radius, slope, inner, (), (True, True))


def _example_skins() -> Iterator[tuple[str, str, Skin]]:
    """One skin of each kind: what it is, words about its functions, and the skin."""
    vase = ((45.0, 0.0), (62.0, 40.0), (70.0, 80.0), (52.0, 130.0), (34.0, 165.0), (40.0, 190.0))
    egg = formula_profile("21.5*sqrt(1 - (z/28)**2)*(1 - 0.12*z/28)", -28.0, 28.0)
    width = "The width $w$ runs from $w_{b}$ below over $w_{e}$ in the middle to $w_{t}$ above."
    moved = "the inner edge is the skin moved inward along its normal by the rib's width"
    yield (
        "A spheroid cut off, such as `specs/planetarium-dome.yaml`",
        "The inner edge is an ellipse of its own.",
        spheroid(closed=(False, True)),
    )
    yield (
        "A superellipsoid of exponent 2.5",
        "The slope is the derivative. $z_{a}$, $k_{a}$, $z_{b}$ and $k_{b}$ have formulas here.",
        superellipsoid(2.5),
    )
    yield (
        "A cone or cylinder, such as `specs/garden-bin.yaml`",
        width,
        cone(),
    )
    yield (
        "A profile by points, such as `specs/clay-vase.yaml`",
        f"On the right $r$ and $r'$ are those of the real curve through the points, and {moved}. "
        + width,
        profile_skin(points_profile(vase, True)),
    )
    yield (
        "A profile by a formula, such as `specs/hen-egg.yaml`",
        f"On the right $r'$ is the formula's derivative, and {moved}. {width}",
        profile_skin(egg),
    )


def _skins() -> Iterator[str]:
    """The section on the laws that a skin brings."""
    book = skin_book(_any_skin())
    yield from ("## The laws of a skin", "", SKINS, SKIN_DESIGN)
    for law in book.design.values():
        if law.name.startswith("skin-"):
            form = law.forms[0]
            yield from _of_skin(law.name, latex_symbol(form.output), form, law.words)
    yield SKIN_MADE
    standard = {law.name: law.forms[0] for law in AS_MADE}
    for name, form in book.made.items():
        if form is not standard.get(name) and not name.endswith("-high"):
            left = primed(latex_symbol(name)) if name in QUANTITIES else "m"
            yield from _of_skin(name, left, form, book.words[name])
    yield from (
        f"Source of them all: {_source('docs/explanation/geometry.md')}.",
        "",
        SKIN_EXAMPLES,
    )
    for heading, words, skin in _example_skins():
        yield from (f"**{heading}**. {words}", "")
        functions = (("r(z)", skin.radius), ("r'(z)", skin.slope), ("r_{i}(z)", skin.inner))
        for left, expression in functions:
            right = fill(expression.latex, ["z", *map(latex_symbol, expression.inputs)])
            if right != left:
                yield from (f"$${left} = {_plain(right)}$$", "")
        for law in skin.own:
            form = law.forms[0]
            yield from (_plain(_equation(latex_symbol(form.output), form)), "")
        for source in dict.fromkeys(law.source for law in skin.own):
            yield from (f"Source: {_source(source)}.", "")
    yield "Sources of the others: the equations of the ellipse and of the straight line, and"
    yield f"{_source('docs/explanation/geometry.md')}."


def _of_skin(name: str, left: str, form: Form, words: str) -> Iterator[str]:
    yield from (f"**{name}**: {words}.", "", _plain(_equation(left, form)), "")


def _plain(latex: str) -> str:
    """The LaTeX without doubled brackets, and without spacing that Markdown takes for an escape."""
    single = re.sub(r"\\left\(\(([^()]*)\)\\right\)", r"\\left(\1\\right)", latex)
    return single.replace(r" \;", "")


def _design(law: Law) -> Iterator[str]:
    first, *others = law.forms
    yield from (f"### {law.name}", "", f"{_sentence(law.words)}", "")
    yield from (_equation(latex_symbol(first.output), first), "")
    if first.branches:
        yield from (f"It is {' or '.join(branch.words for branch in first.branches)}.", "")
    if others:
        yield from ("Read for the others:", "")
        for form in others:
            yield from (_equation(latex_symbol(form.output), form), "")
    else:
        yield from (f"It is read for ${latex_symbol(first.output)}$ alone.", "")
    yield from _foot(law)


def _made(law: Law, left: str) -> Iterator[str]:
    yield from (f"### {law.name}", "", f"{_sentence(law.words)}", "")
    form = law.forms[0]
    if fill(form.latex, [latex_symbol(n) for n in form.inputs]) != left:
        yield from (_equation(left, form), "")
    yield from _foot(law)


def _foot(law: Law) -> Iterator[str]:
    names = [n for n in law.quantities if n != law.name or n in QUANTITIES]
    units = ", ".join(f"${latex_symbol(n)}$ `{n}` ({_unit(n)})" for n in names)
    yield f"- Quantities: {units}"
    yield f"- Source: {_source(law.source)}"


def _equation(left: str, form: Form) -> str:
    right = fill(form.latex, [latex_symbol(n) for n in form.inputs])
    return f"$${left} = {right}$$"


def primed(symbol: str) -> str:
    """The symbol of what is made.

    >>> primed("r_{b}"), primed("t")
    ("r'_{b}", "t'")
    """
    letter, below, rest = symbol.partition("_")
    return f"{letter}'{below}{rest}"


def _unit(name: str) -> str:
    return {"1": "plain", "deg": "°"}.get(described(name).unit, described(name).unit)


def _source(source: str) -> str:
    prefix = "docs/"
    if not source.startswith(prefix):
        return source
    file = source.removeprefix(prefix)
    return f"[{source}](../{file})"


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:] + "."


def target() -> Path:
    """Where the page lies."""
    return Path(__file__).resolve().parents[2] / "docs" / "reference" / "laws.md"


def main() -> None:
    """Write the page."""
    target().write_text(laws_page(), encoding="utf-8")


if __name__ == "__main__":
    main()
