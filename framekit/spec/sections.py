"""The spec as its author wrote it: one model feeds the reader, the schema and the docs.

Lengths are `Measure` (mm inside), angles degrees, speeds mm/s, times seconds. A key that was not
written is None; what follows from the others or from a default is the solution stage's business.

Annotations are not deferred here: pydantic would evaluate each of them at every start.
"""

import re
from typing import Annotated, Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from framekit.plugins import JOINTS
from framekit.spec.body import Body, Flange, ModelSize
from framekit.spec.defaults import (
    END_CLEARANCE,
    END_WIDTH,
    ENGAGEMENT,
    MIDDLE_WIDTH,
    POLE_ALLOWANCE,
    SETBACK,
    STROKES,
)
from framekit.spec.display import Hang, Stand
from framekit.spec.fields import (
    Bore,
    Engagement,
    Fraction,
    KerfLength,
    Latitude,
    Length,
    LengthFromZero,
    Longitude,
    Money,
    PositiveLength,
    Ratio,
    SheetCount,
    Sizes,
    Speed,
    ThicknessLength,
    Time,
    TolerancedLength,
    positive_length,
)
from framekit.spec.measure import Measure, MeasureError
from framekit.spec.section import Section, SpecDocument, known_name
from framekit.spec.stock import MOST_STOCK, AtHand, Bridges

MOST_RIBS = 180
MOST_DISCS = 60
MOST_READINGS = 200
MOST_BATCHES = 60


class RibWidth(Section):
    """The ribs' radial width at the equator and at the poles."""

    equator: PositiveLength | None = Field(None, description="Width at the equator.")
    pole: PositiveLength | None = Field(None, description="Width at the poles, or at both ends.")
    bottom: PositiveLength | None = Field(
        None, description="Width at the lower end, of a body that is no spheroid."
    )
    top: PositiveLength | None = Field(
        None, description="Width at the upper end, of a body that is no spheroid."
    )


def _or_one_length(schema: dict[str, Any]) -> None:
    """Let the schema of a mapping of widths take one length too."""
    mapping = schema.pop("anyOf", None) or [{"$ref": schema.pop("$ref")}]
    schema["anyOf"] = [*mapping, {"type": ["number", "string"], "description": "a length"}]


class AlternateRibs(Section):
    """Every other rib, where it is wider or narrower than the rest."""

    width: RibWidth = Field(
        description="Its width, as `ribs.width`.", json_schema_extra=_or_one_length
    )

    @field_validator("width", mode="before")
    @classmethod
    def _one_width(cls, raw: Any) -> Any:
        return _both_widths(raw)


def _both_widths(raw: Any) -> Any:
    """One width as the mapping of both."""
    if raw is None or isinstance(raw, (dict, RibWidth)):
        return raw
    measure = positive_length(raw)
    return {"equator": measure, "pole": measure}


class RibInnerRadius(Section):
    """Where the ribs' inner edge lies, at the equator and at the poles."""

    equator: PositiveLength | None = Field(None, description="From the axis, at the equator.")
    pole: PositiveLength | None = Field(None, description="From the centre, at the poles.")


