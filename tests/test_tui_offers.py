"""Locks proposed for the lock at hand, over the working screen: sizes kept, looked at, taken and taken back by keys."""

from dataclasses import replace
from pathlib import Path

import pytest

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.lock import Lock
from core.propose.proposals import Proposals
from tests.tui_driving import NARROW, NARROW_BY_DEFAULT, WIDE, program, stored, to_step
from tui.begin.offers import OffersScreen
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")


def stops(lock: Lock) -> list[str]:
    return [found.code for found in findings(Layout(lock)) if found.level == "stop"]


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_a_lock_with_a_size_kept_is_taken_and_taken_back(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = stored(tmp_path, key__radius=17.0, bolt_line__height=30.0, pivot__below=44.0)
    async with program(tmp_path, file, size=size) as driver:
        before = driver.desk.lock
        assert stops(before)
        await driver.press(*to_step("key radius"), "alt+k")
        assert "is kept" in driver.words("#notice")
        assert "kept" in driver.words("#unit")
        await driver.press("alt+l")
        assert isinstance(driver.screen, OffersScreen)
        assert "key radius kept" in driver.words("#title")
        assert "to spare at" in driver.words("#offers")
        assert "Nearest limit" in driver.words("#about")
        await driver.press("down", "up", "enter")
        assert isinstance(driver.screen, WorkScreen)
        after = driver.desk.lock
        assert after.key.radius == 17.0
        assert after != before
        assert not stops(after)
        assert "Taken: " in driver.words("#notice")
        await driver.press("ctrl+z")
        assert driver.desk.lock == before


async def test_nothing_is_taken_on_the_way_back(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("alt+l")
        await driver.press("down", "escape")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.lock == Lock()
        assert not driver.desk.session.dirty


async def test_what_is_no_size_of_a_proposal_says_so(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("enter", "alt+k")
        assert "stays as it is in all that is proposed" in driver.words("#notice")
        await driver.press(*to_step("key radius"), "alt+k", "alt+k")
        assert "kept no more" in driver.words("#notice")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(64, 24), NARROW, WIDE], ids=["64x24", "80x24", "120x40"])
async def test_every_word_that_speaks_for_a_proposal_can_be_read(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("alt+l")
        screen = driver.screen
        assert isinstance(screen, OffersScreen)
        one = screen._offers[0]
        more = tuple(
            f"Wants a look: so it was with number {n} of the looks there may be." for n in range(9)
        )
        told = replace(one.proposal, reasons=(*one.proposal.reasons, *more))
        found = Proposals((replace(one, proposal=told),))
        screen._learn(replace(screen._offered, found=found))
        await driver.settle()
        seen: list[str] = []
        for _ in range(40):
            here = screen.query_one("#why").region
            rows = [row[here.x : here.right] for row in driver.rows()[here.y : here.bottom]]
            seen += [row.strip("│▁▂▃▄▅▆▇█ ") for row in rows]
            await driver.key("right")
        words = {word for row in seen for word in row.split()}
        missing = [word for reason in told.reasons for word in reason.split() if word not in words]
        assert not missing
        for _ in range(40):
            await driver.key("left")
        assert "Key " in driver.words("#why")
        assert screen.query_one("#why").scroll_y == 0


@pytest.mark.slow
async def test_there_may_be_none(tmp_path: Path) -> None:
    file = stored(tmp_path, plate__width=38.0, plate__height=30.0, plate__straight=10.0)
    async with program(tmp_path, file) as driver:
        await driver.press("alt+l")
        assert "What falls first" in driver.words("#told")
        await driver.press("enter", "escape")
        assert isinstance(driver.screen, WorkScreen)
