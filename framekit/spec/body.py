"""The body of revolution as its author wrote it, and the flanges that stand outside its skin."""

from typing import Any, Literal, Self

from pydantic import ConfigDict, Field, field_validator, model_validator

from framekit.own_plugins import OWN
from framekit.plugins import BODIES
from framekit.spec.fields import (
    Exponent,
    Flattening,
    Formula,
    Length,
    LengthFromZero,
    Points,
    PositiveLength,
    Sizes,
    Span,
)
from framekit.spec.measure import Measure, MeasureError
from framekit.spec.section import Section, known_name

_ROUND = (
    *("equatorial_radius", "equatorial_diameter", "polar_radius", "polar_diameter"),
    *("flattening", "span"),
)
_MEANS = ("mean_radius", "mean_diameter", "mean_kind")
_KEYS = {
    "sphere": ("radius", "diameter", *_ROUND, *_MEANS),
    "spheroid": (*_ROUND, *_MEANS),
    "superellipsoid": ("exponent", *_ROUND),
    "cylinder": ("radius", "diameter", "height"),
    "cone": ("radius", "diameter", "top_radius", "top_diameter", "height"),
    "profile": ("points", "smooth", "radius_at", "from_", "to", "span"),
}
"""The keys that go with each shape, beside `shape`."""


def keys_of(shape: str | None) -> tuple[str, ...]:
    """The keys under `body` that go with a shape; none with a catalogue body or a plug-in's."""
    return tuple(key.rstrip("_") for key in _KEYS.get(shape or "", ()))


