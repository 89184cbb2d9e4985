"""Barred stretches and swept edges, held against points by the thousand and polygons of shapely."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.geometry.path import Arc, Path, Segment, arc_by_bulge
from core.geometry.polygons import polygon
from core.geometry.stretches import (
    Obstacle,
    barred,
    free_stretch,
    round_obstacle,
    swept,
)
from tests.posts_bench import swept as swept_area

_PLACES = st.floats(-20, 20, allow_nan=False).map(lambda x: round(x, 3))
_BULGES = st.sampled_from([0.0, 0.0, 0.3, -0.3, 1.0, -1.0, 2.5, -4.0])
AXES = st.sampled_from([(1.0, 0.0), (0.0, 1.0)])


@st.composite
def edges(draw: st.DrawFn) -> Path:
    """Draw some lines and arcs, of more than half a turn too, that join or do not."""
    corners = draw(st.lists(st.tuples(_PLACES, _PLACES), min_size=2, max_size=5, unique=True))
    found: list[Segment] = [
        arc_by_bulge(a, b, draw(_BULGES)) for a, b in pairwise(corners) if math.dist(a, b) > 0.01
    ]
    return Path(tuple(found))


def nothing(points: np.ndarray) -> np.ndarray:
    return np.zeros(len(points), dtype=bool)


@settings(max_examples=150)
@given(edges(), AXES, _PLACES, st.floats(0.005, 9))
@pytest.mark.slow
def test_a_disc_is_barred_where_it_is_too_near(
    edge: Path, along: tuple[float, float], level: float, margin: float
) -> None:
    if not edge.segments:
        return
    start = (0.0, level) if along[0] else (level, 0.0)
    bars = barred(Obstacle(edge, nothing), start, along, margin, -60.0, 60.0)
    assert bars == sorted(bars)
    places = np.linspace(-59.9, 59.9, 4001)
    near = edge.distance(np.array(start) + places[:, None] * np.array(along)) - margin
    inside = np.zeros(len(places), dtype=bool)
    for low, high in bars:
        inside |= (places > low) & (places < high)
        # an end is where the distance comes to the margin, exactly
        for end in (low, high):
            if abs(end) < 59:
                here = np.array(start) + end * np.array(along)
                assert edge.distance(here[None])[0] == pytest.approx(margin, abs=1e-7)
    clear = np.abs(near) > 1e-6
    assert (inside == (near < 0))[clear].all()


@given(st.tuples(_PLACES, _PLACES), st.floats(0.1, 9), _PLACES, st.floats(0.1, 5))
def test_a_disc_beside_a_disc_is_barred_over_a_chord(
    centre: tuple[float, float], radius: float, level: float, margin: float
) -> None:
    bars = barred(round_obstacle(centre, radius), (0.0, level), (1.0, 0.0), margin, -99.0, 99.0)
    # half a chord of the circle of both radii, at that level: Pythagoras
    square = (radius + margin) ** 2 - (level - centre[1]) ** 2
    if square > 1e-6:
        half = math.sqrt(square)
        assert bars == [pytest.approx((centre[0] - half, centre[0] + half), abs=1e-6)]
    elif square < 0:
        assert bars == []


@st.composite
def outlines(draw: st.DrawFn) -> Path:
    """Draw a closed outline that does not cross itself: corners all round, with bends."""
    count = draw(st.integers(3, 6))
    radii = [draw(st.floats(4, 15)) for _ in range(count)]
    corners = [
        (r * math.cos(math.tau * k / count), r * math.sin(math.tau * k / count))
        for k, r in enumerate(radii)
    ]
    ends = [*corners[1:], corners[0]]
    bends = [draw(st.sampled_from([0.0, 0.2, -0.15, 0.9])) for _ in corners]
    return Path(tuple(arc_by_bulge(a, b, k) for a, b, k in zip(corners, ends, bends, strict=True)))


@settings(max_examples=60, deadline=None)
@given(outlines(), st.floats(0.5, 12))
def test_the_edge_of_what_is_swept_is_among_the_edges(outline: Path, by: float) -> None:
    area = polygon(outline, 1e-3)
    if area.geom_type != "Polygon":
        return
    whole, held = swept_area(area, by), swept(outline, by)
    rim = shapely.get_coordinates(shapely.segmentize(whole.boundary, 0.5))
    assert held.distance(rim).max() < 5e-3
    # and none of them lies outside
    points = np.concatenate([s.points(1e-3) for s in held.segments])
    assert shapely.distance(whole, shapely.points(points)).max() < 5e-3


def test_the_nearest_stretch_counts_and_none_is_told() -> None:
    wall, post = [(-9.0, -5.0), (5.0, 9.0)], [(-1.0, 1.0)]
    for at, ends in (
        (-3.0, (-5.0, -1.0)),
        (0.4, (1.0, 5.0)),
        (-8.0, (-5.0, -1.0)),
        (3.0, (1.0, 5.0)),
    ):
        found = free_stretch([wall, post], at)
        assert found is not None
        assert (found.low, found.high) == ends
        assert {found.low_by, found.high_by} == {0, 1}
    assert free_stretch([[(-9.0, 0.0)], [(0.0, 9.0)]], 0.0) is None
    assert free_stretch([[(-9.0, 9.0)], [(-1.0, 1.0)]], 0.0) is None


def test_a_whole_turn_and_more_than_half_of_one() -> None:
    arc = Arc(
        (0.0, 0.0), 5.0, (5.0, 0.0), (0.0, -5.0), "ccw"
    )  # three quarters, open at the lower right
    bars = barred(Obstacle(Path((arc,)), nothing), (0.0, -1.0), (1.0, 0.0), 0.5, -20.0, 20.0)
    outer, inner = math.sqrt(5.5**2 - 1), math.sqrt(4.5**2 - 1)
    # on the right the line passes the arc's end, one below it, out of reach
    assert bars == [pytest.approx((-outer, -inner))]


def test_a_disc_beside_a_slanting_line_bars_a_chord_of_it() -> None:
    bars = barred(round_obstacle((7.0, 2.0), 5.0), (0.0, 0.0), (0.6, 0.8), 1.0, -60.0, 60.0)
    # by Pythagoras: the foot of (7, 2) is 5.8 along a line of slope 4:3, and 4.4 off it
    half = math.sqrt(6.0**2 - 4.4**2)
    assert bars == [pytest.approx((5.8 - half, 5.8 + half), abs=1e-9)]
