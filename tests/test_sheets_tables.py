"""Drills, gauges, edge distances and rounding in the tables, against handbooks and against shapely."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from core.geometry.polygons import polygon
from core.layout.drawing import Stroke
from core.layout.frames import to_plate
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.parts.plate import plate_outline
from core.report.bench_report import bench_report
from core.report.data import FACES, marking
from core.sheets.drill_table import lines
from core.sheets.edges import from_left, from_top
from core.sheets.faces import all_sheets
from core.sheets.gathering import all_holes, all_pieces
from core.sheets.markdown import markdown
from core.sheets.sizes import error_of, size
from core.sheets.strokes import spread
from core.sheets.tables import face_view, spots, tables
from core.units import parse_length
from tests.designs import plausible
from tests.sheet_reading import ASKEW, SAMPLES, job_for

# Twist drills, inches: Machinery's Handbook, straight shank drills (sizes copied from a second table, not seen there)


SHIELD = SAMPLES[0]


@pytest.mark.parametrize(
    "lock", [*SAMPLES, *map(plausible, range(12))], ids=lambda lock: lock.title
)
def test_a_web_stands_between_any_two_holes_of_a_plate(lock: Lock) -> None:
    # the first hole of the keyhole's slot stood 0.15 mm from the round: the drill ran into it
    holes = [hole for hole in all_holes(Layout(lock)) if "front plate" in hole.plates]
    for number, one in enumerate(holes):
        for other in holes[number + 1 :]:
            between = math.dist(one.at, other.at) - (one.diameter + other.diameter) / 2
            assert between >= 0.5 - 1e-9


OUTLINES = [plausible(seed, outline=outline) for seed, outline in enumerate(
    ("round", "oval", "rectangle", "shield", "lobed", "traced"), start=50)]  # fmt: skip


@pytest.mark.parametrize("lock", [*SAMPLES, ASKEW, *OUTLINES], ids=lambda lock: lock.title)
@pytest.mark.parametrize(("face", "sign"), FACES)
@pytest.mark.first(12)
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


BESIDE = ASKEW.with_value("shackle.across", -48.0)  # a shackle's end beside its plate
FACE_TABLES = "Marking out: "


@pytest.mark.parametrize("lock", [*SAMPLES, ASKEW, BESIDE, *OUTLINES], ids=lambda lock: lock.title)
@pytest.mark.first(3)
def test_no_row_of_a_face_is_off_the_plate_and_none_measures_from_the_edge_it_lies_on(
    lock: Lock,
) -> None:
    # there were rows "off the plate", and the lowest point stood "0.0 mm from the edge above it"
    job = job_for(lock)
    edge = polygon(plate_outline(job.layout).path)
    made = [t for t in tables(job) if t.title.startswith(FACE_TABLES)]
    for table in made:
        text = " ".join(" ".join(row) for row in table.rows)
        assert "off the plate" not in text
        for what, across, below, left, above in table.rows:
            x = read_back(across.removesuffix(" left").removesuffix(" right"))
            sign = (-1 if across.endswith("left") else 1) * (-1 if "mirrored" in table.title else 1)
            place = Point(sign * x, -read_back(below))
            on_edge = edge.exterior.distance(place) < 0.01
            assert (left == above == "on the edge") is on_edge, what
            assert edge.distance(place) < 0.02
            if not on_edge:
                assert read_back(above) > 0.01
    inside = made[0]
    # of two feet the middle counts, which may lie under the plate
    low = [row[4] for row in inside.rows if row[0] == "lowest point"]
    assert low == ["on the edge"] or any("lowest point" in note for note in inside.notes)
    # the centreline ends where the plate does
    ends = [row[3] for row in inside.rows if row[0].startswith("line: centreline")]
    assert ends == ["on the edge", "on the edge"]


def test_what_is_off_the_plate_is_named_and_not_measured() -> None:
    table = next(t for t in tables(job_for(BESIDE)) if t.title.endswith("back plate, inside"))
    assert any("Off the plate" in note and "shackle end" in note for note in table.notes)
    assert not any(row[0].startswith("shackle end") for row in table.rows)


def test_outside_faces_carry_holes_only_unless_asked() -> None:
    for asked in (False, True):
        job = replace(job_for(SHIELD), scribe_outside=asked)
        for table in (t for t in tables(job) if t.title.startswith(FACE_TABLES)):
            lines = [
                row[0]
                for row in table.rows
                if row[0].startswith(("line:", "bolt line", "rear guide"))
            ]
            assert bool(lines) is (asked or "inside" in table.title)
            assert any(row[0].startswith("pivot, hole") for row in table.rows)
        sheets = {s.name: s for s in all_sheets(job.layout, scribe_outside=asked)}
        for name, sheet in sheets.items():
            if "plate" in name:
                layers = {m.layer for m in sheet.marks if isinstance(m, Stroke)}
                assert ("scribe" in layers) is (asked or "inside" in name)
                assert {"cut", "drill", "punch"} <= layers


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


CLEFT = ASKEW.with_value(
    "plate.points", ((-40, 0), (25, 0), (25, -60), (28, -60), (28, 0), (36, 0), (30, -80), (0, -95))
)
"""Its bolt line runs out of the plate and in again, where a slit goes down beside it."""


@pytest.mark.parametrize(
    "lock", [*SAMPLES, ASKEW, CLEFT], ids=["boathouse", "orchard", "pump", "askew", "cleft"]
)
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
        value = read_back(shown)
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
def test_inches_are_the_nearest_64th_with_the_exact_size_in_decimals_beside_it(mm: float) -> None:
    shown = size(Layout(SAMPLES[1]), mm)
    match = re.fullmatch(r"(?:(\d+) )?(?:(\d+)/(\d+) )?in(?: \((\d+\.\d{3})\))?", shown)
    assert match, shown
    inches = int(match[1] or 0) + (int(match[2]) / int(match[3]) if match[2] else 0)
    assert 64 % int(match[3] or 1) == 0
    assert abs(inches - mm / 25.4) <= 1 / 128 + 1e-9
    assert (match[4] is None) is (match[3] is None and abs(inches - mm / 25.4) < 5e-4)
    assert float(match[4] or inches) == pytest.approx(mm / 25.4, abs=5.1e-4)


def read_back(shown: str) -> float:
    """Return the length [mm] that a size on the sheets says, by its decimals where it has them."""
    decimals = re.search(r"\(([.\d]+)\)", shown)
    return float(decimals[1]) * 25.4 if decimals else parse_length(shown, None)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_nothing_is_written_as_minus_nought(units: str) -> None:
    # a drill for a hole of 1/4 in is a hair off in binary numbers, and was shown as -0.0000 in
    for lock in (SAMPLES[0], SAMPLES[1]):
        job = job_for(lock.with_value("units", units))
        assert not re.search(r"-0(\.0+)? ", markdown(job, tables(job)))
    layout = Layout(SAMPLES[0].with_value("units", units))
    for tiny in (-1e-12, 0.0, 1e-12):
        assert error_of(layout, tiny) == "exact"
        assert size(layout, tiny)[0] == "0"
    assert error_of(layout, -0.05)[0] == "-"


@pytest.mark.parametrize(
    ("across", "words"),
    [(2.5, "leaning 2.65 degrees to the left, its lower end to the right"), (0.0, "upright"),
     (-2.5, "leaning 2.65 degrees to the right, its lower end to the left")],
)  # fmt: skip
def test_lean_of_the_centreline_is_told_in_words(across: float, words: str) -> None:
    # a pivot to the right of the mark, seen from inside the back plate: from it up to the mark is up and to the left
    job = job_for(SHIELD.with_value("pivot.across", across))
    (step,) = [row[0] for row in tables(job)[0].rows if row[0].startswith("Centreline")]
    assert f"it stands {words}, and" in step
    assert "degrees clockwise" not in bench_report(job.layout)
    # the foot of the shield lies below the middle, and the line has gone to the pivot's side of it
    if across:
        assert f"to the {'right' if across > 0 else 'left'} of the lowest point" in step


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
