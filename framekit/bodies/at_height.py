"""What laws of a skin are made of: an expression at a height that itself is computed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from framekit.bodies.model import Expression, Skin, clamped
from framekit.constraints.law import Branch, Form, Law

OURS = "docs/explanation/geometry.md"
ENGAGED = "how deep the disc sits in the rib, as cut, where it is least, above one thickness"
LOW, HIGH = "model.low_end", "model.high_end"


class At:
    """An expression at a height that itself is computed, with the text of both."""

    def __init__(self, expression: Expression, start: int) -> None:
        """Keep the expression and the place of its first input among the law's inputs."""
        self.expression = expression
        self.names = (*expression.inputs, LOW, HIGH)
        self.start = start

    def value(self, m: Any, z: Any, values: tuple[Any, ...]) -> Any:
        """The value at a height; `values` are those of `names`."""
        *inputs, low, high = values
        return self.expression.function(m, clamped(m, z, low, high), *inputs)

    def text(self, height: str) -> str:
        """The template with the height's own text; inputs count from `start`."""
        places = [height, *(f"{{{self.start + i}}}" for i in range(len(self.expression.inputs)))]
        return self.expression.template.format(*places)

    def latex(self, height: str) -> str:
        """The LaTeX with the height's own; inputs count from `start`."""
        text = self.expression.latex.replace("<0>", "\0")
        for i in reversed(range(len(self.expression.inputs))):
            text = text.replace(f"<{i + 1}>", f"\1{self.start + i}\2")
        return text.replace("\0", height).replace("\1", "<").replace("\2", ">")


def made_law(
    name: str,
    output: str,
    inputs: tuple[str, ...],
    function: Callable[..., Any],
    template: str,
    latex: str,
    words: str,
    branches: tuple[Branch, ...] = (),
) -> Law:
    """The law `output` from `inputs`, read from right to left only."""
    form = Form(output, inputs, function, template, latex, branches)
    return Law(name, words, OURS, tuple(dict.fromkeys((output, *inputs))), (form,))


def least_over(skin: Skin, at: At) -> Callable[..., Any]:
    """The skin's least radius over the thickness of a disc."""

    def function(m: Any, z: Any, t: Any, values: tuple[Any, ...]) -> Any:
        faces = [at.value(m, z - t / 2, values), at.value(m, z + t / 2, values)]
        for height, radius in skin.waists:
            scale = values[0]
            inside = t / 2 - m.abs(z - height / scale)
            faces.append(m.choose(inside, radius / scale, faces[0]))
        return m.min(*faces)

    return function
