"""Calls that are refused, beside those of specs: the code, a phrase of the sentence, the call."""

from __future__ import annotations

import math
from argparse import Namespace
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from refusals.solving import FRAME, set_text
from refusals.specs import text_with

from framekit.analysis.build import solve_spec
from framekit.bodies.validity import check_radius
from framekit.calibration.batches import for_batch
from framekit.catalogue.load import material
from framekit.cli import explain as explain_command
from framekit.cli import new as new_command
from framekit.cli.choosing import frame_number
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.propagation import Uncertain, propagate
from framekit.explain.lookup import find_named
from framekit.files.cautions import cautions
from framekit.files.model import Document
from framekit.files.write import write_files
from framekit.geometry.arcfit import ellipse_arcs, fit_arcs
from framekit.geometry.path import Outline, circle
from framekit.geometry.profile_curve import points_curve
from framekit.parts.display.balance import outline_moments
from framekit.parts.display.hanging import HangWish, hang_hole
from framekit.parts.shape.disc import plain_disc, slotted_disc
from framekit.sheets.nest.packing_job import check_job
from framekit.sheets.protocol import NestItem, NestJob
from framekit.sheets.stock.assignment import refuse_too_large
from framekit.sheets.stock.supply import Board
from framekit.solution.model import FrameSolution, Solution
from framekit.spec.build import load_spec, parse_spec
from framekit.spec.readings_text import parse_readings
from framekit.spec.rewrite import replace_file, rewritten
from framekit.spec.starter import starter_spec


class Call(NamedTuple):
    """A refusal's code, a phrase of its sentence, and the call, which gets an empty folder."""

    code: str
    phrase: str
    run: Callable[[Path], Any]


def solution(change: dict[str, Any] | None = None) -> Solution:
    """Return the sound spec's solution, with changes."""
    return solve_spec(parse_spec(text_with(change or {}), "buoy.yaml"))


def frame() -> FrameSolution:
    """Return the sound spec's only frame, solved."""
    return solution().frames[0]


def pair() -> Solution:
    """Return a set of two frames, solved."""
    return solve_spec(parse_spec(set_text([FRAME, {**FRAME, "id": "two"}]), "pair.yaml"))


def written(folder: Path, name: str, data: bytes) -> Path:
    """Return the path of a new file."""
    path = folder / name
    path.write_bytes(data)
    return path


def job(**changes: Any) -> NestJob:
    """Return a job of one triangle on a sheet of 100 × 80 mm, with changes."""
    return NestJob(**{"items": (item(),), "width": 100.0, "height": 80.0, **changes})


def item(**changes: Any) -> NestItem:
    """Return a triangle to nest, with changes."""
    return NestItem(**{"key": "rib", "outer": ((0.0, 0.0), (9.0, 0.0), (0.0, 9.0)), **changes})


def formula(text: str, *names: str) -> Any:
    """Return a formula of the names."""
    return parse_formula(text, names or ("z",))


SQUARE = Uncertain("side", 2.0, 0.1)
OTHER = Uncertain("other", 3.0, 0.1, freedom=4.0)


def area(**options: Any) -> Any:
    """Return the propagated product of two sides."""
    return propagate(lambda m, a, b: a * b, [SQUARE, OTHER], **options)


def _new(folder: Path, name: str) -> Namespace:
    return Namespace(body="mars", size="200 mm", file=str(folder / name), json=False)


def _explain(names: list[str], every: bool) -> Namespace:
    return Namespace(spec="x.yaml", name=names, all=every, frame=None, format=None, json=False)


