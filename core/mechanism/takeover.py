"""Where the detent takes the bolt over from the key, and how much flank is still under the corner there.

The law of motion lets the corner drive to the very foot of the flank. A filed edge is not that sharp: with the
foot rounded by r the corner is let go where it is r above the foot, and the detent must draw from there. So the
flank that is still under the corner when the detent begins to draw says how much rounding the drive bears.
"""

import math
from dataclasses import dataclass
from typing import Any, Generic, overload

from core.mechanism.corner import half_chord
from core.mechanism.maths import Array, N, Number, maths
from core.mechanism.tooth_numbers import Teeth, Tooth


@dataclass(frozen=True)
class Takeover(Generic[N]):
    """The unlocking stroke where the detent begins to draw, the locking stroke's mirror image.

    The key's `angle` [rad] and the `flank_left` [mm] under the corner, any shape; NaN where nothing is driven.

    Source: as `takeover`.
    Valid: as `takeover`.

    Example, as there:
    >>> Takeover(angle=0.408, flank_left=1.05).flank_left
    1.05
    """

    angle: N
    flank_left: N


@overload
def takeover(tooth: Tooth, capture: float) -> Takeover[float]: ...
@overload
def takeover(tooth: Tooth | Teeth, capture: Array) -> Takeover[Array]: ...
@overload
def takeover(tooth: Teeth, capture: Number) -> Takeover[Array]: ...
def takeover(tooth: Tooth | Teeth, capture: Number) -> Takeover[Any]:
    """Return where a detent takes over that draws the bolt the last `capture` [mm], any shape, of the throw.

    The shape of the result is that of `tooth` and capture together.

    Source: the corner at a travel s stands at x = w0 + s on the key's circle, so `sqrt(R^2 - x^2)` high.
    Valid: for a drive that ends on the flank. The corner drives from top dead centre to the release: a detent that
    draws from farther off changes nothing, and one that begins after the release finds no flank left.

    Example, a throw of 9.5 and a capture of 1.0 on the design's first row: x = 10, sqrt(20^2 - 10^2) high:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> left = takeover(cut, 1.0)
    >>> left.flank_left == math.sqrt(300) - cut.flank_foot, math.degrees(left.angle + cut.half_angle)
    (True, 30.0)
    """
    of: Any = maths(tooth.radius, capture)
    cut: Any = tooth
    # of a rounded corner what the middle of its arc does
    soft = cut.rounded
    within = cut.radius - soft
    least = within * of.sin(of.larger(cut.half_angle, 0.0)) + soft
    reach = cut.throw - capture + cut.pickup_offset
    x = of.clip(reach, least, cut.driven_travel + cut.pickup_offset) - soft
    left = of.larger(half_chord(within, x) - cut.flank_foot, 0.0)
    angle = of.clip(
        of.asin(x / within) - cut.half_angle, -cut.pickup_angle, of.before(cut.release_angle)
    )
    return Takeover(of.where(cut.drives, angle, math.nan), of.where(cut.drives, left, math.nan))
