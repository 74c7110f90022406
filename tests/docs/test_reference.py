"""The reference pages say what the code has: keys, options, codes, limits; and links lead on."""

from __future__ import annotations

import ast
import math
import re
import tomllib
from pathlib import Path

import mpmath
import pytest
from docs.pages import PAGES, ROOT, name_of, prose_of

from framekit.cli.main import COMMANDS, main
from framekit.errors import BuildError, NestError, PluginError, SpecError, WriteError
from framekit.joints.build import joint_named
from framekit.joints.flange import Bayonet
from framekit.own_plugins import OWN
from framekit.parts.verify.outlines import CUTTER_PATH
from framekit.pipeline import verify
from framekit.plugins import BACKENDS, JOINTS, names
from framekit.sheets.estimate import DEFAULT_PACE
from framekit.sheets.route.bridges import BRIDGE_ROOM
from framekit.solution import margins
from framekit.solution.meridian import meridian_of
from framekit.spec.defaults import STROKES
from framekit.spec.reference import spec_reference, target
from framekit.spec.sections import Speeds

CHECKS = (ROOT / "docs/reference/checks.md").read_text(encoding="utf-8")
COMMAND_LINE = (ROOT / "docs/reference/command-line.md").read_text(encoding="utf-8")


def test_the_spec_reference_is_up_to_date() -> None:
    written = target().read_text(encoding="utf-8")
    assert written == spec_reference(), "run python -m framekit.spec.reference"


def test_the_spec_reference_states_the_defaults_of_other_stages() -> None:
    page = spec_reference()
    assert all(f"{name} `{colour}`" in page for name, colour in STROKES.items())
    for name in Speeds.model_fields:
        default = f"{getattr(DEFAULT_PACE, name):g} {'s' if name == 'pierce' else 'mm/s'}"
        assert re.search(rf"^\| `{name}` \| [^|]+ \| {re.escape(default)} \|", page, re.MULTILINE)


def _codes_given(path: Path, calls: dict[str, int]) -> set[str]:
    """The texts that stand at an argument's place in calls of some functions of a module."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            place = calls.get(node.func.id)
            if place is not None and len(node.args) > place:
                argument = node.args[place]
                if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
                    found.add(argument.value)
    return found


def _codes_of_margins() -> set[str]:
    """The codes of the rows of margins, of every frame and of framekit's own joints."""
    found: set[str] = {row.code for row in Bayonet.margins}
    kinds = (margins.FrameMargin, margins.DiscMargin)
    for value in vars(margins).values():
        rows = (value,) if isinstance(value, kinds) else value
        if isinstance(rows, tuple):
            found |= {row.code for row in rows if isinstance(row, kinds)}
    for name in OWN[JOINTS]:
        found |= {margin.code for margin in joint_named(name).margins}
    return found


def _codes_run() -> set[str]:
    """The codes of the checks of every example."""
    specs = sorted((ROOT / "specs").glob("*.yaml"))
    return {c.code for spec in specs for c in verify(spec).solution.frames[0].checks}


def test_the_page_of_checks_has_every_check() -> None:
    described = set(re.findall(r"^### ([a-z-]+)$", CHECKS, re.MULTILINE))
    written = _codes_of_margins()
    written |= _codes_given(ROOT / "framekit/solution/checks.py", {"_check": 1})
    written |= {CUTTER_PATH, BRIDGE_ROOM}
    run = _codes_run()
    assert run <= written, "a check runs that is no row of margins and not in checks.py"
    assert described == written


def test_every_check_has_its_example() -> None:
    """So the scan above and what runs tell of each other's gaps."""
    described = set(re.findall(r"^### ([a-z-]+)$", CHECKS, re.MULTILINE))
    assert described == _codes_run()


def test_every_check_says_what_why_and_what_to_do() -> None:
    sections = re.split(r"^##+ (.+)$", CHECKS, flags=re.MULTILINE)
    for heading, text in zip(sections[1::2], sections[2::2], strict=True):
        if re.fullmatch(r"[a-z-]+", heading):
            assert re.search("^- Margin[:,] ", text, re.MULTILINE), heading
            assert "- Limit: " in text, heading
            assert "- What to do: " in text, heading


