"""Where the key touches the bolt, which way it pushes there, and what that is called.

Angles in radians, in the drive frame: positive the way this lock unlocks.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.mechanism.law import Stroke, phases, travel
from core.mechanism.maths import Array
from core.mechanism.statics import Contact
from core.mechanism.tooth_numbers import Tooth

PHASES = ("coming up", "driving", "let go", "drawn home")
"""The phases of a stroke in plain words, in their order."""
PLACES = ("", "leading face on the foot of the flank", "leading corner on the flank")
"""What of the bit touches the driven flank; nothing where the key drives nothing."""
LETTING_GO = np.radians(1.0)
"""Turn [rad] after the release that is called letting go; the law has the bolt home at once."""


@dataclass(frozen=True)
class Touch:
    """The contact at each of n angles: indices into `PHASES` and `PLACES`, and the place, shape (n, 2).

    The place is in the drive frame [mm], NaN where nothing is driven.
    """

    phase: NDArray[np.intp]
    place: NDArray[np.intp]
    at: Array


def touch(tooth: Tooth, angles: Array, stroke: Stroke = "unlocking") -> Touch:
    """Return phase and contact at `angles` [rad], shape (n,)."""
    along = angles if stroke == "unlocking" else -angles
    now = phases(tooth, along)
    late = now.let_go & (along >= tooth.release_angle + LETTING_GO)
    phase = np.select([now.coming_up, late, now.let_go], [0, 3, 2], 1)
    place = np.select([now.on_foot, now.on_flank], [1, 2], 0)
    pushed = contact(tooth, along)
    side = 1 if stroke == "unlocking" else -1
    at = np.stack([side * pushed.x, pushed.y], axis=-1)
    at[place == 0] = np.nan
    return Touch(phase, place, at)


def contact(tooth: Tooth, angles: Array) -> Contact:
    """Return the contact of the unlocking stroke at `angles` [rad], shape (n,); mirror it for locking.

    On the foot the bit's face pushes square to itself. The foot is `y_f / cos t + (b/2) tan t` out along the
    face: it slips inwards until `sin t = -(b/2) / y_f` and outwards from there to top dead centre, where face and
    flank lie on each other. On the flank the corner pushes square to it and slips down it. Friction drags the
    bolt the way that the bit's metal slips. Only angles in the drive mean anything.
    """
    foot = phases(tooth, angles).on_foot
    cos, sin = np.cos(angles), np.sin(angles)
    phi = angles + tooth.half_angle
    foot_x = tooth.pickup_offset + travel(tooth, angles)
    outwards = np.sign(tooth.flank_foot * sin + tooth.half_bit)
    one, none = np.ones(len(angles)), np.zeros(len(angles))
    return Contact(
        x=np.where(foot, foot_x, tooth.radius * np.sin(phi)),
        y=np.where(foot, tooth.flank_foot, tooth.radius * np.cos(phi)),
        nx=np.where(foot, cos, one),
        ny=np.where(foot, -sin, none),
        tx=np.where(foot, -outwards * sin, none),
        ty=np.where(foot, -outwards * cos, -one),
    )
