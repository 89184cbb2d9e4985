"""A detent: two like notches in the bolt's top edge, one throw apart, and a spring's round tip that presses into them.

The tip cannot move sideways, and what it presses down the guides have to bear. So moving out of a notch the bolt lifts
the spring up the ramp, against friction on the ramp and in the guides; moving home the ramp pulls it, less the same
two. Friction angle `rho = atan(mu)`.

All of it for a tip between the guides, which then together bear what it presses. Glossary: a bolt is so far *off* its
seat; *drag* is anything else that holds it back along its line.
Lengths in mm, forces in N, angles in rad; numbers, or arrays that broadcast.
"""

from dataclasses import dataclass
from typing import Any, Generic, Literal

from core.geometry.halving import edge_by
from core.mechanism.maths import N, maths
from core.mechanism.notch import Notch

Way = Literal[1, -1]
_HALVINGS = 44
"""Enough for a notch of a few mm to come down to the last digits of its sizes."""
_NODES = (
    (-0.9602898564975363, 0.1012285362903763), (-0.7966664774136267, 0.2223810344533745),
    (-0.5255324099163290, 0.3137066458778873), (-0.1834346424956498, 0.3626837833783620),
    (0.1834346424956498, 0.3626837833783620), (0.5255324099163290, 0.3137066458778873),
    (0.7966664774136267, 0.2223810344533745), (0.9602898564975363, 0.1012285362903763),
)  # fmt: skip
"""Places and weights of Gauss's rule with eight points (Abramowitz & Stegun, table 25.4)."""


def least_ramp(mu: N) -> N:
    """Return the ramp [rad], any shape, that a detent's must be steeper than to draw a bolt home at all.

    At a friction `mu` [none], any shape, on ramp and guides.

    Source: `tan(psi - rho) = mu`, balance of the bolt along its line: twice the friction angle, as of a wedge that is
    to slip back by itself between two rubbing faces, in any text of mechanics.
    Valid: without drag.

    Example, the design's: 21.5, 28.1, 47.5 and 54.0 degrees for .19, .25, .44 and .51:
    >>> [round(57.29578 * least_ramp(mu), 1) for mu in (0.19, 0.25, 0.44, 0.51)]
    [21.5, 28.1, 47.5, 54.0]
    """
    of = maths(mu)
    ramp: N = 2 * of.atan2(mu, 1.0)
    return ramp


def greatest_ramp(mu: N) -> N:
    """Return the ramp [rad], any shape, at which a bolt no longer gets out of its notch, at a friction `mu` [none].

    The friction is of any shape.

    Source: `psi + rho = 90 degrees`: the tip's push and its friction then stand square to the bolt's way.
    Valid: for a tip that cannot move sideways.

    Example, the design's friction of .44, 23.75 degrees:
    >>> round(57.29578 * greatest_ramp(0.44), 2)
    66.25
    """
    of = maths(mu)
    ramp: N = of.atan2(1.0, mu)
    return ramp


def against(press: N, slope: N, mu: N) -> N:
    """Return the force along the bolt's way [N], any shape, that a tip has to be climbed with.

    It does `press` [N] down on a `slope` [rad] at a friction `mu` [none], any shapes; NaN where no force is enough.
    With a slope below 0 the bolt goes downhill: what friction leaves of the slope's pull, below 0 where that wins.

    Source: the inclined plane with friction, `F tan(psi + rho)`, in any text of mechanics.
    Valid: for slopes between two right angles.

    Example, the design's F 3 at 45 degrees and mu .25: with the guides' 0.75, 5.7500 to leave and 1.0500 home:
    >>> up, down = (against(3.0, slope, 0.25) for slope in (0.7853981634, -0.7853981634))
    >>> up + 0.25 * 3, -(down + 0.25 * 3)
    (5.75, 1.05)
    """
    of: Any = maths(press, slope, mu)
    angle = slope + of.atan2(mu, 1.0)
    climbs = angle < 0.5 * 3.141592653589793 - 1e-9
    force: N = press * of.where(climbs, of.tan(of.where(climbs, angle, 0 * angle)), float("nan"))
    return force


