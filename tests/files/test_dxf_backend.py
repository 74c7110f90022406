"""DXF files, read back by ezdxf's own reader and auditor."""

import io
import subprocess
import sys
from pathlib import Path as FilePath

import ezdxf
import pytest

from framekit.files.backends.dxf import APPLICATION, LAYERS, DxfBackend
from framekit.files.cautions import cautions
from framekit.geometry.path import Outline, circle
from framekit.sheets.model import Placement


def render(sheets):
    (document,) = DxfBackend().render(sheets)
    return document


def read(sheets):
    return ezdxf.read(io.StringIO(render(sheets).data.decode()))


def test_units_and_audit(two_parts):
    assert render(two_parts).name == "buoy-sheet-1.dxf"
    document = read(two_parts)
    # AutoCAD DXF Reference: 4 is millimetres, 1 is metric.
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    assert document.dxfversion == "AC1024"
    audit = document.audit()
    assert not audit.has_errors and not audit.has_fixes


def test_entities_in_cutting_order(two_parts):
    entities = list(read(two_parts).modelspace())
    assert [e.dxftype() for e in entities] == ["LWPOLYLINE"] * 4
    assert [e.dxf.layer for e in entities] == [
        LAYERS[name] for name in ("mark", "inside", "outside", "outside")
    ]
    assert [e.closed for e in entities] == [False, True, True, True]


def test_parts_are_named_on_their_entities(two_parts):
    kept = [
        tuple(tag.value for tag in e.get_xdata(APPLICATION)) for e in read(two_parts).modelspace()
    ]
    assert kept == [
        ("buoy", "disc-1", "mark", "A part"),
        ("buoy", "disc-1", "inside", "A part"),
        ("buoy", "disc-1", "outside", "A part"),
        ("buoy", "rib-1", "outside", "A part"),
    ]


def test_layers_have_the_operations_colours(sample):
    part = Placement(sample.part("disc-1", Outline(circle(50.0))), 80.0, 90.0, 0.0)
    document = read(sample.sheets(part, strokes=("#010203", None, None)))
    assert document.layers.get(LAYERS["mark"]).rgb == (1, 2, 3)
    assert document.layers.get(LAYERS["outside"]).rgb == (0x4B, 0x2E, 0x83)


def test_y_stays_up(sample):
    part = Placement(sample.part("disc-1", Outline(circle(50.0))), 80.0, 90.0, 0.0)
    (entity,) = read(sample.sheets(part, kerf=0.0)).modelspace()
    assert [tuple(p) for p in entity.get_points("xyb")] == [(130, 90, 1.0), (30, 90, 1.0)]


@pytest.mark.parametrize("process", ["laser", "router", "knife"])
def test_cautions_are_in_the_file_whole(sample, process):
    part = Placement(sample.part("disc-1", Outline(circle(50.0))), 80.0, 90.0, 0.0)
    document = read(sample.sheets(part, process=process))
    properties = [value for _, value in document.header.custom_vars.properties]
    for caution in cautions(process):
        assert caution in properties


@pytest.mark.parametrize(
    "text", ["a\n0\nEOF\n", "nul \x00 bell \x07 \ud800", "größer 🛟", "x" * 1000, "%%d \\P {}"]
)
def test_hostile_titles_stay_text(sample, text):
    part = sample.part("disc-1", Outline(circle(50.0)), title=text, frame=text)
    sheets = sample.sheets(Placement(part, 80.0, 90.0, 0.0), title=text)
    document = read(sheets)
    assert len(document.modelspace()) == 1
    assert not document.audit().has_errors
    data = document.modelspace()[0].get_xdata(APPLICATION)
    assert data[1].value == "disc-1"
    assert len(data[0].value.encode()) <= 255


def test_same_bytes_in_two_processes():
    # Two fresh interpreters with different hash seeds, so no set's order or clock shows.
    tests = FilePath(__file__).parents[1]
    made = [
        subprocess.run(
            [sys.executable, "-m", "files.write_one_dxf"],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(tests.parent), "PATH": ""},
            cwd=tests,
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert made[0] == made[1]
    assert len(made[0]) > 1000
