"""Drills, gauges, edge distances and rounding in the tables, against handbooks and against shapely."""

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from core.geometry.polygons import polygon
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.plate import plate_outline
from core.report.data import FACES, marking
from core.sheets.drill_table import lines
from core.sheets.drills import INCHES, METRIC, TO_FILE, WEB, nearest, row_along
from core.sheets.edges import from_left, from_top
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.markdown import markdown
from core.sheets.sizes import size
from core.sheets.strokes import spread
from core.sheets.tables import face_view, spots, tables
from core.tables.sheet_gauges import all_gauges
from core.tables.twist_drills import all_drills
from core.units import parse_length
from tests.designs import plausible
from tests.sheet_reading import ASKEW, SAMPLES, job_for

# Twist drills, inches: Machinery's Handbook, straight shank drills (sizes copied from a second table, not seen there)
NUMBERS = {1: .2280, 7: .2010, 10: .1935, 21: .1590, 29: .1360, 36: .1065, 40: .0980, 43: .0890, 47: .0785,
           50: .0700, 60: .0400, 80: .0135}  # fmt: skip
LETTERS = {"A": .234, "F": .257, "K": .281, "Q": .332, "U": .368, "Z": .413}  # fmt: skip
SHIELD = SAMPLES[0]


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
    for number, ounces in {10: 90, 12: 70, 14: 50, 16: 40, 18: 32, 20: 24, 24: 16, 26: 12}.items():
        assert steel[number] == pytest.approx(ounces / 16 / 501.84 * 12, abs=6e-5)


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


@given(st.floats(0.5, 60), st.floats(0.3, 20), st.sampled_from(["mm", "in"]), st.floats(0, 6.28))
def test_row_of_holes_stays_in_its_slot_and_keeps_its_webs(
    run: float, width: float, units: str, turn: float
) -> None:
    start, end = (1.0, 2.0), (1.0 + run * math.cos(turn), 2.0 + run * math.sin(turn))
    row = row_along(start, end, width, units)
    if row is None:
        return
    slot = LineString([start, end]).buffer(width / 2, cap_style="flat").buffer(1e-6)
    holes = [Point(c).buffer(row.drill.diameter / 2) for c in row.centres]
    assert all(slot.contains(hole) for hole in holes)
    assert row.drill.diameter <= width - 2 * TO_FILE + 1e-9
    for one, other in zip(row.centres, row.centres[1:], strict=False):
        assert math.dist(one, other) >= row.drill.diameter + WEB - 1e-9


OUTLINES = [plausible(seed, outline=outline) for seed, outline in enumerate(
    ("round", "oval", "rectangle", "shield", "lobed", "traced"), start=50)]  # fmt: skip


@pytest.mark.parametrize("lock", [*SAMPLES, ASKEW, *OUTLINES], ids=lambda lock: lock.title)
@pytest.mark.parametrize(("face", "sign"), FACES)
def test_edge_distances_by_shapely(lock: Lock, face: str, sign: int) -> None:
    layout = Layout(lock)
    edge = face_view(sign).path(plate_outline(layout).path)
    area = polygon(edge)
    tested = 0
    for spot in spots(layout, face, sign):
        x, y = spot.at
        if not area.buffer(-0.5).contains(Point(x, y)):
            continue  # on the edge itself a ray says nothing
        tested += 1
        left = LineString([(x - 5000, y), (x, y)]).intersection(area.exterior)
        above = LineString([(x, y), (x, y + 5000)]).intersection(area.exterior)
        assert from_left(edge, spot.at) == pytest.approx(left.distance(Point(x, y)), abs=2e-3)
        assert from_top(edge, spot.at) == pytest.approx(above.distance(Point(x, y)), abs=2e-3)
    assert tested >= 5


def test_a_place_off_the_plate_has_no_edge_distance() -> None:
    edge = plate_outline(Layout(SHIELD)).path
    assert from_left(edge, (500.0, -20.0)) is None
    assert from_top(edge, (0.0, -500.0)) is None
    assert from_top(edge, (0.0, 0.0)) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("lock", [*SAMPLES, ASKEW], ids=["boathouse", "orchard", "pump", "askew"])
def test_marking_tables_agree_with_the_report(lock: Lock) -> None:
    layout = Layout(lock)
    for row in marking(layout):
        sign = dict(FACES)[row["face"]]
        match = [s for s in spots(layout, row["face"], sign) if s.what == row["what"]]
        assert len(match) == 1
        assert match[0].at == pytest.approx((row["across"], -row["below"]), abs=1e-9)


