"""A package of its own, installed beside framekit, adds to it without a change in framekit."""

from __future__ import annotations

import csv
import json
import math
import shutil
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import pytest
from shapely import Polygon

from framekit import plugins
from framekit.catalogue import load
from framekit.cli.main import main
from framekit.errors import FramekitError, PluginError
from framekit.parts.build import make_parts
from framekit.parts.verify.check import check_assembly
from framekit.pipeline import build
from framekit.solution.build import solve
from framekit.solution.meridian import meridian_of
from framekit.spec.build import load_spec, parse_spec
from framekit.testing import check_backend, check_body, check_catalogue, check_joint

SAMPLE = Path(__file__).parent / "sample"
INSTALL = 'pip install -e ".[test]" -e tests/plugins/sample'


@pytest.fixture(scope="module", autouse=True)
def installed():
    """Fail with the command to run: a skip would hide that nothing of this was tested."""
    try:
        version("framekit-lantern")
    except PackageNotFoundError:
        pytest.fail(f"framekit-lantern is not installed; run: {INSTALL}", pytrace=False)


@pytest.fixture
def spec(tmp_path):
    return Path(shutil.copy(SAMPLE / "lantern.yaml", tmp_path))


def changed(spec, old, new):
    text = spec.read_text(encoding="utf-8")
    assert old in text
    spec.write_text(text.replace(old, new), encoding="utf-8")
    return spec


def test_the_test_commands_install_it():
    root = SAMPLE.parents[2]
    for file in ("README.md", ".ci/run", "DEVELOPERS.md"):
        text = (root / file).read_text(encoding="utf-8")
        assert '-e ".[test]" -e tests/plugins/sample' in text, file


@pytest.mark.parametrize("rim_ratio", [0.4, 0.7, 0.95])
def test_the_body_passes_its_kit(rim_ratio):
    sizes = {"belly": "500 mm", "tall": "1.1 m", "rim_ratio": rim_ratio}
    check_body(plugins.load(plugins.BODIES, "lantern"), {"sizes": sizes})


@pytest.mark.parametrize("run_out", [0, 0.5, 2])
def test_the_joint_passes_its_kit(run_out):
    check_joint(plugins.load(plugins.JOINTS, "round-lap"), {"run_out": run_out})


def test_the_others_pass_their_kits():
    check_backend(plugins.load(plugins.BACKENDS, "parts-list"))
    check_catalogue(plugins.load(plugins.CATALOGUES, "lantern"))


def test_it_comes_from_its_own_package():
    for group in (plugins.BODIES, plugins.JOINTS, plugins.BACKENDS, plugins.CATALOGUES):
        givers = {plugins.package(point) for point in plugins._points(group)}
        assert "framekit-lantern 0.1.0" in givers


def test_the_command_line_builds_it(spec, tmp_path, capsys):
    assert main(["check", str(spec)]) == 0
    assert "Solids: no overlap" in capsys.readouterr().out
    kinds = ("--backend", "svg", "--backend", "dxf", "--backend", "parts-list")
    assert main(["build", str(spec), "--out", str(tmp_path / "out"), *kinds]) == 0
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {"lantern-sheet-1.svg", "lantern-sheet-1.dxf", "lantern-parts-list.csv"}
    rows = list(csv.reader((tmp_path / "out/lantern-parts-list.csv").read_text().splitlines()))
    assert len(rows) == 1 + 6 + 3  # six ribs and three discs under the heads
    assert {row[1] for row in rows[1:]} == {f"rib-{i}" for i in range(1, 7)} | {
        f"disc-{i}" for i in range(1, 4)
    }


def test_python_builds_it(spec, tmp_path):
    files = build(spec, tmp_path / "out", backends=("parts-list",))
    assert [f.path.name for f in files.files if f.backend == "parts-list"] == [
        "lantern-parts-list.csv"
    ]


def test_the_numbers_by_hand(spec):
    """A fifth of 500 and 1100 mm; the parabola half-way up to a rim of 0.7: a quarter of 0.3."""
    frame = solve(load_spec(spec)).frames[0]
    value = frame.value
    # 1e-9: rounding of a few operations
    assert value("model.equatorial_diameter") == pytest.approx(200.0, abs=1e-9)
    assert value("model.height") == pytest.approx(220.0, abs=1e-9)
    skin = meridian_of(frame)
    assert skin.outer(55.0) == pytest.approx(100.0 * (1 - 0.3 / 4), abs=1e-9)
    assert skin.outer(110.0) == pytest.approx(70.0, abs=1e-9)
    # ribs of 24 mm, joint half-way in, 0.1 mm end clearance, 0.5 mm run-out, 3.05 mm slots;
    # the skin over a 3 mm disc at the belly: 100·(1 − 0.3·(1.5/110)²)
    face = 100.0 * (1 - 0.3 * (1.5 / 110.0) ** 2)
    assert value("disc-1.ligament") == pytest.approx(face - 88 - 0.6 - 1.525, abs=1e-9)
    # six ribs: centres 87.4 mm out are 87.4 mm apart
    assert value("disc-1.slot_web") == pytest.approx(87.4 - 3.05, abs=1e-9)


