"""The map: two dimensions across and up, and at each place the room that the lock would have left to its nearest limit.

Everything else stays as it is in the lock. What the map looks at is `core.propose.map_limits`; where the lock itself is
every check is asked besides, so that what no map looks at is told there.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.checks.gathered import findings
from core.errors import BadEntryError
from core.layout.findings import Finding
from core.layout.layout import Layout
from core.lock.in_mirror import OTHER
from core.lock.lock import Lock, spec_of
from core.mechanism.maths import Array
from core.parts.plate import wall_distance_at
from core.propose.limits import Limit, every_limit, nearest
from core.propose.locks import Locks
from core.propose.map_limits import map_limits

ACROSS, UP = "key.radius", "pivot.below"
"""What is looked at first."""
DIMENSIONS = (
    "key.radius", "key.bit_thickness", "key.shank", "pivot.below", "pivot.across", "bolt_line.height",
    "bolt_line.spring_room", "tooth.pickup_angle", "bolt.depth", "bolt.nose_height", "bolt.tail_height",
    "bolt.lobe_width", "shackle.across", "shackle.diameter", "shackle.drop", "shackle.engagement", "shackle.gap",
    "front_guide.from_centreline", "front_guide.width", "front_guide.floor", "rear_guide.from_centreline",
    "rear_guide.width", "rear_guide.floor", "fit.key_clearance", "fit.slide_clearance", "fit.bridge_min",
    "fit.key_max", "fit.detent_capture",
)  # fmt: skip
"""All that a map can be of: what `core.propose.map_limits` takes in arrays, and a limit hangs on. The plate is none."""
LEFT_OUT = (
    "where the bolt jams, a stop before a seat, parts that are made, or what would stop the lock anywhere on it; "
    "the lock itself is held against these too"
)
"""What can stop a lock and no map looks at, in words."""
COLUMNS, ROWS = 60, 40
_WIDEST = (0.35, 2.2)
"""Between which shares of its value a dimension is looked at, before the map is fitted to what was found."""
_LEAST = 4.0
"""Least way [mm or degrees] either side of the lock that is looked at."""
_COARSE = 28
_AROUND = 0.12
"""Share of what works that is shown around it."""
_SHOWN = 0.5
"""Share of a dimension's value that is shown about it where nothing works at all."""
_STEPS = 80


@dataclass(frozen=True)
class RoomMap:
    """The room left [mm] at each place: `margin`, shape (rows, columns), the lowest row first, negative where it stops.

    `xs`, `ys` are the places [mm or degrees] of columns and rows; `rules` numbers the limit that leaves that room.
    `here` is where the lock itself is, `room` [mm] what it has left, and `by` the number of the limit. `stopped` is
    what stops it there all the same, which no map looks at, `best_stopped` what would at the place with the most room:
    None until `seen_whole`.
    """

    lock: Lock
    across: str
    up: str
    xs: Array
    ys: Array
    margin: Array
    rules: NDArray[np.intp]
    limits: tuple[Limit, ...]
    here: tuple[float, float]
    room: float
    by: int
    stopped: tuple[Finding, ...] | None = None
    best_stopped: tuple[Finding, ...] | None = None

    @cached_property
    def ruling(self) -> tuple[int, ...]:
        """The numbers of the limits that rule somewhere, those that rule most first."""
        found, counts = np.unique(self.rules, return_counts=True)
        order = sorted(zip(counts.tolist(), found.tolist(), strict=True), reverse=True)
        return tuple(dict.fromkeys([*(number for _, number in order), self.by]))

    @property
    def best(self) -> tuple[int, int]:
        """Row and column of the place with the most room."""
        row, column = np.unravel_index(int(np.argmax(self.margin)), self.margin.shape)
        return int(row), int(column)

    @property
    def cell(self) -> tuple[int, int]:
        """Row and column of the lock itself, at the edge where it lies beyond."""
        column = int(np.argmin(np.abs(self.xs - self.here[0])))
        return int(np.argmin(np.abs(self.ys - self.here[1]))), column


def room_map(
    lock: Lock, across: str = ACROSS, up: str = UP, columns: int = COLUMNS, rows: int = ROWS
) -> RoomMap:
    """Return the map of a lock over two of its dimensions, about what works and the lock itself.

    Raises
    ------
    BadEntryError
        For a path that is none of `DIMENSIONS`, or one twice.
    """
    at = Layout(lock).lock
    if across == up:
        raise BadEntryError(f"The map takes two dimensions, and {across} is given twice")
    for path in (across, up):
        if not at.has(path) or not spec_of(path).kind.number:
            raise BadEntryError(f"{path} is no dimension of this lock, which the map could show")
        if path not in DIMENSIONS:
            raise BadEntryError(
                f"{path} is nothing that the map knows the room for: it takes sizes of key, pivot, bolt line, bolt, "
                "shackle, guides and fit"
            )
    wide = {path: _spread(at, path) for path in (across, up)}
    xs, ys = (np.linspace(*wide[path], _COARSE) for path in (across, up))
    margin, _, _ = _margins(at, across, up, xs, ys)
    works = margin >= 0
    shown = [
        _fitted(at, path, places, np.asarray(works.any(axis=axis)), wide[path])
        for path, places, axis in ((across, xs, 0), (up, ys, 1))
    ]
    xs, ys = np.linspace(*shown[0], columns), np.linspace(*shown[1], rows)
    margin, rules, found = _margins(at, across, up, xs, ys)
    here = (float(at.value(across)), float(at.value(up)))
    room, by = nearest(map_limits(Locks(at, {})))
    return RoomMap(at, across, up, xs, ys, margin, rules, found, here, float(room[0]), int(by[0]))


