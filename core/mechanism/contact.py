"""Where the key touches the bolt, which way it pushes there, and what that is called.

Angles in radians, in the drive frame: positive the way this lock unlocks. They broadcast against the tooth's
shape, as in `core.mechanism.law`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.mechanism.law import Stroke, phases, side, travel
from core.mechanism.maths import Array
from core.mechanism.statics import Contact
from core.mechanism.tooth_numbers import Teeth, Tooth

PHASES = ("coming up", "driving", "let go", "drawn home")
"""The phases of a stroke in plain words, in their order."""
PLACES = ("", "leading face on the foot of the flank", "leading corner on the flank")
"""What of the bit touches the driven flank; nothing where the key drives nothing."""
LETTING_GO = np.radians(1.0)
"""Turn [rad] after the release that is called letting go; the law has the bolt home at once."""


@dataclass(frozen=True)
class Touch:
    """The contact at each angle, shape (...) of all angles, with `at` of shape (..., 2).

    `phase` [none] and `place` [none], shape (...), are indices into `PHASES` and `PLACES`; `at` [mm], shape (..., 2),
    is the place in the drive frame, NaN where nothing is driven.

    Source: the design's law of motion.
    Valid: as `touch`.

    Example, as in `touch`:
    >>> PLACES[Touch(np.array([1]), np.array([2]), np.array([[8.2, 18.2]])).place[0]]
    'leading corner on the flank'
    """

    phase: NDArray[np.intp]
    place: NDArray[np.intp]
    at: Array


def touch(tooth: Tooth | Teeth, angles: Array, stroke: Stroke = "unlocking") -> Touch:
    """Return phase and contact, shape of `tooth` and `angles` [rad] together, in the `stroke` named.

    Source: the design's law of motion; the corner is on the key's circle.
    Valid: for any angle; where nothing is driven, and where there is no tooth, nothing touches.

    Example, the design's check values, first row, the corner at 20 degrees: R sin(t + beta), R cos(t + beta):
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> here = touch(cut, np.radians([20.0, 40.0]))
    >>> [PHASES[phase] for phase in here.phase], here.at.tolist()
    (['driving', 'drawn home'], [[8.2307, 18.2278], [nan, nan]])
    """
    along = side(stroke) * angles
    now = phases(tooth, along)
    late = now.let_go & (along >= tooth.release_angle + LETTING_GO)
    phase = np.select([now.coming_up, late, now.let_go], [0, 3, 2], 1)
    place = np.select([now.on_foot, now.on_flank], [1, 2], 0)
    pushed = contact(tooth, along)
    at = np.stack([side(stroke) * pushed.x, pushed.y], axis=-1)
    at[place == 0] = np.nan
    return Touch(phase, place, at)


def contact(tooth: Tooth | Teeth, angles: Array) -> Contact:
    """Return the contact of the unlocking stroke, shape of `tooth` and `angles` [rad] together; mirror it for locking.

    On the foot the bit's face pushes square to itself, on the flank the corner pushes square to that and slips
    down it. Friction drags the bolt the way that the bit's metal slips.

    Source: the foot is `y_f / cos t + (b/2) tan t` out along the face, so it slips inwards until
    `sin t = -(b/2) / y_f` and outwards from there to top dead centre, where face and flank lie on each other.
    Valid: for angles in the drive; no others mean anything.

    Example, at the pick-up of the design's check values, fourth row: the foot at w0 = -3.372, y_f = 18.38:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=22.0, bit=3.0, clearance=0.3, throw=16.0, pickup_angle=np.radians(15.0),
    ...                  bolt_line=26.0, depth=12.0)
    >>> at = contact(cut, np.array([-cut.pickup_angle]))
    >>> np.stack([at.x, at.y, at.nx, at.ny]).ravel().tolist()
    [-3.372, 18.380, 0.9659, 0.2588]
    """
    foot = phases(tooth, angles).on_foot
    cos, sin = np.cos(angles), np.sin(angles)
    phi = angles + tooth.half_angle
    foot_x = tooth.pickup_offset + travel(tooth, angles)
    outwards = np.sign(tooth.flank_foot * sin + tooth.half_bit)
    return Contact(
        x=np.where(foot, foot_x, tooth.radius * np.sin(phi)),
        y=np.where(foot, tooth.flank_foot, tooth.radius * np.cos(phi)),
        nx=np.where(foot, cos, 1.0),
        ny=np.where(foot, -sin, 0.0),
        tx=np.where(foot, -outwards * sin, 0.0),
        ty=np.where(foot, -outwards * cos, -1.0),
    )
