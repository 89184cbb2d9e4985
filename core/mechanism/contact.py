"""Where the key touches the bolt, which way it pushes there, and what that is called.

Angles in radians, in the drive frame: positive the way this lock unlocks.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.mechanism.after_release import Course
from core.mechanism.law import Array, Stroke, phases, travel
from core.mechanism.statics import Contact
from core.mechanism.tooth_numbers import Tooth

PHASES = (
    "coming up", "driving", "let go", "pushed on", "held back", "drawn home", "left short",
)  # fmt: skip
"""The phases of a stroke in plain words, in their order; few strokes have them all."""
COMING_UP, DRIVING, LET_GO, PUSHED_ON, HELD_BACK, DRAWN_HOME, LEFT_SHORT = range(len(PHASES))
PLACES = (
    "", "leading face on the foot of the flank", "leading corner on the flank",
    "leading corner on the relief", "trailing face on the foot of the other flank",
)  # fmt: skip
"""What of the bit touches the bolt and moves or holds it; nothing elsewhere."""
LETTING_GO = np.radians(1.0)
"""Turn [rad] after the release that is called letting go, where the bolt is home at once."""


@dataclass(frozen=True)
class Touch:
    """The contact at each of n angles: indices into `PHASES` and `PLACES`, and the place, shape (n, 2).

    The place is in the drive frame [mm], NaN where nothing touches.
    """

    phase: NDArray[np.intp]
    place: NDArray[np.intp]
    at: Array


def touch(course: Course, angles: Array, stroke: Stroke = "unlocking") -> Touch:
    """Return phase and contact at `angles` [rad], shape (n,)."""
    cut, side = course.tooth, 1 if stroke == "unlocking" else -1
    along = side * angles
    now, after = phases(cut, along), course.leaving(along)
    # where nothing holds or pushes the bolt after the release, that moment has a name of its own
    calm = not course.holds_back and (
        course.caught_angle <= cut.release_angle or not course.lobe.relieved
    )
    early = calm & (after.home | after.left_short) & (along < cut.release_angle + LETTING_GO)
    told = (
        (now.coming_up, COMING_UP), (after.pushed_on, PUSHED_ON), (after.held_back, HELD_BACK),
        (early, LET_GO), (after.home, DRAWN_HOME), (after.left_short, LEFT_SHORT),
    )  # fmt: skip
    phase = np.select([which for which, _ in told], [word for _, word in told], DRIVING)
    where = (now.on_foot, now.on_flank, after.pushed_on, after.held_back)
    place = np.select(where, range(1, 5), 0)
    pushed, phi = contact(cut, along), along + cut.half_angle
    corner = np.stack([cut.radius * np.sin(phi), cut.radius * np.cos(phi)], axis=-1)
    # the other flank's foot, which has come along with the bolt
    foot = np.stack(
        [course.travel(along) - cut.flank, np.full(len(along), cut.flank_foot)], axis=-1
    )
    at = np.stack([pushed.x, pushed.y], axis=-1)
    at = np.where(after.pushed_on[:, None], corner, np.where(after.held_back[:, None], foot, at))
    at[:, 0] *= side
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
