"""What a spec gives the solver: named numbers with their place, and defaults for holes."""

from __future__ import annotations

from framekit.bodies.build import rings_of, skin_of
from framekit.catalogue.load import body as catalogue_body
from framekit.catalogue.model import MaterialRow
from framekit.errors import Fault, SolveError, UnknownNameError, Where
from framekit.solution.given import Given
from framekit.solution.model import Origin
from framekit.solution.relations import placed_discs
from framekit.solution.shape_givens import shape_givens
from framekit.spec.body import keys_of
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec
from framekit.spec.sections import Disc, RibInnerRadius, RibWidth

MIDDLE_WIDTH, END_WIDTH = Measure(22.0), Measure(12.0)
"""mm a rib is wide at the equator and at its ends unless the spec says; common practice, no
source."""

BODY_KEYS = {
    "radius": "body.equatorial_radius",
    "diameter": "body.equatorial_diameter",
    "equatorial_radius": "body.equatorial_radius",
    "equatorial_diameter": "body.equatorial_diameter",
    "polar_radius": "body.polar_radius",
    "polar_diameter": "body.polar_diameter",
    "mean_radius": "body.mean_radius",
    "mean_diameter": "body.mean_diameter",
}
MODEL_KEYS = {
    "equatorial_radius": "model.equatorial_radius",
    "equatorial_diameter": "model.equatorial_diameter",
    "polar_radius": "model.polar_radius",
    "height": "model.height",
}
GIVABLE = {
    "body.height": "body.height",
    "body.top_radius": "body.top_radius",
    "body.base_radius": "body.radius",
    **{name: f"body.{key}" for key, name in BODY_KEYS.items()},
    **{name: f"model.{key}" for key, name in MODEL_KEYS.items()},
    "body.flattening": "body.flattening",
    "scale.denominator": "scale",
    "rib.width_equator": "ribs.width.equator",
    "rib.width_pole": "ribs.width.pole",
    "rib.width_bottom": "ribs.width.bottom",
    "rib.width_top": "ribs.width.top",
    "rib.inner_equatorial_radius": "ribs.inner_radius.equator",
    "rib.inner_polar_radius": "ribs.inner_radius.pole",
    "sheet.thickness": "sheet.thickness",
    "disc_sheet.thickness": "disc_sheet.thickness",
    "cutter.kerf": "cutter.kerf",
    "joint.slot_width": "joint.slot_width",
    "joint.slot_width_drawn": "joint.slot_width_drawn",
    "joint.clearance": "joint.clearance",
}
"""Quantities an author can give, and the spec key for each."""


def longitudes_of(frame: FrameSpec) -> tuple[float, ...]:
    """The longitude of each rib in degrees, from its list or evenly spread, less a sector cut away.

    Raises SolveError where the sector leaves fewer than two ribs.
    """
    ribs = frame.ribs
    found = ribs.longitudes
    if found is None:
        count = ribs.count or 0
        found = tuple(360.0 * i / count for i in range(count))
    if ribs.cut_away is None:
        return tuple(found)
    start, stop = ribs.cut_away
    wide = (stop - start) % 360.0
    kept = tuple(x for x in found if not 1e-9 < (x - start) % 360.0 < wide - 1e-9)
    if len(kept) < 2:
        raise SolveError(
            Fault(
                "too-few-ribs",
                f"the sector cut away leaves {len(kept)} of {len(found)} ribs",
                frame.where("ribs", "cut_away"),
                "Cut away less, or use more ribs.",
            )
        )
    return kept


def least_angle(longitudes: tuple[float, ...]) -> float:
    """The least angle between neighbours in degrees, shape of `longitudes` (n,), n ≥ 2."""
    turned = sorted(angle % 360.0 for angle in longitudes)
    return min(
        second - first
        for first, second in zip(turned, [*turned[1:], turned[0] + 360.0], strict=True)
    )


def givens_of(frame: FrameSpec, material: MaterialRow) -> tuple[Given, ...]:
    """What the spec gives; raises UnknownNameError for a body the catalogue lacks."""
    return (
        *_body_givens(frame),
        *shape_givens(frame),
        *_rib_givens(frame),
        *_sheet_givens(frame),
        *_flange_givens(frame),
        *_joint_givens(frame, material),
        *_disc_givens(frame),
    )


def _plain(value: float, unit: str = "1") -> Measure:
    return Measure(value, unit=unit)


