"""The bit's corner on a flank, sharp or rounded: where it touches, how far it has pushed, which way.

A corner rounded by r is an arc that runs into face and tip: its middle goes round on a circle of R - r. On the upright
flank it touches r farther out; once its middle is below the foot it rolls over that, until the foot is on the tip.
Told of unlocking, as in `core.mechanism.law`: angles in radians, lengths in mm, of any shapes that broadcast.
"""

from dataclasses import dataclass
from typing import Any

from core.mechanism.maths import maths


@dataclass(frozen=True)
class OnArc:
    """Where the corner touches, `x` and `y` [mm], and the unit vector `nx`, `ny` [none] along which it pushes there.

    Source: as `Corner.touches`.
    Valid: as `Corner.touches`.

    Example, a push along the bolt 18 above the pivot:
    >>> OnArc(x=8.0, y=18.0, nx=1.0, ny=0.0)
    OnArc(x=8.0, y=18.0, nx=1.0, ny=0.0)
    """

    x: Any
    y: Any
    nx: Any
    ny: Any


@dataclass(frozen=True)
class Corner:
    """The leading corner of a bit on a flank: the key's `radius` [mm], to what radius it is `rounded` [mm].

    The middle of its arc, the corner itself where it is sharp, is at `half_angle` [rad] in the bit, whose face is
    `half_bit` [mm] from its axis. The flank's `foot` [mm] is so high.

    Source: plane geometry.
    Valid: where bit and flank touch.

    Example, the design's check values, first row, the corner at 20 degrees: R sin(t + beta), R cos(t + beta):
    >>> corner = Corner(radius=20.0, rounded=0.0, half_angle=0.07507, half_bit=1.5, foot=15.0263)
    >>> at = corner.touches(0.349066)
    >>> round(at.x, 3), round(at.y, 3), at.nx, at.ny, corner.within
    (8.231, 18.228, 1.0, 0.0, 20.0)
    """

    radius: Any
    rounded: Any
    half_angle: Any
    half_bit: Any
    foot: Any

    @property
    def within(self) -> Any:
        """Radius [mm] of the circle on which the middle of the arc goes round."""
        return self.radius - self.rounded

    def touches(self, angles: Any) -> OnArc:
        """Return where the corner touches the flank or its foot at `angles` [rad], any shape.

        Source: the middle of the arc is at `(R - r) sin(t + g)` and `(R - r) cos(t + g)`, g its angle in the bit; what
        is nearest to it is the flank, level with it, or the foot.
        Valid: from where the arc touches flank or foot until it leaves the foot; for a sharp corner on the flank.

        Example, a bit of 20 x 3 rounded by 0.5 when its foot is on the tip: there the circle of radius 20 has the foot,
        and the push points away from the pivot:
        >>> corner = Corner(radius=20.0, rounded=0.5, half_angle=0.0513, half_bit=1.5, foot=16.0)
        >>> at = corner.touches(0.5922)
        >>> corner.within, round(at.x, 3), round(at.y, 3), round(at.nx, 3), round(at.ny, 3)
        (19.5, 12.0, 16.0, 0.6, 0.8)
        """
        of, soft = maths(self.radius, angles), self.rounded
        phi = angles + self.half_angle
        x, y = self.within * of.sin(phi), self.within * of.cos(phi)
        if soft == 0:
            return OnArc(x, y, 1.0, 0.0)
        below = of.clip(self.foot - y, 0.0 * soft, soft)
        out = of.sqrt(soft**2 - below**2)
        return OnArc(x + out, y + below, out / soft, below / soft)

    def before(self, angles: Any) -> Any:
        """Say whether [none] the foot is on the arc, not on the face, at `angles` [rad], any shape, up to the top.

        Source: the foot is `y_f / cos t + (b/2) tan t` out along the face, which ends where the arc begins.
        Valid: while bit and foot touch.

        Example, a foot 0.5 below the key's circle, on a bit that is rounded by 1:
        >>> Corner(radius=20.0, rounded=1.0, half_angle=0.0263, half_bit=1.5, foot=19.5).before(-0.01)
        True
        """
        of = maths(self.radius, angles)
        along = self.foot / of.cos(angles) + self.half_bit * of.tan(angles)
        return (along > self.within * of.cos(self.half_angle)) & (self.rounded > 0)

    def rolls(self) -> Any:
        """Return the angle [rad] from which on the corner rolls over the foot; a sharp one leaves it there.

        Source: `(R - r) cos(t + g) = y_f`, the middle of the arc as high as the foot.
        Valid: as `touches`.

        Example, the design's check values, first row, whose release is at 36.9943 degrees:
        >>> corner = Corner(radius=20.0, rounded=0.0, half_angle=0.07507, half_bit=1.5, foot=15.0263)
        >>> round(corner.rolls() * 57.29578, 3)
        36.994
        """
        return maths(self.radius, self.foot).acos(self.foot / self.within) - self.half_angle
