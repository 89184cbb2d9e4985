"""The two sides of a bolt's gap, each by itself: flank, foot and relief as they were cut.

A plan has both alike. On a bolt that is made each flank may stand off its line, its foot may be rounded and its relief
be filed too deep (`core.lock.as_cut`). Lengths in mm, as in `core.mechanism.lobe`: distances from the pivot as
the bolt sees it from the seat at which the bit passes that side, heights above the pivot.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from core.geometry.path import Arc, Line, Path, Point, Points, Segment
from core.lock.as_cut import AsCut
from core.mechanism.lobe import Lobe
from core.mechanism.tooth_numbers import SLACK, Tooth

Side = Literal["unlocking", "locking"]
SIDES: tuple[Side, ...] = ("unlocking", "locking")
CHORD = 1e-4
"""Tolerance [mm] of the chords that stand for an arc when contact is solved."""


@dataclass(frozen=True)
class CutSide:
    """One side of the gap: the `lobe` beside its flank, and how much of that, `rounded` [mm], its foot has lost."""

    lobe: Lobe[float]
    rounded: float = 0.0

    @property
    def tooth(self) -> Tooth:
        """The numbers of a tooth whose two sides were as this one."""
        cut = self.lobe.tooth
        if not isinstance(cut, Tooth):
            raise TypeError("a side belongs to one tooth")
        return cut

    @property
    def flank(self) -> float:
        """Distance [mm] of the flank."""
        return self.tooth.flank

    @property
    def top(self) -> float:
        """Height [mm] at which the flank begins to be straight."""
        return self.tooth.flank_foot + (self.rounded if self.radius > 0 else 0.0)

    @property
    def radius(self) -> float:
        """Radius [mm] of the rounded foot, 0 for a sharp one.

        Its circle touches the flank at `top` and the relief from outside: `(Rc + r)^2 = (a + r)^2 + top^2`; without a
        relief it touches the level lower edge, `r` below.
        """
        cut = self.tooth
        if self.rounded <= SLACK or not cut.fits:
            return 0.0
        if not self.lobe.relieved:
            return min(self.rounded, self.lobe.far - cut.flank - SLACK)
        top = cut.flank_foot + self.rounded
        found = (top**2 - cut.flank_foot**2) / (2 * (cut.relief_radius - cut.flank))
        x = self._touches(found)[0]
        return found if found > 0 and x < self.lobe.relief_end[0] - SLACK else 0.0

    def _touches(self, radius: float) -> Point:
        """Return distance and height [mm] of the place where the rounding runs into the relief."""
        cut = self.tooth
        x, y = cut.flank + radius, cut.flank_foot + self.rounded
        share = cut.relief_radius / (cut.relief_radius + radius)
        return x * share, y * share

    def outwards(self) -> list[Segment]:
        """Return the path from the flank's lower end outwards to the lobe's outer side, its arcs clockwise."""
        beside, cut, radius = self.lobe, self.tooth, self.radius
        far = (beside.far, cut.lower_edge)
        foot: Point = (cut.flank, self.top)
        path: list[Segment] = []
        if radius > 0:
            middle = (cut.flank + radius, self.top)
            ends = self._touches(radius) if beside.relieved else (middle[0], middle[1] - radius)
            path, foot = [Arc(middle, radius, foot, ends, "ccw")], ends
        if not beside.relieved:
            return [*path, Line(foot, far)]
        path.append(Arc((0.0, 0.0), cut.relief_radius, foot, beside.relief_end, "cw"))
        if beside.far <= beside.meets:
            return path
        if beside.cut > 0:
            path.append(Line(path[-1].end, beside.mark))
        elif beside.lower < 0:
            path.append(Line(path[-1].end, (beside.meets, cut.lower_edge)))
        return [*path, Line(path[-1].end, far)]

    def edge(self) -> list[Point]:
        """Return the edge [mm] beside which a bit can come, falling from the flank's lower end outwards, in chords."""
        points: list[Point] = [(self.flank, self.top)]
        for segment in self.outwards():
            if isinstance(segment, Arc):
                points += [(float(x), float(y)) for x, y in Path((segment,)).points(CHORD)[1:-1]]
            points.append(segment.end)
        return [p for k, p in enumerate(points) if not k or p[1] < points[k - 1][1]]


def cut_sides(cut: Tooth, width: float, chamfer: float, off: AsCut) -> Mapping[Side, CutSide]:
    """Return both sides of a gap: of a tooth, lobes of a `width` [mm] with a `chamfer` [mm], cut so far `off`."""
    return {
        side: _side(
            cut, max(width + getattr(off, f"{side}_lobe"), SLACK), chamfer, getattr(off, f"{side}_flank"),
            getattr(off, f"{side}_relief"), getattr(off, f"{side}_foot"),
        )
        for side in SIDES
    }  # fmt: skip


def _side(
    cut: Tooth, width: float, chamfer: float, flank: float, relief: float, rounded: float
) -> CutSide:
    if flank == 0 and relief == 0:
        return CutSide(Lobe(cut, width, chamfer), rounded)
    clearance, offset = cut.clearance + relief, cut.pickup_offset + flank
    circle, out = cut.radius + clearance, cut.throw + offset
    foot = math.sqrt(max(circle**2 - out**2, 0.0))
    own = replace(
        cut,
        clearance=clearance,
        pickup_offset=offset,
        relief_foot=foot,
        flank_foot=max(foot, cut.lower_edge),
        fits=cut.fits and out < circle,
    )
    return CutSide(Lobe(own, max(width - flank, SLACK), chamfer), rounded)


def as_rows(points: list[Point], side: Side, throw: float, up: float) -> Points:
    """Return an edge as rising rows [mm], x and y in the drive frame at the locked seat, `up` [mm] higher."""
    way, centre = (1.0, -throw) if side == "unlocking" else (-1.0, 0.0)
    return np.array([(centre + way * x, y + up) for x, y in reversed(points)])
