"""The table `[detent]`: what draws the bolt to its two seats and holds it there."""

from dataclasses import dataclass

from core.lock.fields import SOURCE_NONE, angle, choice, force, length

KINDS = ("as felt", "notches", "none", "stop and spring")
"""A detent by its reach alone; two notches under the spring's tip; friction alone; a spring along the bolt."""
REACHES = ("worked out", "as measured")
"""Whether the reach of notches follows from their shape, or was measured on the lock."""


@dataclass(frozen=True)
class Detent:
    """The detent. Both notches are alike, one throw apart, under the spring's tip at either seat."""

    kind: str = choice(
        "as felt", KINDS, "detent",
        "as felt: its reach alone is typed, and trusted. notches: two in the bolt's top edge, under the spring's tip. "
        "none: friction alone holds the bolt. stop and spring: a spring along the bolt drives it to its locked seat.",
        f"as felt, until spring and notches are settled ({SOURCE_NONE}).",
    )  # fmt: skip
    ramp: float = angle(
        60.0, "ramp", "How steep the sides of a notch are, from the bolt line.", 90.0,
        "Protractor on a side; a square file cuts 45 degrees, a three-square file 60.",
        f"60, as a three-square file cuts it ({SOURCE_NONE}).",
    )  # fmt: skip
    half_width: float = length(
        0.8, "half width", "Half the width of a notch at the bolt's top edge.",
        "Calliper over the notch, half of that.",
        f"0.6 to 1.5 mm ({SOURCE_NONE}).",
    )  # fmt: skip
    depth: float = length(
        1.3, "notch depth", "Depth of a notch below the bolt line; sides that meet before end it sooner.",
        "Depth rod of the calliper.", f"Where the sides meet, or a little less ({SOURCE_NONE}).",
    )  # fmt: skip
    reach: str = choice(
        "worked out", REACHES, "its reach",
        "worked out: how far the notches draw the bolt home follows from their shape, the spring and the friction. as "
        "measured: the reach that is typed holds in its place.",
        "worked out, until the lock is there to be measured.",
    )  # fmt: skip
    push: float = force(
        2.0, "push, locked", "What a spring along the bolt drives it with at its locked seat.",
        "Spring balance along the bolt as it begins to move; 100 g on the balance is 0.98 N.",
        f"2 to 5 N ({SOURCE_NONE}).",
    )  # fmt: skip
    push_open: float = force(
        4.0, "push, unlocked", "What that spring drives the bolt with at its unlocked seat.",
        "Spring balance along the bolt, drawn back as far as it goes.", f"About twice as much ({SOURCE_NONE}).",
    )  # fmt: skip
