"""What the files stage hands on: named bytes, and where they were written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from framekit.sheets.model import Sheets


@dataclass(frozen=True)
class Document:
    """The bytes of one file, not yet written; `name` is a plain file name without folders."""

    name: str
    data: bytes


@dataclass(frozen=True)
class WrittenFile:
    """One file that was written: path, the backend that made it, and the SHA-256 of its bytes."""

    path: Path
    backend: str
    sha256: str


@dataclass(frozen=True)
class Files:
    """Everything a build wrote, and the sheets it came from."""

    sheets: Sheets
    files: tuple[WrittenFile, ...]
