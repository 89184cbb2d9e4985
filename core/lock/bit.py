"""The table `[bit]`: what a file left off the lines of the key's bit, beyond all that a plan says.

A plan has none of it. It is measured on a key that is made, stands in `[made.key.measured]`, and is that key's alone.
"""

from dataclasses import dataclass
from typing import ClassVar

from core.lock.fields import length, position


@dataclass(frozen=True)
class Bit:
    """What was left off the lines of the bit of a key that is made; a plan has nothing of it."""

    metal_alone: ClassVar[bool] = True
    """A plan has no say in it: no step asks for it, and it stands for no other part's size."""

    off_centre: float = position(
        0.0, "bit off centre",
        "How far the bit stands out of the middle of the shank, towards the flank that it pushes to unlock.",
        "Calliper from each face of the bit to the far side of the shank: half of what the two differ by; less than 0 "
        "where the face that pushes to lock stands farther out.",
    )  # fmt: skip
    corners: float = length(
        0.0, "corner rounding",
        "The radius to which the corners of the bit are rounded, where its faces run into its tip; at half its "
        "thickness it is round all over.",
        "Radius gauge on each corner of the bit, between face and tip: the leaf that lets no light through; of two "
        "that differ, the larger.",
        zero=True,
    )  # fmt: skip
