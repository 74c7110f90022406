"""No road from sheets to bytes is open to a frame that fails, is untested or lacks room."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import pytest

from framekit import build, make_parts, nest, solve, verify_parts, write
from framekit.calibration.build import plan_coupon
from framekit.cli.main import main
from framekit.errors import BuildError, StockError
from framekit.files.backends.dxf import DxfBackend
from framekit.files.backends.picture import PictureBackend
from framekit.files.backends.svg import SvgBackend
from framekit.files.build import write_sheets
from framekit.parts.shape.coupon import coupon_parts
from framekit.plugins import BACKENDS, load, names
from framekit.sheets.rows import lay_in_rows
from framekit.spec.build import parse_spec

SPEC = """framekit: 1
id: globe
body: {shape: sphere, diameter: 120}
ribs: {count: 4, width: 18}
discs: [{at: {height: 0}}]
sheet: {material: mdf, thickness: 3 ± 0.02, size: [400, 300]}
cutter: {kerf: 0.16 ± 0.02}
"""
FAILING = SPEC.replace("width: 18", "width: 7")
SHORT = SPEC + "stock: [{size: [140, 140], count: 1}]\n"
"""One sheet takes the disc of 114 mm or some ribs, never all."""

PLUGIN = "parts-list"
"""A backend of the installed sample, which knows nothing of tests."""


@lru_cache
def parts_of(text):
    return make_parts(solve(parse_spec(text)))


@lru_cache
def sound():
    return verify_parts(parts_of(SPEC))


@lru_cache
def laid(text, test=True):
    return nest(verify_parts(parts_of(text)) if test else parts_of(text))


def thicker(parts):
    """The parts as somebody may change them after the test: every rib 4 mm thick."""
    frame = parts.frames[0]
    made = tuple(replace(p, thickness=4.0) if p.kind == "rib" else p for p in frame.parts)
    return replace(parts, frames=(replace(frame, parts=made),))


def without_a_disc(sheets):
    """The sheets with one part taken off, and no word of it."""
    sheet = sheets.sheets[0]
    kept = replace(sheet, placements=sheet.placements[1:], runs=())
    return replace(sheets, sheets=(kept, *sheets.sheets[1:]))


UNFIT = {
    "a check fails": (lambda: laid(FAILING, test=False), BuildError, "check-failed"),
    "never tested": (lambda: laid(SPEC, test=False), BuildError, "solids-untested"),
    "changed after the test": (lambda: nest(thicker(sound())), BuildError, "solids-untested"),
    "a failing solution put in": (
        lambda: replace(laid(SPEC), parts=replace(sound(), solution=parts_of(FAILING).solution)),
        BuildError,
        "check-failed",
    ),
    "a failing frame put in": (
        lambda: replace(
            laid(SPEC),
            parts=replace(
                sound(),
                frames=(replace(sound().frames[0], solution=parts_of(FAILING).frames[0].solution),),
            ),
        ),
        BuildError,
        "check-failed",
    ),
    "other parts on the sheets": (
        lambda: replace(laid(SPEC), sheets=nest(thicker(sound())).sheets),
        BuildError,
        "part-unknown",
    ),
    "stock runs out": (lambda: laid(SHORT), StockError, "stock-runs-out"),
    "stock runs out, unsaid": (
        lambda: replace(laid(SHORT), short=()),
        StockError,
        "part-without-place",
    ),
    "a part taken off": (lambda: without_a_disc(laid(SPEC)), StockError, "part-without-place"),
}
ROADS = {
    "write": lambda sheets, folder: write(sheets, folder),
    "write_sheets": lambda sheets, folder: write_sheets(sheets, folder, ["svg"]),
    "a plug-in": lambda sheets, folder: write(sheets, folder, [PLUGIN]),
    "svg": lambda sheets, folder: SvgBackend().render(sheets),
    "dxf": lambda sheets, folder: DxfBackend().render(sheets),
    "picture": lambda sheets, folder: PictureBackend().render(sheets),
    "by name": lambda sheets, folder: load(BACKENDS, "svg").render(sheets),
}


@pytest.mark.parametrize("road", ROADS.values(), ids=ROADS)
@pytest.mark.parametrize(("make", "kind", "code"), UNFIT.values(), ids=UNFIT)
def test_every_road_refuses(make, kind, code, road, tmp_path):
    folder = tmp_path / "out"
    with pytest.raises(kind) as refused:
        road(make(), folder)
    assert refused.value.code == code
    assert all(fault.message and fault.hint for fault in refused.value.faults)
    assert not folder.exists()


@pytest.mark.parametrize("road", ROADS.values(), ids=ROADS)
def test_every_road_takes_tested_parts(road, tmp_path):
    assert road(laid(SPEC), tmp_path)


@pytest.mark.parametrize("road", ROADS.values(), ids=ROADS)
def test_every_road_opens_to_who_says_so(road, tmp_path):
    assert road(replace(laid(FAILING, test=False), despite_failures=True), tmp_path)


@pytest.mark.parametrize("make", [m for m, _, _ in UNFIT.values()], ids=UNFIT)
def test_whatever_is_unfit_opens_to_who_says_so(make):
    assert SvgBackend().render(replace(make(), despite_failures=True))


def test_own_backends_are_all_on_a_road():
    assert set(names(BACKENDS)) == {"svg", "dxf", "picture", PLUGIN}


def test_saying_so_in_write_is_enough(tmp_path):
    files = write(laid(FAILING, test=False), tmp_path, ["svg"], despite_failures=True).files
    assert [file.path.name for file in files] == ["globe-sheet-1.svg"]


@pytest.mark.parametrize(("text", "exit_code"), [(FAILING, 1), (SHORT, 2)], ids=["fails", "short"])
def test_a_build_and_the_command_refuse_alike(text, exit_code, tmp_path, capsys):
    spec, folder = tmp_path / "globe.yaml", tmp_path / "out"
    spec.write_text(text, encoding="utf-8")
    with pytest.raises((BuildError, StockError)) as refused:
        build(spec, folder)
    assert refused.value.exit_code == exit_code
    assert main(["build", str(spec), "-o", str(folder)]) == exit_code
    assert refused.value.faults[0].message in capsys.readouterr().err
    assert not folder.exists()
    assert build(spec, folder, despite_failures=True).files
    assert main(["build", str(spec), "-o", str(folder), "--despite-failures"]) == exit_code


@pytest.mark.parametrize("backend", [SvgBackend(), DxfBackend(), PictureBackend()])
def test_a_coupon_is_cut_for_a_frame_that_fails(backend):
    """Its pieces are for measuring: nobody puts them together, and measuring may mend the frame."""
    solution = parts_of(FAILING).solution
    sheets = lay_in_rows(coupon_parts(solution, plan_coupon(solution.frames[0])), "coupon")
    assert backend.render(sheets)
    with pytest.raises(StockError, match="no sheet holds globe/coupon-1"):
        backend.render(without_a_disc(sheets))
