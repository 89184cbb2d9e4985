"""The round tip in its notch against circle and polygon by shapely, and what it takes to leave as energy."""

import math
import random

import pytest
import shapely
from shapely.geometry import Point, Polygon, box

from core.mechanism.detent_force import Detent, greatest_ramp, least_ramp
from core.mechanism.notch import Notch

FAR = 10.0


def drawn(seed: int) -> Notch[float]:
    """Return a notch and a tip at random: V and flat-floored, tips that reach the ramps and tips that do not."""
    chance = random.Random(seed)  # noqa: S311 - nothing secret is made here
    return Notch(
        half_width=chance.uniform(0.3, 2.0), ramp=math.radians(chance.uniform(15, 75)),
        depth=chance.uniform(0.2, 2.5), tip=chance.choice((1e-3, chance.uniform(0.1, 1.5))),
    )  # fmt: skip


def metal(notch: Notch[float]) -> Polygon:
    """Return the bolt's top edge at height 0 with the notch as it is filed, from its three sizes alone."""
    u, deep = notch.half_width, min(notch.depth, notch.half_width * math.tan(notch.ramp))
    floor = u - deep / math.tan(notch.ramp)
    cut = Polygon([(-u, 0.0), (-floor, -deep), (floor, -deep), (u, 0.0), (u, 1.0), (-u, 1.0)])
    return shapely.difference(box(-FAR, -FAR, FAR, 0.0), cut)


def height(block: Polygon, tip: float, x: float) -> float:
    """Return how high [mm] the lowest point of a circle over `x` lies when it touches: by halving on the distance."""
    low, high = -FAR / 2, 0.0
    for _ in range(60):
        middle = (low + high) / 2
        centre = Point(x, middle + tip)
        free = not block.contains(centre) and block.distance(centre) > tip
        low, high = (low, middle) if free else (middle, high)
    return high


@pytest.mark.parametrize("seed", range(24))
def test_rounded_tip_against_shapely(seed: int) -> None:
    notch = drawn(seed)
    block = metal(notch)
    for k in range(9):
        off = 1.3 * notch.half_width * k / 8
        assert notch.drop(off) == pytest.approx(-height(block, notch.tip, off), abs=1e-7)
    # the slope that the tip climbs is that of its path
    for share in (0.13, 0.37, 0.61, 0.83):
        off, step = notch.half_width * share, 1e-4
        if min(abs(off - notch.play), abs(off - notch.slope_end)) < 2 * step:
            continue
        rise = (height(block, notch.tip, off + step) - height(block, notch.tip, off - step)) / (
            2 * step
        )
        assert math.tan(notch.slope(off)) == pytest.approx(rise, abs=5e-4)


@pytest.mark.parametrize("seed", range(8))
def test_the_tip_lies_free_on_the_floor_as_far_as_circle_and_polygon_leave_it(seed: int) -> None:
    # in every other notch a floor so high that a wide tip leaves it for the corners, not for the ramps
    chance = random.Random(seed)  # noqa: S311 - nothing secret is made here
    tip, ramp = chance.uniform(0.5, 1.5), math.radians(chance.uniform(30, 75))
    rounding = tip * (1 - math.cos(ramp))
    depth = rounding * (chance.uniform(0.2, 0.9) if seed % 2 else chance.uniform(1.1, 2.0))
    notch = Notch(tip * 1.5 + depth / math.tan(ramp), ramp, depth, tip)
    block = metal(notch)
    on_floor, off_it = 0.0, notch.half_width
    for _ in range(40):
        middle = (on_floor + off_it) / 2
        lies = height(block, tip, middle) < -depth + 1e-9
        on_floor, off_it = (middle, off_it) if lies else (on_floor, middle)
    assert on_floor > 0.05
    assert notch.play == pytest.approx(on_floor, abs=1e-5)


@pytest.mark.parametrize("seed", range(24))
@pytest.mark.first(2)
def test_reach_of_the_detent_by_walking_out_of_the_notch(seed: int) -> None:
    # the bolt is drawn where the path's slope, read off circle and polygon, beats friction on ramp and guides
    notch, mu = drawn(seed), (0.08, 0.19, 0.3)[seed % 3]
    block, rho, step = metal(notch), math.atan(mu), 2e-4
    held = Detent(notch, throw=20.0, press=3.0, rate=1.0)
    reached = 0.0
    for k in range(1, 400):
        off = notch.half_width * k / 400
        rise = height(block, notch.tip, off + step) - height(block, notch.tip, off - step)
        if math.tan(math.atan2(rise, 2 * step) - rho) > mu:
            reached = off
    assert held.capture(mu) == pytest.approx(reached, abs=notch.half_width / 300)


@pytest.mark.parametrize("seed", range(12))
def test_work_to_leave_without_friction_is_what_the_spring_takes_up(seed: int) -> None:
    # conservation of energy: lifted by h against press + rate y, press h + rate h^2 / 2
    notch = drawn(seed)
    held = Detent(notch, throw=20.0, press=2.7, rate=1.4)
    lift = -height(metal(notch), notch.tip, 0.0)
    assert held.work_to_leave(0.0) == pytest.approx(2.7 * lift + 0.7 * lift**2, rel=2e-3)
    # friction on both sides only ever adds to it
    assert held.work_to_leave(0.1) > held.work_to_leave(0.0)


def test_ramps_at_the_friction_of_the_table() -> None:
    # a wedge slips back by itself when steeper than twice the friction angle, and locks at a right angle less one:
    # Hibbeler, Engineering Mechanics: Statics, wedges and self-locking screws (memory)
    for mu in (0.1, 0.19, 0.25, 0.44, 0.51):
        rho = math.degrees(math.atan(mu))
        assert math.degrees(least_ramp(mu)) == pytest.approx(2 * rho)
        assert math.degrees(greatest_ramp(mu)) == pytest.approx(90 - rho)


@pytest.mark.parametrize("seed", range(24))
@pytest.mark.first(2)
def test_force_that_gets_it_out_is_the_most_on_the_way(seed: int) -> None:
    # the slope read off circle and polygon; some of these notches have a floor so high that only corners bear
    notch, mu = drawn(seed), 0.12
    held = Detent(notch, throw=20.0, press=3.0, rate=1.0)
    block, low = metal(notch), height(metal(notch), notch.tip, 0.0)
    forces = []
    for k in range(400):
        off = notch.play + (notch.half_width - notch.play) * (k + 0.5) / 400
        lies, step = height(block, notch.tip, off), 1e-5
        rise = height(block, notch.tip, off + step) - height(block, notch.tip, off - step)
        press, slope = 3.0 + lies - low, math.atan2(rise, 2 * step)
        if slope + math.atan(mu) < math.pi / 2:
            forces.append(press * (math.tan(slope + math.atan(mu)) + mu))
    assert held.holding(mu) == pytest.approx(max(forces), rel=0.02)
