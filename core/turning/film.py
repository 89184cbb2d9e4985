"""The key's turn in time: out of locked, held, and back again, for a picture that moves.

Angles in radians as in `core.turning.follow`. The key turns slowly while the bolt moves and faster elsewhere; where
something stops it, the film stops with it and that stroke goes no farther.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.layout.layout import Layout, derived
from core.mechanism.law import STROKES, Stroke, side
from core.mechanism.maths import Array
from core.turning.follow import charts
from core.turning.troubles import Trouble, troubles

FAST, SLOW = math.radians(120.0), math.radians(30.0)
"""Turn of the key in a second [rad/s]: elsewhere, and where the bolt moves."""
HELD = 1.0
"""How long the key is held at either end of a stroke, and where it is stopped [s]."""
_BEFORE = math.radians(8.0)


@dataclass(frozen=True)
class Act:
    """One stroke in time, shape (n,) each: `seconds` [s] from the film's start, and what is seen then.

    `angle` [rad] and `travel` [mm] are straight lines between their times; `phase` is an index into
    `core.mechanism.contact.PHASES`. `stopped` is what ends the stroke early.
    """

    stroke: Stroke
    seconds: Array
    angle: Array
    travel: Array
    phase: NDArray[np.intp]
    stopped: Trouble | None

    @property
    def end(self) -> float:
        """When the act is over [s], its last pause included."""
        return float(self.seconds[-1]) + HELD


@derived
def film(layout: Layout) -> tuple[Act, ...]:
    """Return both strokes one after the other, with the friction that the lock is kept in."""
    acts, start = [], 0.0
    found = troubles(layout, layout.lock.friction.condition)
    for stroke in STROKES:
        met = next((t for t in found if t.stroke == stroke and (t.kind == "foul" or t.sure)), None)
        acts.append(_act(layout, stroke, start, met))
        start = acts[-1].end
    return tuple(acts)


def _act(layout: Layout, stroke: Stroke, start: float, met: Trouble | None) -> Act:
    seen, way = charts(layout)[stroke].seen, side(stroke)
    # rising angle is time for the unlocking stroke, and time backwards for the other
    angle, travel, phase = seen.angles[::way], seen.travel[::way], seen.phase[::way]
    if met is not None:
        goes = way * angle < way * met.angle
        reached = np.interp(way * met.angle, way * angle, travel)
        angle, travel = np.append(angle[goes], met.angle), np.append(travel[goes], reached)
        phase = np.append(phase[goes], phase[goes][-1:])
    return Act(stroke, start + HELD + _time(angle, travel), angle, travel, phase, met)


def _time(angle: Array, travel: Array) -> Array:
    """Return when each angle is reached [s] from the first, shape (n,)."""
    moves = np.abs(np.diff(travel)) > 1e-9
    turned = np.abs(np.diff(angle))
    if moves.any():
        first, last = np.flatnonzero(moves)[[0, -1]]
        gone = np.concatenate([[0.0], np.cumsum(turned)])
        about = (gone[1:] >= gone[first] - _BEFORE) & (gone[:-1] <= gone[last + 1] + _BEFORE)
    else:
        about = moves
    return np.concatenate([[0.0], np.cumsum(turned / np.where(about, SLOW, FAST))])
