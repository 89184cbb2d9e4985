"""The turn as the turn screen and its charts see it."""

import math
import random

import numpy as np
import pytest
import shapely

from core.files.project_file import load
from core.geometry.polygons import polygon
from core.layout.frames import hand
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.mechanism.contact import LETTING_GO, PHASES, PLACES
from core.mechanism.law import STROKES, Stroke, travel
from core.mechanism.maths import Array
from core.mechanism.sweep import SLIVER, bit_polygons, full_turn, meeting
from core.parts.bolt_contour import bolt, bolt_area
from core.parts.tooth import course, tooth
from core.shipped import sample_locks
from core.turning.effort import effort
from core.turning.follow import charts, follow, fouls_at, moment
from core.turning.turn_check import edges_that_count, turn_check
from core.whole.as_built import as_built
from tests.counts import seeds
from tests.designs import bits, moved, numbers, plausible, stretched
from tests.held_locks import random_held

FOULING = next(path for path in sample_locks() if path.stem == "pump_house")


def side(stroke: Stroke) -> int:
    return 1 if stroke == "unlocking" else -1


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.parametrize("stroke", STROKES)
@pytest.mark.first(2)
def test_phases_follow_one_another(seed: int, stroke: Stroke) -> None:
    layout = Layout(plausible(seed))
    n = numbers(layout.lock)
    pickup = math.radians(layout.lock.tooth.pickup_angle)
    turn = np.linspace(-math.pi, math.pi, 2001)
    seen = follow(layout, side(stroke) * turn, stroke)
    words = [PHASES[phase] for phase in seen.phase]
    assert list(dict.fromkeys(words)) == ["coming up", "driving", "let go", "drawn home"]
    for word, low, high in (
        ("coming up", -math.pi, -pickup),
        ("driving", -pickup, n.release),
        ("let go", n.release, n.release + LETTING_GO),
        ("drawn home", n.release + LETTING_GO, math.pi),
    ):
        at = turn[[w == word for w in words]]
        assert at.min() == pytest.approx(low, abs=0.005)
        assert at.max() == pytest.approx(high, abs=0.005)


@pytest.mark.parametrize("seed", seeds(4, 12))
@pytest.mark.parametrize("stroke", STROKES)
def test_contact_is_where_bit_and_bolt_touch(seed: int, stroke: Stroke) -> None:
    # by shapely: at the contact, and hardly anywhere else on the flank, the bit and the bolt meet
    layout = Layout(plausible(seed, roof="flat"))
    cut, way = tooth(layout), side(stroke)
    turn = way * np.linspace(-cut.pickup_angle + 1e-3, cut.release_angle - 1e-3, 40)
    seen = follow(layout, turn, stroke)
    metal = polygon(bolt(layout).contour, 1e-5, shrink=True)
    shapes = bits(cut.radius, 2 * cut.half_bit, turn)
    for shape, s, at in zip(shapes, seen.travel, seen.contact_at, strict=True):
        point = shapely.Point(hand(layout).point((float(at[0]), float(at[1]))))
        assert point.distance(shape.exterior) < 1e-6
        assert point.distance(moved(metal, s).exterior) < 1e-6
    names = [PLACES[k] for k in seen.contact]
    on_foot = way * turn < 0
    assert all(("foot" in name) == bool(foot) for name, foot in zip(names, on_foot, strict=True))


def test_nothing_touches_outside_the_drive() -> None:
    layout = Layout(plausible(1))
    seen = follow(layout, np.array([-3.0, 3.0]))
    assert [PLACES[k] for k in seen.contact] == ["", ""]
    assert np.isnan(seen.contact_at).all()


def to_the_bolt(layout: Layout, angles: Array, stroke: Stroke) -> Array:
    """Return how far [mm] the bit is from the bolt, outside the contact, by shapely at every angle [rad]."""
    shapes = bit_polygons(tooth(layout), angles, course(layout).travel(angles, stroke))
    clear = np.full(len(angles), np.inf)
    for edge, counts in edges_that_count(layout, angles, stroke):
        clear[counts] = np.minimum(clear[counts], shapely.distance(edge, shapes[counts]))
    return clear


@pytest.mark.parametrize("seed", seeds(3, 12))
@pytest.mark.first(1)
def test_the_least_gap_is_the_least_of_all(seed: int) -> None:
    for lock in (plausible(seed), random_held(seed), stretched(seed)):
        built = as_built(Layout(lock))
        angles = full_turn()
        found = np.stack([to_the_bolt(built, angles, stroke) for stroke in STROKES])
        check = turn_check(built)
        if check.least_gap_part == "bolt" and tooth(built).fits:
            assert check.least_gap == found.min()
            first = np.unravel_index(int(np.argmin(found)), found.shape)[1]
            assert check.least_gap_at == angles[first]
        else:
            assert not tooth(built).fits or check.least_gap <= found.min()


@pytest.mark.parametrize("seed", seeds(3, 12))
@pytest.mark.first(1)
def test_what_is_looked_at_for_fouls_leaves_out_none(seed: int) -> None:
    # bit and shank at every angle, wherever they are, by shapely
    for lock in (plausible(seed), random_held(seed), stretched(seed), load(FOULING).lock):
        layout = Layout(lock)
        angles, radius = full_turn(), lock.key.shank / 2
        worst = 0.0
        for stroke in STROKES:
            shift = course(layout).travel(angles, stroke)
            shapes = bit_polygons(tooth(layout), angles, shift)
            shanks = shapely.buffer(shapely.points(-shift, 0.0 * shift), radius, quad_segs=16)
            cut = [
                shapely.area(shapely.intersection(bolt_area(layout), s)) for s in (shapes, shanks)
            ]
            worst = max(worst, float((cut[0] + cut[1]).max()))
        met = meeting(course(layout), bolt_area(layout), radius, moves=True)
        assert (met is None) == (worst <= SLIVER) or worst < 10 * SLIVER
        assert met is None or met.overlap >= worst - 1e-9


