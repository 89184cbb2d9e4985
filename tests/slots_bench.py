"""A bolt in slots that came out as they did, put together without the program's line and law.

Floors and roofs are heights [mm] against where they were planned, at the four faces as `ENDS` names them; how the bolt
lies in them say linear programs (scipy, HiGHS) and a grid of bars (shapely), what the key does with it so laid a sweep
of key angle and travel (`tests/config_space.py`).
"""

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from scipy.optimize import linprog
from shapely.geometry.base import BaseGeometry

from core.lock.facts import with_measured
from core.lock.lock import Lock
from tests.guide_metal import ENDS, Ups, faces, fixed, goes_home, laid, most_of_grid, rig_of

Line = tuple[float, float]
"""Height on the centreline [mm] and slope of the bolt's top edge."""


@dataclass(frozen=True)
class Slots:
    """The `plan`, and how far floors and roofs stand too high [mm]; `thinner` are nose and tail than planned."""

    plan: Lock
    floors: Ups
    roofs: Ups
    thinner: tuple[float, float] = (0.0, 0.0)

    @property
    def measured(self) -> Lock:
        """The plan with all that measured."""
        lock = fixed(self.plan, self.floors)
        for end, floor, roof in zip(ENDS, self.floors, self.roofs, strict=True):
            if low := round(floor - roof, 9):
                guide = f"{end.partition('_')[0]}_guide"
                lock = with_measured(lock, guide, f"as_fixed.{end}_roof", low)
        for leg, less in zip(("nose", "tail"), self.thinner, strict=True):
            if less:
                path = f"bolt.{leg}_height"
                lock = with_measured(lock, "bolt", path, round(lock.value(path) - less, 9))
        return lock

    @property
    def leg_heights(self) -> list[float]:
        """How high the leg is that runs by each face, as it was made [mm]."""
        less = [self.thinner[n // 2] for n in range(4)]
        legs = [getattr(self.plan.bolt, leg) for _, leg in faces(self.plan)]
        return [high - by for high, by in zip(legs, less, strict=True)]

    def places(self, *, in_catch: bool = False) -> list[tuple[float, float, float]]:
        """Return x, and the least and the greatest height of the top edge there; with the shackle, where asked."""
        slide, lock = self.plan.fit.slide_clearance, self.plan
        thin = [self.thinner[n // 2] for n in range(4)]
        found = [
            (x, floor - less - slide, roof + slide)
            for (x, _), floor, roof, less in zip(
                faces(lock), self.floors, self.roofs, thin, strict=True
            )
        ]
        if in_catch:
            face = abs(lock.shackle.across) - lock.shackle.diameter / 2
            tip = face + lock.shackle.engagement
            found += [(-x, -slide - self.thinner[0], slide) for x in (face, tip)]
        return found

    def bar(self) -> BaseGeometry:
        """Return the two legs of the bolt in their guides, the top edge level with 0."""
        xs, legs = [x for x, _ in faces(self.plan)], self.leg_heights
        return shapely.union_all([
            shapely.box(min(xs[n : n + 2]) - 1, -legs[n], max(xs[n : n + 2]) + 1, 0.0) for n in (0, 2)
        ])  # fmt: skip

    def metal(self, wide: float = 3.0) -> BaseGeometry:
        """Return what stands above and below both slots, heights from the bolt line."""
        found, slide = [], self.plan.fit.slide_clearance
        legs = [getattr(self.plan.bolt, leg) for _, leg in faces(self.plan)]
        ends = [
            (x, -leg - slide + floor, slide + roof)
            for (x, _), leg, floor, roof in zip(
                faces(self.plan), legs, self.floors, self.roofs, strict=True
            )
        ]
        for (x0, low0, high0), (x1, low1, high1) in (ends[:2], ends[2:]):
            for y0, y1, out in ((low0, low1, -wide), (high0, high1, wide)):
                found.append(shapely.Polygon([(x0, y0), (x1, y1), (x1, y1 + out), (x0, y0 + out)]))
        return shapely.union_all(found)

    def room(self) -> float:
        """Return the most room [mm] that any height and slope of a grid leaves the bar; less than 0 for none."""
        around, legs = self.metal(), self.bar()
        every = [y for _, low, high in self.places() for y in (low, high)]
        wide = (max(every) - min(every)) / 2 + 0.1
        mid, half = (
            np.array([(max(every) + min(every)) / 2, 0.0]),
            np.array([wide, wide / 12]),
        )
        return most_of_grid(around, legs, mid, half, 5)

    def fits(self, line: Line) -> bool:
        """Say whether the bar so laid is clear of what stands above and below the slots."""
        return bool(laid(self.bar(), *line).intersection(self.metal()).area < 1e-9)

    def goes_home(self, line: Line) -> bool:
        """Say whether a sweep of bolt and bit, the bolt so laid, brings it home both ways and not past its seats."""
        return goes_home(self.measured, *line)

    def grazes(self) -> bool:
        """Say whether the bit, as it comes in, meets the edge of a lobe by so little that it may slip by or stop on it.

        The program lets it slip by up to 0.05; a sweep of sharp corners does not.
        """
        rig = rig_of(self.measured, *middle(self.places()))
        for way, seat in ((1, 0.0), (-1, rig.throw)):
            for degrees in range(-120, -20):
                gaps = rig.free(math.radians(way * degrees)).gaps
                if len(gaps) > 2:
                    off = max(gaps[1][0] - seat, seat - gaps[1][1])
                    if 1e-4 < off < 0.06:
                        return True
                    break
        return False

    def loosest(self) -> float:
        """Return the play [mm] beyond what was planned of the leg that has most of it, where its slot is tightest."""
        gaps = [high - low - 2 * self.plan.fit.slide_clearance for _, low, high in self.places()]
        return max(min(gaps[:2]), min(gaps[2:]))

    def works(self) -> bool:
        """Say whether the bolt goes in, the nose into the shackle, without rattling, and the key brings it home."""
        if most_room(self.places(in_catch=True)) < 0.01:
            return False
        return self.loosest() <= 0.5 + 1e-9 and self.goes_home(middle(self.places()))


def most_room(places: list[tuple[float, float, float]]) -> float:
    """Return the room [mm] at the tightest place of the line that has most there, by a linear program."""
    return _solved(places, [None] * len(places))[2]


def middle(places: list[tuple[float, float, float]]) -> Line:
    """Return the line with most room at the tightest place, and of these that with most at the next, and so on."""
    held: list[float | None] = [None] * len(places)
    while True:
        up, slope, room = _solved(places, held)
        if None not in held:
            return up, slope
        # those that cannot have more without another having less
        at_least = [room - 1e-9 if one is None else one for one in held]
        free = [k for k, one in enumerate(held) if one is None]
        stuck = [k for k in free if _most_at(places, at_least, k) < room + 1e-7]
        held = [room - 1e-9 if k in stuck else one for k, one in enumerate(held)]
        if not stuck:
            return up, slope


def _solved(
    places: list[tuple[float, float, float]], held: list[float | None]
) -> tuple[float, float, float]:
    """Return height, slope, and the room at the tightest of those places that are not held to one of their own."""
    rows, most = [], []
    for (x, low, high), own in zip(places, held, strict=True):
        free = 1.0 if own is None else 0.0
        rows += [[1.0, x, free], [-1.0, -x, free]]
        most += [high - (own or 0.0), -low - (own or 0.0)]
    found = linprog([0, 0, -1], A_ub=rows, b_ub=most, bounds=[(None, None)] * 2 + [(None, 1e3)])
    up, slope, room = map(float, found.x)
    return up, slope, room


def _most_at(places: list[tuple[float, float, float]], at_least: list[float], k: int) -> float:
    """Return the most room that one place can have where all others have at least theirs."""
    return _solved(places, [None if n == k else own for n, own in enumerate(at_least)])[2]


def slots_of(lock: Lock) -> Slots:
    """Return the slots of a lock in which they were measured: its plan, floors, roofs, and what the legs lack."""
    known = {path: value for record in lock.made for path, value in record.measured}
    plan = replace(lock, made=tuple(replace(record, measured=()) for record in lock.made))
    floors = tuple(float(known.get(f"as_fixed.{end}", 0.0)) for end in ENDS)
    lows = [float(known.get(f"as_fixed.{end}_roof", 0.0)) for end in ENDS]
    roofs = tuple(floor - low for floor, low in zip(floors, lows, strict=True))
    nose, tail = (
        plan.value(path) - known.get(path, plan.value(path))
        for path in ("bolt.nose_height", "bolt.tail_height")
    )
    return Slots(plan, floors, roofs, (nose, tail))
