"""Hands that are faster than the screens: what comes while another screen is already on its way up."""

from pathlib import Path

import pytest

from core.lock.first_lock import first_lock
from tests.tui_driving import program, stored
from tui.begin.screen import BeginScreen
from tui.widgets.choice_list import ChoiceList
from tui.widgets.dialogs import Answer, Ask
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
