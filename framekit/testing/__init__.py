"""Comparers and conformance kits for those who add to framekit; the built-ins run them too.

Each kit raises AssertionError with a sentence that says what the plug-in broke. Kits for bodies,
joints and catalogues look at the plug-in as framekit finds it, so its package must be installed.
"""

from __future__ import annotations

from framekit.geometry.compare import area_between, greatest_distance, same_path
from framekit.testing.bodies import check_body
from framekit.testing.catalogues import check_catalogue
from framekit.testing.joints import check_joint
from framekit.testing.output import check_backend, check_nester, sample_sheets

__all__ = [
    "area_between",
    "check_backend",
    "check_body",
    "check_catalogue",
    "check_joint",
    "check_nester",
    "greatest_distance",
    "same_path",
    "sample_sheets",
]
