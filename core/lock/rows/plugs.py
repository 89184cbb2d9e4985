"""The tables `[plugs.NAME]`: a stray hole that was filled, dressed flush and is metal again."""

from dataclasses import dataclass

from core.lock.fields import NEEDED, SOURCE_NONE, choice, length, position, sideways
from core.lock.row import RowKind

BOTH = "both plates"


@dataclass(frozen=True)
class Plug:
    """A riveted plug in a plate. Its place is in the plate frame, for it stays where it is whatever else moves."""

    across: float = sideways(
        NEEDED, "across", "The middle of the stray hole, left or right of the datum mark.",
        "Rule along the top edge from the datum mark, square across to the hole, from inside the back plate.",
    )  # fmt: skip
    below: float = position(
        NEEDED, "below", "The middle of the stray hole, below the datum mark.",
        "Rule from the datum mark down to the hole's middle: to its near edge, and half its diameter more.",
    )  # fmt: skip
    hole: float = length(
        6.0, "stray hole", "Diameter of the hole that is filled.",
        "The drill that it was drilled with, or the shank that just enters.",
    )  # fmt: skip
    counterbore: float = length(
        8.0, "counterbore", "Diameter of the counterbore on each face, which the plug's metal is driven into.",
        "Calliper across it.", f"About 2 mm more than the hole ({SOURCE_NONE}).",
    )  # fmt: skip
    depth: float = length(
        0.5, "counterbore depth", "Depth of the counterbore on each face.",
        "Depth rod of the calliper.", f"A quarter of the plate's thickness ({SOURCE_NONE}).",
    )  # fmt: skip
    diameter: float = length(
        5.9, "rod", "Diameter of the rod that the plug is cut from.",
        "Calliper on the rod: it just drops into the hole.", f"0.1 mm less than the hole ({SOURCE_NONE}).",
    )  # fmt: skip
    proud: float = length(
        0.2, "left proud", "How far the riveted plug stands out of each face before it is dressed flush.",
        "Calliper over the plate and over the plug.", f"0.1 to 0.3 mm ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    plate: str = choice(
        BOTH,
        (BOTH, "back plate", "front plate"),
        "plate",
        "The plate that has the stray hole.",
        "Both, where they were drilled together.",
    )


ROWS = RowKind(
    table="plugs",
    singular="plug",
    row=Plug,
    about="A stray hole that was filled",
)
