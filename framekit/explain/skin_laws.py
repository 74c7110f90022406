"""Laws of a skin as sums a pupil can do: the branch that holds, and lines of their own.

A law of a skin is a function that bends, stops at the body's ends and looks for extremes. Here the
same number is told in steps that each can be worked out at the values at hand, or, where there is
no formula, as a reading off the curve. The numbers stay those of the laws.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from framekit.bodies.cone import WIDTHS
from framekit.bodies.laws import GAP, SAMPLES
from framekit.bodies.round import A_I, C_I
from framekit.constraints.loops import LoopSearch
from framekit.explain.pieces import Piece, extreme
from framekit.explain.skin_lines import HIGH, LOW, SkinLines, number
from framekit.solution.model import FrameSolution, Quantity
from framekit.solution.structure import Structure
from framekit.spec.made_terms import CHAMFER, OVER, OVER_DISC, SLOT

BOTH_KERFS = "(made.kerf - cutter.kerf)"
"""What the kerf as it is cuts beyond the design at two edges."""


def explained_quantities(frame: FrameSolution) -> dict[str, Quantity]:
    """Return the frame's quantities by name, a skin's as sums, and the lines these need."""
    known = dict(frame.quantities)
    for quantity in frame.quantities.values():
        known |= explained(frame.structure, known, quantity)
    return known


def explained(
    structure: Structure, known: Mapping[str, Quantity], quantity: Quantity
) -> dict[str, Quantity]:
    """Return a quantity or margin under a skin as a sum, and its lines; empty where it is one.

    `known` has what its law names. A law in an algebraic loop is searched and stays as it is.
    """
    step, skin = quantity.step, structure.skin
    if step is None or isinstance(step.form.function, LoopSearch):
        return {}
    law = step.relation.law.name
    writer = None if law in skin.closed_forms else _WRITERS.get(law)
    if writer is None or (writer is _reach and any(skin.closed)):
        return {}
    lines = SkinLines(structure, known, quantity, step)
    writer(lines)
    return lines.found


def _faces(lines: SkinLines, height: str, thickness: str) -> tuple[Piece, Piece]:
    """Return the heights of a plate's lower and upper face."""
    return (
        lines.on_body(f"{height} - {thickness}/2", "the lower face"),
        lines.on_body(f"{height} + {thickness}/2", "the upper face"),
    )


def _narrowest(lines: SkinLines, plate: str, thickness: str) -> tuple[Piece, ...]:
    """Return the skin at a plate's faces and at a waist between them."""
    height = f"{plate}.height"
    found = [lines.radius(face) for face in _faces(lines, height, thickness)]
    z, t = lines.value(height), lines.value(thickness)
    waists = []
    for real, radius in lines.skin.waists:
        scale = lines.value("scale.denominator")
        if t / 2 >= abs(z - real / scale):
            waists.append((radius / scale, real / scale))
    if waists:
        radius, waist = min(waists)
        curve = lines.skin.radius.reading or "the skin's curve"
        at_waist = Piece(
            f"r({number(waist)})", f"r({waist:.4f})", lambda v: radius, "the waist", curve,
            lambda v: waist,
        )  # fmt: skip
        words = "the skin is narrowest between the faces"
        line = lines.piece(lines.line(f"{plate}.waist_radius", at_waist, words), "the waist")
        found.append(line._replace(reading=lines.skin.radius.reading))
    return tuple({piece.text: piece for piece in reversed(found)}.values())[::-1]


def _plate(plate: str) -> Callable[[SkinLines], None]:
    def write(lines: SkinLines) -> None:
        lines.result(*_least(_narrowest(lines, plate, "sheet.thickness")))

    return write


def _least(pieces: tuple[Piece, ...]) -> tuple[Piece, tuple[Piece, ...]]:
    """Return the least of some pieces, and what it is chosen from: nothing of a single one."""
    return (extreme("min", pieces), pieces) if len(pieces) > 1 else (pieces[0], ())


def _middle(lines: SkinLines) -> None:
    lines.result(lines.radius(lines.on_body("disc.height")))


def _inner(lines: SkinLines) -> None:
    edge = lines.inner(lines.on_body("disc.height"), "disc.inner")
    gap = lines.piece(GAP, "the pole gap")
    radius = edge.value(lines.values)
    # A reading is no sum, nor is an inner edge that has no value at that height.
    no_sum = edge.reading or (lines.skin.polar and radius <= 0)
    if radius <= lines.value(GAP) and no_sum:
        lines.result(gap)
    elif edge.reading and radius > lines.value(GAP):
        lines.result(edge)
    else:
        lines.result(extreme("max", (gap, edge)), (gap, edge))


