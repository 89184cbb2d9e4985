"""What a turning bit does to a bolt, by a sweep of the space of both: key angle against the bolt's travel.

It knows no law of motion, only two outlines. At each key angle the places that the bolt cannot have are
intervals of its travel; they are exact for polygons, worked out level by level. The bolt is then followed through
a stroke, infinitely slowly: it stays where friction leaves it unless metal pushes it, and a detent, if there is one,
draws it to a seat within its reach as far as metal lets it.

Lengths mm, angles rad clockwise from +y. Any bolt polygon and any bit, as they were drawn or as they were made, the
bit's pivot anywhere.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.layout.layout import Layout
from core.parts.bolt_contour import bolt

Array = NDArray[np.float64]
Stroke = Literal["unlocking", "locking"]
Corners = Sequence[tuple[float, float]]
STEP = math.radians(0.25)
"""Step [rad] of the sweep; where what is free jumps it is halved down to `FINEST`."""
FINEST = 2e-5
STEEP = 3.0
"""Push [mm] for each [mm] that the bit's corner goes along, from which on metal stubs instead of pushing."""
TOUCH = 1e-7
"""Overlap [mm] that passes for touching."""
CHORDS = 5e-5
"""Tolerance [mm] of the chords that stand for arcs."""


def true_bit(
    radius: float, thickness: float, tip: int = 24, off: float = 0.0, corners: float = 0.0
) -> Corners:
    """Return a bit pointing up: parallel faces, corners on the circle of `radius` [mm], round between them.

    It stands `off` [mm] to the right of the middle; its `corners` are rounded to that radius [mm].
    """
    left, right = off - thickness / 2, off + thickness / 2
    round_tip = np.linspace(math.asin(left / radius), math.asin(right / radius), tip + 1)
    outer = [(radius * math.sin(b), radius * math.cos(b)) for b in round_tip]
    if corners:
        # what a disc of that radius sweeps that is rolled about inside; the bit goes on below, where it is not rounded
        sharp = shapely.Polygon([(left, -thickness), *outer, (right, -thickness)])
        size = min(corners, thickness / 2 - 1e-6)
        soft = sharp.buffer(-size, quad_segs=64).buffer(size, quad_segs=64)
        above = soft.intersection(shapely.box(left - 1, 0.0, right + 1, radius + 1))
        return [(float(x), float(y)) for x, y in above.exterior.coords[:-1]]
    return [(left, 0.0), *outer, (right, 0.0)]


def outline(layout: Layout, tolerance: float = CHORDS) -> BaseGeometry:
    """Return the bolt at the locked seat in the drive frame, from its exact contour, in fine chords."""
    return shapely.Polygon(bolt(layout).contour.points(tolerance))


@dataclass(frozen=True)
class Trapezoids:
    """An area cut along every level [mm] on which it has a corner: each piece between two edges.

    Shapes (n,): `low` and `high` level, and at those two levels the left and the right edge.
    """

    low: Array
    high: Array
    left: tuple[Array, Array]
    right: tuple[Array, Array]

    @cached_property
    def levels(self) -> tuple[Array, NDArray[np.intp]]:
        """Return all levels (m,), and which of them are the low and the high one of each piece, shape (2, n)."""
        found, at = np.unique(np.stack([self.low, self.high]), return_inverse=True)
        return found, at.reshape(2, -1)


def trapezoids(area: BaseGeometry, low: float, high: float) -> Trapezoids:
    """Cut an area, holes and all, between two levels [mm] into trapezoids."""
    begins, ends = [], []
    for polygon in shapely.get_parts(area):
        for ring in (polygon.exterior, *polygon.interiors):
            points = shapely.get_coordinates(ring)
            begins.append(points[:-1])
            ends.append(points[1:])
    a, b = np.concatenate(begins), np.concatenate(ends)
    upright = a[:, 1] != b[:, 1]
    a, b = a[upright], b[upright]
    levels = np.unique(np.concatenate([a[:, 1], b[:, 1], [low, high]]))
    levels = levels[(levels >= low) & (levels <= high)]
    bottom, top = np.minimum(a[:, 1], b[:, 1]), np.maximum(a[:, 1], b[:, 1])
    # between two levels every edge runs through or is not there
    between, edge = np.nonzero((bottom <= levels[:-1, None]) & (top >= levels[1:, None]))
    assert not (np.bincount(between) % 2).any()
    p, q, y0, y1 = a[edge], b[edge], levels[between], levels[between + 1]
    run = (q[:, 0] - p[:, 0]) / (q[:, 1] - p[:, 1])
    x0, x1 = p[:, 0] + run * (y0 - p[:, 1]), p[:, 0] + run * (y1 - p[:, 1])
    order = np.lexsort((x0 + x1, between))
    left, right = order[0::2], order[1::2]
    return Trapezoids(y0[left], y1[left], (x0[left], x1[left]), (x0[right], x1[right]))


