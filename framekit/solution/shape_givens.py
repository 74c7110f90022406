"""What a body other than the whole spheroid gives the solver: its ends and radii."""

from __future__ import annotations

from framekit.bodies.build import profile_of
from framekit.solution.given import Given
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec


def shape_givens(frame: FrameSpec) -> list[Given]:
    """The sizes of cones and cylinders, and where a body is cut off; real lengths in mm."""
    body = frame.body
    found: list[Given] = []

    def give(name: str, measure: Measure | None, key: str, share: float = 1.0) -> None:
        if measure is not None:
            size = Measure(measure.value * share, unit=measure.unit)
            found.append(Given(name, size, "given", frame.where("body", key)))

    if body.shape == "cone":
        give("body.base_radius", body.radius, "radius")
        give("body.base_radius", body.diameter, "diameter", 0.5)
        give("body.top_radius", body.top_radius, "top_radius")
        give("body.top_radius", body.top_diameter, "top_diameter", 0.5)
    for name, size in (body.sizes or {}).items():
        found.append(Given(f"body.{name}", size, "given", frame.where("body", "sizes", name)))
    profile = profile_of(frame)
    if profile is not None:
        key = "points" if body.points is not None else "radius_at"
        for name, length in (
            ("body.equatorial_radius", profile.widest),
            ("body.low_end", profile.low),
            ("body.high_end", profile.high),
        ):
            give(name, Measure(length), key)
        return found
    give("body.height", body.height, "height")
    for n, end in enumerate(("low", "high")):
        cut = None if body.span is None else body.span[n]
        if isinstance(cut, Measure):
            found.append(Given(f"body.{end}_end", cut, "given", frame.where("body", "span", n)))
    return found
