"""What a lock comes to whose parts are each a little off: every size its own, numbers or arrays.

A flank's foot is where the flank runs into its relief, as both are filed, or the lower edge: so the sizes of the bolt
are those that a file makes. Lengths in the drive frame of the plan: x along the bolt line and y square to it, from
where the pivot should be; the bolt at the locked seat, its heights measured from its top edge.
"""

import math
from dataclasses import dataclass, fields
from typing import Any, Generic

from core.mechanism.corner import carries, half_chord
from core.mechanism.lobe import Lobe
from core.mechanism.maths import N, maths
from core.mechanism.narrow_gap import widest_angle


@dataclass(frozen=True)
class Drawn:
    """What of a lock stays as it is drawn while its parts are off: the `lobe` of its tooth.

    And the angle `widest` [rad] at which the bit stands widest in the gap.

    Source: `drawn`.
    Valid: where the key drives.

    Example, as in `come_to`:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> Drawn(Lobe(cut, 6.5), widest=0.0).lobe.tooth.throw
    9.5
    """

    lobe: Lobe[float]
    widest: float


@dataclass(frozen=True)
class FiledParts(Generic[N]):
    """Key, plates, bolt and shackle as they are made.

    Numbers, or arrays among them, of any shapes that broadcast:
    - the key's `radius` [mm], the thickness of its `bit` [mm], its `shank` [mm] and the `hole` [mm] for that;
    - how far the pivot lies off its place: `pivot_along` [mm] the bolt line, to +x, and `pivot_up` [mm] towards it;
    - the x of the flanks, `unlocking_flank` [mm] and `locking_flank` [mm], which is below 0; the radii of the reliefs
      beside them, `unlocking_relief` [mm] and `locking_relief` [mm]; the heights of the bolt's `lower_edge` [mm] and
      of the gap's `roof` [mm];
    - the distance between the `seats` [mm]; how far the `nose` [mm] is in the shackle when locked, to which is added
      how much nearer than planned the `shackle` [mm] stands;
    - how far the bolt stands above its line, as its guides let it, `lift` [mm], below 0 under it.

    Source: the design's section on tolerances names them.
    Valid: for upright flanks; as `come_to`.

    Example, as in `as_drawn`:
    >>> FiledParts(20.0, 3.0, 6.0, 6.0, 0.0, 0.0, 1.5, -11.0, 20.2, 20.2, 14.0, 20.2, 9.5, 8.0, 0.0, 0.0).locking_flank
    -11.0
    """

    radius: N | float
    bit: N | float
    shank: N | float
    hole: N | float
    pivot_along: N | float
    pivot_up: N | float
    unlocking_flank: N | float
    locking_flank: N | float
    unlocking_relief: N | float
    locking_relief: N | float
    lower_edge: N | float
    roof: N | float
    seats: N | float
    nose: N | float
    shackle: N | float
    lift: N | float


@dataclass(frozen=True)
class Outcomes(Generic[N]):
    """What such parts come to.

    Numbers, or arrays of one shape, for each stroke where there are two:
    - how far the key drives the bolt, `unlocking_driven` [mm] and `locking_driven` [mm], and what is left from there to
      the seat, `unlocking_home` [mm] and `locking_home` [mm], below 0 where it is carried past that;
    - how far off the seat the bolt may rest and still let the bit in, `unlocked_shut_out` [mm] and `locked_shut_out`
      [mm], below 0 where it never does;
    - the `engagement` [mm] of the nose when locked and its `gap` [mm] to the shackle when unlocked;
    - the least `clearance` [mm] about the key's circle, below 0 where the key rubs; the metal in the `bridge` [mm];
    - by how much the gap is wider than the bit needs to turn in it, `unlocking_room` [mm] and `locking_room` [mm].

    Source: as `come_to`.
    Valid: as `come_to`.

    Example, as there:
    >>> Outcomes(9.1283, 9.1283, 0.3717, 0.3717, 0.2787, 0.2787, 8.0, 1.5, 0.2, 3.8, 9.5, 9.5).gap
    1.5
    """

    unlocking_driven: N
    locking_driven: N
    unlocking_home: N
    locking_home: N
    unlocked_shut_out: N
    locked_shut_out: N
    engagement: N
    gap: N
    clearance: N
    bridge: N
    unlocking_room: N
    locking_room: N


def drawn(lobe: Lobe[float]) -> Drawn:
    """Return what stays as drawn of a lock with this `lobe`.

    Source: `core.mechanism.narrow_gap`.
    Valid: where the key drives.

    Example, with a pick-up at top dead centre the bit is widest there:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> drawn(Lobe(cut, 6.5)).widest
    0.0
    """
    return Drawn(lobe, widest_angle(lobe.tooth))


def as_drawn(plan: Drawn, shank: float, hole: float, nose: float) -> FiledParts[float]:
    """Return the parts [mm] just as a `plan` has them, the middle of their tolerances.

    With the key's `shank` [mm], the `hole` [mm] for that, and how far the `nose` [mm] is in the shackle when locked.

    Source: the design's section on the tooth gap.
    Valid: where there is a tooth.

    Example, the demo lock of the design's check values:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> parts = as_drawn(drawn(Lobe(cut, 6.5)), shank=6.0, hole=6.0, nose=8.0)
    >>> parts.locking_flank, parts.roof, parts.seats
    (-11.0, 20.2, 9.5)
    """
    cut = plan.lobe.tooth
    none = hole - hole  # of its shape
    return FiledParts(
        radius=cut.radius, bit=2 * cut.half_bit, shank=shank, hole=hole, pivot_along=none, pivot_up=none,
        unlocking_flank=cut.pickup_offset, locking_flank=-cut.flank, unlocking_relief=cut.relief_radius,
        locking_relief=cut.relief_radius, lower_edge=cut.lower_edge, roof=cut.relief_radius, seats=cut.throw, nose=nose,
        shackle=none, lift=none,
    )  # fmt: skip


