"""Which skin a frame has, and the laws that hold for it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from framekit.bodies.closed import cone, spheroid, superellipsoid
from framekit.bodies.model import Skin
from framekit.catalogue.load import body as catalogue_body
from framekit.errors import SpecError
from framekit.joints.build import style_named, style_of
from framekit.plugins import BODIES, load
from framekit.solution.book import STANDARD, Book, skin_book, with_laws
from framekit.spec.body import SHAPES
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec

if TYPE_CHECKING:
    from framekit.bodies.formula_body import BodyShape
    from framekit.bodies.profile import Profile

ROUND_SHAPES = ("sphere", "spheroid", "superellipsoid")
"""Shapes with an equator and two poles."""

_ENDS = (
    *("body-height", "scale-low-end", "scale-high-end", "scale-height", "model-span"),
    *("rib-span", "skin-rib-reach"),
)


def is_whole_spheroid(frame: FrameSpec) -> bool:
    """Whether the frame is a whole sphere or spheroid and nothing asks for more than that."""
    body = frame.body
    return (
        (body.catalogue is not None or body.shape in ("sphere", "spheroid"))
        and body.span is None
        and not frame.flanges
        and frame.ribs.alternate is None
        and frame.joint.style != "tenon"
        and not any(disc.at is not None and disc.at.end is not None for disc in frame.discs)
    )


def skin_of(frame: FrameSpec) -> Skin | None:
    """The frame's skin; None for the whole spheroid, whose laws are kept apart.

    Raises SpecError for a profile that is none.
    """
    if is_whole_spheroid(frame):
        return None
    if frame.body.shape is not None and frame.body.shape not in SHAPES:
        shape: BodyShape = load(BODIES, frame.body.shape)
        return shape.skin(frame)
    profile_of(frame)
    return _skin(*_key(frame))


def book_of(frame: FrameSpec) -> Book:
    """The laws of the frame."""
    return _book(skin_of(frame), style_of(frame).name)


Key = tuple[str, tuple[Any, ...]]


def _key(frame: FrameSpec) -> Key:
    """What decides the skin, and nothing else, so that equal bodies share one."""
    body = frame.body
    closed = _closed(frame)
    if body.catalogue is not None or body.shape in ("sphere", "spheroid"):
        return ("spheroid", (*_means(frame), closed))
    if body.shape == "superellipsoid":
        return ("superellipsoid", (body.exponent, closed))
    if body.shape in ("cylinder", "cone"):
        return (body.shape, (closed,))
    low, high = (x.value if isinstance(x, Measure) else None for x in body.span or (None, None))
    if body.points is not None:
        points = tuple((r.value, z.value) for r, z in body.points)
        return ("points", (points, body.smooth is not False, low, high))
    if body.radius_at is not None and body.from_ is not None and body.to is not None:
        start = body.from_.value if low is None else max(low, body.from_.value)
        stop = body.to.value if high is None else min(high, body.to.value)
        return ("formula", (body.radius_at, start, stop))
    raise AssertionError(f"no skin for {body.shape}")


def _means(frame: FrameSpec) -> tuple[Any, ...]:
    body = frame.body
    mean = body.mean_radius is not None or body.mean_diameter is not None
    return (body.shape == "sphere", (body.mean_kind or "of-sphere") if mean else None)


def _closed(frame: FrameSpec) -> tuple[bool, bool]:
    """Whether the skin meets the axis at the lower and at the upper end."""
    body = frame.body
    if body.catalogue is not None or body.shape in ROUND_SHAPES:
        low, high = body.span or ("bottom", "top")
        return (not isinstance(low, Measure), not isinstance(high, Measure))
    top = body.top_radius or body.top_diameter
    return (False, body.shape == "cone" and top is not None and top.value == 0.0)


@lru_cache(maxsize=64)
def _book(skin: Skin | None, style_name: str) -> Book:
    style = style_named(style_name)
    book = STANDARD if skin is None else skin_book(skin)
    if not style.laws and not style.margins:
        return book
    return with_laws(book, style.laws, tuple(margin.law for margin in style.margins))


def profile_of(frame: FrameSpec) -> Profile | None:
    """The real profile of a body given by points or a formula; raises SpecError for a bad one."""
    if frame.body.shape != "profile":
        return None
    try:
        return _profile(*_key(frame))
    except SpecError as error:
        key = "points" if frame.body.points is not None else "radius_at"
        where = frame.where("body", key)
        raise SpecError(*(replace(f, where=where) for f in error.faults)) from None


def _profile(shape: str, content: tuple[Any, ...]) -> Profile:
    # Few specs have a profile, and a check of the others must start fast.
    from framekit.bodies.profile import formula_profile, points_profile

    return points_profile(*content) if shape == "points" else formula_profile(*content)


@lru_cache(maxsize=64)
def _skin(shape: str, content: tuple[Any, ...]) -> Skin:
    profile = _profile(shape, content) if shape in ("points", "formula") else None
    closed = profile.closed if profile is not None else content[-1]
    ends = [*_ENDS]
    for name, shut in zip(("low", "high"), closed, strict=True):
        ends += [f"skin-rib-{name}-end", f"skin-rib-{name}-bend"] if shut else [f"rib-{name}-cut"]
    if profile is not None:
        from framekit.bodies.profile import profile_skin

        sizes = ("body-equatorial-diameter", "scale-equatorial", "model-equatorial-diameter")
        return profile_skin(profile, (*sizes, *ends))
    if shape in ("spheroid", "superellipsoid"):
        return _round(shape, content, ends, closed)
    size = ("body-equatorial-diameter", "scale-equatorial", "model-equatorial-diameter")
    straight = ("body-stands-on-zero", "scale-base", "scale-top")
    if shape == "cylinder":
        return cone((*size, "cylinder-base", "cylinder-top", *straight, *ends), closed)
    return cone((*size, "cone-equator", *straight, *ends), closed)


def _round(
    shape: str, content: tuple[Any, ...], ends: list[str], closed: tuple[bool, bool]
) -> Skin:
    laws = ["body-equatorial-diameter", "body-polar-diameter", "body-flattening"]
    if shape == "spheroid":
        sphere, mean, _ = content
        laws += ["body-is-sphere"] if sphere else []
        laws += ["body-mean-diameter", f"body-mean-{mean}"] if mean else []
    laws += ["scale-equatorial", "scale-flattening", "scale-polar", "model-equatorial-diameter"]
    laws += ["rib-inner-equator", "rib-inner-pole"]
    laws += [
        f"body-{name}-pole" for name, shut in zip(("low", "high"), closed, strict=True) if shut
    ]
    if shape == "spheroid":
        swapped = {
            "skin-rib-low-end": "rib-low-pole",
            "skin-rib-high-end": "rib-high-pole",
            "skin-rib-low-bend": "rib-low-bend-own",
            "skin-rib-high-bend": "rib-high-bend",
        }
        return spheroid((*laws, *(swapped.get(name, name) for name in ends)), closed)
    exponent = content[0]
    return superellipsoid(exponent, (*laws, *ends), closed)


def rings_of(frame: FrameSpec) -> tuple[tuple[str, float, float], ...]:
    """Name, inner and outer radius in mm of the real rings of the frame's catalogue body."""
    if frame.body.catalogue is None:
        return ()
    row = catalogue_body(frame.body.catalogue, frame.where("body", "catalogue"))
    return tuple((r.name, r.inner.value * 1e6, r.outer.value * 1e6) for r in row.rings)
