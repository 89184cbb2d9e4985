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
from core.mechanism.channel_line import Middle, Place, between
from core.mechanism.maths import Array

Ends = tuple[float, float]
"""What there is at the near and at the outer face of a guide [mm]."""
SAME = 1e-9
"""Difference [mm or rad] that is the rounding of numbers."""


@dataclass(frozen=True)
class Channel:
    """The slot of one guide: at its near and at its outer face the x, how much too high its floor stands, and its room.

    `room` are the least and the greatest height [mm], against the bolt line, that the bolt's top edge may have there.
    """

    faces: Ends
    ups: Ends
    room: tuple[Ends, Ends]

    @property
    def ends(self) -> tuple[Place, Place]:
        """Both faces: x, and the least and the greatest height of the top edge."""
        (near, outer), (at_near, at_outer) = self.faces, self.room
        return (near, *at_near), (outer, *at_outer)


@dataclass(frozen=True)
class Lies:
    """A bolt in its guides: the line of its top edge against the bolt line, and the play [mm] that is left to it.

    `front` and `rear` are the room above and below in each guide.
    """

    line: Middle
    front: tuple[float, float]
    rear: tuple[float, float]

    @property
    def left(self) -> float:
        """The room [mm] on either side at the tightest of the four ends, below 0 where it does not go in."""
        return self.line.room

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

    def seen(self, x: Array | float, y: Array | float) -> tuple[Array | float, Array | float]:
        """Return where a place beside the bolt is seen square to it, that stands at `x` and beside it at `y` [mm].

        `y` is its height on a bolt that lies as planned; numbers, or arrays whose shapes broadcast to the result's.
        """
        cos, sin = math.cos(self.tilt), math.sin(self.tilt)
        return x * cos + (y + self.up + self.line.slope * x) * sin, (y + self.up) * cos

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
        _channel(
            layout, "front_guide", (-front.from_centreline, -front.from_centreline - front.width),
            (off.front_near, off.front_outer), (off.front_near_roof, off.front_outer_roof),
        ),
        _channel(
            layout, "rear_guide", (rear.from_centreline, rear.from_centreline + rear.width),
            (off.rear_near, off.rear_outer), (off.rear_near_roof, off.rear_outer_roof),
        ),
    )  # fmt: skip


def _channel(layout: Layout, table: str, faces: Ends, ups: Ends, shallow: Ends) -> Channel:
    low, high = slot_room(layout, table)
    near, outer = ((low + up, high + up - less) for up, less in zip(ups, shallow, strict=True))
    return Channel(faces, ups, (near, outer))


def slot_room(layout: Layout, part: str) -> tuple[float, float]:
    """Return the least and greatest height [mm] that the bolt's top edge may have in a slot as it was planned."""
    cut_as = slot_of(layout, part)
    slide = cut_as.fit.slide_clearance
    # a leg thinner than the slot was filed for can lie so much lower in it
    return leg_in(layout.lock, part) - leg_in(cut_as, part) - slide, slide


def slot_of(layout: Layout, part: str) -> Lock:
    """Return the lock that the slot of a guide or of the shackle was made to, where it is made; else this one."""
    return layout.slots_as.get(part, layout.lock)


def leg_in(lock: Lock, part: str) -> float:
    """Return how high [mm] the leg is that goes into a guide or the shackle."""
    return lock.bolt.tail_height if part == "rear_guide" else lock.bolt.nose_height


@derived
def as_planned(layout: Layout) -> bool:
    """Say whether the bolt lies in its guides as it was planned to, with the play that was planned."""
    here = lies(layout)
    off = here.up, here.tilt, here.left - layout.lock.fit.slide_clearance
    return max(map(abs, off)) < SAME


@derived
def lies(layout: Layout) -> Lies:
    """Return how the bolt lies in its guides."""
    front, rear = channels(layout)
    slide = layout.lock.fit.slide_clearance
    line = Middle(0.0, 0.0, slide)
    if any(room != (-slide, slide) for one in (front, rear) for room in one.room):
        line = between((*front.ends, *rear.ends))

    def room(channel: Channel) -> tuple[float, float]:
        off = [(high - line.at(x), line.at(x) - low) for x, low, high in channel.ends]
        return min(above for above, _ in off), min(below for _, below in off)

    return Lies(line, room(front), room(rear))
