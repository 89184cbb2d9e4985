"""What the next nudge would bring, worked out while the keys rest."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from textual.screen import Screen

from tui.desk.checks import checks_of
from tui.desk.desk import Desk
from tui.widgets.piecework import Ended, Piecework

if TYPE_CHECKING:
    from textual.timer import Timer

COME = 0.3
"""Time [s] at a prompt without a key after which a first nudge is looked out for."""


class Ahead:
    """Works out the locks that one nudge more would give, the same way and back, and the small nudges after a big one.

    After a nudge it begins at once, for who nudges once nudges again; elsewhere once the keys rest. Nothing of it is
    shown before that key comes, and at any key the rest of it is dropped.
    """

    def __init__(self, screen: Screen[None], draw: Callable[[Desk], None]) -> None:
        """Serve one working screen; `draw` draws a desk in the size that there is, and keeps the picture."""
        self._screen, self._draw = screen, draw
        self._work = Piecework[Ended](screen, lambda _: None)
        self._timer: Timer | None = None
        self._nudged = ("", 1)

    def nudged(self, path: str, steps: int) -> None:
        """Take note of a nudge at the prompt for `path`."""
        self._nudged = (path, steps)

    def leave_off(self) -> None:
        """Drop what is left to work out."""
        self._work.leave_off()
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def begin(self, desk: Desk) -> None:
        """Begin from a lock of which all is known."""
        self.leave_off()
        path, steps = self._nudged
        if path == desk.path:
            self._work.begin(self._pieces(desk, steps))
        else:
            self._timer = self._screen.set_timer(
                COME, lambda: self._work.begin(self._pieces(desk, 1))
            )

    def _pieces(self, desk: Desk, steps: int) -> Iterator[Ended | None]:
        for each in dict.fromkeys((steps, -steps, 1, -1)):
            there = desk.nudged(each)
            if there.lock != desk.lock:
                yield from checks_of(there.lock, there.session.notes, there.in_view).foreseen()
                self._draw(there)
                yield None
        yield Ended()
