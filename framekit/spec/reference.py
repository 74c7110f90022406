"""The page docs/reference/spec.md, from the models that read a spec.

Run `python -m framekit.spec.reference` after a change of the models; a test compares.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from types import NoneType
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from framekit.spec import fields
from framekit.spec.body import Body, Flange, ModelSize
from framekit.spec.display import Hang, Stand
from framekit.spec.measure import ANGLE_UNITS, LENGTH_UNITS, SPEED_UNITS, TIME_UNITS
from framekit.spec.sections import (
    MOST_DISCS,
    MOST_RIBS,
    AlternateRibs,
    Batch,
    Cutter,
    Disc,
    DiscPlace,
    DiscStock,
    FrameDocument,
    Joint,
    RibInnerRadius,
    Ribs,
    RibWidth,
    Speeds,
    Stock,
    Strokes,
)
from framekit.spec.set_sections import MOST_FRAMES, SetDocument, SetSheets
from framekit.spec.stock import AtHand, Bridges
from framekit.spec.yaml_text import DEEPEST, LARGEST_TEXT, MOST_VALUES

SECTIONS: Sequence[tuple[str, type[BaseModel]]] = (
    ("The whole file", FrameDocument),
    ("A set of frames", SetDocument),
    ("`sheets` of a set", SetSheets),
    ("`stock`: each item", AtHand),
    ("`body`", Body),
    ("`model`", ModelSize),
    ("`ribs`", Ribs),
    ("`ribs.width`", RibWidth),
    ("`ribs.inner_radius`", RibInnerRadius),
    ("`ribs.alternate`", AlternateRibs),
    ("`discs`: each item", Disc),
    ("`at`: where a disc lies", DiscPlace),
    ("`joint`", Joint),
    ("`flanges`: each item", Flange),
    ("`stand`", Stand),
    ("`hang`", Hang),
    ("`sheet`", Stock),
    ("`disc_sheet`", DiscStock),
    ("`cutter`", Cutter),
    ("`cutter.bridges`", Bridges),
    ("`cutter.speed`", Speeds),
    ("`cutter.strokes`", Strokes),
    ("`batches`: each item", Batch),
)
"""Heading and model of every section, in the order of the page."""

_WORDS: Sequence[tuple[Any, str]] = (
    (fields.Length, "length"),
    (fields.PositiveLength, "length above 0"),
    (fields.LengthFromZero, "length, 0 or more"),
    (fields.TolerancedLength, "length, with ± if known"),
    (fields.ThicknessLength, "length above 0, with ± if known"),
    (fields.KerfLength, "length, 0 or more, with ± if known"),
    (fields.Bore, "`none`, `auto` or a length above 0"),
    (fields.Ratio, "ratio"),
    (fields.SetScale, "ratio or `largest`"),
    (fields.Corners, "list of 3 to 200 `[x, y]`, each a length"),
    (fields.SheetCount, "whole number, 1 to 1000"),
    (fields.BridgeCount, "whole number, 1 to 12"),
    (list[dict[str, Any]], f"list of 1 to {MOST_FRAMES} mappings"),
    (dict[str, Any], "mapping"),
    (fields.Fraction, "number between −1 and 1"),
    (fields.Latitude, "angle between −90° and 90°"),
    (fields.Longitude, "angle from −360° to 360°"),
    (fields.Flattening, "number from −9 to below 1"),
    (fields.Engagement, "number between 0 and 1"),
    (fields.Exponent, "number from 1 to 20"),
    (fields.Formula, "formula of `z`"),
    (fields.Points, "list of `[radius, height]`, each a length"),
    (fields.Span, "list of 2: length, `bottom` or `top`"),
    (fields.Sizes, "mapping of names to lengths, or numbers for names in `_ratio`"),
    (fields.Angle180, "angle from 0° to 180°"),
    (fields.Tilt, "`auto` or an angle from 0° to 180°"),
    (fields.Reach, "angle from 10° to 80°"),
    (fields.Speed, "speed above 0"),
    (fields.Time, "time"),
    (fields.Money, "amount and currency"),
    (fields.SheetCount, f"whole number, 1 to {fields.MOST_SHEETS}"),
)

_NOTES: Mapping[type[BaseModel], str] = {
    Body: "Give enough sizes to fix the body, in any mix: two for a spheroid, one for a sphere. "
    "What is given twice must agree to two parts in ten thousand. Sizes are the real body's, "
    "not the model's. `catalogue` stands alone, but for a `span`.\n\nEach shape has keys of its "
    "own. `sphere`: a radius or diameter. `spheroid`: two of its sizes, or one and the "
    "flattening. `superellipsoid`: the same and an `exponent`. `cylinder`: a radius or diameter "
    "and a `height`. `cone`: the base's, the top's and a `height`. `profile`: `points`, or "
    "`radius_at` with `from` and `to`. A plug-in's shape takes `sizes`. Heights of cylinder and "
    "cone count from the base, those of a profile as its author wrote them, and all others from "
    "the equator.\n\nA formula takes numbers, `pi`, `z`, `+ - * / **`, brackets, and `sqrt`, "
    "`cbrt`, `sin`, `cos`, `tan`, `asin`, `acos`, `atan`, `exp`, `log`, `abs`, `min` and `max`. "
    "It must be above zero at all heights between its ends. [How to build any body]"
    "(../how-to/build-any-body.md) has examples.",
    SetDocument: "A file with `frames` describes a set: several frames that share sheets, a "
    "machine and, if wanted, one scale. `shared` takes the sections of one frame; a frame's own "
    "keys win, key by key, but `body`, `model` and `at` are replaced whole. All frames must have "
    "one cutter. `use` names another file, beside the set or below, whose frame is taken. "
    "[How to run a class set](../how-to/run-a-class-set.md) goes through one.",
    SetSheets: "With `keep_together: true` each frame is nested by itself on the kind of sheet of "
    "which it takes fewest, the smallest of those; what it puts on one sheet then goes on a sheet "
    "that is begun already where one takes it, the earliest first. So no frame lies on more sheets "
    "than it takes by itself.",
    AtHand: "Give `size` or `outline`. With a list, sheets that it does not name are not there. "
    "Small ones are used before large ones, so leftovers go first; the `cutter.margin` holds along "
    "a leftover's edge too. The checks and the largest scale go by `sheet.size`. When the sheets "
    "run out, the message names the parts without a place and how many sheets of `sheet.size` it "
    "would take more. A `stock` in a file that a set uses is left out.",
    Bridges: "They lie on smooth stretches of a cut, spread evenly, at least 2 mm from corners, "
    "notches and joints. The outline gets `count` of them, or as many as it has room for, and so "
    "does a hole of 400 mm² or more. The gap in the drawn path is a kerf wider than the bridge. "
    "The result document has the finished outlines, as if the bridges were snapped out and "
    "trimmed. Bridges make open paths, which have no inside, so a laser or router whose machine "
    "moves the cut off the part cannot have them: write `compensate: file`.",
    ModelSize: "One size is enough: the scale follows from it. A scale as well must agree.",
    Ribs: "Give `count` or `longitudes`. Two ribs must stand at least half a degree apart. In "
    "place of the mapping, `width` also takes one length for all places. `cut_away` is 1° to "
    "240° wide and leaves out the ribs between its longitudes; those on them stay.",
    RibWidth: "Of a body with poles (sphere, spheroid, superellipsoid, catalogue): `equator` and "
    "`pole`. Of any other body: `equator` is half-way up, `bottom` and `top` are the ends, and "
    "`pole` sets both of them. The width is measured square to the skin and runs smoothly from "
    "one to the next: [the geometry page](../explanation/geometry.md#a-rib) says how.",
    AlternateRibs: "The second, fourth and so on in the order of the longitudes. Their notches "
    "lie as far from the skin as those of the rest.",
    DiscPlace: "Give exactly one of `height`, `fraction`, `latitude` and `end`. A latitude has a "
    "meaning on spheres and spheroids only. `end` needs an open end: of a cylinder, a cone or a "
    "profile that does not meet the axis there, or where `span` cuts. With `both: true` the "
    "mirror image is a disc of its own, numbered after its original: `disc-2`, `disc-3`; it is "
    "mirrored about the middle between the ends.",
    Disc: "`bore: auto` leaves a ring of three thicknesses, or of the notch's depth and one and a "
    "half thicknesses if that is more, inside the joint; where the hole would be smaller than "
    "three thicknesses there is none. `setback` is for cross-lap discs only. A disc without `at` "
    "needs a `radius` or a `slot_depth` and a `side`: its height is solved. With `at` as well, "
    "the radius is checked against it. A `hub` takes a `side` and no other place; it lies one "
    "thickness beyond the bend where the ribs' inner edge meets the pole gap.",
    RibInnerRadius: "Widths follow from it, and it from the widths; what is given twice must "
    "agree.",
    Joint: "Give `fit` or `clearance`, or neither for a snug fit. From `slot_width` and a "
    "clearance follows the thickness; from `slot_width` and `slot_width_drawn` the kerf. The "
    "clearances of each material are in [the catalogue](catalogue.md).\n\n`tenon` is for discs "
    "`at: {end: …}`: the tongue takes a third of the rib's width. Those discs are put on last, "
    "along the axis. A router's tongues and flanges cannot do without `relief`. "
    "[How mouths and corners are worked](../explanation/geometry.md#mouths-and-corners) is on "
    "the geometry page. A plug-in's style takes `sizes`.",
    Flange: "Give `rings`, for a body of the catalogue that has some, or both radii. The radii "
    "are real ones; `at` and `seat_depth` are on the model. The flange is dropped over and "
    "turned, so discs above it must be smaller than its inner rim: "
    "[how to show it](../how-to/show-it.md#the-rings).",
    Stand: "`stand: {}` takes every default. The body must be convex: a vase or an hourglass does "
    "not lie in a cradle. The plates are cut from `sheet` and named `stand-1` and `stand-2`: "
    "[how to show it](../how-to/show-it.md#the-stand).",
    Hang: "`hang: {}` takes every default. The hole is at least 5 % of the frame's height "
    "above the centre of mass, in parts that the joints hold, with the material's least ligament "
    "around it. Where no place gives the wanted tilt, the message lists the tilts that can be had: "
    "[how to show it](../how-to/show-it.md#a-hole-to-hang-by).",
    Stock: "Ribs and stand are cut from `sheet`, discs and flanges from `disc_sheet` where there "
    "is one. `size` or `cutter.bed` must be given. A sheet larger than the bed is used as far as "
    "the bed reaches.",
    DiscStock: "It has a material, a thickness, a kerf and fits of its own; its size is that of "
    "`sheet` unless given. Slots in discs are as loose as its material asks for, notches in ribs "
    "as loose as that of `sheet`, unless `joint.clearance` says otherwise.",
    Cutter: "A router takes `tool_diameter` (or `kerf`, which means the same there); a knife "
    "takes neither.",
    Batch: "From three readings on, their own spread says how sheets differ; with fewer, the "
    "tolerance of `sheet.thickness` counts. `framekit check` says which batches the drawn file "
    "works with, and `framekit build SPEC --batch NAME` draws one for a batch: "
    "[how to measure the fit](../how-to/measure-fit.md#piles-of-sheets).",
    Strokes: "Six hex digits, in quotes because `#` starts a comment in YAML. No two may be alike. "
    "Defaults: mark `#2a7f62`, inside `#b3541e`, outside `#4b2e83`.",
}

_EXAMPLE = """\
framekit: 1
id: float
title: A float for the school pond
body: {shape: spheroid, equatorial_diameter: 60 cm, flattening: 0.1}
scale: "1:3"
ribs: {count: 6, width: {equator: 20, pole: 12}}
discs:
  - at: {height: 0}
    bore: auto
  - at: {latitude: 35, kind: geocentric, both: true}