class Ribs(Section):
    """The upright half-rings."""

    count: Annotated[int, Field(ge=2, le=MOST_RIBS, strict=True)] | None = Field(
        None, description="How many ribs, evenly spread."
    )
    longitudes: tuple[Longitude, ...] | None = Field(
        None,
        min_length=2,
        max_length=MOST_RIBS,
        description="The longitude of each rib in degrees, instead of a count.",
    )
    width: RibWidth | None = Field(
        None,
        description="One width, or `{equator: …, pole: …}`. "
        f"Default {MIDDLE_WIDTH:g} mm and {END_WIDTH:g} mm.",
        json_schema_extra=_or_one_length,
    )
    inner_radius: RibInnerRadius | None = Field(
        None, description="Where the ribs end inside, instead of `width`."
    )
    pole_allowance: LengthFromZero | None = Field(
        None,
        description=f"Extra radius kept free at the poles. Default {POLE_ALLOWANCE:g} mm.",
    )

    alternate: AlternateRibs | None = Field(
        None, description="Every other rib with a width of its own."
    )
    cut_away: tuple[Longitude, Longitude] | None = Field(
        None,
        description="A sector without ribs, `[from, to]` in degrees, counted eastward: a model "
        "that shows its inside.",
    )

    @field_validator("width", mode="before")
    @classmethod
    def _one_width(cls, raw: Any) -> Any:
        return _both_widths(raw)

    @model_validator(mode="after")
    def _sector_is_one(self) -> Self:
        if self.cut_away is not None:
            wide = (self.cut_away[1] - self.cut_away[0]) % 360.0
            if not 1.0 <= wide <= 240.0:
                raise MeasureError(
                    f"the sector cut away is {wide:g} degrees wide",
                    "Write [from, to], 1 to 240 degrees apart; ribs hold the rest.",
                )
        return self

    @model_validator(mode="after")
    def _count_or_longitudes(self) -> Self:
        if self.count is None and self.longitudes is None:
            raise MeasureError(
                "the ribs have neither 'count' nor 'longitudes'", "Write 'count: 8', for example."
            )
        if self.longitudes is not None:
            if self.count is not None and self.count != len(self.longitudes):
                raise MeasureError(
                    f"'count' says {self.count} ribs and 'longitudes' has {len(self.longitudes)}",
                    "Keep one of them.",
                )
            turned = sorted(angle % 360.0 for angle in self.longitudes)
            for first, second in zip(turned, [*turned[1:], turned[0] + 360.0], strict=True):
                if second - first < 0.5:
                    raise MeasureError(
                        f"two ribs stand at or within half a degree of longitude {first:g}",
                        "Move or remove one of them.",
                    )
        return self


class DiscPlace(Section):
    """Where a disc lies; give one of height, fraction, latitude and end."""

    height: Length | None = Field(
        None, description="Height on the model: above the equator, or as the body's heights count."
    )
    fraction: Fraction | None = Field(
        None,
        description="Height as a fraction of the polar radius, or of half the height: −1 to 1.",
    )
    latitude: Latitude | None = Field(None, description="Latitude in degrees, north positive.")
    end: Literal["bottom", "top"] | None = Field(
        None, description="Flush with an open end of the body."
    )
    kind: Literal["geocentric", "geodetic", "parametric"] | None = Field(
        None, description="Which latitude; required off a sphere."
    )
    both: bool = Field(False, description="Also the mirror image in the other hemisphere.")

    @model_validator(mode="after")
    def _one_place(self) -> Self:
        places = ("height", "fraction", "latitude", "end")
        given = [k for k in places if getattr(self, k) is not None]
        if len(given) != 1:
            what = f"has {' and '.join(given)}" if given else "has no height"
            raise MeasureError(
                f"this disc {what}", "Give exactly one of height, fraction, latitude and end."
            )
        if self.kind is not None and self.latitude is None:
            raise MeasureError("'kind' goes with 'latitude'", "Remove 'kind'.")
        place = getattr(self, given[0])
        if self.both and (place.value if isinstance(place, Measure) else place) == 0:
            raise MeasureError(
                "a disc on the equator is its own mirror image", "Remove 'both: true'."
            )
        return self


