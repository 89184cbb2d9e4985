"""Where the bolt jams, by linear programs that share no formula with the statics, and what frees it.

Coulomb's law lets a guide press the bolt up or down, and hold it along by at most mu times that. With one sign for each
guide the greatest push that they hold is a linear program; of the four programs the greatest counts. No greatest push:
they hold any, and the bolt jams. scipy's HiGHS solves them. The key's own friction is at that edge of its cone to which
the bit slips; the whole cone would be a bolt wedged by a key that was turned back before, which is another question.
"""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import linprog

from core.layout.layout import Layout
from core.mechanism.law import STROKES, Stroke, driven_angles
from core.mechanism.statics import Applied, balance
from core.parts.friction import own_friction
from core.parts.tooth import tooth
from core.turning.binding import binding
from core.turning.effort import Drive, drive
from core.turning.freeing import freeing
from core.turning.pickup import CHECK
from core.turning.torque import BOLT_JAMS
from core.turning.troubles import troubles
from tests.counts import seeds, tries
from tests.designs import numbers, seeded, turned
from tests.loaded_locks import changed, early, loaded

POSES = tries(12, 50)
Place = tuple[float, float]


def greatest_push(
    at: Place, normal: Place, slips: Place, guides: list[Place], pull: Place, mu: float
) -> float:
    """Return the greatest push [N] that friction holds, infinite where it holds any; beyond it the bolt slides.

    Pushed `at` a place [mm] along a unit vector, friction dragging along `slips`; `guides` are places, and a `pull` [N]
    to -x acts at a height [mm]. The bolt slides to +x.
    """

    def column(fx: float, fy: float, place: Place) -> list[float]:
        return [fx, fy, place[0] * fy - place[1] * fx]

    push = column(normal[0] + mu * slips[0], normal[1] + mu * slips[1], at)
    found = -math.inf
    for signs in itertools.product((1.0, -1.0), repeat=2):
        # the push, and for each guide its press and its hold along -x
        columns = [push]
        for sign, place in zip(signs, guides, strict=True):
            columns += [column(0.0, sign, place), column(-1.0, 0.0, place)]
        holds = np.zeros((4, 5))
        for row, (press, side) in enumerate([(1, 1), (1, -1), (3, 1), (3, -1)]):
            holds[row, press], holds[row, press + 1] = -mu, side
        solved = linprog(
            [-1.0, 0, 0, 0, 0], A_ub=holds, b_ub=np.zeros(4), A_eq=np.array(columns).T,
            b_eq=[pull[0], 0.0, -pull[1] * pull[0]],
            bounds=[(0, None), (0, None), (None, None), (0, None), (None, None)], method="highs",
        )  # fmt: skip
        if solved.status == 3:
            return math.inf
        if solved.status == 0:
            found = max(found, -float(solved.fun))
    return found


def by_programs(layout: Layout, stroke: Stroke, angle: float, mu: float) -> float:
    """Return the greatest push at one key angle, from the lock's own sizes; 1 N between the guides holds back."""
    lock, n = layout.lock, numbers(layout.lock)
    way = 1 if stroke == "unlocking" else -1
    along, half, line = way * angle, lock.key.bit_thickness / 2, lock.bolt_line.height

    def on_face(turn: float) -> float:
        """How far out along the bit the foot is."""
        x = n.foot * math.tan(turn) + half / math.cos(turn)
        return x * math.sin(turn) + n.foot * math.cos(turn)

    if along < 0:
        at = (n.foot * math.tan(along) + half / math.cos(along), n.foot)
        normal = (math.cos(along), -math.sin(along))
        # where the foot comes in along the face, the face goes out past it, and drags it out
        out = 1.0 if on_face(along + 1e-6) < on_face(along - 1e-6) else -1.0
        slips = (out * math.sin(along), out * math.cos(along))
    else:
        phi = along + math.asin(half / lock.key.radius)
        at = (lock.key.radius * math.sin(phi), lock.key.radius * math.cos(phi))
        normal, slips = (1.0, 0.0), (0.0, -1.0)
    gone = at[0] - n.offset if along >= 0 else n.foot * math.tan(along) + half / math.cos(along)
    gone = gone if along >= 0 else gone - n.offset
    front, rear = lock.front_guide, lock.rear_guide
    tip = lock.shackle.diameter / 2 - abs(lock.shackle.across) - lock.shackle.engagement
    throw = lock.shackle.engagement + lock.shackle.gap
    tip = min(tip + (gone if way > 0 else throw - gone), -front.from_centreline)
    guides = [
        (way * max(-(front.from_centreline + front.width / 2), tip), line - lock.bolt.nose_height / 2),
        (way * (rear.from_centreline + rear.width / 2), line - lock.bolt.tail_height / 2),
    ]  # fmt: skip
    return greatest_push(at, normal, slips, guides, (1.0, (guides[0][1] + guides[1][1]) / 2), mu)


