"""The project's pages and the blocks in them, for the tests of the docs."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PAGES = sorted(
    (ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").rglob("*.md")),
    key=lambda page: page.as_posix(),
)
_FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Block(NamedTuple):
    """A fenced block: its language, its text, and where it starts in the page."""

    language: str
    text: str
    start: int


def name_of(page: Path) -> str:
    """The page's path from the project's folder."""
    return page.relative_to(ROOT).as_posix()


def blocks_of(page: Path, language: str) -> list[Block]:
    """The fenced blocks of one language, in order."""
    text = page.read_text(encoding="utf-8")
    found = (Block(m[1], m[2], m.start()) for m in _FENCE.finditer(text))
    return [block for block in found if block.language == language]


def prose_of(page: Path) -> str:
    """The page's text without its fenced blocks."""
    return _FENCE.sub("", page.read_text(encoding="utf-8"))