class Body(Section):
    """The body to be built, in its real size."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True, populate_by_name=True)

    shape: str | None = Field(
        None,
        max_length=40,
        description="The kind of body: `sphere`, `spheroid`, `superellipsoid`, `cylinder`, "
        "`cone`, `profile` or a plug-in's. May be left out with `catalogue`.",
    )
    catalogue: str | None = Field(
        None, description="A body of the catalogue, such as `saturn`, instead of sizes."
    )
    radius: PositiveLength | None = Field(
        None, description="The radius of a sphere or cylinder, or of a cone at its base."
    )
    diameter: PositiveLength | None = Field(
        None, description="The diameter of a sphere or cylinder, or of a cone at its base."
    )
    equatorial_radius: PositiveLength | None = Field(None, description="Axis to equator.")
    equatorial_diameter: PositiveLength | None = Field(None, description="Across the equator.")
    polar_radius: PositiveLength | None = Field(None, description="Centre to pole.")
    polar_diameter: PositiveLength | None = Field(None, description="Pole to pole.")
    mean_radius: PositiveLength | None = Field(
        None, description="The mean radius; off a sphere `mean_kind` says which mean."
    )
    mean_diameter: PositiveLength | None = Field(
        None, description="The mean diameter; off a sphere `mean_kind` says which mean."
    )
    mean_kind: Literal["arithmetic", "volumetric"] | None = Field(
        None,
        description="Which mean: `arithmetic` is (2a + c)/3, `volumetric` the radius of the "
        "sphere of equal volume.",
    )
    flattening: Flattening | None = Field(
        None, description="1 − polar/equatorial radius; 0 is a sphere."
    )
    exponent: Exponent | None = Field(
        None, description="Of a superellipsoid: 2 is a spheroid, 1 a double cone, 4 a pillow."
    )
    height: PositiveLength | None = Field(
        None, description="The height of a cylinder or cone, from its base."
    )
    top_radius: LengthFromZero | None = Field(
        None, description="The radius of a cone at its top; 0 is a pointed one."
    )
    top_diameter: LengthFromZero | None = Field(
        None, description="The diameter of a cone at its top."
    )
    points: Points | None = Field(
        None,
        description="Of a profile: `[radius, height]` pairs along the skin, heights all rising or "
        "all falling.",
    )
    smooth: bool | None = Field(
        None,
        description="Whether the profile runs smoothly through its points, without new bumps "
        "(the default), or straight from one to the next.",
    )
    radius_at: Formula | None = Field(
        None,
        description="Of a profile: the skin's radius in mm as a formula of the height `z` in mm, "
        'such as `"40 + 12*cos(pi*z/90)"`; angles in radians.',
    )
    from_: Length | None = Field(
        None, alias="from", description="The lowest height of `radius_at`."
    )
    to: Length | None = Field(None, description="The highest height of `radius_at`.")
    span: Span | None = Field(
        None,
        description="Only part of the body: `[low, high]`, each a real height or `bottom` or "
        "`top`; heights count as those of the body do.",
    )
    sizes: Sizes | None = Field(
        None, description="The sizes of a plug-in's shape, by the names it asks for."
    )

    @field_validator("shape", mode="after")
    @classmethod
    def _known_shape(cls, shape: str | None) -> str | None:
        return None if shape is None else known_name(shape, BODIES, "shape")

    @model_validator(mode="after")
    def _shape_and_sizes_agree(self) -> Self:
        if self.shape is None and self.catalogue is None:
            raise MeasureError(
                "the body has neither 'shape' nor 'catalogue'",
                "Write 'shape: sphere', 'shape: spheroid' or 'catalogue: NAME'.",
            )
        given = [k for k in type(self).model_fields if getattr(self, k) is not None]
        given = [k for k in given if k not in ("shape", "catalogue")]
        extra = [k for k in given if k != "span"] + (["shape"] if self.shape else [])
        if self.catalogue is not None and extra:
            raise MeasureError(
                f"'catalogue' already gives the body's shape and sizes; '{extra[0]}' is surplus",
                "Keep 'catalogue' alone, or write the shape and the sizes without it.",
            )
        if self.shape in _KEYS:
            self._keys_fit(self.shape, given)
        elif self.shape is not None:
            wrong = [k for k in given if k not in ("sizes", "span")]
            if wrong:
                raise MeasureError(
                    f"'{wrong[0].rstrip('_')}' goes with framekit's own shapes, and "
                    f"'{self.shape}' is none of them",
                    f"Those are {', '.join(OWN[BODIES])}. A plug-in's sizes stand under 'sizes'.",
                )
        return self

    def _keys_fit(self, shape: str, given: list[str]) -> None:
        """MeasureError where a key does not go with one of framekit's own shapes."""
        wrong = [k for k in given if k not in _KEYS[shape]]
        if self.shape == "spheroid" and wrong and wrong[0] in ("radius", "diameter"):
            raise MeasureError(
                f"'{wrong[0]}' is a sphere's size; a spheroid has two",
                f"Write 'equatorial_{wrong[0]}' or 'polar_{wrong[0]}'.",
            )
        if wrong == ["mean_kind"]:
            raise MeasureError(
                "'mean_kind' goes with a spheroid's mean_radius or mean_diameter",
                "Remove 'mean_kind', or add the mean it speaks of.",
            )
        if wrong:
            known = ", ".join(k.rstrip("_") for k in _KEYS[shape])
            raise MeasureError(
                f"'{wrong[0].rstrip('_')}' does not go with 'shape: {shape}'",
                f"A {shape} takes {known}.",
            )
        means = self.mean_radius is not None or self.mean_diameter is not None
        if shape == "spheroid" and means and self.mean_kind is None:
            raise MeasureError(
                "a spheroid's mean has two meanings and 'mean_kind' is missing",
                "Write 'mean_kind: arithmetic' for (2a + c)/3 or 'mean_kind: volumetric'.",
            )
        if self.mean_kind is not None and (shape != "spheroid" or not means):
            raise MeasureError(
                "'mean_kind' goes with a spheroid's mean_radius or mean_diameter",
                "Remove 'mean_kind', or add the mean it speaks of.",
            )
        if shape == "superellipsoid" and self.exponent is None:
            raise MeasureError(
                "the superellipsoid has no 'exponent'",
                "Write 'exponent: 2.5', for example; 2 is a spheroid.",
            )
        if shape == "profile":
            self._profile_is_whole()
        for radius, diameter in (("radius", "diameter"), ("top_radius", "top_diameter")):
            if shape in ("cylinder", "cone") and radius in given and diameter in given:
                raise MeasureError(
                    f"'{radius}' and '{diameter}' say one thing twice", "Keep one of them."
                )

    def _profile_is_whole(self) -> None:
        """MeasureError where a profile lacks its points or formula, or has both."""
        if (self.points is None) == (self.radius_at is None):
            both = self.points is not None
            raise MeasureError(
                "the profile has both 'points' and 'radius_at'"
                if both
                else "the profile has neither 'points' nor 'radius_at'",
                "Give one: 'points: [[radius, height], …]' or 'radius_at' with 'from' and 'to'.",
            )
        if self.points is not None and (self.from_ is not None or self.to is not None):
            raise MeasureError("'from' and 'to' go with 'radius_at'", "Use 'span' to cut a part.")
        if self.radius_at is None:
            return
        if self.smooth is not None:
            raise MeasureError("'smooth' goes with 'points'", "Remove it.")
        if self.from_ is None or self.to is None:
            raise MeasureError(
                "'radius_at' needs the heights it runs between",
                "Write 'from' and 'to', such as 'from: -90' and 'to: 90'.",
            )
        if self.to.value - self.from_.value < 1e-6:
            raise MeasureError(
                f"'to', {self.to.value:g} mm, is not above 'from', {self.from_.value:g} mm",
                "Write the lower height first.",
            )


