"""Stray holes and their plugs: volumes by integral, distances by hand and by shapely, the design's figures."""

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
import shapely
from scipy.integrate import quad

from core.change.consequences import as_fact, consequences
from core.change.plugging import plug_for, strays_to_plug, with_plugs
from core.files.project_reading import read_text
from core.files.project_text import fresh_text
from core.geometry.path import circle, polyline
from core.layout.drawing import Label, Stroke
from core.layout.layout import Layout
from core.layout.workpiece import Cut, Shape
from core.lock.facts import as_made, with_measured
from core.lock.lock import Lock
from core.lock.row_changes import rows_of, with_row
from core.lock.rows.plugs import Plug
from core.made.marking import mark_made
from core.made.strays import strays
from core.made.verdicts import verdicts
from core.made.wording import verdict_words
from core.parts.plugs import plugs, to_edge, web
from core.report.bench_report import bench_report
from core.report.data import report
from core.sheets.drill_table import drill_schedule
from core.sheets.faces import all_sheets
from core.sheets.furniture import Job
from core.sheets.pieces import to_plug
from core.sheets.tables import tables
from core.sheets.work_order import tasks as work_tasks
from tests.plates import plate_polygon


def plates(lock: Lock | None = None) -> Lock:
    lock = Lock() if lock is None else lock
    for part in ("back_plate", "front_plate"):
        lock = mark_made(lock, part)
    return lock


def stray(below: float) -> Lock:
    found = as_fact(mark_made(plates(), "bolt"), "pivot.below", below)
    assert found is not None
    return found


def words(lock: Lock) -> dict[str, str]:
    return {v.part: v.word for v in verdicts(Layout(lock))}


def volume(lock: Lock, row: Plug) -> float:
    """Return the metal [mm3] of hole, counterbores and what is left proud, by integral over the height."""
    plate = lock.plate.thickness

    def across(z: float) -> float:
        if z < 0 or z > plate:
            return row.counterbore
        return row.counterbore if min(z, plate - z) < row.depth else row.hole

    steps = [0.0, row.depth, plate - row.depth, plate]
    area = lambda z: math.pi / 4 * across(z) ** 2  # noqa: E731
    return float(quad(area, -row.proud, plate + row.proud, points=steps)[0])


@pytest.mark.parametrize("below", [47.0, 61.0, 60.0, 45.5])
@pytest.mark.slow
def test_a_hole_astray_is_plugged_at_any_distance(below: float) -> None:
    lock = stray(below)
    assert words(lock) == {"back_plate": "plug", "front_plate": "plug", "bolt": "good"}
    (hole,) = strays_to_plug(lock)["back_plate"]
    assert (hole.up, hole.across) == pytest.approx((54.0 - below, 0.0))
    assert hole.far == pytest.approx(abs(54.0 - below))
    assert hole.web == pytest.approx(abs(54.0 - below) - (hole.counterbore + 6.0) / 2)
    said = verdict_words(Layout(lock), verdicts(Layout(lock))[0])
    way = "high" if below < 54 else "low"
    assert f"the pivot hole stands {abs(54.0 - below):.1f} mm too {way}: plug it" in said
    assert "drill anew" in said


def test_a_hole_is_astray_that_stands_more_than_so_far_from_its_place() -> None:
    """By Pythagoras, in whole numbers: 3 across and 4 up are 5."""

    def plate(x: float, y: float) -> Shape:
        hole = Cut("hole", circle((x, y), 2.0), drilled=True)
        return Shape(polyline([(-30, -30), (30, -30), (30, 30), (-30, 30)], closed=True), (hole,))

    def far(beyond: float) -> list[float]:
        return [one.far for one in strays(plate(4.0, 5.0), plate(1.0, 1.0), 2.0, beyond)]

    assert far(5.0) == []
    assert far(4.999) == [5.0]
    (one,) = strays(plate(4.0, 5.0), plate(1.0, 1.0), 2.0, 4.0)
    assert (one.across, one.up) in ((3.0, 4.0), (-3.0, -4.0))
    assert (one.hole, one.new, one.plate) == (4.0, 4.0, 2.0)
    # the edge of a square of 60 about the middle is 25 from what stands 5 up
    assert one.edge == 25.0


