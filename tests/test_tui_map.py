"""The map over the working screen: driven by keys, the lock moving in it, and taken back."""

from pathlib import Path

import pytest

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.propose.map_text import MARK
from core.propose.room_map import DIMENSIONS, room_map
from tests.tui_driving import NARROW_BY_DEFAULT, SIZES, program, stored
from tui.map.screen import MapScreen
from tui.map.state import PAIRS, from_here, with_one
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")


def mark(rows: list[str]) -> tuple[int, int]:
    """Return row and column of the lock on the screen."""
    return next((n, row.index(MARK)) for n, row in enumerate(rows[1:-2]) if MARK in row)


@NARROW_BY_DEFAULT
async def test_the_lock_moves_with_the_arrows(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("alt+m")
        assert isinstance(driver.screen, MapScreen)
        assert "key radius across, pivot below up" in driver.text()
        assert "to spare at" in driver.words("#beside")
        row, column = mark(driver.rows())
        await driver.press("shift+up", "shift+right")
        after = mark(driver.rows())
        assert after[0] < row
        assert after[1] > column
        work = next(s for s in driver.app.screen_stack if isinstance(s, WorkScreen))
        assert work.desk.lock.key.radius == pytest.approx(21.0)
        assert work.desk.lock.pivot.below == pytest.approx(55.0)
        found = room_map(work.desk.lock)
        assert f"Key radius {Layout(work.desk.lock).show(21.0)}" in driver.words("#beside")
        assert found.limits[found.by].by in driver.words("#beside")
        await driver.press("ctrl+z", "ctrl+z")
        assert work.desk.lock.key.radius == 20.0
        assert mark(driver.rows()) == (row, column)
        await driver.press("escape")
        assert isinstance(driver.screen, WorkScreen)


@pytest.mark.slow
async def test_to_the_most_room_and_other_dimensions(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=23.0)) as driver:
        await driver.press("alt+m")
        assert "short by" in driver.words("#beside")
        await driver.press("m")
        assert "to spare at" in driver.words("#beside")
        work = next(s for s in driver.app.screen_stack if isinstance(s, WorkScreen))
        assert not [f for f in findings(Layout(work.desk.lock)) if f.level == "stop"]
        for _ in PAIRS:
            await driver.press("d")
            assert sum(row.count(MARK) for row in driver.rows()[1:-2]) >= 1
        assert "key radius across, pivot below up" in driver.text()


@pytest.mark.slow
@SIZES
async def test_any_two_dimensions_are_chosen(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("alt+m", "x")
        assert "Which dimension across?" in driver.text()
        assert "Esc go back" in driver.text()
        await driver.press("end", "up", "enter")  # the last before the answer that changes nothing
        assert "detent's reach across, pivot below up" in driver.text()
        await driver.press("y", "down", "enter")
        assert "detent's reach across, pivot across up" in driver.text()
        assert MARK in driver.text()
        work = next(s for s in driver.app.screen_stack if isinstance(s, WorkScreen))
        await driver.press("right", "up")
        assert (work.desk.lock.fit.detent_capture, work.desk.lock.pivot.across) == (1.1, 0.1)
        await driver.press("x", "escape")
        assert "detent's reach across, pivot across up" in driver.text()
        await driver.press("d")
        assert "key radius across, pivot below up" in driver.text()


def test_every_dimension_can_be_chosen() -> None:
    for path in DIMENSIONS:
        assert set(from_here(path)) == set(DIMENSIONS)
        assert from_here(path)[0] == path
    assert with_one(("key.radius", "pivot.below"), 0, "pivot.below") == (
        "pivot.below",
        "key.radius",
    )
    assert with_one(("key.radius", "pivot.below"), 1, "bolt.depth") == ("key.radius", "bolt.depth")
    assert all(path in DIMENSIONS for pair in PAIRS for path in pair)


@pytest.mark.slow
async def test_an_inch_lock_has_a_map_in_inches(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path, units="in"), size=(120, 40)) as driver:
        await driver.press("alt+m")
        assert " mm" not in driver.text()
        assert MARK in driver.text()
