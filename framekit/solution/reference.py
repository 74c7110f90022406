"""The page `docs/reference/laws.md`: every law with its formula, words, source and directions.

Run `python -m framekit.solution.reference` after a change of a law; a test compares.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from framekit.solution.generated import AS_MADE, DESIGN
from framekit.solution.law import Form, Law
from framekit.solution.quantities import LAW_TERMS, QUANTITIES, described, latex_symbol
from framekit.solution.sums import fill

HEAD = """\
# The laws

Written from the laws by `python -m framekit.solution.reference`; do not edit.

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

GROUPS = (
    ("The body", ("body",)),
    ("The model", ("scale", "model")),
    ("The ribs", ("rib",)),
    ("The joint", ("joint", "sheet", "cutter")),
    ("The discs", ("disc", "original")),
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
    return "\n".join(lines) + "\n"


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