def test_the_figures_of_a_plug() -> None:
    """The design's values: plate 2, hole 6, 8 by 0.5, rod 5.9, 0.2 proud: 3.608; a web of 2 from 9 apart."""
    (hole,) = strays_to_plug(stray(47.0))["front_plate"]
    assert (hole.plate, hole.counterbore, hole.depth, hole.plug) == pytest.approx(
        (2.0, 8.0, 0.5, 5.9)
    )
    assert hole.length == pytest.approx(3.608, abs=5e-4)
    assert hole.web == pytest.approx(0.0)
    (hole,) = strays_to_plug(stray(45.0))["front_plate"]
    assert hole.web == pytest.approx(2.0)


def test_a_plate_that_was_dressed_thinner_takes_a_shorter_plug() -> None:
    lock = with_measured(stray(47.0), "back_plate", "plate.thickness", 1.8)
    (hole,) = strays_to_plug(lock)["back_plate"]
    assert hole.plate == 1.8
    assert hole.length < 3.608


def test_plugging_leaves_the_plates_good_and_keeps_the_plug() -> None:
    lock = with_plugs(stray(47.0))
    assert words(lock) == dict.fromkeys(("back_plate", "front_plate", "bolt"), "good")
    assert as_made(lock).pivot.below == 54.0
    assert lock.bolt_line.height == 24.0
    assert rows_of(lock, Plug) == {"a": Plug(0.0, 47.0, 6.0, 8.0, 0.5, 5.9, 0.2, "both plates")}
    assert read_text(fresh_text(lock)).lock == lock
    assert with_plugs(lock) is lock
    # a second one, in one plate only
    again = with_plugs(with_measured(lock, "front_plate", "pivot.below", 46.0))
    assert set(rows_of(again, Plug)) <= {"a", "b"}


def test_a_plug_stands_in_the_file_in_numbers_that_can_be_read() -> None:
    (hole,) = strays_to_plug(stray(47.0))["front_plate"]
    odd = replace(hole, at=(1 / 3, -47.1 - 1 / 7), hole=6 + 1 / 9)
    row = plug_for(odd, "front plate")
    for found, wanted in (
        (row.across, 1 / 3), (row.below, 47.1 + 1 / 7), (row.hole, 6 + 1 / 9), (row.counterbore, odd.counterbore),
        (row.depth, odd.depth), (row.diameter, odd.plug),
    ):  # fmt: skip
        assert found == pytest.approx(wanted, abs=5.1e-7)
        assert len(f"{found!r}".partition(".")[2]) <= 6
    # and none of them is written as minus nought
    assert (
        math.copysign(1.0, plug_for(replace(hole, at=(-1e-9, -47.0)), "front plate").across) == 1.0
    )


def test_its_length_is_its_volume() -> None:
    for row in (Plug(3.0, 30.0), Plug(-4.0, 40.0, 4.0, 6.5, 0.4, 3.9, 0.1, "front plate")):
        lock = with_row(Lock(), "plugs", "a", row)
        (plug,) = plugs(Layout(lock))
        assert plug.length is not None
        rod = math.pi / 4 * row.diameter**2 * plug.length
        assert rod == pytest.approx(volume(lock, row), rel=1e-6)


def test_report_bench_and_marks_have_it() -> None:
    lock = with_row(Lock(), "plugs", "a", Plug(0.0, 47.0))
    layout = Layout(lock)
    (entry,) = report(layout)["plugs"]
    assert entry["length"] == pytest.approx(3.608, abs=5e-4)
    assert (entry["web"], entry["nearest"]) == pytest.approx((0.0, "the pivot hole"))
    (plug,) = plugs(layout)
    edge = plate_polygon(lock).boundary
    assert to_edge(layout, plug) == pytest.approx(
        edge.distance(shapely.Point(0, -47)) - 4, abs=1e-3
    )
    assert web(layout, plug)[0] == pytest.approx(0.0)
    assert [row for row in report(layout)["marking"] if row["what"] == "plug a"]
    assert "PLUGS" in bench_report(layout)
    assert "plugs" not in report(Layout(Lock()))


def test_the_change_view_says_it_all_in_one_sentence() -> None:
    change = consequences(mark_made(plates(), "bolt"), "pivot.below", 47.0)
    assert change.fact is not None
    layout = change.fact.standing.layout
    said = verdict_words(layout, change.fact.standing.verdicts[0])
    for part in ("7.0 mm too high", "5.9 mm by 3.61 mm long", "drill anew"):
        assert part in said
    assert np.isfinite(change.fact.standing.verdicts[0].strays[0].rim)


