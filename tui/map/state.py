"""The map at hand: which two dimensions it is of, the room, and the lock in it. Nothing here knows of a screen."""

from core.lock.lock import Lock, spec_of
from core.propose.room_map import DIMENSIONS, RoomMap
from tui.desk.desk import Desk

PAIRS = (
    ("key.radius", "pivot.below"), ("key.radius", "bolt_line.height"), ("bolt_line.height", "pivot.below"),
    ("shackle.engagement", "key.radius"), ("shackle.across", "front_guide.from_centreline"),
    ("shackle.engagement", "rear_guide.from_centreline"), ("bolt.lobe_width", "front_guide.from_centreline"),
    ("bolt.depth", "key.radius"),
)  # fmt: skip
"""The dimensions that are looked at together, one across and one up, the most telling first."""


def after(pair: tuple[str, str]) -> tuple[str, str]:
    """Return the pair that is looked at after another, the first after one that was chosen."""
    return PAIRS[(PAIRS.index(pair) + 1) % len(PAIRS)] if pair in PAIRS else PAIRS[0]


def with_one(pair: tuple[str, str], which: int, path: str) -> tuple[str, str]:
    """Return a pair with another dimension across, 0, or up, 1; the other one's own makes them change places."""
    across, up = pair
    if path == pair[1 - which]:
        return up, across
    return (path, up) if which == 0 else (across, path)


def from_here(path: str) -> tuple[str, ...]:
    """Return all that can be chosen, from the one at hand round."""
    here = DIMENSIONS.index(path)
    return (*DIMENSIONS[here:], *DIMENSIONS[:here])


def moved(desk: Desk, path: str, steps: int) -> Desk:
    """Return the desk with the dimension at `path` nudged by so many steps; nudges of one make one change."""
    lock, spec = desk.lock, spec_of(path)
    value = spec.nudged(lock.value(path), lock.units, steps)
    return desk.changed(lock.with_value(path, value), spec.label, path, small=True)


def to_most_room(desk: Desk, found: RoomMap) -> Desk:
    """Return the desk with the lock where the map has most room, on whole steps."""
    row, column = found.best
    lock = desk.lock
    for path, value in ((found.across, found.xs[column]), (found.up, found.ys[row])):
        spec = spec_of(path)
        step = spec.kind.grain(lock.units)
        near = round(round(float(value) / step) * step, 9)
        lock = lock.with_value(path, min(max(near, spec.low), spec.high))
    return desk.changed(lock, "to the most room on the map")


def same_but_for(found: RoomMap, lock: Lock) -> bool:
    """Say whether a map of one lock is that of another too, since they differ in its two dimensions at most."""
    for path in (found.across, found.up):
        lock = lock.with_value(path, found.lock.value(path))
    return lock == found.lock
