"""A bit whose corners are rounded: what that does to the bolt, against a sweep of shapes that knows no law.

The referee rounds the corners by a disc that is rolled about inside the bit (`tests/config_space.py`, shapely).
"""

import math

import numpy as np
import pytest
import shapely

from core.checks.gathered import findings
from core.layout.drawing import Measure
from core.layout.layout import Layout
from core.lock.facts import made_to, with_measured
from core.lock.lock import Lock, spec_of
from core.made.filed_since import after_filing
from core.made.fitting import KEPT
from core.made.verdicts import verdicts
from core.mechanism.contact import PLACES, contact, touch
from core.mechanism.law import STROKES, travel
from core.parts.key import bit_path
from core.parts.tooth import bit_shape, course, tooth_seen
from core.turning.effort import drive
from core.whole import assembly
from core.whole.as_built import as_built
from core.whole.dimensions import dimension
from tests.bit_sweeps import assert_goes_as_swept, assert_touches, made, rig_of
from tests.counts import seeds
from tests.designs import numbers, plausible, seeded
from tests.made_cases import bit_of, referee
from tests.test_bit_off import OFF

CORNERS = "bit.corners"


def cut(seed: int) -> Lock:
    """Return a lock all of whose parts are made, the bit's corners rounded; in some the bit is off its middle too."""
    rng = seeded(f"corners {seed}")
    lock = made(plausible(seed, roof="flat", outline="rectangle"))
    if seed % 3 == 1:
        lock = with_measured(lock, "key", OFF, round(rng.uniform(-0.4, 0.4), 3))
    share = rng.choice((0.15, 0.4, 0.8, 1.0))
    return with_measured(lock, "key", CORNERS, round(share * lock.key.bit_thickness / 2, 3))


@pytest.mark.parametrize("seed", seeds(3, 9))
@pytest.mark.first(1)
def test_the_bolt_goes_where_a_sweep_says(seed: int) -> None:
    lock = cut(seed)
    if seed % 3 == 2:
        # with the flanks' feet rounded as well
        lock = with_measured(lock, "bolt", "as_cut.unlocking_foot", 0.3)
    assert_goes_as_swept(lock)


@pytest.mark.parametrize("soft", [0.02, 0.03, 0.1, 0.4])
def test_a_rounded_corner_pushes_the_bolt_as_its_arc_reaches_until_it_rolls_over_the_foot(
    soft: float,
) -> None:
    # plane geometry: the arc's middle goes round the pivot, and the flank stands its radius before it; the foot by
    # the design's own iteration. No step passes over the angle from which on the arc rolls
    plan = made(Lock().with_value("detent.kind", "none"))
    n, across = numbers(plan), plan.key.bit_thickness / 2 - soft
    within = plan.key.radius - soft
    tip = math.asin(across / within)
    rolls = math.acos(n.foot / within) - tip
    angles = np.linspace(rolls - 0.3, rolls, 2000)
    way = course(as_built(Layout(with_measured(plan, "key", CORNERS, soft))))
    flank = within * np.sin(angles + tip) + soft
    assert way.travel(angles) == pytest.approx(flank - n.offset, abs=1e-5)


@pytest.mark.parametrize("seed", seeds(2, 8))
@pytest.mark.first(1)
def test_it_touches_where_the_shapes_touch_and_pushes_as_they_push(seed: int) -> None:
    lock = cut(seed)
    rig, built = rig_of(lock), as_built(Layout(lock))
    touched = 0
    for stroke in STROKES:
        way = 1 if stroke == "unlocking" else -1
        angles, _, here = assert_touches(rig, built, stroke, 16)
        touched += here
        # without friction the torque is the force that holds back times the slope of the way, here of the sweep's
        mu, loads = np.zeros((1, 1)), assembly.loads(built)
        torque = drive(built, angles, stroke).balance(mu, loads).torque[0]
        step, held = 1e-3, []
        for angle, takes in zip(angles, torque, strict=True):
            rig.look([angle - step, angle + step])
            ahead, behind = (rig.free(float(angle + way * d)).gaps for d in (step, -step))
            ends = [[g[0] if way > 0 else g[1] for g in gaps] for gaps in (ahead, behind)]
            here = drive(built, np.array([angle]), stroke).travel[0]
            near = [min(some, key=lambda x: abs(x - here)) for some in ends]
            slope = abs(near[0] - near[1]) / (2 * step)
            if lock.detent.kind == "felt" and slope > 0.5:
                held.append(takes / slope)
        assert held == pytest.approx([held[0]] * len(held), rel=1e-2) if held else True
    assert touched > 8


