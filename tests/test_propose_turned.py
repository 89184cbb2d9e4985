"""A wall that many see, each turned by an angle of its own, against shapely's intersections and each alone."""

import math
from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiPoint, Polygon, box

from core.geometry.path import Point
from core.geometry.polygons import reach
from core.lock.lock import Lock
from core.mechanism.maths import Array
from core.parts.inner_wall import DOWN, LEFT, RIGHT, UP
from core.propose.turned_ring import Chains, Turned
from core.propose.walls import Walls
from tests.designs import plausible
from tests.locks import changed
from tests.sure import sure

FAR = 500.0


def corners(rng: np.random.Generator) -> Polygon:
    """Return the hull of points by chance: any parallel meets it once."""
    return MultiPoint(rng.uniform(-40, 40, (rng.integers(4, 14), 2))).convex_hull


def rounded(rng: np.random.Generator) -> Polygon:
    """Return such a hull with arcs of many chords for corners."""
    return corners(rng).buffer(rng.uniform(1, 10), quad_segs=int(rng.integers(8, 120)))


def star(rng: np.random.Generator) -> Polygon:
    """Return a ring with corners that look in and out by chance."""
    count = int(rng.integers(5, 40))
    angles = np.linspace(0, 2 * math.pi, count, endpoint=False)
    far = rng.uniform(15, 45, count)
    return Polygon(np.stack([far * np.cos(angles), far * np.sin(angles)], axis=1))


def inset(rng: np.random.Generator) -> Polygon:
    """Return a star less a border, as walls are: its hollows are arcs of many chords."""
    left = star(rng).buffer(-rng.uniform(1, 4), quad_segs=32)
    return max(getattr(left, "geoms", [left]), key=lambda piece: piece.area)


def comb(rng: np.random.Generator) -> Polygon:
    """Return a ring with teeth, of edges across and upright alone, as a traced one may have them."""
    xs = np.repeat(np.sort(rng.uniform(-40, 40, 8)), 2)[1:-1]
    ys = np.repeat(rng.uniform(0, 40, 7), 2)
    return Polygon([(xs[0], -30.0), *zip(xs, ys, strict=True), (xs[-1], -30.0)])


def seen(area: Polygon, middle: Array, angle: float, way: Point) -> Polygon:
    """Return an area turned and moved so that a way looks up from a middle, by shapely.affinity."""
    right, up = (
        np.array([math.cos(angle), math.sin(angle)]),
        np.array([-math.sin(angle), math.cos(angle)]),
    )
    along, across = way[0] * right + way[1] * up, way[1] * right - way[0] * up
    return affine_transform(
        area, [*across, *along, -float(middle @ across), -float(middle @ along)]
    )


def expected(area: Polygon, low: float, high: float, at: float) -> tuple[str, float]:
    """Return how the answer was found, and how far up an area reaches at its least, by shapely's intersections."""
    x0, _, x1, _ = area.bounds
    if low < x0 or high > x1:
        return "missed", -np.inf
    if area.covers(LineString([(low, at), (high, at)])):
        return "inside", float(box(low, at, high, FAR).difference(area).bounds[1])
    if area.convex_hull.area - area.area < 1e-9:
        parts = box(low, -FAR, high, FAR).difference(area).geoms
        return "once", float(next(part for part in parts if part.bounds[3] == FAR).bounds[1])
    # which stretch is nearest is told by the one that is asked once, held by rays (tests/test_geometry.py)
    return "nearest", sure(reach(area, UP, low, high, at))


@pytest.mark.parametrize("made", [corners, rounded, star, inset, comb])
@pytest.mark.parametrize("drawn", range(8))
@pytest.mark.first(5)
def test_a_turned_ring_reaches_as_far_as_shapely_says(
    made: Callable[[np.random.Generator], Polygon], drawn: int
) -> None:
    rng = np.random.default_rng([drawn, len(made.__name__)])
    told: Counter[str] = Counter()
    for _ in range(5):
        area, many = made(rng), 20
        middles = rng.uniform(-12, 12, (many, 2))
        angles = np.where(
            rng.random(many) < 0.2,
            rng.integers(-2, 3, many) * math.pi / 2,
            rng.uniform(-4, 4, many),
        )
        turned = Turned(Chains(shapely.get_coordinates(area.exterior)), middles, angles)
        for way in (UP, DOWN, RIGHT, LEFT):
            low = rng.uniform(-35, 30, many)
            high, at = low + rng.exponential(8, many), rng.uniform(-15, 25, many)
            found = turned.least(way, low, high, at)
            for n in range(many):
                there = seen(area, middles[n], angles[n], way)
                how, least = expected(there, low[n], high[n], at[n])
                told[how] += 1
                assert found[n] == pytest.approx(least, abs=1e-6), (how, n, way)
    hull = made in (corners, rounded)
    assert min(told[how] for how in ("missed", "inside", "once" if hull else "nearest")) > 20


