"""The table `[spread]`: how closely each size is made."""

from dataclasses import dataclass
from typing import Any

from core.lock.fields import SOURCE_NONE, choice, length

CLASSES = {"fine": "f", "medium": "m", "coarse": "c", "very coarse": "v"}
"""The classes of ISO 2768-1 by their names, with their letters."""
LAWS = ("anywhere", "mostly near")
"""How a size may lie within what it is held to."""


def _held(label: str, what: str) -> Any:
    """Declare a maker's figure for one size; 0 for none."""
    return length(
        0.0, f"{label} +-", f"{what}: this near to its plan, more or less; 0 leaves it to the rule.",
        "Measure a few that you have made, and take the farthest off.", "0, which leaves it to the rule.", zero=True,
    )  # fmt: skip


@dataclass(frozen=True)
class Spread:
    """How near to its plan each size comes out."""

    rule: str = choice(
        "filed", ("filed", *CLASSES), "held to",
        "What goes for every size without a figure of its own: `filed`, the figure that follows; or a class of "
        "ISO 2768-1, by its size.",
        "filed, for parts made by hand.",
    )  # fmt: skip
    filed: float = length(
        0.1, "filed +-", "How near to its line you file, more or less.",
        "Measure a few that you have made, and take the farthest off.",
        f"0.1 mm by eye to a scribed line, half of that with a calliper ({SOURCE_NONE}).", zero=True,
    )  # fmt: skip
    law: str = choice(
        "anywhere", LAWS, "lies",
        "`anywhere`: as often at the end of what it is held to as in the middle. `mostly near`: most often on the "
        "plan, and ever less often towards both ends.",
        "anywhere, which is on the safe side.",
    )  # fmt: skip
    figures: str = choice(
        "none", ("none", "some"), "figures of their own",
        "Whether you have a figure for some size by itself; then each is asked for.",
        "none, until you have measured some.",
    )  # fmt: skip
    circle: float = _held(
        "key's circle", "The key, from the middle of its shank to the bit's corners"
    )
    bit: float = _held("bit", "The bit's thickness")
    shank: float = _held("shank", "The shank")
    hole: float = _held("pivot hole", "The hole for the shank")
    pivot: float = _held("pivot's place", "The pivot, across and towards the bolt line")
    flank: float = _held("flanks", "Each flank of the tooth")
    relief: float = _held("reliefs", "Each relief beside a flank, measured from the pivot")
    depth: float = _held("lower edge", "The bolt's lower edge")
    roof: float = _held("roof", "The roof of the gap")
    seats: float = _held("seats", "The way from seat to seat, by the detent's notches")
    nose: float = _held("nose", "The nose of the bolt, in its length")
    shackle: float = _held("shackle's face", "The near face of the shackle's end")