@dataclass(frozen=True)
class Free:
    """The free travels [mm] at one key angle, as rising (begin, end)."""

    gaps: tuple[tuple[float, float], ...]


_NOTHING_THERE = Free(((-math.inf, math.inf),))


@dataclass
class Rig:
    """A bolt (at the locked seat) and a bit (pointing up, about the origin) that turns about `pivot`.

    `bit` is one convex outline or several that make it up.
    """

    bolt: BaseGeometry
    bit: Sequence[Corners]
    throw: float
    pivot: tuple[float, float] = (0.0, 0.0)
    known: dict[float, Free] = field(default_factory=dict)

    @cached_property
    def reach(self) -> float:
        """Distance [mm] of the bit's farthest corner from its pivot."""
        return max(math.hypot(x, y) for piece in self.bit for x, y in piece)

    @cached_property
    def metal(self) -> Trapezoids:
        """The part of the bolt that the bit can reach."""
        return trapezoids(self.bolt, self.pivot[1] - self.reach, self.pivot[1] + self.reach)

    def free(self, angle: float) -> Free:
        """Return the free travels at one key angle."""
        if angle not in self.known:
            self.look([angle])
        return self.known[angle]

    def look(self, angles: Sequence[float] | Array) -> None:
        """Work out the free travels at many key angles at once."""
        todo = [a for a in np.asarray(angles, float).tolist() if a not in self.known]
        self.known |= dict.fromkeys(self._below(todo), _NOTHING_THERE)
        new = np.array([a for a in todo if a not in self.known])
        if not len(new):
            return
        # as many at once as pay: of a fine outline few, whose corners then lie on few of its levels
        at_once = 64 if len(self.metal.levels[0]) < 400 else 16
        for some in np.array_split(new, max(len(new) // at_once, 1)):
            ends = [self._taken(np.asarray(piece), some) for piece in self.bit]
            begin, end = (np.concatenate(each, axis=1) for each in zip(*ends, strict=True))
            for k, angle in enumerate(some.tolist()):
                self.known[angle] = Free(_gaps(begin[k], end[k]))

    def _below(self, angles: Sequence[float]) -> list[float]:
        """Return the angles at which the whole bit is below the bolt, which then can be anywhere."""
        x, y = np.concatenate([np.asarray(piece) for piece in self.bit]).T
        cos, sin = (
            np.array([[turn(a)] for a in angles]).reshape(-1, 1) for turn in (math.cos, math.sin)
        )
        top = (y * cos - x * sin).max(axis=1)
        below = self.pivot[1] + top <= self.bolt.bounds[1]
        return [a for a, is_below in zip(angles, below.tolist(), strict=True) if is_below]

    def _taken(self, piece: Array, angles: Array) -> tuple[Array, Array]:
        """Return begin and end, shape (n, m), of the travels at which `piece` overlaps each trapezoid.

        Both are convex, so it is one interval: the least of the piece's left less the trapezoid's right over all
        levels that they share, to the most of the piece's right less the trapezoid's left; each is
        found at a corner of one or the other. NaN where they share no level.
        """
        turned = (piece[:, 0] + 1j * piece[:, 1]) * np.exp(-1j * angles)[:, None]
        x, y = turned.real + self.pivot[0], turned.imag + self.pivot[1]
        metal = self.metal
        bottom, top = y.min(axis=1)[:, None], y.max(axis=1)[:, None]
        shared = (metal.low < top) & (metal.high > bottom)
        begin = np.full(shared.shape, np.inf)
        end = np.full(shared.shape, -np.inf)
        # at the trapezoids' levels, where the piece spans them
        levels, at_level = metal.levels
        left, right = _width(x, y, levels)
        for k, level in enumerate((metal.low, metal.high)):
            spans = shared & (level >= bottom) & (level <= top)
            own = at_level[k]
            begin = np.where(spans, np.minimum(begin, left[:, own] - metal.right[k]), begin)
            end = np.where(spans, np.maximum(end, right[:, own] - metal.left[k]), end)
        # at the piece's corners that lie on a level of the trapezoid, of which those that can be stand in a row
        least, most = y.min(axis=0), y.max(axis=0)
        first = np.searchsorted(metal.high, least, "left")
        last = np.searchsorted(metal.low, most, "right")
        for k in range(x.shape[1]):
            px, py, near = x[:, k, None], y[:, k, None], slice(first[k], last[k])
            inside = shared[:, near] & (py >= metal.low[near]) & (py <= metal.high[near])
            rows, columns = np.nonzero(inside)
            columns += first[k]
            at = y[rows, k]
            share = (at - metal.low[columns]) / (metal.high[columns] - metal.low[columns])
            right = metal.right[0][columns] + share * (metal.right[1] - metal.right[0])[columns]
            left = metal.left[0][columns] + share * (metal.left[1] - metal.left[0])[columns]
            begin[rows, columns] = np.minimum(begin[rows, columns], px[rows, 0] - right)
            end[rows, columns] = np.maximum(end[rows, columns], px[rows, 0] - left)
        begin[~shared], end[~shared] = np.nan, np.nan
        return begin, end


def _width(x: Array, y: Array, level: Array) -> tuple[Array, Array]:
    """Return the left and right of convex outlines (n, k) at levels (m,), shape (n, m); of no meaning beyond."""
    left = np.full((len(x), len(level)), np.inf)
    right = np.full((len(x), len(level)), -np.inf)
    lower, upper = np.minimum(np.roll(y, 1, axis=1), y), np.maximum(np.roll(y, 1, axis=1), y)
    first = np.searchsorted(level, lower.min(axis=0), "left")
    last = np.searchsorted(level, upper.max(axis=0), "right")
    for k in range(x.shape[1]):
        near = slice(first[k], last[k])  # no edge crosses any other level at any of the angles
        some = level[near]
        x0, y0 = x[:, k - 1, None], y[:, k - 1, None]
        x1, y1 = x[:, k, None], y[:, k, None]
        crosses = (lower[:, k, None] <= some) & (upper[:, k, None] >= some)
        rise = np.where(y1 == y0, 1.0, y1 - y0)
        here = np.where(y1 == y0, x0, x0 + (x1 - x0) * (some - y0) / rise)
        np.minimum(left[:, near], here, out=left[:, near], where=crosses)
        np.maximum(right[:, near], here, out=right[:, near], where=crosses)
        flat = crosses & (y1 == y0)
        if flat.any():
            np.minimum(left[:, near], x1, out=left[:, near], where=flat)
            np.maximum(right[:, near], x1, out=right[:, near], where=flat)
    return left, right


def _gaps(begin: Array, end: Array) -> tuple[tuple[float, float], ...]:
    """Return what is left between intervals, those of no width left out."""
    good = ~np.isnan(begin) & (end - begin > 2 * TOUCH)
    begin, end = begin[good] + TOUCH, end[good] - TOUCH
    order = np.argsort(begin)
    begin = np.append(begin[order], math.inf)
    reached = np.maximum.accumulate(np.append(-math.inf, end[order]))
    free = begin > reached
    return tuple(zip(reached[free].tolist(), begin[free].tolist(), strict=True))


@dataclass(frozen=True)
class Followed:
    """A stroke followed: key `angles` (n,), the bolt's `travel` (n,) from the locked seat, until key-out or a block.

    `blocked` is the key angle at which the bit cannot go on, None where it can; `rests` where the bolt is in the end.
    """

    stroke: Stroke
    angles: Array
    travel: Array
    blocked: float | None

    @property
    def rests(self) -> float:
        return float(self.travel[-1])

    def at(self, angles: Array) -> Array:
        """Return the travel at `angles`, between the places looked at along a straight line."""
        way = 1 if self.stroke == "unlocking" else -1
        found: Array = np.interp(way * angles, way * self.angles, self.travel)
        return found


def follow(
    rig: Rig,
    stroke: Stroke,
    *,
    capture: float | None = None,
    start: float | None = None,
    until: float = math.pi,
    at: Array | None = None,
    step: float = STEP,
) -> Followed:
    """Turn the key from key-in to key-out (or `until`, in the direction of the stroke) and follow the bolt.

    `capture` [mm] is the reach of a detent at both seats, None: there is none. The bolt begins at its seat, or at
    `start`. The angles `at`, shape (n,), are among those looked at.
    """
    way = 1 if stroke == "unlocking" else -1
    # the same angles both ways, so that what was worked out for one stroke serves the other
    half = np.linspace(0.0, math.pi, round(math.pi / step) + 1)
    even = np.concatenate([-half[:0:-1], half])
    turn = even if at is None else np.unique(np.concatenate([even, way * at]))
    angles = way * turn[turn <= until + 1e-12]
    rig.look(angles)
    begin = rig.throw if stroke == "locking" else 0.0
    walk = _Walk(rig, capture)
    walk.stand(float(angles[0]), begin if start is None else start)
    seen, travel, blocked = [float(angles[0])], [walk.here], None
    for angle in angles[1:].tolist():
        if not walk.turn_to(angle):
            blocked = walk.angle
            break
        seen.append(angle)
        travel.append(walk.here)
    return Followed(stroke, np.array(seen), np.array(travel), blocked)


class _Walk:
    """The bolt on its way: the key angle, where the bolt is, and the free interval that it is in."""

    def __init__(self, rig: Rig, capture: float | None) -> None:
        self.rig, self.capture = rig, capture
        self.angle, self.here = 0.0, 0.0
        self.room = (-math.inf, math.inf)

    def stand(self, angle: float, here: float) -> None:
        self.angle = angle
        free = self.rig.free(angle)
        self.room = min(free.gaps, key=lambda g: max(g[0] - here, here - g[1], 0.0))
        self.here = min(max(here, self.room[0]), self.room[1])
        self._draw()

    def turn_to(self, angle: float) -> bool:
        """Turn the key on; say whether it could be, and stand where it could not go on if not."""
        todo = [angle]
        while todo:
            aim = todo[-1]
            push, room = self._into(self.rig.free(aim))
            if push > 0:  # most often nothing does
                step = abs(aim - self.angle)
                most = max(STEEP * self.rig.reach * step, TOUCH)
                # metal that was not beside the bolt before is met at its edge or not at all
                met = room[0] - self.room[0] if room[0] > self.here else self.room[1] - room[1]
                if (push > most or met > most) and step > FINEST:
                    todo.append((self.angle + aim) / 2)
                    continue
                if push > most:
                    return False
                self.here = min(max(self.here, room[0]), room[1])
            self.angle, self.room = aim, room
            self._draw()
            todo.pop()
        return True

    def _into(self, free: Free) -> tuple[float, tuple[float, float]]:
        """Return the least push [mm] into what is free and was part of the room so far, and the interval it leads into.

        One of the hot places of the tests: no call in it.
        """
        here, room = self.here, self.room
        least, most, best = room[0] - TOUCH, room[1] + TOUCH, math.inf
        for gap in free.gaps:
            if gap[0] <= most and gap[1] >= least:
                push = gap[0] - here if here < gap[0] else here - gap[1] if here > gap[1] else 0.0
                if push < best:
                    best, room = push, gap
        return best, room

    def _draw(self) -> None:
        if self.capture is None:
            return
        here, throw = self.here, self.rig.throw
        off, off_other = abs(here), abs(here - throw)
        seat, off = (0.0, off) if off <= off_other else (throw, off_other)
        if off <= self.capture:
            self.here = min(max(seat, self.room[0]), self.room[1])


def shut_out(rig: Rig, stroke: Stroke, most: float, within: float = 1e-3) -> float:
    """Return how far [mm] from its seat, towards the other, a bolt may rest before the incoming bit is stopped.

    There is no detent. A bit that comes up outside the lobe and pushes the bolt past a seat is stopped too. Looked for
    in steps of 0.1 up to `most`, then by halving; given as `most` where nothing stops it.
    """
    ahead = 1.0 if stroke == "unlocking" else -1.0
    seat = 0.0 if stroke == "unlocking" else rig.throw

    def stopped(off: float) -> bool:
        run = follow(rig, stroke, start=seat + ahead * off, until=0.0)
        past = run.travel.min() < -0.05 or run.travel.max() > rig.throw + 0.05
        return run.blocked is not None or bool(past)

    looks = np.arange(0.0, most + 0.1, 0.1)
    last = next((k for k, off in enumerate(looks) if stopped(float(off))), 0)
    if last == 0:
        return most
    good, bad = float(looks[last - 1]), float(looks[last])
    while bad - good > within:
        middle = (good + bad) / 2
        good, bad = (good, middle) if stopped(middle) else (middle, bad)
    return good


def rig_of(layout: Layout, **other: Any) -> Rig:
    """Return bolt and bit of a layout, in the drive frame, with what is to be different."""
    lock = layout.lock
    whole: dict[str, Any] = {
        "bolt": outline(layout),
        "bit": [true_bit(lock.key.radius, lock.key.bit_thickness)],
        "throw": lock.shackle.engagement + lock.shackle.gap,
    }
    return Rig(**{**whole, **other})
