"""The README's pictures, made anew: three screens of the demo lock, one sheet, and a turn that moves.

Run it after a change that is seen: `.venv/bin/python -m tests.pictures`, then look at them.
"""

import asyncio
import os
import re
import shutil
import tempfile
from datetime import date
from pathlib import Path

from core.files.project_file import load
from core.layout.layout import Layout
from core.sheets.write import write_sheets
from core.shipped import sample_locks
from tests.tui_driving import program

FOLDER = Path(__file__).resolve().parent.parent / ".pictures"
SIZE = (104, 32)
"""Columns and rows of a window that can be read in the width of a page."""
SCREENS = {
    "tooth": ("f4", "f4", "f4", "f4", "f4", "enter", "enter", "enter", "enter"),
    "turn": ("f5", "r"),
    "change": ("f4", "f4", "f4", "f4", "ctrl+n", "pageup"),
}
"""The keys that lead from the first prompt to each screen."""
SHEET = "bolt"


async def screen(file: Path, name: str) -> str:
    """Return a screen of the lock in `file` as SVG."""
    async with program(file.parent, file, size=SIZE) as driver:
        await driver.press(*SCREENS[name])
        await driver.settle()
        picture = driver.app.export_screenshot(title="boltwright", simplify=True)
        # the toolkit draws the buttons of some system's windows over the title: they are none of ours
        return re.sub(r"<circle [^>]*/>", "", picture)


def main() -> None:
    """Write all of them."""
    with tempfile.TemporaryDirectory() as own:
        folder = Path(own)
        demo = next(path for path in sample_locks() if path.stem == "boathouse")
        file = Path(shutil.copy(demo, folder))
        for name in SCREENS:
            picture = asyncio.run(screen(file, name))
            (FOLDER / f"{name}.svg").write_text(picture)
        written = write_sheets(
            Layout(load(file).lock), folder, day=date(2026, 1, 2), source=file, only=(SHEET,)
        )
        (sheet,) = (path for path in written.files if path.suffix == ".svg")
        shutil.copy(sheet, FOLDER / "sheet.svg")


if __name__ == "__main__":
    os.environ.setdefault("COLORTERM", "truecolor")
    main()
