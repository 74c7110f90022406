"""The built-ins run the conformance kits that plug-in authors run; how plug-ins are found."""

from __future__ import annotations

from importlib.metadata import EntryPoint
from pathlib import Path

import pytest

from framekit import plugins
from framekit.errors import PluginError, UnknownNameError
from framekit.own_plugins import OWN
from framekit.testing import (
    check_backend,
    check_body,
    check_catalogue,
    check_joint,
    check_nester,
)

BODIES = {
    "sphere": ({"diameter": 190}, {"radius": "6371 km"}),
    "spheroid": (
        {"equatorial_diameter": "1.2 m", "flattening": 0.2},
        {"equatorial_radius": 100, "polar_radius": 140},
        {"equatorial_radius": 100, "polar_radius": 90, "span": [-50, "top"]},
    ),
    "superellipsoid": (
        {"equatorial_radius": 100, "polar_radius": 80, "exponent": 2.5},
        {"equatorial_radius": 100, "polar_radius": 120, "exponent": 4},
    ),
    "cylinder": ({"diameter": 100, "height": 130},),
    "cone": (
        {"radius": 100, "top_radius": 30, "height": 150},
        {"radius": 100, "top_radius": 0, "height": 150},
    ),
    "profile": (
        {"points": [[30, 0], [60, 40], [40, 90], [50, 120]]},
        {"points": [[40, 0], [70, 60], [40, 120]], "smooth": False},
        {"radius_at": "40 + 12*cos(pi*z/90)", "from": -90, "to": 90},
    ),
}
"""Bodies of each of framekit's own shapes, as sections of a spec."""


@pytest.mark.parametrize("name", OWN[plugins.BODIES])
def test_bodies(name):
    for body in BODIES[name]:
        check_body(plugins.load(plugins.BODIES, name), body)


@pytest.mark.parametrize("name", OWN[plugins.JOINTS])
def test_joints(name):
    check_joint(plugins.load(plugins.JOINTS, name))


def test_catalogue():
    check_catalogue(plugins.load(plugins.CATALOGUES, "standard"))


@pytest.mark.parametrize("name", OWN[plugins.BACKENDS])
def test_backends(name):
    check_backend(plugins.load(plugins.BACKENDS, name))


def test_nester():
    check_nester(plugins.load(plugins.NESTERS, "quick"))


def test_the_module_of_own_plugins_is_up_to_date():
    written = Path(plugins.__file__).with_name("own_plugins.py").read_text(encoding="utf-8")
    assert written == plugins.own_module(), "run python -m framekit.plugins"


def test_everything_of_framekit_is_registered():
    """Whatever the fast path knows is registered too, from framekit itself."""
    assert set(OWN) == set(plugins.KINDS) == set(plugins.PARTS)
    assert set(BODIES) == set(OWN[plugins.BODIES])
    for group, wanted in OWN.items():
        points = [p for p in plugins._points(group) if p.dist and p.dist.name == "framekit"]
        found = {point.name: point.value for point in points}
        assert found == wanted, "framekit's entry points are old: run pip install -e . again"


def test_the_fast_path_makes_what_the_entry_points_make():
    for group in OWN:
        for name in OWN[group]:
            made = plugins.own(group, name)
            assert type(made) is type(plugins.load(group, name)) and made.name == name
    assert plugins.own(plugins.JOINTS, "no-such-joint") is None


def test_unknown_doubled_and_broken_plugins(monkeypatch):
    group = plugins.BACKENDS
    found = [
        EntryPoint("twice", "framekit.errors:Where", group),
        EntryPoint("twice", "framekit.errors:Fault", group),
        EntryPoint("gone", "framekit.nowhere:X", group),
        EntryPoint("unmade", "framekit.errors:Fault", group),
        EntryPoint("wrong", "framekit.errors:Where", group),
        EntryPoint("misnamed", "framekit.files.backends.svg:SvgBackend", group),
    ]
    monkeypatch.setattr(plugins, "_points", lambda group: found)
    with pytest.raises(UnknownNameError, match="Did you mean twice"):
        plugins.load(group, "twise")
    with pytest.raises(PluginError, match="registered by") as doubled:
        plugins.load(group, "twice")
    assert "errors:Where" in doubled.value.message and "errors:Fault" in doubled.value.message
    for name in ("gone", "unmade"):
        with pytest.raises(PluginError, match="cannot be loaded"):
            plugins.load(group, name)
    with pytest.raises(PluginError, match="lacks 'render'"):
        plugins.load(group, "wrong")
    with pytest.raises(PluginError, match="calls itself"):
        plugins.load(group, "misnamed")


def test_errors_name_the_package(register):
    class Bare:
        name = "bare"

    register(plugins.JOINTS, Bare())
    with pytest.raises(PluginError, match="lacks 'sizes'") as lacking:
        plugins.load(plugins.JOINTS, "bare")
    assert "framekit-standin 1.0" in lacking.value.message
    assert "framekit-standin" in lacking.value.hint
    register(plugins.JOINTS, Bare(), value="other:Bare")
    with pytest.raises(PluginError) as doubled:
        plugins.load(plugins.JOINTS, "bare")
    assert doubled.value.message.count("framekit-standin 1.0") == 2


def test_each_group_is_looked_up_once_for_an_import_path(tmp_path, monkeypatch):
    """A package that is laid on the path while framekit runs is found."""
    info = tmp_path / "late-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: late\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text(f"[{plugins.NESTERS}]\nlate = late:Late\n")
    assert "late" not in plugins.names(plugins.NESTERS)
    monkeypatch.syspath_prepend(str(tmp_path))
    assert "late" in plugins.names(plugins.NESTERS)
    with pytest.raises(PluginError, match=r"from late 1\.0"):
        plugins.load(plugins.NESTERS, "late")
