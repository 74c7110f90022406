"""Ask the tests about one mutant, in a forked child that has the heavy libraries already."""

from __future__ import annotations

import importlib
import json
import os
import resource
import shutil
import signal
import sys
import time
import traceback
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from mutation.draw import Mutant
from mutation.places import ROOT, enter

LIBRARIES = (
    *("numpy", "shapely", "sympy", "mpmath", "scipy", "scipy.optimize", "hypothesis", "pydantic"),
    *("ruamel.yaml", "ezdxf", "rich.console", "manifold3d", "jsonschema"),
)
"""What tests import besides the project, and what every child would import anew."""

WALL = 1800
"""Seconds after which a child is ended whatever it does."""
BATCHES = (2.0, 12.0, float("inf"))
"""Recorded seconds of tests that are collected together: most mutants are noticed by the first."""


def load_libraries() -> None:
    """Import what the children share."""
    for name in LIBRARIES:
        importlib.import_module(name)


@dataclass(frozen=True)
class Question:
    """A mutant, and the tests (or whole files) to ask in their order with the seconds of each."""

    number: int
    mutant: Mutant
    tests: tuple[str, ...]
    seconds: tuple[float, ...]
    left: int
    """Tests that reach the mutant and are not asked, for time."""


class Ordered:
    """A pytest plug-in: the wanted tests in the wanted order, and who failed first."""

    def __init__(self, limits: dict[str, float], answer: Answer) -> None:
        self.limits = limits
        self.answer = answer

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        """Keep the wanted tests alone, quickest first."""
        places = {name: i for i, name in enumerate(self.limits)}
        kept = [item for item in items if self._row(item) in places]
        items[:] = sorted(kept, key=lambda item: places[self._row(item)])

    def _row(self, item: Any) -> str:
        """Return what has a test's limit: its id, or its file where a whole file is asked."""
        file = item.nodeid.split("::")[0]
        return file if file in self.limits else str(item.nodeid)

    def pytest_collectreport(self, report: Any) -> None:
        """A module that no longer imports has noticed."""
        if report.failed:
            self.answer.noticed(f"{report.nodeid} (import)", str(report.longrepr))

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: Any) -> Iterator[None]:
        """End the child where a test takes ten times as long as it did: it hangs."""
        self.answer.running = item.nodeid
        signal.setitimer(signal.ITIMER_PROF, 10.0 + 10.0 * self.limits[self._row(item)])
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            self.answer.ran += 1

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Note the first test that fails."""
        if report.failed:
            self.answer.noticed(report.nodeid, str(report.longrepr))


class Answer:
    """What the tests said of a mutant, written once."""

    def __init__(self, written: Path) -> None:
        self.written = written
        self.running = ""
        self.ran = 0
        self.said = False

    def noticed(self, by: str, why: str) -> None:
        """Write that a test noticed; the first one counts."""
        lines = [line for line in why.splitlines() if line.strip()]
        reason = next((line for line in lines if line.startswith("E ")), lines[-1] if lines else "")
        self._write("noticed", by, reason[:200])

    def hung(self, *_: object) -> None:
        """Write that a test hung, and end this process."""
        self._write("hung", self.running, "")
        os._exit(0)

    def survived(self) -> None:
        """Write that no test noticed."""
        self._write("survived", "", "")

    def broken(self, why: str) -> None:
        """Write that the asking itself failed."""
        self._write("broken", self.running, why[-400:])

    def _write(self, outcome: str, by: str, why: str) -> None:
        if self.said:
            return
        self.said = True
        row = {"outcome": outcome, "by": by, "why": why, "ran": self.ran}
        row["cpu"] = round(time.process_time(), 1)
        self.written.write_text(json.dumps(row), encoding="utf-8")


def _batches(question: Question) -> Iterator[dict[str, float]]:
    batch: dict[str, float] = {}
    limits = iter(BATCHES)
    limit = next(limits)
    for test, spent in zip(question.tests, question.seconds, strict=True):
        batch[test] = spent
        if sum(batch.values()) + 0.02 * len(batch) >= limit:
            yield batch
            batch, limit = {}, next(limits)
    if batch:
        yield batch


def _child(copy: Path, store: Path, question: Question, answer: Answer, cap: float) -> None:
    os.setsid()
    quiet = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(quiet, stream)
    enter(copy, store / "derivatives")
    sys.path[:0] = [str(copy), str(copy / "tests")]
    for name in [n for n in sys.modules if n == "mutation" or n.startswith("mutation.")]:
        del sys.modules[name]
    ceiling = int(120 + 4 * cap)
    resource.setrlimit(resource.RLIMIT_CPU, (ceiling, ceiling + 10))
    signal.signal(signal.SIGXCPU, answer.hung)
    signal.signal(signal.SIGPROF, answer.hung)
    options = ["-q", "-x", "-p", "no:cacheprovider", "-p", "no:xdist"]
    options += [f"--basetemp={copy}.tmp", "-W", "ignore::pytest.PytestAssertRewriteWarning"]
    for batch in _batches(question):
        files = sorted({test.split("::")[0] for test in batch})
        before = answer.ran
        code = pytest.main([*options, *files], plugins=[Ordered(batch, answer)])
        if answer.said:
            return
        if code not in (0, 5) or answer.ran == before:
            answer.broken(f"pytest ended with {code} after {answer.ran - before} tests")
            return
    answer.survived()


def begin(copy: Path, store: Path, question: Question, cap: float) -> int:
    """Plant a mutant in a copy and ask in a child process; return the child's id."""
    place = copy / question.mutant.file
    place.write_text(question.mutant.source(), encoding="utf-8")
    # A time of its own, so that no compiled file of another mutant fits.
    os.utime(place, (10**9 + question.number, 10**9 + question.number))
    written = copy.with_suffix(".json")
    written.unlink(missing_ok=True)
    child = os.fork()
    if child:
        return child
    answer = Answer(written)
    try:
        _child(copy, store, question, answer, cap)
    except BaseException:
        answer.broken(traceback.format_exc())
    finally:
        os._exit(0)


def end(copy: Path, question: Question) -> dict[str, Any]:
    """Take the mutant out of the copy again and return what its child wrote."""
    shutil.copy2(ROOT / question.mutant.file, copy / question.mutant.file)
    written = copy.with_suffix(".json")
    if written.exists():
        found: dict[str, Any] = json.loads(written.read_text("utf-8"))
        return found
    return {"outcome": "hung", "by": "", "why": "the process was ended", "ran": 0, "cpu": 0.0}
