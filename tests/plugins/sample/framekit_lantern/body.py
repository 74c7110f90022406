"""The lantern: a barrel, widest half-way up and narrower at both rims."""

from framekit.bodies.formula_body import FormulaBody


class Lantern(FormulaBody):
    """A barrel whose side is a parabola; it stands with its middle at height 0."""

    def __init__(self) -> None:
        """The lantern's sizes and formulas; lengths in mm."""
        super().__init__(
            name="lantern",
            sizes=("belly", "tall", "rim_ratio"),
            radius="model.belly*(1 - (1 - model.rim_ratio)*(2*z/model.tall)**2)",
            low_end="-body.tall/2",
            high_end="body.tall/2",
            greatest_radius="body.belly",
            words="a parabola from rim over belly to rim",
            source="the parabola through three points (any geometry text)",
        )
