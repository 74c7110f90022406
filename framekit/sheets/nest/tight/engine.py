"""Running spyrrow in a process of its own: it may fail, hang or be stopped without harm here."""

from __future__ import annotations

import contextlib
import json
import math
import os
import queue
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import asdict, dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any

from framekit.errors import Fault, NestError
from framekit.sheets.nest.compaction import Spot
from framekit.sheets.protocol import Point

PROGRAM = Path(__file__).with_name("engine_process.py")
GRACE = 0.8
"""Seconds past its limit after which the process is ended."""
LONGEST_LINE = 4_000_000
"""Characters of a report; a longer one is rubbish."""
_LOOK = 0.1
_BACKLOG = 200


@dataclass(frozen=True)
class StripKind:
    """Equal parts on a strip: shape number, outline in mm about its reference point, copies.

    `turns` in degrees are those allowed; None allows any.
    """

    shape: int
    outline: tuple[Point, ...]
    copies: int
    turns: tuple[float, ...] | None


@dataclass(frozen=True)
class Strip:
    """What lies on a strip of `height` mm with `spacing` mm between parts and to its edges."""

    kinds: tuple[StripKind, ...]
    height: float
    spacing: float


@dataclass(frozen=True)
class Report:
    """A layout as it came: length in mm as the search says, and the spots; nothing is verified."""

    length: float
    spots: tuple[Spot, ...]


Receive = Callable[[list[Report]], bool]
"""Gets the reports that came in, none at a mere look; true ends the search."""


def check_engine() -> None:
    """Nothing, when spyrrow is installed.

    Raises:
        NestError: It is not.
    """
    if find_spec("spyrrow") is None:
        raise NestError(
            Fault(
                "nest-no-engine",
                "The nester 'tight' needs the package spyrrow, which is not installed.",
                hint="Run: pip install 'framekit[tight]', or use the nester 'quick'.",
            )
        )


def run_strip(strip: Strip, seconds: int, seed: int, receive: Receive) -> str | None:
    """What went wrong in words, None when nothing did; layouts go to `receive` as they are found.

    The search has `seconds` and its process is ended soon after them, or when `receive` says so;
    an exception in the meantime, such as KeyboardInterrupt, ends it too and goes on.
    """
    task = {**asdict(strip), "seconds": seconds, "seed": seed}
    deadline = time.monotonic() + seconds + GRACE
    try:
        process = _started()
    except OSError as error:
        return f"its process does not start ({error.strerror})"
    lines: queue.Queue[str] = queue.Queue(_BACKLOG)
    stopping = threading.Event()
    assert process.stdin is not None
    assert process.stdout is not None
    threads = [
        threading.Thread(target=_send_task, args=(process.stdin, json.dumps(task)), daemon=True),
        threading.Thread(target=_read_lines, args=(process.stdout, lines, stopping), daemon=True),
    ]
    for thread in threads:
        thread.start()
    try:
        return _receive_all(
            lines, Counter({k.shape: k.copies for k in strip.kinds}), deadline, receive
        )
    finally:
        stopping.set()
        process.kill()
        process.wait()
        for thread in threads:
            thread.join()
        process.stdout.close()
        with contextlib.suppress(OSError):
            process.stdin.close()


def _started() -> subprocess.Popen[str]:
    """The process, out of reach of the terminal's Ctrl-C and with this one's import path."""
    apart: dict[str, Any] = {"start_new_session": True}
    if sys.platform == "win32":
        apart = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
    return subprocess.Popen(
        [sys.executable, "-P", str(PROGRAM)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        encoding="ascii",
        errors="replace",
        env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)},
        **apart,
    )


def _send_task(stream: IO[str], task: str) -> None:
    with contextlib.suppress(OSError, ValueError):  # the process may be gone
        stream.write(task + "\n")
        stream.flush()


def _read_lines(stream: IO[str], lines: queue.Queue[str], stopping: threading.Event) -> None:
    """Put the lines that come into the queue, an empty one at their end, until told to end."""
    line = "-"
    while line and not stopping.is_set():
        line = stream.readline(LONGEST_LINE)
        while not stopping.is_set():
            with contextlib.suppress(queue.Full):
                lines.put(line, timeout=_LOOK)
                break


def _receive_all(
    lines: queue.Queue[str], copies: Counter[int], deadline: float, receive: Receive
) -> str | None:
    while time.monotonic() < deadline:
        batch, last = _batch(lines)
        reports: list[Report] = []
        for line in batch:
            report = _parsed(line, copies)
            if isinstance(report, str):
                receive(reports)
                return report or None
            reports.append(report)
        if receive(reports):
            return None
        if last:
            return "its process ended before its time"
    return None


def _batch(lines: queue.Queue[str]) -> tuple[list[str], bool]:
    """The lines that are there, after a short wait for the first, and whether none can follow."""
    batch: list[str] = []
    with contextlib.suppress(queue.Empty):
        batch.append(lines.get(timeout=_LOOK))
        while batch[-1] and len(batch) < _BACKLOG:
            batch.append(lines.get_nowait())
    last = bool(batch) and not batch[-1]
    return (batch[:-1] if last else batch), last


def _parsed(line: str, copies: Counter[int]) -> Report | str:
    """A line's report, or what is wrong; an empty text when it says that all is done."""
    rubbish = "it sent what is no layout of these parts"
    try:
        data = json.loads(line)
        if "failed" in data:
            return f"it failed ({data['failed']})"
        if data == {"done": True}:
            return ""
        length = float(data["length"])
        spots = tuple(
            Spot(int(shape), float(x), float(y), float(turn) % 360.0)
            for shape, x, y, turn in data["parts"]
        )
    except (ValueError, TypeError, KeyError, OverflowError, RecursionError):
        return rubbish
    finite = all(math.isfinite(v) for s in spots for v in (s.x, s.y, s.angle))
    if not finite or not math.isfinite(length) or Counter(s.shape for s in spots) != copies:
        return rubbish
    return Report(length, spots)
