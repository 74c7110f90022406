"""Profiles: `ci` is small; FRAMEKIT_PROFILE=full runs 500 examples a test."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

for name, examples in (("ci", 60), ("full", 500)):
    settings.register_profile(
        name,
        max_examples=examples,
        deadline=None,
        derandomize=name == "ci",
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
settings.load_profile(os.environ.get("FRAMEKIT_PROFILE", "ci"))
