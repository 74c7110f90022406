"""Every process has cautions, and every one defers to the people who know the machine."""

import pytest

from framekit.errors import UnknownNameError
from framekit.files.cautions import cautions


@pytest.mark.parametrize("process", ["laser", "router", "knife"])
def test_defers_first(process):
    first = cautions(process)[0]
    assert "machine's manual" in first and "local rules" in first and "trained staff" in first


@pytest.mark.parametrize("process", ["laser", "router", "knife"])
def test_each_fits_a_dxf_string(process):
    # AutoCAD DXF Reference: strings of extended data hold at most 255 bytes.
    assert all(len(text.encode()) <= 250 for text in cautions(process))


@pytest.mark.parametrize(
    "fact",
    ["unattended", "interlock", "extraction", "extinguisher", "PVC or vinyl", "hydrogen chloride"],
)
def test_laser_facts(fact):
    assert fact in " ".join(cautions("laser"))


def test_unknown_process_names_the_known():
    with pytest.raises(UnknownNameError) as caught:
        cautions("plasma")
    assert "laser, router, knife" in caught.value.hint
