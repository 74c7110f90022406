"""YAML text or plain values → a frozen Spec, or every fault at once with its line."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from framekit.errors import Fault, SpecError, Where
from framekit.spec.frame import id_from_file, read_frame
from framekit.spec.migrations import CURRENT, MIGRATIONS, Migration, migrated
from framekit.spec.model import Spec, Supply
from framekit.spec.yaml_text import LARGEST_TEXT, YamlDocument, read_yaml


def load_spec(source: str | Path) -> Spec:
    """The spec in a YAML file.

    Raises SpecError with every fault (line, column, path, remedy) when the file cannot be read
    or is not a sound spec.
    """
    return parse_spec(_text_of(Path(source)), str(source))


def _text_of(path: Path) -> str:
    """The text of a spec file; raises SpecError when it cannot be read."""
    try:
        if path.exists() and not path.is_file():
            raise ValueError("it is no regular file")
        with path.open("rb") as stream:
            return stream.read(4 * LARGEST_TEXT + 1).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SpecError(
            Fault(
                "spec-encoding",
                f"byte {error.start + 1} is not UTF-8 text",
                Where(str(path)),
                "Save the file as UTF-8.",
            )
        ) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise SpecError(
            Fault(
                "spec-unreadable",
                f"cannot read the spec: {reason}",
                Where(str(path)),
                "Check the name; 'framekit new' writes a starter spec.",
            )
        ) from None


def parse_spec(
    text: str, file: str | None = None, migrations: Mapping[int, Migration] = MIGRATIONS
) -> Spec:
    """Return the spec in YAML `text`; `file` names it in errors and gives the default id.

    `migrations` turn a spec of an older version into one of the current. Raises SpecError with
    every fault.

    >>> parse_spec('''
    ... framekit: 1
    ... body: {shape: sphere, diameter: 190 mm}
    ... ribs: {count: 6}
    ... discs: [{at: {height: 0}}]
    ... sheet: {thickness: 3 ± 0.05 mm, size: [600, 400]}
    ... ''', "globe.yaml").frames[0].id
    'globe'
    """
    return _spec(read_yaml(text, file), migrations)


def spec_from_values(values: Mapping[str, Any]) -> Spec:
    """The spec given as plain Python values of the spec language; raises SpecError."""
    return _spec(YamlDocument(dict(values), {}, {}, None), MIGRATIONS)


def _mapping(document: YamlDocument, migrations: Mapping[int, Migration]) -> YamlDocument:
    """Return the document in the current version; raises SpecError where it is no mapping."""
    if not isinstance(document.values, dict):
        raise SpecError(
            Fault(
                "spec-not-mapping",
                "the spec is not a mapping of keys to values",
                Where(document.file, 1),
                f"Start with 'framekit: {CURRENT}'; 'framekit new' writes a starter spec.",
            )
        )
    return migrated(document, migrations)


def _spec(document: YamlDocument, migrations: Mapping[int, Migration]) -> Spec:
    found = _mapping(document, migrations)
    if "frames" in found.values:
        from framekit.spec.sets import read_set  # few specs are sets, and a check must start fast

        def used(path: Path) -> YamlDocument:
            return _mapping(read_yaml(_text_of(path), str(path)), migrations)

        return read_set(found, used)
    frame = read_frame(found, id_from_file(found.file))
    supply = None
    if frame.stock is not None:
        places = tuple(frame.where("stock", n) for n in range(len(frame.stock)))
        supply = Supply(frame.stock, places)
    return Spec(found.file, frame.id, frame.title, (frame,), None, supply)
