"""What a screen that stands over the working screen may ask of it."""

from collections.abc import Callable
from typing import Any, Protocol

from tui.desk.desk import Desk


class Host(Protocol):
    """The working screen, as seen by the screens over it: all that is true of the lock is in `desk`."""

    desk: Desk

    def set_desk(self, desk: Desk, *, typed: bool = False) -> None:
        """Put another desk in place and show it; with `typed` the entry keeps what was typed."""

    def action_undo(self) -> None:
        """Take back the last change."""

    def action_redo(self) -> None:
        """Make the change again that was taken back."""

    def action_leave(self) -> None:
        """Leave the lock, asking first if anything is unsaved."""

    def call_later(self, callback: Callable[..., Any], *args: Any, **kwargs: Any) -> bool:
        """Call `callback` once the messages on their way have been worked off."""
