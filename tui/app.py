"""The full-screen program."""

import asyncio
import gc
import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.filter import LineFilter, Monochrome

from core.files.project_file import load
from tui.desk.session import opened
from tui.keys.order import OrderedApp
from tui.start.screen import StartScreen, open_lock
from tui.themes import COLOURLESS, THEMES, few_colours, first_theme
from tui.widgets.screens import EntryScreen
from tui.work.screen import WorkScreen

_SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
"""What stops the program from outside; the key Ctrl+C is none: it comes in like any other."""

_HAND_OVER = 0.001
"""Time [s] after which what is worked out lets keys be read, and what is to be shown be sent: a fifth of the usual."""
_LOOK_AT_TERMINAL = 2.0  # [s]
_PAUSES = (signal.SIGTSTP, signal.SIGCONT)


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
        self.theme = first_theme(none=self.no_color)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return what every line goes through: where no colours are wanted, not the toolkit's greys but none at all."""
        filters = super().get_line_filters()
        if not self.no_color:
            return filters
        return [*(f for f in filters if not isinstance(f, Monochrome)), COLOURLESS]

    def on_mount(self) -> None:
        """Show the first screen, and the lock that was asked for over it."""
        loop = asyncio.get_running_loop()
        for number in _SIGNALS:
            # without this the terminal would be left as the screens have it
            loop.add_signal_handler(number, self._stopped, number)
        self._take_over_stops()
        if not self.is_headless and _has_terminal():
            self.set_interval(_LOOK_AT_TERMINAL, self._look_at_terminal)
        start = StartScreen(self._folder)
        self.push_screen(start)
        if few_colours(self):  # known once the terminal is there
            self.theme = first_theme(few=True, none=self.no_color)
        if self._session is not None:
            open_lock(start, self._session)

    def on_ready(self) -> None:
        """Look for garbage no more among what the first screen is made of: that takes 12 ms, at some key later on.

        Without a screen it may be one program of many in a process, and what is frozen is never given back.
        """
        if not self.is_headless:
            gc.freeze()

    def on_unmount(self) -> None:
        """Give the signals back."""
        loop = asyncio.get_running_loop()
        for number in (*_SIGNALS, *_PAUSES):
            loop.remove_signal_handler(number)
        for number, handler in zip(_PAUSES, self._pauses, strict=True):
            signal.signal(number, handler)

    def _take_over_stops(self) -> None:
        """See to it that only a program that has given its terminal back takes it again.

        The toolkit takes it at every SIGCONT, also after a SIGSTOP, of which it knows nothing: it would read the
        keys twice and never come to an end.
        """
        give_back, take_again = self._pauses = [
            signal.getsignal(number) or signal.SIG_DFL for number in _PAUSES
        ]
        away = False

        def stopped() -> None:
            nonlocal away
            away = True
            if callable(give_back):
                give_back(signal.SIGTSTP, None)

        def continued() -> None:
            nonlocal away
            if away and callable(take_again):
                take_again(signal.SIGCONT, None)
            away = False
            self.call_later(self.refresh)

        # by way of the loop: the toolkit's own handlers come in between any two steps, also while what is to be sent
        # is handed over, and then wait for ever for what their own thread holds
        loop = asyncio.get_running_loop()
        for number, handler in zip(_PAUSES, (stopped, continued), strict=True):
            loop.add_signal_handler(number, handler)

    def _look_at_terminal(self) -> None:
        """End as at a hang-up where the terminal is gone and no signal told so: its end would be read for ever."""
        if not _has_terminal():
            self._stopped(signal.SIGHUP)

    def _stopped(self, number: int) -> None:
        """Keep what is typed, and end with the status that shells give for a signal."""
        above, wrong = None, ""
        for screen in reversed(self.screen_stack):
            if isinstance(screen, WorkScreen):
                wrong = screen.keep(above)
            elif isinstance(screen, EntryScreen):
                above = above or screen.unentered()
        self.exit(None, 128 + number, Text(f"boltwright: {wrong}") if wrong else None)


def _has_terminal() -> bool:
    return sys.__stdin__ is not None and sys.__stdin__.isatty()


def run(path: Path | None) -> int:
    """Run the full-screen program, on the lock in `path` if one is given; return the exit code.

    Raises
    ------
    BadFileError
        For a file that cannot be read as a lock.
    """
    app = Boltwright(Path(), path)
    sys.setswitchinterval(_HAND_OVER)
    app.run()
    return app.return_code or 0
