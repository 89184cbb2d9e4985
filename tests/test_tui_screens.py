"""Prompts, steps, findings and help, driven by keys at the sizes that people have."""

from pathlib import Path

import pytest

from core.lock.lock import Lock, spec_of
from tests.sure import sure
from tests.tui_driving import NARROW_BY_DEFAULT, SIZES, WIDE, program, stored, to_step
from tui.steps.walk import all_steps
from tui.widgets.desk_text import practised
from tui.widgets.drawing_view import Drawing
from tui.widgets.keyed import Help
from tui.widgets.lists import FindingList

pytestmark = pytest.mark.usefixtures("own_folder")


@pytest.mark.slow
async def test_enter_alone_leads_through_every_step(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        for step in all_steps():
            assert driver.desk.step is step
            assert step.title in driver.words("#head")
            await driver.burst(*["enter"] * (len(step.asked(driver.desk.lock)) or 1))
        assert "Nothing stops the lock" in driver.words()
        assert not driver.desk.session.dirty


@SIZES
@pytest.mark.first(1)
async def test_the_end_of_the_walk_says_what_stops_and_enter_goes_there(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=26.0), size=size) as driver:
        driver.screen.set_desk(driver.desk.at_step(len(all_steps()) - 1).back())
        await driver.settle()
        driver.screen.set_desk(
            driver.desk.on().at_path(all_steps()[-1].asked(driver.desk.lock)[-1])
        )
        await driver.press("enter")
        stops = [f for f in driver.screen.found.findings if f.level == "stop"]
        words = driver.words()
        assert "What still stops the lock" in words
        assert all(finding.step in words for finding in stops)
        await driver.press("enter")
        assert driver.desk.step.name == stops[0].step
        assert sure(driver.app.focused).id == "entry"


@pytest.mark.slow
@pytest.mark.parametrize("shape", spec_of("plate.outline").choices)
async def test_a_word_typed_in_full_and_what_follows_each_come_to_their_own_prompt(
    tmp_path: Path, shape: str
) -> None:
    async with program(tmp_path, stored(tmp_path, plate__outline="round")) as driver:
        await driver.type(f"{shape}\n71\n")
        lock = driver.desk.lock
        assert lock.plate.outline == shape
        assert shape == "traced" or lock.plate.width == 71.0
        assert lock.plate.rim == Lock().plate.rim


