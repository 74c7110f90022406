"""What the kits of bodies and joints share: frames from plain data, and their assembly test."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from framekit.errors import BuildError, FramekitError
from framekit.parts.build import make_parts
from framekit.parts.tested import tested_parts
from framekit.plugins import KINDS, load
from framekit.solution.build import solve
from framekit.solution.model import FrameSolution
from framekit.spec.build import parse_spec


def check_name(name: object) -> None:
    """Pass when a name is lower case letters, digits and hyphens, else raise AssertionError."""
    plain = isinstance(name, str) and re.fullmatch(r"[a-z][a-z0-9-]{0,39}", name)
    assert plain, f"the name {name!r} is not plain lower case"


def check_sizes(sizes: object, own: tuple[str, ...], sections: tuple[str, ...]) -> None:
    """Pass when the names of sizes can be used and are none of framekit's `own` quantities."""
    assert isinstance(sizes, tuple), "'sizes' is not a tuple of names"
    for size in sizes:
        plain = isinstance(size, str) and re.fullmatch(r"[a-z][a-z0-9_]{0,30}", size)
        assert plain, f"the size {size!r} is not a plain name"
        reserved = [f"{section}.{size}" for section in sections if f"{section}.{size}" in own]
        assert not reserved, f"the size '{size}' is framekit's own {reserved and reserved[0]}"


def check_installed(group: str, made: Any) -> None:
    """Pass when framekit finds the same class under its name, else raise AssertionError."""
    kind = KINDS[group]
    try:
        found = load(group, made.name)
    except FramekitError as error:
        raise AssertionError(f"framekit does not find the {kind}: {error}") from error
    assert type(found) is type(made), f"the {kind} '{made.name}' that framekit finds is another"


FAILURES = (FramekitError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError)
"""What solving with the formulas of others may raise."""


def solved(document: Mapping[str, Any]) -> FrameSolution:
    """The solution of the one frame that a document says; raises FramekitError."""
    text = json.dumps({"framekit": 1, "id": "kit", **document}, ensure_ascii=False)
    return solve(parse_spec(text, "kit.yaml")).frames[0]


def stands(document: Mapping[str, Any]) -> str:
    """Why the frame that a document says stands no test yet; empty where it stands them all.

    Raises AssertionError where all checks pass and yet its parts cannot be made, overlap, fall
    apart, leave the skin or have no way in.
    """
    text = json.dumps({"framekit": 1, "id": "kit", **document}, ensure_ascii=False)
    try:
        solution = solve(parse_spec(text, "kit.yaml"))
    except FramekitError as error:
        return str(error)
    except FAILURES as error:
        raise AssertionError(f"solving fails with {error!r} ({text})") from error
    failed = solution.failed
    if failed:
        return f"{failed[0].name}: {failed[0].margin:+.3f} mm. {failed[0].text}"
    try:
        tested_parts(make_parts(solution))
    except BuildError as error:
        raise AssertionError(f"all checks pass, and yet: {error} ({text})") from error
    except (FramekitError, ArithmeticError, ValueError) as error:
        raise AssertionError(f"all checks pass, and no parts come: {error!r} ({text})") from error
    return ""