@pytest.mark.parametrize("seed", seeds(2, 10))
@pytest.mark.first(1)
def test_the_verdict_is_what_the_parts_do(seed: int) -> None:
    lock = made(plausible(seed, roof="flat", outline="rectangle"))
    planned = {f.code for f in findings(Layout(lock)) if f.level == "stop"}
    for share in (0.3, 0.8):
        new = with_measured(lock, "key", CORNERS, round(share * lock.key.bit_thickness / 2, 3))
        layout, wrong = Layout(new), referee(new)
        words = {v.part: v.word for v in verdicts(layout)}
        assert (words["key"] in KEPT) is (wrong == ""), (share, words, wrong)
        assert words["bolt"] == "good"
        if wrong == "":
            assert {f.code for f in findings(layout) if f.level == "stop"} <= planned


def test_it_carries_as_far_as_a_sharp_one_and_lets_go_later() -> None:
    lock = made(Lock())
    sharp, soft = (
        tooth_seen(as_built(Layout(with_measured(lock, "key", CORNERS, by))), "unlocking")
        for by in (1e-6, 0.5)
    )
    assert soft.driven_travel == pytest.approx(sharp.driven_travel)
    # by hand: the arc ends on the tip where the line from pivot to its middle comes out
    later = math.asin(1.5 / 20) - math.asin(1.0 / 19.5)
    assert soft.release_angle - sharp.release_angle == pytest.approx(later, abs=1e-6)


@pytest.mark.parametrize("by", [0.5, 1.5, 9.0])
def test_it_is_drawn_as_a_disc_rolled_about_inside_leaves_it(by: float) -> None:
    new = with_measured(with_measured(made(Lock()), "key", OFF, 0.3), "key", CORNERS, by)
    built = as_built(Layout(new))
    wanted = shapely.Polygon(bit_of(made_to(new, "key")))
    above = shapely.box(-9, 4, 9, 30)
    for area in (
        shapely.Polygon(bit_path(built, 0.0).points(1e-5)),
        shapely.Polygon(bit_shape(built).corners(60)),
    ):
        assert area.is_valid
        assert (area & above).symmetric_difference(wanted & above).area < 2e-3
    # also where two corners meet in one point of the tip
    assert (np.hypot(*np.diff(bit_shape(built).corners(60), axis=0).T) > 1e-6).all()
    (line,) = [m for m in dimension(Layout(new), CORNERS) if isinstance(m, Measure)]
    assert line.text == spec_of(CORNERS).shown(by, "mm")
    assert math.dist(line.start, line.end) == pytest.approx(by)


@pytest.mark.parametrize("angle", [0.0, 0.7])
def test_a_shank_no_thicker_than_the_bit_is_hidden_by_it(angle: float) -> None:
    # by hand: a box 3 wide from the pivot up to the tip's circle; a thicker shank is a disc round the pivot
    lock = Lock().with_value("key.bit_thickness", 3.0)
    tip = shapely.Point(0, 0).buffer(20.0, quad_segs=500)
    for shank in (2.0, 3.0, 7.0):
        bit = shapely.box(-1.5, 0, 1.5, 30) & tip
        if shank > 3.0:
            bit |= shapely.Point(0, 0).buffer(shank / 2, quad_segs=500)
        wanted = shapely.affinity.rotate(bit, -angle, origin=(0, 0), use_radians=True)
        drawn = shapely.Polygon(
            bit_path(Layout(lock.with_value("key.shank", shank)), angle).points(1e-5)
        )
        assert drawn.symmetric_difference(wanted).area < 2e-3, shank