def _body_givens(frame: FrameSpec) -> list[Given]:
    found: list[Given] = []
    body = frame.body
    if body.catalogue is not None:
        where = frame.where("body", "catalogue")
        row = catalogue_body(body.catalogue, where)
        for name, figure in (
            ("body.equatorial_radius", row.equatorial_radius),
            ("body.polar_radius", row.polar_radius),
        ):
            measure = Measure(figure.value * 1e6, unit="km")
            found.append(Given(name, measure, "catalogue", where, figure.source))
    for key, name in BODY_KEYS.items():
        size: Measure | None = None if body.shape == "cone" else getattr(body, key)
        if size is not None:
            found.append(Given(name, size, "given", frame.where("body", key)))
    if body.flattening is not None:
        found.append(
            Given(
                "body.flattening",
                _plain(body.flattening),
                "given",
                frame.where("body", "flattening"),
            )
        )
    if frame.scale is not None:
        found.append(Given("scale.denominator", _plain(frame.scale), "given", frame.where("scale")))
    if frame.model is not None:
        for key, name in MODEL_KEYS.items():
            measure = getattr(frame.model, key)
            if measure is not None:
                found.append(Given(name, measure, "given", frame.where("model", key)))
    return found


def _rib_givens(frame: FrameSpec) -> list[Given]:
    ribs = frame.ribs
    angles = longitudes_of(frame)
    key = "longitudes" if ribs.longitudes is not None else "count"
    where = frame.where("ribs", key)
    found = [
        Given("rib.count", _plain(float(len(angles))), "given", where),
        Given("rib.angle", _plain(least_angle(angles), "deg"), "given", where),
    ]
    width = ribs.width or RibWidth.model_construct()
    for name, wide, step in _widths(frame, width):
        found.append(Given(f"rib.{name}", wide, "given", frame.where("ribs", "width", step)))
    if ribs.alternate is not None:
        found += _alternate_givens(frame, width, ribs.alternate.width)
    inner = ribs.inner_radius or RibInnerRadius.model_construct()
    for name, measure, step in (
        ("rib.inner_equatorial_radius", inner.equator, "equator"),
        ("rib.inner_polar_radius", inner.pole, "pole"),
    ):
        if measure is not None:
            found.append(Given(name, measure, "given", frame.where("ribs", "inner_radius", step)))
    if ribs.pole_allowance is not None:
        place = frame.where("ribs", "pole_allowance")
        found.append(Given("rib.pole_allowance", ribs.pole_allowance, "given", place))
    return found


def _widths(frame: FrameSpec, width: RibWidth) -> list[tuple[str, Measure, str]]:
    """The widths that are given: name after the dot, measure, step of the spec's key."""
    skin = skin_of(frame)
    found = [("width_equator", width.equator, "equator")]
    if skin is None or skin.polar:
        found.append(("width_pole", width.pole, "pole"))
    else:
        for name, measure, step in (
            ("width_bottom", width.bottom, "bottom"),
            ("width_top", width.top, "top"),
        ):
            found.append((name, measure or width.pole, step if measure else "pole"))
    return [(name, measure, step) for name, measure, step in found if measure is not None]


def _alternate_givens(frame: FrameSpec, width: RibWidth, other: RibWidth) -> list[Given]:
    """The widths of every other rib; where one is not given it is that of the rest."""
    written = {name: measure for name, measure, _ in _widths(frame, other)}
    place = frame.where("ribs", "alternate", "width")
    usual = dict.fromkeys(("width_pole", "width_bottom", "width_top"), END_WIDTH)
    usual["width_equator"] = MIDDLE_WIDTH
    usual.update({name: measure for name, measure, _ in _widths(frame, width)})
    skin = skin_of(frame)
    ends = ("width_pole",) if skin is None or skin.polar else ("width_bottom", "width_top")
    return [
        Given(f"alternate.{name}", written.get(name, usual[name]), "given", place)
        for name in ("width_equator", *ends)
    ]


def _sheet_givens(frame: FrameSpec) -> list[Given]:
    """The thickness of a second sheet."""
    if frame.disc_sheet is None or frame.disc_sheet.thickness is None:
        return []
    place = frame.where("disc_sheet", "thickness")
    return [Given("disc_sheet.thickness", frame.disc_sheet.thickness, "given", place)]


