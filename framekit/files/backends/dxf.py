"""DXF files for cutting, one a sheet: mm, y up, a layer for each operation, arcs as bulges.

Written by ezdxf as DXF R2010 (AutoCAD DXF Reference: $INSUNITS 4 is millimetres, $MEASUREMENT 1
metric; LWPOLYLINE group code 42 is the bulge). Each entity carries its frame, part and operation
as extended data of the application FRAMEKIT.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from framekit.files.cautions import cautions
from framekit.files.drawing import DrawnSheet, draw_sheets
from framekit.files.model import Document
from framekit.files.naming import safe_name
from framekit.files.settings import OPERATIONS, CutSettings, cut_settings
from framekit.sheets.model import Sheets

if TYPE_CHECKING:
    from ezdxf.document import Drawing

APPLICATION = "FRAMEKIT"
"""The application name of the extended data on each entity."""

LAYERS: Mapping[str, str] = MappingProxyType(
    {"mark": "FRAME-MARK", "inside": "FRAME-INSIDE", "outside": "FRAME-OUTSIDE"}
)
"""The layer of each operation."""

_DAY = 2451544.5
"""The date in every file, 1 January 2000 as a Julian date: DXF wants one, and the same input is to
give the same bytes."""

_NO_GUID = "{00000000-0000-0000-0000-000000000000}"

_LONGEST_TEXT = 250
"""Longest text in bytes of extended data or a custom property; the format takes 255."""


class DxfBackend:
    """Draws each sheet as a DXF R2010 file in mm."""

    name = "dxf"

    def render(self, sheets: Sheets) -> tuple[Document, ...]:
        """The DXF file of each sheet, named for the spec and the sheet.

        Raises:
            BuildError: a check failed, or the parts were not tested as solids.
            StockError: parts found no place on the sheets.
            GeometryError: a part has a feature too fine for the kerf.
        """
        settings = cut_settings(sheets)
        return tuple(
            Document(f"{safe_name(f'{settings.id}-{sheet.id}')}.dxf", _bytes(sheet, settings))
            for sheet in draw_sheets(sheets, settings)
        )


def _bytes(sheet: DrawnSheet, settings: CutSettings) -> bytes:
    # ezdxf is imported here since it takes 0.3 s, and only a DXF needs it.
    import ezdxf
    from ezdxf.colors import rgb2int

    document = ezdxf.new("R2010", units=4)
    document.header["$MEASUREMENT"] = 1
    document.appids.add(APPLICATION)
    for name in OPERATIONS:
        layer = document.layers.add(LAYERS[name])
        colour = settings.strokes[name]
        layer.dxf.true_color = rgb2int(tuple(bytes.fromhex(colour[1:])))
    for title, text in _properties(sheet, settings):
        document.header.custom_vars.append(title, _short(text))
    space = document.modelspace()
    for part in sheet.parts:
        for operation in part.operations:
            path = operation.path
            entity = space.add_lwpolyline(
                [tuple(vertex) for vertex in path.vertices],
                format="xyb",
                close=path.closed,
                dxfattribs={"layer": LAYERS[operation.name]},
            )
            texts = (part.frame, part.id, operation.name, part.title)
            entity.set_xdata(APPLICATION, [(1000, _short(text)) for text in texts])
    space.reset_extents((0.0, 0.0, 0.0), (sheet.width, sheet.height, 0.0))
    space.reset_limits((0.0, 0.0), (sheet.width, sheet.height))
    return _steady_bytes(document)


def _properties(sheet: DrawnSheet, settings: CutSettings) -> list[tuple[str, str]]:
    paths = (
        f"half a kerf of {settings.kerf_words} outside the finished parts"
        if settings.offset
        else "the finished parts' edges; the machine makes up for what it cuts away"
    )
    return [
        ("Title", settings.title),
        ("Sheet", f"{sheet.id}, {sheet.width:.10g} x {sheet.height:.10g} mm"),
        ("Stock", sheet.stock),
        ("Scale", "1 drawing unit = 1 mm"),
        ("Paths", paths),
        *([("Bridges", "gaps in the cuts hold the parts in the sheet")] if sheet.bridges else []),
        *(
            (f"Caution {i}", text)
            for i, text in enumerate(cautions(settings.process, sheet.bridges), 1)
        ),
    ]


def _short(text: str) -> str:
    """The text on one line and short enough for a DXF string."""
    line = "".join(c if c.isprintable() else " " for c in text)
    return line.encode(errors="replace")[:_LONGEST_TEXT].decode(errors="ignore")


def _steady_bytes(document: Drawing) -> bytes:
    """The document's bytes, the same each time: no dates, random ids or versions of its writer.

    `Drawing.write` stamps the time and new ids just before it writes, so its steps are run here
    one by one, and the stamps replaced between them.
    """
    from ezdxf.document import CREATED_BY_EZDXF, WRITTEN_BY_EZDXF
    from ezdxf.lldxf.tagwriter import TagWriter

    document.commit_pending_changes()
    document.update_all()
    notes = document.ezdxf_metadata()
    notes[CREATED_BY_EZDXF] = notes[WRITTEN_BY_EZDXF] = "framekit"
    for variable in ("$TDCREATE", "$TDUCREATE", "$TDUPDATE", "$TDUUPDATE"):
        document.header[variable] = _DAY
    for variable in ("$FINGERPRINTGUID", "$VERSIONGUID"):
        document.header[variable] = _NO_GUID
    # ezdxf registers some classes from a set, whose order changes from process to process.
    document.classes.classes = dict(sorted(document.classes.classes.items()))
    stream = io.StringIO()
    document.export_sections(TagWriter(stream, write_handles=True, dxfversion=document.dxfversion))
    data: bytes = document.encode(stream.getvalue())
    return data
