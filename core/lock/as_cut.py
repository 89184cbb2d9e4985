"""The table `[as_cut]`: what a file or a saw left off the lines of the bolt, beyond all that a plan says.

A plan has none of it: every value is 0. It is measured on a bolt that is made, stands in `[made.bolt.measured]`, and
is that bolt's alone.
"""

from dataclasses import dataclass
from typing import Any, ClassVar

from core.lock.fields import length, position


def _flank(side: str, stroke: str) -> Any:
    return position(
        0.0, f"{side} flank off its line",
        f"How much too far the flank that the key pushes to {stroke} was filed: more is a wider gap.",
        "Calliper from the scribed line of the flank to its face; less than 0 where the line still stands in metal.",
    )  # fmt: skip


def _foot(side: str) -> Any:
    return length(
        0.0, f"{side} foot rounded",
        f"How much higher than its foot the {side} flank ceases to be straight, because the foot is rounded.",
        "Square against the flank: calliper from the foot up to where light shows between the two.", zero=True,
    )  # fmt: skip


def _relief(side: str) -> Any:
    return position(
        0.0, f"{side} relief off its line",
        f"How much too deep the relief beside the {side} flank was filed.",
        "Calliper from the scribed arc of the relief to its edge, half way along; less than 0 above the line.",
    )  # fmt: skip


@dataclass(frozen=True)
class AsCut:
    """What was left off the lines of a bolt that is made; a plan has nothing of it."""

    metal_alone: ClassVar[bool] = True
    """A plan has no say in it: no step asks for it, and it stands for no other part's size."""

    unlocking_flank: float = _flank("unlocking", "unlock")
    locking_flank: float = _flank("locking", "lock")
    unlocking_foot: float = _foot("unlocking")
    locking_foot: float = _foot("locking")
    roof: float = position(
        0.0, "roof above its line",
        "How much too high the roof of the gap was filed: more is a thinner bridge.",
        "Calliper from the roof to the bolt's top edge: the bridge as planned, less what is there.",
    )  # fmt: skip
    unlocking_relief: float = _relief("unlocking")
    locking_relief: float = _relief("locking")
    nose: float = position(
        0.0, "nose too long",
        "How much longer than planned the nose is.",
        "Calliper from the locking flank to the tip of the nose, less the same as planned.",
    )  # fmt: skip
    tail: float = position(
        0.0, "tail too long",
        "How much longer than planned the tail is.",
        "Calliper from the unlocking flank to the end of the tail, less the same as planned.",
    )  # fmt: skip
