"""The law of motion: bolt travel against key angle, for both strokes, of numbers and of arrays.

Angles in radians, clockwise from top dead centre in the drive frame; travel in mm from the locked seat. Unlocking
the key turns clockwise. The locking stroke is its mirror image about the middle of the throw.

Angles and teeth of any shapes broadcast, so that many locks turn at once: angles of shape (n, 1) against teeth
of shape (m,) give (n, m). Where there is no tooth an array holds NaN; a single lock's bolt stays where it is.
"""

from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar, overload

import numpy as np

from core.mechanism.maths import Array, Number, Truths, distinct, maths
from core.mechanism.tooth_numbers import Teeth, Tooth

Stroke = Literal["unlocking", "locking"]
STROKES: tuple[Stroke, ...] = ("unlocking", "locking")
T = TypeVar("T", bool, Truths)


@dataclass(frozen=True)
class Phases(Generic[T]):
    """Which phase of the unlocking stroke each angle is in: at each, one of the four truths holds.

    `coming_up` [none] to the flank; `on_foot` [none], the bit's face on the flank's foot; `on_flank` [none], its corner
    on the flank; `let_go` [none]: all of the shape of the angles.

    Source: the design's law of motion.
    Valid: as `phases`.

    Example, by that law, at the middle of a stroke:
    >>> Phases(coming_up=False, on_foot=False, on_flank=True, let_go=False).on_flank
    True
    """

    coming_up: T
    on_foot: T
    on_flank: T
    let_go: T


def side(stroke: Stroke) -> Literal[1, -1]:
    """Return which way [none] the key turns and the bolt slides in a `stroke`: 1 for unlocking, -1 for locking.

    Source: the frames of the design.
    Valid: in the drive frame, where every lock unlocks clockwise and to +x.

    Example, from there:
    >>> side("locking")
    -1
    """
    return 1 if stroke == "unlocking" else -1


@overload
def travel(tooth: Tooth, angles: float, stroke: Stroke = "unlocking") -> float: ...
@overload
def travel(tooth: Tooth | Teeth, angles: Array, stroke: Stroke = "unlocking") -> Array: ...
@overload
def travel(tooth: Teeth, angles: Number, stroke: Stroke = "unlocking") -> Array: ...
def travel(tooth: Tooth | Teeth, angles: Number, stroke: Stroke = "unlocking") -> Number:
    """Return the bolt's travel [mm] from the locked seat, shape of `tooth` and `angles` [rad] together.

    Of the `stroke` named.

    Source: on the foot (before top dead centre) `y_f tan(t) + (b/2) / cos(t) - w0`, the face through the foot; on the
    flank `R sin(t + beta) - w0`, the sine mechanism of the kinematics texts; seated from the release on. Of a corner
    rounded by r the middle goes round, at R - r, and pushes r farther, until it is below the foot and rolls over that.
    Valid: for any angle. After the release the detent is taken to have drawn the bolt home.

    Example, the first row of the design's check values: R sin(t + beta) - w0 at 20 degrees, and home:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> travel(cut, np.radians([-10.0, 0.0, 20.0, 40.0])).tolist()
    [0.0, 0.0, 6.7307, 12.0]
    """
    if stroke == "locking":
        return tooth.throw - travel(tooth, -angles)
    of: Any = maths(tooth.radius, angles)
    at: Phases[Any] = phases(tooth, angles)
    # no other angles go into a formula than those on the foot and on the flank
    before = of.clip(angles, -tooth.pickup_angle, 0.0)
    after = of.clip(angles, 0.0, tooth.release_angle)
    foot: Any = (
        tooth.flank_foot * of.tan(before) + tooth.half_bit / of.cos(before) - tooth.pickup_offset
    )
    corner = tooth.corner
    flank = corner.touches(after).x - tooth.pickup_offset
    if tooth.rounded > 0:
        rolled = corner.touches(before).x - tooth.pickup_offset
        foot = of.where(corner.before(before), rolled, foot)
    home = of.where(at.let_go, tooth.throw, 0.0)
    driven: Any = of.where(at.on_foot, foot, of.where(at.on_flank, flank, home))
    # a number's maths keep what an array's make NaN, where no tooth is
    teeth: Any = maths(tooth.radius)
    kept: Number = teeth.kept(tooth.fits, driven)
    return kept


@overload
def phases(tooth: Tooth, angles: float) -> Phases[bool]: ...
@overload
def phases(tooth: Tooth | Teeth, angles: Array) -> Phases[Truths]: ...
@overload
def phases(tooth: Teeth, angles: Number) -> Phases[Truths]: ...
def phases(tooth: Tooth | Teeth, angles: Number) -> Phases[Any]:
    """Sort angles of the unlocking stroke into phases, shape of `tooth` and `angles` [rad] together.

    Mirror the angles for locking.

    Source: the design's law of motion.
    Valid: for any angle. A bit that never meets the flank leaves the bolt where it is: it is coming up all the way.

    Example, the design's check values, first row, whose release is at 36.9943 degrees:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> phases(cut, np.radians([-1.0, 36.99, 37.0])).let_go.tolist()
    [False, False, True]
    """
    of: Any = maths(tooth.radius)
    pickup = of.where(tooth.drives, -tooth.pickup_angle, np.inf)
    release = of.where(tooth.drives, tooth.release_angle, np.inf)
    driving = (angles >= pickup) & (angles < release)
    return Phases(
        angles < pickup, driving & (angles < 0), driving & (angles >= 0), angles >= release
    )


def driven_angles(tooth: Tooth, stroke: Stroke, step: float) -> Array:
    """Return the angles [rad] at which the key drives, shape (n,), rising, both ends included.

    For one `tooth` and `stroke`, in whole steps of the turn, at most `step` [rad], with the corners of the law
    between; none where the key drives nothing.

    Source: the law of motion's ends, `travel`.
    Valid: for a step above 0. The last angle is the last number before the release.

    Example, the design's check values, first row, in steps of 15 degrees up to the release at 36.9943:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> np.degrees(driven_angles(cut, "unlocking", np.radians(15.0))).tolist()
    [0.0, 15.0, 30.0, 36.9943]
    """
    if not tooth.drives:
        return np.zeros(0)
    start, end = -tooth.pickup_angle, np.nextafter(tooth.release_angle, -np.inf)
    whole = step * np.arange(np.ceil(start / step), np.floor(end / step) + 1)
    along = distinct(np.concatenate([[start, end], [x for x in (0.0,) if x < end], whole]))
    along = along[(along >= start) & (along <= end)]
    return np.asarray(along if stroke == "unlocking" else -along[::-1])
