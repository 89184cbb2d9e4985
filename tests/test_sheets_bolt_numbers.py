"""The bolt marked out from its table alone: the printed numbers, read as a maker reads them, give the contour."""

import math
import re

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from core.geometry.motion import shift
from core.geometry.path import Arc, Line, Path, circle
from core.layout.drawing import Label
from core.layout.layout import Layout
from core.layout.workpiece import Cut, Shape
from core.lock.lock import Lock
from core.parts.bolt_contour import bolt
from core.sheets import bolt_numbers as module
from core.sheets.bolt_numbers import TITLE, bolt_table
from core.sheets.table import Table
from core.sheets.tables import tables
from core.units import parse_length
from tests.designs import numbers, plausible
from tests.rigid_body import pieces, travel_of_slider
from tests.sheet_reading import ASKEW, SAMPLES, job_for, written

LOCKS = [*SAMPLES, ASKEW, *(plausible(seed) for seed in range(400, 412))]
MORE = range(412, 600)
"""Seeds of the locks of the long run."""
ROUNDING = {"mm": 0.005, "in": 0.0005 * 25.4}
"""Half of the last figure that is printed [mm]."""


def printed(cell: str) -> float:
    """Return the length [mm] in a cell: the decimals beside a fraction where there are any."""
    decimals = re.search(r"\(([-.\d]+)\)", cell)
    return float(decimals[1]) * 25.4 if decimals else parse_length(cell, None)


def marked_out(table: Table) -> Polygon:
    """Return the bolt as rule, square and compass give it: y up, the nose tip on the bolt line at (0, 0)."""
    at = {row[0]: (printed(row[2]), -printed(row[3])) for row in table.rows}
    corners = [row for row in table.rows if row[0].isdigit()]
    points: list[tuple[float, float]] = []
    for row, after in zip(corners, [*corners[1:], corners[0]], strict=True):
        start, end = at[row[0]], at[after[0]]
        points.append(start)
        arc = re.fullmatch(r"arc of (.+) about ([A-Z])", row[4])
        if arc is None:
            assert row[4] == "straight"
            continue
        centre, radius = at[f"compass point {arc[2]}"], printed(arc[1])
        way = [
            math.atan2(p[1] - centre[1], p[0] - centre[0]) for p in (start, at[row[0] + "m"], end)
        ]
        a, b, c = np.unwrap(way)
        assert min(a, c) < b < max(a, c)  # the middle says which way round
        points += [
            (centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t))
            for t in np.linspace(a, c, 200)[1:-1]
        ]
    return Polygon(points)


def contour_of(lock: Lock) -> Polygon:
    made = bolt(Layout(lock))
    points = made.contour.points(1e-4) - np.array([made.contour.bounds()[0], lock.bolt_line.height])
    return Polygon(points)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.title)
@pytest.mark.first(8)
def test_marked_out_from_the_table_alone_the_bolt_is_the_contour(lock: Lock, units: str) -> None:
    made = marked_out(bolt_table(Layout(lock.with_value("units", units))))
    assert made.is_valid
    # a point is out by half a figure each way at most, an arc by its centre and its radius
    far = shapely.hausdorff_distance(made.exterior, contour_of(lock).exterior, densify=0.02)
    assert far <= 3.5 * ROUNDING[units]


@pytest.mark.slow
def test_marked_out_from_the_table_alone_over_many_locks() -> None:
    for number, lock in enumerate(map(plausible, MORE)):
        units = ("mm", "in")[number % 2]
        made = marked_out(bolt_table(Layout(lock.with_value("units", units))))
        far = shapely.hausdorff_distance(made.exterior, contour_of(lock).exterior, densify=0.02)
        assert far <= 3.5 * ROUNDING[units]


@pytest.mark.slow
def test_a_figure_that_is_wrong_would_be_noticed() -> None:
    table = bolt_table(Layout(SAMPLES[0]))
    for number, row in enumerate(table.rows):
        if row[0] == "A" or row[0].endswith("m"):
            continue
        wrong = (*row[:2], f"{printed(row[2]) + 0.1:.2f} mm", *row[3:])
        rows = (*table.rows[:number], wrong, *table.rows[number + 1 :])
        made = marked_out(Table("", (), rows))
        assert (
            shapely.hausdorff_distance(made.exterior, contour_of(SAMPLES[0]).exterior, densify=0.02)
            > 0.03
        )


