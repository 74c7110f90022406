"""Every refusal of the package has a case: it says what is wrong, where, and what to do.

`sites.py` reads the source and finds each place that makes a refusal. Each must be met by a row of
`specs.py`, `solving.py` or `calls.py`, or by a test that `elsewhere.py` names.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from refusals import calls, defence
from refusals.calls import Call
from refusals.elsewhere import ELSEWHERE, Elsewhere
from refusals.sites import Site, hintless, sites
from refusals.solving import FRAME, SETS, UNSOLVED, UNSORTED, YAML, set_text
from refusals.specs import REFUSED, Refused, text_with

from framekit.analysis.build import solve_spec
from framekit.errors import Fault, FramekitError, SpecError
from framekit.parts.build import make_parts
from framekit.sheets.stock.jobs import make_jobs
from framekit.spec.build import parse_spec

CALLS = [*calls.CALLS, *defence.CALLS]
TESTS = Path(__file__).parents[1]


def faults_of(call: Callable[[], object]) -> tuple[Fault, ...]:
    """Return the faults of what a call refuses."""
    with pytest.raises(FramekitError) as caught:
        call()
    return caught.value.faults


def of_spec(row: Refused) -> tuple[Fault, ...]:
    return faults_of(lambda: parse_spec(text_with(row.change), "buoy.yaml"))


def of_solving(row: Refused) -> tuple[Fault, ...]:
    spec = parse_spec(text_with(row.change), "buoy.yaml")
    return faults_of(lambda: solve_spec(spec))


def of_stock(row: Refused) -> tuple[Fault, ...]:
    parts = make_parts(solve_spec(parse_spec(text_with(row.change), "buoy.yaml")))
    return faults_of(lambda: make_jobs(parts))


def check(fault: Fault, row: Refused) -> None:
    """Assert that the fault is the row's, at its place in the text, with a remedy."""
    assert (fault.code, fault.where.path or "") == (row.code, row.path)
    assert row.phrase in fault.message
    assert fault.hint
    assert fault.where.file == "buoy.yaml" and fault.where.column
    # Each key has a line of its own. A fault of a section is at its `{` or `[`, on the key's line;
    # one in a list at the item's own line.
    line = text_with(row.change).splitlines()[(fault.where.line or 0) - 1]
    last = row.path.rpartition(".")[2]
    if last and not last.endswith("]") and row.code != "spec-missing":
        assert f'"{last}":' in line


def test_the_sound_spec_is_sound() -> None:
    spec = parse_spec(text_with({}), "buoy.yaml")
    assert solve_spec(spec).frames[0].spec.id == "buoy"
    assert len(parse_spec(set_text([FRAME]), "set.yaml").frames) == 1


def named(row: object) -> str:
    return f"{row.path}: {row.phrase}"[:60] if isinstance(row, Refused) else str(row)[:60]


@pytest.mark.parametrize("row", REFUSED, ids=named)
def test_a_refused_spec(row: Refused) -> None:
    (fault,) = of_spec(row)
    check(fault, row)


@pytest.mark.parametrize("row", UNSOLVED, ids=named)
def test_a_spec_that_has_no_solution(row: Refused) -> None:
    check(of_solving(row)[0], row)


@pytest.mark.parametrize("row", UNSORTED, ids=named)
def test_sheets_at_hand_that_are_refused(row: Refused) -> None:
    check(of_stock(row)[0], row)


@pytest.mark.parametrize(("text", "code", "phrase"), YAML, ids=lambda x: str(x)[:20])
def test_text_that_is_no_spec(text: str, code: str, phrase: str) -> None:
    (fault,) = faults_of(lambda: parse_spec(text, "odd.yaml"))
    assert fault.code == code and phrase in fault.message
    assert fault.hint and fault.where.file == "odd.yaml"


def of_set(text: str, folder: Path) -> tuple[Fault, ...]:
    (folder / "set.yaml").write_text(set_text([FRAME]))
    return faults_of(lambda: parse_spec(text, str(folder / "all.yaml")))


@pytest.mark.parametrize(("text", "code", "phrase"), SETS, ids=lambda x: str(x)[:20])
def test_a_set_that_is_refused(text: str, code: str, phrase: str, tmp_path: Path) -> None:
    (fault,) = of_set(text, tmp_path)
    assert fault.code == code and phrase in fault.message
    assert fault.hint and fault.where.file and fault.where.file.startswith(str(tmp_path))


@pytest.mark.parametrize("call", CALLS, ids=lambda c: f"{c.code}: {c.phrase}"[:60])
def test_a_call_that_is_refused(call: Call, tmp_path: Path) -> None:
    fault = faults_of(lambda: call.run(tmp_path))[0]
    assert fault.code == call.code and call.phrase in fault.message
    assert fault.hint


@pytest.mark.parametrize("row", ELSEWHERE, ids=lambda row: f"{row.code}: {row.phrase}"[:60])
def test_the_tests_that_the_table_names_are_there(row: Elsewhere) -> None:
    text = (TESTS / row.file).read_text("utf-8")
    assert f"\ndef {row.test}(" in text
    assert row.shown in text


def test_every_refusal_has_a_case(tmp_path: Path) -> None:
    """A place in the source that no case reaches, and no named test, is a refusal untested."""
    found: list[Fault] = []
    for rows, faults in ((REFUSED, of_spec), (UNSOLVED, of_solving), (UNSORTED, of_stock)):
        for row in rows:
            found += faults(row)
    for text, _, _ in YAML:
        found += faults_of(lambda text=text: parse_spec(text, "odd.yaml"))
    for text, _, _ in SETS:
        found += of_set(text, tmp_path)
    for number, call in enumerate(CALLS):
        folder = tmp_path / str(number)
        folder.mkdir()
        found += faults_of(lambda call=call, folder=folder: call.run(folder))

    def met(site: Site) -> bool:
        return any(site.made(fault.code, fault.message) for fault in found) or any(
            site.named(row.code, row.phrase) for row in ELSEWHERE
        )

    missing = [f"{s.place} {s.code}: {s.message}" for s in sites() if not met(s)]
    assert missing == []


def test_every_refusal_says_what_to_do() -> None:
    assert hintless() == []


def test_the_sites_are_found() -> None:
    """The reader of the source sees what there is: by hand, some of each kind."""
    places = {(site.place.partition(":")[0], site.code) for site in sites()}
    assert len(sites()) > 280
    assert {
        ("spec/measure.py", "spec\\-value\\-error"),
        ("files/write.py", "write"),
        ("spec/yaml_text.py", "yaml\\-doubled\\-key"),  # by a function that makes the fault
        ("constraints/propagation.py", "level"),
        ("plugins.py", "unknown\\-.*"),
    } <= places
    assert isinstance(SpecError(Fault("a", "b")), FramekitError)
