"""Whether the sheets can be cut as drawn: places, order, bridges, and nothing missing."""

from __future__ import annotations

from collections import Counter
from typing import Any

import shapely
from judge.cut_files import Run
from judge.pieces import NOMINAL, CutPart, made, path_polygon
from judge.scene import Case
from shapely import LinearRing, Polygon, box

ROUNDING = 1e-3
"""mm: the files' decimals, and this judge's own chords (`CHORD`). Layouts are found on polygons
that hold the true arcs."""


def _drawn(case: Case) -> list[tuple[CutPart, Any]]:
    """Every part's paths as a polygon on its sheet."""
    known = (cut for cut in case.cuts.values() if cut.outside and cut.id in case.places)
    return [(cut, path_polygon(cut)) for cut in known]


def _finished(case: Case, cut: CutPart, shape: Any) -> Any:
    """The part as drawn, where it lies on its sheet."""
    return made(shape, case.told, case.places[cut.id].kind, NOMINAL)


def over_the_edge(case: Case) -> list[str]:
    """Parts nearer to the sheet's edge than the margin, and cuts that leave the sheet."""
    found = []
    for cut, shape in _drawn(case):
        sheet = case.svg[cut.sheet]
        room = case.told.margin - ROUNDING
        inner = box(room, room, sheet.width - room, sheet.height - room)
        if not inner.covers(shape) and not inner.covers(_finished(case, cut, shape)):
            found.append(f"{cut.id} lies over the margin of {sheet.name}")
        kerf = case.told.kerfs[case.places[cut.id].kind]
        away = 0.0 if case.told.by_file else kerf.value / 2
        if not box(away, away, sheet.width - away, sheet.height - away).covers(shape):
            found.append(f"{cut.id} is cut off the sheet {sheet.name}")
    return found


def too_near(case: Case) -> list[str]:
    """Parts that lie on each other or nearer than the spacing, and cuts that take of others.

    Two paths may cross in the waste between corners that point at each other: neither cut takes
    anything of the other's part there.
    """
    found = []
    drawn = _drawn(case)
    tree = shapely.STRtree([shape for _, shape in drawn])
    spacing = case.told.spacing
    for i, (one, shape) in enumerate(drawn):
        for j in tree.query(shape, predicate="dwithin", distance=spacing):
            two, other = drawn[j]
            if j <= i or one.sheet != two.sheet:
                continue
            parts = [_finished(case, *of) for of in (drawn[i], drawn[j])]
            apart = parts[0].distance(parts[1])
            if apart < spacing - ROUNDING:
                found.append(f"{one.id} and {two.id} lie {apart:.2f} mm apart")
            kerf = max(case.told.kerfs[case.places[cut.id].kind].at(1.0) for cut in (one, two))
            # The file has the cutter's middle, or the edges that a machine keeps it off.
            asked = kerf / 2 if case.told.by_file else kerf
            if min(shape.distance(parts[1]), other.distance(parts[0])) < asked:
                found.append(f"the cuts of {one.id} and {two.id} run into each other")
    return found


def miscounted(case: Case) -> list[str]:
    """Parts that are missing, cut twice or unknown, by the spec's own count."""
    counts = Counter((cut.frame, cut.id) for sheet in case.parts_by_sheet for cut in sheet)
    found = [f"{name} is cut {n} times" for (_, name), n in counts.items() if n > 1]
    found += [text for sheet in case.parts_by_sheet for cut in sheet for text in cut.faults]
    names = {name for _, name in counts}
    found += [f"{name} is in no file" for name in case.places if name not in names]
    found += [f"{name} has no place in the frame" for name in names if name not in case.places]
    kinds = Counter(case.places[name].kind for name in names if name in case.places)
    for kind, count in expected(case.told.spec).items():
        if kinds[kind] != count:
            found.append(f"{kinds[kind]} {kind}s are cut, not {count}")
    return found


def expected(spec: dict[str, Any]) -> dict[str, int]:
    """How many ribs, discs, flanges and stand plates a spec asks for."""
    ribs = spec["ribs"]
    places = ribs.get("longitudes") or [360.0 * i / ribs["count"] for i in range(ribs["count"])]
    if "cut_away" in ribs:
        start, stop = ribs["cut_away"]
        wide = (stop - start) % 360.0
        places = [p for p in places if not 1e-6 < (p - start) % 360.0 < wide - 1e-6]
    both = [
        d.get("side") == "both" or d.get("at", {}).get("both", False) is True for d in spec["discs"]
    ]
    plates = 2 * int((spec["stand"] or {}).get("layers", 1)) if "stand" in spec else 0
    return {
        "rib": len(places),
        "disc": len(both) + sum(both),
        "flange": len(spec.get("flanges", ())),
        "stand": plates,
    }


def out_of_order(case: Case) -> list[str]:
    """Cuts that come too late: marks after cuts, holes after their part, parts after their hole."""
    found = []
    for sheet in case.svg:
        does = [r.does for r in sheet.runs]
        if "mark" in does[next((i for i, d in enumerate(does) if d != "mark"), len(does)) :]:
            found.append(f"{sheet.name}: a mark comes after a cut")
        done: list[tuple[int, Run]] = [(i, r) for i, r in enumerate(sheet.runs) if r.does != "mark"]
        last = {r.part: i for i, r in done if r.does == "outside"}
        first = {}
        for i, r in done:
            if r.does == "outside":
                first.setdefault(r.part, i)
        for i, r in done:
            if r.does == "inside" and i > first.get(r.part, i):
                found.append(f"{sheet.name}: a hole of {r.part} comes after its outline")
        closed = [(i, r, Polygon(r.points)) for i, r in done if r.closed]
        for i, r, hole in closed:
            if r.does != "inside":
                continue
            for part, at in last.items():
                if part != r.part and at > i:
                    run = sheet.runs[at]
                    if hole.contains(shapely.Point(run.points[0])):
                        found.append(f"{sheet.name}: {part} comes after the hole it lies in")
    return found


def unbridged(case: Case) -> list[str]:
    """Parts that fall out of the sheet though bridges are asked for, or bridges nobody asked for.

    A gap is the bridge and a kerf; at the widest cut there is still a bridge.
    """
    told = case.told
    found = []
    for cut in case.cuts.values():
        if told.bridges is None:
            if cut.gaps:
                found.append(f"{cut.id} has open cuts")
            continue
        if not cut.gaps:
            found.append(f"{cut.id} has no bridge")
            continue
        kerf = told.kerfs[case.places[cut.id].kind]
        width = min(cut.gaps) - kerf.at(0.0)
        if width < told.bridges[1] - 0.05:
            found.append(f"{cut.id} has a bridge of {width:.2f} mm")
    return found


def crossed(case: Case) -> list[str]:
    """Cuts that cross themselves or each other, and holes that lie outside their part."""
    found = []
    for cut in case.cuts.values():
        if not cut.outside:
            continue
        rings = [LinearRing(r) for r in (*cut.outside, *cut.inside)]
        shape = path_polygon(cut)
        if not all(ring.is_simple for ring in rings) or not shape.is_valid:
            found.append(f"{cut.id}'s cuts cross")
    return found


def sideless(case: Case) -> list[str]:
    """Open cuts where the machine is to compensate: it cannot tell which side to keep."""
    if case.told.by_file:
        return []
    return [
        f"{run.part} has an open cut, of which the machine cannot tell the side"
        for sheet in case.svg
        for run in sheet.runs
        if run.does != "mark" and not run.closed
    ]
