"""The turn view driven by keys and mouse: playing, leaving, friction, charts, views and sizes."""

import math
from pathlib import Path

import pytest

from core.files.project_file import load
from core.layout.layout import Layout
from core.turning.follow import moment
from tests.sure import sure
from tests.tui_driving import NARROW, NARROW_BY_DEFAULT, program, stored
from tests.turn_driving import SAMPLES, now, sample, words
from tui.start.screen import StartScreen
from tui.turn import screen as turn_screen
from tui.turn.moving_chart import TurnChart
from tui.turn.moving_drawing import TurnDrawing
from tui.turn.screen import TurnScreen
from tui.widgets.dialogs import Ask
from tui.widgets.keyed import Help
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")


@pytest.mark.slow
async def test_k_shows_other_friction_and_only_a_changes_the_lock(tmp_path: Path) -> None:
    file = sample(tmp_path, "boathouse")
    async with program(tmp_path, file) as driver:
        work = driver.screen
        await driver.press("f4", "f5", "p", "up")
        for condition in ("dry", "greased", "clean", "dry"):
            await driver.press("k")
            _, forces = now(driver, condition)
            text = words(driver)
            assert f"[{condition}" in text
            assert f"kept {condition}" in driver.text()
            assert all(f"{name} {value}" in text for name, value in forces.items())
            assert "clean*" in text
        assert not work.desk.session.dirty
        place = (work.desk.step_number, work.desk.path)
        await driver.press("a")
        assert work.desk.lock.friction.condition == "dry"
        assert "dry*" in words(driver)
        assert (work.desk.step_number, work.desk.path) == place
        await driver.press("a")
        assert "Kept dry already" in words(driver)
        assert len(work.desk.session.past) == 1
        await driver.press("escape")
        assert driver.screen is work
        assert "Kept dry from now on." in driver.words()
        await driver.press("ctrl+z")
        assert work.desk.lock == load(file).lock


@pytest.mark.slow
async def test_the_key_plays_a_whole_turn_and_can_be_held(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turn_screen, "FRAME", 0.02)
    async with program(tmp_path, sample(tmp_path, "orchard_gate")) as driver:
        await driver.press("f5", "space")
        assert driver.screen.turn.playing
        assert "turning" in driver.rows()[0]
        await driver.press("space")
        held = driver.screen.turn
        assert not held.playing
        await driver.pilot.pause(0.05)
        assert driver.screen.turn == held
        assert "held" in driver.rows()[0]
        await driver.press("space")
        travels = []
        while driver.screen.turn.playing:
            turn = driver.screen.turn
            travels.append(moment(turn.layout, turn.angle).travel)
            await driver.pilot.pause(0.005)
        assert driver.screen.turn.angle == math.pi
        assert travels == sorted(travels)
        await driver.settle()
        assert "drawn home" in words(driver)
        assert "key-out" in words(driver)
        # no frame comes, however long a busy machine takes to look
        monkeypatch.setattr(driver.screen._timer, "resume", lambda: None)
        await driver.press("space")
        assert driver.screen.turn.playing
        assert driver.screen.turn.angle < 0


@pytest.mark.slow
async def test_leaving_stops_the_clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turn_screen, "FRAME", 0.02)
    async with program(tmp_path, sample(tmp_path, "boathouse")) as driver:
        await driver.press("f5", "space")
        screen = driver.screen
        await driver.press("f1")
        assert isinstance(driver.screen, Help)
        assert "pick-up" in driver.text() or "THE KEY'S TURN" in driver.text()
        held = screen.turn
        assert not held.playing
        await driver.press("escape", "space")
        assert screen.turn.playing
        await driver.press("escape")
        assert isinstance(driver.screen, WorkScreen)
        assert sure(driver.app.focused).id == "entry"
        last = screen.turn
        await driver.pilot.pause(0.05)
        assert screen.turn is last
        assert (
            not screen._timer._active.is_set()
            or screen._timer._task is None
            or (screen._timer._task.done())
        )