joint: {style: cross-lap, fit: snug}
sheet: {material: birch-plywood, thickness: 3.02 ± 0.03, size: [600, 400]}
cutter: {process: laser, kerf: 0.18 ± 0.02}
"""


def spec_reference() -> str:
    """The page as Markdown text."""
    parts = [_head()]
    for heading, model in SECTIONS:
        parts.append(f"## {heading}\n")
        rows = [_row(field.alias or name, field) for name, field in model.model_fields.items()]
        parts.append(_table(("key", "value", "default", "meaning"), rows))
        if model in _NOTES:
            parts.append(f"{_NOTES[model]}\n")
    parts.append(_tail())
    return "\n".join(parts)


def target() -> Path:
    """Where the page lies."""
    return Path(__file__).resolve().parents[2] / "docs" / "reference" / "spec.md"


def main() -> None:
    """Write the page."""
    target().write_text(spec_reference(), encoding="utf-8")


def _head() -> str:
    return f"""\
# The spec

This page is written by `python -m framekit.spec.reference` from the models that read a spec.

A spec is one YAML 1.2 document that describes one frame, or a set of them. An unknown key is an
error, and the message names the nearest known one. `framekit schema spec` prints the same rules as
JSON Schema, which an editor can use to complete keys. Each framekit also reads the versions
of this language before its own. If a spec's version is newer, update framekit.

