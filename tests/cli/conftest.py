"""The command line run in this process, and a spec file to run it on."""

from __future__ import annotations

import re

import pytest
from light_search import light_search

from framekit.cli import main as command_line

__all__ = ["light_search", "run", "spec"]


@pytest.fixture
def run(capsys):
    """A function that runs the command line: words in, exit code, output and errors out."""

    def given(*words):
        code = command_line.main([str(word) for word in words])
        return code, *capsys.readouterr()

    return given


@pytest.fixture
def spec(request, tmp_path):
    """A file with the text that the test's module calls SPEC, named after the spec's id."""
    text = request.module.SPEC
    path = tmp_path / f"{re.search(r'^id: (.+)$', text, re.MULTILINE)[1]}.yaml"
    path.write_text(text, encoding="utf-8")
    return path