class Disc(Section):
    """A horizontal plate that holds the ribs."""

    at: DiscPlace | None = Field(
        None, description="Where the disc lies; or give a `radius` or `slot_depth` and a `side`."
    )
    radius: PositiveLength | None = Field(
        None, description="The disc's wanted radius; its height follows."
    )
    slot_depth: PositiveLength | None = Field(
        None, description="The wanted depth of a cross-lap disc's slots; its height follows."
    )
    side: Literal["north", "south", "both"] | None = Field(
        None,
        description="The hemisphere, where a radius or slot depth decides the height; `both` also "
        "gives the mirror image.",
    )
    hub: bool = Field(
        False,
        description="A disc that locks the ribs' ends near a pole; its height and radius follow. "
        "Give its `side`.",
    )
    bore: Bore = Field(
        "none", description="`none`, `auto`, or the radius of the hole in the middle."
    )
    setback: LengthFromZero | None = Field(
        None,
        description="How far a cross-lap disc's rim stays behind the skin. "
        f"Default {SETBACK:g} mm.",
    )

    @model_validator(mode="after")
    def _has_a_place(self) -> Self:
        sized = self.radius is not None or self.slot_depth is not None
        if self.hub and (self.at is not None or sized or self.side is None):
            raise MeasureError(
                "a hub finds its own place and size",
                "Write 'hub: true' with 'side: north', 'south' or 'both', and no other place.",
            )
        if self.at is None and not sized and not self.hub:
            raise MeasureError(
                "this disc has no place",
                "Give one of: at, radius with side, slot_depth with side, hub with side.",
            )
        if self.at is not None and self.side is not None:
            raise MeasureError(
                "'at' already says on which side the disc lies", "Remove 'side'.", ("side",)
            )
        return self

    @property
    def mirrored(self) -> bool:
        """Whether its mirror image stands in the other hemisphere."""
        return self.side == "both" if self.at is None else self.at.both


class Joint(Section):
    """How ribs and discs hold each other."""

    style: str = Field(
        "cross-lap",
        max_length=40,
        description="`cross-lap`: half a slot in each part. `housed`: a plain disc whose rim "
        "lies in the rib's notch. `tenon`: a tongue on the rib's end through a mortise in the disc "
        "at an open end; other discs are cross-lapped. Or a plug-in's.",
    )
    engagement: Engagement | None = Field(
        None,
        description=f"The share of the rib's width that its notch takes. Default {ENGAGEMENT:g}.",
    )
    fit: Literal["slip", "snug", "press"] | None = Field(
        None, description="How tight, by the material's table. Default snug."
    )
    clearance: TolerancedLength | None = Field(
        None, description="Slot width less sheet thickness, instead of `fit`; may be negative."
    )
    slot_width: PositiveLength | None = Field(
        None,
        description="The finished slot's width; with a clearance it gives the sheet's thickness.",
    )
    slot_width_drawn: PositiveLength | None = Field(
        None,
        description="The slot's width as drawn; with the finished width it gives the kerf.",
    )
    end_clearance: LengthFromZero | None = Field(
        None,
        description="How far each slot runs past its seat. "
        f"Default {END_CLEARANCE:g} mm; for a router the tool's radius more.",
    )

    lead_in: LengthFromZero | None = Field(
        None,
        description="How far the mouth of each slot and notch is chamfered, so that parts find "
        "their way. Default none.",
    )
    relief: Literal["auto", "all", "none"] = Field(
        "auto",
        description="Where a round tool cannot reach into an inside corner, it is cut beyond, so "
        "that parts seat. `auto`: a router's mortises, shoulders and flange seats; slots run past "
        "their seat instead. `all`: every inside corner. `none`: never.",
    )
    sizes: Sizes | None = Field(
        None, description="The sizes of a plug-in's joint, by the names it asks for."
    )

    @field_validator("style", mode="after")
    @classmethod
    def _known_style(cls, style: str) -> str:
        return known_name(style, JOINTS, "joint style")

    @model_validator(mode="after")
    def _fit_or_clearance(self) -> Self:
        if self.fit is not None and self.clearance is not None:
            raise MeasureError(
                "'fit' and 'clearance' both say how tight the joint is", "Keep one of them."
            )
        return self


class Stock(Section):
    """The sheet as measured."""

    material: str | None = Field(
        None,
        description="A material of the catalogue. Default birch-plywood, and of a second sheet "
        "that of the first.",
    )
    thickness: ThicknessLength | None = Field(
        None, description="The thickness as measured with a caliper, with its tolerance."
    )
    size: tuple[PositiveLength, PositiveLength] | None = Field(
        None, description="Length and width of a sheet. Default the cutter's bed."
    )
    price: Money | None = Field(None, description="The price of one sheet, such as `4.20 EUR`.")