@pytest.mark.parametrize(
    "lock",
    # the key of the last sample fouls the bolt, as it is there to show
    [
        *(SAMPLES[0], plausible(400), plausible(401)),
        *(
            pytest.param(lock, marks=pytest.mark.slow)
            for lock in (SAMPLES[1], *map(plausible, range(402, 406)))
        ),
    ],
    ids=lambda lock: lock.title,
)
@pytest.mark.slow
def test_the_bolt_from_the_table_is_driven_as_predicted_by_a_rigid_body_engine(lock: Lock) -> None:
    made = marked_out(bolt_table(Layout(lock)))
    # put so that compass point A is the pivot; the key unlocks it to the right, whichever hand the lock has
    (pivot,) = [
        (printed(r[2]), printed(r[3]))
        for r in bolt_table(Layout(lock)).rows
        if r[0] == "compass point A"
    ]
    there = shapely.transform(made, lambda q: q + np.array([-pivot[0], pivot[1]]))
    wanted = numbers(lock)
    half, r = lock.key.bit_thickness / 2, lock.key.radius
    tip = math.sqrt(r * r - half * half)
    arm = [(-half, 0.0), (half, 0.0), (half, tip), (-half, tip)]
    begin = -math.radians(lock.tooth.pickup_angle) - 0.1
    throw = lock.shackle.engagement + lock.shackle.gap
    for side, start in ((1, 0.0), (-1, throw)):
        turn = side * np.array([begin, wanted.release - 1e-4])
        found = travel_of_slider(arm, pieces(there), turn, start=start, step=5e-4)
        assert abs(found[1] - start) == pytest.approx(wanted.driven, abs=0.05)


def test_the_table_names_what_a_maker_looks_for() -> None:
    table = next(t for t in tables(job_for(SAMPLES[0])) if t.title == TITLE)
    by_name = {row[1]: (row[2], row[3]) for row in table.rows}
    assert by_name["tip of the nose, on the bolt line"] == ("0.0 mm", "0.0 mm")
    assert by_name["end of the tail, on the bolt line"] == ("55.0 mm", "0.0 mm")
    for flank in ("unlocking", "locking"):
        assert f"foot of the {flank} flank" in by_name
        assert f"end of the relief at the {flank} flank" in by_name
    assert any("body" in name for name in by_name)
    assert any("lobe" in name for name in by_name)
    assert "Thickness 3.0 mm." in table.notes
    centres = {row[0]: row[2:4] for row in table.rows if row[0].startswith("compass")}
    # the throw lies between both places of the pivot, the bolt line above them
    a, b = (centres[f"compass point {name}"] for name in "AB")
    assert printed(a[0]) - printed(b[0]) == pytest.approx(9.5, abs=0.011)
    assert printed(a[1]) == printed(b[1]) == 24.0


def test_points_are_numbered_on_the_sheet_as_in_the_table() -> None:
    for lock in (SAMPLES[0], SAMPLES[2]):
        _, sheet = written(lock, "bolt")
        shown = {m.text for m in sheet.marks if hasattr(m, "text") and m.text.isdigit()}
        rows = {row[0] for row in bolt_table(Layout(lock)).rows if row[0].isdigit()}
        assert shown == rows


def test_chains_of_dimensions_add_up_to_the_whole() -> None:
    _, sheet = written(SAMPLES[0].with_value("detent.kind", "as felt"), "bolt")
    texts = [m for m in sheet.unset if isinstance(m, Label)]
    chain = sorted((m.at[0], float(m.text)) for m in texts if m.height == 2.2 and re.fullmatch(r"[\d.]+", m.text)
                   and m.lean == 0.0)  # fmt: skip
    figures = [figure for _, figure in chain]
    assert max(figures) == 55.0
    assert sum(figures) - 55.0 == pytest.approx(55.0)
    assert sorted(figures) == [6.5, 6.5, 12.5, 13.5, 16.0, 55.0]


def test_whatever_is_cut_into_the_contour_appears(monkeypatch: pytest.MonkeyPatch) -> None:
    # two notches, one with a round bottom, as a later part of the lock may cut them into the top edge
    body = bolt(Layout(SAMPLES[0])).contour
    (x0, top), (x1, _) = body.segments[0].start, body.segments[0].end
    cuts = (
        Line((x0, top), (0.0, top)), Line((0.0, top), (1.0, top - 1.0)), Line((1.0, top - 1.0), (2.0, top)),
        Line((2.0, top), (8.0, top)), Arc((9.0, top), 1.0, (8.0, top), (10.0, top), "ccw"),
        Line((10.0, top), (x1, top)),
    )  # fmt: skip
    notched = shift(4.75, -top).path(Path((*cuts, *body.segments[1:])))
    deep = [min(s.start[1], s.end[1]) < -0.1 for s in notched.segments[:6]]
    named = ["locked notch" if d else "top edge" for d in deep]
    names = tuple(zip(named, notched.segments, strict=False))

    class Piece:
        @staticmethod
        def shape(_: Layout) -> Shape:
            return Shape(notched, cuts=(Cut("peep hole", circle((5.0, -3.0), 1.0)),), edges=names)

    monkeypatch.setattr(module, "workpieces", lambda: {"bolt": Piece})
    table = bolt_table(Layout(SAMPLES[0]))
    made = marked_out(table)
    wanted = Polygon(shift(-notched.bounds()[0], 0.0).path(notched).points(1e-4))
    assert (
        shapely.hausdorff_distance(made.exterior, wanted.exterior, densify=0.02)
        < 3.5 * ROUNDING["mm"]
    )
    assert any("locked notch" in row[1] for row in table.rows)
    assert any(row[0] == "compass point C" for row in table.rows)
    hole = [row for row in table.rows if row[0].startswith("a")]
    assert [row[1] for row in hole] == ["peep hole", "peep hole, middle of its arc"] * 2
    assert {row[4] for row in hole if row[4]} == {"arc of 1.0 mm about D"}