TIED = {("side", "other"): 0.5}
CALLS = [
    # Files.
    Call("spec-unreadable", "it is no regular file", lambda d: load_spec(d)),
    Call("spec-unreadable", "cannot read the spec", lambda d: load_spec(d / "none.yaml")),
    Call(
        *("spec-encoding", "byte 4 is not UTF-8"),
        lambda d: load_spec(written(d, "x.yaml", b"id: \xff"[:3] + b"\xff")),
    ),
    Call("file-name", "'../a.svg' is not a plain", lambda d: write(d, "../a.svg")),
    Call("file-name", "Two files would be named A.svg", lambda d: write(d, "a.svg", "A.svg")),
    Call("write", "a.svg cannot be written: is a directory", lambda d: blocked(d)),
    Call("file-exists", "is there already", lambda d: again(d)),
    Call("file-name", "no plain file name", lambda d: new_command.run(_new(d, "mars"))),
    Call("spec-changed", "someone changed the spec", lambda d: changed(d)),
    Call("write", "the spec cannot be written", lambda d: replace_file(d / "no/x", b"", b"")),
    Call(
        *("spec-path", "'sheet' is not a mapping, so 'sheet.size' has no place in it"),
        lambda _: rewritten("sheet: 3", {"sheet.size": "4"}),
    ),
    Call(
        *("spec-anchor", "'sheet' is an anchor"),
        lambda _: rewritten("sheet: &a {size: 3}", {"sheet.size": "4"}),
    ),
    # Words of the command line.
    Call("spec-size", "SIZE: 'wide' is not a length", lambda _: starter_spec("mars", "wide")),
    Call("spec-size", "SIZE: 2 ± 1 m has a tolerance", lambda _: starter_spec("mars", "2 ± 1 m")),
    Call("spec-size", "SIZE: 0 is not above zero", lambda _: starter_spec("mars", "0")),
    Call("unknown-body", "'vulcan' is neither a body", lambda _: starter_spec("vulcan", "1 m")),
    Call("no-quantity", "names and --all", lambda _: explain_command.run(_explain(["a"], True))),
    Call("no-quantity", "no quantity or check", lambda _: explain_command.run(_explain([], False))),
    Call("which-frame", "this is a set of 2 frames", lambda _: frame_number(pair(), None)),
    Call("unknown-frame", "no frame has the id 'three'", lambda _: frame_number(pair(), "three")),
    Call("unknown-check", "checks of this frame have the code", lambda _: doubled_check()),
    Call("unknown-quantity", "has no quantity or check 'x'", lambda _: find_named(frame(), "x")),
    Call("unknown-batch", "no batch named 'red'", lambda _: for_batch(solution().spec, "red")),
    Call("unknown-fit", "there is no fit 'tight'", lambda _: material("mdf").clearance("tight")),
    Call("process", "There is no process 'saw'", lambda _: cautions("saw")),
    # Readings.
    Call("readings-file", "it is no mapping", lambda d: parse_readings([], written(d, "r", b"3"))),
    Call("readings-file", "not UTF-8", lambda d: parse_readings([], written(d, "r", b"\xff"))),
    Call("readings-file", "cannot read", lambda d: parse_readings([], d / "none")),
    Call("readings-file", "bytes", lambda d: parse_readings([], written(d, "r", b" " * 100_001))),
    Call("reading-name", "no reading named 'hue'", lambda _: parse_readings(["hue=3"])),
    Call("reading-name", "no reading named 'hue'", lambda d: parse_readings([], hue(d))),
    Call("reading-count", "slot has 2 values", lambda _: parse_readings(["slot=3,4"])),
    Call("reading-count", "engraved has 2 values", lambda _: parse_readings(["engraved=3,4"])),
    Call("reading-count", "caliper has 201 readings", lambda _: parse_readings([many(201)])),
    Call("reading", "slot: 'x' is not a length", lambda _: parse_readings(["slot=x"])),
    Call("reading", "3 mm has a tolerance", lambda _: parse_readings(["slot=3 ± 0.1"])),
    Call("reading", "0 mm is not above zero", lambda _: parse_readings(["slot=0"])),
    Call("reading", "1001 mm is over 1000 mm", lambda _: parse_readings(["slot=1001"])),
    Call("reading", "2 mm is over 1 mm", lambda d: parse_readings([], coarse(d))),
    # Formulas and curves.
    Call("formula-range", "is empty or not finite", lambda _: check_radius(formula("9"), 5, 5)),
    Call("formula-range", "the names a, z", lambda _: check_radius(formula("a+z", "a", "z"), 0, 9)),
    Call("formula-value", "no finite value", lambda _: check_radius(formula("1/z"), 0.0, 9.0)),
    Call("formula-value", "not above zero", lambda _: check_radius(formula("z - 5"), 0.0, 9.0)),
    Call("formula", "it is empty", lambda _: formula("")),
    Call("points", "1 point cannot make a skin", lambda _: points_curve([(1, 2)])),
    Call("points", "point 2:", lambda _: points_curve([(1, 2), (1, math.nan), (1, 4)])),
    Call("points", "point", lambda _: points_curve([(1, 2), (1, 3), (1, 1)])),
    Call("points", "point", lambda _: points_curve([(1, 2), (-1, 3), (1, 4)])),
    Call("arc-fit", "no ellipse arc with half axes 0", lambda _: ellipse_arcs(0.0, 9.0, 0.0, 1.0)),
    Call("arc-fit", "cannot be fitted within", lambda _: ellipse_arcs(9.0, 5.0, 0.0, 1.0, 0.0)),
    Call("arc-fit", "no place or no direction", lambda _: still()),
    Call("arc-fit", "cannot be followed within", lambda _: across()),
    # Uncertainty.
    Call("level", "level of confidence is 1", lambda _: area().expanded(1)),
    Call("no-freedom", "correlated inputs", lambda _: area(correlations=TIED).expanded()),
    Call("correlated", "second order", lambda _: area(correlations=TIED, second_order=True)),
    Call("correlation", "of side and x", lambda _: area(correlations={("side", "x"): 0.5})),
    Call("correlation", "2 of side", lambda _: area(correlations={("side", "other"): 2.0})),
    Call(
        *("no-slope", "no finite slope by edge at 0"),
        lambda _: propagate(lambda m, a: m.sqrt(a), [Uncertain("edge", 0.0, 0.1)]),
    ),
    # Parts.
    Call("nothing-enclosed", "encloses 0 mm²", lambda _: outline_moments(nothing())),
    Call("hang-range", "makes no sense", lambda _: hang_hole((), (0, 0, 0), wish(181.0), None)),
    Call("hang-range", "makes no sense", lambda _: hang_hole((), (0, 0, 0), wish(0.0, 0.0), None)),
    Call("slot-off-disc", "a slot 3 mm wide", lambda _: slotted_disc(40, 0, 3, 45, [0, 180])),
    Call(
        "bore-too-wide", "the bore, radius 46 mm", lambda _: slotted_disc(60, 46, 3, 45, [0, 180])
    ),
    Call("bore-too-wide", "the bore, radius 60 mm", lambda _: plain_disc(60, 60)),
    # Nesting.
    Call("nest-lengths", "finite and not negative", lambda _: check_job(job(width=math.inf))),
    Call("nest-lengths", "finite and not negative", lambda _: check_job(job(spacing=-1.0))),
    Call("nest-margin", "A margin of 40 mm", lambda _: check_job(job(margin=40.0))),
    Call("nest-copies", "rib has -1 copies", lambda _: check_job(job(items=(item(copies=-1),)))),
    Call("nest-outline", "three or more points", lambda _: bad_outline(outer=((0.0, 0.0),))),
    Call("nest-outline", "finite", lambda _: bad_outline(outer=((0.0, math.nan),) * 3)),
    Call("nest-outline", "A hole of rib has", lambda _: bad_outline(holes=(((1.0, 1.0),),))),
    Call("nest-outline", "not a simple polygon", lambda _: bad_outline(outer=BOW)),
    Call(
        *("nest-too-large", "rib (9.0 × 9.0 mm) goes on none"),
        lambda _: refuse_too_large(job(), [Board(8.0, 8.0, None, 1)]),
    ),
]
BOW = ((0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0))


