"""Worked examples from print: handbooks, standards, open textbooks; the digits are those printed there.

Beside each stands its source. "seen" means that the page was read when this was written, "second-hand" that it was
read as somebody else quotes it, "memory" that it was not read. A number is good to the last digit that is printed,
unless a source rounds on the way: that is said.
"""

import math

import numpy as np
import pytest

from core.layout.layout import Layout
from core.mechanism.circle_segments import chord, radius_of, segment_area
from core.mechanism.rivet_volume import in_shank, snap_volume
from core.mechanism.statics import Applied, Bearings, Contact, balance
from core.mechanism.strength import (
    bending_stress,
    cantilever_rate,
    round_area,
    shear_stress,
    torsion_stress,
)
from core.mechanism.tolerance_stack import Link, gap, root_sum_square, worst
from core.mechanism.tooth_numbers import tooth_from
from core.sheets.drills import nearest
from core.tables.hole_and_shaft import clearance, zones
from core.tables.rivet_rules import rivet_heads, rivet_rules
from core.tables.twist_drills import METRIC, all_drills
from core.turning.binding import binding
from tests.contrast import contrast
from tests.loaded_locks import early

INCH = 25.4


# --- chords and segments of circles -----------------------------------------------------------------------------------


def test_chord_of_the_handbook() -> None:
    # Machinery's Handbook, 31st ed., p. 79, segment of a circle (seen): radius 60, height 8, chord 59.86 (from 29.93
    # rounded); chord 16 and height 6 give radius 8 1/3
    assert chord(60.0, 8.0) == pytest.approx(59.86, abs=0.01)
    assert radius_of(16.0, 6.0) == pytest.approx(8 + 1 / 3)
    # the same in the formula in use: half the chord at the flank's foot is driven travel and pick-up offset together
    cut = tooth_from(
        radius=60, bit=3, clearance=0.2, throw=40, pickup_angle=0, bolt_line=70, depth=18
    )
    assert cut.flank_foot == 60 - 8
    assert cut.driven_travel + cut.pickup_offset == pytest.approx(59.86 / 2, abs=0.005)


def test_segment_of_the_handbook() -> None:
    # Machinery's Handbook, 31st ed., p. 50, examples 3 and 4 (seen): depth 2 in a circle of radius 12: chord 13.27,
    # arc 14.06, area 18.01 (from rounded numbers: 18.04 is exact)
    assert chord(12.0, 2.0) == pytest.approx(13.27, abs=0.005)
    assert segment_area(12.0, 2.0) == pytest.approx(18.01, abs=0.03)


@pytest.mark.parametrize(
    ("degrees", "height", "across", "area"),
    [(60, 0.1340, 1.0000, 0.0906), (90, 0.2929, 1.4142, 0.2854), (120, 0.5000, 1.7321, 0.6142)],
)
def test_segments_for_radius_one(degrees: int, height: float, across: float, area: float) -> None:
    # Machinery's Handbook, segments of circles for radius = 1 (memory)
    rise = 1 - math.cos(math.radians(degrees / 2))
    assert rise == pytest.approx(height, abs=5e-5)
    assert chord(1.0, rise) == pytest.approx(across, abs=5e-5)
    assert segment_area(1.0, rise) == pytest.approx(area, abs=5e-5)


def test_segment_of_an_old_handbook() -> None:
    # Machinists' and Draftsmen's Handbook, 1899, p. 200 (seen, as scanned): an arc of 60 degrees and a radius of 9:
    # 42.4116 - 35.073 = 7.3386 (0.433 for 0.4330127)
    assert segment_area(9.0, 9.0 * (1 - math.cos(math.radians(30)))) == pytest.approx(
        7.3386, abs=0.002
    )


def test_chord_between_holes_on_a_circle() -> None:
    # Machinery's Handbook Guide, section 2 (seen): eight holes on a circle of 6 in are 2.296 in apart; for 56
    # divisions of a circle of 1 the chord is 0.05607
    for divisions, diameter, apart in ((8, 6.0, 2.296), (56, 1.0, 0.05607)):
        rise = diameter / 2 * (1 - math.cos(math.pi / divisions))
        assert chord(diameter / 2, rise) == pytest.approx(apart, abs=5e-4 if diameter > 1 else 5e-6)


# --- sliding and jamming ----------------------------------------------------------------------------------------------


def slides(offset: float, *, along: float, across: float, mu: float) -> bool:
    """Say whether a body between two corners that bear on opposite sides slides under a push beside its middle line.

    The corners lie `along` behind each other and `across` from side to side; the push is `offset` from the middle.
    """
    one = np.ones(1)
    push = Contact(0 * one, offset * one, one, 0 * one, 0 * one, 0 * one)
    corners = Bearings(0 * one, along * one, across / 2, -across / 2)
    faint = Applied(np.array([[-1e-9]]), np.zeros((1, 1)), np.zeros((1, 1)))
    return not balance(push, corners, faint, np.array([[mu]])).jams[0, 0]


