"""File names from titles and ids, safe on any system and never outside their folder."""

from __future__ import annotations

import re
import unicodedata

LONGEST_NAME = 80
"""Longest name in bytes of UTF-8 before an ending such as `.svg`; file systems take 255."""

_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)", re.IGNORECASE)
"""Device names on Windows, alone or before a dot (Microsoft, "Naming Files, Paths, and
Namespaces"; from memory)."""


def safe_name(text: str) -> str:
    """A file name, without an ending, that reads like `text`; never empty.

    Letters and digits of any script, dots, hyphens and underscores stay; every run of anything
    else becomes one hyphen. It does not start or end with a dot or hyphen, is normalised to
    Unicode NFC, is no reserved device name and is at most `LONGEST_NAME` bytes long.

    >>> safe_name("../Harbour buoy, 1:4")
    'Harbour-buoy-1-4'
    """
    composed = unicodedata.normalize("NFKC", text)
    kept = "".join(c if _is_kept(c) else "-" for c in composed)
    name = re.sub(r"-{2,}", "-", re.sub(r"\.{2,}", "-", kept)).strip(".-")
    name = unicodedata.normalize("NFC", name)
    name = name.encode()[:LONGEST_NAME].decode(errors="ignore").rstrip(".-")
    if not name:
        return "unnamed"
    if _RESERVED.fullmatch(name.split(".")[0]):
        return f"_{name}"
    return name


def is_plain_name(name: str) -> bool:
    """Whether a file name with its ending is safe to write: what `safe_name` makes, and an ending.

    >>> is_plain_name("buoy-sheet-1.svg"), is_plain_name("../buoy.svg")
    (True, False)
    """
    stem, dot, ending = name.rpartition(".")
    return bool(dot) and stem == safe_name(stem) and ending.isascii() and ending.isalnum()


def _is_kept(c: str) -> bool:
    return c in "._-" or unicodedata.category(c)[0] in "LMN"