def _flange_givens(frame: FrameSpec) -> list[Given]:
    """What each flange is given: its height, its real radii, how deep it sits."""
    found: list[Given] = []
    thickness = frame.sheet.thickness or Measure(3.0)
    for n, flange in enumerate(frame.flanges):
        name, key = f"flange-{n + 1}", ("flanges", n)
        found.append(Given(f"{name}.height", flange.at, "given", frame.where(*key, "at")))
        inner, outer, origin, note = _ring_radii(frame, n)
        place = frame.where(*key, "rings" if flange.rings is not None else "outer_radius")
        found.append(Given(f"{name}.body_inner_radius", inner, origin, place, note))
        found.append(Given(f"{name}.body_outer_radius", outer, origin, place, note))
        seat, place = f"{name}.seat_depth", frame.where(*key, "seat_depth")
        if flange.seat_depth is not None:
            found.append(Given(seat, flange.seat_depth, "given", place))
        else:
            note = "two thicknesses; common practice, no source"
            found.append(Given(seat, Measure(2 * thickness.value), "default", place, note))
    return found


def _ring_radii(frame: FrameSpec, place: int) -> tuple[Measure, Measure, Origin, str]:
    """Inner and outer real radius of a flange; raises UnknownNameError for rings that are none."""
    flange = frame.flanges[place]
    if flange.inner_radius is not None and flange.outer_radius is not None:
        return flange.inner_radius, flange.outer_radius, "given", ""
    where = frame.where("flanges", place, "rings")
    rings = {name: (inner, outer) for name, inner, outer in rings_of(frame)}
    known = ", ".join(rings) or "none"
    wanted = tuple(rings) if flange.rings == "all" else flange.rings or ()
    unknown = [name for name in wanted if name not in rings]
    if unknown or not wanted:
        body = frame.body.catalogue or "this body"
        what = f"no ring '{unknown[0]}'" if unknown else "no rings in the catalogue"
        raise UnknownNameError(
            Fault("unknown-ring", f"{body} has {what}", where, f"Its rings are: {known}.")
        )
    inner = min(rings[name][0] for name in wanted)
    outer = max(rings[name][1] for name in wanted)
    note = f"rings {', '.join(wanted)} of the catalogue"
    return Measure(inner, unit="km"), Measure(outer, unit="km"), "catalogue", note


def _joint_givens(frame: FrameSpec, material: MaterialRow) -> list[Given]:
    joint, cutter = frame.joint, frame.cutter
    found: list[Given] = []
    if joint.engagement is not None:
        place = frame.where("joint", "engagement")
        found.append(Given("joint.engagement", _plain(joint.engagement), "given", place))
    if joint.clearance is not None:
        place = frame.where("joint", "clearance")
        found.append(Given("joint.clearance", joint.clearance, "given", place))
    elif joint.fit is not None:
        row = material.clearance(joint.fit)
        note = f"a {joint.fit} fit in {material.name}; {row.source}"
        place = frame.where("joint", "fit")
        found.append(Given("joint.clearance", Measure(row.value), "catalogue", place, note))
    for name, measure, step in (
        ("joint.slot_width", joint.slot_width, "slot_width"),
        ("joint.slot_width_drawn", joint.slot_width_drawn, "slot_width_drawn"),
    ):
        if measure is not None:
            found.append(Given(name, measure, "given", frame.where("joint", step)))
    if joint.end_clearance is not None:
        place = frame.where("joint", "end_clearance")
        found.append(Given("joint.end_clearance", joint.end_clearance, "given", place))
    for key, measure in (joint.sizes or {}).items():
        found.append(Given(f"joint.{key}", measure, "given", frame.where("joint", "sizes", key)))
    if frame.sheet.thickness is not None:
        place = frame.where("sheet", "thickness")
        found.append(Given("sheet.thickness", frame.sheet.thickness, "given", place))
    if cutter.tool_diameter is not None:
        place = frame.where("cutter", "tool_diameter")
        found.append(Given("cutter.kerf", cutter.tool_diameter, "given", place))
    elif cutter.kerf is not None:
        found.append(Given("cutter.kerf", cutter.kerf, "given", frame.where("cutter", "kerf")))
    return found