class DiscStock(Stock):
    """The sheet of discs and flanges, as measured."""

    kerf: KerfLength | None = Field(
        None,
        description="The width the cut takes away in this sheet, with its tolerance. Default "
        "`cutter.kerf`, or by its own material for a laser.",
    )


class Batch(Section):
    """Sheets of one delivery or pile, as measured."""

    name: str = Field(
        min_length=1, max_length=40, description="What the pile is called, such as `blue pile`."
    )
    thickness: tuple[PositiveLength, ...] = Field(
        min_length=1,
        max_length=MOST_READINGS,
        description="Readings of a caliper, at several sheets or places.",
    )
    count: SheetCount | None = Field(None, description="How many sheets the pile has.")

    @field_validator("name", mode="after")
    @classmethod
    def _readable(cls, name: str) -> str:
        if not name.isprintable() or not re.search(r"[A-Za-z0-9]", name):
            raise MeasureError(
                f"the batch's name {name!r:.40} cannot name a file",
                "Use letters or digits, such as 'blue pile'.",
            )
        return name


class Speeds(Section):
    """How fast the machine works, for the time estimate."""

    cut: Speed | None = Field(None, description="Along a cut. Default 10 mm/s.")
    mark: Speed | None = Field(None, description="Along a mark. Default 100 mm/s.")
    travel: Speed | None = Field(None, description="Between paths. Default 200 mm/s.")
    pierce: Time | None = Field(None, description="For each start of a cut. Default 0.3 s.")


class Strokes(Section):
    """The colours of the drawing's strokes, by operation, as `#rrggbb`."""

    mark: str | None = Field(None, description="Marks and labels.")
    inside: str | None = Field(None, description="Cuts of holes.")
    outside: str | None = Field(None, description="Cuts round a part.")

    @field_validator("mark", "inside", "outside", mode="before")
    @classmethod
    def _colour(cls, raw: Any) -> Any:
        if raw is not None and not (isinstance(raw, str) and re.fullmatch(r"#[0-9a-fA-F]{6}", raw)):
            raise MeasureError(
                f"'{str(raw)[:40]}' is not a colour", "Write six hex digits, such as '#2a7f62'."
            )
        return raw.lower() if raw is not None else None

    @model_validator(mode="after")
    def _all_differ(self) -> Self:
        colours = {name: getattr(self, name) or default for name, default in STROKES.items()}
        if len(set(colours.values())) < len(colours):
            named = ", ".join(f"{name} {colour}" for name, colour in colours.items())
            raise MeasureError(
                f"two operations have one colour ({named}), so a machine cannot tell them apart",
                "Give each its own.",
            )
        return self


