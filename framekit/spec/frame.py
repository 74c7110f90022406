"""One frame's plain values → a frozen FrameSpec, or every fault with its place."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from framekit.errors import Fault, SpecError, Where
from framekit.spec.measure import MeasureError
from framekit.spec.model import FrameSpec
from framekit.spec.sections import FrameDocument
from framekit.spec.yaml_text import Key, YamlDocument, path_text


def read_frame(document: YamlDocument, default_id: str) -> FrameSpec:
    """The frame that the values describe; raises SpecError with every fault."""
    try:
        model = FrameDocument.model_validate(document.values)
    except ValidationError as error:
        raise SpecError(*faults_of(error, document, FrameDocument)) from None
    name = model.id or default_id
    return FrameSpec(
        id=name,
        title=model.title or name,
        body=model.body,
        scale=model.scale,
        model=model.model,
        ribs=model.ribs,
        discs=model.discs,
        joint=model.joint,
        flanges=model.flanges,
        stand=model.stand,
        hang=model.hang,
        sheet=model.sheet,
        disc_sheet=model.disc_sheet,
        cutter=model.cutter,
        places=document.places,
        stock=model.stock,
        batches=model.batches,
    )


def faults_of(
    error: ValidationError, document: YamlDocument, model: type[BaseModel]
) -> list[Fault]:
    """What a model found wrong with a document, in the order of the lines."""
    found = error.errors(include_url=False)
    faults = [_fault(e, document, model) for e in found if not _follows(e, found)]
    return sorted(faults, key=_position)


def id_from_file(file: str | None) -> str:
    """An id made of a file's name."""
    cleaned = re.sub(r"[^A-Za-z0-9_-]+", "-", Path(file).stem if file else "").strip("-_")
    return cleaned[:24] or "frame"


def _follows(error: Any, found: Sequence[Any]) -> bool:
    """Whether a list counts as too short only because its items are faulty themselves."""
    depth = len(error["loc"])
    return error["type"] == "too_short" and any(
        len(e["loc"]) > depth and e["loc"][:depth] == error["loc"] for e in found
    )


def _position(fault: Fault) -> tuple[int, int]:
    return (fault.where.line or 0, fault.where.column or 0)


def _fault(error: Any, document: YamlDocument, model: type[BaseModel]) -> Fault:
    key: Key = tuple(s for s in error["loc"] if not str(s).startswith("function-plain["))
    kind = str(error["type"])
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, MeasureError):
        key = (*key, *cause.path)
    if kind == "extra_forbidden":
        return _unknown_key(key, document, model)
    places = document.places
    if kind != "missing":
        key = _existing(key, document.values)
    above = key
    while above and above not in places:
        above = above[:-1]
    where = _below(places.get(above, Where(document.file)), above, key)
    name = path_text(key) or "the spec"
    message, hint = _sentence(kind, error, name, _section(key[:-1], model))
    return Fault(f"spec-{kind.replace('_', '-')}", message, where, hint)


def _below(where: Where, above: Key, key: Key) -> Where:
    """The place of a key that has none of its own, from the nearest above it."""
    rest = path_text(key[len(above) :])
    path = where.path or ""
    joined = f"{path}{rest}" if rest.startswith("[") or not path else f"{path}.{rest}"
    return Where(where.file, where.line, where.column, (joined if rest else path) or None)


def _existing(key: Key, values: Any) -> Key:
    """The part of a key that leads to something in the document."""
    found: list[str | int] = []
    for step in key:
        try:
            values = values[step]
        except (KeyError, IndexError, TypeError):
            break
        found.append(step)
    return tuple(found)


def _sentence(kind: str, error: Any, name: str, section: type[BaseModel] | None) -> tuple[str, str]:
    context = error.get("ctx", {})
    cause = context.get("error")
    if isinstance(cause, MeasureError):
        return cause.message, cause.hint
    raw = error.get("input")
    words = {None: "empty", True: "true", False: "false"}
    shown = words[raw] if raw is None or isinstance(raw, bool) else repr(raw)
    shown = shown if len(shown) <= 40 else shown[:37] + "…"
    if kind == "missing":
        hint = "Add it."
        if name.endswith("]"):
            return f"'{name.rpartition('[')[0]}' has too few items", "Write [length, width]."
        if section is not None:
            field = section.model_fields.get(name.rpartition(".")[2])
            hint = f"Add it: {field.description}" if field and field.description else hint
        return f"'{name}' is missing", hint
    if kind == "literal_error":
        near = _near(str(error.get("input")), re.findall(r"'([^']*)'", context["expected"]))
        return f"{name} is {shown}", f"Write {context['expected']}.{near}"
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return f"{name} is {shown}, not a mapping", "Write its keys below it, or in { }."
    if kind in ("tuple_type", "list_type"):
        return f"{name} is {shown}, not a list", "Write its items in [ ]."
    if kind in ("too_short", "too_long") or (kind == "missing" and section is None):
        least, most = context.get("min_length"), context.get("max_length")
        bound = f"at least {least}" if kind == "too_short" else f"at most {most}"
        return f"{name} has {context['actual_length']} items", f"It takes {bound}."
    if kind in ("greater_than_equal", "less_than_equal"):
        least, most = context.get("ge"), context.get("le")
        bound = f"{least} or more" if least is not None else f"{most} or less"
        return f"{name} is {shown}", f"Write {bound}."
    if kind in ("int_type", "int_parsing", "int_from_float"):
        return f"{name} is {shown}, not a whole number", "Write a whole number such as 8."
    if kind == "bool_type" or kind == "bool_parsing":
        return f"{name} is {shown}", "Write true or false."
    if kind == "string_pattern_mismatch":
        return (
            f"{name} is {shown}",
            "Use up to 24 letters, digits, - and _, starting with a letter or digit.",
        )
    if kind == "string_type":
        return f"{name} is {shown}, not text", "Write text; put a number in quotes."
    if kind == "string_too_long":
        return f"{name} is too long", f"Use at most {context['max_length']} characters."
    return f"{name} is {shown}: {error['msg']}", "See the spec reference."


def _unknown_key(key: Key, document: YamlDocument, model: type[BaseModel]) -> Fault:
    name = str(key[-1])
    section = _section(key[:-1], model)
    known = [f.alias or n for n, f in section.model_fields.items()] if section else []
    hint = f"Known here: {', '.join(known)}." if known else "Remove it."
    return Fault(
        "spec-unknown-key",
        f"the key '{name}' is not known{' in ' + path_text(key[:-1]) if len(key) > 1 else ''}",
        document.key_places.get(key, Where(document.file, path=path_text(key))),
        f"{_near(name, known).strip()} {hint}".strip(),
    )


def _near(name: str, known: Sequence[str]) -> str:
    close = difflib.get_close_matches(name, known, n=2, cutoff=0.6)
    return f" Did you mean {' or '.join(repr(c) for c in close)}?" if close else ""


def _section(key: Key, model: type[BaseModel]) -> type[BaseModel] | None:
    """The model whose mapping stands at that key of the whole one's."""
    for step in key:
        if isinstance(step, int):
            continue
        field = model.model_fields.get(step)
        found = _models(field.annotation) if field else []
        if not found:
            return None
        model = found[0]
    return model


def _models(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [m for argument in get_args(annotation) for m in _models(argument)]