def _disc_givens(frame: FrameSpec) -> list[Given]:
    found: list[Given] = []
    for placed in placed_discs(frame):
        disc = frame.discs[placed.entry]
        name = f"disc-{placed.number}"
        key: tuple[str | int, ...] = ("discs", placed.entry)
        if not placed.original:
            found += _place_givens(frame, name, key, disc)
        if isinstance(disc.bore, Measure):
            place = frame.where(*key, "bore")
            found.append(Given(f"{name}.bore_radius", disc.bore, "given", place))
        if disc.setback is not None and frame.joint.style != "housed":
            place = frame.where(*key, "setback")
            found.append(Given(f"{name}.setback", disc.setback, "given", place))
    return found


def _place_givens(
    frame: FrameSpec, name: str, key: tuple[str | int, ...], disc: Disc
) -> list[Given]:
    """What decides one disc's height: its place, or a size and a side."""
    found: list[Given] = []
    if disc.at is not None:
        at = disc.at
        for part, measure in (
            ("height", at.height),
            ("fraction", None if at.fraction is None else _plain(at.fraction)),
            ("latitude", None if at.latitude is None else _plain(at.latitude, "deg")),
        ):
            if measure is not None:
                place = frame.where(*key, "at", part)
                found.append(Given(f"{name}.{part}", measure, "given", place))
    for part, measure in (("radius", disc.radius), ("slot_depth", disc.slot_depth)):
        if measure is not None:
            found.append(Given(f"{name}.{part}", measure, "given", frame.where(*key, part)))
    if disc.side is not None and not disc.hub:
        side = _plain(-1.0 if disc.side == "south" else 1.0)
        found.append(Given(f"{name}.side", side, "given", frame.where(*key, "side")))
    return found


def givable(frame: FrameSpec) -> dict[str, str]:
    """The quantities an author could give in this frame, and the spec key of each."""
    allowed = keys_of(frame.body.shape)
    keys = {
        name: key
        for name, key in GIVABLE.items()
        if not key.startswith("body.") or key.removeprefix("body.") in allowed
    }
    if frame.body.shape == "cylinder":
        keys["body.equatorial_radius"] = "body.radius"
        keys["body.equatorial_diameter"] = "body.diameter"
    for placed in placed_discs(frame):
        if not placed.original:
            for part in ("height", "radius", "slot_depth", "side"):
                step = "at.height" if part == "height" else part
                keys[f"disc-{placed.number}.{part}"] = f"discs[{placed.entry}].{step}"
    return keys


def defaults_of(frame: FrameSpec, material: MaterialRow) -> tuple[Given, ...]:
    """What fills a hole when nothing in the spec does, in the order they are tried."""
    nowhere = Where(frame.where().file)
    practice = "common practice, no source"
    snug = material.snug
    tool = frame.cutter.tool_diameter or frame.cutter.kerf
    end, end_note = 0.1, practice
    if frame.cutter.process == "router" and tool is not None and frame.joint.relief != "all":
        end = tool.value / 2 + 0.1
        end_note = "the tool's radius, which rounds a slot's corners, and 0.1 mm"
    kerf = Measure(0.0) if frame.cutter.process == "knife" else Measure(material.kerf.value)
    kerf_note = (
        "a knife takes no material away"
        if frame.cutter.process == "knife"
        else f"usual for {material.name}; {material.kerf.source}"
    )
    found = [
        Given("scale.denominator", _plain(1.0), "default", nowhere, "full size"),
        Given("rib.width_equator", MIDDLE_WIDTH, "default", nowhere, practice),
        Given("rib.width_pole", END_WIDTH, "default", nowhere, practice),
        Given("rib.width_bottom", END_WIDTH, "default", nowhere, practice),
        Given("rib.width_top", END_WIDTH, "default", nowhere, practice),
        Given("rib.pole_allowance", Measure(0.5), "default", nowhere, "framekit's choice"),
        Given("joint.engagement", _plain(0.5), "default", nowhere, practice),
        Given(
            "joint.clearance",
            Measure(snug.value),
            "default",
            nowhere,
            f"a snug fit in {material.name}; {snug.source}",
        ),
        Given("joint.end_clearance", Measure(end), "default", nowhere, end_note),
        Given("cutter.kerf", kerf, "default", nowhere, kerf_note),
    ]
    for placed in placed_discs(frame):
        found.append(
            Given(
                f"disc-{placed.number}.setback",
                Measure(0.0),
                "default",
                nowhere,
                "the rim meets the skin",
            )
        )
    return tuple(found)
