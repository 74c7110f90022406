"""A set's values → its frames, each with what it shares and where every value stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path, PurePosixPath
from typing import Any

from pydantic import ValidationError

from framekit.errors import Fault, SpecError, Where
from framekit.spec.frame import faults_of, id_from_file, read_frame
from framekit.spec.migrations import CURRENT
from framekit.spec.model import FrameSpec, SetPlan, Spec, Supply
from framekit.spec.set_sections import SetDocument
from framekit.spec.yaml_text import Key, YamlDocument

Reader = Callable[[Path], YamlDocument]

REPLACED_WHOLE = ("body", "model", "at")
"""Mappings that a frame replaces as a whole, since their keys exclude each other."""

ALTERNATIVES = (
    ("count", "longitudes"),
    ("width", "inner_radius"),
    ("fit", "clearance"),
    ("kerf", "tool_diameter"),
    ("scale", "model"),
)
"""Keys of which a frame's own takes the place of the shared other."""


def read_set(document: YamlDocument, reader: Reader) -> Spec:
    """The spec of a set; `reader` reads the mapping in another file that a frame uses.

    Raises SpecError with every fault of every frame.
    """
    try:
        model = SetDocument.model_validate(document.values)
    except ValidationError as error:
        raise SpecError(*faults_of(error, document, SetDocument)) from None
    name = model.id or id_from_file(document.file)
    shared = _part(document, ("shared",))
    frames: list[FrameSpec] = []
    faults: list[Fault] = []
    for n in range(len(model.frames)):
        try:
            merged = _merged(_own(document, n, reader), shared)
            _refuse_own_scale(document, model, merged, n)
            _refuse_own_stock(document, merged, n)
            frames.append(read_frame(merged, f"{n + 1}"))
        except SpecError as error:
            faults += error.faults
    faults += _doubled(frames) + _other_machines(frames)
    if faults:
        raise SpecError(*dict.fromkeys(faults))
    plan = SetPlan(model.scale, model.sheets.keep_together, _place(document, ("scale",)))
    supply = None
    if model.stock is not None:
        places = tuple(_place(document, ("stock", n)) for n in range(len(model.stock)))
        supply = Supply(model.stock, places)
    return Spec(document.file, name, model.title or name, tuple(frames), plan, supply)


def _place(document: YamlDocument, key: Key) -> Where:
    return document.places.get(key, document.places.get((), Where(document.file)))


def _part(document: YamlDocument, key: Key) -> YamlDocument:
    """The mapping at a key as a document of its own; empty where there is none."""
    values: Any = document.values
    for step in key:
        values = values.get(step, {}) if isinstance(values, dict) else values[step]
    depth = len(key)

    def below(places: Mapping[Key, Where]) -> dict[Key, Where]:
        return {k[depth:]: where for k, where in places.items() if k[:depth] == key}

    return YamlDocument(values, below(document.places), below(document.key_places), document.file)


def _own(document: YamlDocument, number: int, reader: Reader) -> YamlDocument:
    """A frame's own values, over those of the file it uses."""
    own = _part(document, ("frames", number))
    if "use" not in own.values:
        return own
    where = _place(document, ("frames", number, "use"))
    path = _used_path(own.values["use"], document.file, where)
    used = reader(path)
    if "frames" in used.values or "use" in used.values:
        raise SpecError(
            Fault(
                "set-uses-set",
                f"'{path.name}' is a set, and a frame uses a single frame's file",
                where,
                "Name a file of one frame.",
            )
        )
    values = {key: value for key, value in own.values.items() if key != "use"}
    # What the file has at hand is for building it alone.
    alone = {key: value for key, value in used.values.items() if key != "stock"}
    return _merged(replace(own, values=values), replace(used, values=alone))