def test_one_parallel_alone_has_the_stretch_that_shapely_cuts_from_it() -> None:
    rng, several = np.random.default_rng(4), 0
    for _ in range(10):
        area, many = star(rng), 20
        middles, angles = rng.uniform(-12, 12, (many, 2)), rng.uniform(-4, 4, many)
        turned = Turned(Chains(shapely.get_coordinates(area.exterior)), middles, angles)
        across, at = rng.uniform(-15, 15, many), rng.uniform(-15, 25, many)
        found = turned.least(LEFT, across, across, at)
        for n in range(many):
            ray = LineString([(across[n], -FAR), (across[n], FAR)])
            cut = ray.intersection(seen(area, middles[n], angles[n], LEFT))
            stretches = [one.bounds for one in getattr(cut, "geoms", [cut]) if one.length > 0]
            several += len(stretches) > 1
            away = [max(one[1] - at[n], at[n] - one[3], 0.0) for one in stretches]
            least = stretches[int(np.argmin(away))][3] if stretches else -np.inf
            assert found[n] == pytest.approx(least, abs=1e-6)
    assert several > 20


def test_of_no_number_nothing_is_told() -> None:
    turned = Turned(
        Chains(shapely.get_coordinates(box(0, 0, 4, 2).exterior)), np.zeros((4, 2)), np.zeros(4)
    )
    low, high, at = np.ones((3, 4))
    for n, one in enumerate((low, high, at)):
        one[n] = np.nan
    assert turned.least(UP, low, high + 1, at).tolist() == pytest.approx(
        [np.nan] * 3 + [2.0], nan_ok=True
    )


UPPER = ((-2, -40), (-2, -30), (-25, -30), (-25, 0), (25, 0), (25, -30), (2, -30), (2, -40))
BONE = (*UPPER, (20, -40), (20, -75), (-20, -75), (-20, -40))


@pytest.mark.parametrize("unlocks", ["right", "left"])
def test_of_a_wall_in_pieces_each_sees_the_one_its_pivot_is_in(unlocks: str) -> None:
    lock = changed(
        Lock(), {"unlocks": unlocks, "plate.outline": "traced", "plate.points": BONE, "plate.rim": 3.0}
    )  # fmt: skip
    rng = np.random.default_rng(5)
    across, below = rng.uniform(-9, 9, 60), rng.uniform(5, 70, 60)
    across[::4] = 0.0
    low = rng.uniform(-6, -2, 60)
    high, at = low + rng.uniform(0, 5, 60), np.zeros(60)
    together = asked(Walls(lock, across, below), low, high, at)
    each_alone(lock, across, below, (low, high, at), together)
    # in the upper piece the floor is at 27 below the mark, in the lower one at 72
    up = (across == 0.0) & (below < 27)
    assert up.sum() > 3
    assert together[1][up] == pytest.approx(below[up] - 27)
    down = (across == 0.0) & (below > 43)
    assert down.sum() > 3
    assert together[1][down] == pytest.approx(below[down] - 72)


def asked(walls: Walls, low: Array, high: Array, at: Array) -> Array:
    """Return what a wall comes to in all four directions [mm], shape (4, n)."""
    every = (walls.up, walls.down, walls.right, walls.left)
    return np.stack([one(low, high, at) for one in every])


def each_alone(
    lock: Lock, across: Array, below: Array, question: tuple[Array, ...], together: Array
) -> None:
    """Hold walls seen together to each seen alone, by a table of its own."""
    for n in range(len(across)):
        one = asked(Walls(lock, across[[n]], below[[n]]), *(row[[n]] for row in question))
        # where the slow way is gone it looks a thousand millionth of a mm beside a corner
        assert together[:, [n]] == pytest.approx(one, abs=1e-6)


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.first(6)
def test_leaning_walls_asked_together_are_as_each_alone(seed: int) -> None:
    lock, rng = plausible(seed), np.random.default_rng(seed)
    across, below = rng.uniform(-4, 4, 24), rng.uniform(0.2, 0.8, 24) * lock.plate.height
    low = rng.uniform(-20, 15, 24)
    high, at = low + rng.exponential(8, 24), rng.uniform(0, 25, 24)
    together = asked(Walls(lock, across, below), low, high, at)
    each_alone(lock, across, below, (low, high, at), together)