def test_the_floors_are_half_round(spec):
    """Each slot and notch ends in an arc of half the slot's width about its centre."""
    parts = make_parts(solve(load_spec(spec))).frames[0]
    check_assembly(parts, meridian_of(parts.solution))
    disc = parts.part("disc-1").outline
    floors = [s for s in disc.outer.segments if s.bulge and s.radius < 2.0]
    assert len(floors) == 6
    for floor in floors:
        assert floor.radius == pytest.approx(1.525, abs=1e-9)  # rounding only
        assert math.hypot(*floor.centre) == pytest.approx(87.4, abs=1e-9)
    reach = min(math.hypot(x, y) for x, y in disc.outer.polyline_within(1e-4))
    # 1e-3 mm: polylines within 1e-4 mm whose points need not hit the deepest place
    assert reach == pytest.approx(87.4 - 1.525, abs=1e-3)
    rib = parts.part("rib-1").outline.outer
    assert Polygon(rib.polyline_within(1e-3)).is_valid
    notches = [s for s in rib.segments if s.bulge and abs(s.radius - 1.525) < 1e-9]
    assert len(notches) == 3


def test_its_laws_are_explained(spec, capsys):
    assert main(["explain", str(spec), "disc-1.ligament", "round-web of disc-2"]) == 0
    text = capsys.readouterr().out
    assert "what the half-round floor of the notch leaves of the rib" in text
    assert "the joint's run out" in text
    assert "the parabola through three points" in text
    assert "Between the half-round floors of disc-2 must stay 3.0 mm." in text
    assert main(["explain", str(spec), "disc-1.ligament", "--format", "json"]) == 0
    assert "half-round" in json.dumps(json.loads(capsys.readouterr().out), ensure_ascii=False)


def test_its_margins_can_fail(spec, capsys):
    """A bore that leaves less than one and a half thicknesses behind the round floors."""
    changed(spec, "bore: 40", "bore: 82")
    assert main(["check", str(spec)]) == 1
    assert "round-wall of disc-1: The half-round floors" in capsys.readouterr().out
    (check,) = [c for c in solve(load_spec(spec)).failed if c.code == "round-wall"]
    assert check.margin == pytest.approx(87.4 - 82 - 1.525 - 4.5, abs=1e-9)  # by hand


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (", rim_ratio: 0.7", "", "'lantern' lacks the size 'rim_ratio'"),
        ("tall: 1.1 m", "tall: 1.1 m, waist: 3", "'lantern' does not take the size 'waist'"),
        ("run_out: 0.5 mm", "runout: 0.5 mm", "'round-lap'"),
        ("shape: lantern", "shape: lanterm", "lantern"),
        ("style: round-lap", "style: roundlap", "round-lap"),
        ("rim_ratio: 0.7", "rim_ratio: 1.4", "'lantern' gives radii of"),
    ],
)
def test_errors_name_it(spec, old, new, words):
    changed(spec, old, new)
    with pytest.raises(FramekitError) as error:
        solve(load_spec(spec))
    assert words in str(error.value)


def test_its_catalogue_is_there():
    text = """
    framekit: 1
    body: {catalogue: paper-moon}
    model: {equatorial_diameter: 200 mm}
    ribs: {count: 8, width: 20}
    discs: [{at: {height: 0}}, {at: {fraction: 0.5, both: true}}]
    sheet: {material: lantern-card, thickness: 1.5 mm, size: [600, 400]}
    """
    frame = solve(parse_spec(text)).frames[0]
    # 0.9: 1080 km of 1200 km
    assert frame.value("model.polar_radius") == pytest.approx(90.0, abs=1e-9)
    assert frame.value("cutter.kerf") == pytest.approx(0.1, abs=1e-12)
    assert frame.material.title == "lantern card"
    with pytest.raises(FramekitError, match="Did you mean 'paper-moon'"):
        load.body("papermoon")


def test_a_broken_package_is_named(register):
    """A class of the package that lacks a part, as an old version of it might."""
    old = type("Old", (), {"name": "lantern-2"})()
    register(plugins.BODIES, old)
    with pytest.raises(PluginError, match=r"from framekit-standin 1\.0"):
        plugins.load(plugins.BODIES, "lantern-2")


def test_the_page_quotes_the_package():
    """What the how-to shows is what is in the files."""
    page = (SAMPLE.parents[2] / "docs/how-to/write-a-plugin.md").read_text(encoding="utf-8")
    for file in ("body.py", "joint.py", "catalogue.py"):
        text = (SAMPLE / "framekit_lantern" / file).read_text(encoding="utf-8")
        assert f"```python\n{text}```\n" in page, file
    for file, language in (("pyproject.toml", "toml"), ("lantern.yaml", "yaml")):
        text = (SAMPLE / file).read_text(encoding="utf-8")
        assert f"```{language}\n{text}```\n" in page, file
    for group in plugins.KINDS:
        assert f"`{group}`" in page
