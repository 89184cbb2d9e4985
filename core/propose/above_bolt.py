"""What limits the spring and the notches above the bolt, worked out for many locks at a time, as `core.propose.limits`.

Strip and notches themselves are those of the one lock: of what stands about them it is asked here.
"""

from collections.abc import Iterator

import numpy as np

from core.layout.layout import Layout
from core.mechanism.maths import Array
from core.mechanism.notch import Notch
from core.parts import detent_limits, spring_limits
from core.parts.detent_limits import metal_below, stays_off
from core.parts.notches import tip_at
from core.parts.strip import Strip, notch_within, strip_of, tip_radius
from core.parts.strip_place import ends
from core.propose.limits import Limit
from core.propose.locks import Locks

_LEAST_HIGH = 1e-3
"""Height [mm] over which the wall beside a strip is looked at where no room at all is kept for it."""


def above_bolt(locks: Locks) -> Iterator[Limit]:
    """Yield what limits strip and notches of the locks; nothing of what is only felt."""
    made = strip_of(locks.lock)
    cut = None
    if locks.lock.detent.kind == "notches":
        cut = notch_within(locks.lock, locks.throw)
    if made is not None:
        yield from _of_strip(locks, made)
    if made is not None or cut is not None:
        yield from _of_tip(locks)
    if cut is not None:
        yield from _of_notches(locks, cut)


def _of_strip(locks: Locks, made: Strip) -> Iterator[Limit]:
    layout = Layout(locks.lock)
    (left, right), tip = ends(layout, made), np.full(locks.count, tip_at(layout))
    kept = locks.at("bolt_line.spring_room")
    low, high = locks.line, locks.line + np.maximum(kept, _LEAST_HIGH)
    beside = np.minimum(
        locks.walls.left(low, high, tip) + left, locks.walls.right(low, high, tip) - right
    )
    yield Limit(spring_limits.SPRING_TOO_HIGH, "the strip in its room", kept - made.room)
    yield Limit(spring_limits.SPRING_OUTSIDE_WALL, "the strip at the wall", beside)
    yield Limit(spring_limits.SPRING_AT_SHACKLE, "the strip at the shackle", left + locks.face)


def _of_tip(locks: Locks) -> Iterator[Limit]:
    tip, half = tip_at(Layout(locks.lock)), tip_radius(locks.lock)
    nose, tail = locks.legs
    near = [locks.at(f"{guide}_guide.from_centreline") for guide in ("front", "rear")]
    yield Limit(
        spring_limits.TIP_IN_GUIDE, "the spring's tip at a guide",
        np.minimum(tip + near[0], near[1] - tip) - half,
    )  # fmt: skip
    yield Limit(
        spring_limits.SPRING_OFF_BOLT, "the spring's tip on the bolt",
        np.minimum(tip - locks.throw - nose, tail - tip),
    )  # fmt: skip


def _of_notches(locks: Locks, cut: Notch[Array]) -> Iterator[Limit]:
    layout, (nose, tail) = Layout(locks.lock), locks.legs
    high = locks.at("bolt.nose_height"), locks.at("bolt.depth"), locks.at("bolt.tail_height")
    below = metal_below(layout, cut, locks.teeth, (nose, tail), locks.body, high)
    tip = tip_at(layout)
    yield Limit(
        detent_limits.NOTCH_TOO_DEEP, "the metal below a notch", below - locks.at("fit.bridge_min")
    )
    yield Limit(
        detent_limits.NOTCHES_MEET, "one notch at the other",
        locks.throw / 2 - locks.at("detent.half_width"),
    )  # fmt: skip
    yield Limit(
        detent_limits.NOTCH_OFF_BOLT, "a notch on the bolt",
        np.minimum(tip - locks.throw - nose, tail - tip) - cut.half_width,
    )  # fmt: skip


def shut_out_by_detent(locks: Locks) -> Iterator[Limit]:
    """Yield what is left of the key clearance where the detent draws the bolt not quite home: a demand, no room."""
    off = stays_off(Layout(locks.lock))
    if off is not None:
        yield Limit(
            detent_limits.STOPS_SHORT, "the bit past a bolt that rests short",
            locks.at("fit.key_clearance") - off,
        )  # fmt: skip
