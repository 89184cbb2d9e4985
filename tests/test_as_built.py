"""Made parts in the checks: a bolt as it is under a key and a pivot that it was not made for.

Held against a sweep of key angle and travel that knows no law (`tests/config_space.py`), on an outline that is moved by
shapely, and against contact found by halving on distances between shapes.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from core.change.comparison import compare
from core.change.consequences import as_fact
from core.checks import gathered
from core.files.project_file import load
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.made.marking import mark_made
from core.mechanism.bit_shape import BitShape
from core.mechanism.gap_contact import GapSides, limits
from core.mechanism.law import STROKES
from core.parts.tooth import course, gap_sides, lobe, tooth
from core.report.data import report
from core.shipped import sample_locks
from core.turning.turn_check import turn_check
from core.whole.as_built import as_built
from tests.config_space import Rig, follow, outline, true_bit
from tests.counts import seeds
from tests.designs import bits, plausible, seeded
from tui.steps.walk import all_steps
from tui.widgets.desk_text import readings

PARTS = ("back_plate", "front_plate", "bolt")


def demo() -> Lock:
    return load(next(path for path in sample_locks() if path.stem == "boathouse")).lock


def made(lock: Lock, *parts: str) -> Lock:
    for part in parts or PARTS:
        lock = mark_made(lock, part)
    return lock


def fact(lock: Lock, path: str, value: float) -> Lock:
    new = as_fact(lock, path, value)
    assert new is not None
    return new


def rig(plan: Lock, now: Lock) -> Rig:
    """Return the bolt that was cut for `plan`, lifted to the bolt line of `now`, and the key of `now`."""
    up = np.array([0.0, now.bolt_line.height - plan.bolt_line.height])
    area = shapely.transform(outline(Layout(replace(plan, made=()))), lambda q: q + up)
    throw = plan.shackle.engagement + plan.shackle.gap
    return Rig(area, [true_bit(now.key.radius, now.key.bit_thickness)], throw)


def test_the_demo_with_its_pivot_too_low() -> None:
    """Half the chord at the foot, sqrt(20^2 - 17.7423^2) - 1.5, is driven; then the relief leaves 1.1095."""
    lock = fact(made(demo()), "pivot.below", 54.8)
    new = Layout(lock)
    cut = tooth(as_built(new))
    assert cut.home_travel == pytest.approx(9.5 + 1.5 - math.sqrt(400 - 17.7423**2), abs=1e-4)
    short = follow(rig(demo(), new.lock), "unlocking", capture=1.0)
    assert lobe(as_built(new)).rests_off == pytest.approx(9.5 - short.rests, abs=2e-4)
    assert lobe(as_built(new)).rests_off == pytest.approx(1.1095, abs=2e-4)
    assert report(new)["tooth"]["home_travel"] == pytest.approx(1.769, abs=1e-3)
    found = {f.code: f for f in gathered.findings(new)}
    assert "1.77 mm before the seat" in found["home-travel"].text
    assert "1.11 mm short" in found["home-travel"].text
    change = compare(Layout(made(demo())), new)
    worse = {c.outcome.name: c.trend for c in change.outcomes if c.differs}
    assert (worse["home_travel"], worse["driven_travel"]) == ("worse", "worse")


def test_what_a_step_reads_off_is_of_the_metal() -> None:
    lock = fact(made(demo()), "pivot.below", 54.8)
    told = " ".join(readings(step.read_off, lock).plain for step in all_steps())
    assert "1.77 mm" in told
    assert "0.37 mm" not in told


def test_without_made_parts_or_with_such_as_are_wanted_nothing_is_different() -> None:
    for lock in (demo(), made(demo()), plausible(5)):
        layout = Layout(lock)
        assert as_built(layout) is layout
    # a bolt that is not made follows the pivot
    loose = Layout(fact(made(demo(), "back_plate", "front_plate"), "pivot.below", 54.8))
    assert tooth(as_built(loose)).home_travel == pytest.approx(0.3717, abs=1e-4)


@pytest.mark.parametrize("seed", seeds(5, 16))
@pytest.mark.first(2)
def test_a_bolt_as_made_goes_where_a_sweep_says(seed: int) -> None:
    rng = seeded(f"as built {seed}")
    plan = plausible(seed, roof="flat")
    lock = made(plan, *PARTS, "key")
    path = rng.choice(("pivot.below", "key.radius", "key.bit_thickness"))
    by = rng.choice((-1, 1)) * rng.uniform(0.02, 0.6)
    layout = Layout(fact(lock, path, lock.value(path) + by))
    built = as_built(layout)
    if built is layout:
        pytest.skip("an oblique plate holds the line otherwise")
    way, capture = course(built), layout.lock.fit.detent_capture
    space = rig(plan, built.lock)
    angles = np.radians(np.linspace(-89.5, 179.5, 270))
    for stroke in STROKES:
        side = 1 if stroke == "unlocking" else -1
        seen = follow(space, stroke, capture=capture, at=angles)
        blocked = way.ways[stroke].blocked  # type: ignore[attr-defined]  # a made bolt's course
        if seen.blocked is not None or math.isfinite(blocked):
            # a bit that strikes the relief from within pushes the bolt past its seat first, and is stopped later
            assert seen.blocked is not None, (path, by)
            assert math.isfinite(blocked), (path, by)
            assert blocked <= side * seen.blocked + 0.01
            continue
        mine, wanted = way.travel(side * angles, stroke), seen.at(side * angles)
        # where the bolt jumps, a step of the sweep decides on which side of it an angle lies
        assert np.quantile(np.abs(mine - wanted), 0.97) < 2e-3, (path, by)
        assert mine[-1] == pytest.approx(wanted[-1], abs=2e-3)
        assert not [f for f in turn_check(built).fouls if f.part == "bolt"]


def test_the_limits_are_contact_by_halving_on_distances() -> None:
    """A gap with a slanting, a round and an upright edge: how far it may go, by shapely's distance, 40 halvings."""
    rng = seeded("limits")
    right = np.array([[4.0, 13.0], [2.5, 15.0], [1.6, 16.5], [1.5, 17.0], [1.5, 20.5]])
    left = np.array([[-15.0, 12.0], [-12.0, 15.5], [-11.0, 17.0], [-11.0, 20.5]])
    sides = GapSides(left, right, 20.5)
    angles = np.array([rng.uniform(-0.9, 0.9) for _ in range(40)])
    least, greatest = limits(sides, BitShape.even(20.0, 1.5), angles)
    shapes = bits(20.0, 3.0, angles, tip=513)
    metal = (
        shapely.Polygon([*right, (60.0, 20.5), (60.0, 13.0)]),
        shapely.Polygon([*left, (-60.0, 20.5), (-60.0, 12.0)]),
    )
    for area, bound, way in ((metal[0], least, 1), (metal[1], greatest, -1)):
        for shape, found in zip(shapes, bound, strict=True):
            if not math.isfinite(found):
                continue
            clear, met = way * 80.0, -way * 45.0
            for _ in range(44):
                middle = (clear + met) / 2
                moved = shapely.transform(area, lambda q, by=middle: q + np.array([by, 0.0]))
                clear, met = (clear, middle) if shape.distance(moved) <= 0 else (middle, met)
            assert found == pytest.approx(clear, abs=1e-4)


