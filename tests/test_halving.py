"""Edges found by what is spare, held against scipy's root finder, and against halving in how often they ask."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from core.geometry.halving import CLOSE, edge_by, edge_of
from core.mechanism.detent_force import Detent
from core.mechanism.notch import Notch

SHAPES: dict[str, Callable[[float], float]] = {
    "straight": lambda x: x,
    "bent": lambda x: x + 0.3 * x * x * math.copysign(1.0, x) + 0.1 * math.sin(3 * x),
    "flat at the edge": lambda x: x**3,
    "steep at the edge": lambda x: math.copysign(math.sqrt(abs(x)), x),
    "dying away": lambda x: 1 - math.exp(-x),
}
"""What is spare so far inside an edge."""


@given(
    st.sampled_from(sorted(SHAPES)),
    st.floats(-50, 50),
    st.floats(0.001, 5),
    st.floats(0.001, 5),
    st.sampled_from([1, -1]),
)
def test_the_edge_is_where_scipy_has_it(
    shape: str, edge: float, within: float, beyond: float, way: int
) -> None:
    def spare(place: float) -> float:
        return SHAPES[shape]((edge - place) * way)

    inside, outside = edge - way * within, edge + way * beyond
    found = edge_by(spare, inside, outside)
    assert spare(found) >= 0
    if shape != "flat at the edge":  # there scipy stops where its numbers come to nothing
        assert found == pytest.approx(
            brentq(spare, inside, outside, xtol=1e-13), abs=2 * CLOSE, rel=1e-14
        )
    assert abs(found - edge) <= 2 * CLOSE + 1e-14 * abs(edge) or spare(found) < 1e-24


@given(st.floats(-50, 50), st.floats(0.001, 5), st.floats(0.001, 60), st.sampled_from([1, -1]))
def test_where_it_leaps_it_asks_little_more_often_than_halving(
    edge: float, within: float, beyond: float, way: int
) -> None:
    asked = []

    def spare(place: float) -> float:
        asked.append(place)
        return math.inf if (edge - place) * way >= 0 else -1.0

    inside, outside = edge - way * within, edge + way * beyond
    found = edge_by(spare, inside, outside)
    halved = edge_of(lambda place: (edge - place) * way >= 0, inside, outside)
    assert found == pytest.approx(halved, abs=2 * CLOSE, rel=1e-14)
    assert len(asked) <= math.ceil(math.log2((within + beyond) / CLOSE)) + 4


def test_what_changes_evenly_is_found_in_a_few_steps() -> None:
    asked = []

    def spare(place: float) -> float:
        asked.append(place)
        return 28.6 - place

    assert edge_by(spare, 28.4, 28.9) == pytest.approx(28.6, abs=2 * CLOSE)
    assert len(asked) <= 12


def test_nothing_spare_is_enough_or_with_strict_too_little() -> None:
    # by hand: a staircase that is level at 0
    def stair(place: float) -> float:
        return 1.0 if place < 1 else 0.0 if place < 2 else -1.0

    assert edge_by(stair, 0.0, 4.0) == pytest.approx(2.0, abs=2 * CLOSE)
    assert edge_by(stair, 0.0, 4.0, strict=True) == pytest.approx(1.0, abs=2 * CLOSE)


def test_no_number_is_too_little_and_one_place_is_its_own_edge() -> None:
    assert edge_by(lambda x: math.nan if x > 1 else 2.0, 0.0, 4.0) == pytest.approx(1.0, abs=1e-10)
    assert edge_by(lambda _: 1.0, 3.0, 3.0) == 3.0
    assert edge_by(lambda _: -1.0, 1.0, 3.0) == 1.0


@given(
    st.floats(0.3, 3), st.floats(0.2, 1.3), st.floats(0.1, 3), st.floats(0.001, 5), st.floats(0.5, 6),
    st.floats(0, 4), st.floats(0.05, 0.5), st.floats(0.01, 3),
)  # fmt: skip
def test_a_detent_draws_from_its_capture_to_where_it_rests_and_nowhere_else(
    half: float,
    ramp: float,
    deep: float,
    tip: float,
    press: float,
    rate: float,
    mu: float,
    drag: float,
) -> None:
    # the pull itself, asked at a thousand places: no root is looked for
    held = Detent(Notch(half, ramp, deep, tip), throw=9.5, press=press, rate=rate)
    caught, play = held.capture(mu, drag), held.notch.play
    step = (half - play) / 1000
    drawn = [play + step * (k + 0.5) for k in range(1000)]
    drawn = [off for off in drawn if held.pull(off, mu, drag) > 0]
    if not drawn:
        assert caught <= play + step
        return
    assert caught == pytest.approx(drawn[-1], abs=step)
    assert held.rests_off(mu, drag) == pytest.approx(drawn[0], abs=step)
