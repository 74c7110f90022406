"""Laws of a skin as sums a pupil can do: the branch that holds, and lines of their own.

A law of a skin is a function that bends, stops at the body's ends and looks for extremes. Here the
same number is told in steps that each can be worked out at the values at hand, or, where there is
no formula, as a reading off the curve. The numbers stay those of the laws.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from framekit.bodies.cone import WIDTHS
from framekit.bodies.laws import GAP, SAMPLES
from framekit.bodies.model import Skin
from framekit.bodies.round import A_I, C_I
from framekit.explain.pieces import Said, at, extreme, name
from framekit.explain.skin_lines import HIGH, LOW, Lines, number
from framekit.solution.model import FrameSolution, Quantity
from framekit.spec.model import FrameSpec


def explained_quantities(frame: FrameSolution) -> dict[str, Quantity]:
    """The frame's quantities by name, those of a skin's laws as sums, and the lines they need."""
    known = dict(frame.quantities)
    for quantity in frame.quantities.values():
        known |= explained(frame.spec, frame.structure.skin, known, quantity)
    return known


def explained_margin(
    frame: FrameSolution, known: Mapping[str, Quantity], margin: Quantity
) -> dict[str, Quantity]:
    """A margin by its name, as a sum, and the lines it needs; `known` has what its law names."""
    return explained(frame.spec, frame.structure.skin, known, margin)


def explained(
    spec: FrameSpec, skin: Skin, known: Mapping[str, Quantity], quantity: Quantity
) -> dict[str, Quantity]:
    """A quantity or margin under a skin as a sum, with its lines; empty where it is one already."""
    step = quantity.step
    law = "" if step is None else step.relation.law.name
    maker = None if law in skin.closed_forms else _MAKERS.get(law)
    if step is None or maker is None or (maker is _reach and any(skin.closed)):
        return {}
    lines = Lines(spec, skin, known, quantity, step)
    maker(lines)
    return lines.found


def _faces(lines: Lines, height: str, thickness: str) -> tuple[Said, Said]:
    """The heights of a plate's lower and upper face."""
    z, t = lines.full[height], lines.full[thickness]

    def face(sign: str, way: float, words: str) -> Said:
        minus = sign.replace("−", "-")
        return Said(
            f"«{z}» {sign} «{t}»/2",
            rf"«{z}» {minus} \frac{{«{t}»}}{{2}}",
            lambda v: v[z] + way * v[t] / 2,
            words,
        )

    lower, upper = face("−", -1.0, "the lower face"), face("+", 1.0, "the upper face")
    return lines.held(lower), lines.held(upper)


def _narrowest(lines: Lines, height: str, thickness: str) -> tuple[Said, ...]:
    """The skin at a plate's faces and at a waist between them."""
    found = [lines.radius(face) for face in _faces(lines, height, thickness)]
    z, t = lines.values[lines.full[height]], lines.values[lines.full[thickness]]
    owner = lines.full[height].partition(".")[0]
    waists = []
    for real, radius in lines.skin.waists:
        scale = lines.values["scale.denominator"]
        if t / 2 >= abs(z - real / scale):
            waists.append((radius / scale, real / scale))
    if waists:
        radius, waist = min(waists)
        curve = lines.skin.radius.reading or "the skin's curve"
        said = Said(
            f"r({number(waist)})", f"r({waist:.4f})", lambda v: radius, "the waist", curve,
            lambda v: waist,
        )  # fmt: skip
        line = lines.line(f"{owner}.waist_radius", said, "the skin is narrowest between the faces")
        found.append(name(line)._replace(words="the waist", reading=lines.skin.radius.reading))
    return tuple({piece.text: piece for piece in reversed(found)}.values())[::-1]


def _plate(kind: str) -> Callable[[Lines], None]:
    def make(lines: Lines) -> None:
        pieces = _narrowest(lines, f"{kind}.height", "sheet.thickness")
        lines.result(*_least(pieces))

    return make


def _least(pieces: tuple[Said, ...]) -> tuple[Said, tuple[Said, ...]]:
    """The least of some pieces, and what it is chosen from: nothing where there is only one."""
    return (extreme("min", pieces), pieces) if len(pieces) > 1 else (pieces[0], ())


def _middle(lines: Lines) -> None:
    lines.result(lines.radius(lines.held(lines.of("disc.height"))))


