"""Pictures in layers, and the small charts: what is shown in which cell."""

import math
import time
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from core.files.project_file import load
from core.layout.drawing import Stroke
from core.layout.layout import Layout
from core.shipped import sample_locks
from core.turning.follow import moment
from tui.plot import canvas
from tui.plot.chart import Curve, Ground, Sign, chart, round_up
from tui.plot.frame import Spot, framed
from tui.plot.layers import Rows, overlaid, upright
from tui.plot.lines import Run
from tui.plot.picture import Picture, Wanted, draw
from tui.plot.scale import Scale, Sight
from tui.turn import scene as turn_scene
from tui.turn.state import Turn
from tui.widgets.pieces import _differing

LAYOUT = Layout(load(sample_locks()[0]).lock)


def texts(rows: Rows) -> list[str]:
    return ["".join(text for text, _ in row) for row in rows]


def dots(character: str) -> int:
    """Return the dots of a cell: Unicode, Braille Patterns, U+2800 to U+28FF, a bit for each dot."""
    code = ord(character) - 0x2800
    return code if 0 < code <= 0xFF else 0


def drawn(*lines: Any, columns: int = 12, rows: int = 4, tone: str = "plate") -> Rows:
    scale = Scale(columns, rows, (0.0, 0.0), 1.0)
    return canvas.rows([Run(np.array(line, dtype=float), tone) for line in lines], (), scale)


def test_two_layers_have_the_dots_of_both() -> None:
    low = drawn([(0, 0), (23, 15)], [(0, 8), (23, 8)])
    high = drawn([(0, 15), (23, 0)], tone="bolt-wanted")
    both = overlaid(low, high)
    for one, other, row in zip(texts(low), texts(high), texts(both), strict=True):
        assert [dots(c) for c in row] == [
            dots(a) | dots(b) for a, b in zip(one, other, strict=True)
        ]
    tones = {tone for row in both for text, tone in row if text.strip()}
    assert tones == {"plate", "bolt-wanted"}


def test_rows_without_anything_above_are_left_as_they_are() -> None:
    low = drawn([(0, 0), (23, 15)])
    both = overlaid(low, drawn([(0, 3), (23, 3)], rows=1), 0, 0)
    assert both[0] != low[0]
    assert all(new is old for new, old in zip(both[1:], low[1:], strict=True))


def test_words_hide_whole_words_below_and_signs_only_their_cell() -> None:
    low = [[("⠤⠤bolt line⠤⠤", "scribe")]]
    assert texts(overlaid(low, [[("x FOULS", "foul")]], 5, 0)) == ["⠤⠤   x FOULS⠤"]
    assert texts(overlaid(low, [[("●", "value")]], 4, 0)) == ["⠤⠤bo●t line⠤⠤"]
    assert texts(overlaid(low, [[("⠿⠿⠿⠿", "bolt")]], 0, 0)) == ["⠿⠿bolt line⠤⠤"]


def test_an_upright_line_stands_in_its_column_of_dots() -> None:
    for dot in range(24):
        column, side = divmod(dot, 2)
        rows = texts(upright(12, 3, dot, "value"))
        # Unicode, Braille Patterns: dots 1 2 3 7 are the left column, 4 5 6 8 the right one
        line = chr(0x2800 + (0b01000111, 0b10111000)[side])
        assert rows == [" " * column + line + " " * (11 - column)] * 3


