"""What the next nudge would bring is worked out ahead: it must be what is worked out when the key comes."""

from pathlib import Path

import pytest

from core.layout.layout import Layout
from core.lock.lock import Lock
from tests.counts import of_all, seeds
from tests.designs import plausible
from tests.tui_driving import WIDE, Driver, at_prompt
from tui.desk import checks
from tui.desk.checking import checked
from tui.desk.checks import checks_of
from tui.desk.session import layout_of
from tui.plot.scale import Sight
from tui.widgets import drawing_view
from tui.widgets.drawing_view import Drawing
from tui.work import ahead

pytestmark = pytest.mark.usefixtures("own_folder")

PATHS = (
    "key.radius",
    "pivot.below",
    "shackle.gap",
    "plate.width",
    "bolt.depth",
    "tooth.pickup_angle",
)
NUDGES = (("up",), ("up", "up", "down"), ("pagedown",), ("up", "pageup", "down", "down"))
"""Bursts: keys that come while something is being worked out ahead, too."""


def forget() -> None:
    """Let everything be worked out anew."""
    for kept in (checks_of, layout_of, drawing_view._unmarked):
        kept.cache_clear()


async def anew(driver: Driver) -> str:
    """Return the screen after all of it has been worked out without anything that was known."""
    forget()
    driver.screen._check_anew()
    driver.screen.query_one(Drawing).look(Sight())
    driver.screen._to_show = True
    await driver.settle()
    return driver.text()


@pytest.mark.parametrize("seed", seeds(2, 16))
async def test_what_was_worked_out_ahead_is_what_is_worked_out_when_the_key_comes(
    tmp_path: Path, seed: int
) -> None:
    lock, path = plausible(seed), PATHS[seed % len(PATHS)]
    if seed % 2:
        lock = lock.with_value("units", "in")
    async with at_prompt(tmp_path, lock, path, size=WIDE) as driver:
        for keys in NUDGES:
            await driver.burst(*keys)
            shown = driver.text()
            found = checked(Layout(driver.desk.lock))
            assert driver.screen.found.findings == found.findings
            assert driver.screen.found.windows == found.windows
            assert await anew(driver) == shown
            assert driver.text() == shown


async def test_the_next_nudge_finds_all_of_it_at_hand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_prompt(tmp_path, Lock(), "key.radius", size=WIDE) as driver:
        await driver.press("up")
        shown = driver.text()
        now = driver.desk
        for steps in (1, -1):
            there = now.nudged(steps)
            known = checks_of(there.lock, there.session.notes, there.in_view).known
            assert known is not None
            assert known.heard
        # nothing of it was shown, and when it is, no check is made and nothing drawn
        assert driver.desk == now
        assert driver.text() == shown
        done: list[object] = []
        monkeypatch.setattr(checks, "checking", lambda *told: done.append(told))
        monkeypatch.setattr(drawing_view, "draw", lambda *told: done.append(told))
        monkeypatch.setattr(ahead.Ahead, "begin", lambda *_: None)
        driver.send("up")
        await driver.quiet()
        assert done == []
        assert driver.desk.lock == now.nudged(1).lock
        assert driver.text() != shown


@pytest.mark.parametrize("keys", of_all([("tab", "1"), ("f9",), ("f1",), ("2", "0", "enter")], 2))
async def test_it_is_dropped_at_another_key(tmp_path: Path, keys: tuple[str, ...]) -> None:
    async with at_prompt(tmp_path, Lock(), "key.radius", size=WIDE) as driver:
        await driver.burst("up", *keys)
        shown = driver.text()
        await driver.settle()
        assert driver.text() == shown


async def test_a_first_nudge_is_looked_out_for_once_the_keys_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget()
    monkeypatch.setattr(ahead, "COME", 0.01)
    async with at_prompt(tmp_path, Lock(), "key.radius", size=WIDE) as driver:
        there = driver.desk.nudged(1)
        for _ in range(200):
            await driver.pilot.pause(0.02)
            known = checks_of(there.lock, there.session.notes, there.in_view).known
            if known is not None and known.heard:
                break
        assert known is not None
        assert known.heard
