"""Writes one DXF to standard output; run by the test of equal bytes in two processes."""

import sys

from files.made_sheets import make_part, make_sheets, ring_sector

from framekit.files.backends.dxf import DxfBackend
from framekit.geometry.path import Outline
from framekit.sheets.model import Placement

part = make_part("rib-1", Outline(ring_sector()))
(document,) = DxfBackend().render(make_sheets(Placement(part, 80.0, 90.0, 30.0)))
sys.stdout.buffer.write(document.data)
