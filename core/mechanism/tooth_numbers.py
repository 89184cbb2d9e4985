"""The tooth: the gap in the bolt's lower edge in which the bit works, and what it gives.

Glossary, all in the drive frame with the bolt at the locked seat: the *unlocking flank* is the upright edge that
the bit pushes to +x, the *locking flank* the one that it pushes back; the *foot* is the flanks' lower end;
the *relief* is the arc, one clearance outside the key's circle, by which the bit comes in at either seat;
*home travel* is what the detent must draw after the key lets go.
"""

import math
from dataclasses import dataclass
from enum import IntEnum
from typing import Any, Generic, cast, overload

import numpy as np
from numpy.typing import NDArray

from core.mechanism.bit_shape import BitShape
from core.mechanism.corner import half_angle, half_chord, lets_go_at
from core.mechanism.maths import NO_SIZE, Array, N, Number, Truths, alike, maths
from core.mechanism.rounded_corner import Corner

SLACK = 1e-9
"""Length [mm] by which a limit may be passed: rounding, not metal."""

Reasons = NDArray[np.int_]


class Reason(IntEnum):
    """Whether there is a tooth that the key drives, and why not: a code, in arrays an integer.

    Source: the design's section on the tooth gap.
    Valid: as `tooth_from` gives them; where several hold, the largest counts.

    Example, by what they say:
    >>> [reason.name for reason in Reason if reason > Reason.DRIVES_NOTHING]
    ['FLANK_OUTSIDE', 'FLANKS_CROSS', 'NO_NUMBER']
    """

    FITS = 0
    """There is a tooth, and the key drives the bolt by it."""
    DRIVES_NOTHING = 1
    """There is a tooth, but the corner is past the flank before the bit would meet it."""
    FLANK_OUTSIDE = 2
    """The locking flank would stand outside the relief circle: there is no tooth."""
    FLANKS_CROSS = 3
    """So early a pick-up would leave no gap between the flanks: there is no tooth."""
    NO_NUMBER = 4
    """Something given is no number, or a circle of no size, or a pick-up of a quarter turn or more."""


@dataclass(frozen=True, eq=False)
class ToothOf(Generic[N]):
    """The numbers of a tooth, each a number, or an array of one shape for many: see `Tooth` and `Teeth`.

    Given are `radius`, `clearance`, `throw`, `bolt_line` [mm], half the bit's thickness `half_bit` [mm] and the
    `pickup_angle` [rad] before top dead centre, any shape. From them follow, of that shape,
    - `half_angle` [rad] of the bit, and the height of the bolt's `lower_edge` [mm];
    - `pickup_offset` [mm], the unlocking flank's x;
    - `relief_foot` [mm], the height at which the relief would end a flank, 0 where it never does, and
      `flank_foot` [mm], the height at which the flanks do end;
    - `release_angle` [rad], at which the corner leaves the foot, and `driven_travel` [mm] until then, 0 where the
      key drives nothing;
    - `reason` [none], a code; from it `fits` [none], whether there is a tooth, and `drives` [none], whether the bit
      meets its flank at all.

    Source: `tooth_from`, and below; the driven travel is half the chord at the foot less the pick-up offset.
    Valid: as `tooth_from`.

    Example, the design's check values, fourth row, an early pick-up (gap 9.256, delta 0.5377):
    >>> cut = tooth_from(radius=22.0, bit=3.0, clearance=0.3, throw=16.0, pickup_angle=math.radians(15),
    ...                  bolt_line=26.0, depth=12.0)
    >>> cut.gap_width, cut.home_travel, cut.bridge
    (9.256, 0.5377, 3.7)
    >>> cut.flank == cut.throw + cut.pickup_offset, cut.relief_radius, cut.fits, cut.drives
    (True, 22.3, True, True)
    >>> cut.rounded, cut.corner.within
    (0.0, 22.0)
    """

    radius: N
    half_bit: N
    clearance: N
    throw: N
    pickup_angle: N
    bolt_line: N
    lower_edge: N
    pickup_offset: N
    relief_foot: N
    flank_foot: N
    half_angle: N
    release_angle: N
    driven_travel: N
    reason: Any
    fits: Any
    drives: Any

    @property
    def rounded(self) -> float:
        """Radius [mm] of the bit's corners: 0, a plan has them sharp."""
        return 0.0

    @property
    def corner(self) -> Corner:
        """The bit's leading corner on the flank [none], each of its numbers of the shape of the tooth."""
        return Corner(self.radius, self.rounded, self.half_angle, self.half_bit, self.flank_foot)

    @property
    def relief_radius(self) -> N:
        """Key radius and clearance [mm], shape of the tooth."""
        return self.radius + self.clearance

    @property
    def flank(self) -> N:
        """Distance [mm] of the locking flank from the pivot at the locked seat, to -x; shape of the tooth."""
        return self.throw + self.pickup_offset

    @property
    def gap_width(self) -> N:
        """Gap [mm] from flank to flank, shape of the tooth."""
        return self.throw + 2 * self.pickup_offset

    @property
    def bridge(self) -> N:
        """Metal [mm] left above the roof, shape of the tooth."""
        return maths(self.radius).kept(self.fits, self.bolt_line - self.relief_radius)

    @property
    def home_travel(self) -> N:
        """What is left [mm] of the throw when the key lets go, shape of the tooth."""
        return self.throw - self.driven_travel


