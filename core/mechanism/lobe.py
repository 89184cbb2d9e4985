"""The lobe beside a flank, where the bit comes in and goes out: its relief, where that ends, and its chamfer.

Distances are from the pivot as the bolt sees it from the seat at which the bit passes the lobe; heights are above the
pivot. The chamfer takes off the corner between relief and lower edge: a straight line from a mark on the lower edge,
so far outside that corner, until it just touches the relief and runs into it. So it is as steep as a chamfer there
can be, and needs nothing but a rule to mark.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Generic, overload

from core.mechanism.corner import half_chord
from core.mechanism.maths import Array, N, Number, maths
from core.mechanism.tooth_numbers import SLACK, ToothOf


@dataclass(frozen=True)
class Lobe(Generic[N]):
    """A lobe of a `tooth`, its `width` [mm] outside the flank and its `chamfer` [mm], 0 for none: of the tooth's shape.

    The tooth's other lobe is its mirror image.

    Source: plane geometry of the design's contour; the chamfer was worked out for this project.
    Valid: where there is a tooth.

    Example, the demo lock of the design: relief and lower edge meet at sqrt(20.2^2 - 14^2), 14.5616 out; 0.2787 more
    than the key's circle has there, `shut_out` in the design's section on the release:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> lobe = Lobe(cut, width=6.5)
    >>> lobe.meets, lobe.rests_off, lobe.shut_out, lobe.far, lobe.lower, lobe.relieved, lobe.cornered
    (14.5616, 0.2787, 0.2787, 17.5, 14.0, True, True)
    >>> lobe.mark == lobe.relief_end == (lobe.meets, lobe.lower), lobe.off(cut.release_angle) - cut.home_travel
    (True, 0.0)

    With a chamfer of 0.5 the mark is so much farther out; its line leaves the relief where a rule laid from the mark
    touches it, at the angle atan(x / y) - acos(Rc / d), d from the centre to the mark:
    >>> lobe = Lobe(cut, width=6.5, chamfer=0.5)
    >>> lobe.mark, math.degrees(lobe.slope), lobe.cut, lobe.greatest_chamfer
    ((15.0616, 14.0), 36.3051, 0.5, 0.9701)
    >>> lobe.shut_out, lobe.rests_off, lobe.relief_end
    (0.7787, 0.3378, (11.9601, 16.2787))
    """

    tooth: ToothOf[N]
    width: N | float
    chamfer: N | float = 0.0

    @cached_property
    def _maths(self) -> Any:
        return maths(self.tooth.radius)

    @cached_property
    def far(self) -> N:
        """Distance [mm] of the lobe's outer side, shape of the tooth."""
        return self.tooth.flank + self.width

    @cached_property
    def lower(self) -> N:
        """Height [mm] of the lower edge, shape of the tooth; below the whole relief it counts as level with that."""
        of = self._maths
        height: N = of.larger(self.tooth.lower_edge, -self.tooth.relief_radius)
        return height

    @cached_property
    def relieved(self) -> Any:
        """Whether [none] the relief comes down below the flank's foot at all, shape of the tooth."""
        return self.tooth.fits & (self.tooth.relief_foot > self.lower)

    @cached_property
    def meets(self) -> N:
        """Distance [mm] at which relief and lower edge meet, shape of the tooth; below the pivot its widest."""
        of, rc = self._maths, self.tooth.relief_radius
        out: N = of.where(self.lower > 0, half_chord(rc, self.lower), rc)
        return out

    @cached_property
    def cornered(self) -> Any:
        """Whether [none] relief and lower edge meet in a corner that can be chamfered, shape of the tooth."""
        return self.relieved & (self.lower > 0) & (self.far > self.meets + SLACK)

    @cached_property
    def greatest_chamfer(self) -> N:
        """The largest chamfer [mm] that leaves the flank its foot and the lobe its side, shape of the tooth.

        0 where there is no corner. At the foot the relief runs down by `a / y_f`, a the flank's distance; a line so
        steep from the foot comes out `(y_f - y_low) y_f / a` farther along the lower edge.
        """
        of, cut = self._maths, self.tooth
        out = cut.flank + (cut.flank_foot - self.lower) * cut.flank_foot / of.larger(
            cut.flank, SLACK
        )
        room = of.clip(out, -math.inf, self.far) - self.meets
        most: N = of.where(self.cornered, of.larger(room, 0.0), 0.0)
        return most

    @cached_property
    def cut(self) -> N:
        """The chamfer [mm] as it can be cut, shape of the tooth."""
        as_cut: N = self._maths.clip(self.chamfer, 0.0, self.greatest_chamfer)
        return as_cut

    @cached_property
    def mark(self) -> tuple[N, N]:
        """Distance and height [mm], each shape of the tooth, of the place on the lower edge where a chamfer begins."""
        return self.meets + self.cut, self.lower

    @cached_property
    def slope(self) -> N:
        """Angle [rad] by which the chamfer leans from the level, shape of the tooth; without one the relief's there.

        A tangent from a point d from the centre touches a circle at an angle of acos(Rc / d) before it.
        """
        of = self._maths
        ends, marks = self._without_chamfer, self.mark
        x, y = (of.where(self.cornered, mark, end) for mark, end in zip(marks, ends, strict=True))
        away = of.larger(of.sqrt(x**2 + y**2), SLACK)
        leans: N = of.atan2(x, y) - of.acos(self.tooth.relief_radius / away)
        return leans

    @cached_property
    def relief_end(self) -> tuple[N, N]:
        """Distance and height [mm], each shape of the tooth, where the relief's arc ends.

        In the chamfer, in the lower edge or in the lobe's side; without a relief it is the flank's foot.
        """
        of, rc = self._maths, self.tooth.relief_radius
        x, y = self._without_chamfer
        touches = (rc * of.sin(self.slope), rc * of.cos(self.slope))
        chamfered = self.cut > 0
        return of.where(chamfered, touches[0], x), of.where(chamfered, touches[1], y)

    @cached_property
    def _without_chamfer(self) -> tuple[N, N]:
        of, cut = self._maths, self.tooth
        at_side = self.far <= self.meets
        x = of.where(at_side, self.far, self.meets)
        y = of.where(at_side, half_chord(cut.relief_radius, self.far), of.larger(self.lower, 0.0))
        relieved = self.relieved
        return of.where(relieved, x, cut.flank), of.where(relieved, y, cut.flank_foot)

    @overload
    def off(self, angles: float) -> N: ...
    @overload
    def off(self, angles: Array) -> Array: ...
    def off(self, angles: Number) -> Number:
        """Return how far off its seat [mm] metal alone leaves the bolt, shape of tooth and `angles` [rad] together.

        From the release on, before it as at the release: the bit's corner runs down the relief, and the chamfer.

        Source: the corner at `phi = t + beta` on the relief's circle: `sqrt(Rc^2 - R^2 cos^2 phi) - R sin phi`, as low
        as the relief comes; on a chamfer of slope g `(Rc - R cos(phi - g)) / sin g`, until phi = g.
        Valid: where the key drives; else it is the throw.
        """
        of: Any = maths(self.tooth.radius, angles)
        cut: Any = self.tooth
        r, rc = cut.radius, cut.relief_radius
        phi = of.larger(angles, cut.release_angle) + cut.half_angle
        end = of.acos(self.relief_end[1] / r)
        on_arc = of.where(phi < end, phi, end)
        arc = of.sqrt(rc**2 - (r * of.cos(on_arc)) ** 2) - r * of.sin(on_arc)
        slope, last = self.slope, of.acos(of.larger(self.lower, 0.0) / r)
        last = of.larger(of.where(slope < last, slope, last), end)
        on_line = of.where(phi < last, phi, last)
        line = (rc - r * of.cos(on_line - slope)) / of.larger(of.sin(slope), SLACK)
        pushed = of.where((self.cut > 0) & (phi > end) & (line < arc), line, arc)
        found: Number = of.where(cut.drives & self.relieved, pushed, cut.home_travel)
        return found

    @cached_property
    def rests_off(self) -> N:
        """How far off its seat [mm] a bolt is left that nothing draws, shape of the tooth: the corner has left it."""
        return self.off(math.pi)

    @cached_property
    def shut_out(self) -> N:
        """How far off its seat [mm], towards the other, a bolt may rest and still let the bit in; shape of the tooth.

        NaN where the key drives nothing. Coming up, the bit's corner must pass the place on the lower edge where relief
        or chamfer begins; a bolt farther off stops it flat on the lobe. Without a chamfer it is what `rests_off` is:
        the way in is the way out.
        """
        of, cut = self._maths, self.tooth
        x, y = self.mark
        open_below = self.cornered | (self.relieved & (self.lower <= 0))
        passes = of.where(open_below, x - half_chord(cut.radius, y), self.rests_off)
        found: N = of.where(cut.drives, passes, math.nan)
        return found