```yaml
{_EXAMPLE}```

## How values are written

**Lengths** are mm unless a unit is written: `22`, `22 mm`, `1.2 m`, `1/8 in`, `9 1/2 in`.
Units: {_units(LENGTH_UNITS)}. 1 in is 25.4 mm exactly.

**Angles** are degrees unless a unit is written: {_units(ANGLE_UNITS)}.
**Speeds** are mm/s unless a unit is written: {_units(SPEED_UNITS)}.
**Times** are seconds unless a unit is written: {_units(TIME_UNITS)}.
**Money** is an amount and three capital letters, such as `4.20 EUR`.

**Tolerances** are read for these keys only: {_units(fields.TOLERANCED)}.
At every other key a tolerance is an error. There are three forms:

| form | meaning |
| --- | --- |
| `3.05 ± 0.10` or `3.05 ± 0.10 mm` | never outside 2.95 to 3.15 mm |
| `3.05 +/- 0.10 mm` or `3.05 +- 0.10` | the same, for keyboards without ± |
| `{{value: 3.05, tolerance: 0.10, spread: limits}}` | the same, in full |
| `{{value: 3.05, tolerance: 0.10, spread: normal}}` | ± is two standard deviations |

A unit that is written once counts for both numbers: `1/8 in ± 0.004` and `1/8 ± 0.004 in` are
both 3.175 ± 0.1016 mm. In a mapping, write the unit with `value`, or with both.

