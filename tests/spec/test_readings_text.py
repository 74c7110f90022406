"""Readings as people write them: units, lists, and text that is refused."""

from __future__ import annotations

import pytest

from framekit.errors import SpecError
from framekit.spec.readings_text import parse_readings


@pytest.mark.parametrize(
    "words",
    [
        ["slot=-3"],
        ["slot=0"],
        ["slot=three"],
        ["slot=nan"],
        ["slot=inf"],
        ["slot="],
        ["slot=3.1,3.2"],
        ["slot=3.1 ± 0.1"],
        ["slot"],
        ["width=3"],
        ["caliper=3.02,,3.03"],
        ["caliper=3.02;3.03"],
        ["caliper=1e400"],
        ["caliper=" + ",".join(["3.02"] * 201)],
        ["strips=2 km"],
        ["strips=" + "9" * 500],
        ["caliper=__import__('os')"],
    ],
)
def test_hostile_words(words) -> None:
    with pytest.raises(SpecError) as caught:
        parse_readings(words)
    assert caught.value.message and len(str(caught.value)) < 2000


@pytest.mark.parametrize(
    "text",
    [
        "",
        "- 3\n",
        "slot: .nan\n",
        "slot: [3.1, 3.2]\n",
        "slot: true\n",
        "caliper: []\n",
        "caliper: {a: 3}\n",
        "thick: 3\n",
        "resolution: 2\n",
        "resolution: 0\n",
        "caliper_error: -1\n",
        "slot: !!python/object:os.system x\n",
        "slot: 3.1\nslot: 3.2\n",
    ],
)
def test_hostile_files(tmp_path, text) -> None:
    path = tmp_path / "readings.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SpecError):
        parse_readings([], path)


def test_unreadable_files(tmp_path) -> None:
    (tmp_path / "binary.yaml").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "long.yaml").write_bytes(b"#" * 100_001)
    for name in ("binary.yaml", "long.yaml", "none.yaml", "."):
        with pytest.raises(SpecError, match="cannot read"):
            parse_readings([], tmp_path / name)


def test_a_file_and_words_go_together(tmp_path) -> None:
    path = tmp_path / "readings.yaml"
    path.write_text("slot: 3.1\ncaliper: [3.02, 0.3 cm]\nresolution: 0.02\n", encoding="utf-8")
    assert parse_readings(["caliper=3.05", "strips=119.2, 119.3"], path) == {
        "slot": (3.1,),
        "caliper": (3.02, 3.0, 3.05),
        "resolution": (0.02,),
        "strips": (119.2, 119.3),
    }