@pytest.mark.parametrize("size", [(43, 15), (70, 25)])
@pytest.mark.parametrize("degrees", [-150, -5, 12, 40, 170])
@pytest.mark.first(3)
def test_a_frame_is_what_drawing_all_at_once_gives(size: tuple[int, int], degrees: float) -> None:
    # outside source: plotext itself, which draws all in one figure here
    scale = Sight().scale(turn_scene.region(LAYOUT, "mechanism"), *size)
    moving = turn_scene.moving(LAYOUT, moment(LAYOUT, math.radians(degrees)))
    still = draw(turn_scene.still(LAYOUT), scale, Wanted(), turn_scene.swept(LAYOUT))
    bare = Picture([[("⠀" * size[0], "")]] * size[1], scale, ())
    above, both = framed(bare, moving, ()), framed(still, moving, ())
    marks = (*turn_scene.still(LAYOUT), *moving)
    for one, other, row in zip(*(texts(p.rows) for p in (still, above, both)), strict=True):
        for under, over, joined in zip(one, other, row, strict=True):
            letter = under not in " " and not 0x2800 <= ord(under) <= 0x28FF
            assert joined == under if letter else dots(joined) == dots(under) | dots(over)
    whole = texts(draw(marks, scale, Wanted(("key",))).rows)
    cells = [
        (a, b)
        for one, other in zip(whole, texts(both.rows), strict=True)
        for a, b in zip(one, other, strict=True)
        if 0x2800 <= ord(a) <= 0x28FF and (b == " " or 0x2800 <= ord(b) <= 0x28FF)
    ]
    assert sum(dots(a) != dots(b) for a, b in cells) <= 0.01 * len(cells)


def test_names_of_what_stands_still_leave_the_bolts_way_free() -> None:
    scale = Sight().scale(turn_scene.region(LAYOUT, "mechanism"), 70, 25)
    still = draw(turn_scene.still(LAYOUT), scale, Wanted(), turn_scene.swept(LAYOUT))
    assert any("guide" in text for text in texts(still.rows))
    for share in (0.0, 0.5, 1.0):
        at = int(share * (len(turn_scene.swept(LAYOUT)) - 1))
        bolt = framed(
            Picture([[(" " * 70, "")]] * 25, scale, ()),
            [Stroke(turn_scene.swept(LAYOUT)[at], "cut", "bolt")],
            (),
        )
        for under, over in zip(texts(still.rows), texts(bolt.rows), strict=True):
            for low, high in zip(under, over, strict=True):
                assert not (dots(high) and low.isalpha())


@pytest.mark.parametrize("at", [(0.0, 0.0), (-9.9, 4.9), (9.9, -4.9), (1e9, 0.0), (math.nan, 1.0)])
def test_a_sign_stands_on_its_cell_with_its_words_whole_beside_it(at: tuple[float, float]) -> None:
    scale = Scale(40, 10, (0.0, 0.0), 0.25)
    base = Picture([[(" " * 40, "")]] * 10, scale, ())
    rows = texts(framed(base, (), [Spot(at, "x", "foul", "FOULS bolt")]).rows)
    found = [(row.index("x"), number) for number, row in enumerate(rows) if "x" in row]
    if not (abs(at[0]) < 10 and abs(at[1]) < 5):
        assert not found
        return
    ((column, row),) = found
    x, y = scale.point(column, row)
    assert abs(x - at[0]) <= 0.25 + 1e-9
    assert abs(y - at[1]) <= 0.5 + 1e-9
    assert "FOULS bolt" in rows[row]


# the charts

GROUND = Ground(40, 8, (-60.0, 60.0), (0.0, 10.0))


def test_a_chart_has_its_curve_its_axes_and_its_numbers() -> None:
    xs = np.linspace(-180, 180, 361)
    rows = texts(chart(GROUND, [Curve(xs, np.clip(xs / 6, 0, 10), "bolt-wanted")], ("0", "10")))
    assert [len(row) for row in rows] == [40] * 8
    assert rows[0].startswith("    10")
    assert rows[-2].startswith("     0")
    assert [word for word in rows[-1].replace("⠉", " ").split() if "°" in word] == [
        "-60°",
        "0°",
        "60°",
    ]
    # the curve ends at the top right, and begins to rise in the middle
    assert dots(rows[0][-2])
    assert not dots(rows[0][20])


