"""How far the inner wall reaches for the lock's own pivot and for others, held against lines that shapely cuts."""

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.inner_wall import (
    DOWN,
    LEFT,
    RIGHT,
    UP,
    wall_down,
    wall_from,
    wall_left,
    wall_right,
    wall_up,
)
from tests.counts import seeds
from tests.designs import OUTLINES, plausible, seeded
from tests.plates import inner_wall

WAYS = (UP, DOWN, RIGHT, LEFT)


def seen_by(lock: Lock, below: float) -> BaseGeometry:
    """Return the inner wall in the drive frame of a pivot there, by shapely alone."""
    moved = inner_wall(lock.with_value("pivot.below", below))
    assert moved.geom_type == "Polygon"
    return affinity.scale(moved, -1.0, 1.0, origin=(0.0, 0.0)) if lock.unlocks == "left" else moved


def by_lines(
    wall: BaseGeometry, way: tuple[float, float], low: float, high: float, at: float
) -> float | None:
    """Return the least far end of the stretches that hold `at`, or lie nearest; lines at every corner between."""
    along, across = np.array(way), np.array([way[1], -way[0]])
    corners = shapely.get_coordinates(wall) @ across
    corners = corners[(corners > low) & (corners < high)]
    offs = np.unique(np.concatenate([np.linspace(low, high, 41), corners - 1e-7, corners + 1e-7]))
    offs = offs[(offs >= low) & (offs <= high)]
    ends = offs[:, None, None] * across + np.array([-400.0, 400.0])[:, None] * along
    reached = []
    for line in shapely.intersection(shapely.linestrings(ends), wall):
        pieces = [shapely.get_coordinates(piece) @ along for piece in shapely.get_parts(line)]
        pieces = [piece for piece in pieces if len(piece) > 1]
        if not pieces:
            return None
        away = [max(piece.min() - at, at - piece.max(), 0.0) for piece in pieces]
        reached.append(pieces[int(np.argmin(away))].max())
    return float(min(reached))


@pytest.mark.parametrize("outline", OUTLINES)
@pytest.mark.first(2)
def test_every_pivot_sees_the_wall_where_lines_meet_it(outline: str) -> None:
    met = 0
    for seed in seeds(3, 12):
        lock, rng = plausible(seed, outline=outline), seeded(900 + seed)
        if seed % 2:
            lock = lock.with_value("pivot.across", 0.0)
        here = lock.pivot.below
        for below in (here, here + float(rng.uniform(-4, 4))):
            wall, told = seen_by(lock, below), wall_from(Layout(lock), below)
            if below == here:
                told = wall_from(Layout(lock))
            x0, y0, x1, y1 = wall.bounds
            for way in WAYS:
                spread = (x0, x1) if way[0] == 0 else (y0, y1)
                low, high = sorted(rng.uniform(spread[0] - 2, spread[1] + 2) for _ in range(2))
                if way in (DOWN, RIGHT):  # across is the direction turned a quarter clockwise
                    low, high = -high, -low
                found, wanted = told(way, low, high, 1.0), by_lines(wall, way, low, high, 1.0)
                assert (found is None) == (wanted is None), (seed, below, way, low, high)
                if found is not None:
                    assert found == pytest.approx(wanted, abs=2e-3), (seed, below, way, low, high)
                    met += 1
    assert met > 20


def test_the_four_sides_of_a_rectangle() -> None:
    # by hand: 80 by 60 with a rim of 5 about a pivot 24 below the middle of the top edge
    lock = Lock()
    for path, value in {
        "plate.outline": "rectangle", "plate.width": 80.0, "plate.height": 60.0, "plate.corner": 0.0,
        "plate.rim": 5.0, "plate.mark_across": 0.0, "pivot.across": 0.0, "pivot.below": 24.0,
    }.items():  # fmt: skip
        lock = lock.with_value(path, value)
    layout = Layout(lock)
    assert wall_up(layout, -3.0, 3.0, 0.0) == pytest.approx(19.0)
    assert wall_down(layout, 3.0, -3.0, 0.0) == pytest.approx(-31.0)
    assert wall_right(layout, -3.0, 3.0, 0.0) == pytest.approx(35.0)
    assert wall_left(layout, 3.0, -3.0, 0.0) == pytest.approx(35.0)
    assert wall_up(layout, 30.0, 36.0, 0.0) is None
    assert wall_from(layout, 20.0)(UP, -3.0, 3.0, 0.0) == pytest.approx(15.0)
