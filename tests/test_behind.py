"""The screen behind a dialog has the colours that the toolkit gives it."""

from pathlib import Path

import pytest
from rich.console import Console
from textual.renderables.background_screen import BackgroundScreen

from tests.tui_driving import program, stored
from tui.widgets.behind import Behind, _dimmed

pytestmark = pytest.mark.usefixtures("own_folder")


async def test_the_screen_behind_a_dialog_is_dimmed_as_the_toolkit_dims_it(tmp_path: Path) -> None:
    async with program(tmp_path, stored(tmp_path), size=(120, 40)) as driver:
        _dimmed.cache_clear()
        await driver.press("f1")
        console = Console(width=120, height=40)
        under, dim = driver.app.screen_stack[-2], driver.screen.styles.background
        assert 0 < dim.a < 1
        assert _dimmed.cache_info().currsize > 5  # the dialog was shown over it
        each = [list(console.render(kind(under, dim))) for kind in (BackgroundScreen, Behind)]
        assert each[0] == each[1]
        assert len({piece.style for piece in each[1]}) > 5
