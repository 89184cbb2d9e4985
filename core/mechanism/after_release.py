"""After the release: the bolt is where metal and the detent put it, not on its seat at once.

Told of the unlocking stroke; locking is its mirror image. When the bit's corner has left the flank's foot, the bolt
is a little short of its seat. The corner runs on along the relief and *pushes* the bolt on, until the relief ends.
As soon as the seat is within the detent's reach the detent *draws* the bolt to it; but while the bit's trailing face
still stands in the gap, it *holds* the bolt back: with an early pick-up, until the key has gone past the
release as far as it picked up before top dead centre.

Glossary: a bolt is so far *off* its seat; it is *caught* when the detent has it.
Angles in radians, clockwise from top dead centre in the drive frame. Angles and teeth broadcast as in the law.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from core.mechanism.corner import half_chord
from core.mechanism.law import Stroke, phases, travel
from core.mechanism.lobe import Lobe
from core.mechanism.maths import Array, Number, maths
from core.mechanism.takeover import takeover
from core.mechanism.tooth_numbers import SLACK, Teeth, Tooth


@dataclass(frozen=True)
class Leaving:
    """What happens to the bolt after the release: one truth holds at each angle, and before the release none.

    `pushed_on` [none] by the corner on the relief; `held_back` [none] by the trailing face, the detent drawing;
    `home` [none], on its seat; `left_short` [none] of it, with nothing that moves it: all of the shape of the angles.

    Source: the design's section on the release.
    Valid: as `Course.leaving`.

    Example, of two angles the first before the release:
    >>> Leaving(*np.array([[0, 0], [0, 0], [0, 1], [0, 0]], dtype=bool)).home.tolist()
    [False, True]
    """

    pushed_on: Any
    held_back: Any
    home: Any
    left_short: Any


@dataclass(frozen=True)
class Course:
    """The bolt's way through a whole turn: its `tooth`, the `lobe` beside it, and how far the detent draws it home.

    The detent's reach is its `capture` [mm], of any shape that broadcasts with the tooth's. With `snaps` [none] the
    bolt leaves the key as soon as the seat is within that reach; else the law holds until the release, as it does for
    a detent of which no more is known than that.

    Source: the design's section on the release; held against a sweep of key angle and travel that knows no law
    (`tests/test_after_release.py`).
    Valid: where the gap lets the bit turn and the bolt is pushed infinitely slowly: it stays where friction leaves it.

    Example, the demo lock, drawn home at the release; without a detent it is pushed on to T - 0.2787:
    >>> from core.mechanism.tooth_numbers import tooth_from
    >>> cut = tooth_from(radius=20.0, bit=3.0, clearance=0.2, throw=9.5, pickup_angle=0.0, bolt_line=24.0, depth=10.0)
    >>> drawn, free = (Course(cut, Lobe(cut, 6.5), capture) for capture in (1.0, 0.0))
    >>> [float(way.travel(np.radians([28.0, 60.0, 180.0]))[k]) for way in (drawn, free) for k in (0, 1, 2)]
    [9.5, 9.5, 9.5, 9.1303, 9.2213, 9.2213]
    >>> drawn.caught_angle == cut.release_angle, free.caught_angle, drawn.holds_back, free.corners.round(4).tolist()
    (True, inf, False, [0.0, 0.4852])
    >>> free.leaving(np.radians([28.0, 60.0])).pushed_on.tolist()
    [True, False]
    >>> free.seen("locking") is free
    True

    One that snaps leaves the key where 1.0 is left of the throw:
    >>> ahead = Course(cut, Lobe(cut, 6.5), 1.0, snaps=True)
    >>> ahead.runs_ahead(np.radians([20.0, 26.0, 28.0])).tolist()
    [False, True, False]
    >>> ahead.travel(np.radians([20.0, 26.0])).round(4).tolist()
    [6.7307, 9.5]
    """

    tooth: Tooth | Teeth
    lobe: Lobe[Any]
    capture: Number
    snaps: bool = False

    @property
    def caught_angle(self) -> Any:
        """Key angle [rad] at which the detent catches the bolt, shape of the tooth; infinite where it never does.

        With `snaps` in the drive, where so much is left of the throw. On the relief where
        `sqrt(Rc^2 - y^2) - sqrt(R^2 - y^2)` is its reach, a quadratic in the second root; on a chamfer of slope g where
        `Rc - R cos(phi - g)` is the reach times `sin g`.
        """
        of: Any = maths(self.tooth.radius, self.capture)
        cut: Any = self.tooth
        lobe = self.lobe
        reach = self.capture + SLACK
        spread = cut.relief_radius**2 - cut.radius**2
        x = (spread - reach**2) / (2 * reach)
        on_relief = half_chord(cut.radius, x) >= lobe.relief_end[1] - SLACK
        near = (cut.relief_radius - reach * of.sin(lobe.slope)) / cut.radius
        phi = of.where(on_relief, of.asin(x / cut.radius), lobe.slope - of.acos(near))
        at_once = takeover(cut, self.capture).angle if self.snaps else cut.release_angle
        caught = of.where(cut.home_travel <= reach, at_once, phi - cut.half_angle)
        return of.where(cut.drives & (lobe.rests_off <= reach), caught, math.inf)

    @property
    def holds_back(self) -> Any:
        """Whether [none] the trailing face stands in the gap when the bolt leaves the key, shape of the tooth."""
        cut: Any = self.tooth
        of: Any = maths(cut.radius, self.capture)
        leaves = of.where(
            self.caught_angle < cut.release_angle, self.caught_angle, cut.release_angle
        )
        return cut.drives & (cut.pickup_angle > leaves + SLACK)

    @property
    def corners(self) -> Array:
        """The angles [rad] of the unlocking stroke at which the law changes, shape (k,), of a single tooth."""
        cut: Any = self.tooth
        if not cut.drives:
            return np.zeros(0)
        found = [-cut.pickup_angle, 0.0, cut.release_angle, self.caught_angle]
        found += [cut.pickup_angle, -cut.release_angle] if self.holds_back else []
        return np.array(sorted({float(x) for x in found if math.isfinite(x)}))

    def seen(self, stroke: Stroke) -> "Course":
        """Return the course [none] with a `stroke` [none] in the place of unlocking: the same, both being alike."""
        del stroke
        return self

    def travel(self, angles: Array, stroke: Stroke = "unlocking") -> Array:
        """Return the bolt's travel [mm] from the locked seat, shape of tooth and `angles` [rad], in the `stroke` named.

        Until the release it is the law of motion; from then on `T - off`, or what the detent makes of that.
        """
        if stroke == "locking":
            return np.asarray(self.tooth.throw - self.travel(-angles))
        cut: Any = self.tooth
        pushed = cut.throw - self.lobe.off(angles)
        room = self._room(angles)
        drawn = np.maximum(np.minimum(room, cut.throw), pushed)
        after = np.where(angles >= self.caught_angle, drawn, pushed)
        driven = self._driven(angles)
        ahead = np.maximum(np.minimum(room, cut.throw), driven)
        driven = np.where(self.runs_ahead(angles), ahead, driven)
        return np.where(phases(cut, angles).let_go & cut.fits, after, driven)

    def runs_ahead(self, angles: Array) -> Any:
        """Say where the detent has the bolt [none] that the key would still push, shape of tooth and `angles` [rad]."""
        cut: Any = self.tooth
        caught = self.snaps & cut.drives & (angles >= self.caught_angle)
        return caught & np.logical_not(phases(cut, angles).let_go)

    def leaving(self, angles: Array) -> Leaving:
        """Sort `angles` [rad] of unlocking by what [none] happens to the bolt then, shape of tooth and angles."""
        cut: Any = self.tooth
        gone = phases(cut, angles).let_go | self.runs_ahead(angles)
        caught = gone & (angles >= self.caught_angle)
        held = caught & (self._room(angles) < cut.throw - SLACK)
        left = gone & ~caught
        pushed = left & (self.lobe.off(angles) > self.lobe.rests_off + SLACK)
        return Leaving(pushed, held, caught & ~held, left & ~pushed)

    def _driven(self, angles: Array) -> Array:
        """Return the travel [mm] until the release at `angles` [rad].

        It is the law's, but for a pick-up so early that the corner is still below the foot: then the corner comes up
        along chamfer and relief and pushes the bolt ahead.
        """
        cut: Any = self.tooth
        phi = angles + cut.half_angle
        height = cut.radius * np.cos(phi)
        below = phases(cut, angles).on_foot & (angles < -cut.release_angle - 2 * cut.half_angle)
        slope, end = self.lobe.slope, self.lobe.relief_end[1]
        arc = np.sqrt(np.maximum(cut.relief_radius**2 - height**2, 0.0))
        line = (cut.relief_radius - height * np.cos(slope)) / np.maximum(np.sin(slope), SLACK)
        comes = np.where(height >= end, arc, line) - cut.radius * np.sin(phi)
        lowest = np.where(self.lobe.cut > 0, self.lobe.lower, end)
        meets = self.lobe.relieved & (height >= lowest)
        pushed = np.where(meets, np.maximum(cut.throw - comes, 0.0), 0.0)
        return np.where(below, pushed, travel(cut, angles))

    def _room(self, angles: Array) -> Array:
        """Return how far [mm] the trailing side of the bit lets the bolt go at `angles` [rad] after the release.

        Seen in the mirror the trailing face drives the locking flank: `T - s(-t)` as long as that is on the foot. Where
        the key let go before top dead centre, the trailing corner first comes up along the other relief.
        """
        cut: Any = self.tooth
        mirrored = -angles
        foot = (mirrored > -cut.pickup_angle) & (mirrored < np.minimum(cut.release_angle, 0.0))
        room = np.where(foot, cut.throw - self._driven(mirrored), np.inf)
        return np.where(mirrored >= cut.release_angle, self.lobe.off(mirrored), room)
