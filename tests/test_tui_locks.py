"""The list of locks: how each stands, sorting, and what can be done with a lock as a whole."""

import os
from pathlib import Path

import pytest

from core.files.moving import move
from core.files.project_file import load
from core.files.recent import recent
from core.files.recovery import load_recovery, save_recovery
from tests.sure import sure
from tests.tui_driving import NARROW, NARROW_BY_DEFAULT, Driver, program, stored
from tui.start.filling import Filled
from tui.start.screen import StartScreen
from tui.start.shelf import AT_ONCE
from tui.widgets.dialogs import Ask, AskName
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")

FOULS = {"key__radius": 25.0}


def files(driver: Driver) -> list[str]:
    """Return the names of the files that the list shows, in order."""
    return [offer.path.name for offer in driver.screen._offers if offer.path is not None]


def three(folder: Path) -> None:
    """Save three locks, of which the second is changed last and stops, and a file that is no lock."""
    for number, (name, values) in enumerate({"a": {}, "b": FOULS, "c": {}}.items()):
        path = stored(folder, f"{name}.toml", title=f"lock {name}", **values)
        os.utime(path, (1_500_000_000 + (number == 1) * 10**8 + number,) * 2)
    (folder / "other.toml").write_text("[tool]\n")


@NARROW_BY_DEFAULT
async def test_each_lock_has_its_state_its_file_and_its_last_change(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    three(tmp_path)
    async with program(tmp_path, size=size) as driver:
        words = driver.words("#locks")
        assert "lock a sound, a.toml, 14 Jul 2017" in words
        assert "lock c sound, c.toml, 14 Jul 2017" in words
        stops = driver.screen._offers[1].stops
        assert stops
        assert f"lock b {stops} stop" in words
        assert "b.toml, 13 Sep 2020" in words
        assert files(driver) == ["a.toml", "b.toml", "c.toml", "other.toml"]
        await driver.press("end")
        assert "other.toml cannot be read, other.toml" in driver.words("#locks")
        assert "it has none of the keys of a lock in it" in driver.words("#about")


async def test_locks_are_sorted_by_name_change_and_state_and_the_cursor_stays_on_its_lock(
    tmp_path: Path,
) -> None:
    three(tmp_path)
    async with program(tmp_path, size=NARROW) as driver:
        await driver.press("end", "home", "s")
        assert files(driver) == ["b.toml", "c.toml", "a.toml", "other.toml"]
        assert "Sorted by last change" in driver.words("#about")
        assert driver.screen._offers[driver.screen._here].path.name == "a.toml"
        await driver.press("s")
        assert files(driver) == ["b.toml", "a.toml", "c.toml", "other.toml"]
        await driver.press("S")
        assert files(driver) == ["a.toml", "b.toml", "c.toml", "other.toml"]
        assert driver.screen._offers[driver.screen._here].path.name == "a.toml"


async def test_rows_come_first_and_are_filled_in_after(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(AT_ONCE + 4):
        stored(tmp_path, f"{number:02}.toml", title=f"lock {number:02}")
    read: list[int] = []

    def counted(path: Path) -> object:
        read.append(1)
        return load(path)

    monkeypatch.setattr("tui.start.shelf.load", counted)
    monkeypatch.setattr("tui.start.screen.filled", lambda offers: iter((Filled(offers, True),)))
    async with program(tmp_path, size=NARROW) as driver:
        shown = driver.screen._offers
        assert [offer.title for offer in shown[: AT_ONCE + 4]] == [
            *(f"lock {number:02}" for number in range(AT_ONCE)),
            *(f"{number:02}.toml" for number in range(AT_ONCE, AT_ONCE + 4)),
        ]
        before = len(read)
        await driver.press(*["down"] * (AT_ONCE + 1))
        assert len(read) == before + 2  # those that the cursor came to
        await driver.press("enter")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.lock.title == f"lock {AT_ONCE + 1:02}"


@pytest.mark.slow
@NARROW_BY_DEFAULT
async def test_a_lock_is_renamed_copied_and_moved_with_its_unsaved_work(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    path = stored(tmp_path, title="mine")
    save_recovery(sure(load(path).lock).with_value("key.radius", 19.0), path)
    async with program(tmp_path, size=size) as driver:
        await driver.press("r")
        assert "Another name for lock.toml" in driver.text()
        await driver.type("best\n")
        assert files(driver) == ["best.toml"]
        assert "lock.toml is called best.toml now." in driver.words("#about")
        await driver.press("c", "enter")
        assert files(driver) == ["best.toml", "best_copy.toml"]
        assert "best.toml was copied to best_copy.toml." in driver.words("#about")
        await driver.press("home", "m", "enter")
        assert files(driver)[:2] == ["best_copy.toml", "best.toml"]  # in another folder by now
        assert "best.toml in" in driver.words("#locks")
        moved = tmp_path / "kept" / "best.toml"
        assert recent()[0] == moved
        assert sure(load_recovery(moved)).lock == load(moved).lock.with_value("key.radius", 19.0)
        await driver.press("home", "m")
        await driver.type("kept\n")
        await driver.press("r")
        await driver.type("best\n")
        assert "there is a file best.toml already" in driver.words("#wrong")
        await driver.press("escape")
        assert isinstance(driver.screen, StartScreen)
    assert (tmp_path / "kept" / "best_copy.toml").exists()


async def test_what_is_in_no_file_has_no_name_to_change(tmp_path: Path) -> None:
    async with program(tmp_path, size=NARROW) as driver:
        for key in "rcm":
            await driver.press(key)
            assert isinstance(driver.screen, StartScreen)
            assert "That is for locks in a file" in driver.words("#about")


async def test_a_lock_is_saved_under_another_name(tmp_path: Path) -> None:
    path = stored(tmp_path, title="mine")
    before = path.read_bytes()
    async with program(tmp_path, path, size=NARROW) as driver:
        await driver.press("enter", *"81", "alt+s")
        assert isinstance(driver.screen, AskName)
        await driver.type("second\n")
        assert "Saved in second.toml" in driver.words()
        assert driver.desk.session.project.path == Path("second.toml")
    assert path.read_bytes() == before
    assert load(tmp_path / "second.toml").lock.plate.width == 81.0


@pytest.mark.slow
async def test_locks_of_other_folders_are_offered_where_they_were_worked_on(tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    path = stored(other, "far.toml", title="far away")
    async with program(other, path, size=NARROW) as driver:
        await driver.press("f10")
    async with program(tmp_path, size=NARROW) as driver:
        assert f"far away sound, far.toml in {other}"[:30] in driver.words("#locks")
        await driver.press("enter")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.lock.title == "far away"
    move(path, tmp_path / "near.toml")
    async with program(tmp_path, size=NARROW) as driver:
        assert files(driver) == ["near.toml"]


async def test_under_a_lock_that_is_asked_for_the_list_is_filled_when_it_is_come_back_to(
    tmp_path: Path,
) -> None:
    three(tmp_path)
    async with program(tmp_path, tmp_path / "a.toml") as driver:
        work = driver.screen
        start = driver.app.screen_stack[1]
        assert isinstance(work, WorkScreen)
        assert isinstance(start, StartScreen)
        assert start._offers == ()
        await driver.press("ctrl+q")
        assert driver.screen is start
        assert files(driver) == ["a.toml", "b.toml", "c.toml", "other.toml"]
        assert "lock b" in driver.words("#locks")


async def test_behind_a_question_at_the_start_the_list_is_filled(tmp_path: Path) -> None:
    three(tmp_path)
    path = tmp_path / "a.toml"
    save_recovery(load(path).lock.with_value("key.radius", 19.5), path)
    async with program(tmp_path, path) as driver:
        assert isinstance(driver.screen, Ask)
        start = driver.app.screen_stack[1]
        assert isinstance(start, StartScreen)
        assert len(start._offers) > 3
        await driver.press("end", "enter")
        assert driver.app.screen is start
        assert files(driver) == ["a.toml", "b.toml", "c.toml", "other.toml"]