@dataclass(frozen=True)
class Tooth(ToothOf[float]):
    """One tooth. Its numbers also stand where there is no tooth: they tell by how much.

    With its `reason` [none], a `Reason`, and what follows from that: `fits` and `drives`.

    Source: as `tooth_from`.
    Valid: as `tooth_from`.

    Example, flanks outside the relief circle, T + w0 >= R + c, the design's section on the tooth gap:
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=18.8, pickup_angle=0.0, bolt_line=24.0, depth=20.0)
    >>> cut.reason.name, cut.fits, cut.flank, cut.driven_travel, cut.home_travel
    ('FLANK_OUTSIDE', False, 20.3, 0.0, 18.8)
    >>> cut.bit_shape.lead
    1.5
    """

    reason: Reason
    fits: bool
    drives: bool

    @property
    def bit_shape(self) -> BitShape:
        """The bit [mm] that goes with the tooth."""
        return BitShape.even(self.radius, self.half_bit)


@dataclass(frozen=True, eq=False)
class Teeth(ToothOf[Array]):
    """Many teeth as arrays of one shape; what follows from a tooth is NaN where there is none.

    Where the key drives nothing there is a tooth, with a driven travel of 0 and a release that means nothing; an entry
    that is no number is NaN throughout. `reason` [none] holds codes of `Reason`; `fits` [none] and `drives` [none] are
    truths of the same shape.

    Source: as `tooth_from`.
    Valid: as `tooth_from`.

    Example, the bolt of the design's check values, third row, cut ever shallower:
    >>> cut = tooth_from(radius=18.0, bit=2.5, clearance=0.25, throw=7.5, pickup_angle=0.0, bolt_line=21.5,
    ...                  depth=np.array([5.0, 3.4, np.nan]))
    >>> cut.driven_travel.tolist(), [Reason(code).name for code in cut.reason]
    ([5.9437, 0.0, nan], ['FITS', 'DRIVES_NOTHING', 'NO_NUMBER'])
    """

    reason: Reasons
    fits: Truths
    drives: Truths


