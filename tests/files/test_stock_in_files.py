"""Every kind of file says what each sheet is: read back by the XML parser and ezdxf."""

from __future__ import annotations

import dataclasses
import io
import xml.etree.ElementTree as ET

import ezdxf
import pytest

from framekit.files.backends.dxf import DxfBackend
from framekit.files.backends.picture import PictureBackend
from framekit.files.backends.svg import SvgBackend
from framekit.files.document import ResultDocument, result_document
from framekit.parts.build import make_parts
from framekit.parts.model import FrameParts, Parts
from framekit.sheets.build import nest_parts
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

SVG = "{http://www.w3.org/2000/svg}"
STOCKS = ["birch-plywood 3 mm", "mdf 5.5 mm"]


@pytest.fixture(scope="module")
def sheets():
    """One sheet of ribs and one of thicker discs."""
    spec = {
        "framekit": 1,
        "id": "duo",
        "title": "Two stocks",
        "body": {"shape": "sphere", "diameter": 120},
        "ribs": {"count": 4, "width": 18},
        "discs": [{"at": {"height": 0}}],
        "sheet": {"material": "birch-plywood", "thickness": 3, "size": [400, 300]},
        "cutter": {"kerf": 0.16},
    }
    parts = make_parts(solve(spec_from_values(spec)))
    (frame,) = parts.frames
    mixed = tuple(
        dataclasses.replace(p, material="mdf", thickness=5.5) if p.kind == "disc" else p
        for p in frame.parts
    )
    sheets = nest_parts(Parts(parts.solution, (FrameParts(frame.solution, mixed),))).sheets
    return dataclasses.replace(sheets, despite_failures=True)  # nobody could build it


def test_names_stay_plain(sheets):
    assert [d.name for d in SvgBackend().render(sheets)] == ["duo-sheet-1.svg", "duo-sheet-2.svg"]
    assert [d.name for d in DxfBackend().render(sheets)] == ["duo-sheet-1.dxf", "duo-sheet-2.dxf"]


def test_svg_title_and_description_name_the_stock(sheets):
    for number, (document, stock) in enumerate(
        zip(SvgBackend().render(sheets), STOCKS, strict=True), 1
    ):
        root = ET.fromstring(document.data)
        assert root.find(f"{SVG}title").text == f"Two stocks, sheet-{number}: {stock}"
        assert root.find(f"{SVG}desc").text.startswith(f"Sheet of {stock}, 400 x 300 mm, ")


def test_dxf_properties_name_the_stock(sheets):
    for document, stock in zip(DxfBackend().render(sheets), STOCKS, strict=True):
        read = ezdxf.read(io.StringIO(document.data.decode()))
        properties = dict(read.header.custom_vars.properties)
        assert properties["Stock"] == stock


def test_the_picture_says_which_sheets_are_what(sheets):
    (document,) = PictureBackend().render(sheets)
    text = ET.fromstring(document.data).find(f"{SVG}desc").text
    assert "The sheets are birch-plywood 3 mm (sheet-1); mdf 5.5 mm (sheet-2). " in text


def test_the_result_document_says_what_each_sheet_is(sheets):
    found = result_document(sheets.parts.solution, sheets.parts, sheets)
    assert [(s.id, s.material, s.thickness) for s in found.sheets] == [
        ("sheet-1", "birch-plywood", 3.0),
        ("sheet-2", "mdf", 5.5),
    ]
    assert {"material", "thickness"} <= set(
        ResultDocument.model_json_schema()["$defs"]["SheetRow"]["required"]
    )
