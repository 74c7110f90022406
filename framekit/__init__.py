"""From a short YAML spec to cut files for a to-scale slotted frame of a body of revolution.

The stages in order: `load_spec`, `solve`, `make_parts`, `verify_parts`, `nest`, `write`; `build`
runs them all.
Names are loaded on first use, so that `import framekit` costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from framekit.analysis.build import solve_spec as solve
    from framekit.analysis.sweep import solve_many as solve_many
    from framekit.errors import FramekitError as FramekitError
    from framekit.files.model import Files as Files
    from framekit.parts.build import make_parts as make_parts
    from framekit.parts.model import Parts as Parts
    from framekit.pipeline import build as build
    from framekit.pipeline import nest as nest
    from framekit.pipeline import verify_parts as verify_parts
    from framekit.pipeline import write as write
    from framekit.sheets.model import Sheets as Sheets
    from framekit.solution.model import Solution as Solution
    from framekit.spec.build import load_spec as load_spec
    from framekit.spec.model import Spec as Spec

__version__ = "0.1.0"

__all__ = [
    "Files",
    "FramekitError",
    "Parts",
    "Sheets",
    "Solution",
    "Spec",
    "__version__",
    "build",
    "load_spec",
    "make_parts",
    "nest",
    "solve",
    "solve_many",
    "verify_parts",
    "write",
]

_HOMES = {
    "Files": "framekit.files.model",
    "FramekitError": "framekit.errors",
    "Parts": "framekit.parts.model",
    "Sheets": "framekit.sheets.model",
    "Solution": "framekit.solution.model",
    "Spec": "framekit.spec.model",
    "build": "framekit.pipeline",
    "load_spec": "framekit.spec.build",
    "make_parts": "framekit.parts.build",
    "nest": "framekit.pipeline",
    "solve": "framekit.analysis.build:solve_spec",
    "solve_many": "framekit.analysis.sweep",
    "verify_parts": "framekit.pipeline",
    "write": "framekit.pipeline",
}


def __getattr__(name: str) -> Any:
    """The public object of that name, loaded on first use."""
    if name not in _HOMES:
        raise AttributeError(f"module 'framekit' has no attribute '{name}'")
    module, _, own_name = _HOMES[name].partition(":")
    return getattr(import_module(module), own_name or name)


def __dir__() -> list[str]:
    """The public names."""
    return sorted(__all__)
