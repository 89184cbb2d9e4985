"""A tooth that was worked out before is the one that would be worked out now."""

import math
import random

import pytest

from core.errors import BoltwrightError
from core.layout.layout import Layout
from core.lock.lock import Lock, spec_of
from core.mechanism.law import STROKES
from core.mechanism.tooth_numbers import Tooth, tooth_from
from core.parts.tooth import tooth, tooth_at
from core.turning.driven import angle_at, driven_in
from core.turning.effort import STEP
from tests.counts import seeds
from tests.designs import plausible, stretched
from tests.held_locks import random_held

READ = (
    "key.radius", "key.bit_thickness", "fit.key_clearance", "shackle.engagement", "shackle.gap", "tooth.pickup_angle",
    "bolt_line.height", "bolt.depth",
)  # fmt: skip


def afresh(lock: Lock, line: float, pickup: float) -> Tooth:
    return tooth_from(
        radius=lock.key.radius, bit=lock.key.bit_thickness, clearance=lock.fit.key_clearance,
        throw=lock.shackle.engagement + lock.shackle.gap, pickup_angle=math.radians(pickup), bolt_line=line,
        depth=lock.bolt.depth,
    )  # fmt: skip


@pytest.mark.parametrize("seed", seeds(10, 60))
def test_each_size_in_turn_gives_the_tooth_of_its_own_lock(seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311 - chance for tests
    lock = plausible(seed) if seed % 2 else stretched(seed)
    for _ in range(4):
        for path in READ:
            spec, now = spec_of(path), float(lock.value(path))
            try:
                other = lock.with_value(
                    path, min(max(now * rng.uniform(0.8, 1.25), spec.low), spec.high)
                )
            except BoltwrightError:  # no lock can have such a size
                continue
            for one in (other, lock):
                made = afresh(one, one.bolt_line.height, one.tooth.pickup_angle)
                assert tooth(Layout(one)) == made
                assert tooth_at(Layout(one), now, 7.5) == afresh(one, now, 7.5)
            lock = other if rng.random() < 0.5 else lock


@pytest.mark.parametrize("seed", seeds(6, 40))
def test_angles_that_are_kept_are_those_of_their_own_lock_and_stroke(seed: int) -> None:
    lock = random_held(seed)
    sizes = (
        "key.radius",
        "detent.half_width",
        "detent.ramp",
        "spring.preload",
        "tooth.pickup_angle",
    )
    others = [lock]
    for path in sizes:
        try:
            others.append(lock.with_value(path, float(lock.value(path)) * 1.01))
        except BoltwrightError:  # no lock can have such a size
            continue
    kept = [driven_in(Layout(one), stroke, STEP).tolist() for one in others for stroke in STROKES]
    fresh = []
    for one in others:
        for stroke in STROKES:
            angle_at.cache_clear()
            fresh.append(driven_in(Layout(one), stroke, STEP).tolist())
    assert kept == fresh
