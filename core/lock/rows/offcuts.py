"""The tables `[offcuts.NAME]`: stock at hand, that parts may be cut from."""

from dataclasses import dataclass

from core.lock.fields import NEEDED, SOURCE_NONE, choice, length
from core.lock.row import RowKind

METALS = ("steel", "brass")


@dataclass(frozen=True)
class Offcut:
    """A piece of sheet or flat bar at hand."""

    long: float = length(
        NEEDED, "length", "The piece along its longer side.", "Rule along it, where it is sound."
    )
    wide: float = length(
        NEEDED, "width", "The piece along its shorter side.", "Rule across it, where it is sound."
    )
    thickness: float = length(
        NEEDED, "thickness", "Thickness of the piece.", "Calliper, away from the sheared edge.",
    )  # fmt: skip
    metal: str = choice("steel", METALS, "metal", "What it is of.", f"steel ({SOURCE_NONE}).")


ROWS = RowKind(
    table="offcuts",
    singular="offcut",
    row=Offcut,
    about="Stock at hand, that parts may be cut from",
)
