"""A body and a material for lanterns; measure your own before you cut."""

from dataclasses import replace

from framekit.catalogue.load import material
from framekit.catalogue.model import BodyRow, Figure, MaterialRow

MADE_UP = "made up for this example"


class LanternCatalogue:
    """A moon of an invented story, and the card of a lantern kit."""

    name = "lantern"

    def bodies(self) -> tuple[BodyRow, ...]:
        """The story's moon, a flattened one."""
        return (
            BodyRow(
                name="paper-moon",
                title="Paper Moon",
                kind="moon",
                around="earth",
                equatorial_radius=Figure(1200.0, "km", 5.0, MADE_UP),
                polar_radius=Figure(1080.0, "km", 5.0, MADE_UP),
                stand_in=False,
                mean_radius=None,
                mean_kind=None,
                obliquity=None,
                orbit=None,
                rings=(),
            ),
        )

    def materials(self) -> tuple[MaterialRow, ...]:
        """The kit's card: framekit's card, but denser and with a kerf of its own."""
        return (
            replace(
                material("card"),
                name="lantern-card",
                title="lantern card",
                density=Figure(820.0, "kg/m³", 20.0, MADE_UP),
                kerf=Figure(0.1, "mm", 0.02, MADE_UP),
            ),
        )
