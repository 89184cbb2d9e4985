"""Lists to choose from: they bear windows of every size, also those that nothing of them can be seen in."""

from pathlib import Path

import pytest

from tests.counts import of_all
from tests.tui_driving import program, stored

pytestmark = pytest.mark.usefixtures("own_folder")

# (keys that lead to a list, its name): every list of the program that can be paged
LISTS = {
    "locks": ["f10"],
    "findings": ["f6"],
    "ways": ["ctrl+n", "f6"],
    "dimensions": ["ctrl+n", "f9"],
    "pieces": ["ctrl+o"],
    "sheets": ["ctrl+p", "f6"],
}


@pytest.mark.parametrize("name", of_all(LISTS, 2))
@pytest.mark.slow
async def test_a_list_is_paged_in_a_window_of_any_size(tmp_path: Path, name: str) -> None:
    async with program(tmp_path, stored(tmp_path, key__radius=25.0)) as driver:
        await driver.press(*LISTS[name])
        for size in [(60, 20), (80, 2), (1, 1), (300, 3), (80, 24)]:
            await driver.resize(*size)
            await driver.press("pagedown", "pageup", "end", "pagedown", "home", "pageup")
        assert driver.app.screen.query(f"#{name}")
