"""What the pages show is what comes: Python, commands, specs, JSON and the plug-in."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
from docs.pages import PAGES, Block, blocks_of, name_of
from pytest_examples import CodeExample, EvalExample, find_examples

from framekit.cli.main import main
from framekit.files.document import HandlingRow, ResultDocument, result_document
from framekit.pipeline import verify
from framekit.plugins import BACKENDS, names
from framekit.spec.build import parse_spec
from framekit.spec.rewrite import rewritten

PYTHON = [e for e in list(find_examples(*map(str, PAGES))) if e.prefix == "python"]
CONSOLE = [page for page in PAGES if blocks_of(page, "console")]
SPECS = [
    (page, block)
    for page in PAGES
    for block in blocks_of(page, "yaml")
    if block.text.startswith("framekit: 1")
]
_EDIT = re.compile(r"^<!-- (set|drop) (\S+) (\S+) ?(.*) -->$", re.MULTILINE)


def test_there_is_something_to_run() -> None:
    assert len(PYTHON) >= 9 and len(CONSOLE) >= 3 and len(SPECS) >= 2


@pytest.mark.parametrize("example", PYTHON, ids=str)
@pytest.mark.usefixtures("workplace")
def test_python_blocks_run_and_print_what_they_show(
    example: CodeExample, eval_example: EvalExample
) -> None:
    eval_example.run_print_check(example)


@pytest.mark.parametrize("page", CONSOLE, ids=name_of)
def test_commands_print_what_the_page_shows(
    page: Path, workplace: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A page's commands run in order; … stands for anything.

    Comments `<!-- set FILE KEY VALUE -->` and `<!-- drop FILE KEY -->` in the page say which edit
    its reader makes between two commands.
    """
    text = page.read_text(encoding="utf-8")
    edits = list(_EDIT.finditer(text))
    for block in blocks_of(page, "console"):
        while edits and edits[0].start() < block.start:
            _edit(workplace, *edits.pop(0).groups())
        for command, shown in _commands(block):
            words = shlex.split(command)
            assert words[0] == "framekit", f"{command} is not one of ours"
            main(words[1:])
            printed = capsys.readouterr()
            assert _matches(shown, printed.out + printed.err), (
                f"{command} prints\n{printed.out}{printed.err}\nand the page shows\n{shown}"
            )


def _commands(block: Block) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for line in block.text.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], ""))
        else:
            command, shown = found[-1]
            found[-1] = (command, f"{shown}{line}\n")
    return found


def _matches(shown: str, printed: str) -> bool:
    """Whether the text is what was printed; how wide the columns of a table are does not count."""
    shown, printed = (re.sub("[ ─]{2,}", "  ", text) for text in (shown, printed))
    lines = []
    for line in shown.splitlines():
        if line == "…":
            lines.append(r"(?:.*\n)*?")
        else:
            lines.append(re.escape(line).replace("…", ".*") + r"\n")
    return re.fullmatch("".join(lines), printed) is not None


def _edit(folder: Path, what: str, file: str, key: str, value: str) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    if what == "set":
        path.write_text(rewritten(text, {key: value}), encoding="utf-8")
        return
    last = key.rpartition(".")[2]
    kept = [line for line in text.splitlines(True) if not line.lstrip().startswith(f"{last}:")]
    path.write_text("".join(kept), encoding="utf-8")


def test_the_match_of_shown_and_printed_is_strict() -> None:
    assert _matches("a\n…\nc … d\n", "a\nb\nb\nc 1 d\n")
    assert not _matches("a\nc\n", "a\nb\nc\n")
    assert not _matches("a.c\n", "abc\n")


@pytest.mark.parametrize(("page", "block"), SPECS, ids=lambda x: getattr(x, "name", ""))
def test_whole_specs_on_a_page_are_sound(page: Path, block: Block) -> None:
    assert parse_spec(block.text, "page.yaml").frames