class ModelSize(Section):
    """The size of the finished model, when it decides the scale."""

    equatorial_radius: PositiveLength | None = Field(
        None, description="Axis to equator, or to the widest place."
    )
    equatorial_diameter: PositiveLength | None = Field(
        None, description="Across the equator or the widest place."
    )
    polar_radius: PositiveLength | None = Field(None, description="Centre to pole.")
    height: PositiveLength | None = Field(None, description="From the lower end to the upper.")


class Flange(Section):
    """A flat ring outside the skin, carried in the ribs' outer notches."""

    at: Length = Field(
        Measure(0.0), description="Its mid-height on the model. Default 0, the equator."
    )
    rings: tuple[str, ...] | Literal["all"] | None = Field(
        None,
        description="Names of the catalogue body's rings, such as `[B, A]`, or `all`; the flange "
        "reaches from the innermost to the outermost.",
    )
    inner_radius: PositiveLength | None = Field(
        None, description="The ring's real inner radius; it is marked on the flange."
    )
    outer_radius: PositiveLength | None = Field(None, description="The ring's real outer radius.")
    seat_depth: PositiveLength | None = Field(
        None, description="How deep the flange sits in the ribs. Default two thicknesses."
    )

    @field_validator("rings", mode="before")
    @classmethod
    def _one_ring(cls, raw: Any) -> Any:
        return [raw] if isinstance(raw, str) and raw != "all" else raw

    @model_validator(mode="after")
    def _rings_or_radii(self) -> Self:
        radii = self.inner_radius is not None or self.outer_radius is not None
        if self.rings is not None and radii:
            raise MeasureError(
                "'rings' already gives the flange's radii", "Keep 'rings' or the radii."
            )
        if self.rings is None and (self.inner_radius is None or self.outer_radius is None):
            raise MeasureError(
                "the flange lacks a radius",
                "Give 'inner_radius' and 'outer_radius', or 'rings' of a catalogue body.",
            )
        if (
            self.inner_radius is not None
            and self.outer_radius is not None
            and self.inner_radius.value >= self.outer_radius.value
        ):
            raise MeasureError(
                "the flange's inner radius is not below its outer radius", "Swap or mend them."
            )
        return self
