"""A bit that was filed off its middle: what it does to the bolt, against a sweep of shapes that knows no law.

The referee draws the bit as it is and looks at every key angle which travels are free (`tests/config_space.py`).
"""

import math
from collections.abc import Iterable

import numpy as np
import pytest
import shapely

from core.checks.gathered import findings, windows
from core.files.project_file import load
from core.layout.drawing import Measure
from core.layout.layout import Layout
from core.lock.facts import with_measured
from core.lock.lock import Lock, spec_of
from core.made.fitting import KEPT
from core.made.verdicts import verdicts
from core.mechanism.law import STROKES
from core.parts.end_stops import SEATS
from core.parts.key import bit_path
from core.parts.notches import reach
from core.parts.tooth import course, tooth_seen
from core.shipped import sample_locks
from core.turning.click import felt
from core.turning.effort import drive
from core.turning.turned_on import turned_on
from core.whole import assembly
from core.whole.as_built import as_built
from core.whole.dimensions import dimension
from tests.bit_sweeps import assert_goes_as_swept, assert_touches, made, rig_of
from tests.config_space import follow
from tests.counts import seeds
from tests.designs import plausible, seeded
from tests.made_cases import referee

OFF = "bit.off_centre"


def cut(seed: int) -> Lock:
    """Return a lock all of whose parts are made, its bit off the middle by up to 0.7 mm."""
    rng = seeded(f"bit {seed}")
    lock = made(plausible(seed, roof="flat", outline="rectangle"))
    by = rng.choice((-1, 1)) * rng.uniform(0.1, min(0.7, 0.4 * lock.key.bit_thickness))
    return with_measured(lock, "key", OFF, round(by, 3))


@pytest.mark.parametrize("seed", seeds(3, 10))
@pytest.mark.first(1)
def test_the_bolt_goes_where_a_sweep_says_on_both_strokes(seed: int) -> None:
    lock = cut(seed)
    assert_goes_as_swept(lock)


@pytest.mark.parametrize("seed", seeds(2, 8))
@pytest.mark.first(1)
def test_it_touches_where_the_shapes_touch(seed: int) -> None:
    lock = cut(seed)
    rig, built = rig_of(lock), as_built(Layout(lock))
    touched = 0
    for stroke in STROKES:
        way = 1 if stroke == "unlocking" else -1
        angles, found, here = assert_touches(rig, built, stroke, 12)
        touched += here
        # without friction the torque is the force that holds back times the slope of the way, here of the sweep's
        mu, loads = np.zeros((1, 1)), assembly.loads(built)
        torque = drive(built, angles, stroke).balance(mu, loads).torque[0]
        step = 1e-4
        ahead, behind = (course(built).travel(angles + way * d, stroke) for d in (step, -step))
        slope = np.abs(ahead - behind) / (2 * step)
        driven = (found.place > 0) & (slope > 0.1)
        resists = torque[driven] / slope[driven]
        assert np.isfinite(resists).all()
        if lock.detent.kind == "felt":
            assert resists == pytest.approx(np.full(len(resists), resists[0]), rel=2e-3, abs=1e-6)
    assert touched > 8


@pytest.mark.parametrize("seed", seeds(3, 15))
@pytest.mark.first(1)
def test_the_verdict_is_what_the_parts_do(seed: int) -> None:
    rng = seeded(f"bit verdict {seed}")
    lock = made(plausible(seed, roof="flat", outline="rectangle"))
    planned = {f.code for f in findings(Layout(lock)) if f.level == "stop"}
    for share in (rng.uniform(0.05, 0.4), -rng.uniform(0.05, 0.4)):
        new = with_measured(lock, "key", OFF, round(share * lock.key.bit_thickness, 3))
        layout, wrong = Layout(new), referee(new)
        words = {v.part: v.word for v in verdicts(layout)}
        assert (words["key"] in KEPT) is (wrong == ""), (share, words, wrong)
        assert words["bolt"] == "good"
        if wrong == "":
            assert {f.code for f in findings(layout) if f.level == "stop"} <= planned


@pytest.mark.parametrize("seed", seeds(2, 10))
@pytest.mark.first(1)
def test_also_in_a_gap_that_is_as_narrow_as_it_can_be(seed: int) -> None:
    """An early pick-up narrows the gap to what the bit needs to turn in; off its middle it needs no more."""
    lock = plausible(seed, roof="flat", outline="rectangle")
    most = windows(Layout(lock))["tooth.pickup_angle"].high
    assert most is not None
    lock = made(lock.with_value("tooth.pickup_angle", round(0.97 * most.value, 2)))
    before = referee(lock)
    for off in (0.45, -0.45, 1.2, -1.2):
        new = with_measured(lock, "key", OFF, off * lock.key.bit_thickness)
        word = {v.part: v.word for v in verdicts(Layout(new))}["key"]
        wrong = referee(new)
        if not before:
            assert (word in KEPT) is (wrong == ""), (seed, off, word, wrong)


