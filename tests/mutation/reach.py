"""Which test runs which line: one run of the suite under coverage, kept in a file."""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import coverage
import pytest
from mutation.places import (
    LAWS,
    PRINTED,
    copy_project,
    enter,
    may_notice,
    mutated_files,
    test_files,
)

IMPORT = "import"
"""The context of lines that run when framekit is imported."""
LONGEST = 20.0
"""Seconds of processor time under coverage: a test that takes longer is not asked."""


class TooLong(BaseException):
    """A test took longer than LONGEST."""


class Contexts:
    """A pytest plug-in that names each test to coverage and measures its processor time."""

    def __init__(self, measured: coverage.Coverage) -> None:
        self.measured = measured
        self.tests: dict[str, dict[str, Any]] = {}
        self.failed: set[str] = set()

    @pytest.hookimpl(wrapper=True)
    def pytest_make_collect_report(self, collector: Any) -> Iterator[None]:
        """Give what a test module runs when it is imported to the module's file."""
        if isinstance(collector, pytest.Module):
            self.measured.switch_context(f"file::{collector.nodeid}")
        try:
            return (yield)
        finally:
            if isinstance(collector, pytest.Module):
                self.measured.switch_context(IMPORT)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: Any) -> Iterator[None]:
        """Give the lines of a test to its id, and stop a long one."""
        self.measured.switch_context(item.nodeid)
        began = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, LONGEST)
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            spent = time.process_time() - began
            self.measured.switch_context(IMPORT)
            self.tests[item.nodeid] = {"seconds": round(spent, 4)}

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Note a test that does not pass unmutated."""
        if not report.passed:
            self.failed.add(report.nodeid)


def _too_long(*_: object) -> None:
    raise TooLong


def _measure(copy: Path, store: Path, files: list[str], written: Path) -> None:
    """Run test files in this process and write what they reach; the process is of no use after."""
    enter(copy, store / "derivatives")
    sys.path[:0] = [str(copy), str(copy / "tests")]
    measured = coverage.Coverage(
        data_file=None, include=[str(copy / name) for name in mutated_files()], config_file=False
    )
    measured.start()
    measured.switch_context(IMPORT)
    package = importlib.import_module("framekit")
    for module in pkgutil.walk_packages(package.__path__, "framekit."):
        if not module.name.endswith(("__main__", ".generate")):
            importlib.import_module(module.name)
    signal.signal(signal.SIGPROF, _too_long)
    contexts = Contexts(measured)
    options = [
        "-q",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
        "--continue-on-collection-errors",
        f"--basetemp={written}.tmp",
    ]
    pytest.main([*options, *files], plugins=[contexts])
    measured.stop()
    data = measured.get_data()
    lines = {
        name: {
            str(line): sorted(set(found))
            for line, found in data.contexts_by_lineno(str(copy / name)).items()
        }
        for name in mutated_files()
    }
    tests = {
        name: row["seconds"]
        for name, row in contexts.tests.items()
        if name not in contexts.failed and may_notice(name)
    }
    written.write_text(
        json.dumps({"lines": lines, "tests": tests, "failed": sorted(contexts.failed)}), "utf-8"
    )


def measure(store: Path, workers: int) -> None:
    """Write `reach-N.json`, one a worker, to the store: lines with their tests, tests with times.

    A file's tests run in one process, so that what they share is made once, as in the suite.
    """
    copy = store / "copy-0"
    copy_project(copy)
    files = test_files(copy)
    children = []
    for number in range(workers):
        child = os.fork()
        if child == 0:
            try:
                _measure(copy, store, files[number::workers], store / f"reach-{number}.json")
            finally:
                os._exit(0)
        children.append(child)
    for child in children:
        os.waitpid(child, 0)


class Reach:
    """Which tests to ask about a line, as the store has it."""

    def __init__(self, store: Path) -> None:
        self.seconds: dict[str, float] = {}
        self.lines: dict[str, dict[int, set[str]]] = {}
        for path in sorted(store.glob("reach-*.json")):
            part = json.loads(path.read_text("utf-8"))
            self.seconds.update({k: v for k, v in part["tests"].items() if may_notice(k)})
            for name, rows in part["lines"].items():
                known = self.lines.setdefault(name, {})
                for line, found in rows.items():
                    known.setdefault(int(line), set()).update(found)

    def asked(self, name: str, lines: range) -> list[str]:
        """Return the tests that run one of a file's lines: of its own room first, quickest first.

        A line that runs on import reaches every test. Tests beside one that runs the line come
        after: what a test module keeps between its tests is credited to the first alone.
        """
        found = set().union(*(self.lines.get(name, {}).get(line, set()) for line in lines))
        files = {c.split("::")[1] for c in found if c.startswith("file::")}
        beside = {c.split("::")[0] for c in found} | files
        ranks: dict[str, int] = {}
        for test in self.seconds:
            own = test.split("::")[0]
            if test in found or own in files:
                ranks[test] = 0
            elif own in beside or IMPORT in found:
                ranks[test] = 1
        if name == LAWS:
            ranks = {t: rank for t, rank in ranks.items() if not t.startswith(PRINTED)}
        room = f"tests/{Path(name).parent.relative_to('framekit')}/"

        def turn(test: str) -> tuple[int, bool, float, str]:
            return ranks[test], not test.startswith(room), self.seconds[test], test

        return sorted(ranks, key=turn)