@pytest.mark.parametrize("seed", seeds(3, 6))
@pytest.mark.first(1)
def test_gaps_are_distances(seed: int) -> None:
    # each part's outline and the bit by shapely, at the place that the program names
    layout = Layout(plausible(seed))
    cut = tooth(layout)
    for stroke in STROKES:
        angles = np.linspace(-math.pi, math.pi, 181)
        seen = follow(layout, angles, stroke)
        to_bolt = to_the_bolt(layout, angles, stroke)
        assert (seen.gap <= to_bolt + 1e-9).all()
        of_bolt = np.array([seen.parts[k] == "bolt" for k in seen.gap_to])
        assert seen.gap[of_bolt] == pytest.approx(to_bolt[of_bolt], abs=1e-9)
        shapes = bits(cut.radius, 2 * cut.half_bit, angles)
        for shape, gap, at in zip(shapes, seen.gap, seen.gap_at, strict=True):
            place = shapely.Point(hand(layout).point((float(at[0]), float(at[1]))))
            # the tip is a chain of chords, finer here than there
            assert place.distance(shape) == pytest.approx(gap, abs=2e-3)
        assert turn_check(layout).least_gap <= seen.gap.min() + 2e-3


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.first(1)
def test_one_angle_is_a_place_in_the_charts(seed: int) -> None:
    layout = Layout(plausible(seed))
    for stroke in STROKES:
        chart = charts(layout)[stroke]
        assert (np.diff(chart.seen.angles) > 0).all()
        for k in random.Random(seed).sample(range(len(chart.seen.angles)), 12):  # noqa: S311
            now = moment(layout, float(chart.seen.angles[k]), stroke)
            assert now.travel == pytest.approx(chart.seen.travel[k])
            assert now.phase == PHASES[chart.seen.phase[k]]
            assert now.contact == PLACES[chart.seen.contact[k]]
            assert (now.contact_at is None) == bool(np.isnan(chart.seen.contact_at[k, 0]))
            assert now.gap == pytest.approx(chart.seen.gap[k])
            for condition, pair in now.torque.items():
                ends = [end[k] for end in chart.takes.ends("torque", condition)]
                assert pair == pytest.approx(ends)


def test_charts_hold_the_corners_of_the_law() -> None:
    layout = Layout(plausible(2, early=True))
    cut = tooth(layout)
    for stroke in STROKES:
        seen = charts(layout)[stroke].seen
        drawn = np.abs(np.diff(seen.travel)).max()
        # the last driven place and the release lie side by side, so the step home is drawn upright
        assert drawn == pytest.approx(cut.home_travel, abs=1e-6)


@pytest.mark.parametrize("seed", seeds(3, 6))
def test_hands_are_mirrored(seed: int) -> None:
    right = plausible(seed, unlocks="right")
    left = right.with_value("unlocks", "left")
    for path in ("shackle.across", "pivot.across", "plate.mark_across"):
        left = left.with_value(path, -right.value(path))
    points = tuple((-p[0], p[1], *(-k for k in p[2:])) for p in right.plate.points)
    left = left.with_value("plate.points", points)
    angles = np.linspace(-math.pi, math.pi, 121)
    for stroke in STROKES:
        one, other = (follow(Layout(lock), angles, stroke) for lock in (right, left))
        assert one.travel == pytest.approx(other.travel)
        assert (one.phase == other.phase).all()
        assert one.gap == pytest.approx(other.gap, abs=1e-3)
        assert one.contact_at * [-1, 1] == pytest.approx(other.contact_at, nan_ok=True)


def test_fouling_sample_names_part_angle_and_place() -> None:
    layout = Layout(load(FOULING).lock)
    cut = tooth(layout)
    foul = turn_check(layout).fouls[0]
    assert foul.part == "bolt"
    before = foul.first - side(foul.stroke) * math.radians(0.2)
    assert fouls_at(layout, before, foul.stroke) == ()
    found = fouls_at(layout, foul.at, foul.stroke)
    assert found[0].part == "bolt"
    assert found[0].overlap == pytest.approx(foul.overlap, rel=1e-3)
    # the place is in the bit and in the bolt, by shapely
    place = shapely.Point(hand(layout).point(found[0].at))
    angle = np.array([foul.at])
    assert bits(cut.radius, 2 * cut.half_bit, angle)[0].buffer(1e-6).contains(place)
    s = float(travel(cut, angle, foul.stroke)[0])
    assert moved(polygon(bolt(layout).contour), s).buffer(1e-6).contains(place)
    assert moment(layout, foul.at, foul.stroke).fouls == found


def test_sound_lock_fouls_nowhere() -> None:
    layout = Layout(Lock())
    assert all(fouls_at(layout, float(a)) == () for a in np.linspace(-3.1, 3.1, 20))


def test_key_that_drives_nothing_is_followed_too() -> None:
    layout = Layout(Lock().with_value("bolt.depth", 3.5))
    assert not tooth(layout).drives
    for stroke in STROKES:
        chart = charts(layout)[stroke]
        assert set(chart.seen.phase) == {0}
        assert (chart.takes.torque == 0).all()
    assert effort(layout, np.zeros(0)).torque.shape == (6, 0)