@pytest.mark.parametrize("rounded", [0.6, 1.2])
def test_the_limits_under_rounded_corners_are_those_of_discs_in_its_corners(
    rounded: float,
) -> None:
    """How far a bit comes over gaps' edges that slant, looked at along the hull of tip and two discs by shapely."""
    half, within = 1.5 - rounded, 20.0 - rounded
    discs = [
        shapely.Point(x, math.sqrt(within**2 - half**2)).buffer(rounded, quad_segs=1000)
        for x in (-half, half)
    ]
    tip = 20.0 * np.exp(1j * (math.pi / 2 + np.linspace(-1, 1, 2000) * math.asin(half / within)))
    foot = shapely.MultiPoint([(-1.5, 0.0), (1.5, 0.0), *zip(tip.real, tip.imag, strict=True)])
    bit = shapely.union_all([*discs, foot]).convex_hull
    angles = np.linspace(-0.8, 0.8, 25)
    right = np.array([[5.0, 13.0], [2.5, 16.0], [1.5, 20.5]])
    left = np.array([[-16.0, 12.0], [-12.0, 17.0], [-11.0, 20.5]])
    found = limits(
        GapSides(left, right, 20.5), BitShape.even(20.0, 1.5).with_corners(rounded), angles
    )
    for angle, least, greatest in zip(angles, *found, strict=True):
        turned = shapely.affinity.rotate(bit, -angle, origin=(0, 0), use_radians=True)
        for edge, way, bound in ((right, 1, least), (left, -1, greatest)):
            if not math.isfinite(bound):
                continue
            beside = turned & shapely.box(-99, edge[0, 1], 99, 99)
            x, y = shapely.get_coordinates(beside.segmentize(0.01)).T
            over = way * (x - np.interp(y, edge[:, 1], edge[:, 0]))
            assert way * bound == pytest.approx(over.max(), abs=2e-3), angle