def wish(tilt: float, hole: float = 4.0) -> Any:
    """Return a wish to hang, of a frame without parts."""
    return HangWish(tilt, hole, {})


def write(folder: Path, *names: str) -> object:
    """Write files with these names."""
    return write_files({"svg": [Document(name, b"x") for name in names]}, folder)


def blocked(folder: Path) -> object:
    """Write a file where a folder is."""
    (folder / "a.svg").mkdir()
    return write(folder, "a.svg")


def again(folder: Path) -> object:
    """Ask for a new spec where a file is."""
    written(folder, "mars.yaml", b"mine")
    return new_command.run(_new(folder, "mars.yaml"))


def changed(folder: Path) -> object:
    """Replace a file that is no longer what it was."""
    return replace_file(written(folder, "x.yaml", b"now"), b"before", b"after")


def hue(folder: Path) -> Path:
    """Return a file of readings with an unknown name."""
    return written(folder, "r.yaml", b"hue: 3")


def coarse(folder: Path) -> Path:
    """Return a file of readings with a coarse caliper."""
    return written(folder, "r.yaml", b"resolution: 2")


def many(count: int) -> str:
    """Return readings in one word."""
    return "caliper=" + ",".join(["3"] * count)


def doubled_check() -> object:
    """Ask for a check by a code that several checks have."""
    codes = [check.code for check in frame().checks]
    return find_named(frame(), next(code for code in codes if codes.count(code) > 1))


def still() -> object:
    """Fit arcs to a curve that has no direction."""
    return fit_arcs(lambda u: (u, 0.0), lambda u: (0.0, 0.0), 0.0, 1.0)


def across() -> object:
    """Fit arcs to a curve whose tangents stand across it."""
    return fit_arcs(lambda u: (u, 0.0), lambda u: (0.0, 1.0), 0.0, 2.1, 1e-9)


def nothing() -> Outline:
    """Return an outline whose hole takes all."""
    return Outline(circle(2.0), (circle(2.0),))


def bad_outline(**changes: Any) -> object:
    """Check a job with a part that cannot be nested."""
    return check_job(job(items=(item(**changes),)))