def _inner(lines: Lines) -> None:
    owner = lines.full["disc.height"].partition(".")[0]
    edge = lines.inner(lines.held(lines.of("disc.height")), f"{owner}.inner")
    gap = name(lines.full[GAP])._replace(words="the pole gap")
    if edge.value(lines.values) <= gap.value(lines.values) and _no_sum(lines, edge):
        lines.result(gap)
    elif edge.reading and edge.value(lines.values) > gap.value(lines.values):
        lines.result(edge)
    else:
        lines.result(extreme("max", (gap, edge)), (gap, edge))


def _no_sum(lines: Lines, edge: Said) -> bool:
    """Whether the inner edge is a reading, or has no value at that height."""
    return bool(edge.reading) or (lines.skin.polar and edge.value(lines.values) <= 0)


def _reach(lines: Lines) -> None:
    low, high = lines.values["rib.low_end"], lines.values["rib.high_end"]
    heights = [low + (high - low) * (i / SAMPLES) for i in range(SAMPLES + 1)]

    def edge_at(z: float) -> float:
        height = Said("", "", lambda v: z)
        expression = lines.skin.inner
        return at(expression, lines.inputs(expression), height).value(lines.values)

    radii = [edge_at(min(max(z, lines.values[LOW]), lines.values[HIGH])) for z in heights]
    least = min(radii)
    first = radii.index(least)
    a = lines.of("model.equatorial_radius")
    edge = name(lines.full[GAP])
    if least > lines.values[lines.full[GAP]]:
        z = heights[first]
        end = {0: "rib.low_end", SAMPLES: "rib.high_end"}.get(first)
        if end is None:
            what = f"the inner edge, looked at in {SAMPLES + 1} heights from end to end"
            place = Said(f"z of min r_i({z:.4f})", r"z(\min r_i)", lambda v: z, "", what)
        else:
            place = name(end)
        where = lines.line("rib.least_height", place, f"the least of {SAMPLES + 1} heights")
        said = lines.inner(name(where), "rib.least")
        edge = name(lines.line("rib.least_edge", said, "the inner edge there"))
    lines.result(
        Said(
            f"{a.text} − {edge.text}",
            f"{a.latex} - {edge.latex}",
            lambda v: a.value(v) - edge.value(v),
        )
    )


def _farthest(lines: Lines, height: str, reaches: Said) -> Said:
    """The inner edge where it is farthest out over the reach on both sides of a height."""
    z = lines.of(height)
    owner = lines.full[height].partition(".")[0]
    edge = (lines.full.get(n, "") for n in (*WIDTHS, A_I, C_I))
    other = any(full.startswith("alternate.") for full in edge)
    stem = f"{owner}.{'alternate_' if other else ''}edge"

    def beside(sign: str, way: float, words: str) -> Said:
        minus = sign.replace("−", "-")
        text, latex = reaches.text, reaches.latex
        return lines.held(
            Said(
                f"{z.text} {sign} {text}",
                f"{z.latex} {minus} {latex}",
                lambda v: z.value(v) + way * reaches.value(v),
                words,
            )
        )

    heights = (beside("−", -1, "below"), z._replace(words="the middle"), beside("+", 1, "above"))

    def edge_at(place: Said) -> float:
        expression = lines.skin.inner
        return at(expression, lines.inputs(expression), place).value(lines.values)

    best = max(heights, key=edge_at)
    if edge_at(best) <= lines.values[lines.full[GAP]]:
        words = "the inner edge comes no farther out than the pole gap"
        return name(lines.line(f"{stem}_radius", name(lines.full[GAP]), words))
    where = {"below": "below the middle", "above": "above the middle"}.get(best.words, "the middle")
    place = lines.line(f"{stem}_height", best, f"{where} of what is cut there")
    far = f"the inner edge is farthest out at z = {number(lines.values[place])} mm"
    return name(lines.line(f"{stem}_radius", lines.inner(name(place), stem), far))


def _over(lines: Lines, half: bool) -> Said:
    """What the kerf as it is cuts beyond the design: at one edge, or at two."""
    k, made = lines.full["cutter.kerf"], lines.full["made.kerf"]
    if half:
        return Said(
            f"(«{made}» − «{k}»)/2",
            rf"\frac{{«{made}» - «{k}»}}{{2}}",
            lambda v: (v[made] - v[k]) / 2,
        )
    return Said(f"(«{made}» − «{k}»)", rf"\left(«{made}» - «{k}»\right)", lambda v: v[made] - v[k])


def _difference(first: Said, *others: Said) -> Said:
    """The first less all others."""
    return Said(
        " − ".join(p.text for p in (first, *others)),
        " - ".join(p.latex for p in (first, *others)),
        lambda v: first.value(v) - sum(p.value(v) for p in others),
    )