def test_a_curve_stays_in_its_field_and_has_gaps_where_it_has_no_value() -> None:
    xs = np.linspace(-180, 180, 361)
    ys = np.where(np.abs(xs) < 30, np.nan, 5.0)
    rows = texts(chart(GROUND, [Curve(xs, ys, "key-wanted")], ("", "")))
    assert not any(dots(c) for row in rows for c in row[:6])
    line = max(rows[1:-2], key=lambda row: sum(map(dots, row[7:])))
    low, high = (GROUND.dot_of(x) // 2 for x in (-29, 29))
    assert not any(dots(c) for c in line[low + 1 : high])
    assert dots(line[low - 1])
    assert dots(line[high + 1])


def test_a_sign_in_a_chart_stands_at_its_angle() -> None:
    rows = texts(chart(GROUND, (), ("0", "10"), [Sign(20.0, "x jams", "foul")]))
    assert rows[0].index("x jams") == GROUND.dot_of(20.0) // 2
    late = texts(chart(GROUND, (), ("0", "10"), [Sign(60.0, "x jams", "foul")]))
    assert "x jams" in late[0]


def test_the_angle_under_a_column_is_the_one_drawn_there() -> None:
    for degrees in range(-60, 61, 3):
        column = GROUND.dot_of(degrees) // 2
        assert GROUND.x_at(column) == pytest.approx(degrees, abs=120 / 66)
    assert GROUND.x_at(2) is None
    assert GROUND.dot_of(-1000) == GROUND.dot_of(-60)


@pytest.mark.parametrize("columns", [16, 23, 40, 100])
@pytest.mark.parametrize("rows", [3, 4, 6, 20])
def test_a_chart_bears_any_size_and_any_curve(columns: int, rows: int) -> None:
    ground = Ground(columns, rows, (-60.0, 60.0), (0.0, 1e-6))
    wild = np.array([np.nan, np.inf, -np.inf, 1e300, -1e300, 0.0, 1e-7])
    made = texts(
        chart(ground, [Curve(np.linspace(-90, 90, 7), wild, "key-wanted")], ("0", "12345678"))
    )
    assert [len(row) for row in made] == [columns] * rows


@pytest.mark.parametrize(
    ("value", "top"),
    [(0.093, 0.1), (0.1, 0.1), (0.11, 0.15), (7.0, 8.0), (0.0, 1.0), (math.nan, 1.0)],
)
def test_axes_end_on_round_numbers(value: float, top: float) -> None:
    assert round_up(value) == pytest.approx(top)


# what is sent to the terminal


@pytest.mark.parametrize(
    ("old", "new", "columns"),
    [
        ([("angle", "q"), (" 10", "s")], [("angle", "q"), (" 11", "s")], (5, 8)),
        ([("ab", "q"), ("cd", "s"), ("efgh", "q")], [("ab", "q"), ("xy", "s"), ("efgh", "q")], (2, 4)),
        ([("abcd", "q"), ("efgh", "s")], [("abcd", "s"), ("efgh", "s")], (0, 4)),
        ([("abcd", "q")], [("abc", "q")], (0, 8)),
        ([("abcdefgh", "q")], [("abcd", "q")], (0, 8)),
    ],
)  # fmt: skip
def test_only_what_differs_is_drawn_anew(
    old: list[tuple[str, str]], new: list[tuple[str, str]], columns: tuple[int, int]
) -> None:
    assert _differing(old, new, 8) == columns


def test_a_frame_against_drawing_all(benchmark: BenchmarkFixture) -> None:
    """Speed as a ratio of one run: a frame over a kept picture, against drawing everything."""
    scale = Sight().scale(turn_scene.region(LAYOUT, "mechanism"), 70, 25)
    still, marks = turn_scene.still(LAYOUT), []
    base = draw(still, scale, Wanted(), turn_scene.swept(LAYOUT))
    turns = [Turn(LAYOUT, "clean", angle=math.radians(d)) for d in range(-10, 50, 5)]
    for turn in turns:
        there = moment(LAYOUT, turn.angle)
        marks.append((turn_scene.moving(LAYOUT, there), turn_scene.spots(turn, there)))

    def frames() -> list[Picture]:
        return [framed(base, moving, spots) for moving, spots in marks]

    start = time.process_time()
    whole = [draw((*still, *moving), scale, Wanted()) for moving, _ in marks]
    slow = time.process_time() - start
    start = time.process_time()
    made = benchmark(frames)
    benchmark.extra_info["drawing all takes this many times as long"] = (
        slow / benchmark.stats.stats.mean
        if benchmark.stats is not None
        else slow / max(time.process_time() - start, 1e-9)
    )
    assert len(made) == len(whole)
