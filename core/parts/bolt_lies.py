"""How the bolt lies in its guides as they are fixed: level on the bolt line, or raised and tilted by what they are off.

Where the slots are not in one line with the bolt line, it lies on the line that leaves it the most room at the tightest
place (`core.mechanism.channel_line`); where they are, that is the bolt line. A tilted bolt slides along itself. Seen
square to it, it is level, and the pivot has another height and place below it: so the key is followed
(`core.parts.tooth`), its angles counted from square to the bolt. Drive frame, lengths in mm, angles in radians.
"""

import math
from dataclasses import dataclass

from core.geometry.motion import Motion, turned
from core.layout.layout import Layout, derived
from core.lock.lock import Lock
from core.mechanism.channel_line import Middle, through


@dataclass(frozen=True)
class Channel:
    """The slot of one guide: the x of its `near` and `outer` face, and how much too high it stands at each [mm]."""

    near: float
    outer: float
    near_up: float
    outer_up: float

    @property
    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Both faces: x, and how much too high."""
        return (self.near, self.near_up), (self.outer, self.outer_up)


@dataclass(frozen=True)
class Lies:
    """A bolt in its guides: the line of its top edge against the bolt line, and the play [mm] that is left to it.

    `left` is the room on either side at the tightest of the four ends, below 0 where it does not go in; `front` and
    `rear` are the room above and below in each guide.
    """

    line: Middle
    left: float
    front: tuple[float, float]
    rear: tuple[float, float]

    @property
    def tilt(self) -> float:
        """Angle [rad] by which it is tilted, anticlockwise: nose down, where that is to the left."""
        return math.atan(self.line.slope)

    @property
    def up(self) -> float:
        """How much higher [mm] it is above the pivot."""
        return self.line.height

    def above(self, height: float) -> float:
        """Return how far [mm] its top edge passes the pivot, square to it, on a bolt line of that height [mm]."""
        return (height + self.up) * math.cos(self.tilt)

    def ahead(self, height: float) -> float:
        """Return how much farther to +x [mm] it is seen square to itself; its top edge stays on the centreline."""
        return (height + self.up) * math.sin(self.tilt)

    @property
    def motion(self) -> Motion:
        """The motion from what is seen square to the bolt to where it lies."""
        return turned(-self.tilt)


@derived
def channels(layout: Layout) -> tuple[Channel, Channel]:
    """Return the slots of the front and the rear guide."""
    lock, off = layout.lock, layout.lock.as_fixed
    front, rear = lock.front_guide, lock.rear_guide
    return (
        Channel(
            -front.from_centreline, -front.from_centreline - front.width, off.front_near, off.front_outer
        ),
        Channel(rear.from_centreline, rear.from_centreline + rear.width, off.rear_near, off.rear_outer),
    )  # fmt: skip


def in_line(lock: Lock) -> bool:
    """Say whether the slots stand where the bolt line has them."""
    off = lock.as_fixed
    return off.front_near == off.front_outer == off.rear_near == off.rear_outer == 0


@derived
def lies(layout: Layout) -> Lies:
    """Return how the bolt lies in its guides."""
    slide = layout.lock.fit.slide_clearance
    front, rear = channels(layout)
    line = Middle(0.0, 0.0, 0.0)
    if not in_line(layout.lock):
        line = through((*front.ends, *rear.ends))

    def room(channel: Channel) -> tuple[float, float]:
        off = [up - line.at(x) for x, up in channel.ends]
        return slide + min(off), slide - max(off)

    return Lies(line, slide - line.most, room(front), room(rear))
