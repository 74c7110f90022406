"""Parts of framekit that others can add, found by entry point and loaded on first use.

The built-in ones are registered the same way, in pyproject.toml. Run `python -m framekit.plugins`
after a change there: it writes the module `own_plugins.py`, and a test compares.
"""

from __future__ import annotations

import difflib
import sys
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from framekit.errors import Fault, PluginError, UnknownNameError
from framekit.own_plugins import OWN

if TYPE_CHECKING:
    from importlib.metadata import EntryPoint

BACKENDS = "framekit.backends"
BODIES = "framekit.bodies"
CATALOGUES = "framekit.catalogues"
JOINTS = "framekit.joints"
NESTERS = "framekit.nesters"

KINDS = {
    BACKENDS: "backend",
    BODIES: "body",
    CATALOGUES: "catalogue",
    JOINTS: "joint",
    NESTERS: "nester",
}
"""What one of each group is called."""

PARTS = {
    BACKENDS: ("render",),
    BODIES: ("sizes", "skin"),
    CATALOGUES: ("bodies", "materials"),
    JOINTS: ("sizes", "slotted", "laws", "disc_laws", "margins", "notch", "slot"),
    NESTERS: ("nest",),
}
"""What the classes of each group have beside a name; the protocols say what each part means."""


_LOAD_ERRORS = (
    *(ArithmeticError, AttributeError, ImportError, LookupError, NameError),
    *(OSError, RuntimeError, SyntaxError, TypeError, ValueError),
)
"""What importing or making a class of others may raise."""


def own(group: str, name: str) -> Any:
    """Return a new object of framekit's own class of that name, None for the name of another.

    Asking the entry points would take 8 ms more.
    """
    if name not in OWN[group]:
        return None
    module, _, made = OWN[group][name].partition(":")
    return getattr(import_module(module), made)()


def names(group: str) -> tuple[str, ...]:
    """The names registered in a group, sorted."""
    return tuple(sorted({point.name for point in _points(group)}))


def _points(group: str) -> tuple[EntryPoint, ...]:
    return _found(group, tuple(sys.path))


@lru_cache(maxsize=16)
def _found(group: str, path: tuple[str, ...]) -> tuple[EntryPoint, ...]:
    """The entry points of a group; looking takes 8 ms, so it is done once for an import path."""
    from importlib.metadata import entry_points  # 10 ms, and a check of framekit's own needs none

    return tuple(entry_points(group=group))


def load(group: str, name: str) -> Any:
    """A new object of the class registered under that name.

    Raises UnknownNameError when no plug-in has the name, PluginError when two have it, when it
    cannot be imported, lacks a part, or calls itself otherwise.
    """
    kind = KINDS[group]
    found = [point for point in _points(group) if point.name == name]
    distinct = {point.value: point for point in found}
    if not distinct:
        known = names(group)
        close = difflib.get_close_matches(name, known, n=2)
        near = f" Did you mean {' or '.join(close)}?" if close else ""
        raise UnknownNameError(
            Fault(
                f"unknown-{kind}",
                f"there is no {kind} named '{name}'",
                hint=f"Known: {', '.join(known) or 'none'}.{near}",
            )
        )
    if len(distinct) > 1:
        providers = sorted(f"{point.value} of {package(point)}" for point in distinct.values())
        raise PluginError(
            Fault(
                f"doubled-{kind}",
                f"the {kind} '{name}' is registered by {' and '.join(providers)}",
                hint="Uninstall one of the two.",
            )
        )
    return _made(group, name, next(iter(distinct.values())))


def package(point: EntryPoint) -> str:
    """The package an entry point comes from, with its version."""
    return f"{point.dist.name} {point.dist.version}" if point.dist else "an unknown package"


def _made(group: str, name: str, point: EntryPoint) -> Any:
    try:
        made = point.load()()
    except _LOAD_ERRORS as error:
        raise _broken(group, name, point, f"cannot be loaded: {error!r}") from error
    missing = [part for part in PARTS[group] if not hasattr(made, part)]
    if missing:
        raise _broken(group, name, point, f"lacks '{missing[0]}'")
    if getattr(made, "name", None) != name:
        own = repr(getattr(made, "name", None))
        raise _broken(
            group, name, point, f"calls itself {own}; its 'name' and its entry point must agree"
        )
    return made


def _broken(group: str, name: str, point: EntryPoint, what: str) -> PluginError:
    kind, provider = KINDS[group], package(point)
    return PluginError(
        Fault(
            f"broken-{kind}",
            f"the {kind} '{name}' ({point.value}, from {provider}) {what}",
            hint=f"Update, mend or uninstall {point.dist.name if point.dist else provider}.",
        )
    )


def own_module() -> str:
    """Return the text of `own_plugins.py`, from the entry points in pyproject.toml."""
    import tomllib

    text = (Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8")
    lines = ['"""Generated by `python -m framekit.plugins`; do not edit."""', "", "OWN = {"]
    for group, points in tomllib.loads(text)["project"]["entry-points"].items():
        lines.append(f'    "{group}": {{')
        lines += [f'        "{name}": "{value}",' for name, value in points.items()]
        lines.append("    },")
    return "\n".join(
        [*lines, "}", '"""framekit\'s own plug-ins: module and class by group and name."""', ""]
    )


if __name__ == "__main__":
    Path(__file__).with_name("own_plugins.py").write_text(own_module(), encoding="utf-8")
