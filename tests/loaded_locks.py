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


def narrow(pickup: float) -> Lock:
    """Return a lock that turns with a pick-up of 8.7 degrees and is blocked with one of 10."""
    lock = changed(
        Lock(), key__radius=29.6, key__bit_thickness=4.6, fit__key_clearance=0.39, shackle__engagement=8.5,
        shackle__gap=1.5, tooth__pickup_angle=pickup, bolt_line__height=34.5, bolt__depth=10.0,
    )  # fmt: skip
    lock = changed(
        lock, plate__width=140.0, plate__height=160.0, plate__straight=80.0, pivot__below=75.0,
        shackle__across=-40.0, shackle__drop=10.0,
    )  # fmt: skip
    return changed(lock, front_guide__from_centreline=30.0, rear_guide__from_centreline=32.0)


def said_to_foul_once() -> Lock:
    """Return a lock that turns, though it was said to foul: the bit's trailing face only holds its bolt back."""
    lock = changed(
        Lock(), unlocks="left", plate__outline="rectangle", plate__width=84.0, plate__height=98.0,
        plate__corner=10.0, pivot__below=56.0, pivot__hole=7.0, bolt_line__height=27.0, key__radius=22.0,
        key__bit_thickness=4.5, key__shank=7.0, bolt__depth=11.0, tooth__pickup_angle=12.0,
    )  # fmt: skip
    lock = changed(
        lock, shackle__across=25.0, shackle__drop=11.0, shackle__engagement=7.5, shackle__gap=2.0,
        front_guide__from_centreline=14.0, front_guide__width=5.0, rear_guide__from_centreline=17.0,
        rear_guide__width=5.0, fit__key_clearance=0.3,
    )  # fmt: skip
    return changed(lock, spring__force=4.0, friction__drag=0.5)