Checks always take the whole of ±. `spread` only decides the standard deviation `sigma` in the
result document: ±/√3 for `limits` (a uniform spread, GUM 4.3.7), ±/2 for `normal`.

**Ratios** are text of the form `model:real`. Quote them, because some YAML readers take a bare
`1:60` for a number in base sixty: `"1:4"`, `"1:40 000 000"`, `"1:2.5"`, `"4:1"` for a model larger
than life.

**Latitudes** on a sphere need no `kind`. Off a sphere three are in use, and `kind` is required:
`geocentric` (from the centre), `geodetic` (of the skin's normal, as on maps) and `parametric`
(height is polar radius times its sine). [The geometry page](../explanation/geometry.md) compares
them.
"""


def _tail() -> str:
    return f"""\
## Limits

A spec may have {LARGEST_TEXT:,} characters, {MOST_VALUES:,} values and {DEEPEST} levels of nesting,
{MOST_RIBS} ribs and {MOST_DISCS} entries under `discs`. YAML tags are refused, and so is a key that
stands twice in one mapping.
""".replace(",000", " 000")


def _row(name: str, field: FieldInfo) -> tuple[str, str, str, str]:
    text = field.description or ""
    meaning, found, default = text.partition("Default ")
    if field.is_required():
        default = "required"
    elif found:
        default = default.strip().removesuffix(".")
    elif field.default is not None and not isinstance(field.default, BaseModel):
        default = f"`{str(field.default).lower()}`"
    return f"`{name}`", _value(field), default, meaning.strip()


def _value(field: FieldInfo) -> str:
    # pydantic moves the parts of a bare Annotated type to the field's metadata.
    if field.annotation is not None and field.metadata:
        for known, words in _WORDS:
            if tuple(field.metadata) == tuple(getattr(known, "__metadata__", ())):
                return words
    return " or ".join(dict.fromkeys(_values(field.annotation)))


def _values(annotation: Any) -> list[str]:
    if annotation is NoneType:
        return []
    for known, words in _WORDS:
        if annotation == known:
            return [words]
    for heading, model in SECTIONS:
        if annotation is model:
            return [f"mapping, see {heading.partition(':')[0]}"]
    if get_origin(annotation) is Literal:
        return [f"`{value}`" for value in get_args(annotation)]
    if get_origin(annotation) is tuple:
        return [_list_words(get_args(annotation))]
    plain = {bool: "`true` or `false`", str: "text", int: f"whole number, 2 to {MOST_RIBS}"}
    if annotation in plain:
        return [plain[annotation]]
    inner = get_args(annotation)
    if not inner:
        raise AssertionError(f"the spec reference has no words for {annotation}")
    if int in inner:
        return [plain[int]]
    return [words for item in inner for words in _values(item)]


def _list_words(items: tuple[Any, ...]) -> str:
    if items[-1] is Ellipsis:
        return f"list: {_values(items[0])[0]}"
    return f"list of {len(items)}: {_values(items[0])[0]}"


def _units(units: Iterable[str]) -> str:
    return ", ".join(f"`{unit}`" for unit in units)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


if __name__ == "__main__":
    main()
