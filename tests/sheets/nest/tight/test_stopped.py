"""A build with the nester `tight` that its user stops, and how long it is told to search."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from framekit.cli.main import main

SPEC = """
framekit: 1
id: ball
title: Ball
body: {shape: sphere, diameter: 120 mm}
ribs: {count: 5, width: {equator: 16, pole: 12}}
discs:
  - {at: {height: 0}, bore: auto}
  - {at: {fraction: 0.5, both: true}}
sheet: {material: birch-plywood, thickness: 3.0 ± 0.02, size: [600, 400]}
cutter: {kerf: 0.16}
"""


BACKSTOP = 900.0  # s: only against a process that hangs


@pytest.fixture
def start() -> Iterator[Callable[[Path], subprocess.Popen[str]]]:
    """Run a Python program in its folder, and end it and its group when the test is over.

    The search's own process ends when the pipe from this one closes.
    """
    started: list[subprocess.Popen[str]] = []

    def run(program: Path) -> subprocess.Popen[str]:
        process = subprocess.Popen(
            [sys.executable, str(program)],
            cwd=program.parent,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )
        started.append(process)
        return process

    yield run
    for process in started:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        with process:  # closes its pipes and waits for it
            pass


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
@pytest.mark.parametrize("times", [1, 2])
def test_ctrl_c_keeps_the_best_and_a_second_one_interrupts(
    tmp_path: Path, start: Callable[[Path], subprocess.Popen[str]], times: int
) -> None:
    pytest.importorskip("spyrrow")
    (tmp_path / "ball.yaml").write_text(SPEC, encoding="utf-8")
    program = tmp_path / "run.py"
    # the first signal comes once the search's process is listened to, the second one while the
    # files are being made
    program.write_text(
        textwrap.dedent(
            f"""
            import os, signal, sys
            # Where the tests run in the background, SIGINT is inherited as ignored.
            signal.signal(signal.SIGINT, signal.default_int_handler)
            import framekit.sheets.nest.tight.search as tight, framekit.files.build as files
            run, write = tight.run_strip, files.write_sheets
            begun = []
            def searching(strip, seconds, seed, received):
                def first_told(reports):
                    if not begun:
                        begun.append(print("searching", flush=True))
                    return received(reports)
                return run(strip, seconds, seed, first_told)
            def writing(*words):
                if {times} == 2:
                    os.kill(os.getpid(), signal.SIGINT)
                return write(*words)
            tight.run_strip, files.write_sheets = searching, writing
            from framekit.cli.main import run as command
            sys.argv = ["framekit", "build", "ball.yaml", "--nester", "tight", "--seconds", "600"]
            command()
            """
        ),
        encoding="utf-8",
    )
    process = start(program)
    assert process.stdout is not None
    assert process.stdout.readline() == "searching\n"
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=BACKSTOP)
    written = tmp_path / "ball.layout.json"
    if times == 2:
        assert process.returncode == 130
        assert "interrupted" in err
        assert not written.exists()
        return
    assert process.returncode == 0, err
    assert "stopped early with the best layout so far; nester tight" in out
    assert json.loads(written.read_text())["nester"] == "tight"
    again = subprocess.run(
        [sys.executable, "-m", "framekit", "build", "ball.yaml", "--nester", "tight"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert "layout: used again; nester tight" in again.stdout


@pytest.mark.parametrize("word", ["-3", "soon", "inf"])
def test_seconds_on_the_command_line_must_be_a_time(word: str, capsys) -> None:
    assert main(["build", "ball.yaml", f"--seconds={word}"]) == 2
    assert "is no number of seconds" in capsys.readouterr().err
