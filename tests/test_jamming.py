"""Where the bolt jams, by a linear program that shares no formula with the statics, and what frees it.

The program asks for the greatest push that Coulomb's law lets the guides hold: each guide presses up or down, and holds
on along the bolt by at most mu times that. No greatest push: it holds any, the bolt jams. scipy's HiGHS solves it.
The 2:1 rule is the plain-bearing makers': a push offset by more than twice the guides' length binds at mu = 0.25.
"""

import math
import random

import numpy as np
import pytest
from scipy.optimize import linprog

from core.checks import gathered
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.law import STROKES, Stroke, driven_angles
from core.mechanism.statics import Applied, Bearings, Contact, balance
from core.parts.tooth import tooth
from core.turning.binding import binding
from core.turning.effort import Drive, drive
from tests.config_space import rig_of
from tests.designs import numbers, turned
from tests.loaded_locks import changed, early, loaded
from tests.touching import bit_at

POSES = 50


def greatest_push(
    at: tuple[float, float],
    normal: tuple[float, float],
    slips: tuple[float, float],
    guides: list[tuple[float, float]],
    load: tuple[float, float, float],
    mu: float,
) -> float:
    """Return the greatest push [N] that friction holds, infinite where it holds any; it slides beyond that.

    Pushed `at` a place [mm] along a unit vector, friction dragging along `slips`; `guides` are places, `load` the force
    to +x, up, and the moment anticlockwise about the origin. The bolt slides to +x.
    """
    px, py = (n + mu * t for n, t in zip(normal, slips, strict=True))
    # unknown: the push, and for each guide its press up, its press down, and its hold along -x
    columns = [[px, py, at[0] * py - at[1] * px]]
    for x, y in guides:
        columns += [[0.0, 1.0, x], [0.0, -1.0, -x], [-1.0, 0.0, y]]
    cones = np.zeros((2 * len(guides), len(columns)))
    for k in range(len(guides)):
        up = 1 + 3 * k
        cones[2 * k, [up, up + 1, up + 2]] = -mu, -mu, 1.0
        cones[2 * k + 1, [up, up + 1, up + 2]] = -mu, -mu, -1.0
    free = [(0, None), *[(0, None), (0, None), (None, None)] * len(guides)]
    found = linprog(
        [-1.0] + [0.0] * (len(columns) - 1),
        A_ub=cones, b_ub=np.zeros(len(cones)), A_eq=np.array(columns).T, b_eq=[-v for v in load],
        bounds=free, method="highs",
    )  # fmt: skip
    if found.status == 3:
        return math.inf
    assert found.status == 0, found.message
    return float(-found.fun)


def pose(layout: Layout, stroke: Stroke, angle: float, mu: float) -> float:
    """Return the greatest push by the program at one key angle, from the lock's own sizes; a load of 1 N holds back."""
    lock, n = layout.lock, numbers(layout.lock)
    way = 1 if stroke == "unlocking" else -1
    along = way * angle
    radius, half, line = lock.key.radius, lock.key.bit_thickness / 2, lock.bolt_line.height
    beta = math.asin(half / radius)
    if along < 0:
        # the face at the foot: square to the bit, and slipping out or in as the foot goes in or out along the face
        at = (n.foot * math.tan(along) + half / math.cos(along), n.foot)
        normal = (math.cos(along), -math.sin(along))
        before, after = (
            n.foot / math.cos(a) + half * math.tan(a) for a in (along - 1e-6, along + 1e-6)
        )
        # where the foot's place on the face moves inwards, the face moves outwards past it, and drags it out
        out = 1.0 if after < before else -1.0
        slips = (out * math.sin(along), out * math.cos(along))
    else:
        phi = along + beta
        at = (radius * math.sin(phi), radius * math.cos(phi))
        normal, slips = (1.0, 0.0), (0.0, -1.0)
    bears = drive(layout, np.array([angle]), stroke).bearings
    guides = [
        (float(bears.front_x[0]), line - lock.bolt.nose_height / 2),
        (float(bears.rear_x[0]), line - lock.bolt.tail_height / 2),
    ]
    middle = (guides[0][1] + guides[1][1]) / 2
    return greatest_push(at, normal, slips, guides, (-1.0, 0.0, middle), mu)


def of_statics(at: Drive, mu: float) -> float:
    """Return the push [N] that slides the bolt by the program's statics under the same load, infinite where it jams."""
    load = Applied(np.array([-1.0]), np.zeros(1), np.array([at.bearings.middle]))
    push = float(balance(at.contact, at.bearings, load, np.array([[mu]])).push[0, 0])
    return math.inf if math.isnan(push) else push


def poses() -> list[tuple[Layout, Stroke, float]]:
    """Return random locks, early and late, wide and narrow, each at a random place of its drive."""
    rng = random.Random(50)  # noqa: S311 - nothing secret is made here
    found: list[tuple[Layout, Stroke, float]] = []
    for k in range(POSES):
        lock = early(rng.uniform(15, 33)) if k % 3 == 0 else loaded(k)
        if k % 5 == 0:
            near = rng.uniform(2, 8)
            lock = changed(
                lock, front_guide__from_centreline=near, rear_guide__from_centreline=near
            )
        layout, stroke = Layout(lock), STROKES[k % 2]
        angles = driven_angles(tooth(layout), stroke, math.radians(1))
        found.append((layout, stroke, float(rng.choice(angles))))
    return found


def test_push_and_jam_at_fifty_poses_by_a_linear_program() -> None:
    jammed = slid = 0
    for layout, stroke, angle in poses():
        at = drive(layout, np.array([angle]), stroke)
        for mu in (0.1, 0.25, 0.44, 0.6, 0.78, 1.1):
            wanted, found = pose(layout, stroke, angle, mu), of_statics(at, mu)
            assert found == pytest.approx(wanted, rel=1e-6), (layout.lock.title, stroke, angle, mu)
            jammed += math.isinf(wanted)
            slid += not math.isinf(wanted)
    assert min(jammed, slid) > 30


