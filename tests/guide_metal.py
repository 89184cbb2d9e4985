"""Guides that came out too high or too low, their metal by shapely, and how a bolt lies in them by a linear program."""

import math
from random import Random

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.optimize import linprog
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from core.layout.layout import Layout
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock
from core.mechanism.law import STROKES
from tests.bit_sweeps import made
from tests.config_space import Rig, follow, outline
from tests.designs import plausible, seeded
from tests.made_cases import bit_of

ENDS = ("front_near", "front_outer", "rear_near", "rear_outer")
Ups = tuple[float, ...]


def fixed(lock: Lock, ups: Ups) -> Lock:
    """Return a lock in which the floors of the slots were measured so much too high [mm]."""
    for end, up in zip(ENDS, ups, strict=True):
        if up:
            lock = with_measured(lock, f"{end.partition('_')[0]}_guide", f"as_fixed.{end}", up)
    return lock


def some(rng: Random, lock: Lock) -> Ups:
    """Return how the guides stand: raised, lowered, or tilted both along one line."""
    most = rng.choice((0.3, 1.0)) * lock.fit.slide_clearance + rng.choice((0.0, 0.0, 0.3))
    up, slope = rng.uniform(-most, most), rng.uniform(-most, most) / 30
    own = [rng.choice((0.0, rng.uniform(-0.7, 0.7) * lock.fit.slide_clearance)) for _ in range(2)]
    return tuple(round(up + slope * x + own[0 if x < 0 else 1], 3) for x, _ in faces(lock))


def in_slots(what: str, seed: int) -> tuple[Lock, Ups, Lock]:
    """Return a lock of which all parts are made, how its guides stand, and the lock with them so, by chance."""
    rng = seeded(f"{what} {seed}")
    plan = made(plausible(seed, roof="flat", outline="rectangle"))
    ups = some(rng, plan)
    return plan, ups, fixed(plan, ups)


def faces(lock: Lock) -> list[tuple[float, str]]:
    """Return the x of the four faces, in the drive frame, and the leg that runs between each pair."""
    front, rear = lock.front_guide, lock.rear_guide
    return [
        (-front.from_centreline, "nose_height"), (-front.from_centreline - front.width, "nose_height"),
        (rear.from_centreline, "tail_height"), (rear.from_centreline + rear.width, "tail_height"),
    ]  # fmt: skip


def metal(lock: Lock, ups: Ups, wide: float = 3.0) -> BaseGeometry:
    """Return what stands above and below the slots of both guides, as areas, heights from the bolt line."""
    found, slide = [], lock.fit.slide_clearance
    ends = [(x, getattr(lock.bolt, leg), up) for (x, leg), up in zip(faces(lock), ups, strict=True)]
    for (x0, leg, up0), (x1, _, up1) in (ends[:2], ends[2:]):
        for y, out in ((slide, wide), (-leg - slide, -wide)):
            corners = [(x0, y + up0), (x1, y + up1), (x1, y + up1 + out), (x0, y + up0 + out)]
            found.append(shapely.Polygon(corners))
    return shapely.union_all(found)


def bar(lock: Lock) -> BaseGeometry:
    """Return the two legs of the bolt in their guides, the top edge level with 0."""
    ends = faces(lock)
    legs = [
        shapely.box(min(a, b) - 1, -getattr(lock.bolt, leg), max(a, b) + 1, 0.0)
        for (a, leg), (b, _) in (ends[:2], ends[2:])
    ]
    return shapely.union_all(legs)


def laid(area: BaseGeometry, up: float, slope: float, level: float = 0.0) -> BaseGeometry:
    """Return an area turned about the place of its top edge on the centreline, and raised [mm]."""
    turned = affinity.rotate(area, math.atan(slope), origin=(0.0, level), use_radians=True)
    return affinity.translate(turned, 0.0, up)


def room(lock: Lock, ups: Ups) -> float:
    """Return the most room [mm] that any height and slope of a grid, made finer twice, leaves the bar; < 0 for none."""
    around, legs, slide = metal(lock, ups), bar(lock), lock.fit.slide_clearance
    mid, half = (
        np.array([np.mean(ups), 0.0]),
        np.array([np.ptp(ups) + slide, (np.ptp(ups) + slide) / 15]),
    )
    return most_of_grid(around, legs, mid, half, 4)


def most_of_grid(
    around: BaseGeometry,
    legs: BaseGeometry,
    mid: NDArray[np.float64],
    half: NDArray[np.float64],
    rounds: int,
) -> float:
    """Return the most room [mm] of a grid of heights and slopes about `mid`, `half` as wide, finer in every round."""
    best = -math.inf
    for _ in range(rounds):
        grid = [mid + half * (i, j) for i in np.linspace(-1, 1, 13) for j in np.linspace(-1, 1, 13)]
        worth = []
        for up, slope in grid:
            here = laid(legs, float(up), float(slope))
            # in the way by its area over a leg's length, or clear by its distance
            worth.append(here.distance(around) or -here.intersection(around).area)
        best, mid, half = max(worth), grid[int(np.argmax(worth))], half / 3
    return best


def best_line(lock: Lock, ups: Ups) -> tuple[float, float]:
    """Return height and slope of the line that misses none of the four ends by more than it has to."""
    up, slope, _ = line_through([(x, up) for (x, _), up in zip(faces(lock), ups, strict=True)])
    return up, slope


def line_through(places: list[tuple[float, float]]) -> tuple[float, float, float]:
    """Return height and slope of the line that misses the farthest of some places by least, and by how much [mm]."""
    rows, most = [], []
    for x, up in places:
        rows += [[1.0, x, -1.0], [-1.0, -x, -1.0]]
        most += [up, -up]
    found = linprog([0, 0, 1], A_ub=rows, b_ub=most, bounds=[(None, None)] * 3)
    up, slope, least = map(float, found.x)
    return up, slope, least


def rig_of(lock: Lock, up: float, slope: float) -> Rig:
    """Return bolt and bit, the bolt laid so in its guides, and all turned until it slides along x."""
    own, line = made_to(lock, "bolt"), lock.bolt_line.height
    there = laid(outline(Layout(own)), up, slope, line)
    level = affinity.rotate(there, -math.atan(slope), origin=(0.0, 0.0), use_radians=True)
    throw = own.shackle.engagement + own.shackle.gap
    return Rig(level, [bit_of(made_to(lock, "key"))], throw)


def goes_home(lock: Lock, up: float, slope: float) -> bool:
    """Say whether a sweep of bolt and bit, the bolt so laid, brings it home both ways and not past its seats."""
    rig = rig_of(lock, up, slope)
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=lock.fit.detent_capture)
        seat = rig.throw if stroke == "unlocking" else 0.0
        past = seen.travel.min() < -0.05 or seen.travel.max() > rig.throw + 0.05
        if seen.blocked is not None or abs(seen.rests - seat) > 1e-3 or past:
            return False
    return True


def referee(lock: Lock, ups: Ups) -> bool:
    """Say whether the bolt goes in, the nose into the shackle, and the key brings it home both ways."""
    face = abs(lock.shackle.across) - lock.shackle.diameter / 2
    tip = face + lock.shackle.engagement
    slots = [(x, up) for (x, _), up in zip(faces(lock), ups, strict=True)]
    *_, least = line_through([*slots, (-face, 0.0), (-tip, 0.0)])
    if least > lock.fit.slide_clearance - 0.01:
        return False
    return goes_home(lock, *best_line(lock, ups))
