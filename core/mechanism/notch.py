"""A V notch in an upper edge, and the round tip of a spring that rides over it: how deep it goes, how steep it lies.

The tip's lowest point rides *off* the notch's middle by so much, either way. From outside in, the tip lies on the
edge beside the notch, rolls over the corner where the ramp begins, lies on the ramp, and may come to a flat floor.
Lengths in mm, angles in rad from the level; numbers, or arrays that broadcast.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any, Generic

from core.mechanism.maths import N, maths

_NONE = 1e-12
"""Size [mm] that keeps a quotient finite where there is no length to divide by."""


@dataclass(frozen=True)
class Notch(Generic[N]):
    """A notch under a round tip, all of any one shape.

    It is `half_width` [mm] wide at the edge to either side, any shape, its ramps at `ramp` [rad] from the level, any
    shape, filed to a `depth` [mm], any shape; `tip` [mm], any shape, is the tip's radius.

    Source: a circle on a corner, on a slope and on a level; plane geometry. The V alone as in the design's section on
    the detent.
    Valid: for a tip that stands upright and touches with its round alone.

    Example, the design's V: 1 deep at 45 degrees, so 1 wide to either side; a tip of radius 1 drops h - r (1/cos - 1):
    >>> v = Notch(half_width=1.0, ramp=0.7853981634, depth=1.0, tip=1.0)
    >>> v.seat_drop, v.foot, v.floor, v.play, v.steepest
    (0.5858, 1.0, 0.0, 0.0, 0.7854)
    >>> [round(v.drop(off), 4) for off in (0.0, 0.2, 0.5, 1.0, 3.0)]
    [0.5858, 0.3858, 0.134, 0.0, 0.0]
    >>> [round(v.slope(off), 4) for off in (0.0, 0.2, 0.5, 1.0)]
    [0.7854, 0.7854, 0.5236, 0.0]

    The same filed only 0.5 deep, flat below that: the tip lies free over 0.0858 to either side:
    >>> flat = Notch(half_width=1.0, ramp=0.7853981634, depth=0.5, tip=1.0)
    >>> flat.seat_drop, flat.floor, flat.play, flat.slope(0.05), flat.slope_end
    (0.5, 0.5, 0.0858, 0.0, 0.2929)
    """

    half_width: N
    ramp: N
    depth: N
    tip: N

    @cached_property
    def _maths(self) -> Any:
        return maths(self.half_width, self.ramp, self.depth, self.tip)

    @cached_property
    def foot(self) -> N:
        """How deep [mm] the notch is, its shape: where the ramps meet before the depth asked for, no deeper."""
        of = self._maths
        meet = self.half_width * of.tan(self.ramp)
        deep: N = of.where(self.depth < meet, self.depth, meet)
        return deep

    @cached_property
    def floor(self) -> N:
        """Half the width [mm] of its flat floor, its shape; nothing where the ramps meet."""
        of = self._maths
        meet = self.half_width * of.tan(self.ramp)
        left = self.half_width * (1 - self.depth / of.larger(meet, _NONE * self.half_width))
        half: N = of.larger(of.where(self.depth < meet, left, 0 * left), 0 * left)
        return half

    @cached_property
    def slope_end(self) -> N:
        """How far off the middle [mm] the tip leaves the ramp for the corner, its shape; 0 for a tip too wide."""
        of = self._maths
        left = self.half_width - self.tip * of.sin(self.ramp)
        end: N = of.larger(left, 0 * left)
        return end

    @cached_property
    def steepest(self) -> N:
        """The steepest [rad] that the tip lies in it, its shape: the ramp, or less for a tip too wide to reach it."""
        of = self._maths
        share = self.half_width / self.tip
        lies: N = of.where(share < of.sin(self.ramp), of.asin(share), self.ramp)
        return lies

    @cached_property
    def play(self) -> N:
        """How far either way [mm] the tip lies free on the floor, its shape; 0 where ramps or corners hold it."""
        of = self._maths
        r, u, foot = self.tip, self.half_width, self.foot
        rounding = r * (1 - of.cos(self.ramp))
        slope = of.larger(of.tan(self.ramp), _NONE)
        on_ramp = u - r * of.sin(self.ramp) - (foot - rounding) / slope
        on_corner = u - of.sqrt(foot * (2 * r - foot))
        free = of.where(foot < rounding, on_corner, on_ramp)
        floored = self._fall(0 * u) > foot * (1 + _NONE)
        lies: N = of.where(floored, of.larger(free, 0 * free), 0 * free)
        return lies

    @cached_property
    def seat_drop(self) -> N:
        """How deep [mm] the tip stands in the notch at its middle, below where it rides beside it; its shape."""
        return self.drop(0 * self.half_width)

    def drop(self, off: N) -> N:
        """Return how far [mm] below the edge the tip's lowest point is, `off` [mm] the middle; shape of both."""
        of: Any = maths(self.half_width, self.ramp, self.depth, self.tip, off)
        fall, foot = self._fall(off), self.foot
        deep: N = of.where(fall < foot, fall, foot)
        return deep

    def slope(self, off: N) -> N:
        """Return how steep [rad] the tip lies `off` [mm] the middle, either way; shape of both.

        In the very middle it is the slope that the tip has to climb to leave.
        """
        of: Any = maths(self.half_width, self.ramp, self.depth, self.tip, off)
        out, r = abs(off), self.tip
        inside = of.larger(self.half_width - out, 0 * out)
        share = inside / r
        steep = of.where(share < of.sin(self.ramp), of.asin(share), self.ramp)
        floored = (out < self.play) | (self.foot <= 0 * self.foot)
        lies: N = of.where(floored, 0 * steep, steep)
        return lies

    def _fall(self, off: N) -> N:
        """Return how far [mm] the tip would come down `off` [mm] the middle if the notch had no floor."""
        of: Any = maths(self.half_width, self.ramp, self.depth, self.tip, off)
        r, out = self.tip, abs(off)
        inside = of.larger(self.half_width - out, 0 * out)
        on_corner = inside < r * of.sin(self.ramp)
        corner = r - of.sqrt(r**2 - inside**2)
        ramp = (inside - r * of.sin(self.ramp)) * of.tan(self.ramp) + r * (1 - of.cos(self.ramp))
        fall: N = of.where(on_corner, corner, ramp)
        return fall