@pytest.mark.usefixtures("workplace")
def test_the_spec_on_the_first_page_is_the_demo(capsys: pytest.CaptureFixture[str]) -> None:
    """The short form in README.md and the commented demo give the same numbers."""
    Path("short.yaml").write_text(
        next(b.text for p, b in SPECS if p.name == "README.md"), encoding="utf-8"
    )
    tables = []
    for file in ("short.yaml", "specs/harbour-buoy.yaml"):
        assert main(["check", file, "--all"]) == 0
        rows = capsys.readouterr().out.splitlines()
        # Origins and lines differ by the form; values and margins may not.
        tables.append([row.split()[:2] for row in rows if "mm" in row or "pass" in row])
    assert tables[0] == tables[1]


def test_the_result_example_is_a_result() -> None:
    page = next(p for p in PAGES if p.name == "result.md")
    (block,) = blocks_of(page, "json")
    document = ResultDocument.model_validate_json(block.text)
    assert document.frames and document.sheets and document.files


@pytest.mark.usefixtures("workplace")
def test_the_result_example_weighs_what_the_buoy_weighs() -> None:
    page = next(p for p in PAGES if p.name == "result.md")
    shown = json.loads(blocks_of(page, "json")[0].text)["frames"][0]["handling"]
    verified = verify("specs/harbour-buoy.yaml")
    found = result_document(verified.solution, verified.parts).frames[0].handling
    assert found is not None
    # Shown with one decimal.
    assert shown["mass"] == pytest.approx(found.mass, abs=0.05)
    assert shown["slenderness"] == pytest.approx(found.slenderness, abs=0.05)
    assert shown["centre"] == pytest.approx(found.centre, abs=0.05)
    assert (shown["hangs_at"], tuple(shown["sentences"])) == (found.hangs_at, found.sentences)


@pytest.mark.usefixtures("workplace")
def test_the_result_page_names_every_quantity() -> None:
    from framekit.solution.quantities import QUANTITIES

    page = next(p for p in PAGES if p.name == "result.md")
    table = page.read_text(encoding="utf-8").partition("| name | what it is |")[2]
    rows = table.partition("\n\n")[0]
    named = re.findall(r"`([a-z_]+(?:-N)?\.[a-z_]+)`", rows)
    assert sorted(named) == sorted(
        re.sub(r"^(disc|flange)\.", r"\1-N.", name) for name in QUANTITIES
    )


def test_the_result_page_names_every_key_of_handling() -> None:
    page = next(p for p in PAGES if p.name == "result.md").read_text(encoding="utf-8")
    section = page.partition("## handling")[2].partition("\n## ")[0]
    assert re.findall(r"^\| `(\w+)`", section, re.MULTILINE) == list(HandlingRow.model_fields)


def test_the_backend_page_works_once_installed(
    workplace: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page's class and its entry point, laid out on the path as an installer would."""
    page = next(p for p in PAGES if p.name == "add-a-backend.md")
    (code,) = blocks_of(page, "python")
    (table,) = blocks_of(page, "toml")
    group = re.search(r'entry-points\."([a-z.]+)"\]', table.text)
    entry = re.search(r'^(\w+) = "(.+)"$', table.text, re.MULTILINE)
    assert group and entry and group[1] == BACKENDS
    site = workplace / "site"
    (site / "cutlist-1.0.dist-info").mkdir(parents=True)
    (site / "cutlist.py").write_text(code.text, encoding="utf-8")
    info = site / "cutlist-1.0.dist-info"
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: cutlist\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text(f"[{group[1]}]\n{entry[1]} = {entry[2]}\n")
    monkeypatch.syspath_prepend(str(site))
    assert entry[1] in names(BACKENDS)
    (shell,) = blocks_of(page, "sh")
    assert main([*shlex.split(shell.text)[1:], "--out", "out"]) == 0
    rows = Path("out/buoy-cut-list.csv").read_text(encoding="utf-8").splitlines()
    assert len(rows) == 1 + 11  # eight ribs and three discs under the heads