class Cutter(Section):
    """The machine, or the knife."""

    process: Literal["laser", "router", "knife"] = Field("laser", description="What cuts.")
    bed: tuple[PositiveLength, PositiveLength] | None = Field(
        None, description="Length and width the machine reaches. Default the sheet's size."
    )
    margin: LengthFromZero | None = Field(
        None,
        description="Kept free along the sheet's edges. Default 5 mm, or 1 mm more than 0.75 times "
        "a router's tool.",
    )
    spacing: LengthFromZero | None = Field(
        None,
        description="Least gap between parts. Default 2 mm, or 1 mm more than 1.25 times a "
        "router's tool.",
    )
    kerf: KerfLength | None = Field(
        None,
        description="The width the cut takes away, with its tolerance. Default by material for a "
        "laser, 0 for a knife.",
    )
    tool_diameter: ThicknessLength | None = Field(
        None, description="A router's tool, which is its kerf."
    )
    compensate: Literal["file", "machine"] = Field(
        "file",
        description="Who moves the cut half a kerf off the part: the `file` or the `machine`.",
    )
    speed: Speeds = Field(Speeds.model_construct(), description="For the time estimate.")
    strokes: Strokes = Field(Strokes.model_construct(), description="Colours of the drawing.")
    bridges: Bridges | None = Field(
        None, description="Bridges that hold the parts in the sheet. Default none."
    )

    @model_validator(mode="after")
    def _kerf_by_process(self) -> Self:
        if self.process == "knife" and (self.kerf is not None and self.kerf.value > 0):
            raise MeasureError(
                "a knife takes no material away, yet 'kerf' is above zero",
                "Remove 'kerf', or say 'process: laser'.",
            )
        if self.tool_diameter is not None and self.process != "router":
            raise MeasureError(
                f"'tool_diameter' goes with 'process: router', not '{self.process}'",
                "Write 'kerf' instead, or change the process.",
            )
        if self.process == "router":
            if self.tool_diameter is None and self.kerf is None:
                raise MeasureError(
                    "a router needs 'tool_diameter'", "Write the diameter of the tool."
                )
            if self.tool_diameter is not None and self.kerf is not None:
                raise MeasureError(
                    "'tool_diameter' and 'kerf' are one thing for a router", "Keep one of them."
                )
        return self

    @model_validator(mode="after")
    def _sides_known(self) -> Self:
        """Refuse gaps in cuts that a machine is to move: an open path has no inside."""
        if self.compensate == "machine" and self.bridges and self.process != "knife":
            raise MeasureError(
                "'bridges' make open paths of the cuts, and an open path has no inside: a machine "
                "that moves the cut half a kerf off the part cannot tell to which side",
                "Write 'compensate: file', or leave 'bridges' out and let the machine's own "
                "software set them.",
                ("bridges",),
            )
        return self


_WITH_LATITUDE = (None, "sphere", "spheroid")


