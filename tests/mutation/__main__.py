"""`python tests/mutation`: plant mutants drawn by seed and ask the tests that reach them."""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import signal
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

sys.path[0] = str(Path(__file__).resolve().parents[1])

from mutation.ask import WALL, Question, begin, end, load_libraries  # noqa: E402
from mutation.draw import Mutant, drawn  # noqa: E402
from mutation.places import ROOT, copy_project, mutated_files  # noqa: E402
from mutation.reach import Reach, measure  # noqa: E402
from mutation.report import report  # noqa: E402

WHOLE_FILE = 5.0
"""Seconds that a test is taken to need where a whole file is asked, known or not."""


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python tests/mutation", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="which draw (default 1)")
    parser.add_argument("--count", type=int, default=600, help="how many mutants (default 600)")
    parser.add_argument(
        "--store", type=Path, required=True, help="a folder outside the project for what is kept"
    )
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument(
        "--cap", type=float, default=60.0, help="seconds of tests asked for a mutant (default 60)"
    )
    parser.add_argument(
        "--numbers", type=int, nargs="+", help="ask about these mutants alone, and anew"
    )
    parser.add_argument(
        "--against", nargs="+", help="with --numbers: ask these test files, whatever they reach"
    )
    parser.add_argument("--report", action="store_true", help="print the tables and ask nothing")
    return parser.parse_args()


def _sources() -> dict[str, str]:
    return {n: hashlib.sha256((ROOT / n).read_bytes()).hexdigest() for n in mutated_files()}


def _prepare(store: Path, workers: int) -> None:
    """Measure which test reaches which line, unless the store has it for these very sources."""
    store.mkdir(parents=True, exist_ok=True)
    note = store / "sources.json"
    now = _sources()
    if not note.exists() or json.loads(note.read_text("utf-8")) != now:
        if any(store.glob("answers-*.jsonl")):
            raise SystemExit(f"{store} has answers for other sources: give another --store.")
        measure(store, workers)
        note.write_text(json.dumps(now), encoding="utf-8")
    for number in range(workers):
        copy_project(store / f"copy-{number}")


def _questions(
    rows: Iterable[tuple[int, Mutant]], reach: Reach, cap: float, against: list[str] | None
) -> Iterator[Question]:
    for number, mutant in rows:
        if against:
            yield Question(number, mutant, tuple(against), (WHOLE_FILE,) * len(against), 0)
            continue
        tests = reach.asked(mutant.file, range(mutant.first, mutant.last + 1))
        asked: list[str] = []
        spent = 0.0
        for test in tests:
            if spent + reach.seconds[test] <= cap:
                asked.append(test)
                spent += reach.seconds[test]
        seconds = tuple(reach.seconds[test] for test in asked)
        yield Question(number, mutant, tuple(asked), seconds, len(tests) - len(asked))


def _row(question: Question, answer: dict[str, Any]) -> dict[str, Any]:
    before, after = question.mutant.change()
    m = question.mutant
    place = {"number": question.number, "file": m.file, "line": m.line, "operator": m.operator}
    change = {"occurrence": m.occurrence, "before": before, "after": after}
    return place | change | answer | {"asked": len(question.tests), "left": question.left}


def _run(questions: Iterator[Question], store: Path, workers: int, cap: float, kept: Path) -> None:
    free = [store / f"copy-{number}" for number in range(workers)]
    busy: dict[int, tuple[Path, Question, float]] = {}
    pending: Question | None = next(questions, None)
    while pending or busy:
        while pending and free:
            if pending.tests:
                copy = free.pop()
                child = begin(copy, store, pending, cap)
                busy[child] = (copy, pending, time.monotonic())
            else:
                nobody = {"outcome": "unreached", "by": "", "why": "", "ran": 0, "cpu": 0.0}
                _keep(kept, _row(pending, nobody))
            pending = next(questions, None)
        for child, (copy, question, began) in list(busy.items()):
            if time.monotonic() - began > WALL:
                os.killpg(child, signal.SIGKILL)
            if os.waitpid(child, os.WNOHANG)[0]:
                del busy[child]
                free.append(copy)
                _keep(kept, _row(question, end(copy, question)))
        time.sleep(0.05)


def _keep(kept: Path, row: dict[str, Any]) -> None:
    with kept.open("a", encoding="utf-8") as file:
        file.write(json.dumps(row, ensure_ascii=False) + "\n")
    print(row["number"], row["outcome"], f"{row['file']}:{row['line']}", row["by"], flush=True)


def main() -> None:
    """Run the command."""
    given = _arguments()
    kept = given.store / f"answers-{given.seed}.jsonl"
    if not given.report:
        _prepare(given.store, given.workers)
        reach = Reach(given.store)
        load_libraries()
        known = {}
        if kept.exists():
            known = {r["number"]: r for r in map(json.loads, kept.read_text("utf-8").splitlines())}
        rows = list(enumerate(drawn(given.seed)))
        wanted = given.numbers or [n for n in range(given.count) if n not in known]
        asked = _questions((rows[n] for n in wanted), reach, given.cap, given.against)
        _run(asked, given.store, given.workers, given.cap, kept)
    print(report(kept, given.count))


if __name__ == "__main__":
    main()
