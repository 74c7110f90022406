"""The reference pages say what the code has: keys, options, codes, limits; and links lead on."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import mpmath
import pytest
from pages import PAGES, ROOT, name_of, prose_of

from framekit.cli.main import COMMANDS, main
from framekit.errors import BuildError, NestError, PluginError, SpecError, WriteError
from framekit.files.settings import STROKES
from framekit.pipeline import verify
from framekit.plugins import BACKENDS, names
from framekit.sheets.estimate import DEFAULT_PACE
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


def test_the_page_of_checks_has_every_check() -> None:
    described = set(re.findall(r"^### ([a-z-]+)$", CHECKS, re.MULTILINE))
    folder = ROOT / "framekit/solution"
    codes = _codes_given(folder / "margins.py", {"_use": 0, "use": 0})
    codes |= _codes_given(folder / "checks.py", {"_verdict": 1})
    assert described == codes


def test_the_page_of_checks_has_every_fault_of_the_truth_test() -> None:
    section = CHECKS.partition("## The truth test")[2]
    described = set(re.findall(r"^\| `([a-z-]+)`", section, re.MULTILINE))
    assert described == _codes_given(ROOT / "framekit/parts/check.py", {"Fault": 0})


def test_checks_that_run_are_on_the_page() -> None:
    described = set(re.findall(r"^### ([a-z-]+)$", CHECKS, re.MULTILINE))
    for spec in sorted((ROOT / "specs").glob("*.yaml")):
        assert {c.code for c in verify(spec).solution.frames[0].checks} <= described


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
    assert set(re.findall(r"`(\w+)`", sentence)) == set(names(BACKENDS))


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
