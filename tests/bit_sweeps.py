"""What a made bit does to the bolt, held against a sweep of its shape that knows no law: travel, and contact."""

import numpy as np
import pytest
import shapely

from core.layout.layout import Layout
from core.lock.facts import made_to
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.mechanism.contact import PLACES, Touch, touch
from core.mechanism.gap_contact import STEP as GAP_STEP
from core.mechanism.law import STROKES, Stroke
from core.mechanism.maths import Array
from core.parts.tooth import course, tooth_seen
from core.turning.turn_check import turn_check
from core.whole import assembly
from core.whole.as_built import as_built
from tests.config_space import Rig, follow, outline
from tests.made_cases import bit_of


def made(lock: Lock) -> Lock:
    """Return a lock all of whose parts are made."""
    for part in assembly.workpieces():
        lock = mark_made(lock, part)
    return lock


def rig_of(lock: Lock) -> Rig:
    """Return the bolt and the bit of a lock as they are made, to be swept."""
    throw = lock.shackle.engagement + lock.shackle.gap
    return Rig(outline(Layout(made_to(lock, "bolt"))), [bit_of(made_to(lock, "key"))], throw)


def assert_goes_as_swept(lock: Lock) -> None:
    """Hold the bolt's way on both strokes against that which a sweep of the shapes leaves free."""
    rig, built = rig_of(lock), as_built(Layout(lock))
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=lock.fit.detent_capture)
        assert seen.blocked is None
        mine = course(built).travel(seen.angles, stroke)
        off = np.abs(mine - seen.travel)
        # where the bolt jumps, a step of the sweep decides on which side of it an angle lies
        assert np.quantile(off, 0.97) < 2e-3
        assert mine[-1] == pytest.approx(seen.rests, abs=2e-3)
    assert not turn_check(built).fouls


def assert_touches(rig: Rig, built: Layout, stroke: Stroke, count: int) -> tuple[Array, Touch, int]:
    """Look at `count` angles of the drive whether both shapes are met where they are said to touch, but for its ends.

    Return the angles [rad] looked at, what is said of them, and at how many of them there is contact.
    """
    bit, touched = shapely.Polygon(rig.bit[0]).boundary, 0
    way = 1 if stroke == "unlocking" else -1
    seen = tooth_seen(built, stroke)
    angles = way * np.linspace(-seen.pickup_angle, seen.release_angle, count)[1:-1]
    found = touch(course(built), angles, stroke)
    moved = course(built).travel(angles, stroke)
    for angle, at, place, by in zip(angles, found.at, found.place, moved, strict=True):
        # where the detent draws the bolt home it is between two steps
        jumps = abs(way * angle - course(built).seen(stroke).caught_angle) < 2 * GAP_STEP
        if not PLACES[place] or jumps:
            continue
        touched += 1
        point = shapely.Point(at)
        turned = shapely.affinity.rotate(bit, -angle, origin=(0, 0), use_radians=True)
        slid = shapely.affinity.translate(rig.bolt.boundary, by)
        assert turned.distance(point) < 1e-3
        assert slid.distance(point) < 1e-3
    return angles, found, touched
