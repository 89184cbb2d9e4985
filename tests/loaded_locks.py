"""Plausible locks with springs and friction, for the tests of the statics."""

import random

from core.lock.friction import METALS
from core.lock.lock import Lock
from tests.designs import plausible


def changed(lock: Lock, **values: object) -> Lock:
    """Return `lock` with values at paths, the dot written as two underscores."""
    for path, value in values.items():
        lock = lock.with_value(path.replace("__", "."), value)
    return lock


def loaded(seed: int, **wanted: object) -> Lock:
    """Return a plausible lock with a spring, a drag and metals drawn at random."""
    rng = random.Random(seed)  # noqa: S311 - nothing secret is made here
    return changed(
        plausible(seed, **wanted),
        spring__force=rng.uniform(0, 8),
        spring__tip_across=rng.uniform(-12, 12),
        friction__drag=rng.choice((0.0, rng.uniform(0, 3))),
        friction__metals=rng.choice(METALS),
    )


def early(pickup: float, **values: object) -> Lock:
    """Return a lock with a throw of 22 mm whose bit meets the flank `pickup` [degrees], 15 to 33, early."""
    lock = changed(Lock(), key__radius=22.0, bolt_line__height=26.0, bolt__depth=12.0)
    lock = changed(
        lock, shackle__engagement=20.5, tooth__pickup_angle=pickup, shackle__across=-36.0
    )
    lock = changed(lock, front_guide__from_centreline=28.0, rear_guide__from_centreline=28.0)
    return changed(lock, **values)
