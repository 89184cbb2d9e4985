"""The guided first lock, from a clone in which nothing is kept yet, by keys alone."""

import math
from pathlib import Path

import pytest

from core.checks.gathered import findings
from core.files.project_file import load
from core.layout.layout import Layout
from tests.tui_driving import NARROW, NARROW_BY_DEFAULT, Driver, program, stored, to_step
from tui.start.screen import StartScreen
from tui.steps.walk import all_steps
from tui.work.guide import told
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")

ORDER = ["plate", "pivot", "centreline", "bolt line", "key radius", "tooth", "rear guide"]
WIDTH, BELOW, RADIUS, GAP = 80.0, 55.0, 20.5, 1.6


def guide(driver: Driver) -> str:
    """Return what the guide says on the screen, as words."""
    shown = driver.screen.query_one("#guide")
    return driver.words("#guide") if shown.display else ""


def test_the_guide_speaks_in_the_seven_steps_of_the_mock_up_and_nowhere_else() -> None:
    assert [step.name for step in all_steps() if step.guide] == ORDER
    assert [step.name for step in all_steps()[: len(ORDER)]] == ORDER
    for step in all_steps():
        for part in (step.guide.decided, step.guide.why, step.guide.look) if step.guide else ():
            assert part.endswith(".")
            assert part[0].islower()


@NARROW_BY_DEFAULT
async def test_a_guided_first_lock_from_a_fresh_clone_by_keys_alone(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "a clone"\n', encoding="utf-8")
    async with program(tmp_path, size=size) as driver:
        assert isinstance(driver.screen, StartScreen)
        first = driver.text()
        assert here(driver) == 0
        assert (
            "demo" in driver.screen._offers[0].beside
        )  # not the clone's own TOML, which is no lock
        for offered in ("Boathouse padlock", "New lock in millimetres", "Guided first lock"):
            assert offered in first
        while "Guided" not in driver.screen._offers[here(driver)].title:
            await driver.press("down")
        await driver.press("enter")
        assert "What do you measure in?" in driver.text()
        await driver.press("enter")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.units == "mm"
        for name in ORDER:
            step = driver.desk.step
            assert step.name == name
            assert step.guide is not None
            said = guide(driver)
            assert " ".join(told(step.guide).plain.split()) in said
            assert "Alt+G" in said
            listed = driver.words("#steps")
            assert "rear guide" in listed
            assert "spread" not in listed
            while driver.desk.step is step:
                # the prompt at hand is in sight, below what the guide says
                assert driver.screen.entry.region.height == 1
                assert driver.screen.query_one("#panel").region.contains_region(
                    driver.screen.entry.region
                )
                typed = {
                    "plate.width": WIDTH, "pivot.below": BELOW, "key.radius": RADIUS, "shackle.gap": GAP,
                }.get(driver.desk.path)  # fmt: skip
                await driver.type(f"{typed}\n" if typed else "\n")
        assert driver.desk.step.name == "front guide"
        assert not driver.desk.guided
        assert guide(driver) == ""
        assert "spread" in driver.words("#steps")
        assert "Those were the seven steps" in driver.words("#panel")
        await driver.press("f5")
        await driver.press("escape", "f2")
        await driver.type("first\n")
        assert "Saved in first.toml" in driver.words()
        await driver.press("f10")
        assert isinstance(driver.screen, StartScreen)
        assert "first.toml" in driver.text()
    lock = load(tmp_path / "first.toml").lock
    made = (lock.plate.width, lock.pivot.below, lock.key.radius, lock.shackle.gap)
    assert all(map(math.isclose, made, (WIDTH, BELOW, RADIUS, GAP)))
    assert not [found for found in findings(Layout(lock)) if found.level == "stop"]


def here(driver: Driver) -> int:
    """Return the number of the offer at the cursor of the first screen."""
    number: int = driver.screen.query_one("#locks").highlighted
    return number


async def test_it_can_be_begun_in_inches_or_not_at_all(tmp_path: Path) -> None:
    async with program(tmp_path, size=NARROW) as driver:
        while "Guided" not in driver.screen._offers[here(driver)].title:
            await driver.press("down")
        await driver.press("enter", "escape")
        assert isinstance(driver.screen, StartScreen)
        await driver.press("enter", "down", "enter")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.units == "in"
        assert "Decided here" in guide(driver)


@pytest.mark.slow
async def test_the_guide_is_put_away_and_called_and_the_lock_stays(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=NARROW) as driver:
        lock = driver.desk.lock
        assert guide(driver) == ""
        await driver.press("enter", *"81", "alt+g")
        assert "Decided here" in guide(driver)
        assert driver.desk.lock == lock.with_value("plate.width", 81.0)
        await driver.press("f9", "7", "enter")
        assert driver.desk.step.name == "rear guide"
        assert "the less the bolt can tilt" in guide(driver)
        await driver.press("alt+g")
        assert guide(driver) == ""
        assert driver.desk.step.name == "rear guide"
        await driver.press(*to_step("friction"), "alt+g")
        assert "Only the first steps are explained" in driver.words("#panel")
        await driver.press("f9", "1", "enter")
        assert "the outline of both plates" in guide(driver)
        assert driver.desk.lock == lock.with_value("plate.width", 81.0)
