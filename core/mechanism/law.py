"""The law of motion: bolt travel against key angle, for both strokes, as arrays.

Angles in radians, clockwise from top dead centre in the drive frame; travel in mm from the locked seat. Unlocking
the key turns clockwise. The locking stroke is its mirror image about the middle of the throw.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.mechanism.tooth_numbers import Tooth

Stroke = Literal["unlocking", "locking"]
STROKES: tuple[Stroke, ...] = ("unlocking", "locking")
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Phases:
    """Which phase each angle is in, as arrays of truth of the angles' shape."""

    coming_up: NDArray[np.bool_]
    on_foot: NDArray[np.bool_]
    on_flank: NDArray[np.bool_]
    let_go: NDArray[np.bool_]


def travel(tooth: Tooth, angles: Array, stroke: Stroke = "unlocking") -> Array:
    """Return the bolt's travel [mm], shape of `angles` [rad].

    On the foot (before top dead centre) `y_f tan(t) + (b/2) / cos(t) - w0`; on the flank
    `R sin(t + beta) - w0`, the sine mechanism of the kinematics texts; seated from the release on.
    """
    if stroke == "locking":
        return np.asarray(tooth.throw - travel(tooth, -angles))
    at = phases(tooth, angles)
    done = np.zeros(np.shape(angles))
    foot = angles[at.on_foot]
    done[at.on_foot] = (
        tooth.flank_foot * np.tan(foot) + tooth.half_bit / np.cos(foot) - tooth.pickup_offset
    )
    done[at.on_flank] = (
        tooth.radius * np.sin(angles[at.on_flank] + tooth.half_angle) - tooth.pickup_offset
    )
    done[at.let_go] = tooth.throw
    return done


def slope(tooth: Tooth, angles: Array, stroke: Stroke = "unlocking") -> Array:
    """Return d travel / d angle [mm / rad], shape of `angles` [rad]; 0 while nothing is driven."""
    if stroke == "locking":
        return slope(tooth, -angles)
    at = phases(tooth, angles)
    done = np.zeros(np.shape(angles))
    foot = angles[at.on_foot]
    done[at.on_foot] = (tooth.flank_foot + tooth.half_bit * np.sin(foot)) / np.cos(foot) ** 2
    done[at.on_flank] = tooth.radius * np.cos(angles[at.on_flank] + tooth.half_angle)
    return done


def phases(tooth: Tooth, angles: Array) -> Phases:
    """Sort `angles` [rad] of the unlocking stroke into phases; mirror them for locking.

    A bit that never meets the flank leaves the bolt where it is: it is coming up all the way.
    """
    release = tooth.release_angle if tooth.drives else np.inf
    pickup = -tooth.pickup_angle if tooth.drives else np.inf
    driving = (angles >= pickup) & (angles < release)
    return Phases(
        angles < pickup, driving & (angles < 0), driving & (angles >= 0), angles >= release
    )
