"""Opening, saving and leaving locks, driven by keys."""

import os
from pathlib import Path

import pytest
from textual.widgets import OptionList

from core.checks.catalogue import catalogue
from core.files.project_file import load
from core.files.recovery import load_recovery, recovery_path, save_recovery
from core.lock.lock import Lock, spec_of
from core.shipped import sample_locks
from tests.sure import sure
from tests.tui_driving import NARROW_BY_DEFAULT, SIZES, WIDE, Driver, program, stored
from tui.start.screen import StartScreen
from tui.widgets.dialogs import Ask, AskName
from tui.widgets.keyed import Help
from tui.work.screen import WorkScreen

GOOD = next(path for path in sample_locks() if path.stem == "boathouse").read_text("utf-8")

pytestmark = pytest.mark.usefixtures("own_folder")


@SIZES
@pytest.mark.first(1)
async def test_from_nothing_to_a_saved_lock_and_back_with_keys_named_on_the_screen(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with program(tmp_path, size=size) as driver:
        assert isinstance(driver.screen, StartScreen)
        start = driver.text()
        assert "New lock in millimetres" in start
        assert "Enter" in start
        while driver.screen.query_one("#locks", OptionList).highlighted != start_row(
            driver, "New lock in mill"
        ):
            await driver.press("down")
        await driver.press("enter")
        assert "F6" in driver.text()
        await driver.press("f6")
        await driver.press("enter")  # a lock is proposed for what is usual, and taken
        assert isinstance(driver.screen, WorkScreen)
        work = driver.text()
        for key in ("Enter", "F1", "F2", "F10"):
            assert key in work
        await driver.type("\n80\n95\n")  # the outline as it is, width, height
        assert (driver.desk.lock.plate.width, driver.desk.lock.plate.height) == (80.0, 95.0)
        await driver.press("f2")
        assert isinstance(driver.screen, AskName)
        await driver.type("first\n")
        assert isinstance(driver.screen, WorkScreen)
        assert not driver.desk.session.dirty
        assert "Saved in first.toml" in driver.words()
        await driver.press("f10")
        assert isinstance(driver.screen, StartScreen)
        assert "first.toml" in driver.text()
    kept = load(tmp_path / "first.toml").lock
    assert (kept.plate.width, kept.plate.height) == (80.0, 95.0)
    async with program(tmp_path, tmp_path / "first.toml", size=size) as driver:
        assert driver.desk.lock == kept
        assert "first.toml" in driver.text()


def start_row(driver: Driver, title: str) -> int:
    """Return the row of the first screen's list that begins with a title."""
    offers = driver.screen._offers
    return next(n for n, offer in enumerate(offers) if offer.title.startswith(title))


@NARROW_BY_DEFAULT
async def test_leaving_asks_about_unsaved_work(tmp_path: Path, size: tuple[int, int]) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file, size=size) as driver:
        await driver.type("\n81")
        await driver.press("f10")  # what is typed counts, although Enter was not pressed
        assert isinstance(driver.screen, Ask)
        await driver.press("escape")
        assert isinstance(driver.screen, WorkScreen)
        await driver.press("ctrl+c")
        assert isinstance(driver.screen, Ask)
        await driver.press("enter")
        assert isinstance(driver.screen, StartScreen)
        assert load(file).lock.plate.width == 81.0
        await driver.press("f10")
    assert not load_recovery(file)


async def test_what_was_taken_back_leaves_no_copy_however_soon_one_leaves(tmp_path: Path) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await driver.type("\n81\n")
        assert load_recovery(file) is not None
        await driver.burst("ctrl+z", "f10")
        assert isinstance(driver.screen, StartScreen)
    assert load_recovery(file) is None


@pytest.mark.slow
async def test_leaving_without_saving_leaves_file_and_no_copy(tmp_path: Path) -> None:
    file = stored(tmp_path)
    before = file.read_bytes()
    async with program(tmp_path, file) as driver:
        await driver.type("\n81\n")
        assert sure(sure(load_recovery(file)).lock).plate.width == 81.0
        await driver.press("f10", "down", "enter")
        assert isinstance(driver.screen, StartScreen)
    assert file.read_bytes() == before
    assert load_recovery(file) is None


@pytest.mark.slow
@pytest.mark.first(1)
async def test_an_accepted_value_is_in_the_recovery_copy_and_is_offered_again(
    tmp_path: Path,
) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await driver.type("\n83\n")
    # the program is gone without a question, as after a power cut
    async with program(tmp_path, file) as driver:
        assert isinstance(driver.screen, Ask)
        await driver.press("enter")
        assert driver.desk.lock.plate.width == 83.0
        assert driver.desk.session.dirty
        await driver.press("f2")
    assert load(file).lock.plate.width == 83.0