@pytest.mark.slow
async def test_what_is_no_choice_is_refused_and_does_not_go_on(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.type("70\n")
        assert driver.desk.path == "plate.outline"
        assert "It stays shield" in driver.words()
        await driver.type("R\n")  # a capital picks as its small letter does
        assert driver.desk.path == "plate.width"
        assert driver.desk.lock.plate.outline == "round"


@pytest.mark.slow
async def test_after_saving_the_next_value_takes_the_place_of_the_old_one(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.type("\n71")
        await driver.press("f2")
        await driver.type("72\n")
        assert driver.desk.lock.plate.width == 72.0


@pytest.mark.slow
async def test_a_lock_never_saved_is_not_said_to_be_changed_since(tmp_path: Path) -> None:
    async with program(tmp_path) as driver:
        await driver.press("enter", "enter", "up")
        title = driver.rows()[0]
        assert "since saved" not in title
        assert "not saved yet" in title


@NARROW_BY_DEFAULT
async def test_a_prompt_shows_value_unit_and_what_fits(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        assert driver.desk.path == "key.radius"
        words, window = driver.words(), driver.screen.found.windows["key.radius"]
        assert "fits" in words
        assert f"least: {window.low.by}" in words
        assert f"most: {window.high.by}" in words
        assert "●" in driver.text()
        assert "20.0 mm" in driver.text()


async def test_a_bad_entry_says_what_is_allowed_and_the_last_good_lock_stays(
    tmp_path: Path,
) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        before = driver.desk.lock
        picture = driver.screen.query_one(Drawing).picture.rows
        await driver.type("banana\n")
        assert driver.desk.lock == before
        assert driver.desk.path == "key.radius"
        assert "is no length" in driver.words()
        assert driver.screen.query_one("#entry").value == "banana"
        assert driver.screen.query_one(Drawing).picture.rows == picture
        await driver.press("escape")
        assert driver.screen.query_one("#entry").value == "20"
        assert "is no length" not in driver.words()


@pytest.mark.slow
async def test_a_value_outside_its_window_is_taken_and_its_consequence_told(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=WIDE) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        window = driver.screen.found.windows["key.radius"]
        await driver.type("25\n")
        assert driver.desk.lock.key.radius == 25.0
        words = driver.words()
        assert window.high.by in words
        (told,) = [f for f in driver.screen.found.findings if f.code == window.high.code.name]
        assert told.text in words
        assert "high" in words


@pytest.mark.slow
async def test_a_burst_of_keys_is_worked_off_in_the_order_typed(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        # no pause between the keys: what was typed, put right, and taken
        keys = [
            "1",
            ".",
            "2",
            "5",
            *["backspace"] * 4,
            "1",
            "9",
            ".",
            "5",
            "enter",
            "4",
        ]
        keys += ["enter", "7", "enter"]
        await driver.burst(*keys)
        key = driver.desk.lock.key
        assert (key.radius, key.bit_thickness, key.shank) == (19.5, 4.0, 7.0)


@pytest.mark.slow
async def test_a_nudge_redraws_at_once(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        before = driver.screen.query_one(Drawing).picture.rows
        await driver.press("pageup")
        assert driver.desk.lock.key.radius == 21.0
        assert driver.screen.query_one("#entry").value == "21"
        assert driver.screen.query_one(Drawing).picture.rows != before
        await driver.press("down", "shift+down")
        assert driver.desk.lock.key.radius == pytest.approx(19.9)
        await driver.press("ctrl+z")
        assert driver.desk.lock.key.radius == 20.0
        await driver.press("ctrl+y")
        assert driver.desk.lock.key.radius == pytest.approx(19.9)


@pytest.mark.slow
async def test_a_choice_goes_by_arrows_and_by_letters(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=WIDE) as driver:
        assert driver.desk.path == "plate.outline"
        await driver.type("rec")
        assert driver.desk.lock.plate.outline == "rectangle"
        assert "corner radius" in driver.text()
        await driver.press("right")
        assert driver.desk.lock.plate.outline == "shield"
        await driver.type("t")
        assert driver.desk.lock.plate.outline == "traced"
        await driver.type("o")
        assert driver.desk.lock.plate.outline == "oval"
        assert "corner radius" not in driver.text()


@pytest.mark.slow
async def test_findings_are_in_sight_worst_first_and_lead_to_what_mends_them(
    tmp_path: Path,
) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=26.0), size=WIDE) as driver:
        found = driver.screen.found.findings
        order = ["stop", "look", "note"]
        assert [f.level for f in found] == sorted((f.level for f in found), key=order.index)
        assert found[0].text in driver.words()
        await driver.press("f6")
        assert isinstance(driver.app.focused, FindingList)
        await driver.press("enter")
        assert driver.desk.step.name == found[0].step
        assert driver.app.focused.id == "entry"


@pytest.mark.slow
async def test_every_step_shows_its_verdict_by_a_sign_and_a_word(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=26.0)) as driver:
        await driver.press("f4", "f4", "f4")
        assert driver.desk.step.name == "bolt line"
        assert "x stop" in driver.words("#head")
        assert "x4 bolt line" in driver.text()


@pytest.mark.slow
async def test_steps_are_reached_from_their_list(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press(*to_step("pivot"))
        assert driver.desk.step.name == "pivot"
        await driver.press(*to_step("tooth"))
        assert driver.desk.step.name == "tooth"
        await driver.press("f9", "1", "1", "enter")
        assert driver.desk.step_number == 10
        await driver.press("f9", "left", "escape")
        assert driver.desk.step_number == 10
        assert sure(driver.app.focused).id == "entry"


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_help_tells_what_it_is_how_to_measure_it_and_the_usual_value(
    tmp_path: Path, size: tuple[int, int]
) -> None:

    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("f4", "enter", "enter", "?")
        assert isinstance(driver.screen, Help)
        words = driver.words("#help")
        spec = spec_of("pivot.hole")
        for part in (spec.what, spec.measure, practised(spec.usual)):
            assert part in words
        await driver.press("escape")
        assert driver.desk.path == "pivot.hole"
