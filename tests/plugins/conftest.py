"""Stand-ins for installed plug-ins: entry points that were never installed."""

from __future__ import annotations

import pytest

from framekit import plugins


class Package:
    """The package a stand-in says it comes from."""

    name = "framekit-standin"
    version = "1.0"


class Point:
    """An entry point that gives one object, each time it is asked."""

    def __init__(self, name, made, value="standin:made"):
        self.name, self.made, self.value, self.dist = name, made, value, Package

    def load(self):
        return lambda: self.made


@pytest.fixture
def register(monkeypatch):
    """A function that registers an object in a group under its name, for one test."""
    real, added = plugins._points, []

    def points(group):
        return (*real(group), *(point for kind, point in added if kind == group))

    monkeypatch.setattr(plugins, "_points", points)

    def add(group, made, name=None, value="standin:made"):
        added.append((group, Point(name or made.name, made, value)))
        return made

    return add