@pytest.mark.parametrize(
    ("along", "across", "mu", "critical"),
    [
        # Beer & Johnston, Vector Mechanics, Statics, sample problem on a movable bracket (second-hand, seen): on a
        # pipe of 3 in, corners 6 in apart, mu 0.25: the load is held from 12 in from the pipe's axis on
        (6.0, 3.0, 0.25, 12.0),
        # Hibbeler, Engineering Mechanics, Statics, ch. 8, review problem on a drawer (second-hand, seen): 1.25 m wide,
        # 0.3 m deep, mu 0.4: handles at most 0.75 m apart, so pulled 0.375 m beside the middle
        (0.3, 1.25, 0.4, 0.75 / 2),
        # Statics and Strength of Materials, example 6.3, p. 116 (seen, as solved by a program): a rod of 0.5 in,
        # corners 3 in apart, mu 0.25: 5.75 in from its face, so 6 from its axis
        (3.0, 0.5, 0.25, 5.75 + 0.25),
        # makers of plain bearings: twice the length at mu 0.25 (common knowledge of the trade, several sources)
        (20.0, 0.0, 0.25, 40.0),
    ],
)  # fmt: skip
def test_jamming_in_print(along: float, across: float, mu: float, critical: float) -> None:
    assert slides(0.999 * critical, along=along, across=across, mu=mu)
    assert not slides(1.001 * critical, along=along, across=across, mu=mu)


def test_wedge_under_a_block() -> None:
    # Beer & Johnston, Statics, problem on two 10 degree wedges (second-hand, seen): a block of 400 lb held by a wall,
    # mu 0.25 at all surfaces: 313 lb drive the wedge
    mu, slope = 0.25, math.radians(10)
    up, side = math.cos(slope), math.sin(slope)
    one = np.ones(1)
    # the block goes up along the wall (our +x); wedge, wall and weight act through one point, so that nothing turns it
    wedge = Contact(5 * one, 5 * one, up * one, side * one, -side * one, up * one)
    wall = Bearings(0 * one, 10 * one, 5.0, 5.0)
    weight = Applied(np.array([[-400.0]]), np.zeros((1, 1)), np.array([[400.0 * 5]]))
    found = balance(wedge, wall, weight, np.array([[mu]]))
    push = float(found.push[0, 0])
    lifts, shoves = push * (up - mu * side), push * (side + mu * up)
    assert shoves + mu * lifts == pytest.approx(313, abs=0.5)
    assert found.front[0, 0] == pytest.approx(found.rear[0, 0])
    assert -(found.front + found.rear)[0, 0] == pytest.approx(shoves)


@pytest.mark.parametrize("pickup", [15.0, 24.0, 30.0])
def test_wedge_that_stays_in(pickup: float) -> None:
    # Singer, Engineering Mechanics, problem 535 (seen; its answer memory): a wedge stays in up to twice the angle of
    # friction. A bit that meets the foot p early is a wedge of 90 - p between face and guide: it jams from tan(45 -
    # p/2) on
    jam = binding(Layout(early(pickup))).jam
    assert jam is not None
    assert 2 * math.degrees(math.atan(jam.value)) == pytest.approx(90 - pickup, abs=0.02)


# --- bars, shafts and pins --------------------------------------------------------------------------------------------


def test_cantilever_with_a_load_at_its_end() -> None:
    # an online toolbox for engineers, cantilever beams (seen): 8196 cm4, 5000 mm, 200 GPa, 3000 N: 7.6 mm; 27.4 MPa
    # at 150 mm
    assert 3000 / cantilever_rate(8196e4, 5000.0, 200e3) == pytest.approx(7.6, abs=0.05)
    # a strip as high, with that second moment, has the same stress at its skin
    width = 12 * 8196e4 / 300**3
    assert bending_stress(3000.0 * 5000.0, width, 300.0) == pytest.approx(27.4, abs=0.06)


def test_bending_stress_of_a_rectangle() -> None:
    # Schaum's outline, Nash, Strength of Materials (second-hand, seen): 0.1 x 0.2 m, 20 kN m: 30 MPa
    assert bending_stress(20e6, 100.0, 200.0) == pytest.approx(30.0, abs=0.05)


def test_shaft_in_torsion() -> None:
    # Singer, Strength of Materials, problem on a shaft of 6 m that twists by 3 degrees (seen, as solved): 12 kN m on
    # 113.98 mm: 41.27 MPa
    assert torsion_stress(12e6, 113.98) == pytest.approx(41.27, abs=0.005)
    # a tutor's page (seen): a shaft of 400 mm at 50 MPa carries 628.3 kN m
    assert torsion_stress(628.3e6, 400.0) == pytest.approx(50.0, abs=0.005)


def test_rivets_in_shear() -> None:
    # NCERT, Physics for class XI, exercise 9.20 (seen): 69 MPa on 6 mm: 1949.94 N on a rivet and 7799.76 N on four
    # (pi as 3.14)
    assert shear_stress(1949.94, round_area(6.0)) == pytest.approx(69.0, rel=6e-4)
    assert shear_stress(7799.76, round_area(6.0), planes=4) == pytest.approx(69.0, rel=6e-4)
    # a page of problems for the engineers' exam (seen): 1000 psi on half an inch: 196 lb
    assert shear_stress(196.0, round_area(0.5)) == pytest.approx(1000.0, abs=2.6)


