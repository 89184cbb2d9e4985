"""What the key does when it is turned on past key-out, with the bolt on the seat to which it has just carried it.

Told of unlocking; locking is its mirror image. The bit comes up again on the side from which it came in; there
the bolt's own lobe has meanwhile come into its way. Coming up outside the lobe, the bit pushes on its outer side and
moves the bolt past its seat, until something stops that; or its corner comes up flat under the lobe or under the leg.
Angles in radians, clockwise from top dead centre in the drive frame.
"""

import math
from dataclasses import dataclass, replace
from typing import Literal

from core.mechanism.corner import half_chord, meets_at
from core.mechanism.tooth_numbers import Tooth

Ending = Literal["free", "lobe", "leg", "stop"]


@dataclass(frozen=True)
class InTheWay:
    """What stands in the bit's way as it comes up again, the bolt at its seat, seen so that the key unlocks.

    The lobe's outer side, `side` [mm] from the centreline, negative to the left, and the edge where its relief or
    chamfer begins, `inner` [mm]; how high its underside is, `underside` [mm], and that of the leg beside it,
    `leg` [mm]; how far the bolt can go on, `play` [mm], before something stops it; and how far the bit may lean,
    `steepest` [rad], to push it at all: farther over, friction binds the two.

    Source: plane geometry of the design's contour.
    Valid: as `second_turn`.

    Example, the demo lock unlocked, 0.5 mm from the wall:
    >>> InTheWay(side=-8.0, inner=-5.0616, underside=14.0, leg=18.0, play=0.5, steepest=0.8).play
    0.5
    """

    side: float
    inner: float
    underside: float
    leg: float
    play: float
    steepest: float


@dataclass(frozen=True)
class SecondTurn:
    """What comes of it: the bit `touches` [rad] the bolt, `pushes` [mm] it on, and `ends` [rad] there; infinite: never.

    `ending` [none] is what stops the key: the underside of the "lobe" or of the "leg", the "stop" that the bolt is
    pushed against; or it goes round "free".

    Source: as `second_turn`.
    Valid: as `second_turn`.

    Example, as there:
    >>> SecondTurn(touches=-0.66, pushes=0.5, ends=-0.63, ending="stop").ending
    'stop'
    """

    touches: float
    pushes: float
    ends: float
    ending: Ending


def second_turn(tooth: Tooth, ahead: InTheWay) -> SecondTurn:
    """Return what the key of a `tooth` does to the bolt `ahead` when it is turned on.

    Source: the lobe's outer side is a flank with its foot at the underside, so the law of motion holds for it: the
    face meets it, `x_f cos t - y_f sin t = b/2`, and pushes until the bolt has no more play; the corner comes up to a
    height y at `cos(t + beta) = y / R`, the top of one that is rounded by r where its middle is r lower.
    Valid: for a bolt that stays on its seat until the bit moves it.

    Example, the demo lock unlocked: the corner is 14 up at -sqrt(20^2 - 14^2) = -14.28, outside the lobe at -8; the
    face meets (-8, 14) where `acos(1.5 / 16.1245) - atan2(14, -8)`, and (-7.5, 14) a little later:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> ahead = InTheWay(side=-8.0, inner=-5.0616, underside=14.0, leg=18.0, play=0.5, steepest=math.radians(45))
    >>> found = second_turn(cut, ahead)
    >>> math.degrees(found.touches), found.pushes, math.degrees(found.ends), found.ending
    (-35.0826, 0.5, -33.5979, 'stop')
    """
    r, half = tooth.radius, tooth.half_bit
    if ahead.underside >= r:
        return SecondTurn(math.inf, 0.0, math.inf, "free")
    corner = -half_chord(r - tooth.rounded, ahead.underside - tooth.rounded)
    under = _comes_up(tooth, ahead.underside)
    if corner >= ahead.inner:
        return SecondTurn(math.inf, 0.0, math.inf, "free")
    if corner >= ahead.side:
        return SecondTurn(under, 0.0, under, "lobe")
    touches = max(meets_at(half, r, ahead.side, ahead.underside), under)
    if -touches > ahead.steepest:
        return SecondTurn(touches, 0.0, touches, "lobe")
    most = half_chord(r, ahead.underside) - ahead.side
    ends: tuple[float, Ending] = (math.inf, "free")
    if ahead.play < most:
        place = ahead.side + max(ahead.play, 0.0)
        ends = (max(meets_at(half, r, place, ahead.underside), touches), "stop")
    if ahead.leg < r:
        ends = min(ends, (_comes_up(tooth, ahead.leg), "leg"))
    if ends[1] == "free":
        return SecondTurn(touches, most, math.inf, "free")
    if ends[1] == "stop":
        return SecondTurn(touches, max(ahead.play, 0.0), *ends)
    # by the time that the corner is up under the leg, the bit has pushed so far
    pushed = _pushed(tooth, ends[0], ahead) if ends[0] > touches else 0.0
    return SecondTurn(min(touches, ends[0]), pushed, *ends)


def _comes_up(tooth: Tooth, height: float) -> float:
    """Return the angle [rad] at which the leading corner comes up to a height [mm] on the way in."""
    soft = tooth.rounded
    over = (height - soft) / (tooth.radius - soft)
    return -math.acos(min(max(over, -1.0), 1.0)) - tooth.half_angle


def _pushed(tooth: Tooth, angle: float, ahead: InTheWay) -> float:
    """Return how far [mm] the bit has pushed the lobe's outer side at an angle [rad]."""
    low = ahead.underside
    face = low * math.tan(angle) + tooth.half_bit / math.cos(angle)
    corner = replace(tooth.corner, foot=low).touches(angle).x
    return max((face if angle < 0 else corner) - ahead.side, 0.0)