def test_nothing_is_too_far_off_to_be_told() -> None:
    for by in (-200.0, -20.0, 30.0, 500.0):
        layout = Layout(with_measured(made(Lock()), "key", OFF, by))
        assert {v.part: v.word for v in verdicts(layout)}["key"] not in KEPT
        assert findings(layout)


def test_it_lets_go_of_one_stroke_sooner_and_of_the_other_later() -> None:
    lock = with_measured(made(Lock()), "key", OFF, 0.4)
    built = as_built(Layout(lock))
    foot = tooth_seen(built, "unlocking").flank_foot
    # by hand: the corner leaves the foot at acos(y_f / R) less the angle of its side of the bit
    for stroke, side in zip(STROKES, (1.9, 1.1), strict=True):
        seen = tooth_seen(built, stroke)
        by_hand = math.acos(foot / 20) - math.asin(side / 20)
        assert seen.release_angle == pytest.approx(by_hand, abs=1e-9)
        assert seen.home_travel == pytest.approx(tooth_seen(built, "unlocking").home_travel)


@pytest.mark.parametrize("unlocks", ["right", "left"])
def test_it_is_drawn_from_the_middle_to_where_the_bit_stands(unlocks: str) -> None:
    lock = made(Lock().with_value("unlocks", unlocks))
    new = with_measured(lock, "key", OFF, 0.4)
    (line,) = [m for m in dimension(Layout(new), OFF) if isinstance(m, Measure)]
    assert line.text == spec_of(OFF).shown(0.4, "mm")
    assert math.dist(line.start, line.end) == pytest.approx(0.4)
    # the key hangs down as it is drawn; by it the bit's middle lies where the line ends
    built = as_built(Layout(new))
    area = shapely.Polygon(bit_path(built, math.pi).points(1e-3))
    low = shapely.box(-5, -19, 5, -12).intersection(area)
    middle = low.centroid.x
    right = -0.4 if unlocks == "right" else 0.4
    assert middle == pytest.approx(right, abs=1e-6)
    assert line.end[0] - line.start[0] == pytest.approx(middle, abs=1e-6)


@pytest.mark.parametrize("seed", seeds(3, 12))
@pytest.mark.first(1)
def test_turned_on_it_meets_the_bolt_where_the_shapes_meet(seed: int) -> None:
    """With the bolt on either seat; the corners of some are rounded as well."""
    lock = cut(seed)
    if seed % 2:
        lock = with_measured(lock, "key", "bit.corners", 0.3 * lock.key.bit_thickness)
    rig, turns = rig_of(lock), turned_on(as_built(Layout(lock)))
    assert turns is not None
    bit = shapely.Polygon(rig.bit[0])

    def first(bolt: shapely.Polygon, way: int, among: Iterable[float]) -> float | None:
        """Return the first angle [degrees] at which the two overlap."""
        turned = ((t, shapely.affinity.rotate(bit, -way * t, origin=(0, 0))) for t in among)
        return next((t for t, here in turned if here.intersection(bolt).area > 1e-5), None)

    for seat in SEATS:
        way = 1 if seat == "unlocked" else -1
        bolt = shapely.affinity.translate(rig.bolt, rig.throw if way > 0 else 0.0)
        met = first(bolt, way, range(-90, -5))
        if met is not None:
            met = first(bolt, way, np.arange(met - 1, met + 0.01, 0.02))
        told = turns[seat].touches
        if met is None:
            assert not math.isfinite(told)
        else:
            assert math.degrees(told) == pytest.approx(met, abs=0.1)


@pytest.mark.parametrize("by", [0.4, -0.4])
@pytest.mark.slow
def test_the_click_is_felt_on_each_stroke_where_the_bolt_is_then(by: float) -> None:
    lock = with_measured(made(load(sample_locks()[0]).lock), "key", OFF, by)
    built = as_built(Layout(lock))
    rig, found = rig_of(lock), felt(built)
    for stroke in STROKES:
        seen = follow(rig, stroke, capture=reach(built))
        one = found[stroke]
        assert one.snaps is not None
        gone = seen.travel if stroke == "unlocking" else rig.throw - seen.travel
        home = np.abs(seen.angles[np.argmax(gone > rig.throw - 1e-3)])
        assert math.degrees(abs(one.snaps)) == pytest.approx(math.degrees(home), abs=0.3)
        # out of its notch before it snaps, and at an angle at which this stroke drives
        assert one.click is not None
        assert one.drive is not None
        for worst in (one.click, one.drive):
            driven = tooth_seen(built, stroke)
            along = worst.at if stroke == "unlocking" else -worst.at
            assert -driven.pickup_angle - 1e-9 <= along < abs(one.snaps) + 1e-9
