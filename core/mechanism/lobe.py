"""The lobe beside a flank, where the bit comes in and goes out: its relief, where that ends, and its chamfer.

Distances are from the pivot as the bolt sees it from the seat at which the bit passes the lobe; heights are above the
pivot. All in mm. The chamfer takes off the corner between relief and lower edge: a straight line from a
mark on the lower edge, so far outside that corner, until it just touches the relief and runs into it. So it is
as steep as a chamfer there can be, and needs nothing but a rule to mark.
"""

import math
from dataclasses import dataclass

import numpy as np

from core.mechanism.law import Array
from core.mechanism.tooth_numbers import SLACK, Tooth


@dataclass(frozen=True)
class Lobe:
    """A lobe of some `width` outside its flank, with a chamfer asked for, 0 for none [mm]."""

    tooth: Tooth
    width: float
    chamfer: float = 0.0

    @property
    def far(self) -> float:
        """Distance of the lobe's outer side."""
        return self.tooth.flank + self.width

    @property
    def lower(self) -> float:
        """Height of the lower edge; an edge below the whole relief counts as level with its lowest place."""
        return max(self.tooth.lower_edge, -self.tooth.relief_radius)

    @property
    def relieved(self) -> bool:
        """Whether the relief comes down below the flank's foot at all."""
        return self.tooth.fits and self.tooth.relief_foot > self.lower

    @property
    def meets(self) -> float:
        """Distance at which the relief meets the lower edge; below the pivot it has passed its widest place."""
        rc, lower = self.tooth.relief_radius, self.lower
        return math.sqrt(max(rc * rc - lower * lower, 0.0)) if lower > 0 else rc

    @property
    def cornered(self) -> bool:
        """Whether relief and lower edge meet in a corner that can be chamfered."""
        return self.relieved and self.lower > 0 and self.far > self.meets + SLACK

    @property
    def greatest_chamfer(self) -> float:
        """The largest chamfer that leaves the flank its foot and the lobe its side; 0 where there is no corner.

        At the foot the relief runs down by `a / y_f`, a the flank's distance; a line so steep from the foot comes out
        `(y_f - y_low) y_f / a` farther along the lower edge.
        """
        if not self.cornered:
            return 0.0
        cut = self.tooth
        out = cut.flank + (cut.flank_foot - self.lower) * cut.flank_foot / max(cut.flank, SLACK)
        return max(min(self.far, out) - self.meets, 0.0)

    @property
    def cut(self) -> float:
        """The chamfer as it can be cut."""
        return min(self.chamfer, self.greatest_chamfer)

    @property
    def mark(self) -> tuple[float, float]:
        """Distance and height of the place on the lower edge at which the chamfer begins."""
        return self.meets + self.cut, self.lower

    @property
    def slope(self) -> float:
        """Angle [rad] by which the chamfer leans from the level; without one, that of the relief at its end.

        A tangent from a point d from the centre touches at an angle of acos(Rc / d) before it.
        """
        x, y = self.mark if self.cornered else self.relief_end
        away = math.hypot(x, y)
        return math.atan2(x, y) - math.acos(min(self.tooth.relief_radius / away, 1.0))

    @property
    def relief_end(self) -> tuple[float, float]:
        """Distance and height at which the relief's arc ends: in the chamfer, the lower edge or the lobe's side.

        Without a relief it is the flank's foot.
        """
        cut, rc = self.tooth, self.tooth.relief_radius
        if not self.relieved:
            return cut.flank, cut.flank_foot
        if self.cut > 0:
            return rc * math.sin(self.slope), rc * math.cos(self.slope)
        if self.far <= self.meets:
            return self.far, math.sqrt(max(rc * rc - self.far * self.far, 0.0))
        return self.meets, max(self.lower, 0.0)

    @property
    def rests_off(self) -> float:
        """How far off its seat [mm] a bolt is left that no detent draws: where the corner leaves the metal."""
        return float(self.off(np.array([math.pi]))[0])

    def off(self, angles: Array) -> Array:
        """Return how far off its seat [mm] metal alone leaves the bolt, shape of `angles` [rad], from the release on.

        The bit's corner at `phi = t + beta` on the relief's circle: `sqrt(Rc^2 - R^2 cos^2 phi) - R sin phi`, as low as
        the relief comes; on a chamfer of slope g `(Rc - R cos(phi - g)) / sin g`, until phi = g.
        """
        cut = self.tooth
        if not (cut.drives and self.relieved):
            return np.full(np.shape(angles), cut.home_travel)
        r, rc = cut.radius, cut.relief_radius
        phi = np.maximum(angles, cut.release_angle) + cut.half_angle
        end = math.acos(min(max(self.relief_end[1], 0.0) / r, 1.0))
        on_arc = np.minimum(phi, end)
        off = np.sqrt(rc**2 - (r * np.cos(on_arc)) ** 2) - r * np.sin(on_arc)
        if self.cut > 0:
            ends = min(self.slope, math.acos(min(max(self.lower, 0.0) / r, 1.0)))
            on_chamfer = np.minimum(phi, max(ends, end))
            further = (rc - r * np.cos(on_chamfer - self.slope)) / math.sin(self.slope)
            off = np.where(phi > end, np.minimum(off, further), off)
        return np.asarray(off)
