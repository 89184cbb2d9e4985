"""Locks with a flat strip and notches, for the tests of spring and detent."""

import random

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts import detent_limits, spring_limits
from tests.designs import plausible
from tests.locks import changed

HELD = {
    # a flat strip beside the gap of a new lock, its tip over two notches
    "detent.kind": "notches", "detent.ramp": 60.0, "detent.half_width": 0.9, "detent.depth": 1.5,
    "spring.kind": "flat strip", "spring.tip_across": 13.0, "spring.foot_side": "left", "spring.free_length": 26.0,
    "spring.thickness": 0.4, "spring.preload": 2.0,
}  # fmt: skip


def held(**values: object) -> Lock:
    """Return a new lock with strip and notches and `values` at paths, the dot written as two underscores."""
    return changed(Lock(), {**HELD, **{path.replace("__", "."): v for path, v in values.items()}})


def random_held(seed: int) -> Lock:
    """Return a plausible lock with strip and notches drawn at random; they need not fit."""
    chance = random.Random(seed)  # noqa: S311 - nothing secret is made here
    ramp = chance.uniform(25, 68)
    return changed(
        plausible(seed), {
            "detent.kind": "notches", "detent.ramp": ramp, "detent.half_width": chance.uniform(0.4, 1.5),
            "detent.depth": chance.uniform(0.4, 2.0), "spring.kind": "flat strip",
            "spring.anchor": chance.choice(("riveted foot", "both ends held")),
            "spring.tip_across": chance.uniform(-14, 14), "spring.foot_side": chance.choice(("left", "right")),
            "spring.free_length": chance.uniform(14, 36), "spring.thickness": chance.uniform(0.2, 0.7),
            "spring.preload": chance.uniform(0.3, 3.0), "spring.tip": chance.choice(("rolled", "bent down")),
            "spring.tip_radius": chance.uniform(0.4, 1.2), "friction.drag": chance.choice((0.0, 0.1)),
            "friction.condition": chance.choice(("greased", "clean")),
        },
    )  # fmt: skip


def fits(lock: Lock) -> bool:
    """Say whether nothing stops spring and detent of a lock."""
    layout = Layout(lock)
    every = (*spring_limits.MARGINS, *detent_limits.MARGINS)
    return not any(margin.stops(margin.spare(layout)) for margin in every)


def fitting(count: int) -> list[Lock]:
    """Return so many random locks of which spring and detent fit."""
    found: list[Lock] = []
    seed = 0
    while len(found) < count:
        lock = random_held(seed)
        if fits(lock):
            found.append(lock)
        seed += 1
    return found
