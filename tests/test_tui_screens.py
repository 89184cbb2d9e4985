"""The full-screen program, driven by keys and by mouse, at the sizes that people have."""

import os

import pytest

from core.lock import Lock
from core.project_file import Project, load, save
from core.recovery import load_recovery, save_recovery
from tests.tui_driving import NARROW, WIDE, program
from tui.screens.dialogs import Ask, AskName
from tui.screens.help import Help
from tui.screens.start import StartScreen
from tui.screens.work import WorkScreen
from tui.widgets.drawing import Drawing
from tui.widgets.hints import Hints
from tui.widgets.lists import FindingList, StepList

SIZES = pytest.mark.parametrize("size", [NARROW, WIDE], ids=["80x24", "120x40"])


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("COLORFGBG", raising=False)


def stored(folder, name="lock.toml", **values):
    """Save a lock that differs from the default in some values, and return its path."""
    lock = Lock()
    for path, value in values.items():
        lock = lock.with_value(path.replace("__", "."), value)
    return save(Project(None, lock), folder / name).path


@SIZES
async def test_from_nothing_to_a_saved_lock_and_back_with_keys_named_on_the_screen(tmp_path, size):
    async with program(tmp_path, size=size) as driver:
        assert isinstance(driver.screen, StartScreen)
        start = driver.text()
        assert "New lock in millimetres" in start
        assert "Enter" in start
        while driver.screen.query_one("#locks").highlighted != start_row(
            driver, "New lock in mill"
        ):
            await driver.press("down")
        await driver.press("enter")
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


def start_row(driver, title):
    """Return the row of the first screen's list that begins with a title."""
    offers = driver.screen._offers
    return next(n for n, offer in enumerate(offers) if offer.title.startswith(title))


async def test_enter_alone_leads_through_every_step(tmp_path):
    async with program(tmp_path, stored(tmp_path)) as driver:
        seen = []
        for _ in range(60):
            if driver.desk.step.title not in seen:
                seen.append(driver.desk.step.title)
                assert driver.desk.step.title in driver.text()
            await driver.press("enter")
        from tui.step import all_steps

        assert seen == [step.title for step in all_steps()]
        await driver.settle()
        assert "last prompt" in driver.words()
        assert not driver.desk.session.dirty


@SIZES
async def test_a_prompt_shows_value_unit_and_what_fits(tmp_path, size):
    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        assert driver.desk.path == "key.radius"
        words, window = driver.words(), driver.screen.found.windows["key.radius"]
        assert "fits" in words
        assert f"low end: {window.low.by}" in words
        assert f"high end: {window.high.by}" in words
        assert "●" in driver.text()
        assert "20.0 mm" in driver.text()


async def test_a_bad_entry_says_what_is_allowed_and_the_last_good_lock_stays(tmp_path):
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


async def test_a_value_outside_its_window_is_taken_and_its_consequence_told(tmp_path):
    async with program(tmp_path, stored(tmp_path), size=WIDE) as driver:
        await driver.press("f4", "f4", "f4", "f4")
        window = driver.screen.found.windows["key.radius"]
        await driver.type("25\n")
        assert driver.desk.lock.key.radius == 25.0
        words = driver.words()
        assert window.high.by in words
        (told,) = [f for f in driver.screen.found.findings if f.code == window.high.code]
        assert told.text in words
        assert "high" in words


async def test_a_burst_of_keys_is_worked_off_in_the_order_typed(tmp_path):
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


async def test_a_nudge_redraws_at_once(tmp_path):
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


async def test_a_choice_goes_by_arrows_and_by_letters(tmp_path):
    async with program(tmp_path, stored(tmp_path)) as driver:
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


@SIZES
async def test_leaving_asks_about_unsaved_work(tmp_path, size):
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