def by_statics(at: Drive, mu: float) -> float:
    """Return the push [N] that slides the bolt by the program under the same load, infinite where it jams."""
    load = Applied(np.array([-1.0]), np.zeros(1), np.array([at.bearings.middle]))
    push = float(balance(at.contact, at.bearings, load, np.array([[mu]])).push[0, 0])
    return math.inf if math.isnan(push) else push


def poses() -> list[tuple[Layout, Stroke, float]]:
    """Return random locks, early and late, of wide guides and narrow, each at a random place of its drive."""
    rng = seeded("poses")
    found: list[tuple[Layout, Stroke, float]] = []
    for k in range(POSES):
        lock = early(rng.uniform(15, 33)) if k % 3 == 0 else loaded(k)
        if k % 5 == 0:
            near = rng.uniform(2, 8)
            lock = changed(
                lock, front_guide__from_centreline=near, rear_guide__from_centreline=near
            )
        layout, stroke = Layout(lock), STROKES[k % 2]
        angles = list(driven_angles(tooth(layout), stroke, math.radians(1)))
        if k % 3 == 0:  # while the face is on the foot
            angles = [angle for angle in angles if (angle < 0) == (stroke == "unlocking")]
        found.append((layout, stroke, float(rng.choice(angles))))
    return found


def jam_edge(at: Drive) -> float:
    """Return the least friction at which the program's statics jam, by halving."""
    low, high = 0.05, 2.0
    while high - low > 1e-7:
        mu = (low + high) / 2
        low, high = (low, mu) if math.isinf(by_statics(at, mu)) else (mu, high)
    return high


def test_push_and_jam_friction_at_fifty_poses() -> None:
    edges = []
    for layout, stroke, angle in poses():
        at = drive(layout, np.array([angle]), stroke)
        edges.append(edge := jam_edge(at))
        for mu in (0.1, 0.44, 0.78, edge - 1e-5, edge + 1e-5, 1.4):
            wanted, found = by_programs(layout, stroke, angle, mu), by_statics(at, mu)
            assert math.isinf(wanted) is (mu > edge)
            assert found == pytest.approx(wanted, rel=1e-5), (layout.lock.title, stroke, angle, mu)
    assert sum(edge < 0.95 for edge in edges) >= tries(2, 8)
    assert sum(edge > 0.95 for edge in edges) >= tries(2, 8)


def test_jam_friction_at_the_pickup_is_a_wedges() -> None:
    for pickup in (15.0, 20.0, 25.0, 30.0, 33.0):
        layout, wedge = (
            Layout(early(pickup)),
            math.tan(math.pi / 4 - math.radians(pickup) / 2),
        )
        for off in (-1e-5, 1e-5):
            push = by_programs(layout, "unlocking", -math.radians(pickup), wedge + off)
            assert math.isinf(push) is (off > 0)


def test_the_window_of_the_pickup_ends_where_the_dry_bolt_begins_to_jam() -> None:
    dry = changed(early(10.0), friction__condition="dry")
    mu = own_friction(Layout(dry)).high
    (end,) = (bound for bound in CHECK.bounds(Layout(dry)) if bound.code == BOLT_JAMS)
    assert (end.end, end.path) == ("high", "tooth.pickup_angle")
    for off in (-0.01, 0.01):
        at = Layout(dry.with_value(end.path, end.value + off))
        push = by_programs(at, "unlocking", -math.radians(end.value + off), mu)
        assert math.isinf(push) is (off > 0)
    # greased it never does, as far as the angle goes
    greased = Layout(changed(early(10.0), friction__condition="greased"))
    assert BOLT_JAMS not in {bound.code for bound in CHECK.bounds(greased)}


