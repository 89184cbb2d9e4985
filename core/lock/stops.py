"""The table `[stops]`: what is meant to stop the bolt past each of its seats, and after how far."""

from dataclasses import dataclass
from typing import ClassVar

from core.lock.fields import SOURCE_NONE, choice, position

LOCKED = ("as found", "guide face", "pin", "shackle", "none")
"""What may stop the bolt past its locked seat."""
UNLOCKED = ("as found", "guide face", "pin", "none")
"""What may stop it past its unlocked seat, where it has left the shackle."""
PLANNED = ("guide face", "pin", "shackle")
"""The stops that are asked for at a distance."""


@dataclass(frozen=True)
class Stops:
    """What stops the bolt past each seat. The over-travel is the gap between the bolt at its seat and the stop."""

    step: ClassVar = "detent"
    """The step of the layout that its values belong to."""

    locked: str = choice(
        "as found", LOCKED, "stop, locked",
        "What stops the bolt past its locked seat. as found: whatever it meets first. guide face: the front guide, at "
        "the bolt's body. pin: a post that stands in its way. shackle: the bottom of its notch, or its end. none: "
        "nothing is meant to.",
        f"as found; guide face where it is planned ({SOURCE_NONE}).",
    )  # fmt: skip
    locked_over: float = position(
        0.5, "overrun, locked",
        "How far the bolt can run past its locked seat before its stop; below 0 the stop stands before the seat.",
        "Bolt in its notch: feeler gauge or drill shank between it and the stop.", f"0.2 to 0.5 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    unlocked: str = choice(
        "as found", UNLOCKED, "stop, unlocked",
        "What stops the bolt past its unlocked seat. as found: whatever it meets first. guide face: the rear guide, "
        "at the bolt's body. pin: a post that stands in its way. none: nothing is meant to.",
        f"as found; guide face where it is planned ({SOURCE_NONE}).",
    )  # fmt: skip
    unlocked_over: float = position(
        0.5, "overrun, unlocked",
        "How far the bolt can run past its unlocked seat before its stop; below 0 the stop stands before the seat.",
        "Bolt in its notch: feeler gauge or drill shank between it and the stop.", f"0.2 to 0.5 mm ({SOURCE_NONE}).",
    )  # fmt: skip
