"""What the key's turn takes: forces on the bolt and torque on the key, over the whole stroke.

Rows of the arrays are the friction cases of `core.turning.friction_table.friction_cases`: each condition's low and
high end. Left out, because they are small beside the spring's force: the bolt's own weight (a few grams)
and the friction of the shank in its hole.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.layout.layout import Layout
from core.layout.loads import Load
from core.mechanism.contact import contact
from core.mechanism.law import Stroke, phases, side, travel
from core.mechanism.maths import Array
from core.mechanism.statics import Applied, Balance, Bearings, Contact, balance
from core.parts.bolt_contour import bolt
from core.parts.bolt_lies import Lies, lies
from core.parts.guide_places import front_guide, rear_guide
from core.parts.tooth import ahead_by, course, tooth_seen
from core.turning.friction_table import case_of, friction_cases
from core.whole import assembly

FAINT = 1e-9
"""Force [N] that always holds the bolt back, so that a bolt without any load can still be seen to jam."""
STEP = np.radians(1.0)
"""Step [rad] of charts, of the report, and of the search for the worst."""


@dataclass(frozen=True)
class Effort:
    """Forces [N] and torque [N mm] at n angles [rad] in c friction cases, shape (c, n).

    Where nothing is driven, the key takes nothing and the guides carry what the spring puts on them; NaN
    where the bolt jams. `cocking` is L / (2 d), the coefficient at which the
    guides alone would bind the bolt, shape (n,), infinite where nothing is driven.
    """

    angles: Array
    flank_force: Array
    front_reaction: Array
    rear_reaction: Array
    torque: Array
    jams: NDArray[np.bool_]
    cocking: Array

    def ends(self, name: str, condition: str) -> tuple[Array, Array]:
        """Return a quantity, by its name here, at the low and the high end of a condition, shape (n,)."""
        values = getattr(self, name)
        return values[case_of(condition, "low")], values[case_of(condition, "high")]


@dataclass(frozen=True)
class Drive:
    """What the statics need of m angles [rad] at which the key drives, seen so that the bolt slides to +x.

    `travel` (m,) is from the locked seat [mm]; `lies` is how the bolt lies in its guides, square to which all is seen.
    """

    angles: Array
    stroke: Stroke
    travel: Array
    contact: Contact
    bearings: Bearings
    lies: Lies

    def balance(self, mu: Array, loads: Iterable[Load]) -> Balance:
        """Return the balance, shape (c, m), at coefficients of friction `mu`, shape (c, 1)."""
        way, middle = side(self.stroke), self.bearings.middle
        fx = np.full((len(mu), len(self.angles)), -FAINT)
        fy, moment = np.zeros(fx.shape), -middle * fx
        for load in loads:
            against, down = load.force(self.stroke, self.travel, mu)
            x, y = self.lies.seen(*load.place(self.travel))
            fx = fx - against
            fy = fy - down
            moment = moment + y * against - way * x * down
        return balance(self.contact, self.bearings, Applied(fx, fy, moment), mu)

    @property
    def cocking(self) -> Array:
        """L / (2 d) at each angle, shape (m,)."""
        return self.bearings.cocking(self.contact.y)


def drive(layout: Layout, angles: Array, stroke: Stroke = "unlocking") -> Drive:
    """Return what the statics need of `angles` [rad], all of them in the drive."""
    cut = tooth_seen(layout, stroke)
    moved = travel(cut, angles, stroke)
    bears = bearings(layout, moved, stroke)
    return Drive(angles, stroke, moved, contact(cut, side(stroke) * angles), bears, lies(layout))


def effort(layout: Layout, angles: Array, stroke: Stroke = "unlocking") -> Effort:
    """Return what the turn takes at `angles` [rad], shape (n,), in all conditions, shape (6, n)."""
    return effort_at(layout, angles, stroke, friction_cases(layout), assembly.loads(layout))


def effort_at(
    layout: Layout, angles: Array, stroke: Stroke, mu: Array, loads: Iterable[Load]
) -> Effort:
    """Return what the turn takes under given coefficients `mu`, shape (c, 1), and `loads` [N]."""
    now = phases(tooth_seen(layout, stroke), side(stroke) * angles)
    driven = now.on_foot | now.on_flank
    shape = (len(mu), len(angles))
    push, torque, jams = np.zeros(shape), np.zeros(shape), np.zeros(shape, dtype=bool)
    front, rear = (
        np.broadcast_to(v, shape).copy() for v in _resting(layout, angles, stroke, loads)
    )
    cocking = np.full(len(angles), np.inf)
    if driven.any():
        at = drive(layout, angles[driven], stroke)
        found = at.balance(mu, loads)
        push[:, driven], torque[:, driven] = found.push, found.torque
        front[:, driven], rear[:, driven] = found.front, found.rear
        jams[:, driven], cocking[driven] = found.jams, at.cocking
    return Effort(angles, push, front, rear, torque, jams, cocking)


def _resting(
    layout: Layout, angles: Array, stroke: Stroke, loads: Iterable[Load]
) -> tuple[Array, Array]:
    """Return the reactions [N] of the front and rear guide, shape (n,), while nothing pushes along."""
    moved = course(layout).travel(angles, stroke)
    bears = bearings(layout, moved, "unlocking")
    weight, turning = np.zeros(len(angles)), np.zeros(len(angles))
    for load in loads:
        _, down = load.force(stroke, moved, np.zeros(1))
        x, _ = lies(layout).seen(*load.place(moved))
        weight = weight + down
        turning = turning + x * down
    return bears.resting(weight, turning)


def bearings(layout: Layout, at_travel: Array, stroke: Stroke) -> Bearings:
    """Return where the guides bear on the bolt at travels [mm], shape (n,), seen so that it slides to +x.

    The middle of each guide; for the nose its tip, once that has been drawn past the middle. Of a bolt that its guides
    have tilted or raised, as it lies in them and square to it.
    """
    front, rear, line = front_guide(layout), rear_guide(layout), layout.lock.bolt_line.height
    here, low, deep = lies(layout), line - front.leg / 2, line - rear.leg / 2
    near, front_y = here.seen(-front.near, low)
    middle, _ = here.seen(-(front.near + front.far) / 2, low)
    rear_x, rear_y = here.seen((rear.near + rear.far) / 2, deep)
    tip = np.minimum(bolt(layout).nose_tip + ahead_by(layout) + at_travel, near)
    way = side(stroke)
    return Bearings(
        way * np.maximum(middle, tip), np.full(len(at_travel), way * rear_x), front_y, rear_y
    )
