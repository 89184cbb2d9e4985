"""The sheets dialog: choosing, writing with progress, and never losing a file of somebody else's."""

import asyncio
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import ezdxf.filemanagement
import pytest

from core.sheets.folder import LIST
from core.sheets.paper import today
from core.sheets.write import sheet_titles, write_sheets
from core.shipped import sample_locks
from tests.tui_driving import SIZES, Driver, program, stored
from tui.desk.session import layout_of
from tui.sheets import job as sheets_job
from tui.sheets.job import Done, Order
from tui.sheets.screen import SheetsScreen
from tui.widgets.dialogs import Ask
from tui.widgets.keyed import Help
from tui.work.screen import WorkScreen


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(own_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    del own_folder
    # the usual way to make the same file twice: reproducible-builds.org, SOURCE_DATE_EPOCH
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767312000")


async def ended(driver: Driver) -> None:
    """Wait until the worker has come to an end and the screen has settled."""
    for _ in range(6000):
        if getattr(driver.screen, "checks_done", True):
            break
        await asyncio.sleep(0.01)
    await driver.settle()


async def only(driver: Driver, *names: str) -> None:
    """Open the dialog and choose only some sheets."""
    await driver.press("ctrl+p")
    await ended(driver)
    assert isinstance(driver.screen, SheetsScreen)
    await driver.press("f9", "a")
    for name in names:
        place = [choice.name for choice in driver.screen.choices].index(name)
        await driver.press("home", *["down"] * place, " ")
    assert driver.screen.chosen == set(names)


@SIZES
async def test_chosen_sheets_are_written_as_the_command_writes_them(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file, size=size) as driver:
        await only(driver, "bolt", "report")
        assert driver.screen.paper == "A4"
        await driver.press("f5", "f2")
        await ended(driver)
        assert "4 files are in lock-sheets" in driver.words("#told")
        assert "Print at 100 %" in driver.words("#told")
        lock = driver.screen._session.lock
    there = tmp_path / "lock-sheets"
    write_sheets(
        layout_of(lock), tmp_path / "again", day=today(), source=file, paper="Letter",
        only=("bolt", "report"),
    )  # fmt: skip
    names = sorted(path.name for path in there.iterdir())
    assert names == sorted(path.name for path in (tmp_path / "again").iterdir())
    for name in names:
        assert (there / name).read_bytes() == (tmp_path / "again" / name).read_bytes()
    # an independent reader takes the drawing
    assert ezdxf.filemanagement.readfile(there / "lock-bolt.dxf").modelspace().query("LWPOLYLINE")


@pytest.mark.slow
async def test_all_there_is_stands_chosen_at_first_in_both_units(tmp_path: Path) -> None:
    inches = next(p for p in sample_locks() if 'units = "in"' in p.read_text())
    async with program(tmp_path, inches) as driver:
        await driver.press("ctrl+p")
        await ended(driver)
        assert driver.screen.paper == "Letter"
        names = tuple(sheet_titles(layout_of(driver.screen._session.lock)))
        assert driver.screen.chosen == set(names)
        assert "[x] bolt" in driver.words("#sheets")
        await driver.press("f1")
        assert isinstance(driver.screen, Help)
        await driver.press("escape", "escape")
        assert isinstance(driver.screen, WorkScreen)
    assert [path.name for path in tmp_path.iterdir()] == []


async def test_a_file_of_somebody_elses_is_not_written_over_unasked(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        mine = tmp_path / "lock-sheets" / "lock-report.txt"
        mine.parent.mkdir()
        mine.write_text("my own notes\n")
        before = hashlib.sha256(mine.read_bytes()).hexdigest()
        await only(driver, "report")
        for leave in ("enter", "escape"):
            await driver.press("f2")
            await ended(driver)
            assert isinstance(driver.screen, Ask)
            assert "lock-report.txt" in driver.text()
            await driver.press(leave)
            assert "Nothing was written" in driver.words("#told")
            assert hashlib.sha256(mine.read_bytes()).hexdigest() == before
            assert not (mine.parent / LIST).exists()
        await driver.press("f2")
        await ended(driver)
        await driver.press("down", "enter")
        await ended(driver)
        assert "1 file is in lock-sheets" in driver.words("#told")
        assert hashlib.sha256(mine.read_bytes()).hexdigest() != before
        # now it is ours: no question
        await driver.press("f2")
        await ended(driver)
        assert isinstance(driver.screen, SheetsScreen)


@pytest.mark.slow
async def test_a_folder_that_cannot_be_is_refused_in_a_sentence_and_another_is_taken(
    tmp_path: Path,
) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        (tmp_path / "taken").write_text("a file")
        await only(driver, "report")
        await driver.press("up")
        folder = driver.screen.query_one("#folder")
        folder.focus()
        for name, why in (("taken", "file of that name"), ("", "Type the name of a folder")):
            await driver.press("end", "shift+home", "delete", *name, "enter")
            await ended(driver)
            assert isinstance(driver.screen, SheetsScreen)
            assert why in driver.words("#told")
            assert "Traceback" not in driver.text()
        await driver.press(*"good", "enter")
        await ended(driver)
        assert os.listdir(tmp_path / "good")
        await driver.press("f9", "a", "a", "f2")
        assert "at least one sheet" in driver.words("#told")


async def test_esc_stops_between_two_files_and_those_written_are_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = sheets_job.written

    def slowly(order: Order, progress: Callable[[int, int, str], None]) -> Done:
        def told(number: int, count: int, name: str) -> None:
            progress(number, count, name)
            if number == 2:  # the maker presses Esc while the second file is written
                screen._stop.set()

        return real(order, told)

    monkeypatch.setattr(sheets_job, "written", slowly)
    async with program(tmp_path, stored(tmp_path)) as driver:
        await only(driver, "bolt")
        screen = driver.screen
        await driver.press("f2")
        await ended(driver)
        assert "Stopped: 2 of 3 files are written" in driver.words("#told")
    assert len(list((tmp_path / "lock-sheets").glob("lock-*"))) == 2


@pytest.mark.slow
async def test_a_fault_while_writing_is_told_and_the_lock_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(order: Order, progress: Callable[[int, int, str], None]) -> NoReturn:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(sheets_job, "written", fails)
    async with program(tmp_path, stored(tmp_path)) as driver:
        await only(driver, "report")
        await driver.press("f2")
        await ended(driver)
        assert "by nothing" in driver.words("#told")
        assert "fault in this program" in driver.words("#told")
        await driver.press("escape")
        assert isinstance(driver.screen, WorkScreen)
