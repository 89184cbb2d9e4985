"""The sheets dialog: choosing, writing with progress, and never losing a file of somebody else's."""

import asyncio
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import ezdxf.filemanagement
import pypdf
import pytest

from core.sheets import printers
from core.sheets.folder import LIST
from core.sheets.paper import today
from core.sheets.write import sheet_titles, write_sheets
from core.shipped import sample_locks
from tests.tui_driving import NARROW_BY_DEFAULT, SIZES, Driver, program, stored
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
        place = [choice.name for choice in driver.screen.state.choices].index(name)
        await driver.press("home", *["down"] * place, " ")
    assert driver.screen.state.chosen == set(names)


@SIZES
@pytest.mark.first(1)
async def test_chosen_sheets_are_written_as_the_command_writes_them(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file, size=size) as driver:
        await only(driver, "bolt", "report")
        assert driver.screen.state.paper == "A4"
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
        assert driver.screen.state.paper == "Letter"
        names = tuple(sheet_titles(layout_of(driver.screen._session.lock)))
        assert driver.screen.state.chosen == set(names)
        assert (
            "[ ] test-page" in driver.words("#sheets")
            or driver.screen.state.choices[-1].name == "test-page"
        )
        assert "[x] bolt" in driver.words("#sheets")
        await driver.press("f1")
        assert isinstance(driver.screen, Help)
        await driver.press("escape", "escape")
        assert isinstance(driver.screen, WorkScreen)
    assert [path.name for path in tmp_path.iterdir()] == []


@pytest.mark.slow
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


@pytest.mark.slow
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


@pytest.mark.slow
async def test_stale_sheets_are_told_in_the_folder_that_is_typed(tmp_path: Path) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await only(driver, "bolt", "back-plate-outside")
        assert driver.screen.state.found == {}
        await driver.press("f2")
        await ended(driver)
        words = driver.screen.state.found
        assert words["bolt"] == words["back-plate-outside"] == ""
        assert words["bit"] == "new"
    longer = file.read_text().replace("radius = 20.0", "radius = 20.5")
    file.write_text(longer)
    async with program(tmp_path, file) as driver:
        await driver.press("ctrl+p")
        await ended(driver)
        # the outside of the back plate knows nothing of the key
        words = driver.screen.state.found
        assert (words["bolt"], words["back-plate-outside"], words["bit"]) == ("stale", "", "new")
        await driver.press("f9", *["down"] * 4)
        assert "stale" in driver.words("#sheets")
        driver.screen.query_one("#folder").value = "elsewhere"
        await driver.settle()
        assert driver.screen.state.found == {}


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_a_cutter_gets_its_files_with_the_kerf_that_is_typed(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("ctrl+p")
        await ended(driver)
        await driver.press("f9", "c")
        await typed(driver, "50")
        assert "takes 0 to 5 mm" in driver.words("#wrong")
        await driver.press("escape")
        assert not driver.screen.state.for_cutter
        await driver.press("f9", "c", "escape")
        assert not driver.screen.state.for_cutter
        await driver.press("f9", "c")
        await typed(driver, "0.2")
        await ended(driver)
        assert driver.screen.state.kerf == 0.2
        assert "kerf 0.2 mm" in driver.words("#paper")
        await driver.press("f9", "a", "home", " ", "f2")
        await ended(driver)
        assert "2 files are in lock-sheets" in driver.words("#told")
        await driver.press("f9", "c")
        await ended(driver)
        assert not driver.screen.state.for_cutter
    there = sorted(path.name for path in (tmp_path / "lock-sheets").iterdir())
    assert there[:2] == ["lock-cutter-back-plate.dxf", "lock-cutter-back-plate.svg"]


@pytest.mark.slow
async def test_a_printed_sheet_is_held_against_the_lock_by_its_mark(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("ctrl+p")
        await ended(driver)
        mark = next(c.mark for c in driver.screen.state.choices if c.name == "bolt")
        other = mark[:-1] + ("2" if mark[-1] != "2" else "3")
        for text, says in (
            (mark.lower(), "Paper and file agree"),
            (other, f"now has the mark {mark}"),
        ):
            await driver.press("f9", "k")
            await typed(driver, text)
            assert says in driver.words("#told")
        await driver.press("f9", "k")
        for text in ("9B", ""):
            await typed(driver, text)
            assert "is no mark of a sheet" in driver.words("#wrong")
        await driver.press("f1")
        assert isinstance(driver.screen, Help)
        await driver.press("escape", "ctrl+c")
        assert isinstance(driver.screen, SheetsScreen)


@pytest.mark.slow
async def test_a_printer_is_measured_and_its_sheets_corrected(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(printers, "own_file", lambda: tmp_path / "own" / "printers.toml")
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("ctrl+p")
        await ended(driver)
        await driver.press("f9", "p")
        assert "No printer was measured so far" in driver.words("#told")
        for wrong, says in (
            ("shop", "Type its name"),
            ("shop; 5; 150", "No bar of ours"),
            ("shop; 500; 150", "No bar of ours"),
            ("shop; 0; 150", "No bar of ours"),
            ("shop; 140; 150", "more than the 3 %"),
            ("; 150; 150", "needs a name"),
        ):
            await driver.press("f9", "m")
            await typed(driver, wrong)
            assert says in driver.words("#wrong")
            await driver.press("escape")
        assert driver.screen.state.printer == ""
        await driver.press("f9", "m")
        await typed(driver, "shop; 149.4; 150.2")
        assert driver.screen.state.printer == "shop"
        assert "shop" in driver.words("#paper")
        await driver.press("f9", "a", "end", " ", "f2")
        await ended(driver)
        assert "1 file is in lock-sheets" in driver.words("#told")
        await driver.press("f9", "p")
        assert driver.screen.state.printer == ""
    pages = pypdf.PdfReader(tmp_path / "lock-sheets" / "printer-test-page.pdf").pages
    assert "Corrected for the printer shop" in " ".join(pages[0].extract_text().split())


async def typed(driver: Driver, text: str) -> None:
    """Type into the line that is asked for, and take it."""
    driver.screen.query_one("#asked").value = text
    await driver.press("enter")
    await driver.settle()
