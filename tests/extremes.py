"""Locks that no one would build but a file may hold: every value anywhere in its allowed range.

Seeded by path as well as by number, so that a new value in the lock leaves the others as they were.
"""

import math
import random

from core.lock.fields import SMALLEST
from core.lock.lock import Lock, checked, specs
from core.lock.numbers import LARGEST
from core.lock.spec import Spec
from tests.designs import OUTLINES, plausible, seeded

TINY = (5e-324, 1e-300, 1e-12, 1e-9)
SHARES = (0.03, 0.06, 0.1, 0.3, 1.0)
"""How many of its values a lock has changed: one alone can do what many together hide."""


def extreme(seed: int) -> Lock:
    """Return a lock with some or all of its values drawn from the ends and depths of their ranges."""
    rng = seeded(f"extreme {seed}")
    lock = plausible(rng.randrange(40)) if rng.random() < 0.3 else Lock()
    share = rng.choice(SHARES)
    for path, spec in specs().items():
        own = seeded(f"{seed} {path}")
        if own.random() < share:
            lock = lock.with_value(path, _value(own, spec, lock.value(path)))
    if rng.random() < 0.5:
        lock = lock.with_value("plate.outline", rng.choice(OUTLINES))
    if lock.plate.outline == "traced" and rng.random() < 0.8:
        lock = lock.with_value("plate.points", _points(rng))
    return checked(lock)


def _value(rng: random.Random, spec: Spec, now: object) -> object:
    match spec.kind.name:
        case "choice":
            return rng.choice(spec.choices)
        case "text":
            return rng.choice(("", "x", "two\nlines\u202e", "\u00e9" * 50))
        case "points":
            return _points(rng)
    low, high = spec.low, spec.high
    ways = ["end", "any", "tiny", "near"]
    if spec.kind.name in ("length", "position", "across"):
        ways.append("scale")
    value = 0.0
    match rng.choice(ways):
        case "end":
            value = rng.choice((low, high, math.nextafter(high, 0.0), math.nextafter(low, high)))
        case "any":
            value = rng.uniform(low, high)
        case "tiny":
            value = rng.choice((0.0, *TINY))
        case "near":
            factor = rng.choice((1.0, rng.uniform(0.3, 3.0), 0.5, 2.0, -1.0))
            value = factor * now if isinstance(now, float) else 0.0
        case "scale":
            value = math.exp(rng.uniform(math.log(SMALLEST), math.log(LARGEST)))
            value *= rng.choice((-1.0, 1.0)) if low < 0 else 1.0
    return min(max(value, low), high)


def _points(rng: random.Random) -> tuple[tuple[float, ...], ...]:
    """Return traced points: few or many, tiny or huge, doubled, crossing, with bends of any strength."""
    size = rng.choice((1e-300, 1e-9, 1e-3, 1.0, 50.0, LARGEST))
    points: list[tuple[float, ...]] = []
    for _ in range(rng.choice((0, 1, 2, 3, 4, 5, 8, 20))):
        x, y = (
            rng.choice(
                (rng.uniform(-size, size), float(round(rng.uniform(-size, size))), 0.0, -0.0)
            )
            for _ in range(2)
        )
        bend = rng.choice(
            (0.0, 1.0, -1.0, 1e-13, 1e-11, 1e-300, LARGEST, -LARGEST, rng.uniform(-2, 2))
        )
        points.append((x, y, bend) if rng.random() < 0.4 else (x, y))
    if points and rng.random() < 0.2:
        points.append(points[0])
    if len(points) > 2 and rng.random() < 0.2:
        points.insert(1, points[0])
    return tuple(points)