def with_mark(found: RoomMap, lock: Lock) -> RoomMap:
    """Return a map with the mark of another lock, which differs in its two dimensions at most."""
    at = Layout(lock).lock
    here = (float(at.value(found.across)), float(at.value(found.up)))
    room, by = nearest(map_limits(Locks(at, {})))
    return replace(found, lock=at, here=here, room=float(room[0]), by=int(by[0]), stopped=None)


def at_best(found: RoomMap, lock: Lock) -> Lock:
    """Return the lock of a map at the place with the most room."""
    row, column = found.best
    there = lock.with_value(found.across, float(found.xs[column]))
    return there.with_value(found.up, float(found.ys[row]))


def seen_whole(found: RoomMap, lock: Lock) -> RoomMap:
    """Return the map of a lock with what every check says of the lock, and of it at the place with the most room."""
    here = () if found.room < 0 else stops_of(findings(Layout(lock)))
    row, column = found.best
    works = found.margin[row, column] >= 0
    best = stops_of(findings(Layout(at_best(found, lock)))) if works else ()
    return replace(found, stopped=here, best_stopped=best)


def stops_of(every: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return those findings that stop a lock."""
    return tuple(found for found in every if found.level == "stop")


def _margins(
    lock: Lock, across: str, up: str, xs: Array, ys: Array
) -> tuple[Array, NDArray[np.intp], tuple[Limit, ...]]:
    shape = (len(ys), len(xs))
    locks = Locks(lock, {across: xs[None, :], up: ys[:, None]})
    found = map_limits(locks)
    margin, rules = nearest(found)
    return margin.reshape(shape), rules.reshape(shape).astype(np.intp), found


def _spread(lock: Lock, path: str) -> tuple[float, float]:
    """Return between which values a dimension is looked at [mm or degrees]."""
    spec, now = spec_of(path), float(lock.value(path))
    far = sorted(share * now for share in _WIDEST)
    low, high = min(far[0], now - _LEAST), max(far[1], now + _LEAST)
    return max(low, spec.low), min(high, spec.high)


def _fitted(
    lock: Lock, path: str, places: Array, works: NDArray[np.bool_], wide: tuple[float, float]
) -> tuple[float, float]:
    """Return what of a dimension is shown [mm or degrees]: where it works, the lock itself, and a little around."""
    now = float(lock.value(path))
    step = float(places[1] - places[0])
    kept = [now, *(places[works].tolist())]
    around = max(_AROUND * (max(kept) - min(kept)), step)
    if not works.any():
        around = max(_SHOWN * abs(now), step)
    return max(min(kept) - around, wide[0]), min(max(kept) + around, wide[1])


@dataclass(frozen=True)
class Side:
    """How far [mm] the key's circle with its clearance is from what stands on one `side` of it, `by` in a few words.

    Below 0 it stands in it.
    """

    side: str
    room: float
    by: str


def beside_key(lock: Lock) -> tuple[Side, ...]:
    """Return the room above, below, left and right of the key's circle, seen from inside the back plate."""
    at = Layout(lock).lock
    found = {limit.code.name: float(limit.spare[0]) for limit in every_limit(Locks(at, {}))}
    locking = OTHER[at.unlocks]
    near = {
        "above": [(found["bridge-thin"], "the least bridge")],
        locking: [(found["front-guide-in-key-circle"], "the front guide")],
        at.unlocks: [(found["rear-guide-in-key-circle"], "the rear guide")],
    }
    sides = []
    for side, way in (
        ("above", (0.0, -1.0)), ("below", (0.0, 1.0)), ("left", (-1.0, 0.0)), ("right", (1.0, 0.0)),
    ):  # fmt: skip
        every = [*near.get(side, ()), (_to_wall(at, way), "the inner wall")]
        sides.append(Side(side, *min(every)))
    return tuple(sides)


def _to_wall(lock: Lock, way: tuple[float, float]) -> float:
    """Return how far [mm] the pivot could go a way, across and down the plate, until its circle meets the wall."""
    layout, circle = Layout(lock), lock.key.radius + lock.fit.key_clearance
    across, below = lock.pivot.across, lock.pivot.below

    def clear(far: float) -> float:
        place = np.array([below + way[1] * far])
        return float(wall_distance_at(layout, across + way[0] * far, place)[0]) - circle

    if (now := clear(0.0)) < 0:
        return now
    low, high = 0.0, max(now, 0.5)
    while clear(high) >= 0:
        low, high = high, 2 * high
    for _ in range(_STEPS // 2):
        middle = (low + high) / 2
        low, high = (middle, high) if clear(middle) >= 0 else (low, middle)
    return low