def _used_path(raw: object, file: str | None, where: Where) -> Path:
    """The path of a used file, which lies beside the set or below."""
    plain = PurePosixPath(raw) if isinstance(raw, str) else PurePosixPath("..")
    if plain.is_absolute() or ".." in plain.parts or "\\" in str(raw) or not plain.name:
        raise SpecError(
            Fault(
                "use-path",
                f"'{str(raw)[:60]}' is no file beside this one or in a folder below",
                where,
                "Write its name relative to this file, such as 'use: buoy.yaml'.",
            )
        )
    return (Path(file).parent if file else Path()).joinpath(*plain.parts)


def _merged(own: YamlDocument, shared: YamlDocument) -> YamlDocument:
    """The values of both, key by key, the own ones winning; places come with their values."""
    values: dict[str, Any] = {}
    places: dict[Key, Where] = {(): own.places.get((), Where(own.file))}
    key_places: dict[Key, Where] = {}

    def take(source: YamlDocument, key: Key) -> None:
        for found, into in ((source.places, places), (source.key_places, key_places)):
            into.update({k: w for k, w in found.items() if k[: len(key)] == key})

    def merge(first: dict[str, Any], second: dict[str, Any], key: Key) -> dict[str, Any]:
        hidden = {
            other
            for pair in ALTERNATIVES
            for name, other in (pair, pair[::-1])
            if name in first and other not in first
        }
        result: dict[str, Any] = {}
        for name in (*second, *(n for n in first if n not in second)):
            below = (*key, name)
            mine, other = first.get(name), second.get(name)
            if isinstance(mine, dict) and isinstance(other, dict) and name not in REPLACED_WHOLE:
                places[below] = own.places.get(below, shared.places.get(below, places[()]))
                key_places.update({below: own.key_places[below]} if below in own.key_places else {})
                result[name] = merge(mine, other, below)
            elif name in first:
                take(own, below)
                result[name] = mine
            elif name not in hidden:
                take(shared, below)
                result[name] = other
        return result

    values = merge(own.values, shared.values, ())
    values.setdefault("framekit", CURRENT)
    return YamlDocument(values, places, key_places, own.file)


def _refuse_own_scale(
    document: YamlDocument, model: SetDocument, merged: YamlDocument, number: int
) -> None:
    """Nothing; raises SpecError for a frame with a scale of its own in a set that has one."""
    found = [key for key in ("scale", "model") if key in merged.values]
    if model.scale is None or not found:
        return
    raise SpecError(
        Fault(
            "two-scales",
            f"frame {number + 1} has a '{found[0]}' of its own, and the set has one scale for all",
            merged.places.get((found[0],), _place(document, ("frames", number))),
            "Remove it, or the set's 'scale'.",
        )
    )


def _refuse_own_stock(document: YamlDocument, merged: YamlDocument, number: int) -> None:
    """Nothing; raises SpecError for a frame with sheets of its own: the set's are for all."""
    if "stock" in merged.values:
        raise SpecError(
            Fault(
                "stock-of-a-frame",
                f"frame {number + 1} has a 'stock' of its own, and all frames share the set's",
                merged.places.get(("stock",), _place(document, ("frames", number))),
                "Write 'stock' beside 'frames'.",
            )
        )


def _other_machines(frames: Sequence[FrameSpec]) -> list[Fault]:
    """A fault for each frame whose cutter is not the first one's: a set has one machine."""
    return [
        Fault(
            "two-machines",
            f"frame '{frame.id}' has another cutter than '{frames[0].id}', and the parts of a set "
            "share their sheets",
            frame.where("cutter"),
            "Write 'cutter' under 'shared' alone, or make two sets.",
        )
        for frame in frames[1:]
        if frame.cutter != frames[0].cutter
    ]


def _doubled(frames: Sequence[FrameSpec]) -> list[Fault]:
    seen: dict[str, FrameSpec] = {}
    faults = []
    for frame in frames:
        if frame.id.lower() in seen:
            faults.append(
                Fault(
                    "frame-id-doubled",
                    f"two frames are called '{frame.id}'",
                    frame.where("id"),
                    "Give each frame an 'id' of its own: files and labels carry it.",
                )
            )
        seen[frame.id.lower()] = frame
    return faults