@dataclass(frozen=True)
class Detent(Generic[N]):
    """Two like notches of one form under one tip, all of any one shape.

    The form is `notch`; they stand a `throw` [mm] apart, any shape; at rest in them the tip does `press` [N], any
    shape, and `rate` [N / mm] more, any shape, for each mm that it is lifted.

    Source: the module's.
    Valid: for notches that do not meet, and a bolt between its seats.

    Example, the design's spring of 3 N and 1.423611 N/mm on its V of 1 mm, tip of radius 1, friction .19 and .25; none
    at .44, where 45 degrees are less than twice the friction angle:
    >>> held = Detent(Notch(1.0, 0.7853981634, 1.0, 1.0), throw=9.5, press=3.0, rate=1.423611)
    >>> [round(held.capture(mu), 4) for mu in (0.19, 0.25, 0.44)]
    [0.6332, 0.5294, 0.0]
    >>> held.land, held.lifted(0.0), held.lifted(4.0), held.lifted(9.5)
    (3.834, 0.0, 0.5858, 0.0)
    >>> held.pull(0.0, 0.19), held.pull(0.0, 0.44), held.leaving(0.0, 0.19), held.holding(0.19)
    (1.472, -0.1533, 4.9774, 5.6692)
    >>> steep = Detent(Notch(1.0, 1.0471975512, 2.0, 0.5), throw=9.5, press=3.0, rate=0.0)
    >>> steep.pull(0.0, 0.44), steep.leaving(0.0, 0.44)
    (0.8797, 28.711)

    Where the two are in one: 0.2 out of the locked seat, and 0.2 short of the other, uphill there and downhill here. A
    tip of almost no radius climbs for 1 mm, so that takes 4.9774 N mm. A drag of 1.6 N holds the bolt 0.1832 off, where
    the spring has no more left to draw with; one of 1.2 N does not:
    >>> held.slope(0.2, 1), held.slope(9.3, 1), held.pressing(0.2) - 3.0
    (0.7854, -0.7854, 0.2847)
    >>> held.touch(0.2), held.resists(0.2, 0.19, 1)
    ((-0.7071, -0.0929), 4.8257)
    >>> sharp = Detent(Notch(1.0, 0.7853981634, 1.0, 1e-9), throw=9.5, press=3.0, rate=0.0)
    >>> sharp.work_to_leave(0.19), held.rests_off(0.19, drag=1.6), held.rests_off(0.19, drag=1.2)
    (4.9774, 0.1832, 0.0)
    """

    notch: Notch[N]
    throw: N
    press: N
    rate: N

    @property
    def land(self) -> N:
        """What the tip does [N] on the land between the notches, its shape."""
        return self.press + self.rate * self.notch.seat_drop

    def lifted(self, travel: N) -> N:
        """Return how far [mm] above its rest the tip stands at a `travel` [mm] from the locked seat; shape of both."""
        low = self.notch.seat_drop
        return low - self.notch.drop(travel) - self.notch.drop(self.throw - travel)

    def pressing(self, travel: N) -> N:
        """Return what the tip does [N] at a `travel` [mm] from the locked seat; shape of both."""
        return self.press + self.rate * self.lifted(travel)

    def slope(self, travel: N, way: Way) -> N:
        """Return how steep [rad] a bolt at a `travel` [mm] has to climb the `way` [none] it goes; shape of both.

        Below 0 where it goes downhill. On a seat the way counts: on it goes out, towards it comes in.
        """
        of: Any = maths(self.throw, travel)
        out = of.where(travel < self.notch.half_width, self.notch.slope(travel), 0.0)
        back = self.throw - travel
        home = of.where(back < self.notch.half_width, self.notch.slope(back), 0.0)
        climbs: N = way * (out - home)
        return climbs

    def resists(self, travel: N, mu: N, way: Way) -> N:
        """Return the force [N] of the tip against a bolt that goes a `way` [none], shape of all given.

        At a `travel` [mm] and a friction `mu` [none], any shape; the guides' friction is not in it. NaN where it jams.
        """
        return against(self.pressing(travel), self.slope(travel, way), mu)

    def touch(self, travel: N) -> tuple[N, N]:
        """Return where tip and bolt touch at a `travel` [mm], shape of both: [mm] aside of the tip and [mm] up.

        From the tip's middle towards where the bolt unlocks, and from the bolt line.
        """
        of: Any = maths(self.throw, travel)
        slope, r = self.slope(travel, 1), self.notch.tip
        # the ramp that is climbed going out of the locked seat lies on the locked side
        aside = -r * of.sin(slope)
        down = self.notch.drop(travel) + self.notch.drop(self.throw - travel)
        return aside, r * (1 - of.cos(slope)) - down

    def leaving(self, off: N, mu: N, drag: N | float = 0.0) -> N:
        """Return the force [N] to move on a bolt that is `off` [mm] its seat already, away from it; shape of all.

        At a friction `mu` [none] and a `drag` [N], any shapes; NaN where it jams.
        """
        press = self.press + self.rate * (self.notch.seat_drop - self.notch.drop(off))
        force: N = against(press, self.notch.slope(off), mu) + mu * press + drag
        return force

    def pull(self, off: N, mu: N, drag: N | float = 0.0) -> N:
        """Return what is left [N] to draw a bolt home that is `off` [mm] its seat, below 0 for nothing; shape of all.

        At a friction `mu` [none] and a `drag` [N], any shapes.
        """
        press = self.press + self.rate * (self.notch.seat_drop - self.notch.drop(off))
        force: N = -against(press, -self.notch.slope(off), mu) - mu * press - drag
        return force

    def capture(self, mu: N, drag: N | float = 0.0) -> N:
        """Return how far off [mm] its seat a bolt is still drawn towards it, 0 where it never is; shape of all.

        At a friction `mu` [none] and a `drag` [N], any shapes. The ramp draws best where it ends, and
        over the rounding ever less: the place where nothing is left is found by halving. Without drag it is
        `u - r sin(phi)`, phi the least ramp.
        """
        of: Any = maths(self.throw, self.press, mu, drag)
        if isinstance(drag, float) and drag == 0.0:
            return self._capture_without_drag(mu)
        steepest = of.larger(self.notch.slope_end, self.notch.play)
        near, far = steepest + 0 * mu, self.notch.half_width + 0 * mu
        draws = self.pull(near, mu, drag) > 0 * self.press
        found: N = of.where(draws, self._last_drawn(near, far, mu, drag), 0 * near)
        return found

    def _last_drawn(self, inside: N, outside: N, mu: N, drag: N | float) -> N:
        """Return the last place [mm] at which the bolt is drawn, from `inside`, where it is, towards `outside`."""
        of: Any = maths(self.throw, self.press, mu, drag, inside)
        if isinstance(inside, float) and isinstance(outside, float):
            # one bolt, and the same to far below any size that is told
            return edge_by(lambda off: self.pull(off, mu, drag), inside, outside, strict=True)
        for _ in range(_HALVINGS):
            middle = (inside + outside) / 2
            held = self.pull(middle, mu, drag) > 0 * self.press
            inside, outside = of.where(held, middle, inside), of.where(held, outside, middle)
        return inside

    def _capture_without_drag(self, mu: N) -> N:
        of: Any = maths(self.throw, self.press, mu)
        least = least_ramp(mu)
        found = self.notch.half_width - self.notch.tip * of.sin(least)
        draws = (self.notch.steepest > least) & (found > self.notch.play)
        caught: N = of.where(draws, found, 0 * found)
        return caught

    def rests_off(self, mu: N, drag: N | float = 0.0, caught: N | None = None) -> N:
        """Return how far off [mm] its seat a bolt that is drawn may stay; shape of all.

        At a friction `mu` [none] and a `drag` [N], any shapes; `caught` [mm] is the capture at these, where it is
        known already. Over a floor nothing draws it, and a drag holds it where the spring, which gives way as the tip
        goes down, has no more than that left. Without a capture it means nothing.
        """
        of: Any = maths(self.throw, self.press, mu, drag)
        reach = self.capture(mu, drag) if caught is None else caught
        near = self.notch.play + 0 * mu
        # just beside the middle, where only one ramp bears
        drawn = self.pull(near, mu, drag) > 0 * self.press
        if drawn is True:
            return near
        # where the ramp ends it draws best, so between there and the middle it ceases once
        best = of.smaller(of.larger(reach, near), of.larger(self.notch.slope_end + 0 * mu, near))
        stays: N = of.where(drawn, near, self._last_drawn(best, near, mu, drag))
        return stays

    def holding(self, mu: N, drag: N | float = 0.0) -> N:
        """Return the steady force [N] that gets the bolt out of its notch, shape of all; NaN where none does.

        At a friction `mu` [none] and a `drag` [N], any shapes: most is needed where the ramp ends, or where the tip
        leaves a floor so high that it bears on the corners alone.
        """
        of: Any = maths(self.throw, mu)
        return self.leaving(of.larger(self.notch.slope_end, self.notch.play), mu, drag)

    def work_to_leave(self, mu: N, drag: N | float = 0.0) -> N:
        """Return the work [N mm] that takes the bolt from its seat out of the notch, shape of all; NaN where none does.

        At a friction `mu` [none] and a `drag` [N], any shapes. Gauss's rule with eight points over
        floor, ramp and rounding each.
        """
        play, end, u = self.notch.play, self.notch.slope_end, self.notch.half_width
        of: Any = maths(self.throw, play)
        stretches = ((0 * u, play), (play, of.larger(end, play)), (of.larger(end, play), u))
        total: Any = 0 * self.press * u * mu
        for begin, stop in stretches:
            for place, weight in _NODES:
                at = begin + (stop - begin) * (1 + place) / 2
                total = total + weight * (stop - begin) / 2 * self.leaving(at, mu, drag)
        work: N = total
        return work