# --- rivets -----------------------------------------------------------------------------------------------------------


def test_rivet_spacing_of_a_printed_calculation() -> None:
    # calculation after EN 1993-1-8, table 3.3, holes of 22 mm (seen): e1 = e2 = 26.4, p1 = 48.4, p2 = 52.8 mm
    shares = {name: rule.share for name, rule in rivet_rules().items() if rule.of_hole}
    assert [round(22 * share, 1) for share in shares.values()] == [26.4, 48.4, 52.8]


def test_rivet_of_the_navy_s_manual() -> None:
    # US Navy 14018, p. 13 (seen): length 1 1/2 D + G; pitch from 3 D, edge 2 D. A head takes less than 1 1/2 D, so
    # the hole is filled: BS 275 snap head 1.6 D x 0.7 D
    rules, head = rivet_rules(), rivet_heads()["snap"]
    assert rules["length beyond the grip"].share * 4 + 10 == 16
    assert rules["pitch, least"].share * 4 == 12
    assert rules["edge distance, least"].share * 4 == 8
    assert head.height is not None
    takes = in_shank(snap_volume(head.diameter * 4, head.height * 4), 4.0) / 4
    assert 1.0 < takes < rules["length beyond the grip"].share


# --- tolerances, fits, drills -----------------------------------------------------------------------------------------


def test_stack_of_three_parts_in_a_housing() -> None:
    # a tutorial on stacks (seen): 2.000 +-.005, 1.500 +-.003, 0.500 +-.002 in 4.020 +-.005: gap 0.020, worst +-0.015,
    # sum of squares +-0.00794
    links = [Link(4.02, 0.005, 1), Link(2.0, 0.005, -1), Link(1.5, 0.003, -1), Link(0.5, 0.002, -1)]
    assert gap(links) == pytest.approx(0.020)
    assert worst(links) == pytest.approx(0.015)
    assert root_sum_square(links) == pytest.approx(0.00794, abs=5e-6)


def test_stack_of_ten_parts() -> None:
    # another (seen): ten of +-0.1: +-1.0 at the worst, +-0.316 by the sum of squares
    links = [Link(1.0, 0.1, 1)] * 10
    assert worst(links) == pytest.approx(1.0)
    assert root_sum_square(links) == pytest.approx(0.316, abs=5e-4)


@pytest.mark.parametrize(
    ("hole", "shaft", "least", "most"), [("H7", "g6", 7, 41), ("H7", "h6", 0, 34)]
)
def test_fits_of_25_mm(hole: str, shaft: str, least: int, most: int) -> None:
    # ISO 286 tables on two pages (seen): 25 H7/g6 7 to 41 um, 25 H7/h6 0 to 34 um; hole 25.000 to 25.021, shaft h6
    # 24.987 to 25
    found = clearance(hole, shaft, 25.0)
    assert found is not None
    assert [round(1000 * each) for each in found] == [least, most]
    assert zones()["H7"].limits(25.0) == pytest.approx((25.0, 25.021))
    assert zones()["h6"].limits(25.0) == pytest.approx((24.987, 25.0))


@pytest.mark.parametrize(
    ("number", "fraction"),
    [("1", "15/64 in"), ("2", "7/32 in"), ("7", "13/64 in"), ("21", "5/32 in")],
)
def test_fraction_beside_a_number_drill(number: str, fraction: str) -> None:
    # a reference chart of number drills (seen): the nearest fraction
    (drill,) = (d for d in all_drills() if d.name == f"no. {number}")
    found = nearest(drill.diameter, ("fraction",))
    assert found is not None
    assert found.name == fraction


def test_drills_for_threads() -> None:
    # Machinery's Handbook, tap drills (memory): 3/4 of a full thread: D - 0.01299 x 75 / n; 1/4-20 takes no. 7, 0.2010
    # (seen on several charts); 10-32 takes no. 21, 0.1590
    for size, pitches, number in ((0.25, 20, "7"), (0.190, 32, "21")):
        wanted = size - 0.01299 * 75 / pitches
        found = nearest(wanted * INCH, ("number",))
        assert found is not None
        assert found.name == f"no. {number}"
    # M3 x 0.5: size less pitch, 2.5 mm; 3/8 in among metric drills: 9.5 mm, a little under (a conversion page, seen)
    for size, name in ((3.0 - 0.5, "2.5 mm"), (3 / 8 * INCH, "9.5 mm")):
        found = nearest(size, METRIC)
        assert found is not None
        assert found.name == name


# --- contrast ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "two", "ratio"),
    [
        # WCAG 2.1: 21 for black on white; grey #777777 4.48 (memory), #767676 4.54 and #999999 2.85 (seen), on white
        ("#000000", "#ffffff", 21.0),
        ("#777777", "#ffffff", 4.48),
        ("#767676", "#ffffff", 4.54),
        ("#999999", "#ffffff", 2.85),
    ],
)
def test_contrast_in_print(one: str, two: str, ratio: float) -> None:
    assert contrast(one, two) == pytest.approx(ratio, abs=0.005)
    assert contrast(two, one) == contrast(one, two)