def _reach(lines: SkinLines) -> None:
    low, high = lines.values["rib.low_end"], lines.values["rib.high_end"]
    heights = [low + (high - low) * (i / SAMPLES) for i in range(SAMPLES + 1)]

    def edge_at(z: float) -> float:
        z = min(max(z, lines.values[LOW]), lines.values[HIGH])
        return lines.at(lines.skin.inner, Piece("", "", lambda v: z)).value(lines.values)

    radii = list(map(edge_at, heights))
    least = min(radii)
    first = radii.index(least)
    edge = GAP
    if least > lines.value(GAP):
        z = heights[first]
        what = f"the inner edge, looked at in {SAMPLES + 1} heights from end to end"
        place = Piece(f"z of min r_i({z:.4f})", r"z(\min r_i)", lambda v: z, "", what)
        if first in (0, SAMPLES):
            place = lines.piece("rib.high_end" if first else "rib.low_end")
        where = lines.line("rib.least_height", place, f"the least of {SAMPLES + 1} heights")
        inner = lines.inner(lines.piece(where), "rib.least")
        edge = lines.line("rib.least_edge", inner, "the inner edge there")
    lines.result(lines.piece(f"model.equatorial_radius - {edge}"))


def _farthest(lines: SkinLines, plate: str, reach: str) -> str:
    """Return a line's name: the inner edge where it is farthest out, so far about a plate."""
    edges = (lines.full.get(n, "") for n in (*WIDTHS, A_I, C_I))
    alternate = any(full.startswith("alternate.") for full in edges)
    stem = f"{plate}.{'alternate_' if alternate else ''}edge"
    height = f"{plate}.height"
    heights = (
        lines.on_body(f"{height} - {reach}", "below the middle"),
        lines.piece(height, "the middle"),
        lines.on_body(f"{height} + {reach}", "above the middle"),
    )

    def edge_at(place: Piece) -> float:
        return lines.at(lines.skin.inner, place).value(lines.values)

    best = max(heights, key=edge_at)
    if edge_at(best) <= lines.value(GAP):
        words = "the inner edge comes no farther out than the pole gap"
        return lines.line(f"{stem}_radius", lines.piece(GAP), words)
    place = lines.line(f"{stem}_height", best, f"{best.words} of what is cut there")
    far = f"the inner edge is farthest out at z = {number(lines.value(place))} mm"
    return lines.line(f"{stem}_radius", lines.inner(lines.piece(place), stem), far)


def _inside(lines: SkinLines) -> None:
    words = "the skin where it is narrowest over the real sheet's thickness"
    least, choice = _least(_narrowest(lines, "disc", "made.thickness"))
    skin = lines.line("disc.made_skin_radius", least, words, choice)
    lines.result(lines.piece(f"{skin} - (disc.radius - {OVER}) + limit.skin_allowance"))


def _ligament(lines: SkinLines) -> None:
    slopes = [
        lines.at(lines.skin.slope, face, face.words)
        for face in _faces(lines, "disc.height", "sheet.thickness")
    ]
    steepest = max(slopes, key=lambda piece: abs(piece.value(lines.values)))
    words = f"at {steepest.words}, where it is steepest"
    s = lines.line("disc.skin_slope", steepest, words)
    cut = f"{OVER}*(1 + sqrt(1 + {s}**2))"
    lines.result(lines.piece(f"disc.ligament - {cut} - limit.least_ligament"))


def _engagement(kerfs: str) -> Callable[[SkinLines], None]:
    def write(lines: SkinLines) -> None:
        edge = _farthest(lines, "disc", f"({SLOT} + sheet.thickness)/2")
        rest = f"disc.held_depth - {edge} - {kerfs} - {CHAMFER} - sheet.thickness"
        lines.result(lines.piece(f"disc.joint_radius - {rest}"))

    return write


def _shoulder(lines: SkinLines) -> None:
    edge = _farthest(lines, "disc", "sheet.thickness")
    rest = f"disc.tongue_width/2 - {edge} - {BOTH_KERFS} - sheet.thickness"
    lines.result(lines.piece(f"disc.joint_radius - {rest}"))


def _flange(lines: SkinLines) -> None:
    edge = _farthest(lines, "flange", f"{SLOT}/2")
    rest = f"joint.end_clearance - {edge} - {BOTH_KERFS} - limit.least_ligament"
    lines.result(lines.piece(f"flange.seat_radius - {rest}"))


def _end_room(end: str) -> Callable[[SkinLines], None]:
    def write(lines: SkinLines) -> None:
        skin = lines.radius(lines.on_body(f"rib.{end}_end"))
        radius = lines.line(f"rib.{end}_end_radius", skin, "the skin at that height")
        lines.result(lines.piece(f"{radius} - {GAP} - {BOTH_KERFS} - sheet.thickness"))

    return write


_WRITERS: dict[str, Callable[[SkinLines], None]] = {
    "skin-disc": _plate("disc"),
    "skin-flange": _plate("flange"),
    "skin-middle": _middle,
    "skin-rib-inner": _inner,
    "skin-rib-reach": _reach,
    "inside-skin": _inside,
    "ligament": _ligament,
    "engagement-rib": _engagement(BOTH_KERFS),
    "engagement-rib-two": _engagement(f"{OVER} - {OVER_DISC}"),
    "shoulder-rib": _shoulder,
    "flange-ligament": _flange,
    "end-room-low": _end_room("low"),
    "end-room-high": _end_room("high"),
}
"""What writes each law of a skin as a sum, by the law's name."""
