"""The drawing layer: what reaches the drawing library, true shape, and where the words go."""

import math
import random
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.geometry.path import Arc, Line, Path, circle, polyline
from core.layout.drawing import Label, Mark, Measure, Stroke
from tests.counts import tries
from tests.sure import sure
from tui.plot import canvas
from tui.plot.guard import runs, visible
from tui.plot.labels import Wish, placed
from tui.plot.layers import Rows
from tui.plot.lines import traced
from tui.plot.picture import Wanted, bounds, draw
from tui.plot.scale import Scale, Sight

SCALE = Scale(40, 20, (0.0, 0.0), 1.0)
WHOLE = Scale(40, 20, (0.5, 0.5), 1.0)
"""A scale in which whole mm fall on whole dots: a place is 39 less than its dot."""
ANY_NUMBER = st.floats(allow_nan=True, allow_infinity=True) | st.sampled_from(
    [math.nan, math.inf, -math.inf, 1e9, -1e9, 1e308, -1e308, 5e-324, 0.0]
)
ANY_POINT = st.tuples(ANY_NUMBER, ANY_NUMBER)


def dots_lit(rows: Rows) -> set[tuple[int, int]]:
    """Return the lit dots (x from the left, y from the top) of rows of braille characters.

    Bits of a braille character: The Unicode Standard, block Braille Patterns, dots 1 to 8.
    """
    places = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
    return {
        (2 * column + dx, 4 * row + dy)
        for row, pieces in enumerate(rows)
        for column, character in enumerate("".join(text for text, _ in pieces))
        if 0x2800 <= ord(character) <= 0x28FF
        for bit, (dx, dy) in enumerate(places)
        if (ord(character) - 0x2800) >> bit & 1
    }


@settings(max_examples=tries(50, 300))
@given(st.lists(ANY_POINT, min_size=1, max_size=8))
def test_the_guard_lets_only_finite_dots_in_the_picture_through(
    points: list[tuple[float, float]],
) -> None:
    with np.errstate(all="ignore"):
        found = visible(SCALE.dots(np.array(points, dtype=float)), SCALE)
    for run in found:
        assert np.isfinite(run).all()
        assert (run >= 0).all()
        assert (run <= [SCALE.width - 1, SCALE.height - 1]).all()


@settings(max_examples=tries(20, 60))
@given(st.lists(ANY_POINT, min_size=2, max_size=5), ANY_POINT, ANY_NUMBER)
def test_nothing_that_is_drawn_can_end_the_process(
    points: list[tuple[float, float]], centre: tuple[float, float], radius: float
) -> None:
    # a NaN that reached the library would abort this very process
    arc = Arc(centre, radius, points[0], points[1], "cw")
    lines = Path(tuple(Line(p, q) for p, q in pairwise(points)))
    marks: list[Mark] = [
        Stroke(lines, "cut", "plate"),
        Stroke(Path((arc,)), "scribe", "key circle"),
        Label(points[0], "here", "note", "pivot"),
        Measure(points[0], points[1], "20 mm", "key.radius", "key"),
    ]
    with np.errstate(all="ignore"):
        box = bounds(marks) or (0.0, 0.0, 1.0, 1.0)
        picture = draw(marks, Sight().scale(box, 30, 10), Wanted(("plate",), ("key.radius",)))
    assert [sum(len(text) for text, _ in row) for row in picture.rows] == [30] * 10


def test_clipping_agrees_with_shapely() -> None:
    # outside source: shapely's intersection of a line with a box
    number = random.Random(4)  # noqa: S311 - a test wants the same numbers each time
    box = shapely.box(-0.4999, -0.4999, SCALE.width - 0.5001, SCALE.height - 0.5001)
    for _ in range(300):
        points = np.array(
            [[number.uniform(-150, 250), number.uniform(-150, 250)] for _ in range(5)]
        )
        expected = shapely.intersection(shapely.LineString(points), box).length
        found = visible(points, SCALE)
        length = sum(float(np.hypot(*np.diff(run, axis=0).T).sum()) for run in found)
        # points nearer than half a dot are dropped, and a run is clamped to whole dots' centres
        assert length == pytest.approx(expected, abs=2.0 * max(len(found), 1))


@pytest.mark.parametrize(("columns", "rows"), [(30, 16), (60, 34), (140, 56)])
@pytest.mark.parametrize("centre", [(0.0, 0.0), (3.3, -7.77)])
def test_a_circle_is_round(columns: int, rows: int, centre: tuple[float, float]) -> None:
    mark = Stroke(circle(centre, 20.0), "cut", "other")
    scale = Sight().scale(sure(bounds([mark])), columns, rows)
    lit = dots_lit(draw([mark], scale, Wanted()).rows)
    across = [x for x, _ in lit]
    down = [y for _, y in lit]
    assert abs((max(across) - min(across)) - (max(down) - min(down))) <= 1
    middle_x, middle_y = (max(across) + min(across)) / 2, (max(down) + min(down)) / 2
    radii = [math.hypot(x - middle_x, y - middle_y) for x, y in lit]
    assert max(radii) - min(radii) < 2.0
    assert np.mean(radii) == pytest.approx(20.0 / scale.mm_per_dot, abs=0.6)


