"""Parts of framekit that others can add, found by entry point and loaded on first use.

The built-in ones are registered the same way, in pyproject.toml.
"""

from __future__ import annotations

import difflib
from importlib.metadata import EntryPoint, entry_points
from typing import Any

from framekit.errors import Fault, PluginError, UnknownNameError

BACKENDS = "framekit.backends"
NESTERS = "framekit.nesters"


def names(group: str) -> tuple[str, ...]:
    """The names registered in a group, sorted."""
    return tuple(sorted({point.name for point in entry_points(group=group)}))


def load(group: str, name: str) -> Any:
    """A new object of the class registered under that name.

    Raises UnknownNameError when no plug-in has the name, PluginError when two have it, when it
    cannot be imported, or when it calls itself otherwise.
    """
    kind = group.rpartition(".")[2][:-1]
    found = [point for point in entry_points(group=group) if point.name == name]
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
        raise PluginError(
            Fault(
                f"doubled-{kind}",
                f"the {kind} '{name}' is registered by {' and '.join(sorted(distinct))}",
                hint="Uninstall one of the two.",
            )
        )
    return _made(kind, name, next(iter(distinct.values())))


def _made(kind: str, name: str, point: EntryPoint) -> Any:
    try:
        made = point.load()()
    except (ImportError, AttributeError, TypeError) as error:
        raise PluginError(
            Fault(
                f"broken-{kind}",
                f"the {kind} '{name}' ({point.value}) cannot be loaded: {error}",
                hint="Reinstall or remove the package it comes from.",
            )
        ) from error
    if getattr(made, "name", None) != name:
        raise PluginError(
            Fault(
                f"broken-{kind}",
                f"the {kind} registered as '{name}' calls itself {getattr(made, 'name', None)!r}",
                hint="Its 'name' and its entry point must be the same.",
            )
        )
    return made
