"""The key angles at which the drive is looked at: in steps, and where the spring's tip begins and ends on its ramp.

Out of a notch the tip may be on the ramp for a tenth of a degree only, and steps would miss where the bolt takes most.
"""

from functools import lru_cache

import numpy as np

from core.geometry.halving import edge_of
from core.layout.layout import Layout
from core.mechanism.law import Stroke, driven_angles, side, travel
from core.mechanism.maths import Array, distinct
from core.mechanism.tooth_numbers import Tooth
from core.parts.notches import detent
from core.parts.tooth import tooth_seen

_BESIDE = 1e-7
"""How far [mm] inside either end of the ramp it is looked at: on the end itself the tip may be on either side."""


def driven_in(layout: Layout, stroke: Stroke, step: float) -> Array:
    """Return the angles [rad] at which the key drives in a stroke, shape (n,), rising, at most `step` [rad] apart."""
    cut = tooth_seen(layout, stroke)
    steps = driven_angles(cut, stroke, step)
    if not len(steps):
        return steps
    along = side(stroke) * steps
    begin, end = float(along.min()), float(along.max())
    found = [angle_at(cut, off, begin, end) for off in _ramp_ends(layout)]
    corners = side(stroke) * np.array([angle for angle in found if begin < angle < end])
    return distinct(np.concatenate([steps, corners]))


@lru_cache(maxsize=64)
def angle_at(cut: Tooth, moved: float, begin: float, end: float) -> float:
    """Return the angle [rad] between two at which the bolt has moved so far [mm], by halving; the last if it has not.

    Told of unlocking, and kept: most locks lock as they unlock.
    """
    return edge_of(lambda angle: travel(cut, angle) >= moved, end, begin)


def _ramp_ends(layout: Layout) -> tuple[float, ...]:
    """Return how far off its seat [mm] the bolt is where the tip comes on the ramp, and where it leaves that."""
    held = detent(layout)
    if held is None:
        return ()
    on, off = float(held.notch.play), float(held.notch.slope_end)
    return (on + _BESIDE, off - _BESIDE) if off > on + 2 * _BESIDE else (on + _BESIDE,)
