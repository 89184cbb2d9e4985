"""A new lock from what its maker has: the first page, the proposals, and a sound lock in a few keys."""

from pathlib import Path

import pytest

from core.checks.gathered import findings
from core.layout.layout import Layout
from core.lock.first_lock import first_lock
from core.lock.lock import Lock
from core.propose.first_page import answered, asked_as, following, questions
from core.propose.proposals import proposals
from tests.tui_driving import NARROW_BY_DEFAULT, Driver, program
from tui.begin.screen import BeginScreen
from tui.begin.state import Answers, rows
from tui.work.screen import WorkScreen

pytestmark = pytest.mark.usefixtures("own_folder")


async def first_page(driver: Driver, name: str = "New lock in millimetres") -> None:
    """Go from the list of locks to the first page of a new one."""
    titles = [str(offer.title) for offer in driver.screen._offers]
    await driver.press("home", *["down"] * titles.index(name), "enter")
    assert isinstance(driver.screen, BeginScreen)


async def offered(driver: Driver) -> None:
    """Wait until the proposals are there, or it is said that there are none."""
    for _ in range(400):
        await driver.settle()
        if driver.screen._offered is not None and driver.screen._offered.complete:
            return
    raise AssertionError("nothing was proposed")


async def answer(driver: Driver, **values: str) -> None:
    """Answer questions by the labels that they have, the underscore for a space, and stay at the last of them."""
    for label, text in values.items():
        for _ in range(14):
            if driver.screen.state.spec.label.startswith(label.replace("_", " ")):
                break
            await driver.key("enter")
        else:
            raise AssertionError(label)
        await driver.type(text)


@NARROW_BY_DEFAULT
async def test_a_sound_lock_in_a_few_keys(tmp_path: Path, size: tuple[int, int]) -> None:
    async with program(tmp_path, size=size) as driver:
        await first_page(driver)
        assert "shackle end, left" in driver.text()
        await answer(driver, title="Hut padlock", outline="o", width="70")
        await driver.key("f6")
        await offered(driver)
        assert "to spare at" in driver.text()
        await driver.press("down", "up", "enter")  # a look at another, and the first is taken
        assert isinstance(driver.screen, WorkScreen)
        lock = driver.desk.lock
        assert (lock.title, lock.plate.outline, lock.plate.width) == ("Hut padlock", "oval", 70.0)
        assert not [f for f in findings(Layout(lock)) if f.level == "stop"]
        assert "proposed, not seen yet" in driver.words("#head")
        assert "?2 pivot" in driver.text()
        await driver.press("f4")
        for _ in driver.desk.step.asked(lock):
            await driver.key("enter")  # taken as it is: its own from now on
        await driver.settle()
        assert "+2 pivot" in driver.text()
        assert "?4 bolt line" in driver.text()
        assert driver.desk.lock == lock


async def test_a_plate_too_small_says_so(tmp_path: Path) -> None:
    async with program(tmp_path) as driver:
        await first_page(driver)
        await answer(driver, width="38", height="30")
        await driver.press("f6")
        await offered(driver)
        said = " ".join(driver.text().replace("│", " ").split())
        assert "What falls first" in said
        await driver.press("escape")
        assert not isinstance(driver.screen, BeginScreen)


@pytest.mark.slow
async def test_inches_and_the_way_back(tmp_path: Path) -> None:
    async with program(tmp_path) as driver:
        await first_page(driver, "New lock in inches")
        assert " mm" not in driver.text()
        await driver.press("f6")
        await offered(driver)
        assert " mm" not in driver.text()
        await driver.press("escape", "escape")
        assert not isinstance(driver.screen, BeginScreen)


def test_what_is_not_answered_follows() -> None:
    lock = following(first_lock("mm"), ())
    wide = answered(lock, "plate.width", 60.0, ())
    assert wide.plate.height == 72.0
    assert abs(wide.shackle.across) == 60 / 2 - 4 - 3.5 - 2.5
    typed = answered(wide, "plate.height", 65.0, {"plate.width"})
    assert answered(typed, "plate.width", 90.0, {"plate.height"}).plate.height == 65.0


def test_the_side_mirrors_the_lock() -> None:
    lock = answered(first_lock("mm"), "shackle.across", 25.0, ())
    assert lock.shackle.across == -25.0
    other = answered(lock, "unlocks", "left", {"shackle.across"})
    assert other.shackle.across == 25.0
    assert asked_as(other, "shackle.across").label == "shackle end, right"


def test_units_keep_what_was_typed() -> None:
    lock = answered(first_lock("mm"), "plate.width", 88.9, ())
    inch = answered(lock, "units", "in", {"plate.width"})
    assert inch.units == "in"
    assert inch.plate.width == 88.9
    assert inch.key.radius == first_lock("in").key.radius


def test_the_makers_own_limits_are_asked_for() -> None:
    page = Answers(following(first_lock("mm"), ())).at_path("fit.metal_min").taken("1.6")
    assert page.lock.fit.metal_min == 1.6
    page = page.at_path("fit.key_max")
    assert (page.spec.label, page.text) == ("largest key", "0")
    assert rows(page)[-1].beside == "any"
    limited = page.taken("16")
    assert limited.lock.fit.key_max == 16.0
    assert limited.at_path("units").picked("in").lock.fit.key_max == 16.0
    assert limited.at_path("units").picked("in").at_path("fit.key_max").text == "0.6299"
    assert limited.taken("0").lock == page.lock


@pytest.mark.slow
@pytest.mark.parametrize("width", [64.0, 76.0, 90.0])
def test_no_proposal_goes_beyond_the_makers_own_limits(width: float) -> None:
    lock = answered(following(first_lock("mm"), ()), "plate.width", width, ())
    free = proposals(lock).found
    least, radii = 1.8, [one.lock.key.radius for one in free]
    most = round(sum(radii) / len(radii), 1)
    assert any(one.lock.front_guide.floor < least for one in free)
    assert max(radii) > most
    limited = proposals(
        lock.with_value("fit.metal_min", least).with_value("fit.key_max", most)
    ).found
    for one in limited:
        assert one.lock.key.radius <= most
        for path in (
            "bolt.nose_height", "bolt.tail_height", "bolt.lobe_width", "front_guide.width", "front_guide.floor",
            "rear_guide.width", "rear_guide.floor",
        ):  # fmt: skip
            assert one.lock.value(path) >= least
        assert not [f for f in findings(Layout(one.lock)) if f.level == "stop"]
    assert limited


@pytest.mark.parametrize("outline", ["round", "oval", "rectangle", "shield", "lobed"])
@pytest.mark.first(2)
def test_every_outline_asks_for_its_own_sizes_and_gets_a_lock(outline: str) -> None:
    lock = answered(following(first_lock("mm"), ()), "plate.outline", outline, ())
    asked = questions(lock)
    assert ("plate.height" in asked) == (outline != "round")
    assert ("plate.lobe" in asked) == (outline == "lobed")
    assert all(lock.has(path) for path in asked)
    assert proposals(lock).found


def test_the_first_page_asks_for_what_the_maker_has() -> None:
    asked = questions(Lock())
    assert asked[:4] == ("title", "units", "unlocks", "plate.outline")
    assert {"shackle.diameter", "shackle.across", "bolt.thickness"} <= set(asked)
