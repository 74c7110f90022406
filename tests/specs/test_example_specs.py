"""Every spec in `specs/` checks out; every one in `specs/invalid/` gives the error it names.

The expected code, phrase and exit code stand in the first lines of each invalid spec, written by
hand beside the fault they describe.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from framekit.cli.main import main
from framekit.errors import FramekitError
from framekit.pipeline import verify

SPECS = Path(__file__).parents[2] / "specs"
EXAMPLES = sorted(SPECS.glob("*.yaml"))
INVALID = sorted((SPECS / "invalid").glob("*.yaml"))


def _expected(path: Path) -> tuple[str, str, int]:
    """The code, the phrase and the exit code that an invalid spec names in its first lines."""
    first, second = path.read_text(encoding="utf-8").splitlines()[:2]
    error = re.fullmatch(r"# error: ([a-z-]+): (.+)", first)
    leave = re.fullmatch(r"# exit: ([12])", second)
    assert error and leave, f"{path.name} does not say which error it gives"
    return error[1], error[2], int(leave[1])


def test_the_folders_hold_enough() -> None:
    assert len(EXAMPLES) >= 5
    assert len(INVALID) >= 14


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_an_example_checks_out(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(path)]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert "All checks pass over the whole of the tolerances." in printed.out


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_an_example_says_what_it_is_for(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# ") and "framekit: 1" in lines


@pytest.mark.parametrize("path", INVALID, ids=lambda p: p.stem)
def test_an_invalid_spec_gives_its_error(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, phrase, leave = _expected(path)
    assert main(["check", str(path)]) == leave
    printed = capsys.readouterr()
    both = printed.out + printed.err
    assert phrase in both
    assert "Traceback" not in both
    if leave == 1:
        failed = verify(path).solution.failed
        assert code in {check.code for check in failed}
        assert any(phrase in check.text for check in failed)
        return
    with pytest.raises(FramekitError) as caught:
        verify(path)
    assert code in {fault.code for fault in caught.value.faults}
    for fault in caught.value.faults:
        assert fault.where.file == str(path)
        assert fault.where.line is not None
        assert f"{path}:{fault.where.line}" in printed.err
        assert fault.hint
    assert printed.out == ""


def test_every_fault_of_a_spec_is_named_at_once() -> None:
    with pytest.raises(FramekitError) as caught:
        verify(SPECS / "invalid" / "several-faults.yaml")
    about = {fault.where.path for fault in caught.value.faults}
    assert {"ribs.count", "ribs.width", "sheet.thickness"} <= about


def test_the_housed_globe_has_the_disc_its_comment_names() -> None:
    # 190/2 − 23 + 23/2 by hand: common practice, joints half-way into the rib.
    frame = verify(SPECS / "housed-globe.yaml").solution.frames[0]
    assert frame.value("disc-1.radius") == pytest.approx(83.5, abs=1e-9)  # rounding only
