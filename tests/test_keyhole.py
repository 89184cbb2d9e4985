"""The keyhole's contour, held against areas worked out by hand."""

import math
from itertools import pairwise

import pytest

from core.geometry.path import Arc
from core.geometry.polygons import polygon
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.sheets.pieces.keyhole import keyhole


def test_shoulders_of_a_slot_wider_than_the_round_stand_level_with_its_middle() -> None:
    lock = first_lock("mm").with_value("pivot.hole", 4.0).with_value("key.bit_thickness", 6.0)
    lock = lock.with_value("fit.key_clearance", 0.5).with_value("key.radius", 20.0)
    path = keyhole(Layout(lock))
    assert all(one.end == other.start for one, other in pairwise(path.segments))
    # the round is one arc about the pivot, of which both ends are its radius away
    (round_part,) = (part for part in path.segments if isinstance(part, Arc))
    assert round_part.centre == (0.0, 0.0)
    for end in (round_part.start, round_part.end):
        assert math.dist(end, round_part.centre) == pytest.approx(round_part.radius)
    left, bottom, right, top = polygon(path, 1e-4).bounds
    assert (left, right, top) == pytest.approx((-3.5, 3.5, 2.0), abs=1e-3)
    # half a disc on a slot, by plane geometry
    assert polygon(path, 1e-4).area == pytest.approx(math.pi * 2 - 7.0 * bottom, abs=1e-2)
