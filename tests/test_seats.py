"""Sessions of several programs at once: who saves, whose copy is whose, and what is told."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from core.errors import SaveError
from core.files import claims
from core.files.claims import beside, claim, give_back
from core.files.project_file import Project, load, save
from core.files.recovery import Typed, load_recoveries, load_recovery, recovery_path, save_recovery
from core.lock.lock import Lock
from tests.sure import sure
from tests.tui_driving import WIDE, program, stored
from tui.desk import saving
from tui.desk.session import Session, opened
from tui.start.screen import StartScreen
from tui.widgets.dialogs import Ask
from tui.work.screen import WorkScreen
from tui.work.step_panel import StepPanel

pytestmark = pytest.mark.usefixtures("own_folder")
ROOT = Path(__file__).parents[1]

OTHER = """
import pathlib, sys
from core.files.project_file import Project, load
from core.lock.lock import Lock
from tui.desk import saving
from tui.desk.session import Session, opened
session = opened(load(pathlib.Path(sys.argv[1]))) if len(sys.argv) > 1 else Session()
session, first = saving.seated(session)
session = session.changed(session.lock.with_value("title", "Theirs"), "title")
saving.keep_copy(session)
print(first, session.seat, flush=True)
sys.stdin.readline()
"""


Start = Callable[..., tuple[subprocess.Popen[str], bool, str]]
"""Starts another program: the process, whether it is the first at its file, and its seat."""


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Start]:
    """Start another program on a lock; it has unsaved work, and is killed in the end."""
    started = []

    def start(*words: Any) -> tuple[subprocess.Popen[str], bool, str]:
        process = subprocess.Popen(
            [sys.executable, "-c", OTHER, *map(str, words)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=tmp_path,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        started.append(process)
        first, _, seat = sure(process.stdout).readline().strip().partition(" ")
        return process, first == "True", seat

    yield start
    for process in started:
        with process:
            process.kill()


@pytest.fixture(autouse=True)
def nothing_held() -> Iterator[None]:
    yield
    assert claims._claims == {}


def test_two_unsaved_locks_in_one_folder_do_not_share_a_copy(tmp_path: Path, other: Start) -> None:
    _, _, theirs = other()
    mine, first = saving.seated(Session())
    assert first
    assert mine.seat != theirs
    saving.keep_copy(mine.changed(mine.lock.with_value("title", "Mine"), "title"))
    assert {sure(c.lock).title for c in load_recoveries(tmp_path)} == {"Mine", "Theirs"}
    assert saving.left_behind(Path()) == ()  # both are being worked on
    saving.stand_up(mine)
    assert [sure(c.lock).title for c in saving.left_behind(Path())] == ["Mine"]


def test_the_second_program_at_a_file_has_a_copy_of_its_own(tmp_path: Path, other: Start) -> None:
    path = stored(tmp_path)
    process, first, theirs = other(path)
    assert (first, theirs) == (True, "")
    mine, first = saving.seated(opened(load(path)))
    assert not first
    assert mine.seat
    saving.keep_copy(mine.changed(mine.lock.with_value("title", "Mine"), "title"))
    assert {sure(c.lock).title for c in load_recoveries(path)} == {"Mine", "Theirs"}
    process.kill()
    process.wait()
    assert [sure(c.lock).title for c in saving.left_behind(path)] == ["Theirs"]
    saving.stand_up(mine)
    assert len(saving.left_behind(path)) == 2


async def test_the_second_program_says_so(tmp_path: Path, other: Start) -> None:
    path = stored(tmp_path)
    other(path)
    async with program(tmp_path, path) as driver:
        assert isinstance(driver.screen, WorkScreen)  # their unsaved work is not offered here
        assert "open in another window" in driver.words()
        await driver.type("\n81\n")
        assert {sure(c.lock).title for c in load_recoveries(path)} == {"Theirs", Lock().title}
        await driver.press("f2")
    assert [sure(c.lock).title for c in load_recoveries(path)] == ["Theirs"]


@pytest.mark.slow
async def test_leaving_a_lock_lets_others_have_it(tmp_path: Path) -> None:
    path = stored(tmp_path)
    async with program(tmp_path, path) as driver:
        assert beside(path, "open").exists()
        assert "open in another" not in driver.words()
        await driver.press("f10")
        assert isinstance(driver.screen, StartScreen)
        assert not beside(path, "open").exists()
        await driver.press("enter")
        assert isinstance(driver.screen, WorkScreen)
        assert beside(path, "open").exists()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["lock.toml"]


@pytest.mark.slow
async def test_every_copy_is_offered_and_one_that_is_not_taken_stays(tmp_path: Path) -> None:
    path = stored(tmp_path)
    for title, seat, time in (("One", "", 10), ("Two", "00000002", 20)):
        save_recovery(Lock(title=title), path, seat=seat)
        os.utime(recovery_path(path, seat), (time, time))
    async with program(tmp_path, path) as driver:
        assert isinstance(driver.screen, Ask)
        await driver.press("down", "enter")
        assert driver.desk.lock.title == "One"
        await driver.press("f2")
    assert [sure(c.lock).title for c in load_recoveries(path)] == ["Two"]
    assert load(path).lock.title == "One"


@pytest.mark.slow
async def test_a_copy_that_cannot_be_read_is_told_and_set_aside_as_it_is(tmp_path: Path) -> None:
    path = stored(tmp_path)
    save_recovery(Lock(title="Lost"), path)
    spoilt = recovery_path(path).read_bytes()[:-40]
    recovery_path(path).write_bytes(spoilt)
    async with program(tmp_path, path) as driver:
        assert "recovery copy that cannot be read" in driver.words()
        await driver.type("\n81\n")
        assert sure(sure(load_recovery(path)).lock).plate.width == 81.0
        await driver.press("f2")
    aside = recovery_path(path).with_name(f"{recovery_path(path).name}~")
    assert aside.read_bytes() == spoilt
    assert load_recovery(path) is None


def test_every_copy_that_cannot_be_read_is_set_aside(tmp_path: Path) -> None:
    path = stored(tmp_path)
    for seat in ("", "0000000a"):
        recovery_path(path, seat).write_bytes(b"cut sho")
    session = saving.remembered(opened(load(path)))
    assert len(session.beside) == 2
    assert load_recoveries(path) == ()
    assert len([p for p in tmp_path.iterdir() if p.name.endswith(".recovery~")]) == 2


@pytest.mark.slow
async def test_unsaved_work_that_another_program_takes_up_is_not_shared(
    tmp_path: Path, other: Start
) -> None:
    save_recovery(Lock(title="Half done"), tmp_path, seat="0000000a")
    async with program(tmp_path) as driver:
        assert "Half done" in driver.text()
        opener = "import sys; from core.files.claims import claim; from pathlib import Path; "
        with subprocess.Popen(
            [sys.executable, "-c", f"{opener}print(claim(Path(sys.argv[1])), flush=True); input()",
             str(beside(tmp_path, "open", "0000000a"))],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT,
        ) as process:  # fmt: skip
            assert sure(process.stdout).readline() == "True\n"
            await driver.press("enter")
            assert "open in another window" in driver.words()
            assert driver.desk.session.seat != "0000000a"
            process.kill()


# what is typed and not entered


@pytest.mark.parametrize(
    ("typed", "width", "said"),
    [("81", 81.0, "look whether it is meant"), ("8x", 76.0, "Enter takes it")],
)
@pytest.mark.slow
async def test_what_is_typed_and_not_entered_is_kept_and_shown_again(
    tmp_path: Path, typed: str, width: float, said: str
) -> None:
    path = stored(tmp_path)
    async with program(tmp_path, path) as driver:
        await driver.type(f"\n{typed}")
        driver.app._stopped(15)
        copy = load_recovery(path)
        assert (sure(sure(copy).lock).plate.width, sure(copy).typed) == (
            width,
            Typed("plate.width", typed),
        )
    assert driver.app.return_code == 143
    async with program(tmp_path, path) as driver:
        await driver.press("enter")
        assert driver.desk.path == "plate.width"
        assert driver.desk.lock.plate.width == width
        assert driver.screen.query_one(StepPanel).entry.value == typed
        assert said in driver.words()


@pytest.mark.slow
async def test_what_is_tried_in_the_change_view_is_kept_but_not_taken(tmp_path: Path) -> None:
    path = stored(tmp_path)
    async with program(tmp_path, path) as driver:
        await driver.press("enter", "ctrl+n")
        await driver.type("83")
        driver.app._stopped(1)
        copy = load_recovery(path)
        assert (sure(sure(copy).lock).plate.width, sure(copy).typed) == (
            76.0,
            Typed("plate.width", "83"),
        )
    async with program(tmp_path, path) as driver:
        await driver.press("enter")
        assert driver.desk.lock.plate.width == 76.0
        await driver.press("enter")
        assert driver.desk.lock.plate.width == 83.0


@pytest.mark.slow
async def test_nothing_typed_leaves_no_copy(tmp_path: Path) -> None:
    path = stored(tmp_path)
    async with program(tmp_path, path) as driver:
        driver.app._stopped(2)
    assert driver.app.return_code == 130
    assert load_recovery(path) is None
    assert sorted(p.name for p in tmp_path.iterdir()) == ["lock.toml"]


# saved is saved


@pytest.mark.slow
async def test_a_folder_that_cannot_be_synced_is_a_note_on_a_saved_lock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = stored(tmp_path)
    monkeypatch.setattr("core.files.safe_save._sync_folder", lambda _: "Input/output error")
    async with program(tmp_path, path, size=WIDE) as driver:
        await driver.type("\n81\n")
        await driver.press("f2")
        assert not driver.desk.session.dirty
        assert "is saved, but its folder could not be put on the disk for sure" in driver.words()
        assert any("folder could not be put" in f.text for f in driver.screen.found.findings)
        await driver.type("99\n")
        monkeypatch.undo()
        await driver.press("f2")
        assert "changed on the disk" not in driver.text()
        assert "could not be put on the disk" not in driver.text()
    assert load(path).lock.plate.height == 99.0


def test_a_copy_that_cannot_go_is_news_of_a_saved_lock(tmp_path: Path) -> None:
    path = stored(tmp_path)
    session, _ = saving.seated(opened(load(path)))
    changed = session.changed(session.lock.with_value("plate.width", 81.0), "plate.width")
    recovery_path(path).mkdir()
    done, news = saving.saved(changed)
    assert "still there" in news
    assert not done.dirty
    again, _ = saving.saved(done.changed(done.lock.with_value("plate.width", 82.0), "plate.width"))
    assert load(path).lock.plate.width == 82.0
    saving.stand_up(again)


def test_saving_under_another_name_takes_its_seat_and_touches_no_other_copy(tmp_path: Path) -> None:
    path, there = stored(tmp_path), stored(tmp_path, "there.toml")
    save_recovery(Lock(title="Unsaved there"), there)
    session, _ = saving.seated(opened(load(path)))
    done, _ = saving.saved(session, there, over=True)
    assert sure(sure(load_recovery(there)).lock).title == "Unsaved there"
    assert not beside(path, "open").exists()
    assert beside(there, "open").exists()
    saving.keep_copy(done.changed(done.lock.with_value("title", "Mine"), "title"))
    assert {sure(c.lock).title for c in load_recoveries(there)} == {"Unsaved there", "Mine"}
    saving.stand_up(done)


def test_a_copy_that_holds_no_more_than_the_file_is_in_nobodys_way(tmp_path: Path) -> None:
    path = stored(tmp_path)
    save_recovery(load(path).lock, path)
    session, _ = saving.seated(opened(load(path)))
    assert session.seat == ""
    saving.stand_up(session)


def test_what_cannot_be_saved_keeps_its_copy(tmp_path: Path) -> None:
    path = stored(tmp_path)
    session, _ = saving.seated(opened(load(path)))
    changed = session.changed(session.lock.with_value("plate.width", 81.0), "plate.width")
    saving.keep_copy(changed)
    path.unlink()
    path.mkdir()
    with pytest.raises(SaveError):
        saving.saved(changed)
    path.rmdir()
    assert sure(sure(load_recovery(path)).lock).plate.width == 81.0
    saving.stand_up(changed)


def test_a_file_changed_by_hand_is_told_at_opening(tmp_path: Path) -> None:
    path = save(Project(None, Lock()), tmp_path / "lock.toml").path
    sure(path).write_text(sure(path).read_text().replace("radius = 20.0", "radius = 20.5"))
    (note,) = opened(load(sure(path))).notes
    assert note.code == "changed-outside"
    assert Session().notes == ()
    assert claim(beside(sure(path), "open"))
    give_back(beside(sure(path), "open"))
    assert replace(Session(), seat="a") == Session()
