"""Drills and sheet gauges against handbooks and their laws, and what is drilled with them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from core.layout.layout import Layout
from core.sheets.drills import TO_FILE, WEB, nearest, pilot, row_along
from core.sheets.gauges import gauges_in_words, near
from core.sheets.tables import tables
from core.tables.sheet_gauges import all_gauges
from core.tables.twist_drills import INCHES, METRIC, all_drills
from tests.sheet_reading import SAMPLES, job_for

# Twist drills, inches: Machinery's Handbook, straight shank drills (sizes copied from a second table, not seen there)


SHIELD = SAMPLES[0]
NUMBERS = {1: .2280, 7: .2010, 10: .1935, 21: .1590, 29: .1360, 36: .1065, 40: .0980, 43: .0890, 47: .0785,
           50: .0700, 60: .0400, 80: .0135}  # fmt: skip


LETTERS = {"A": .234, "F": .257, "K": .281, "Q": .332, "U": .368, "Z": .413}  # fmt: skip


def test_drills_as_in_the_handbook() -> None:
    by_name = {drill.name: drill.diameter / 25.4 for drill in all_drills()}
    for number, inches in NUMBERS.items():
        assert by_name[f"no. {number}"] == pytest.approx(inches, abs=1e-9)
    for letter, inches in LETTERS.items():
        assert by_name[f"letter {letter}"] == pytest.approx(inches, abs=1e-9)
    assert by_name["9/64 in"] == 9 / 64
    assert by_name["1/2 in"] == 0.5
    assert by_name["3.1 mm"] * 25.4 == pytest.approx(3.1)


def test_drills_are_whole_sets_in_order_each_with_a_source() -> None:
    kinds = {kind: [d for d in all_drills() if d.kind == kind] for kind in (*METRIC, *INCHES)}
    assert [d.name for d in kinds["number"]] == [f"no. {n}" for n in range(80, 0, -1)]
    assert [d.name[-1] for d in kinds["letter"]] == list("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    assert len(kinds["fraction"]) == 32
    assert len({d.name for d in all_drills()}) == len(all_drills())
    assert all(d.source for d in all_drills())


def test_gauges_by_their_laws() -> None:
    for gauge in all_gauges():
        assert gauge.source
        if gauge.name.startswith("AWG"):
            # ASTM B258: 0.005 in x 92^((36 - n) / 39)
            law = 0.005 * 92 ** ((36 - gauge.number) / 39) * 25.4
            assert gauge.thickness == pytest.approx(law, abs=6e-4)
    steel = {g.number: g.thickness / 25.4 for g in all_gauges() if g.name.startswith("US")}
    # by weight: ounces for a square foot (Act of 3 March 1893), 501.84 lb to the cubic foot
    ounces = (90, 80, 70, 60, 50, 45, 40, 36, 32, 28, 24, 22, 20, 18, 16, 14, 12, 11, 10, 9, 8)
    for number, weight in zip(range(10, 31), ounces, strict=True):
        assert steel[number] == pytest.approx(weight / 16 / 501.84 * 12, abs=6e-5)
    # Imperial Standard Wire Gauge, thousandths of an inch (Order in Council 1883; memory)
    swg = (
        128,
        116,
        104,
        92,
        80,
        72,
        64,
        56,
        48,
        40,
        36,
        32,
        28,
        24,
        22,
        20,
        18,
        16.4,
        14.8,
        13.6,
        12.4,
    )
    british = {g.number: g.thickness for g in all_gauges() if g.name == "British SWG"}
    for number, thou in zip(range(10, 31), swg, strict=True):
        assert british[number] == pytest.approx(thou * 0.0254, abs=6e-4)
    # 2.5 oz of zinc on a square foot of galvanised sheet (memory)
    zinc = {g.number: g.thickness / 25.4 for g in all_gauges() if g.name == "galvanised"}
    for number, weight in zip(range(10, 31), ounces, strict=True):
        assert zinc[number] == pytest.approx((weight + 2.5) / 16 / 501.84 * 12, abs=1.1e-4)


def test_every_gauge_has_its_odd_numbers_too() -> None:
    for name in {gauge.name for gauge in all_gauges()}:
        assert [g.number for g in all_gauges() if g.name == name] == list(range(10, 31))


def test_gauges_are_named_for_the_metal_that_is_sold_by_them() -> None:
    # 1.83 mm is 13 of the brass gauge, which had no odd numbers; no steel sheet is sold by that gauge
    layout = Layout(SHIELD)
    assert gauges_in_words(layout, 1.83, "brass") == (
        "nearest gauges: brass 13 AWG (B&S), 1.83 mm; brass 15 British SWG, 1.83 mm"
    )
    assert gauges_in_words(layout, 1.89, "mild steel") == (
        "nearest gauges: steel 14 US Manufacturers' Standard, 1.9 mm; steel 15 British SWG, 1.83 mm"
    )
    both = gauges_in_words(layout, 2.0, "mild steel or brass")
    assert "steel 14 US" in both
    assert "brass 12 AWG" in both
    assert "steel or brass 14 British SWG" in both
    assert "galvanised" not in both
    assert gauges_in_words(layout, 40.0, "brass") == ""
    stock = next(t for t in tables(job_for(SHIELD)) if t.title == "Stock to cut")
    assert {note.split(":")[0] for note in stock.notes[1:]} == {
        g.name for g in near(2.0, "steel, brass")
    }


@given(st.floats(0.5, 12.9))
def test_nearest_drill_is_nearest(diameter: float) -> None:
    for kinds in (METRIC, INCHES):
        found = nearest(diameter, kinds)
        assert found is not None
        assert (
            abs(found.diameter - diameter)
            <= min(abs(d.diameter - diameter) for d in all_drills() if d.kind in kinds) + 1e-6
        )


def test_no_drill_for_a_hole_that_none_is_near() -> None:
    assert nearest(40.0, METRIC) is None


@given(
    st.floats(0.5, 60), st.floats(0.3, 20), st.sampled_from(["mm", "in"]), st.floats(0, 6.28), st.booleans()
)  # fmt: skip
def test_row_of_holes_stays_in_its_slot_and_keeps_its_webs(
    run: float, width: float, units: str, turn: float, from_hole: bool
) -> None:
    start, end = (1.0, 2.0), (1.0 + run * math.cos(turn), 2.0 + run * math.sin(turn))
    row = row_along(start, end, width, units, from_hole=from_hole)
    if row is None:
        return
    slot = LineString([start, end]).buffer(width / 2, cap_style="flat").buffer(1e-6)
    holes = [Point(c).buffer(row.drill.diameter / 2) for c in row.centres]
    assert all(slot.contains(hole) for hole in holes)
    assert row.drill.diameter <= width - 2 * TO_FILE + 1e-9
    for one, other in zip(row.centres, row.centres[1:], strict=False):
        assert math.dist(one, other) >= row.drill.diameter + WEB - 1e-9
    if from_hole:
        assert math.dist(start, row.centres[0]) >= row.drill.diameter / 2 + WEB - 1e-9


@pytest.mark.parametrize(
    ("units", "thinnest"), [("mm", 1.0), ("in", NUMBERS[60] * 25.4)], ids=["mm", "in"]
)
def test_a_slot_is_drilled_from_one_that_just_takes_the_thinnest_drill(
    units: str, thinnest: float
) -> None:
    # common practice, no source: below a millimetre a drill breaks, and the slot is sawn; in inches that is no. 60
    just = thinnest + 2 * TO_FILE
    row = row_along((0.0, 0.0), (6.0, 0.0), just, units)
    assert row is not None
    assert row.drill.diameter == pytest.approx(thinnest, abs=1e-9)
    assert row_along((0.0, 0.0), (6.0, 0.0), just - 0.001, units) is None


def test_small_holes_have_no_pilot_that_would_break() -> None:
    # 3.1 mm had a pilot of 1.2; a pilot for the pivot's 6 mm stays
    assert pilot(3.1, METRIC) is None
    assert all(p.diameter >= 2.0 for d in np.arange(0.5, 13, 0.1) if (p := pilot(float(d), METRIC)))
    found = pilot(6.0, METRIC)
    assert found is not None
    assert found.name == "2.4 mm"