def test_closed_form_of_the_jam_friction_which_no_guide_or_bolt_line_changes() -> None:
    # tan(45 - p/2) where the foot slips inwards, sin p > (b/2) / y_f, else 1.0
    inwards = 0
    for seed in seeds(8, 24):
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
            assert found.value == pytest.approx(wanted, abs=2e-4)
        inwards += slips
    assert tries(1, 5) < inwards < tries(8, 24)


@pytest.mark.parametrize("offset", [1.0, 2.0, 3.0])
def test_two_to_one_rule(offset: float) -> None:
    # design pages of two makers of linear plain bearings (seen): a drive farther off than twice the bearings' distance
    # may jam at a friction of 0.25, whatever the load; L = 2 mu d for any other
    span = 20.0
    binds_from = 0.25 * 2.0 / offset
    for mu in (binds_from - 1e-4, binds_from + 1e-4):
        guides = [(-span / 2, 0.0), (span / 2, 0.0)]
        for pull in (0.1, 10.0):
            push = greatest_push(
                (0.0, -offset * span), (1.0, 0.0), (0.0, 0.0), guides, (pull, 0.0), mu
            )
            assert math.isinf(push) is (mu > binds_from)


def test_a_bolt_that_may_jam_over_part_of_a_stroke_is_told_in_both() -> None:
    """The guides stand alike on both sides, so the two strokes mirror each other."""
    found = troubles(Layout(early(16.0, friction__condition="dry")), "dry")
    assert [(f.kind, f.stroke, f.text) for f in found] == [
        ("jam", "unlocking", "the bolt may jam"),
        ("jam", "locking", "the bolt may jam"),
    ]
    assert found[0].angle == pytest.approx(-found[1].angle, abs=math.radians(1.0))


def test_grease_frees_a_dry_bolt_and_is_offered_to_no_greased_one() -> None:
    """What is offered is tried by linear programs at every angle of the drive, at the greatest friction greased."""
    lock = early(24.0, friction__condition="dry", friction__metals="steel on steel")
    before = Layout(lock)
    (grease,) = [one for one in freeing(before).remedies if one.words == "grease"]
    after = Layout(grease.applied(lock))
    assert after.lock == changed(lock, friction__condition="greased")
    for stroke in STROKES:
        angles = driven_angles(tooth(before), stroke, math.radians(8.0))[1:-1]
        pushes = {
            at: [by_programs(at, stroke, float(angle), own_friction(at).high) for angle in angles]
            for at in (before, after)
        }
        assert max(pushes[before]) == math.inf
        assert max(pushes[after]) < math.inf
    wedged = early(36.0, friction__condition="greased")
    assert not [one.words for one in freeing(Layout(wedged)).remedies if "grease" in one.words]


def test_a_bolt_that_jams_at_the_least_friction_too_is_told_so_however_short_the_way() -> None:
    # picked up so early that a wedge holds at 0.42: over a stretch after the pick-up, not over the whole stroke
    pickup = 48.8
    lock = changed(
        early(30.0, friction__condition="dry"), key__radius=20.0, key__bit_thickness=7.7, shackle__engagement=23.9,
        shackle__gap=1.5, bolt_line__height=23.6, bolt__depth=9.3, tooth__pickup_angle=pickup,
    )  # fmt: skip
    least = own_friction(Layout(lock)).low
    assert math.isinf(by_programs(Layout(lock), "unlocking", -math.radians(pickup - 0.1), least))
    assert by_programs(Layout(lock), "unlocking", math.radians(5.0), least) < 100
    found = [f for f in troubles(Layout(lock), "dry") if f.kind == "jam"]
    assert [(f.stroke, f.text) for f in found] == [
        ("unlocking", "the bolt jams"), ("locking", "the bolt jams"),
    ]  # fmt: skip
