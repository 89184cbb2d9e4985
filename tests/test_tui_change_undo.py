"""Taking back and making again: without limit, by name, byte for byte, and after reloading."""

import hashlib
import tomllib
from pathlib import Path

import pytest

from core.files.history_file import history_path
from core.files.project_file import Project, load, save
from core.lock.lock import Lock
from tests.tui_driving import Driver, program, stored, to_step
from tui.desk.desk import Desk
from tui.desk.saving import keep_history, remembered
from tui.desk.session import Session, opened
from tui.widgets.dialogs import Ask

pytestmark = pytest.mark.usefixtures("own_folder")


async def to_the_key_radius(driver: Driver) -> None:
    """Go to step 5, whose first prompt is the key radius."""
    await driver.press(*to_step("key radius"))
    assert driver.desk.path == "key.radius"


@pytest.mark.slow
async def test_a_change_saved_and_its_undo_saved_leave_the_file_byte_for_byte(
    tmp_path: Path,
) -> None:
    file = stored(tmp_path)
    before = hashlib.sha256(file.read_bytes()).hexdigest()  # SHA-256 of FIPS 180-4, by hashlib
    async with program(tmp_path, file) as driver:
        await to_the_key_radius(driver)
        await driver.type("21.5\n")
        await driver.press("f2")
        assert hashlib.sha256(file.read_bytes()).hexdigest() != before
        await driver.press("ctrl+z")
        assert "Taken back: key radius, now 20.0 mm." in driver.words("#notice")
        await driver.press("f2")
    assert hashlib.sha256(file.read_bytes()).hexdigest() == before


@pytest.mark.slow
async def test_changes_are_taken_back_and_made_again_after_reloading(tmp_path: Path) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await to_the_key_radius(driver)
        await driver.type("21\n4\n")
        await driver.press("ctrl+z", "f2")
    assert load(file).lock.key.bit_thickness == 3.0
    async with program(tmp_path, file) as driver:
        await driver.press("ctrl+y")
        assert driver.desk.lock.key.bit_thickness == 4.0
        assert "Made again: bit thickness, now 4.0 mm." in driver.words("#notice")
        await driver.press("ctrl+z", "ctrl+z")
        assert driver.desk.lock == Lock()
        assert "Taken back: key radius, now 20.0 mm." in driver.words("#notice")
        await driver.press("ctrl+z")
        assert "Nothing to take back" in driver.words("#notice")


@pytest.mark.slow
async def test_a_file_edited_elsewhere_has_no_history_and_says_so(tmp_path: Path) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await to_the_key_radius(driver)
        await driver.type("21\n")
        await driver.press("f2")
    file.write_text(file.read_text().replace("height = 92.0", "height = 95.0"))
    async with program(tmp_path, file) as driver:
        assert "changed elsewhere" in driver.words("#notice")
        await driver.press("ctrl+z")
        assert driver.desk.lock == load(file).lock
        assert driver.desk.lock.plate.height == 95.0


@pytest.mark.slow
async def test_a_damaged_history_is_none_and_never_stands_in_the_way(tmp_path: Path) -> None:
    file = stored(tmp_path)
    history_path(file).write_bytes(b'{"format": 1, "past": [[[')
    async with program(tmp_path, file) as driver:
        assert "is damaged" in driver.words("#notice")
        await to_the_key_radius(driver)
        await driver.type("21\n")
        await driver.press("f2")
        assert "Saved in" in driver.words("#notice")
    assert len(tomllib.loads(history_path(file).read_text())["past"]) == 1


@pytest.mark.slow
async def test_unsaved_work_taken_up_again_is_one_change_on_top_of_those_kept(
    tmp_path: Path,
) -> None:
    file = stored(tmp_path)
    async with program(tmp_path, file) as driver:
        await to_the_key_radius(driver)
        await driver.type("21\n")
        await driver.press("f2")
        await driver.type("5\n")
    # the program is gone without a question, as after a power cut
    async with program(tmp_path, file) as driver:
        assert isinstance(driver.screen, Ask)
        await driver.press("enter")
        assert driver.desk.lock.key.bit_thickness == 5.0
        await driver.press("ctrl+z")
        assert "Taken back: unsaved work taken up again." in driver.words("#notice")
        assert driver.desk.lock == load(file).lock
        await driver.press("ctrl+z")
        assert driver.desk.lock == Lock()


def test_a_long_sitting_is_taken_back_to_its_first_value() -> None:
    desk = Desk(Session()).at_path("key.radius")
    locks = [desk.lock]
    for number in range(1000):
        desk = desk.taken(f"{20 + number / 100:.2f}").at_path("key.radius")
        if desk.lock != locks[-1]:
            locks.append(desk.lock)
    for lock in reversed(locks[:-1]):
        desk = desk.undone()
        assert desk.lock == lock
    for lock in locks[1:]:
        desk = desk.redone()
        assert desk.lock == lock


def test_the_file_of_changes_is_bounded_and_what_is_near_stays(tmp_path: Path) -> None:
    session = opened(save(Project(None, Lock()), tmp_path / "lock.toml"))
    for number in range(3000):
        session = session.changed(
            session.lock.with_value("key.radius", 15 + number / 500), "key.radius"
        )
    session = session.kept(save(session.project.with_lock(session.lock)))
    keep_history(session)
    assert history_path(tmp_path / "lock.toml").stat().st_size < 300_000
    again = remembered(opened(load(tmp_path / "lock.toml")))
    assert not again.beside
    assert 50 < len(again.past) < 3000
    assert again.past == session.past[-len(again.past) :]
