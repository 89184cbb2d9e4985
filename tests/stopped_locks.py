"""Locks with chosen stops, each put where its over-travel asks by the bolt's outline alone; for tests and evidence."""

import math
from collections.abc import Iterator
from functools import cache

import shapely
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from core.layout.layout import Layout
from core.lock.lock import Lock
from tests.config_space import outline
from tests.designs import moved, plausible, seeded
from tests.held_locks import fitting, held
from tests.loaded_locks import changed
from tests.locks import posted


def body(lock: Lock, seat: str) -> tuple[float, float, float]:
    """Return face, lower and upper edge [mm, drive frame] of the bolt's body below the leg, at its seat."""
    legs = {"locked": lock.bolt.nose_height, "unlocked": lock.bolt.tail_height}
    under = lock.bolt_line.height - legs[seat]
    area = outline(Layout(lock), 1e-3).intersection(box(-500, -500, 500, under - 0.01))
    left, low, right, _ = area.bounds
    x, throw = (
        (left, 0.0) if seat == "locked" else (right, lock.shackle.engagement + lock.shackle.gap)
    )
    side = area.intersection(box(x - 0.02, -500, x + 0.02, 500))
    return x + throw, max(low, side.bounds[1]), under


def stopped(lock: Lock, seat: str, kind: str, over: float) -> Lock:
    """Return a lock with a stop of a kind so far past a seat: the guide, a post, or the shackle's notch."""
    way, guide = (-1, "front_guide") if seat == "locked" else (1, "rear_guide")
    lock = changed(lock, **{f"stops__{seat}": kind, f"stops__{seat}_over": over})
    x, low, high = body(lock, seat)
    if kind == "guide face":
        return changed(lock, **{f"{guide}__from_centreline": way * x + over})
    # all else is met sooner than the guide
    near = max(lock.value(f"{guide}.from_centreline"), way * x + over + 0.6)
    lock = changed(lock, **{f"{guide}__from_centreline": near})
    if kind == "pin":
        r = min(1.5, (high - low) / 3)
        x, y = x + way * (over + r), (low + high) / 2
        hand = 1 if lock.unlocks == "right" else -1
        return posted((hand * x, y, 2 * r), lock=lock)
    wide = lock.shackle.engagement + over + 3.0 - lock.shackle.diameter
    across = lock.shackle.across + math.copysign(wide / 2, lock.shackle.across)
    wide += lock.shackle.diameter
    return changed(lock, shackle__catch="notch", shackle__across=across, shackle__diameter=wide)


def chosen(count: int) -> Iterator[Lock]:
    """Return `count` locks with strip and notches and a stop past either seat, of every kind, in both hands."""
    left = held(
        unlocks="left", shackle__across=26.5, spring__tip_across=-13.0, spring__foot_side="right"
    )
    base = [held(), left, *fitting(max(count - 2, 0))][:count]
    for k, lock in enumerate(base):
        rng = seeded(f"stopped {k}")
        kind = ("guide face", "pin", "shackle")[k % 3]
        lock = stopped(lock, "locked", kind, rng.uniform(0.12, 0.4))
        yield stopped(lock, "unlocked", ("pin", "guide face")[k % 2], rng.uniform(0.12, 0.4))


@cache
def strewn(seed: int) -> Lock:
    """Return a plausible lock with posts left and right of its bolt, wherever they came to stand."""
    rng, lock = seeded(f"posts beside {seed}"), changed(plausible(seed), tooth__roof="flat")
    for seat, way in (("locked", -1), ("unlocked", 1)):
        x, low, high = body(lock, seat)
        radius = rng.uniform(0.8, 2.5)
        at = x + way * (radius + rng.uniform(0.02, 1.0)), rng.uniform(low - radius, high)
        hand = 1 if lock.unlocks == "right" else -1
        lock = posted((hand * at[0], at[1], 2 * radius), lock=lock)
    return lock


def face_met(lock: Lock, seat: str, area: BaseGeometry, away: float) -> float:
    """Return over what area [mm2] the bolt meets a thing after a way [mm], by how the overlap grows from there."""
    way, throw = (-1, 0.0) if seat == "locked" else (1, lock.shackle.engagement + lock.shackle.gap)
    bolt, deep = outline(Layout(lock), 1e-3), 1e-3
    over = [
        moved(bolt, throw + way * (away + by)).intersection(area).area for by in (deep, 2 * deep)
    ]
    return float(over[1] - over[0]) / deep * lock.bolt.thickness


def section(radius: float) -> float:
    """Return the area [mm2] of a disc, of fine chords."""
    return float(shapely.Point(0, 0).buffer(radius, quad_segs=2048).area)
