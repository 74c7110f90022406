"""What a spec gives the solver: named numbers with their place, and defaults for holes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from framekit.catalogue.load import body as catalogue_body
from framekit.errors import Fault, UnknownNameError, Where
from framekit.solution.longitudes import least_angle
from framekit.solution.quantities import ASSUMED, QUANTITIES, Default, fit_in, spread_of
from framekit.solution.relations import followers
from framekit.solution.structure import Structure
from framekit.solution.symbols import described
from framekit.spec.body import keys_of
from framekit.spec.defaults import END_WIDTH, MIDDLE_WIDTH, SEAT_THICKNESSES
from framekit.spec.given import Given, Origin
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec

SECTIONS = ("body", "model", "scale", "ribs", "sheet", "disc_sheet", "cutter", "joint")
"""What a frame has one of, in the order it is read."""
ENDS = ("rib.width_bottom", "rib.width_top")


def givens_of(structure: Structure) -> tuple[Given, ...]:
    """Return what the spec gives; raise UnknownNameError for a body the catalogue lacks."""
    written = tuple(_written(structure))
    return (
        *_catalogue_givens(structure.spec),
        *structure.body.givens(structure.spec),
        *_counts(structure),
        *written,
        *_of_second_sheet(structure, written),
        *_end_widths(structure),
        *_alternate_givens(structure),
        *_flange_givens(structure),
        *_other_joint_givens(structure),
        *_disc_givens(structure),
    )


def _plain(value: float, unit: str = "1") -> Measure:
    return Measure(value, unit=unit)


def _catalogue_givens(frame: FrameSpec) -> Iterator[Given]:
    if frame.body.catalogue is None:
        return
    where = frame.where("body", "catalogue")
    row = catalogue_body(frame.body.catalogue, where)
    for name, figure in (
        ("body.equatorial_radius", row.equatorial_radius),
        ("body.polar_radius", row.polar_radius),
    ):
        measure = Measure(figure.value * 1e6, unit="km")
        yield Given(name, measure, "catalogue", where, figure.source)


def _read(entry: Any, path: str) -> Measure | float | None:
    """Return the number at a path below an entry of the spec, None where none is written."""
    for step in path.split("."):
        entry = None if entry is None else getattr(entry, step, None)
    return None if isinstance(entry, str) else entry


def _given(frame: FrameSpec, name: str, value: Measure | float, *key: str | int) -> Given:
    measure = value if isinstance(value, Measure) else _plain(value, described(name).unit)
    return Given(name, measure, "given", frame.where(*key))


def _written(structure: Structure) -> Iterator[Given]:
    """Yield the quantities that stand in the sections that a frame has one of."""
    skipped = {f"body.{key}" for key in structure.body.reads}
    other = ENDS if structure.skin.polar else (*ENDS, "rib.width_pole")
    for section in SECTIONS:
        for name, row in QUANTITIES.items():
            for key in reversed(row.keys):
                if key.partition(".")[0] != section or key in skipped or name in other:
                    continue
                value = _read(structure.spec, key)
                if value is not None:
                    yield _spread(_given(structure.spec, name, value, *key.split(".")))


def _spread(given: Given) -> Given:
    """Return a kerf with the ± that it has where nobody states one; anything else as it is."""
    measure = given.measure
    if given.name not in ("cutter.kerf", "disc_sheet.kerf") or measure.told:
        return given
    tolerance = spread_of(measure.value)
    return given._replace(measure=replace(measure, tolerance=tolerance), note=ASSUMED)


def _of_second_sheet(structure: Structure, found: Sequence[Given]) -> Iterator[Given]:
    """Yield what the discs' sheet has of the spec where it says nothing of its own."""
    joint = structure.spec.joint
    if structure.spec.disc_sheet is None:
        return
    known = {given.name: given for given in found}
    for first, second in followers(structure.spec).items():
        if first in known:
            yield known[first]._replace(name=second)
    if joint.fit is not None:
        row = fit_in(structure.material, joint.fit)
        place = structure.spec.where("joint", "fit")
        yield Given("joint.notch_clearance", Measure(row.value), "catalogue", place, row.note)


def _counts(structure: Structure) -> Iterator[Given]:
    angles = structure.longitudes
    key = "longitudes" if structure.spec.ribs.longitudes is not None else "count"
    where = structure.spec.where("ribs", key)
    yield Given("rib.count", _plain(float(len(angles))), "given", where)
    yield Given("rib.angle", _plain(least_angle(angles), "deg"), "given", where)


def _end_widths(structure: Structure) -> Iterator[Given]:
    """Yield the widths at two ends; where one is not written it is that of the pole."""
    width = structure.spec.ribs.width
    if structure.skin.polar or width is None:
        return
    for end, measure in (("bottom", width.bottom), ("top", width.top)):
        given, step = (measure, end) if measure else (width.pole, "pole")
        if given is not None:
            yield _given(structure.spec, f"rib.width_{end}", given, "ribs", "width", step)


def _alternate_givens(structure: Structure) -> Iterator[Given]:
    """Yield the widths of every other rib; where one is not given it is that of the rest."""
    ribs = structure.spec.ribs
    if ribs.alternate is None:
        return
    place = structure.spec.where("ribs", "alternate", "width")
    for end in ("equator", *(("pole",) if structure.skin.polar else ("bottom", "top"))):
        usual = Measure(MIDDLE_WIDTH if end == "equator" else END_WIDTH)
        found = None
        for width in (ribs.alternate.width, ribs.width):
            written = None if width is None else getattr(width, end)
            if written is None and width is not None and end in ("bottom", "top"):
                written = width.pole
            found = found or written
        yield Given(f"alternate.width_{end}", found or usual, "given", place)


