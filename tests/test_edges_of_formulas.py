"""Formulas at their edges, where a changed sign or limit went unseen: ties, nothing at all, arcs off the middle."""

import math

import numpy as np
import pytest
from shapely.geometry import LineString

from core.geometry.motion import shift
from core.geometry.outlines import outline, top_at
from core.geometry.polygons import polygon
from core.mechanism.detent_force import Detent, least_ramp
from core.mechanism.notch import Notch
from core.mechanism.statics import Applied, Bearings, Contact, balance
from core.mechanism.tooth_numbers import Reason, tooth_from
from tests.designs import OUTLINES, plausible


@pytest.mark.parametrize("kind", OUTLINES)
@pytest.mark.parametrize("across", [-37.5, 0.0, 21.0])
def test_top_of_an_outline_wherever_it_lies(kind: str, across: float) -> None:
    # against shapely: the highest point of an upright line inside the outline, also for arcs about a middle that is
    # not at 0
    path = shift(across, 8.0).path(outline(plausible(5, outline=kind).plate).path)
    area = polygon(path, 1e-4)
    low, _, high, _ = area.bounds
    for x in np.linspace(low + 0.5, high - 0.5, 23):
        found = top_at(path, float(x))
        assert found is not None
        upright = area.intersection(LineString([(x, -500), (x, 500)]))
        assert found == pytest.approx(upright.bounds[3], abs=2e-2)
    assert top_at(path, high + 1.0) is None


def test_a_bolt_that_nothing_holds_takes_no_push() -> None:
    one = np.ones(1)
    push = Contact(0 * one, -3 * one, one, 0 * one, 0 * one, -one)
    bears = Bearings(-20 * one, 20 * one, 0.0, 0.0)
    nothing = Applied(*(np.zeros((2, 1)) for _ in range(3)))
    found = balance(push, bears, nothing, np.array([[0.0], [0.2]]))
    assert not found.jams.any()
    assert (np.abs(found.push) + np.abs(found.torque) + np.abs(found.front) == 0).all()


def test_a_push_through_the_guides_bears_on_neither() -> None:
    # no moment, nothing across: both reactions are nought, on the tie of the four cases
    one = np.ones(1)
    push = Contact(0 * one, 0 * one, one, 0 * one, 0 * one, 0 * one)
    bears = Bearings(-20 * one, 20 * one, 0.0, 0.0)
    load = Applied(np.full((1, 1), -3.0), np.zeros((1, 1)), np.zeros((1, 1)))
    found = balance(push, bears, load, np.array([[0.3]]))
    assert found.push == pytest.approx(3.0)
    assert [float(found.front[0, 0]), float(found.rear[0, 0])] == pytest.approx([0.0, 0.0])
    assert not found.jams.any()


def test_flanks_that_meet_in_one_place_are_no_gap() -> None:
    # the design's page of the mechanism, gap and pick-up offset: the lower edge is the foot, and the throw takes up
    # just what an early pick-up takes off the gap, T + 2 w0 = 0
    pickup, bit, line, depth = 0.4, 3.0, 26.0, 6.5
    offset = bit / 2 / math.cos(pickup) - (line - depth) * math.tan(pickup)
    for more, reason in ((0.0, Reason.FLANKS_CROSS), (-0.01, Reason.FLANKS_CROSS)):
        cut = tooth_from(
            radius=20.0, bit=bit, clearance=0.3, throw=more - 2 * offset, pickup_angle=pickup,
            bolt_line=line, depth=depth,
        )  # fmt: skip
        assert cut.gap_width == pytest.approx(more)
        assert (cut.fits, cut.drives) == (False, False)
        assert cut.reason == reason


def test_a_tip_that_only_friction_s_ramp_would_carry_is_drawn_from_nowhere() -> None:
    # Coulomb's friction on both faces: a wedge slips by itself when steeper than twice the friction angle; here the
    # corners are just that steep at most
    tip, mu = 1.0, 0.19
    width = tip * math.sin(least_ramp(mu))
    held = [
        Detent(Notch(width + by, math.radians(60.0), 9.0, tip), throw=9.5, press=3.0, rate=1.0)
        for by in (0.0, 0.01)
    ]
    assert held[0].capture(mu) == 0.0
    assert held[1].capture(mu) == pytest.approx(0.01)