@pytest.mark.parametrize(("pickup", "seed"), [(12.0, 1), (16.0, 2), (16.0, 14), (16.0, 22)])
def test_it_first_touches_the_foot_of_the_flank_where_the_shapes_do(
    pickup: float, seed: int
) -> None:
    # picked up early, by the arc on the foot: level with the flank it would be only when the arc's middle is past it
    plan = plausible(seed, roof="flat", outline="rectangle").with_value(
        "tooth.pickup_angle", pickup
    )
    lock = with_measured(made(plan), "key", CORNERS, round(plan.key.bit_thickness / 4, 3))
    rig, seen = rig_of(lock), tooth_seen(as_built(Layout(lock)), "unlocking")
    bit = shapely.Polygon(rig.bit[0])

    def apart(angle: float) -> float:
        turned = shapely.affinity.rotate(bit, -angle, origin=(0, 0), use_radians=True)
        return float(turned.distance(rig.bolt))

    assert apart(-seen.pickup_angle) < 1e-3
    assert apart(-seen.pickup_angle - math.radians(0.5)) > 0.05


@pytest.mark.parametrize(("pickup", "seed"), [(12.0, 1), (16.0, 2), (16.0, 14)])
@pytest.mark.parametrize("share", [0.5, 0.9])
def test_friction_drags_the_way_that_metal_slips_on_metal(
    pickup: float, seed: int, share: float
) -> None:
    # kinematics of a rigid body: what the bit's metal does there, turning clockwise, less what the bolt does; it slips
    # along the faces that touch and not through them
    plan = plausible(seed, roof="flat", outline="rectangle")
    plan = plan.with_value("tooth.pickup_angle", pickup)
    lock = with_measured(made(plan), "key", CORNERS, round(share * plan.key.bit_thickness / 2, 3))
    cut = tooth_seen(as_built(Layout(lock)), "unlocking")
    angles = np.linspace(-cut.pickup_angle, cut.release_angle, 80)[1:-1]
    found, step = contact(cut, angles), 1e-6
    slides = (travel(cut, angles + step) - travel(cut, angles - step)) / (2 * step)
    slip = np.stack([found.y - slides, -found.x])
    assert slip[0] * found.nx + slip[1] * found.ny == pytest.approx(0.0, abs=1e-4)
    assert np.stack([found.tx, found.ty]) == pytest.approx(slip / np.hypot(*slip), abs=1e-5)
    # rolled over the foot, and against the flank
    on_arc = cut.corner.before(angles) & (found.x < 0)
    assert on_arc.any()
    assert (found.x > 0).any()


def test_let_go_it_pushes_on_where_the_arc_runs_into_the_tip() -> None:
    # no detent: the corner comes along the relief, and both shapes are met where they are said to touch
    lock = made(Lock().with_value("detent.kind", "none"))
    lock = with_measured(lock, "key", CORNERS, 0.75)
    built, rig = as_built(Layout(lock)), rig_of(lock)
    bit = shapely.Polygon(rig.bit[0]).boundary
    for stroke in STROKES:
        release = tooth_seen(built, stroke).release_angle
        way = 1 if stroke == "unlocking" else -1
        angles = way * (release + np.linspace(0.02, 0.2, 6))
        found, moved = touch(course(built), angles, stroke), course(built).travel(angles, stroke)
        assert [PLACES[place] for place in found.place] == ["leading corner on the relief"] * 6
        for angle, at, by in zip(angles, found.at, moved, strict=True):
            point = shapely.Point(at)
            turned = shapely.affinity.rotate(bit, -angle, origin=(0, 0), use_radians=True)
            assert turned.distance(point) < 3e-4
            assert shapely.affinity.translate(rig.bolt.boundary, by).distance(point) < 1e-3


def test_a_flank_filed_away_out_of_the_key_s_circle_is_met_by_no_bit() -> None:
    by = 20.0
    lock = with_measured(
        with_measured(made(Lock()), "key", CORNERS, 0.5), "bolt", "as_cut.unlocking_flank", by
    )
    # at its seat the flank stood half a bit past the pivot
    assert lock.key.bit_thickness / 2 + by > lock.key.radius
    assert not tooth_seen(as_built(Layout(lock)), "unlocking").drives
    assert "no-tooth" in {f.code for f in findings(as_built(Layout(lock)))}


def test_a_file_rounds_it_more() -> None:
    lock = with_measured(made(Lock()), "key", CORNERS, 0.3)
    assert after_filing(lock, "key", CORNERS, 0.2) == pytest.approx(0.5)
