"""What a key does to a bolt as both are made: every size its own, each way by itself, numbers or arrays.

A tooth's numbers all follow from one radius and one clearance. At the bench the two flanks are filed one by one,
the pivot is drilled a little off, and everything has play. Lengths in the drive frame of the plan: x along
the bolt line and y square to it, from where the pivot should be; the bolt at the locked seat.
"""

import math
from dataclasses import dataclass, fields
from typing import Any, Generic

import numpy as np

from core.mechanism.corner import carries, half_chord, lets_go_at, meets_at
from core.mechanism.law import Stroke, side
from core.mechanism.maths import NO_SIZE, N, alike, maths
from core.mechanism.tooth_numbers import Reason, ToothOf


@dataclass(frozen=True)
class ActualParts(Generic[N]):
    """Key, bolt and pivot as they are made.

    Numbers, or arrays among them, of any shapes that broadcast:
    - the key's `radius` [mm] and the thickness of its `bit` [mm]; the `throw` [mm] from seat to seat;
    - the x of the flanks, `unlocking_flank` [mm] and `locking_flank` [mm], which is below 0, and the heights of
      their lower ends, `unlocking_foot` [mm] and `locking_foot` [mm];
    - how far the pivot lies off its place: `pivot_along` [mm] the bolt line, to +x, and `pivot_up` [mm] towards it;
    - how far the shank gives way in its hole, `shank_play` [mm], half of what the hole is wider; how far the bolt
      stands above its line, as its guides let it, `bolt_lift` [mm], below 0 under it.

    Source: the design's section on tolerances names them.
    Valid: for upright flanks; as `carried`.

    Example, the demo lock of the design's check values with a pivot 0.1 mm too high:
    >>> parts = ActualParts(radius=20.0, bit=3.0, throw=9.5, unlocking_flank=1.5, unlocking_foot=16.9423,
    ...                     locking_flank=-11.0, locking_foot=16.9423, pivot_up=0.1)
    >>> carried(parts, "unlocking").driven_travel
    9.286
    """

    radius: N | float
    bit: N | float
    throw: N | float
    unlocking_flank: N | float
    unlocking_foot: N | float
    locking_flank: N | float
    locking_foot: N | float
    pivot_along: N | float = 0.0
    pivot_up: N | float = 0.0
    shank_play: N | float = 0.0
    bolt_lift: N | float = 0.0


@dataclass(frozen=True)
class Carried(Generic[N]):
    """What one stroke comes to.

    Numbers, or arrays of one shape. The bit meets the flank at `pickup_angle` [rad] before top dead centre, below 0
    after it, and lets it go at `release_angle` [rad]; the key carries the bolt by `driven_travel` [mm] and leaves it
    `home_travel` [mm] short of the other seat, below 0 where it would carry it past that. `reason` [none] is a code.

    Source: as `carried`.
    Valid: as `carried`.

    Example, as there:
    >>> Carried(0.0, 0.49, 9.128, 0.372, Reason.FITS).reason.name
    'FITS'
    """

    pickup_angle: N
    release_angle: N
    driven_travel: N
    home_travel: N
    reason: Any


def as_planned(tooth: ToothOf[N]) -> ActualParts[N]:
    """Return the parts [mm], any shape, just as a `tooth` is planned: the middle of their tolerances.

    Source: the design's section on the tooth gap.
    Valid: where there is a tooth.

    Example, the design's check values, first row:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> [carried(as_planned(cut), stroke).driven_travel for stroke in ("unlocking", "locking")]
    [11.6989, 11.6989]
    """
    return ActualParts(
        radius=tooth.radius,
        bit=2 * tooth.half_bit,
        throw=tooth.throw,
        unlocking_flank=tooth.pickup_offset,
        unlocking_foot=tooth.flank_foot,
        locking_flank=-tooth.flank,
        locking_foot=tooth.flank_foot,
    )


def carried(parts: ActualParts[N], stroke: Stroke) -> Carried[N]:
    """Return how far the key carries the bolt in a `stroke`, by `parts` [mm], any shape, as they are made.

    Numbers give numbers; with an array among them all are arrays of the shape to which they broadcast. NaN where the
    flanks cross or something is no number; where the bit misses the flank the driven travel is 0.

    Source: the corner leaves the foot where both are h above the pivot, at half the chord of the key's circle:
    `T_k = sqrt(R^2 - h^2) - w`, h the foot's height above the pivot and w the flank's distance from it where the push
    has shifted the shank to; segments of circles in any handbook. For locking all is mirrored about the unlocked seat.
    Valid: for upright flanks and a release past top dead centre, so that the push is along the bolt line; without
    friction; while the gap lets the bit turn and the relief lets it in, which only a turn check tells. A foot below
    the pivot counts as level with it: from there on the corner carries no farther. A number of 0 for the radius
    raises ZeroDivisionError.

    Example, the design's values for the demo lock and keys of 19.9, 19.8 and 19.7 mm, made for 20:
    >>> from dataclasses import replace
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> carried(replace(as_planned(cut), radius=np.array([19.9, 19.8, 19.7])), "locking").driven_travel.tolist()
    [8.9389, 8.7470, 8.5524]
    """
    given = [getattr(parts, field.name) for field in fields(parts)]
    if any(isinstance(one, np.ndarray) for one in given):
        radius, *others = alike(*given)
        given = [np.where(radius > 1 / NO_SIZE, radius, np.nan), *others]
    return _carried(side(stroke), *given)


def _carried(
    way: int, radius: N, bit: N, throw: N, flank: N, foot: N, back: N, back_foot: N, along: N, up: N, play: N, lift: N
) -> Carried[N]:  # fmt: skip
    of, gap = maths(radius), flank - back
    if way < 0:
        flank, foot = -(back + throw), back_foot
    # the push drives the shank back against its hole: that much farther is the flank from the pivot
    away, height = flank - way * along + play, of.larger(foot - up + lift, 0.0)
    reach, half = half_chord(radius, height), bit / 2
    driven = carries(radius, away, height)
    code: Any = of.where(driven > 0, Reason.FITS, Reason.DRIVES_NOTHING)
    code = of.where(gap > 0, code, Reason.FLANKS_CROSS)
    code = of.where((reach >= 0) & (abs(gap) >= 0), code, Reason.NO_NUMBER)

    def known(value: N) -> N:
        return of.where(code <= Reason.DRIVES_NOTHING, value, math.nan)

    return Carried(
        pickup_angle=known(-meets_at(half, radius, away, height)),
        release_angle=known(lets_go_at(half, radius, height)),
        driven_travel=known(driven),
        home_travel=known(throw - driven),
        reason=code,
    )
