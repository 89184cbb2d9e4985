"""Where the key touches the bolt, which way it pushes there, and what that is called.

Angles in radians, in the drive frame: positive the way this lock unlocks. They broadcast against the tooth's
shape, as in `core.mechanism.law`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.mechanism.after_release import Course
from core.mechanism.law import Stroke, phases, side, travel
from core.mechanism.maths import Array
from core.mechanism.statics import Contact
from core.mechanism.tooth_numbers import Teeth, Tooth

PHASES = (
    "coming up", "driving", "let go", "pushed on", "held back", "drawn home", "left short", "snapping home",
)  # fmt: skip
"""The phases of a stroke in plain words, in their order; few strokes have them all."""
COMING_UP, DRIVING, LET_GO, PUSHED_ON, HELD_BACK, DRAWN_HOME, LEFT_SHORT, SNAPPING = range(
    len(PHASES)
)
PLACES = (
    "", "leading face on the foot of the flank", "leading corner on the flank",
    "leading corner on the relief", "trailing face on the foot of the other flank",
)  # fmt: skip
"""What of the bit touches the bolt and moves or holds it; nothing elsewhere."""
LETTING_GO = np.radians(1.0)
"""Turn [rad] after the release, or the snap, that bears its name, where the bolt is home at once."""


@dataclass(frozen=True)
class Touch:
    """The contact at each angle, shape (...) of all angles, with `at` of shape (..., 2).

    `phase` [none] and `place` [none], shape (...), are indices into `PHASES` and `PLACES`; `at` [mm], shape (..., 2),
    is the place in the drive frame, NaN where nothing touches.

    Source: the design's law of motion, and its section on the release.
    Valid: as `touch`.

    Example, as in `touch`:
    >>> PLACES[Touch(np.array([1]), np.array([2]), np.array([[8.2, 18.2]])).place[0]]
    'leading corner on the flank'
    """

    phase: NDArray[np.intp]
    place: NDArray[np.intp]
    at: Array


def touch(course: Course, angles: Array, stroke: Stroke = "unlocking") -> Touch:
    """Return phase and contact on a `course`, shape of its tooth and `angles` [rad] together, in the `stroke` named.

    Source: the design's law of motion and its section on the release; the corner is on the key's circle.
    Valid: for any angle; where nothing is driven, and where there is no tooth, nothing touches.

    Example, the design's check values, first row, the corner at 20 degrees: R sin(t + beta), R cos(t + beta):
    >>> from core.mechanism.lobe import Lobe
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> here = touch(Course(cut, Lobe(cut, 6.5), capture=1.0), np.radians([20.0, 40.0]))
    >>> [PHASES[phase] for phase in here.phase], here.at.tolist()
    (['driving', 'drawn home'], [[8.2307, 18.2278], [nan, nan]])
    """
    course = course.seen(stroke)
    cut, way = course.tooth, side(stroke)
    along = way * angles
    now, after = phases(cut, along), course.leaving(along)
    # where nothing holds or pushes the bolt after the release, that moment has a name of its own
    pushed = course.lobe.relieved & (course.caught_angle > cut.release_angle)
    calm = np.logical_not(course.holds_back) & np.logical_not(pushed)
    first = np.minimum(course.caught_angle, cut.release_angle)
    early = calm & (after.home | after.left_short) & (along < first + LETTING_GO)
    ahead = course.runs_ahead(along)
    told = (
        (now.coming_up, COMING_UP), (after.pushed_on, PUSHED_ON), (after.held_back, HELD_BACK),
        (early & ahead, SNAPPING), (early, LET_GO), (after.home, DRAWN_HOME), (after.left_short, LEFT_SHORT),
    )  # fmt: skip
    phase = np.select([which for which, _ in told], [word for _, word in told], DRIVING)
    where = (now.on_foot & ~ahead, now.on_flank & ~ahead, after.pushed_on, after.held_back)
    place = np.select(where, range(1, 5), 0)
    driven, corner = contact(cut, along), _let_go(course, along)
    # the corner on the key's circle, or the other flank's foot, which has come along with the bolt
    x = np.where(after.pushed_on, corner[0], driven.x)
    y = np.where(after.pushed_on, corner[1], driven.y)
    x = np.where(after.held_back, course.travel(along) - cut.flank, x)
    y = np.where(after.held_back, cut.flank_foot, y)
    at = np.stack([way * x, y], axis=-1)
    at[place == 0] = np.nan
    return Touch(phase, place, at)


def _let_go(course: Course, along: Array) -> tuple[Array, Array]:
    """Return where the corner touches [mm], x and y, that has left the flank; a rounded one is first on the foot."""
    cut = course.tooth
    phi = along + cut.half_angle
    within = cut.radius - cut.rounded
    x, y = within * np.sin(phi), within * np.cos(phi)
    foot = cut.pickup_offset + course.travel(along)
    to_foot = np.clip(np.arctan2(foot - x, cut.flank_foot - y), phi, along + np.pi / 2)
    return x + cut.rounded * np.sin(to_foot), y + cut.rounded * np.cos(to_foot)


def contact(tooth: Tooth | Teeth, angles: Array) -> Contact:
    """Return the contact of the unlocking stroke, shape of `tooth` and `angles` [rad] together; mirror it for locking.

    On the foot the bit's face pushes square to itself, on the flank the corner pushes square to that and slips
    down it; rolling over the foot a rounded one pushes from the middle of its arc. Friction drags the bolt the way that
    the bit's metal slips.

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
    if tooth.rounded > 0:
        foot = foot & ~tooth.corner.before(angles)
    cos, sin = np.cos(angles), np.sin(angles)
    foot_x = tooth.pickup_offset + travel(tooth, angles)
    outwards = np.sign(tooth.flank_foot * sin + tooth.half_bit)
    corner = tooth.corner.touches(angles)
    slips = np.where(corner.x < 0, -1.0, 1.0)
    return Contact(
        x=np.where(foot, foot_x, corner.x),
        y=np.where(foot, tooth.flank_foot, corner.y),
        nx=np.where(foot, cos, corner.nx),
        ny=np.where(foot, -sin, corner.ny),
        tx=np.where(foot, -outwards * sin, slips * corner.ny),
        ty=np.where(foot, -outwards * cos, -slips * corner.nx),
    )