class FrameDocument(SpecDocument):
    """A spec of one frame, as written in YAML."""

    body: Body = Field(description="The body to be built.")
    scale: Ratio | None = Field(None, description="The scale, such as `1:4`. Default 1:1.")
    model: ModelSize | None = Field(
        None, description="The finished model's size, instead of a scale."
    )
    ribs: Ribs = Field(description="The upright half-rings.")
    discs: tuple[Disc, ...] = Field(
        min_length=1, max_length=MOST_DISCS, description="The plates that hold the ribs."
    )
    joint: Joint = Field(Joint.model_construct(), description="How the parts hold each other.")
    flanges: tuple[Flange, ...] = Field(
        (), max_length=8, description="Flat rings outside the skin."
    )
    stand: Stand | None = Field(None, description="A stand for the finished frame.")
    hang: Hang | None = Field(None, description="A hole to hang the finished frame by.")
    sheet: Stock = Field(description="The sheet as measured.")
    disc_sheet: DiscStock | None = Field(
        None, description="The sheet of discs and flanges, where it is another than the ribs'."
    )
    cutter: Cutter = Field(Cutter.model_construct(), description="The machine, or the knife.")
    stock: tuple[AtHand, ...] | None = Field(
        None,
        min_length=1,
        max_length=MOST_STOCK,
        description="The sheets at hand. Default as many of the sheet's size as it takes.",
    )

    batches: tuple[Batch, ...] = Field(
        (), max_length=MOST_BATCHES, description="Piles of sheets that were measured."
    )

    @model_validator(mode="after")
    def _batches_differ(self) -> Self:
        seen: set[str] = set()
        for n, batch in enumerate(self.batches):
            plain = re.sub(r"[^a-z0-9]+", "-", batch.name.casefold()).strip("-")
            if plain in seen:
                raise MeasureError(
                    f"two batches are called '{batch.name}', or nearly so",
                    "Let their letters or digits differ: files carry the name.",
                    ("batches", n, "name"),
                )
            seen.add(plain)
        return self

    @model_validator(mode="after")
    def _stock_has_a_size(self) -> Self:
        if self.sheet.size is None and self.cutter.bed is None:
            raise MeasureError(
                "neither 'sheet.size' nor 'cutter.bed' is given",
                "Give one of them, as [length, width].",
            )
        sizes = [size for pair in (self.sheet.size, self.cutter.bed) if pair for size in pair]
        least = min(size.value for size in sizes)
        spacing, margin = self.cutter.spacing, self.cutter.margin
        if spacing is not None and spacing.value >= least:
            raise MeasureError(
                f"the spacing, {spacing.value:g} mm, is as wide as the sheet or bed, {least:g} mm",
                "2 mm or one thickness is usual.",
                ("cutter", "spacing"),
            )
        if margin is not None and 2 * margin.value >= least:
            raise MeasureError(
                f"margins of {margin.value:g} mm leave nothing of the sheet or bed, {least:g} mm",
                "5 mm is usual.",
                ("cutter", "margin"),
            )
        return self

    @model_validator(mode="after")
    def _setback_has_a_use(self) -> Self:
        for n, disc in enumerate(self.discs):
            if disc.slot_depth is not None and self.joint.style == "housed":
                raise MeasureError(
                    "a housed disc has no slots, so 'slot_depth' has no meaning",
                    "Give its 'radius' or 'at', or write 'style: cross-lap'.",
                    ("discs", n, "slot_depth"),
                )
            if disc.setback is not None and self.joint.style == "housed":
                raise MeasureError(
                    "a housed disc ends in the rib, so 'setback' has no use",
                    "Remove 'setback', or write 'style: cross-lap'.",
                    ("discs", n, "setback"),
                )
        return self

    @model_validator(mode="after")
    def _a_round_tool_seats(self) -> Self:
        if self.joint.relief != "none" or self.cutter.process != "router":
            return self
        if self.joint.style == "tenon" or self.flanges:
            what = "flanges" if self.flanges else "tongues"
            raise MeasureError(
                f"without relief a router's round corners keep {what} from seating",
                "Remove 'relief: none'.",
                ("joint", "relief"),
            )
        return self

    @model_validator(mode="after")
    def _parts_go_with_the_body(self) -> Self:
        shape = self.body.shape
        polar = shape in (None, "sphere", "spheroid", "superellipsoid")
        for words, section, path in (
            (self.ribs.width, "width", ("ribs", "width")),
            (
                None if self.ribs.alternate is None else self.ribs.alternate.width,
                "alternate.width",
                ("ribs", "alternate", "width"),
            ),
        ):
            if polar and words is not None and (words.bottom or words.top):
                key = "bottom" if words.bottom else "top"
                raise MeasureError(
                    f"'{key}' of ribs.{section} is for bodies with two ends; this one has poles",
                    "Write 'pole'.",
                    (*path, key),
                )
        if not polar and self.ribs.inner_radius is not None:
            raise MeasureError(
                f"'inner_radius' goes with spheroids, not with 'shape: {shape}'",
                "Write 'width'.",
                ("ribs", "inner_radius"),
            )
        for n, disc in enumerate(self.discs):
            at = disc.at
            if at is not None and at.latitude is not None and shape not in _WITH_LATITUDE:
                raise MeasureError(
                    f"a latitude has no meaning on 'shape: {shape}'",
                    "Write 'height' or 'fraction'.",
                    ("discs", n, "at", "latitude"),
                )
        return self

    @model_validator(mode="after")
    def _latitude_has_kind(self) -> Self:
        if self.body.shape not in (None, "spheroid"):
            return self
        for n, disc in enumerate(self.discs, 1):
            if disc.at is not None and disc.at.latitude is not None and disc.at.kind is None:
                raise MeasureError(
                    f"disc {n} has a latitude without 'kind', and off a sphere there are three",
                    "Write 'kind: geocentric', 'kind: geodetic' or 'kind: parametric'.",
                    ("discs", n - 1, "at", "latitude"),
                )
        return self
