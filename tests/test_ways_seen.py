"""Ways out that are looked at before they are taken: drawn as their key then leaves the lock, and nothing is set."""

import re
from pathlib import Path

import pytest

from core.lock.lock import Lock
from tests.designs import plausible
from tests.tui_driving import NARROW, WIDE, Driver, at_prompt, program, stored, to_step
from tui.keys.common import SEE_WAY
from tui.widgets.drawing_view import Drawing

pytestmark = [pytest.mark.slow, pytest.mark.usefixtures("own_folder")]

AS_J = "As J would leave it; Esc: as it is"


def drawing(driver: Driver) -> Drawing:
    found: Drawing = driver.screen.query_one("#drawing", Drawing)
    return found


def lines(driver: Driver) -> set[object]:
    """Return what is drawn but for dimensions and names."""
    return {mark for mark in drawing(driver)._marks if hasattr(mark, "layer") and mark.part}


@pytest.mark.parametrize("size", [NARROW, WIDE])
@pytest.mark.parametrize("units", ["mm", "in"])
async def test_a_way_is_drawn_as_its_key_leaves_the_lock(
    tmp_path: Path, size: tuple[int, int], units: str
) -> None:
    file = stored(tmp_path, key__radius=21.6, units=units)
    async with program(tmp_path, file, size=size) as driver:
        before = driver.desk.lock
        await driver.press(*to_step("bolt line"))
        await driver.until("clears the stop", "#ways")
        await driver.settle()
        ways = driver.screen.opened.found
        assert len(ways) > 1
        assert f"{SEE_WAY.shown} {SEE_WAY.hint}" in driver.text()
        as_it_is, plain = lines(driver), driver.words("#drawing")
        await driver.press("5", "w")
        # a number that is begun stays
        assert driver.screen.entry.value == "5"
        drawn = []
        for key, one in zip("JKL", ways, strict=False):
            assert f"As {key} would leave it; Esc: as it is" in driver.words("#drawing")
            assert driver.desk.lock == before
            assert drawing(driver)._marked == ()
            drawn.append(lines(driver))
            assert drawn[-1] != as_it_is
            if units == "in":
                assert not re.search(r"\bmm\b", driver.text())
            # the dimension that is set has its new value in the drawing
            wanted = drawing(driver)._wanted.paths
            assert wanted == tuple(path for path, _ in one.changes)
            await driver.press("w")
        # and round to the lock as it is
        assert "would leave it" not in driver.text()
        assert lines(driver) == as_it_is
        await driver.press("w")
        assert AS_J in driver.words("#drawing")
        # Esc ends the look first, and puts back what is typed after that
        await driver.press("escape")
        assert (driver.screen.entry.value, driver.words("#drawing")) == ("5", plain)
        await driver.press("escape")
        assert driver.screen.entry.value != "5"
        await driver.press("w", "j")
        assert driver.desk.lock == ways[0].lock
        assert lines(driver) == drawn[0]
        assert "would leave it" not in driver.text()
        await driver.press("ctrl+z")
        assert driver.desk.lock == before


async def test_what_opens_a_prompt_is_drawn_too_and_looked_at_closer(tmp_path: Path) -> None:
    lock = plausible(0).with_value("bolt_line.height", 36.6)
    async with at_prompt(tmp_path, lock, "pivot.below") as driver:
        first = driver.screen.opened.found[0]
        await driver.press("w", "f8", "plus")
        rows = driver.words("#drawing")
        assert AS_J in rows
        assert "1.2 times" in rows
        await driver.press("0", "enter")
        # what sets the ends is told of the lock as it is, in the panel
        assert "nothing fits" in driver.words("#fit")
        seen = lines(driver)
        await driver.press("j")
        assert driver.desk.lock == first.lock
        assert lines(driver) == seen
        # where there are no ways the letter is a letter
        await driver.press("w")
        assert driver.screen.entry.value == "w"
        assert "would leave it" not in driver.text()


async def test_at_another_prompt_the_lock_is_drawn_as_it_is(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=21.6), size=NARROW) as driver:
        await driver.press(*to_step("bolt line"))
        await driver.until("clears the stop", "#ways")
        await driver.settle()
        await driver.press("w")
        assert AS_J in driver.text()
        await driver.press("enter")
        assert "would leave it" not in driver.text()
        assert driver.desk.lock == Lock().with_value("key.radius", 21.6)
