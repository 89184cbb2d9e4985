"""The table `[as_cut]`: what a file or a saw left off the lines of the bolt, beyond all that a plan says.

A plan has none of it: every value is 0. It is measured on a bolt that is made, stands in `[made.bolt.measured]`, and
is that bolt's alone.
"""

from dataclasses import dataclass
from typing import Any, ClassVar

from core.lock.fields import length, position


def _flank(side: str, stroke: str, leg: str) -> Any:
    return position(
        0.0, f"{side} flank off its line",
        f"How much too far the flank that the key pushes to {stroke} was filed: more is a wider gap.",
        f"Calliper from the line scribed for the {side} flank, on the side of the {leg}, to the face that was filed; "
        "less than 0 where the line still stands in metal.",
    )  # fmt: skip


def _foot(side: str, leg: str) -> Any:
    return length(
        0.0, f"{side} foot rounded",
        f"How much higher than its foot the {side} flank ceases to be straight, because the foot is rounded.",
        f"Square against the {side} flank, on the side of the {leg}: calliper from its foot up to where no light shows "
        "between the two.",
        zero=True,
    )  # fmt: skip


def _relief(side: str, leg: str) -> Any:
    return position(
        0.0, f"{side} relief off its line",
        f"How much too deep the relief beside the {side} flank was filed.",
        f"Calliper from the arc scribed below the {side} flank, on the side of the {leg}, square to the edge that was "
        "filed, half way along; less than 0 above the line.",
    )  # fmt: skip


def _lobe(side: str, leg: str) -> Any:
    return position(
        0.0, f"{side} lobe too wide",
        f"How much wider than the other sizes say the lobe beside the {side} flank is, at its outer side.",
        f"Calliper from the {side} flank to the outer side of the body, below the {leg}, less the same as planned; add "
        "what the flank stands off its line.",
    )  # fmt: skip


@dataclass(frozen=True)
class AsCut:
    """What was left off the lines of a bolt that is made; a plan has nothing of it."""

    metal_alone: ClassVar[bool] = True
    """A plan has no say in it: no step asks for it, and it stands for no other part's size."""

    unlocking_flank: float = _flank("unlocking", "unlock", "tail")
    locking_flank: float = _flank("locking", "lock", "nose")
    unlocking_foot: float = _foot("unlocking", "tail")
    locking_foot: float = _foot("locking", "nose")
    roof: float = position(
        0.0, "roof too high",
        "How much too high the roof of the gap was filed: more is a thinner bridge.",
        "Calliper from the roof of the gap to the bolt's top edge: the bridge as planned, less what is there.",
    )  # fmt: skip
    unlocking_relief: float = _relief("unlocking", "tail")
    locking_relief: float = _relief("locking", "nose")
    unlocking_lobe: float = _lobe("unlocking", "tail")
    locking_lobe: float = _lobe("locking", "nose")
    nose: float = position(
        0.0, "nose too long",
        "How much longer than planned the nose is.",
        "Calliper from the locking flank to the tip of the nose, less the same as planned; add what the "
        "flank stands off its line.",
    )  # fmt: skip
    tail: float = position(
        0.0, "tail too long",
        "How much longer than planned the tail is.",
        "Calliper from the unlocking flank to the end of the tail, less the same as planned; add what the "
        "flank stands off its line.",
    )  # fmt: skip
