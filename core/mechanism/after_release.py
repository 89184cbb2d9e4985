"""After the release: the bolt is where metal and the detent put it, not on its seat at once.

Told of the unlocking stroke; locking is its mirror image. When the bit's corner has left the flank's foot, the bolt
is a little short of its seat. The corner runs on along the relief and *pushes* the bolt on, until the relief ends.
As soon as the seat is within the detent's reach the detent *draws* the bolt to it; but while the bit's trailing face
still stands in the gap, it *holds* the bolt back: with an early pick-up, until the key has gone past the
release as far as it picked up before top dead centre.

Glossary: a bolt is so far *off* its seat [mm]; it is *caught* when the detent has it.
Angles in radians, clockwise from top dead centre in the drive frame.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.mechanism.law import Array, Stroke, phases, travel
from core.mechanism.lobe import Lobe
from core.mechanism.tooth_numbers import SLACK, Tooth


@dataclass(frozen=True)
class Leaving:
    """What happens to the bolt after the release, at n angles of the unlocking stroke, as arrays of truth (n,).

    One of them holds at each angle after the release, none before.
    """

    pushed_on: NDArray[np.bool_]
    held_back: NDArray[np.bool_]
    home: NDArray[np.bool_]
    left_short: NDArray[np.bool_]


@dataclass(frozen=True)
class Course:
    """The bolt's way through a whole turn: the tooth, the lobes beside it, and the detent's reach `capture` [mm]."""

    tooth: Tooth
    lobe: Lobe
    capture: float

    @property
    def rests_off(self) -> float:
        """How far off its seat [mm] a bolt is left that no detent draws: where the corner leaves the metal."""
        return self.lobe.rests_off

    @cached_property
    def shut_out(self) -> float | None:
        """How far off its seat [mm], towards the other, a bolt may rest and still let the bit in; None without drive.

        Coming up, the bit's corner must pass the place on the lower edge where relief or chamfer begins; a bolt
        farther off stops it flat on the lobe. Without a chamfer that is where it leaves a bolt that nothing draws.
        """
        cut, lobe = self.tooth, self.lobe
        if not cut.drives:
            return None
        if lobe.cornered or (lobe.relieved and lobe.lower <= 0):
            x, y = lobe.mark
            return x - math.sqrt(max(cut.radius**2 - y * y, 0.0))
        return self.rests_off

    @cached_property
    def caught_angle(self) -> float:
        """Key angle [rad] at which the detent catches the bolt; infinite where it never does."""
        cut, lobe, capture = self.tooth, self.lobe, self.capture
        if not cut.drives or self.rests_off > capture + SLACK:
            return math.inf
        if cut.home_travel <= capture + SLACK:
            return cut.release_angle
        # on the relief: sqrt(Rc^2 - y^2) - sqrt(R^2 - y^2) = capture, a quadratic in the second root
        spread = cut.relief_radius**2 - cut.radius**2
        x = (spread - capture**2) / (2 * capture) if capture > 0 else math.inf
        if x <= cut.radius:
            y = math.sqrt(cut.radius**2 - x * x)
            if y >= lobe.relief_end[1] - SLACK:
                return math.asin(x / cut.radius) - cut.half_angle
        # on the chamfer: Rc - R cos(phi - slope) = capture sin(slope)
        near = min((cut.relief_radius - capture * math.sin(lobe.slope)) / cut.radius, 1.0)
        return lobe.slope - math.acos(near) - cut.half_angle

    @property
    def holds_back(self) -> bool:
        """Whether the trailing face stands in the gap when the key lets go."""
        return self.tooth.drives and self.tooth.pickup_angle > self.tooth.release_angle + SLACK

    @cached_property
    def corners(self) -> Array:
        """The angles [rad] of the unlocking stroke at which the law changes, shape (k,)."""
        cut = self.tooth
        if not cut.drives:
            return np.zeros(0)
        found = [-cut.pickup_angle, 0.0, cut.release_angle, self.caught_angle]
        found += [cut.pickup_angle, -cut.release_angle] if self.holds_back else []
        return np.array(sorted({x for x in found if math.isfinite(x)}))

    def travel(self, angles: Array, stroke: Stroke = "unlocking") -> Array:
        """Return the bolt's travel [mm] from the locked seat through the whole turn, shape of `angles` [rad].

        Until the release it is the law of motion; from then on `T - off`, or what the detent makes of it.
        """
        cut = self.tooth
        if stroke == "locking":
            return np.asarray(cut.throw - self.travel(-angles))
        done = travel(cut, angles)
        gone = phases(cut, angles).let_go
        if gone.any():
            after = np.asarray(angles)[gone]
            pushed = cut.throw - self.lobe.off(after)
            drawn = np.maximum(np.minimum(cut.throw, self._room(after)), pushed)
            done[gone] = np.where(after >= self.caught_angle, drawn, pushed)
        return done

    def leaving(self, angles: Array) -> Leaving:
        """Sort `angles` [rad] of the unlocking stroke, shape (n,), by what happens to the bolt after the release."""
        cut, gone = self.tooth, phases(self.tooth, angles).let_go
        caught = gone & (angles >= self.caught_angle)
        held = caught & (self._room(angles) < cut.throw - SLACK)
        left = gone & ~caught
        pushed = left & (self.lobe.off(angles) > self.rests_off + SLACK)
        return Leaving(pushed, held, caught & ~held, left & ~pushed)

    def _room(self, angles: Array) -> Array:
        """Return how far [mm] the trailing side of the bit lets the bolt go at `angles` [rad] after the release.

        Seen in the mirror the trailing face drives the locking flank: `T - s(-t)` as long as that is on the foot. Where
        the key let go before top dead centre, the trailing corner first comes up along the other relief.
        """
        cut = self.tooth
        room = np.full(np.shape(angles), np.inf)
        mirrored = -np.asarray(angles)
        foot = (mirrored > -cut.pickup_angle) & (mirrored < min(cut.release_angle, 0.0))
        room[foot] = cut.throw - travel(cut, mirrored[foot])
        under = mirrored >= cut.release_angle
        room[under] = self.lobe.off(mirrored[under])
        return room