@pytest.mark.parametrize("lock", [*SAMPLES, ASKEW], ids=["boathouse", "orchard", "pump", "askew"])
def test_check_distances_are_true_on_every_face(lock: Lock) -> None:
    layout = Layout(lock)
    table = next(t for t in tables(job_for(lock)) if t.title == "Check distances")
    assert sum(row[0] == "pivot" for row in table.rows) >= 4
    for sign in (1, -1):
        view = to_plate(layout).then(face_view(sign))
        pivot, datum = view.point((0.0, 0.0)), (0.0, 0.0)
        wanted = math.dist(pivot, datum)
        assert ("pivot", "datum mark", size(layout, wanted)) in table.rows
    # the bolt line at the edge, by shapely: on a lock that is not symmetrical the two differ
    outline = polygon(plate_outline(layout).path)
    ends = [to_plate(layout).point((x, lock.bolt_line.height)) for x in (-900.0, 900.0)]
    crossed = LineString(ends).intersection(outline.exterior)
    places = sorted(shapely.get_coordinates(crossed).tolist())
    pivot = to_plate(layout).point((0.0, 0.0))
    for place, side in ((places[0], "left"), (places[-1], "right")):
        shown = next(
            row[2] for row in table.rows if row[1] == f"bolt line at the edge on the {side}*"
        )
        error = re.search(r"\(([-+.\d]+)\)", shown)
        value = parse_length(shown.split(" (")[0], None) - (float(error[1]) * 25.4 if error else 0)
        assert value == pytest.approx(math.dist(place, pivot), abs=0.02)


def test_every_hole_is_in_the_schedule_and_on_its_faces() -> None:
    for lock in (*SAMPLES, ASKEW, plausible(77)):
        layout = Layout(lock)
        counted = sum(line.count for line in lines(layout))
        extra = sum(d.count for piece in all_pieces() for d in piece.drillings(layout))
        assert counted == sum(len(hole.plates) for hole in all_holes(layout)) + extra
        for face, sign in FACES:
            names = {s.what for s in spots(layout, face, sign) if s.hole}
            assert names == {h.what for h in all_holes(layout) if face.split(",")[0] in h.plates}


@given(st.floats(0.8, 200))
def test_inches_show_what_their_rounding_adds(mm: float) -> None:
    shown = size(Layout(SAMPLES[1]), mm)
    match = re.fullmatch(r"(?:(\d+) )?(?:(\d+)/(\d+) )?in(?: \(([-+]0\.\d{3})\))?", shown)
    assert match, shown
    inches = int(match[1] or 0) + (int(match[2]) / int(match[3]) if match[2] else 0)
    assert 64 % int(match[3] or 1) == 0
    added = inches - mm / 25.4
    assert abs(added) <= 1 / 128 + 1e-9
    assert float(match[4] or 0) == pytest.approx(added, abs=5.1e-4)


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=8), st.floats(0.5, 6))
def test_spread_labels_keep_their_order_and_their_distance(places: list[float], gap: float) -> None:
    done = spread(places, gap)
    order = np.argsort(places, kind="stable")
    apart = np.diff(np.array(done)[order])
    assert (apart >= gap - 1e-9).all()
    assert np.mean(done) == pytest.approx(np.mean(places), abs=1e-6)


def test_markdown_shows_what_the_maker_wrote_and_obeys_none_of_it() -> None:
    job = job_for(SHIELD.with_value("title", "a|b <script>*x*</script>\n# head\x1b[31m"))
    text = markdown(job, tables(job))
    assert "\x1b" not in text
    assert "<script>" not in text
    assert text.splitlines()[0].startswith("# a\\|b \\<script\\>")
    grids = [line for line in text.splitlines() if line.startswith("|")]
    assert all(line.endswith("|") for line in grids)


def test_tick_list_is_in_the_mock_up_order_with_its_numbers() -> None:
    (order, *_) = tables(job_for(SHIELD))
    first = [row[0].split(":")[0] for row in order.rows]
    wanted = ["Plate", "Pivot", "Centreline", "Bolt line", "Key radius", "Tooth"]
    assert [name for name in first if name in wanted] == wanted
    for row, number in zip(order.rows, ("76.0 mm", "54.0 mm"), strict=False):
        assert number in row[0]
