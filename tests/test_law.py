"""The law of motion against the textbook's sine mechanism and a law-free push with shapely."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.mechanism.law import phases, travel
from core.mechanism.tooth_numbers import Tooth, tooth_from
from core.parts.bolt_contour import bolt
from core.parts.tooth import tooth
from tests.designs import bits, moved, numbers, plausible

Array = NDArray[np.float64]
TURN = np.linspace(-math.pi, math.pi, 7201)


def assert_near(found: Array, wanted: Array, within: float) -> None:
    np.testing.assert_allclose(found, wanted, rtol=0, atol=within)


def page_law(cut: Tooth, angles: Array) -> Array:
    """Section 4 of the design page, angle by angle."""
    p, w0, y_f, r, half = (
        cut.pickup_angle, cut.pickup_offset, cut.flank_foot, cut.radius, cut.half_bit,
    )  # fmt: skip
    beta = math.asin(half / r)
    release = math.acos(y_f / r) - beta

    def at(t: float) -> float:
        if t < -p:
            return 0.0
        if t >= release:
            return cut.throw
        if t < 0:
            return y_f * math.tan(t) + half / math.cos(t) - w0
        return r * math.sin(t + beta) - w0

    return np.array([at(float(t)) for t in angles])


def test_corner_on_an_upright_flank_is_the_sine_mechanism() -> None:
    # Scotch yoke: travel r sin(angle), velocity r omega cos(angle): Norton, Design of Machinery (memory)
    cut = tooth_from(
        radius=20, bit=3, clearance=0.2, throw=12, pickup_angle=0.0, bolt_line=24, depth=14
    )
    driven = np.linspace(0.0, cut.release_angle - 1e-9, 50)
    crank = driven + math.asin(1.5 / 20)
    assert travel(cut, driven) == pytest.approx(20 * (np.sin(crank) - np.sin(crank[0])), abs=1e-9)


def test_law_of_the_design_page() -> None:
    for seed in range(40):
        cut = tooth(Layout(plausible(seed)))
        assert_near(travel(cut, TURN), page_law(cut, TURN), 1e-9)


def test_locking_is_the_mirror_image() -> None:
    for seed in range(20):
        cut = tooth(Layout(plausible(seed)))
        assert_near(travel(cut, TURN, "locking"), cut.throw - page_law(cut, -TURN), 1e-9)


def test_travel_begins_at_the_seat_and_leaves_the_home_travel() -> None:
    for seed in range(40):
        lock = plausible(seed)
        cut, by_hand = tooth(Layout(lock)), numbers(lock)
        eve = np.array([-cut.pickup_angle, cut.release_angle - 1e-9, cut.release_angle])
        start, last, seat = travel(cut, eve)
        assert start == pytest.approx(0.0, abs=1e-9)
        assert last == pytest.approx(by_hand.driven, abs=1e-6)
        assert seat == cut.throw
        # the foot's law and the flank's meet at top dead centre
        assert np.diff(travel(cut, np.array([-1e-12, 0.0]))) == pytest.approx(0.0, abs=1e-9)
        monotone = travel(cut, TURN)
        assert (np.diff(monotone) >= -1e-12).all()


def test_every_angle_is_in_one_phase() -> None:
    for seed in range(10):
        cut = tooth(Layout(plausible(seed)))
        at = phases(cut, TURN)
        every = np.stack([at.coming_up, at.on_foot, at.on_flank, at.let_go])
        assert (every.sum(axis=0) == 1).all()


def test_a_key_that_drives_nothing_leaves_the_bolt() -> None:
    cut = tooth_from(
        radius=18, bit=2.5, clearance=0.25, throw=7.5, pickup_angle=0.0, bolt_line=21.5, depth=3.4
    )
    assert not cut.drives
    assert (travel(cut, TURN) == 0).all()


def push(metal: BaseGeometry, shapes: NDArray[np.object_], most: float) -> list[float]:
    """Return the travel [mm] at each of `shapes`: the least that clears it, never going back.

    Knows nothing of the law: only whether two polygons overlap. `most` [mm] bounds one step.
    """
    done, here = [], 0.0
    for shape in shapes:
        if not _clear(metal, here, shape):
            low, high = here, here + most
            while high - low > 1e-6:
                middle = (low + high) / 2
                low, high = (low, middle) if _clear(metal, middle, shape) else (middle, high)
            here = high
        done.append(here)
    return done


def _clear(metal: BaseGeometry, travelled: float, shape: BaseGeometry) -> bool:
    return bool(moved(metal, travelled).intersection(shape).area < 1e-8)


@pytest.mark.parametrize("early", [False, True])
@pytest.mark.parametrize("shallow", [False, True])
@pytest.mark.first(1)
def test_law_against_a_push_that_knows_no_law(early: bool, shallow: bool) -> None:
    tried = 0
    for seed in range(4):
        lock = plausible(seed, early=early, shallow=shallow, roof="flat")
        cut = tooth(Layout(lock))
        metal = polygon(bolt(Layout(lock)).contour, 1e-5, shrink=True)
        # the half of the bolt with the unlocking flank, below the roof: the bit can only push it on
        ahead = metal.intersection(box(-cut.throw / 2, -100, 100, cut.relief_radius))
        angles = np.linspace(-math.pi, cut.release_angle - 1e-4, 150)
        shapes = bits(cut.radius, 2 * cut.half_bit, angles)
        # an overlap thinner than 1e-4 mm along a face passes for none
        assert push(ahead, shapes, 2.0) == pytest.approx(travel(cut, angles), abs=3e-4)
        # moved by the law it clears, drawn back a little it does not
        driven = (angles > -cut.pickup_angle + 0.02) & (angles < cut.release_angle - 0.02)
        for shape, s in zip(shapes[driven], travel(cut, angles[driven]), strict=True):
            assert moved(ahead, s).intersection(shape).area < 1e-6
            assert moved(ahead, s - 1e-2).intersection(shape).area > 1e-6
            tried += 1
    assert tried > 50
