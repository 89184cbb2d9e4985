"""The full-screen program."""

import asyncio
import signal
from pathlib import Path
from typing import ClassVar

from core.files.project_file import load
from tui.desk.session import opened
from tui.keys.order import OrderedApp
from tui.start.screen import StartScreen, open_lock
from tui.themes import THEMES, first_theme

_SIGNALS = (signal.SIGTERM, signal.SIGHUP)


class Boltwright(OrderedApp):
    """The program: which screen is in front, and how it ends."""

    CSS_PATH: ClassVar = [
        "app.tcss",
        "start/start.tcss",
        "work/work.tcss",
        "widgets/dialogs.tcss",
    ]
    ENABLE_COMMAND_PALETTE = False
    TITLE = "boltwright"

    def __init__(self, folder: Path, file: Path | None = None) -> None:
        """Offer the locks of `folder`; begin with the lock in `file`, if one is given.

        Raises
        ------
        BadFileError
            For a file that cannot be read as a lock.
        """
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (60, "-slim"), (76, "-narrow"), (104, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-flat"), (20, "-low"), (32, "-tall")]
        self._folder = folder
        self._session = opened(load(file)) if file is not None else None
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = first_theme()

    def on_mount(self) -> None:
        """Show the first screen, and the lock that was asked for over it."""
        loop = asyncio.get_running_loop()
        for number in _SIGNALS:
            # without this the terminal would be left as the screens have it
            loop.add_signal_handler(number, self.exit, None, 128 + number)
        start = StartScreen(self._folder)
        self.push_screen(start)
        if self._session is not None:
            open_lock(start, self._session)

    def on_unmount(self) -> None:
        """Give the signals back."""
        loop = asyncio.get_running_loop()
        for number in _SIGNALS:
            loop.remove_signal_handler(number)


def run(path: Path | None) -> int:
    """Run the full-screen program, on the lock in `path` if one is given; return the exit code.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    """
    app = Boltwright(Path(), path)
    app.run()
    return app.return_code or 0