def come_to(parts: FiledParts[N], plan: Drawn) -> Outcomes[N]:
    """Return what `parts` [mm], any shape, come to, made to a `plan`, in both strokes.

    Source: travel as in `core.mechanism.actual`; the foot at `sqrt(r^2 - a^2)`, a the flank's distance from the middle
    of its relief of radius r; clearance and shut-out as in `core.mechanism.lobe`, the pivot off the relief's middle by
    (x, y): of the relief's arc that place counts to which the pivot has come nearest. A shank in a larger hole may
    lie anywhere in it: half of what the hole is larger is lost each time; one that is too thick is eased till it turns.
    Valid: for a release past top dead centre, reliefs scribed about the planned pivot, and parts so little off that the
    bit is widest in the gap at the angle of the plan (what that leaves out is of second order).

    Example, the demo lock of the design's check values as it is drawn: 0.3717 home, 0.2787 off its seat at most:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> plan = drawn(Lobe(cut, 6.5))
    >>> found = come_to(as_drawn(plan, shank=6.0, hole=6.0, nose=8.0), plan)
    >>> found.unlocking_home, found.locked_shut_out, found.clearance, found.bridge, found.locking_room
    (0.3717, 0.2787, 0.2, 3.8, 9.5)
    """
    cut: Any = plan.lobe.tooth
    p: Any = parts
    of: Any = maths(*(getattr(parts, field.name) for field in fields(parts)))
    play = of.larger(p.hole - p.shank, 0.0 * p.hole) / 2
    up = p.pivot_up - p.lift
    # each side seen from its relief's middle, its metal to +x, the bolt on the seat at which the bit passes it
    unlocking = _Side.of(of, p, plan, cut.throw + p.unlocking_flank, p.unlocking_relief)
    locking = _Side.of(of, p, plan, -p.locking_flank, p.locking_relief)
    off_unlocked, off_locked = p.pivot_along + cut.throw - p.seats, -p.pivot_along
    driven = [
        carries(p.radius, away + play, of.larger(side.foot - up, 0.0 * up))
        for side, away in (
            (unlocking, p.unlocking_flank - p.pivot_along),
            (locking, -p.locking_flank - p.seats + p.pivot_along),
        )
    ]
    turn, half, opening = plan.widest, p.bit / 2, p.unlocking_flank - p.locking_flank
    corner = math.sin(turn) * half_chord(p.radius, half) + math.cos(turn) * half
    opening = opening - corner - half / math.cos(turn)
    engagement = p.nose + p.shackle
    clear = [
        side.clearance(of, p.radius, off, up)
        for side, off in ((unlocking, off_unlocked), (locking, off_locked))
    ]
    return Outcomes(
        unlocking_driven=driven[0],
        locking_driven=driven[1],
        unlocking_home=p.seats - driven[0],
        locking_home=p.seats - driven[1],
        unlocked_shut_out=unlocking.shut_out(p.radius, off_unlocked, up) - play,
        locked_shut_out=locking.shut_out(p.radius, off_locked, up) - play,
        engagement=engagement,
        gap=p.seats - engagement,
        clearance=of.smaller(*clear) - play,
        bridge=cut.bolt_line - p.roof,
        # the trailing face passes the other flank's foot
        unlocking_room=opening + (locking.foot - up) * math.tan(turn),
        locking_room=opening + (unlocking.foot - up) * math.tan(turn),
    )


@dataclass(frozen=True)
class _Side:
    """A flank `away` from the middle of its `relief`, where both meet, and where the relief ends."""

    away: Any
    relief: Any
    foot: Any
    end_x: Any
    end_y: Any
    chamfer: float

    @classmethod
    def of(cls, of: Any, p: Any, plan: Drawn, away: Any, relief: Any) -> "_Side":
        on_relief, low = half_chord(relief, away), of.larger(p.lower_edge, 0.0 * p.lower_edge)
        relieved = on_relief > low
        end_x = of.smaller(half_chord(relief, low), away + plan.lobe.width)
        return cls(
            away, relief, of.larger(on_relief, low), of.where(relieved, end_x, away),
            of.where(relieved, half_chord(relief, end_x), low), plan.lobe.cut,
        )  # fmt: skip

    def clearance(self, of: Any, radius: Any, x: Any, y: Any) -> Any:
        """Return the least distance of a circle of `radius` about (x, y) from the relief's arc and the foot."""
        to_foot = of.sqrt((self.away - x) ** 2 + (self.foot - y) ** 2)
        to_end = of.sqrt((self.end_x - x) ** 2 + (self.end_y - y) ** 2)
        ahead = self.away * x + self.foot * y > 0
        between = (self.away * y <= self.foot * x) & (self.end_x * y >= self.end_y * x) & ahead
        least = of.smaller(to_foot, to_end)
        return of.where(between, self.relief - of.sqrt(x**2 + y**2), least) - radius

    def shut_out(self, radius: Any, x: Any, y: Any) -> Any:
        """Return how far off its seat the bolt may rest, with the key's middle at (x, y)."""
        return self.end_x + self.chamfer - x - half_chord(radius, self.end_y - y)