@overload
def tooth_from(  # type: ignore[overload-overlap]  # a number counts as a float, before it counts as either
    *,
    radius: float,
    bit: float,
    clearance: float,
    throw: float,
    pickup_angle: float,
    bolt_line: float,
    depth: float,
) -> Tooth: ...
@overload
def tooth_from(
    *,
    radius: Number,
    bit: Number,
    clearance: Number,
    throw: Number,
    pickup_angle: Number,
    bolt_line: Number,
    depth: Number,
) -> Teeth: ...
def tooth_from(
    *,
    radius: Number,
    bit: Number,
    clearance: Number,
    throw: Number,
    pickup_angle: Number,
    bolt_line: Number,
    depth: Number,
) -> Tooth | Teeth:
    """Return the tooth of a key and a bolt: of numbers a `Tooth`, with an array among them `Teeth`.

    The key's `radius` [mm] and the thickness of its `bit` [mm], the `clearance` [mm] about its circle, the `throw`
    [mm] from seat to seat, the `pickup_angle` [rad] before top dead centre, the height of the `bolt_line` [mm] above
    the pivot and the bolt's `depth` [mm] below that, of any shapes that broadcast.

    Source: the bit's leading face, turned back by the pick-up angle p, lies on the foot at height y when
    `w = y tan(-p) + (b/2) / cos p`. With the foot on the relief circle, at an angle f from the centreline as seen
    from the other seat, `T + w = Rc sin f` and `y = Rc cos f` turn that into
    `sin(f + p) = (T cos p + b/2) / Rc`: no iteration is needed.
    Valid: for circles of some size and 0 <= p < 90 degrees. Numbers that make no circle raise ZeroDivisionError;
    in arrays they give NaN, and the reason NO_NUMBER.

    Example, the design's check values, first row:
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=12.0, pickup_angle=0.0, bolt_line=24.0, depth=14.0)
    >>> cut.pickup_offset, cut.flank_foot, cut.driven_travel, cut.home_travel
    (1.5, 15.0263, 11.6989, 0.3011)
    >>> math.degrees(cut.release_angle)
    36.9943
    """
    given = (radius, bit, clearance, throw, pickup_angle, bolt_line, depth)
    if not any(isinstance(one, np.ndarray) for one in given):
        return Tooth(**_numbers(*cast("tuple[float, ...]", given)))
    turning, *others = alike(*given)
    relief, p = turning + others[1], others[3]
    some = (turning > 1 / NO_SIZE) & (relief > 1 / NO_SIZE) & (np.abs(p) < math.pi / 2)
    return Teeth(**_numbers(np.where(some, turning, np.nan), *others))


def _numbers(
    radius: N, bit: N, clearance: N, throw: N, p: N, bolt_line: N, depth: N
) -> dict[str, Any]:
    of = maths(radius)
    relief, half = radius + clearance, bit / 2
    lower = bolt_line - depth
    sine = (throw * of.cos(p) + half) / relief
    # past a quarter turn the face would have to run down the relief: there is no foot on it
    relief_foot = of.where(sine >= 1, 0.0, relief * of.cos(of.asin(sine) - p))
    foot = of.larger(relief_foot, lower)
    offset = half / of.cos(p) - foot * of.tan(p)
    gap = throw + 2 * offset
    release = lets_go_at(half, radius, foot)
    fits = (throw + offset < relief) & (gap > 0)
    drives = fits & (foot < radius) & (release > -p)
    driven = of.where(drives, of.larger(half_chord(radius, foot) - offset, 0.0), 0.0)
    code = of.where(
        gap > 0,
        of.where(fits, of.where(drives, Reason.FITS, Reason.DRIVES_NOTHING), Reason.FLANK_OUTSIDE),
        of.where(gap <= 0, Reason.FLANKS_CROSS, Reason.NO_NUMBER),
    )
    return {
        "radius": radius,
        "half_bit": half,
        "clearance": clearance,
        "throw": throw,
        "pickup_angle": p,
        "bolt_line": bolt_line,
        "lower_edge": lower,
        "pickup_offset": of.kept(fits, offset),
        "relief_foot": of.kept(fits, relief_foot),
        "flank_foot": of.kept(fits, foot),
        "half_angle": half_angle(half, radius),
        "release_angle": of.kept(fits, release),
        "driven_travel": of.kept(fits, driven),
        "reason": code,
        "fits": fits,
        "drives": drives,
    }