async def test_leaving_without_saving_leaves_file_and_no_copy(tmp_path):
    file = stored(tmp_path)
    before = file.read_bytes()
    async with program(tmp_path, file) as driver:
        await driver.type("\n81\n")
        assert load_recovery(file).lock.plate.width == 81.0
        await driver.press("f10", "down", "enter")
        assert isinstance(driver.screen, StartScreen)
    assert file.read_bytes() == before
    assert load_recovery(file) is None


async def test_an_accepted_value_is_in_the_recovery_copy_and_is_offered_again(tmp_path):
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


async def test_unsaved_work_without_a_file_is_on_the_first_screen(tmp_path):
    save_recovery(Lock().with_value("title", "Half done"), tmp_path)
    async with program(tmp_path) as driver:
        assert "Half done" in driver.text()
        assert "unsaved work" in driver.text()
        await driver.press("enter")
        assert driver.desk.lock.title == "Half done"
        assert driver.desk.session.dirty


async def test_a_file_changed_on_the_disk_is_noticed_and_not_written_over_unasked(tmp_path):
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


async def test_the_changed_file_can_be_taken_instead(tmp_path):
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


async def test_a_save_that_fails_says_so_and_loses_nothing(tmp_path):
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.type("\n84\n")
        driver.screen.desk.session.project.path.unlink()
        (tmp_path / "lock.toml").mkdir()
        await driver.press("f2")
        assert isinstance(driver.screen, WorkScreen)
        assert driver.desk.session.dirty
        assert "lock.toml" in driver.words()


HOSTILE = "[bold red]x[/] [@click=app.quit]q[/] \x1b[2J\x07\u202e evil [/"


@SIZES
async def test_text_from_a_file_is_shown_as_plain_text(tmp_path, size):
    file = stored(tmp_path, title=HOSTILE, notes=HOSTILE * 3, key__radius=25.0)
    async with program(tmp_path, size=size) as driver:
        assert "[bold red]x[/]" in driver.text()
        await driver.press("enter")
        assert driver.desk.session.project.path.name == "lock.toml"
        await driver.press("f3")  # the last step, with the title
        text = driver.text()
        assert "[bold red]x[/]" in text
        assert "\x1b" not in text.replace("\x1b[0m", "")
        assert "\u202e" not in text
        await driver.press("enter", "enter", "enter", "enter")
        assert driver.desk.lock == load(file).lock


async def test_a_file_that_is_no_lock_is_named_with_the_reason(tmp_path):
    (tmp_path / "bad[bold].toml").write_text("[plate]\nwidth = 'wide'\n")
    async with program(tmp_path) as driver:
        assert "cannot be opened" in driver.text()
        await driver.press("enter")
        assert isinstance(driver.screen, StartScreen)
        assert "width" in driver.words("#about")


async def test_findings_are_in_sight_worst_first_and_lead_to_what_mends_them(tmp_path):
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


async def test_every_step_shows_its_verdict_by_a_sign_and_a_word(tmp_path):
    async with program(tmp_path, stored(tmp_path, key__radius=26.0)) as driver:
        await driver.press("f4", "f4", "f4")
        assert driver.desk.step.name == "bolt line"
        assert "x stop" in driver.rows()[3] + driver.rows()[4]
        assert "x4 bolt line" in driver.text()


async def test_steps_are_reached_from_their_list(tmp_path):
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("f9", "6", "enter")
        assert driver.desk.step.name == "tooth"
        await driver.press("f9", "1", "1", "enter")
        assert driver.desk.step_number == 10
        await driver.press("f9", "left", "escape")
        assert driver.desk.step_number == 10
        assert driver.app.focused.id == "entry"


async def test_the_drawing_zooms_pans_and_changes_its_view(tmp_path):
    async with program(tmp_path, stored(tmp_path)) as driver:
        drawing = driver.screen.query_one(Drawing)
        first = drawing.picture
        await driver.press("f8", "+", "+", "left", "up")
        assert drawing.picture.scale.mm_per_dot < first.scale.mm_per_dot
        assert drawing.picture.scale.centre != first.scale.centre
        await driver.press("0")
        assert drawing.picture.rows == first.rows
        await driver.press("-", "escape")
        assert driver.app.focused.id == "entry"
        await driver.press("f7")
        assert drawing.picture.scale.mm_per_dot < first.scale.mm_per_dot
        assert "View: tooth" in driver.words()


