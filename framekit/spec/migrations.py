"""The versions of the spec language: an older spec is turned into the current version when read.

A new version takes three steps. Raise `Current` by one. Write a function that turns a document of
the version before into one of the new, with `moved` where a key goes elsewhere, so that every
value keeps its place in the author's file. Enter the function in `MIGRATIONS` under the version
before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import replace
from typing import Any, Literal, get_args

from framekit.errors import Fault, SpecError, Where
from framekit.spec.yaml_text import Key, YamlDocument

Current = Literal[1]
"""The version of the spec language that the models read."""
CURRENT: int = get_args(Current)[0]

Migration = Callable[[YamlDocument], YamlDocument]

MIGRATIONS: Mapping[int, Migration] = {}
"""By version, what turns a document of that version into one of the next."""


def migrated(
    document: YamlDocument, migrations: Mapping[int, Migration] = MIGRATIONS
) -> YamlDocument:
    """Return a document, a mapping, as the current version has it; every value keeps its place.

    A version that no migration leads on from stays for the models to refuse. Raises SpecError for
    a version that is newer than the current one.
    """
    version = document.values.get("framekit")
    if type(version) is not int:
        return document
    if version > CURRENT:
        raise SpecError(
            Fault(
                "spec-newer",
                f"this is version {version} of the spec language, and this framekit reads versions "
                f"up to {CURRENT}",
                document.places.get(("framekit",), Where(document.file)),
                "Update framekit.",
            )
        )
    while version < CURRENT and version in migrations:
        document = migrations[version](document)
        version += 1
        document = replace(document, values={**document.values, "framekit": version})
    return document


def moved(document: YamlDocument, old: Key, new: Key) -> YamlDocument:
    """Return the document with a mapping's value under another key, and all that is below it.

    Each moved value keeps the place it has in the file. A document without the old key comes back
    as it is. Mappings on the way to the new key are made where they are missing.
    """
    values = deepcopy(document.values)
    source = _reached(values, old[:-1])
    if not isinstance(source, dict) or old[-1] not in source:
        return document
    value = source.pop(old[-1])
    target = values
    for step in new[:-1]:
        target = target.setdefault(step, {}) if isinstance(target, dict) else target[step]
    target[new[-1]] = value

    def renamed(places: Mapping[Key, Where]) -> dict[Key, Where]:
        size = len(old)
        return {(*new, *k[size:]) if k[:size] == old else k: w for k, w in places.items()}

    return replace(
        document,
        values=values,
        places=renamed(document.places),
        key_places=renamed(document.key_places),
    )


def _reached(values: Any, key: Key) -> Any:
    """Return what is at a key, None where nothing is."""
    for step in key:
        try:
            values = values[step]
        except (KeyError, IndexError, TypeError):
            return None
    return values
