"""A folder to run the pages' examples in: a copy of the project's specs, as the pages expect."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from docs.pages import ROOT


@pytest.fixture
def workplace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, with `specs/` in it and nothing else."""
    shutil.copytree(ROOT / "specs", tmp_path / "specs")
    for layout in (tmp_path / "specs").glob("*.layout.json"):
        layout.unlink()
    monkeypatch.chdir(tmp_path)
    return tmp_path