@pytest.mark.slow
async def test_what_is_typed_at_the_prompt_is_taken_along(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        await driver.type("19.5")
        await driver.press("f5")
        assert driver.screen.turn.layout.lock.key.radius == 19.5
        await driver.press("escape")
        await driver.type("banana")
        await driver.press("f5")
        assert isinstance(driver.screen, WorkScreen)
        assert "is no length" in driver.words()


@pytest.mark.slow
async def test_f10_leaves_the_lock_and_asks_about_what_is_not_saved(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f5", "k", "a", "f10")
        assert isinstance(driver.screen, Ask)
    async with program(tmp_path, sample(tmp_path, "boathouse")) as driver:
        await driver.press("f5", "f10")
        assert isinstance(driver.screen, StartScreen)


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_the_mouse_turns_the_key_too(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, sample(tmp_path, "boathouse"), size=size) as driver:
        await driver.click_key("F5")
        assert isinstance(driver.screen, TurnScreen)
        for name in ("#travel-chart", "#torque-chart"):
            chart = driver.screen.query_one(name, TurnChart)
            for column in (chart.size.width - 4, chart.size.width // 2, 9):
                await driver.click(name, offset=(column, 2))
                wanted = round(sure(sure(chart.ground).x_at(column)))
                assert math.degrees(driver.screen.turn.angle) == pytest.approx(wanted, abs=1e-9)
                assert f"angle {wanted:.1f}°" in words(driver)
            before = driver.screen.turn
            await driver.click(name, offset=(2, 2))  # on the numbers
            assert driver.screen.turn == before
        await driver.click_key("X fouls")
        assert "Nothing fouls" in words(driver)


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_the_cursor_of_the_charts_follows_the_key(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with program(tmp_path, sample(tmp_path, "boathouse"), size=size) as driver:
        await driver.press("f5")
        chart = driver.screen.query_one("#travel-chart", TurnChart)
        rows = ["".join(t for t, _ in row) for row in chart.rows]
        assert any("◂" in row for row in rows)
        columns = []
        for key in ("p", "up", "up", "r"):
            await driver.press(key)
            dot = chart.ground.dot_of(math.degrees(driver.screen.turn.angle))
            cells = [
                ["".join(t for t, _ in row)[dot // 2] for row in chart.rows[:-1]],
                {tone for row in chart.rows for _, tone in row},
            ]
            # Unicode, Braille Patterns: the bits of a cell's left and right column
            column = (0b01000111, 0b10111000)[dot % 2]
            assert all((ord(cell) - 0x2800) & column == column for cell in cells[0])
            assert "measure-wanted" in cells[1]
            columns.append(dot)
        assert columns == sorted(set(columns))
        await driver.press("end")
        assert any("▸" in "".join(t for t, _ in row) for row in chart.rows)


@pytest.mark.slow
async def test_charts_and_views_can_be_changed_and_the_drawing_zoomed(tmp_path: Path) -> None:
    async with program(tmp_path, sample(tmp_path, "boathouse")) as driver:
        await driver.press("f5", "p", "up")
        drawing = driver.screen.query_one(TurnDrawing)
        first = drawing.picture
        await driver.press("c")
        assert drawing.picture.scale.rows > first.scale.rows
        assert "travel, mm" not in driver.text()
        await driver.press("c")
        assert drawing.picture.rows == first.rows
        await driver.press("f7")
        assert drawing.picture.scale.mm_per_dot < first.scale.mm_per_dot
        assert "View: tooth." in words(driver)
        await driver.press("f7", "f7")
        assert drawing.picture.rows == first.rows
        await driver.press("+", "+")
        assert drawing.picture.scale.mm_per_dot < first.scale.mm_per_dot
        await driver.press("-", "0")
        assert drawing.picture.rows == first.rows


@pytest.mark.slow
async def test_it_bears_every_size(tmp_path: Path) -> None:
    async with program(tmp_path, sample(tmp_path, "pump_house")) as driver:
        await driver.press("f5", "x")
        for width, height in [
            (20, 5),
            (59, 19),
            (60, 20),
            (79, 24),
            (104, 32),
            (200, 60),
            (1, 1),
            NARROW,
        ]:
            await driver.pilot.resize_terminal(width, height)
            await driver.settle()
            await driver.press("x", "x", "c", "c")
            text = driver.text()
            if width < 60 or height < 20:
                if width > 20:
                    assert "60 x 20" in text
            else:
                assert driver.screen.query_one(TurnDrawing).picture is not None
                assert "FOULS bolt" in text
                assert "x fouls the bolt" in text


@pytest.mark.slow
async def test_no_colour_and_either_look_say_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = sample(tmp_path, "pump_house")
    async with program(tmp_path, file) as driver:
        await driver.press("f5", "x")
        dark = driver.text()
        strip = driver.screen.query_one(TurnDrawing).render_line(1)
        await driver.press("ctrl+t")
        assert driver.text() == dark
        assert driver.screen.query_one(TurnDrawing).render_line(1) != strip
    monkeypatch.setenv("NO_COLOR", "1")
    async with program(tmp_path, file) as driver:
        await driver.press("f5", "x")
        assert driver.text() == dark


@pytest.mark.slow
async def test_inches_are_shown_in_a_lock_kept_in_inches(tmp_path: Path) -> None:
    async with program(tmp_path, sample(tmp_path, "orchard_gate")) as driver:
        await driver.press("f5", "p", "up")
        layout = Layout(load(SAMPLES["orchard_gate"]).lock)
        there = moment(layout, driver.screen.turn.angle)
        assert f"travel {layout.show(there.travel).removesuffix(' in')} of 3/8 in" in words(driver)
        assert "travel, in" in driver.text()
        assert "0.375" in driver.text()
