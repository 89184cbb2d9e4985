"""Hands that are faster than the screens: what comes while another screen is already on its way up."""

import asyncio
from pathlib import Path
from typing import Any

import pytest

from core.lock.first_lock import first_lock
from tests.tui_driving import WIDE, program, stored, to_step
from tui.begin.screen import BeginScreen
from tui.plot.picture import Picture, draw
from tui.start.screen import StartScreen
from tui.widgets import drawing_view
from tui.widgets.choice_list import ChoiceList
from tui.widgets.dialogs import Answer, Ask
from tui.widgets.drawing_view import Drawing
from tui.work.ahead import Ahead
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")


async def test_a_lock_that_is_chosen_twice_is_opened_once(tmp_path: Path) -> None:
    stored(tmp_path)
    async with program(tmp_path) as driver:
        locks = driver.screen.query_one("#locks", ChoiceList)
        locks.action_first()
        locks.action_select()
        locks.action_select()
        await driver.settle()
        assert [type(screen) for screen in driver.app.screen_stack[2:]] == [WorkScreen]


async def test_a_lock_is_drawn_once_at_its_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn = []

    def counted(*told: Any) -> Picture:
        drawn.append(told)
        return draw(*told)

    monkeypatch.setattr(drawing_view, "draw", counted)
    monkeypatch.setattr(Ahead, "begin", lambda *_: None)  # it draws what may come next
    # a lock of its own: what was lately drawn is not drawn again
    path = stored(tmp_path, plate__width=77.25)
    async with program(tmp_path, path, size=WIDE) as driver:
        assert len(drawn) == 1
        await driver.press("pageup")
        assert len(drawn) == 2


async def test_keys_that_are_ahead_of_the_list_of_locks_wait_for_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is laid out when the lock that was asked for at the start is left, and that takes a while."""
    at_once = StartScreen.recompose

    async def slowly(screen: StartScreen) -> None:
        await asyncio.sleep(0.1)
        await at_once(screen)

    monkeypatch.setattr(StartScreen, "recompose", slowly)
    async with program(tmp_path, stored(tmp_path)) as driver:
        assert not driver.app.screen_stack[1].query("#locks")
        await driver.burst("f10", "s", "s", "end")
        assert isinstance(driver.screen, StartScreen)
        assert "Sorted by how they stand" in driver.text()
        locks = driver.screen.query_one("#locks", ChoiceList)
        assert locks.has_focus
        assert locks.highlighted == locks.option_count - 1


async def test_the_program_ends_while_a_screen_comes_up(tmp_path: Path) -> None:
    for screen in (
        Ask("Which?", Answer("one", "This one")),
        BeginScreen(first_lock("mm"), lambda *_: None),
    ):
        async with program(tmp_path) as driver:
            driver.app.exit()
            driver.app.push_screen(screen)
        assert not driver.app.return_code


async def test_checks_are_made_though_no_drawing_comes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where another screen covers the one in front before that is drawn again, or it goes."""
    async with program(tmp_path, stored(tmp_path)) as driver:
        work = driver.screen
        monkeypatch.setattr(work, "call_after_refresh", lambda *_: True)
        work.set_desk(work.desk.changed(work.desk.lock.with_value("key.radius", 19.5), "the key"))
        for _ in range(200):
            await driver.pilot.pause(0.02)
            if work.checks_done:
                break
        assert work.checks_done


async def test_a_drawing_is_moved_in_the_view_of_the_step_that_was_gone_to(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=WIDE) as driver:
        await driver.burst(*to_step("tooth"), "f8", "+")
        moved = driver.screen.query_one(Drawing).picture
        assert driver.screen.query_one(Drawing).sight.zoom > 1
        await driver.press("0")
        assert driver.screen.query_one(Drawing).picture.scale != moved.scale
        await driver.press("+")
        assert driver.screen.query_one(Drawing).picture.scale == moved.scale