def _flange_givens(structure: Structure) -> Iterator[Given]:
    """Yield what each flange is given: its height, its real radii, how deep it sits."""
    frame = structure.spec
    sheet = frame.sheet if frame.disc_sheet is None else frame.disc_sheet
    thickness = 3.0 if sheet.thickness is None else sheet.thickness.value
    for n, flange in enumerate(frame.flanges):
        name = f"flange-{n + 1}"
        yield _given(frame, f"{name}.height", flange.at, "flanges", n, "at")
        inner, outer, origin, note = _ring_radii(structure, n)
        place = frame.where("flanges", n, "rings" if flange.rings is not None else "outer_radius")
        yield Given(f"{name}.body_inner_radius", inner, origin, place, note)
        yield Given(f"{name}.body_outer_radius", outer, origin, place, note)
        if flange.seat_depth is not None:
            seat = flange.seat_depth
            yield _given(frame, f"{name}.seat_depth", seat, "flanges", n, "seat_depth")
        else:
            note = "two thicknesses; common practice, no source"
            place = frame.where("flanges", n, "seat_depth")
            depth = Measure(SEAT_THICKNESSES * thickness)
            yield Given(f"{name}.seat_depth", depth, "default", place, note)


def rings_of(frame: FrameSpec) -> tuple[tuple[str, float, float], ...]:
    """Return name, inner and outer radius in mm of the real rings of the frame's catalogue body."""
    if frame.body.catalogue is None:
        return ()
    row = catalogue_body(frame.body.catalogue, frame.where("body", "catalogue"))
    return tuple((r.name, r.inner.value * 1e6, r.outer.value * 1e6) for r in row.rings)


def _ring_radii(structure: Structure, place: int) -> tuple[Measure, Measure, Origin, str]:
    """Return inner and outer real radius of a flange; raise UnknownNameError for unknown rings."""
    frame = structure.spec
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


def _other_joint_givens(structure: Structure) -> Iterator[Given]:
    """Yield the clearance of a named fit, and the sizes of a plug-in's joint."""
    joint = structure.spec.joint
    if joint.clearance is None and joint.fit is not None:
        row = fit_in(structure.disc_material, joint.fit)
        place = structure.spec.where("joint", "fit")
        yield Given("joint.clearance", Measure(row.value), "catalogue", place, row.note)
    for key, measure in (joint.sizes or {}).items():
        yield _given(structure.spec, f"joint.{key}", measure, "joint", "sizes", key)


PLACES = (
    *(name for name, row in QUANTITIES.items() if row.keys and row.keys[0].startswith("at.")),
    *("disc.radius", "disc.slot_depth"),
)
"""What decides a disc's height; its mirror image has none of its own."""


def _disc_givens(structure: Structure) -> Iterator[Given]:
    frame = structure.spec
    for placed in structure.discs:
        laws = (structure.book.design[law] for law in placed.joint.disc_laws)
        of_joint = {name for law in laws for name in law.quantities}
        names = () if placed.original else PLACES
        if "disc.setback" in of_joint:
            names = (*names, "disc.setback")
        for name in (*names, "disc.bore_radius"):
            (key,) = QUANTITIES[name].keys
            value = _read(placed.disc, key)
            if value is not None:
                own = f"{placed.name}.{name.partition('.')[2]}"
                yield _given(frame, own, value, "discs", placed.entry, *key.split("."))
        if placed.disc.side is not None and not placed.disc.hub and not placed.original:
            side = -1.0 if placed.disc.side == "south" else 1.0
            yield _given(frame, f"{placed.name}.side", side, "discs", placed.entry, "side")


def givable(structure: Structure) -> dict[str, str]:
    """Return the quantities an author could give in this frame, and the spec key of each."""
    allowed = keys_of(structure.spec.body.shape)
    keys: dict[str, str] = {}
    for section in SECTIONS:
        for name, row in QUANTITIES.items():
            for key in row.keys:
                first, _, rest = key.partition(".")
                known = section != "body" or rest in allowed
                if first == section and known and name not in keys:
                    keys[name] = key
    for placed in structure.discs:
        if not placed.original:
            for name in ("height", "radius", "slot_depth", "side"):
                (key,) = QUANTITIES[f"disc.{name}"].keys
                keys[f"{placed.name}.{name}"] = f"discs[{placed.entry}].{key}"
    return keys


def defaults_of(structure: Structure) -> tuple[Given, ...]:
    """Return what fills a hole when nothing in the spec does, in the order it is tried."""
    nowhere = Where(structure.spec.where().file)
    found = []
    for name, row in QUANTITIES.items():
        if row.default is None:
            continue
        default = row.default
        if not isinstance(default, Default):
            default = default(structure.spec, structure.material, structure.disc_material)
        names = [name]
        if name.startswith("disc."):
            names = [name.replace("disc", placed.name, 1) for placed in structure.discs]
        measure = Measure(default.value, default.tolerance, unit=row.unit)
        found += [Given(n, measure, "default", nowhere, default.note) for n in names]
    return tuple(found)