@pytest.mark.parametrize(
    ("part", "leg"), [("front_guide", "nose"), ("rear_guide", "tail"), ("shackle", "nose")]
)
def test_a_slot_that_was_filed_for_the_leg_that_is_wanted_makes_no_other_lock(
    part: str, leg: str
) -> None:
    made, path = mark_made(Lock(), part), f"bolt.{leg}_height"
    layout = Layout(made)
    # with its clearances still to be kept: nothing of it is taken as it lies
    assert as_built(layout) is layout
    for other in (path, "fit.slide_clearance"):
        changed = made.with_value(other, made.value(other) + 0.1)
        slots = as_built(Layout(changed)).slots_as
        assert {name: lock.value(other) for name, lock in slots.items()} == {
            part: made.value(other)
        }


def test_a_roof_between_corner_and_crown_of_the_bit_stops_it_upright() -> None:
    """By hand: pointing up the bit reaches 20, its corners sqrt(20^2 - 1.5^2) = 19.944; the roof is at 19.97."""
    edge = np.array([[0.0, 15.0], [0.0, 19.97]])
    sides = GapSides(edge - np.array([13.5, 0.0]), edge + np.array([1.5, 0.0]), 19.97)
    # leaned by more than asin(1.5 / 20) = 4.3 degrees the crown is past its end, and a corner is all that is up
    turned = np.radians([-6.0, -4.0, 0.0, 4.0, 6.0])
    least, _ = limits(sides, BitShape.even(20.0, 1.5), turned)
    reach = 20 * np.cos(np.maximum(np.abs(turned) - math.asin(1.5 / 20), 0.0))
    assert (least == math.inf).tolist() == (reach > 19.97).tolist()


def test_a_scribed_roof_and_a_chamfer_have_the_same_sides() -> None:
    for lock in (
        Lock(),
        Lock().with_value("bolt.lobe_chamfer", 0.5),
        Lock().with_value("bolt.depth", 7.0),
    ):
        layout = Layout(lock)
        sides, cut = gap_sides(layout), tooth(layout)
        assert sides.roof == cut.relief_radius
        assert sides.right[-1].tolist() == pytest.approx([cut.pickup_offset, cut.relief_radius])
        assert (np.diff(sides.left[:, 1]) > 0).all()
        area = outline(layout)
        for x, y in (*sides.left, *sides.right):
            assert area.boundary.distance(shapely.Point(x, y)) < 2e-4
        # the law of motion by contact alone
        from core.mechanism.gap_contact import followed
        from core.parts.made_bolt import corners_of

        bit = BitShape.even(cut.radius, cut.half_bit)
        way = followed(sides, bit, cut.throw, 1.5, corners_of(cut))
        angles = np.radians(np.linspace(-180, 180, 721))
        off = np.abs(
            way.at(angles)
            - course(Layout(lock.with_value("fit.detent_capture", 1.5))).travel(angles)
        )
        assert np.quantile(off, 0.99) < 1e-3