def test_jam_friction_at_the_pickup_is_a_wedges() -> None:
    # the least friction at which the program finds no greatest push, by halving
    tried = 0
    for k in range(12):
        layout = Layout(early(15 + 1.5 * k))
        pickup = math.radians(layout.lock.tooth.pickup_angle)
        low, high = 0.05, 1.5
        while high - low > 1e-6:
            mu = (low + high) / 2
            low, high = (
                (low, mu) if math.isinf(pose(layout, "unlocking", -pickup, mu)) else (mu, high)
            )
        assert high == pytest.approx(math.tan(math.pi / 4 - pickup / 2), abs=1e-5)
        found = binding(layout).jam
        assert found is not None
        assert found.value == pytest.approx(high, abs=2e-4)
        tried += 1
    assert tried == 12


def test_closed_form_of_the_jam_friction() -> None:
    # tan(45 - p/2) where the foot slips inwards, sin p > (b/2) / y_f, else 1.0; neither guides nor bolt line change it
    inwards = 0
    for seed in range(24):
        lock = turned(seed)
        n, p = numbers(lock), math.radians(lock.tooth.pickup_angle)
        slips = math.sin(p) > lock.key.bit_thickness / 2 / n.foot
        wanted = math.tan(math.pi / 4 - p / 2) if slips else 1.0
        wider = changed(
            lock, front_guide__from_centreline=lock.front_guide.from_centreline + 6,
            rear_guide__from_centreline=lock.rear_guide.from_centreline + 6,
        )  # fmt: skip
        for each in (lock, wider):
            found = binding(Layout(each)).jam
            assert found is not None
            assert found.value == pytest.approx(wanted, abs=2e-3)
        inwards += slips
    assert 5 < inwards < 24


@pytest.mark.parametrize("offset", [1.0, 2.0, 3.0])
def test_two_to_one_rule(offset: float) -> None:
    # plain-bearing makers: at mu = 0.25 a push offset by twice the guides' length is the most; L = 2 mu d
    span = 20.0
    for mu, binds in (
        (span / (2 * offset * span) - 1e-3, False),
        (span / (2 * offset * span) + 1e-3, True),
    ):
        guides = [(-span / 2, 0.0), (span / 2, 0.0)]
        push = greatest_push(
            (0.0, -offset * span), (1.0, 0.0), (0.0, 0.0), guides, (-1.0, 0.0, 0.0), mu
        )
        assert math.isinf(push) is binds
        one, no = np.ones(1), np.zeros(1)
        found = balance(
            Contact(no, -offset * span * one, one, no, no, no),
            Bearings(-span / 2 * one, span / 2 * one, 0.0, 0.0),
            Applied(-one, no, no), np.array([[mu]]),
        )  # fmt: skip
        assert bool(found.jams[0, 0]) is binds
    assert (offset == 2.0) is (span / (2 * offset * span) == 0.25)


def jam_text(lock: Lock) -> str | None:
    said = {f.code: f for f in gathered.findings(Layout(lock))}
    if "bolt-jams" not in said:
        return None
    assert said["bolt-jams"].step == "tooth"
    return said["bolt-jams"].text


def test_what_frees_a_bolt_that_jams_is_what_the_finding_names() -> None:
    named = {"a pick-up angle": 0, "grease": 0, "guides farther apart": 0}
    for k in range(12):
        lock = early(16 + 1.4 * k, friction__condition="dry")
        if k % 4 == 3:
            near = 3.0 + k / 4
            lock = changed(
                lock, front_guide__from_centreline=near, rear_guide__from_centreline=near
            )
        text = jam_text(lock)
        if text is None:
            continue
        helps = text.rpartition("What helps: ")[2]
        before = binding(Layout(lock)).jam
        assert before is not None
        if "a pick-up angle of " in helps:
            named["a pick-up angle"] += 1
            most = float(helps.split("a pick-up angle of ")[1].split(" degrees")[0])
            assert jam_text(changed(lock, tooth__pickup_angle=most)) is None
            assert jam_text(changed(lock, tooth__pickup_angle=most + 0.2)) is not None
        if "grease" in helps:
            named["grease"] += 1
            assert jam_text(changed(lock, friction__condition="greased")) is None
        wider = changed(
            lock, front_guide__from_centreline=1.5 * lock.front_guide.from_centreline,
            rear_guide__from_centreline=1.5 * lock.rear_guide.from_centreline,
        )  # fmt: skip
        after = binding(Layout(wider)).jam
        assert after is not None
        if "guides farther apart" in helps:
            named["guides farther apart"] += 1
            assert after.value > 1.02 * before.value
        else:
            assert after.value == pytest.approx(before.value, rel=0.02)
    assert min(named.values()) >= 1, named


def test_touch_that_the_program_is_given_is_where_bit_and_bolt_touch() -> None:
    # by shapely: the place on the foot lies on the bit's face, and the bit is beside it
    layout = Layout(early(25.0))
    n, rig = numbers(layout.lock), rig_of(layout)
    for along in np.radians([-24, -15, -5]):
        x = n.foot * math.tan(along) + layout.lock.key.bit_thickness / 2 / math.cos(along)
        shape = bit_at(rig.bit[0], float(along))
        assert shape.exterior.distance(_point(x, n.foot)) < 1e-9


def _point(x: float, y: float):  # type: ignore[no-untyped-def]
    from shapely.geometry import Point

    return Point(x, y)