def test_the_page_of_checks_has_every_fault_of_the_truth_test() -> None:
    section = CHECKS.partition("## The truth test")[2].partition("Remarks are no errors")[0]
    described = set(re.findall(r"^\| `([a-z-]+)`", section, re.MULTILINE))
    assert described == _codes_given(ROOT / "framekit/parts/verify/check.py", {"Fault": 0})


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_the_page_of_commands_has_every_option(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    section = re.search(
        rf"^## framekit {command}\n(.*?)(?=^## |\Z)", COMMAND_LINE, re.MULTILINE | re.DOTALL
    )
    assert section, f"{command} has no section"
    assert main([command, "--help"]) == 0
    offered = set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", capsys.readouterr().out))
    rows = "\n".join(line for line in section[1].splitlines() if line.startswith("| `"))
    described = set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", rows))
    assert described == offered - {"-h", "--help"}
    usage = re.search(r"^    framekit .*(?:\n +\[.*)*", section[1], re.MULTILINE)
    assert usage
    for option in described:
        assert re.search(rf"(?<![\w-]){option}(?![\w-])", usage[0]) or option == "--out"


def test_the_page_of_commands_lists_them_as_the_help_does() -> None:
    rows = re.findall(r"^\| \[`(\w+)`\]\(#framekit-\w+\) \| (.+) \|$", COMMAND_LINE, re.MULTILINE)
    assert dict(rows) == COMMANDS


def test_the_page_of_commands_names_every_kind_of_file() -> None:
    (sentence,) = re.findall(r"^Kinds of file: (.*?)\.$", COMMAND_LINE, re.MULTILINE)
    ours = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = set(re.findall(r"`(\w+)`", sentence))
    # Plug-ins that happen to be installed have more.
    assert named == set(ours["entry-points"][BACKENDS]) and named <= set(names(BACKENDS))


def test_the_page_of_commands_has_every_exit_code() -> None:
    codes = {int(c) for c in re.findall(r"^\| (\d+) \|", COMMAND_LINE, re.MULTILINE)}
    errors = (BuildError, NestError, PluginError, SpecError, WriteError)
    assert {error.exit_code for error in errors} | {0, 130} == codes


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_links_inside_the_project_lead_somewhere(page: Path) -> None:
    for link in re.findall(r"\]\(([^)\s]+)\)", prose_of(page)):
        if re.match(r"[a-z]+:", link):
            continue
        file, _, anchor = link.partition("#")
        goal = (page.parent / file).resolve() if file else page
        assert goal.exists(), f"{link} leads nowhere"
        assert goal.is_relative_to(ROOT), f"{link} leaves the project"
        if anchor:
            assert anchor in _anchors(goal), f"{link} names no heading"


def _anchors(page: Path) -> set[str]:
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", h.lower()).strip().replace(" ", "-") for h in headings}


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_modules_and_files_that_a_page_names_exist(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for path in re.findall(r"`((?:framekit|tests|specs|docs)/[\w./-]*)`", text):
        assert (ROOT / path).exists(), f"{path} does not exist"
    for module in re.findall(r"python -m (framekit[\w.]*)", text):
        assert (ROOT / (module.replace(".", "/") + ".py")).exists() or module == "framekit"


def test_the_geometry_page_states_the_saturn_heights_that_come_out() -> None:
    # z/c at 45° geocentric, geodetic and parametric by mpmath in Snyder's formulas.
    page = (ROOT / "docs/explanation/geometry.md").read_text(encoding="utf-8")
    a, c = mpmath.mpf(60268), mpmath.mpf(54364)
    s = mpmath.sin(mpmath.pi / 4)
    shares = (a / mpmath.sqrt(a * a + c * c), c / mpmath.sqrt(a * a + c * c), s)
    stated = re.search(r"z/c is ([\d.]+), ([\d.]+) and ([\d.]+)", page)
    heights = re.search(r"lies at ([\d.]+), ([\d.]+) or ([\d.]+) mm", page)
    assert stated and heights
    for share, text, height in zip(shares, stated.groups(), heights.groups(), strict=True):
        assert f"{float(share):.3f}" == text
        assert f"{float(share * 100 * c / a):.1f}" == height


@pytest.mark.parametrize("page", ["README.md"])
def test_every_example_is_listed(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8").partition("## Examples")[2]
    listed = re.findall(r"^\| \[`?([a-z-]+)`?\]\(specs/\1\.yaml\)", text, re.MULTILINE)
    assert sorted(listed) == sorted(p.stem for p in (ROOT / "specs").glob("*.yaml"))


def test_the_geometry_page_states_how_well_the_width_is_kept() -> None:
    """The egg's skin by its own formula; the least distance to it is the rib's width there."""
    page = (ROOT / "docs/explanation/geometry.md").read_text(encoding="utf-8")
    stated = re.search(r"is\s+the width within ([\d.]+) mm", page)
    assert stated
    frame = verify(ROOT / "specs/hen-egg.yaml").solution.frames[0]
    edge = meridian_of(frame)

    def skin(z: float) -> float:
        real = z / 4
        return 4 * 21.5 * math.sqrt(max(0.0, 1 - (real / 28) ** 2)) * (1 - 0.12 * real / 28)

    # 0.02 mm apart, so that the nearest one is a hundred times nearer than the stated error asks.
    points = [(skin(i / 50), i / 50) for i in range(-5600, 5601)]
    for z in (-70, -40, -10, 0, 15, 50, 75):
        distance, height = min((math.dist((edge.inner(z), z), p), p[1]) for p in points)
        u = abs(height) / 112
        width = 20 + (15 - 20) * (3 * u**2 - 2 * u**3)
        assert distance == pytest.approx(width, abs=float(stated[1]))
