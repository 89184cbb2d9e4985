"""The turn as followed by the program against a rigid-body engine that knows no law of motion."""

import math

import numpy as np
import pytest

from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.law import Stroke, driven_angles
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from core.turning.follow import follow
from tests.designs import plausible
from tests.rigid_body import bar, face, pieces, travel_of_slider

DESIGNS = [
    plausible(seed, early=early, shallow=shallow)
    for seed in range(100, 106)
    for early in (False, True)
    for shallow in (False, True)
]
WITHIN = 0.05  # mm


def test_engine_gives_half_the_chord() -> None:
    # sqrt(h (2 R - h)), h = R - y: half the chord of a circle, Machinery's Handbook, segments of circles
    height = 20 - 14.844
    half_chord = math.sqrt(height * (2 * 20 - height))
    angles = np.array([-0.05, 0.3, 0.9, 1.2])
    found = travel_of_slider(bar(20, 3), [face(1.7, 14.844)], angles)
    assert found[-1] == pytest.approx(half_chord - 1.7, abs=0.01)


@pytest.mark.parametrize("stroke", ["unlocking", "locking"])
@pytest.mark.parametrize("lock", DESIGNS, ids=lambda lock: lock.title)
@pytest.mark.first(16)
def test_travel_against_the_engine(lock: Lock, stroke: Stroke) -> None:
    layout = Layout(lock)
    cut = tooth(layout)
    side = 1 if stroke == "unlocking" else -1
    x = cut.pickup_offset if stroke == "unlocking" else -cut.flank
    # the drive, from a little before the pick-up until the corner is about to leave, and a little beyond
    turn = np.linspace(-cut.pickup_angle - 0.1, cut.release_angle - 1e-3, 25)
    gone = cut.release_angle + 0.1
    seat = 0.0 if stroke == "unlocking" else cut.throw
    found = travel_of_slider(
        bar(cut.radius, 2 * cut.half_bit), [face(x, cut.flank_foot, side)],
        side * np.append(turn, gone), start=seat,
    )  # fmt: skip
    followed = follow(layout, side * turn, stroke).travel
    assert found[:-1] == pytest.approx(followed, abs=WITHIN)
    assert abs(found[-1] - seat) == pytest.approx(cut.driven_travel, abs=WITHIN)


@pytest.mark.parametrize("lock", DESIGNS[::4], ids=lambda lock: lock.title)
@pytest.mark.first(2)
def test_whole_bolt_is_carried_by_the_engine_as_by_the_law(lock: Lock) -> None:
    layout = Layout(lock)
    cut = tooth(layout)
    whole = pieces(polygon(bolt(layout).contour, 1e-3, shrink=True))
    bit = bar(cut.radius, 2 * cut.half_bit)
    # key in, pointing down, up past the lobe, through the drive
    turn = np.concatenate([[-math.pi], driven_angles(cut, "unlocking", 0.05)])
    there = travel_of_slider(bit, whole, turn)
    assert there == pytest.approx(follow(layout, turn).travel, abs=WITHIN)
    back = travel_of_slider(bit, whole, -turn, start=cut.throw)
    assert back == pytest.approx(follow(layout, -turn, "locking").travel, abs=WITHIN)


def test_designs_are_both_late_and_early() -> None:
    pickups = {lock.tooth.pickup_angle > 0 for lock in DESIGNS}
    assert pickups == {False, True}
    assert len(DESIGNS) >= 20
