"""Small places that a mutant of the program slipped through: each is held by a case worked out by hand."""

import json
import math
from decimal import Decimal, getcontext

import pytest

from core.geometry.outlines import top_at
from core.geometry.path import Path, circle, polyline
from core.geometry.segments import Line, arc_by_bulge
from core.layout.codes import Code
from core.layout.layout import Layout
from core.layout.windows import Bound, merged
from core.lock.lock import Lock
from core.parts.bolt import PART as BOLT
from core.report.data import marking
from tests.designs import plausible


def test_the_middle_of_a_line_that_begins_anywhere() -> None:
    assert Line((1.0, 2.0), (5.0, 8.0)).middle == (3.0, 5.0)


def test_the_top_of_a_slanting_edge_is_on_it() -> None:
    edge = polyline([(1.0, 2.0), (5.0, 4.0)])
    assert top_at(edge, 2.0) == pytest.approx(2.5)
    assert top_at(edge, 4.0) == pytest.approx(3.5)


def test_a_thin_segment_keeps_its_figures() -> None:
    # x - sin x by thirty digits of decimal arithmetic
    getcontext().prec = 40
    for sweep in (0.02, 0.09, 0.1):
        x, term, exact = Decimal(sweep), Decimal(sweep), Decimal(0)
        for k in range(1, 12):
            term = -term * x * x / (2 * k * (2 * k + 1))
            exact -= term
        bulge = math.tan(sweep / 4)
        area = _segment_area(bulge, 100.0 * math.sin(sweep / 2) * 2)
        assert area == pytest.approx(float(exact) * 100.0**2 / 2, rel=1e-12)


def _segment_area(bulge: float, chord: float) -> float:
    ends = (0.0, 0.0), (chord, 0.0)
    return abs(Path((arc_by_bulge(*ends, bulge), Line(ends[1], ends[0]))).signed_area())


def test_a_window_of_no_width_has_its_value_in_the_middle() -> None:
    code = Code("made-up", "stop", "tooth", "For this test alone.")
    ends = [Bound("key.radius", end, 5.0, "a", code) for end in ("low", "high")]
    assert merged(ends)["key.radius"].place(5.0) == 0.5


def test_no_place_to_mark_is_less_than_nothing() -> None:
    for lock in (Lock(), plausible(1)):
        assert "-0.0" not in json.dumps(marking(Layout(lock)))


def test_a_full_circle_has_its_area() -> None:
    assert abs(circle((3.0, -2.0), 5.0).signed_area()) == pytest.approx(25 * math.pi)


@pytest.mark.parametrize("line", ["22.2", "24.0", "22.9", "25.3"])
def test_a_depth_added_up_in_decimals_is_not_too_deep_by_the_last_digit_of_floats(
    line: str,
) -> None:
    # 22.2 - 2.5 - 0.1 is 19.6 by hand, and less than that in floats: what a maker typed is what leaves the shank clear
    most = Decimal(line) - Decimal("2.5") - Decimal("0.1")
    lock = Lock().with_value("key.shank", 5.0).with_value("fit.key_clearance", 0.1)
    lock = lock.with_value("bolt_line.height", float(line))
    for more, found in ((Decimal(0), False), (Decimal("0.001"), True)):
        layout = Layout(lock.with_value("bolt.depth", float(most + more)))
        assert ("bolt-at-shank" in [f.code for f in BOLT.findings(layout)]) is found