@SIZES
async def test_the_mouse_does_what_keys_do(tmp_path, size):
    async with program(tmp_path, stored(tmp_path, key__radius=26.0), size=size) as driver:
        await driver.click(StepList, offset=(2, 0))
        rows = driver.rows()
        row = next(n for n, line in enumerate(rows) if "5 key radius" in line)
        await driver.click(offset=(rows[row].index("5 key radius") + 2, row))
        assert driver.desk.path == "key.radius"
        rows = driver.rows()
        row = next(n for n, line in enumerate(rows) if "shank  " in line)
        await driver.click(offset=(rows[row].index("shank"), row))
        assert driver.desk.path == "key.shank"
        await driver.click(FindingList, offset=(3, 1))
        assert driver.desk.step.name == driver.screen.found.findings[0].step
        line = driver.rows()[-1 if driver.rows()[-1].strip() else -2]
        await driver.click(Hints, offset=(line.index("F1") + 1, 0))
        assert isinstance(driver.screen, Help)


@SIZES
async def test_help_tells_what_it_is_how_to_measure_it_and_the_usual_value(tmp_path, size):
    from core.lock import spec_of

    async with program(tmp_path, stored(tmp_path), size=size) as driver:
        await driver.press("f4", "enter", "enter", "?")
        assert isinstance(driver.screen, Help)
        words = driver.words("#help")
        spec = spec_of("pivot.hole")
        for part in (spec.what, spec.measure, spec.usual):
            assert part in words
        await driver.press("escape")
        assert driver.desk.path == "pivot.hole"


async def test_it_bears_every_size(tmp_path):
    async with program(tmp_path, stored(tmp_path)) as driver:
        for width, height in [
            (20, 5),
            (59, 19),
            (60, 20),
            (79, 24),
            (104, 32),
            (200, 60),
            (1, 1),
            (80, 24),
        ]:
            await driver.pilot.resize_terminal(width, height)
            await driver.settle()
            text = driver.text()
            if width < 60 or height < 20:
                if width > 20:
                    assert "60 x 20" in text
            else:
                drawn = driver.screen.query_one(Drawing).picture
                assert drawn is not None
                assert any("⡇" in row or "⢸" in row for row in driver.rows())
                assert "plate" in text
        await driver.type("\n77\n")
        assert driver.desk.lock.plate.width == 77.0


async def test_light_and_dark(tmp_path, monkeypatch):
    monkeypatch.setenv("COLORFGBG", "0;15")
    async with program(tmp_path, stored(tmp_path)) as driver:
        assert driver.app.theme == "bench-light"
        await driver.press("ctrl+t")
        assert driver.app.theme == "bench-dark"


def contrast(one, two):
    """Return the contrast of two colours: WCAG 2.1, definitions of relative luminance and ratio."""

    def luminance(colour):
        parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_texts_have_the_contrast_that_reading_takes():
    # WCAG 2.1, success criterion 1.4.3: 4.5 for text; 1.4.11: 3 for drawings
    from tui.themes import THEMES

    for theme in THEMES:
        for name in ("strong", "quiet", "stop", "look", "fine"):
            assert contrast(theme.variables[name], theme.background) >= 4.5
            assert contrast(theme.variables[name], theme.panel) >= 4.5
        assert contrast(theme.foreground, theme.background) >= 4.5
        assert contrast(theme.accent, theme.panel) >= 4.5
        for name, colour in theme.variables.items():
            if name.startswith("tone-"):
                assert contrast(colour, theme.background) >= (4.5 if "wanted" in name else 3.0)
