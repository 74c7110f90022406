"""The built-ins run the conformance kits that plug-in authors run, and the kits do find faults."""

from __future__ import annotations

from importlib.metadata import EntryPoint

import pytest

from framekit import plugins
from framekit.errors import PluginError, UnknownNameError
from framekit.files.model import Document
from framekit.sheets.protocol import NestResult
from framekit.testing import check_backend, check_nester


@pytest.mark.parametrize("name", plugins.names(plugins.BACKENDS))
def test_backends(name):
    check_backend(plugins.load(plugins.BACKENDS, name))


@pytest.mark.parametrize("name", plugins.names(plugins.NESTERS))
def test_nesters(name):
    check_nester(plugins.load(plugins.NESTERS, name))


def test_the_standard_ones_are_there():
    assert set(plugins.names(plugins.BACKENDS)) >= {"svg", "dxf"}
    assert "quick" in plugins.names(plugins.NESTERS)


class Broken:
    """A backend that keeps no promise."""

    name = "broken"

    def __init__(self, *documents):
        self.documents = documents
        self.calls = 0

    def render(self, sheets):
        self.calls += 1
        return tuple(
            Document(n, d + bytes([self.calls]) * d.endswith(b"!")) for n, d in self.documents
        )


@pytest.mark.parametrize(
    "backend",
    [
        Broken(),
        Broken(("a.txt", b"x"), ("a.txt", b"y")),
        Broken(("../a.txt", b"x")),
        Broken(("a.txt", b"")),
        Broken(("a.txt", b"changes!")),
    ],
)
def test_the_kit_refuses_a_broken_backend(backend):
    with pytest.raises(AssertionError):
        check_backend(backend)


class Heap:
    """A nester that puts everything on one spot."""

    name = "heap"

    def nest(self, job, progress=None):
        from framekit.sheets.protocol import Place

        places = [
            Place(i, copy, 50.0, 50.0, 0.0)
            for i, item in enumerate(job.items)
            for copy in range(item.copies)
        ]
        return NestResult((tuple(places),))


def test_the_kit_refuses_a_broken_nester():
    with pytest.raises(AssertionError, match="not legal"):
        check_nester(Heap())


def points(*values):
    return [EntryPoint(name, value, "framekit.backends") for name, value in values]


def test_unknown_doubled_and_broken_plugins(monkeypatch):
    found = points(
        ("twice", "framekit.errors:Where"),
        ("twice", "framekit.errors:Fault"),
        ("gone", "framekit.nowhere:X"),
        ("misnamed", "framekit.files.backends.svg:SvgBackend"),
    )
    monkeypatch.setattr(plugins, "entry_points", lambda group: found)
    with pytest.raises(UnknownNameError, match="Did you mean twice"):
        plugins.load(plugins.BACKENDS, "twise")
    with pytest.raises(PluginError, match="registered by"):
        plugins.load(plugins.BACKENDS, "twice")
    with pytest.raises(PluginError, match="cannot be loaded"):
        plugins.load(plugins.BACKENDS, "gone")
    with pytest.raises(PluginError, match="calls itself"):
        plugins.load(plugins.BACKENDS, "misnamed")
