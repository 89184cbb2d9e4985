"""What is done while the keys rest: the key is turned at other values than the one at the prompt."""

from typing import TYPE_CHECKING

from textual.screen import Screen

from tui.desk.checking import Checked
from tui.desk.desk import Desk
from tui.desk.session import layout_of
from tui.desk.turned import Turned, askable, narrowed, turning
from tui.widgets.piecework import Piecework

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.timer import Timer

RESTING = 1.5
"""Time [s] without a key after which it begins: it takes about a second, and is dropped at the next key."""


class Resting:
    """Narrows the window at the prompt of a working screen to what a turn of the key leaves of it."""

    def __init__(self, screen: Screen[None], learn: "Callable[[], None]") -> None:
        """Serve one working screen; `learn` is called whenever the window is known better."""
        self._screen, self._learn = screen, learn
        self._turned: Turned | None = None
        self._turns = Piecework[Turned](screen, self._known)
        self._timer: Timer | None = None
        self._asked: tuple[Desk, Checked] | None = None

    def narrowed(self, found: Checked) -> Checked:
        """Return what was found with the window at the prompt as it is known."""
        return narrowed(found, self._turned)

    def begin(self, desk: Desk, found: Checked | None) -> None:
        """Wait until the keys rest, and begin, if the window at the prompt is not known so already."""
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        if self._turned is not None and self._turned.is_of(desk):
            return
        self._turned = None
        self._turns.leave_off()
        if found is not None and askable(desk, found) is not None:
            self._asked = (desk, found)
            self._timer = self._screen.set_timer(RESTING, self._turn)

    def _turn(self) -> None:
        if self._asked is not None:
            desk, found = self._asked
            window = askable(desk, found)
            if window is not None:
                self._turns.begin(turning(layout_of(desk.lock), desk.path, window))

    def _known(self, turned: Turned) -> None:
        self._turned = turned
        self._learn()
