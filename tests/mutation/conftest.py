"""Keep pytest off this folder: it runs the tests of others, and needs the extra `mutation`."""

from __future__ import annotations

collect_ignore_glob = ["*.py"]