def _inside(lines: Lines) -> None:
    pieces = _narrowest(lines, "disc.height", "made.thickness")
    owner = lines.full["disc.height"].partition(".")[0]
    words = "the skin where it is narrowest over the real sheet's thickness"
    least, choice = _least(pieces)
    skin = lines.line(f"{owner}.made_skin_radius", least, words, choice)
    rim, over, allowed = lines.full["disc.radius"], _over(lines, True), "limit.skin_allowance"
    lines.result(
        Said(
            f"«{skin}» − («{rim}» − {over.text}) + «{allowed}»",
            rf"«{skin}» - \left(«{rim}» - {over.latex}\right) + «{allowed}»",
            lambda v: v[skin] - (v[rim] - over.value(v)) + v[allowed],
        )
    )


def _ligament(lines: Lines) -> None:
    steep = lines.skin.slope
    slopes = [
        at(steep, lines.inputs(steep), face, face.words)
        for face in _faces(lines, "disc.height", "sheet.thickness")
    ]
    steepest = max(slopes, key=lambda piece: abs(piece.value(lines.values)))
    owner = lines.full["disc.height"].partition(".")[0]
    words = f"at {steepest.words}, where it is steepest"
    s = lines.line(f"{owner}.skin_slope", steepest, words)
    kept, over, limit = lines.full["disc.ligament"], _over(lines, True), "limit.least_ligament"
    lines.result(
        Said(
            f"«{kept}» − {over.text}·(1 + √(1 + «{s}»²)) − «{limit}»",
            rf"«{kept}» - {over.latex} \cdot \left(1 + \sqrt{{1 + «{s}»^{{2}}}}\right) - «{limit}»",
            lambda v: v[kept] - over.value(v) * (1 + (1 + v[s] ** 2) ** 0.5) - v[limit],
        )
    )


def _engagement(lines: Lines) -> None:
    w, t = lines.full["joint.slot_width"], lines.full["sheet.thickness"]
    g, made, over = lines.full["joint.clearance"], lines.full["made.clearance"], _over(lines, False)
    reach = Said(
        f"(«{w}» + {over.text} + («{made}» − «{g}») + «{t}»)/2",
        rf"\frac{{«{w}» + {over.latex} + \left(«{made}» - «{g}»\right) + «{t}»}}{{2}}",
        lambda v: (v[w] + over.value(v) + (v[made] - v[g]) + v[t]) / 2,
    )
    edge = _farthest(lines, "disc.height", reach)
    lines.result(_difference(lines.of("disc.joint_radius"), edge, lines.of("sheet.thickness")))


def _shoulder(lines: Lines) -> None:
    edge = _farthest(lines, "disc.height", lines.of("sheet.thickness"))
    y = lines.of("disc.tongue_width")
    half = Said(f"{y.text}/2", rf"\frac{{{y.latex}}}{{2}}", lambda v: y.value(v) / 2)
    t = lines.of("sheet.thickness")
    lines.result(_difference(lines.of("disc.joint_radius"), half, edge, _over(lines, False), t))


def _flange(lines: Lines) -> None:
    w = lines.of("joint.slot_width")
    half = Said(f"{w.text}/2", rf"\frac{{{w.latex}}}{{2}}", lambda v: w.value(v) / 2)
    edge = _farthest(lines, "flange.height", half)
    seat, past = lines.of("flange.seat_radius"), lines.of("joint.end_clearance")
    limit = lines.of("limit.least_ligament")
    lines.result(_difference(seat, past, edge, _over(lines, False), limit))


def _end_room(end: str) -> Callable[[Lines], None]:
    def make(lines: Lines) -> None:
        height = lines.held(lines.of(f"rib.{end}_end"))
        skin = lines.line(f"rib.{end}_end_radius", lines.radius(height), "the skin at that height")
        over, t = _over(lines, False), lines.of("sheet.thickness")
        lines.result(_difference(name(skin), lines.of(GAP), over, t))

    return make


_MAKERS: dict[str, Callable[[Lines], None]] = {
    "skin-disc": _plate("disc"),
    "skin-flange": _plate("flange"),
    "skin-middle": _middle,
    "skin-rib-inner": _inner,
    "skin-rib-reach": _reach,
    "inside-skin": _inside,
    "ligament": _ligament,
    "engagement-rib": _engagement,
    "shoulder-rib": _shoulder,
    "flange-ligament": _flange,
    "end-room-low": _end_room("low"),
    "end-room-high": _end_room("high"),
}
"""How each law of a skin is told, by its name."""
