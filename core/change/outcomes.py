"""What a lock comes to, in numbers that can be held against those of another lock.

Each outcome has a name for scripts, a label for people, a kind (mm, mm2 or degrees) and the way in which it
gets better: +1 the more the better, -1 the less the better, 0 neither.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from core.layout.layout import Layout, derived
from core.parts.bolt_line import room_above
from core.parts.guides import nose_left_in_guide, rear_guide, tail_room
from core.parts.pivot import lean
from core.parts.plate import spot_in_drive, wall_distance
from core.parts.shackle import least_drop
from core.parts.tooth import lobe, tooth
from core.turning.turn import turn_check
from core.units import show_angle

Kind = Literal["length", "angle", "area"]


@dataclass(frozen=True)
class Outcome:
    """One number that follows from a lock; `of` may give None where the lock has no such thing.

    `known_to` is how exactly it is worked out [mm, mm2 or degrees]: less is no change.
    """

    name: str
    label: str
    better: Literal[-1, 0, 1]
    of: Callable[[Layout], float | None]
    kind: Kind = "length"
    known_to: float = 1e-9

    def shown(self, layout: Layout, value: float | None) -> str:
        """Return `value` [mm, mm2 or degrees] for reading, lengths in the units of the layout's lock."""
        if value is None:
            return "none"
        match self.kind:
            case "angle":
                return show_angle(value)
            case "area":
                return f"{value:.2f} mm2"
            case _:
                return layout.show(value)


def _spring_spare(layout: Layout) -> float | None:
    above, lock = room_above(layout), layout.lock
    return None if above is None else above - lock.bolt_line.height - lock.bolt_line.spring_room


def _overlap(layout: Layout) -> float:
    worst = turn_check(layout).worst
    return 0.0 if worst is None else worst.overlap


QUICK = (
    Outcome("throw", "throw, seat to seat", 0, lambda at: tooth(at).throw),
    Outcome("driven_travel", "driven by the key", 1, lambda at: tooth(at).driven_travel),
    Outcome("home_travel", "drawn home by the detent", -1, lambda at: tooth(at).home_travel),
    Outcome(
        "release_angle", "the key lets go at", 0, lambda at: math.degrees(tooth(at).release_angle), "angle"
    ),
    Outcome(
        "shut_out", "off its seat, the bit still comes in", 1,
        lambda at: lobe(at).shut_out if tooth(at).drives else None,
    ),
    Outcome("gap_width", "gap, flank to flank", 0, lambda at: tooth(at).gap_width),
    Outcome("flank_foot", "flanks' foot above the pivot", 0, lambda at: tooth(at).flank_foot),
    Outcome("bridge", "bridge above the gap", 1, lambda at: tooth(at).bridge),
    Outcome(
        "key_to_wall", "key's circle with clearance to the wall", 1,
        lambda at: float(wall_distance(at)) - tooth(at).relief_radius,
    ),
    Outcome("spring_spare", "room above the bolt beyond the spring's", 1, _spring_spare),
    Outcome("nose_in_guide", "nose left in the front guide, unlocked", 1, nose_left_in_guide),
    Outcome(
        "tail_spare", "tail to the inner wall, unlocked", 1,
        lambda at: tail_room(at) - rear_guide(at).near,
    ),
    Outcome(
        "lip_spare", "shackle's lip beyond the least", 1,
        lambda at: at.lock.shackle.drop - least_drop(at),
    ),
    Outcome(
        "line_below_mark", "bolt line below the datum mark", 0,
        lambda at: spot_in_drive(at, "", (0.0, at.lock.bolt_line.height)).below,
    ),
    Outcome("lean", "lean of the centreline", 0, lean, "angle"),
)  # fmt: skip
"""Outcomes that take well under a millisecond each."""

OUTCOMES = (
    *QUICK,
    Outcome(
        "least_gap",
        "least gap while the key turns",
        1,
        lambda at: turn_check(at).least_gap,
        known_to=1e-3,
    ),
    Outcome("overlap", "worst overlap while the key turns", -1, _overlap, "area", 1e-3),
)
"""All outcomes, in the order in which they are shown."""


@derived
def quick_values(layout: Layout) -> Mapping[str, float | None]:
    """Return the quick outcomes of a layout by name."""
    return {outcome.name: outcome.of(layout) for outcome in QUICK}


@derived
def values(layout: Layout) -> Mapping[str, float | None]:
    """Return all outcomes of a layout by name."""
    return {outcome.name: outcome.of(layout) for outcome in OUTCOMES}
