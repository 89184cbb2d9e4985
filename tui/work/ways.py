"""Ways to let something fit at the prompt, or to clear a stop: looked for once all is known, and learned one by one."""

from collections.abc import Callable
from dataclasses import replace

from textual.screen import Screen

from tui.desk.checking import Checked
from tui.desk.desk import Desk
from tui.desk.mending import stopping
from tui.desk.opening import Opened, clearing, opening
from tui.desk.session import layout_of
from tui.widgets.piecework import Piecework


class Ways:
    """What opens the window at the prompt of a working screen, or rids its lock of a stop; `opened` as far as known."""

    def __init__(self, screen: Screen[None], learn: Callable[[Opened], None]) -> None:
        """Serve one working screen; `learn` is called with what is known whenever it is more."""
        self.opened: Opened | None = None
        self._search = Piecework[Opened](screen, learn)

    @property
    def any(self) -> bool:
        """Whether there is one."""
        return self.opened is not None and bool(self.opened.found)

    @property
    def complete(self) -> bool:
        """Whether none is looked for any more."""
        return self.opened is None or self.opened.complete

    def keep_to(self, desk: Desk) -> None:
        """Forget those of another lock or prompt."""
        if self.opened is not None and not self.opened.is_of(desk):
            self.opened = None

    def learned(self, opened: Opened) -> None:
        """Keep what is known now, with the one that is looked at."""
        self.opened = replace(opened, looked=self.opened.looked if self.opened is not None else -1)

    def look_for(self, desk: Desk, found: Checked) -> None:
        """Begin to look for what lets something fit at the prompt at hand where nothing does, or clears its stop."""
        if self.opened is not None:
            return
        layout, path = layout_of(desk.lock), desk.path
        window, stop = found.windows.get(path), stopping(desk, found)
        if window is not None and window.conflict:
            self.opened = Opened(desk.lock, path, (), complete=False)
            self._search.begin(opening(layout, path))
        elif stop:
            self.opened = Opened(desk.lock, path, (), complete=False, clears=stop)
            self._search.begin(clearing(layout, path, stop, desk.session.held))
