"""What the screens look like, what the mouse does, and text that is up to no good."""

from pathlib import Path
from typing import Any

import pytest
from textual import events

from core.files.project_file import load
from tests.contrast import contrast
from tests.sure import sure
from tests.tui_driving import NARROW_BY_DEFAULT, program, stored
from tui.themes import CONTRAST, THEMES
from tui.widgets.drawing_view import Drawing
from tui.widgets.keyed import Help
from tui.widgets.lists import FindingList, StepList

pytestmark = pytest.mark.usefixtures("own_folder")


HOSTILE = "[bold red]x[/] [@click=app.quit]q[/] \x1b[2J\x07\u202e evil [/"


@NARROW_BY_DEFAULT
async def test_text_from_a_file_is_shown_as_plain_text(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    file = stored(tmp_path, title=HOSTILE, notes=HOSTILE * 3, key__radius=25.0)
    async with program(tmp_path, size=size) as driver:
        assert "[bold red]x[/]" in driver.text()
        await driver.press("enter")
        assert sure(driver.desk.session.project.path).name == "lock.toml"
        await driver.press("f3")  # the last step, with the title
        text = driver.text()
        assert "[bold red]x[/]" in text
        assert "\x1b" not in text.replace("\x1b[0m", "")
        assert "\u202e" not in text
        await driver.press("enter", "enter", "enter", "enter")
        assert driver.desk.lock == load(file).lock


@pytest.mark.slow
async def test_pasted_text_comes_in_plain_and_in_one_line(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("enter")
        driver.app.post_message(events.Paste("\u202e8\x1b1.5\n"))
        await driver.settle()
        assert driver.screen.query_one("#entry").value == "81.5"
        await driver.press("enter")
        assert driver.desk.lock.plate.width == 81.5


@pytest.mark.slow
async def test_the_wheel_nudges_at_the_prompt_and_zooms_in_the_drawing(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        await driver.press("enter")
        entry, drawing = driver.screen.query_one("#entry"), driver.screen.query_one(Drawing)
        wheel: dict[str, Any] = {
            "delta_x": 0,
            "delta_y": -1,
            "button": 0,
            "shift": False,
            "meta": False,
            "ctrl": False,
        }
        entry.post_message(events.MouseScrollUp(entry, 0, 0, **wheel))
        await driver.settle()
        assert driver.desk.lock.plate.width == pytest.approx(76.1)
        before = drawing.picture.scale.mm_per_dot
        drawing.post_message(events.MouseScrollUp(drawing, 5, 5, **wheel))
        await driver.settle()
        assert drawing.picture.scale.mm_per_dot < before


@pytest.mark.slow
async def test_the_drawing_zooms_pans_and_changes_its_view(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path)) as driver:
        drawing = driver.screen.query_one(Drawing)
        first = drawing.picture
        await driver.press("f8", "+", "+", "left", "up")
        assert drawing.picture.scale.mm_per_dot < first.scale.mm_per_dot
        assert drawing.picture.scale.centre != first.scale.centre
        await driver.press("0")
        assert drawing.picture.rows == first.rows
        await driver.press("-", "escape")
        assert sure(driver.app.focused).id == "entry"
        await driver.press("f7")
        assert drawing.picture.scale.mm_per_dot < first.scale.mm_per_dot
        assert "View: tooth" in driver.words()


@NARROW_BY_DEFAULT
@pytest.mark.slow
async def test_the_mouse_does_what_keys_do(tmp_path: Path, size: tuple[int, int]) -> None:
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
        await driver.click_key("F1")
        assert isinstance(driver.screen, Help)


@pytest.mark.slow
async def test_it_bears_every_size(tmp_path: Path) -> None:
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


@pytest.mark.slow
async def test_light_and_dark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLORFGBG", "0;15")
    async with program(tmp_path, stored(tmp_path)) as driver:
        assert driver.app.theme == "bench-light"
        await driver.press("ctrl+t")
        assert driver.app.theme == "bench-dark"


def test_texts_have_the_contrast_that_reading_takes() -> None:
    # WCAG 2.1, success criterion 1.4.3: 4.5 for text; 1.4.11: 3 for drawings

    for theme in THEMES:
        for name in ("strong", "quiet", "stop", "look", "fine"):
            assert contrast(theme.variables[name], sure(theme.background)) >= 4.5
            assert contrast(theme.variables[name], sure(theme.panel)) >= 4.5
        assert contrast(sure(theme.foreground), sure(theme.background)) >= 4.5
        assert contrast(sure(theme.accent), sure(theme.panel)) >= 4.5
        for name, colour in theme.variables.items():
            if name.startswith("tone-"):
                assert contrast(colour, sure(theme.background)) >= (
                    4.5 if "wanted" in name else 3.0
                )
        for name in ("strong", "quiet", "stop", "look", "fine"):
            assert (
                contrast(theme.variables[name], theme.variables["block-cursor-background"]) >= 3.0
            )


def test_the_look_of_high_contrast_has_seven_to_one() -> None:
    # WCAG 2.1, success criterion 1.4.6: 7 for text
    theme = next(theme for theme in THEMES if theme.name == CONTRAST)
    for name in ("strong", "quiet", "stop", "look", "fine"):
        assert contrast(theme.variables[name], sure(theme.background)) >= 7.0