def test_a_line_lies_on_the_dots_that_its_ends_say() -> None:
    mark = Stroke(polyline([(-10.0, 5.0), (10.0, 5.0)]), "cut", "plate")
    lit = dots_lit(draw([mark], WHOLE, Wanted()).rows)
    assert lit == {(x, 79 - 44) for x in range(29, 50)}


def test_the_same_marks_give_the_same_picture() -> None:
    marks = [Stroke(circle((0.0, 0.0), 12.0), "scribe", "key circle")]
    assert draw(marks, SCALE, Wanted()).rows == draw(marks, SCALE, Wanted()).rows


def test_wanted_parts_are_thicker_and_can_be_told_without_colour() -> None:
    mark = Stroke(circle((0.0, 0.0), 15.0), "cut", "bolt")
    quiet = dots_lit(draw([mark], SCALE, Wanted()).rows)
    wanted = dots_lit(draw([mark], SCALE, Wanted(("bolt",))).rows)
    assert len(wanted) > 1.6 * len(quiet)
    assert draw([mark], SCALE, Wanted(("bolt",))).legend[0].text == "bolt"
    assert draw([mark], SCALE, Wanted()).legend[0].text == "cut"


def test_scribed_lines_and_the_other_seat_are_broken() -> None:
    line = polyline([(-18.0, 0.0), (18.0, 0.0)])
    whole = dots_lit(draw([Stroke(line, "cut", "bolt")], WHOLE, Wanted()).rows)
    for mark in (Stroke(line, "scribe", "bolt line"), Stroke(line, "cut", "bolt", ghost=True)):
        broken = dots_lit(draw([mark], WHOLE, Wanted()).rows)
        assert broken < whole
        assert len(broken) < 0.9 * len(whole)


@given(
    st.lists(
        st.tuples(st.text("abcdefgh 0123", min_size=1, max_size=30), ANY_NUMBER, ANY_NUMBER),
        max_size=12,
    )
)
def test_words_fit_and_do_not_overlap(wanted: list[tuple[str, float, float]]) -> None:
    wishes = [Wish(text, (x, y), "plate", n % 3) for n, (text, x, y) in enumerate(wanted)]
    taken: set[tuple[int, int]] = set()
    for words in placed(wishes, SCALE, np.zeros((SCALE.rows, SCALE.columns), dtype=np.int32)):
        cells = {(words.row, words.column + n) for n in range(len(words.text))}
        assert 0 <= words.row < SCALE.rows
        assert words.column >= 0
        assert words.column + len(words.text) <= SCALE.columns
        assert not cells & taken
        taken |= cells


def test_words_stand_in_the_picture_as_they_were_placed() -> None:
    marks = [Label((0.0, 0.0), "pivot", "note", "pivot")]
    rows = ["".join(text for text, _ in row) for row in draw(marks, SCALE, Wanted(("pivot",))).rows]
    assert any("pivot" in row for row in rows)


def test_a_word_keeps_off_the_lines_where_it_can() -> None:
    busy = np.zeros((SCALE.rows, SCALE.columns), dtype=np.int32)
    busy[10, :] = 8
    (words,) = placed([Wish("bolt", (40.0, 38.0), "bolt", 1)], SCALE, busy)
    assert words.row in (9, 11)


@given(st.integers(1, 200), st.integers(1, 60), st.floats(0.1, 50))
def test_any_size_of_picture_is_filled_exactly(columns: int, rows: int, zoom: float) -> None:
    mark = Stroke(circle((0.0, 0.0), 20.0), "cut", "key circle")
    scale = Sight(zoom).scale((-20, -20, 20, 20), columns, rows)
    found = (
        canvas.rows([], [], scale) if rows * columns > 4000 else draw([mark], scale, Wanted()).rows
    )
    assert [sum(len(text) for text, _ in row) for row in found] == [columns] * rows


def test_the_place_under_a_cell_is_the_inverse_of_the_dots() -> None:
    scale = Scale(33, 17, (5.0, -2.0), 0.37)
    for column, row in ((0, 0), (32, 16), (10, 3)):
        x, y = scale.dots(np.array([scale.point(column, row)]))[0]
        assert x == pytest.approx(2 * column + 0.5)
        assert y == pytest.approx(scale.height - 1 - (4 * row + 1.5))


def test_zoom_and_pan_keep_within_reason() -> None:
    sight = Sight()
    for _ in range(100):
        sight = sight.closer(1.25)
    assert sight.scale((-1, -1, 1, 1), 80, 24).mm_per_dot >= 0.01
    assert Sight().moved(1.0, 2.0).pan == (1.0, 2.0)


def test_traced_dots_touch_each_other() -> None:
    line = traced(np.array([[0.0, 0.0], [13.3, 7.9], [13.3, 20.0]]))
    assert (np.abs(np.diff(line, axis=0)).max(axis=1) <= 1).all()


def test_a_path_is_drawn_to_the_dot() -> None:
    # outside source: shapely's distance of each drawn dot from a finely divided circle
    scale = Scale(60, 30, (0.0, 0.0), 0.5)
    fine = shapely.Point(0, 0).buffer(20, quad_segs=500).exterior
    for run in runs(circle((0.0, 0.0), 20.0), scale):
        middle = np.array([(scale.width - 1) / 2, (scale.height - 1) / 2])
        points = shapely.points((traced(run) - middle) * scale.mm_per_dot)
        assert shapely.distance(fine, points).max() < 1.0 * scale.mm_per_dot
