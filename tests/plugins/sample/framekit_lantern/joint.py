"""A cross-lap whose notches and slots end in half-round floors, so that no corner splits."""

from framekit.constraints.formula.text_law import text_law
from framekit.geometry.path import Vertex
from framekit.joints.cross_lap import CrossLap
from framekit.joints.protocol import JointMargin, Value, notch_half

OURS = "a sketch of the joint: half-rounds about a centre where the straight sides end"
CENTRE = "disc.joint_radius - joint.end_clearance - joint.run_out"
WIDER = "made.kerf - cutter.kerf + made.clearance - joint.clearance"

LIGAMENT = text_law(
    "round-lap-ligament",
    "disc.ligament",
    "disc.skin_radius - disc.joint_radius - joint.end_clearance - joint.run_out"
    " - joint.slot_width/2",
    "what the half-round floor of the notch leaves of the rib",
    OURS,
)
WEB = text_law(
    "round-lap-web",
    "disc.slot_web",
    f"2*({CENTRE})*sin(rib.angle*pi/360) - joint.slot_width",
    "from one half-round floor to the next: between their centres, less two radii",
    OURS,
)
WEB_MADE = text_law(
    "round-lap-web-made",
    "disc.round_web",
    f"2*({CENTRE})*sin(rib.angle*pi/360) - joint.slot_width - ({WIDER}) - limit.least_web",
    "the disc's material between two half-round floors, above the least",
    OURS,
)
WALL_MADE = text_law(
    "round-lap-wall-made",
    "disc.round_wall",
    f"{CENTRE} - disc.bore_radius - (joint.slot_width + {WIDER})/2"
    " - (made.kerf - cutter.kerf)/2 - limit.least_wall",
    "the disc's material between a half-round floor and the bore, above the least",
    OURS,
)


class RoundLap(CrossLap):
    """Half a slot in each part, each with a half-round floor `run_out` mm past the seat."""

    name = "round-lap"
    sizes = ("run_out",)
    laws = (LIGAMENT, WEB)
    disc_laws = (
        "disc-radius-cross-lap",
        "disc-notch-depth",
        "disc-slot-depth",
        "round-lap-web",
        "round-lap-ligament",
    )
    margins = (
        JointMargin(
            "round-web",
            WEB_MADE,
            "ribs.count",
            "Between the half-round floors of {disc} must stay {limit.least_web:.1f} mm.",
        ),
        JointMargin(
            "round-wall",
            WALL_MADE,
            "discs.bore",
            "The half-round floors of {disc} must stay {limit.least_wall:.1f} mm from its bore.",
        ),
    )

    def notch(self, value: Value) -> tuple[Vertex, ...]:
        """Straight past the seat, then half a circle outward."""
        reach = value("disc.joint_radius") + value("joint.end_clearance") + value("joint.run_out")
        half = notch_half(value)
        return (Vertex(reach, half, -1.0), Vertex(reach, -half))

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """Straight past the seat, then half a circle toward the axis."""
        floor = value("disc.joint_radius") - value("joint.end_clearance") - value("joint.run_out")
        half = value("joint.slot_width") / 2
        return (Vertex(floor, -half, -1.0), Vertex(floor, half))
