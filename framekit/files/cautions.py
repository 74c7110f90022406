"""The cautions that go with every file a machine may run.

The facts are common knowledge of the trade and of the standards named: IEC 60825-1 and
ANSI Z136.1 (laser classes), ISO 11553-1 (laser processing machines), NFPA 115 (laser fire
protection); their titles are from memory. None of this stands in for the machine's manual.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from framekit.errors import Fault, UnknownNameError

DEFER = (
    "Follow the machine's manual and local rules first, and let only trained staff run the machine."
)

_SHARED = (
    "Never leave a running machine unattended.",
    "Check the scale, the layers and a test piece before cutting a whole sheet.",
)

HOLD_FREE = (
    "Clamp the sheet and plan how each part is held when it comes free: this file draws no bridges."
)
"""Of a router's file whose cuts run all round."""

HOLD_BRIDGED = (
    "Clamp the sheet, and try on scrap whether the bridges left in the cuts hold a part: they are "
    "cut through by hand when the machine stands still."
)
"""Of a router's file with bridges."""

_CAUTIONS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "laser": (
            DEFER,
            *_SHARED,
            "Keep the lid closed and every interlock whole, and run the extraction.",
            "Keep a fire extinguisher at hand: sheet can flare up under the beam.",
            "Wear eye protection as local policy says (IEC 60825-1, ANSI Z136.1, ISO 11553-1, "
            "NFPA 115).",
            "Put in no material you do not know. Never PVC or vinyl: its hydrogen chloride harms "
            "lungs and destroys the machine. Polycarbonate chars; ABS gives off toxic fumes; the "
            "glue in plywood and MDF may give off formaldehyde.",
        ),
        "router": (
            DEFER,
            *_SHARED,
            HOLD_FREE,
            "Keep guards in place and hands, hair and sleeves clear of the tool.",
            "Run the dust extraction, wear eye and ear protection as local policy says, and put "
            "in no material you do not know: the glue in plywood and MDF may give off "
            "formaldehyde.",
        ),
        "knife": (
            DEFER,
            *_SHARED,
            "Keep hands clear of the moving head and change blades with the machine switched off.",
            "Set the blade's depth on scrap, and put in no material the machine is not made for.",
        ),
    }
)


def cautions(process: str, bridges: bool = False) -> tuple[str, ...]:
    """The cautions for `laser`, `router` or `knife`, one sentence or more each, most weighty first.

    `bridges` tells that the file leaves some in its cuts.

    Raises:
        UnknownNameError: there is no such process.
    """
    if process not in _CAUTIONS:
        raise UnknownNameError(
            Fault(
                "process",
                f"There is no process {process!r}.",
                hint=f"Choose one of {', '.join(_CAUTIONS)}.",
            )
        )
    found = _CAUTIONS[process]
    return tuple(HOLD_BRIDGED if bridges and c == HOLD_FREE else c for c in found)
