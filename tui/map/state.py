"""The map at hand: which two dimensions it is of, the room, and the lock in it. Nothing here knows of a screen."""

from collections.abc import Generator, Iterator
from dataclasses import dataclass

from core.layout.findings import Finding
from core.lock.lock import Lock, spec_of
from core.propose.room_map import DIMENSIONS, RoomMap, at_best, stops_of
from tui.desk.checking import hearing
from tui.desk.desk import Desk
from tui.desk.session import layout_of

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


@dataclass(frozen=True)
class Looked:
    """What every check says stops the lock: where it is, and at the place with the most room, None if not yet heard."""

    here: tuple[Finding, ...]
    best: tuple[Finding, ...] | None
    complete: bool


def looking(found: RoomMap, lock: Lock) -> Iterator[Looked | None]:
    """Hear every check of the lock of a map, one at a time; of what the map itself says is stopped none is asked."""
    here: tuple[Finding, ...] = ()
    if found.room >= 0:
        here = yield from _heard(lock)
    best = found.best_stopped
    yield Looked(here, best, complete=False)
    if best is None:
        row, column = found.best
        best = ()
        if found.margin[row, column] >= 0:
            best = yield from _heard(at_best(found, lock))
    yield Looked(here, best, complete=True)


def _heard(lock: Lock) -> Generator[None, None, tuple[Finding, ...]]:
    for checked in hearing(layout_of(lock)):
        if checked is not None:
            return stops_of(checked.findings)
        yield None
    raise AssertionError("the checks ended without a result")
