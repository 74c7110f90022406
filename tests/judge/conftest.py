"""Registers the nester of these tests as an installed package would, by its entry point."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True, scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The name of a nester that takes a millisecond."""
    folder = tmp_path_factory.mktemp("installed")
    info = folder / "shelf-0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: shelf\nVersion: 0\n")
    (info / "entry_points.txt").write_text(
        "[framekit.nesters]\nshelf = judge.shelf_nester:ShelfNester\n"
    )
    sys.path.insert(0, str(folder))
    yield "shelf"
    sys.path.remove(str(folder))