@pytest.mark.slow
async def test_unsaved_work_without_a_file_is_on_the_first_screen(tmp_path: Path) -> None:
    save_recovery(Lock().with_value("title", "Half done"), tmp_path)
    async with program(tmp_path) as driver:
        assert "Half done" in driver.text()
        assert "unsaved work" in driver.text()
        await driver.press("enter")
        assert driver.desk.lock.title == "Half done"
        assert driver.desk.session.dirty


@pytest.mark.slow
async def test_a_file_changed_on_the_disk_is_noticed_and_not_written_over_unasked(
    tmp_path: Path,
) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file, size=WIDE) as driver:
        await driver.type("\n84\n")
        text = file.read_text().replace("height = 92.0", "height = 99.0")
        file.write_text(text)
        os.utime(file, ns=(1, 1))
        driver.screen.on_app_focus()
        await driver.settle()
        assert "changed on the disk" in driver.words()
        await driver.press("f2")
        assert isinstance(driver.screen, Ask)
        await driver.press("escape")
        assert file.read_text() == text
        await driver.press("f2", "enter")  # write over it
        assert load(file).lock.plate.width == 84.0
        assert "height = 99.0" in (tmp_path / "lock.toml~").read_text()


@pytest.mark.slow
async def test_the_changed_file_can_be_taken_instead(tmp_path: Path) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await driver.type("\n84\n")
        file.write_text(file.read_text().replace("height = 92.0", "height = 99.0"))
        await driver.press("f2", "down", "down", "enter")
        assert driver.desk.lock.plate.height == 99.0
        assert driver.desk.lock.plate.width == 76.0
        assert not driver.desk.session.dirty
        await driver.press("ctrl+z")
        assert driver.desk.lock.plate.width == 84.0


@pytest.mark.slow
async def test_a_save_that_fails_says_so_and_loses_nothing(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.type("\n84\n")
        driver.screen.desk.session.project.path.unlink()
        (tmp_path / "lock.toml").mkdir()
        await driver.press("f2")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.session.dirty
        await driver.until("lock.toml")


@pytest.mark.slow
async def test_a_file_that_is_no_lock_is_named_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "bad[bold].toml").write_text("[plate]\nwidth = 'wide'\n")
    async with program(tmp_path) as driver:
        assert "cannot be read" in driver.text()
        await driver.press("end", "enter")
        assert isinstance(driver.screen, StartScreen)
        assert "width" in driver.words("#about")


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_a_recovery_copy_that_cannot_be_read_is_told_of_and_kept(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = stored(tmp_path)
    save_recovery(Lock().with_value("plate.width", 84.0), file)
    copy = recovery_path(file)
    half = copy.read_text("utf-8")[:400]
    copy.write_text(half, "utf-8")  # as a power cut may leave it
    async with program(tmp_path, file, size=size) as driver:
        assert isinstance(driver.screen, WorkScreen)
        await driver.type("\n83\n")
        assert sure(sure(load_recovery(file)).lock).plate.width == 83.0
        (note,) = sure(driver.screen.found).findings[-1:]
        assert note.code == "recovery-unreadable"
        assert f"{copy.name}~" in note.text
    assert copy.with_name(f"{copy.name}~").read_text("utf-8") == half


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_what_there_is_to_say_of_a_file_stands_among_the_findings(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = tmp_path / "gate.toml"
    file.write_text(GOOD.replace("\nradius =", "\nradus ="))
    async with program(tmp_path, file, size=size) as driver:
        assert "3 notes" in driver.text().split("\n")[0]
        found = [f for f in driver.screen.found.findings if f.code != "knocked-back"]
        assert [f.code for f in found] == ["default-taken", "unknown-key"]
        assert all("radus" in f.text or "key.radius" in f.text for f in found)
        await driver.press("f6", "down", "enter")
        assert driver.desk.step.name == "key radius"
        await driver.press("f2")
        # saved as it stands: the file still has the strange name in it
        assert [f.code for f in driver.desk.session.notes] == ["default-taken", "unknown-key"]


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_help_on_the_finding_at_the_cursor(tmp_path: Path, size: tuple[int, int]) -> None:
    file = stored(tmp_path, key__radius=36.0)
    async with program(tmp_path, file, size=size) as driver:
        shown = driver.screen.found.findings
        await driver.press("f6", "down", "f1")
        assert isinstance(driver.screen, Help)
        said = driver.words("#help")
        code = catalogue()[shown[1].code]
        assert code.meaning in said
        assert " ".join(shown[1].text.split()) in said
        assert "the lock cannot work so" in said
        await driver.press("escape", "escape", "f1")  # back in the list, then at the prompt
        below = driver.app.screen_stack[-2]
        assert isinstance(below, WorkScreen)
        assert spec_of(below.desk.path).what in driver.words("#help")