@pytest.mark.slow
def test_the_sheets_of_both_made_plates_show_a_stray_hole_and_its_new_place() -> None:
    layout = Layout(stray(47.0))
    seen = 0
    for sheet in all_sheets(layout):
        drawn = {
            name: [m.path.bounds() for m in sheet.marks if isinstance(m, Stroke) and m.part == name]
            for name in ("pivot hole, to plug", "pivot hole, anew")
        }
        if "plate" not in sheet.name:
            assert not any(drawn.values())
            continue
        seen += 1
        # plate frame, the datum mark at the origin: 6 in the old place, 8 round it, 6 in the new one 7 below
        wanted = {
            "pivot hole, to plug": [(-3, -50, 3, -44), (-4, -51, 4, -43)],
            "pivot hole, anew": [(-3, -57, 3, -51)],
        }
        for name, boxes in wanted.items():
            assert drawn[name] == [pytest.approx(box, abs=1e-6) for box in boxes], sheet.name
    assert seen == 4
    (task,) = [task for task in work_tasks(layout) if task.key.startswith("stray")]
    for words in ("both plates", "3.61 mm long", "drill it anew", "54.0 mm below the datum mark"):
        assert words in task.text
    plugged = Layout(with_plugs(stray(47.0)))
    assert not [task for task in work_tasks(plugged) if task.key.startswith("stray")]


def test_a_stray_hole_and_the_one_anew_are_told_apart_by_names_that_turn_from_each_other() -> None:
    # drilled 47 below the mark in place of 54: the pivot stands where it is wanted at 0, the new hole 7 below
    layout = Layout(stray(47.0))
    marks = [put.mark for put in to_plug.PIECE.on_plates(layout)]
    rings = [mark.path.bounds() for mark in marks if isinstance(mark, Stroke)]
    assert sorted(rings) == [
        pytest.approx((-4, -4, 4, 4)), pytest.approx((-3, -10, 3, -4)), pytest.approx((-3, -3, 3, 3)),
    ]  # fmt: skip
    old, new = (mark for mark in marks if isinstance(mark, Label))
    # each beside its own ring, the upper one's name above its middle and the lower one's below
    assert (old.at[0], new.at[0]) == pytest.approx((4 + 1.6, 3 + 1.6))
    assert old.at[1] > 0 > -7 > new.at[1]
    # named as the ring beside it, in capitals that can be read on paper
    for name, ring in ((old, "pivot hole, to plug"), (new, "pivot hole, anew")):
        assert name.part == name.text == ring
        assert ring in {mark.part for mark in marks if isinstance(mark, Stroke)}
        assert 1.8 <= name.height <= 2.5
        assert name.anchor == "left"
    (task,) = [task for task in work_tasks(layout) if task.key.startswith("stray")]
    assert list(to_plug.PIECE.steps(layout)) == [task.text]


def test_the_sheets_show_it_and_say_how() -> None:
    layout = Layout(with_row(Lock(), "plugs", "a", Plug(0.0, 47.0)))
    for sheet in all_sheets(layout):
        drawn = [m for m in sheet.marks if isinstance(m, Stroke) and m.part == "plug a"]
        assert bool(drawn) is ("plate" in sheet.name), sheet.name
        # hole and counterbore, 7 above a pivot at 54, whichever way round the face is seen
        if drawn:
            widths = sorted(stroke.path.bounds()[2] - stroke.path.bounds()[0] for stroke in drawn)
            assert widths == pytest.approx([6.0, 8.0])
    rows = [row for row in drill_schedule(layout).rows if row[0].startswith("plug a")]
    assert [row[1] for row in rows] == ["4"]
    (task,) = [task for task in work_tasks(layout) if task.key.startswith("plug")]
    assert "3.61 mm long" in task.text
    # the list to tick off says the same
    job = Job(layout, "lock.toml", date(2026, 1, 2), "A4")
    (order,) = [table for table in tables(job) if table.title == "Mock-up order"]
    assert [row for row in order.rows if row[0].startswith("Plug a, ")] == [(task.text,)]
