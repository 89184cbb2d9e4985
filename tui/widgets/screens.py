"""What the screens have in common: the look, small windows, an entry, and standing over the working screen."""

from typing import TYPE_CHECKING

from textual import events
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from core.files.recovery import Typed
from tui.themes import other_theme

if TYPE_CHECKING:
    from core.lock.lock import Lock
    from tui.desk.host import Host


class ShadedScreen(Screen[None]):
    """A screen that can be light or dark."""

    def action_shade(self) -> None:
        """Change between dark and light."""
        self.app.theme = other_theme(self.app.theme)


class FullScreen(ShadedScreen):
    """A screen with a widget `small`, which its style sheet shows where the window is too small for the rest."""

    def on_resize(self, event: events.Resize) -> None:
        """Say how small the window is."""
        self.query_one("#small", Static).update(
            f"{event.size.width} x {event.size.height} is too small: 60 x 20 is the least."
        )


class EntryScreen(FullScreen):
    """A screen with an entry line, which hands its keys over as actions (see `tui.widgets.entry`)."""

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - the toolkit calls it and the base's own
        """Write the texts anew for another width."""
        self.call_after_refresh(self._fitted)

    def _fitted(self) -> None:
        """Show the texts in their new width; a window that was too small has lost its focus."""
        if self.focused is None:
            self._rest()
        self._show(typed=True)

    def _rest(self) -> None:
        """Put the cursor where it belongs when nothing else is done."""
        raise NotImplementedError

    def _show(self, *, typed: bool = False) -> None:
        """Show everything as it now is; with `typed` the entry keeps what was typed."""
        raise NotImplementedError

    def _nudge(self, steps: int) -> None:
        """Nudge the value at hand by so many steps."""
        raise NotImplementedError

    def unentered(self) -> Typed | None:
        """Return what is typed and not entered, before the program is stopped from outside."""
        return None

    def take(self, act: str) -> None:
        """Carry out an action of the table by its name, at once."""
        getattr(self, f"action_{act}")()

    def pick(self, start: str) -> bool:
        """Say that there is no choice here."""
        del start
        return False

    def action_more(self) -> None:
        """Nudge up."""
        self._nudge(1)

    def action_less(self) -> None:
        """Nudge down."""
        self._nudge(-1)

    def action_much_more(self) -> None:
        """Nudge up ten times as far."""
        self._nudge(10)

    def action_much_less(self) -> None:
        """Nudge down ten times as far."""
        self._nudge(-10)

    def action_line_break(self) -> None:
        """Do nothing: there are no notes here."""


class OverScreen(EntryScreen):
    """Rows to be asked for, over a working screen, in whose desk all that is true of the lock stays."""

    def __init__(self, work: "Host") -> None:
        """Stand over a working screen."""
        super().__init__()
        self._work = work
        self._said = ("", "")

    @property
    def at_hand(self) -> "Lock":
        """The lock at hand."""
        return self._work.desk.lock

    def _say(self, text: str, kind: str = "said", *, typed: bool = False) -> None:
        """Show everything with a sentence for the maker; `kind` is `said` or `bad`."""
        self._said = (kind, text)
        self._show(typed=typed)

    def _show_said(self) -> None:
        kind, text = self._said
        told = self.query_one("#told", Static)
        told.set_class(not text, "empty")
        told.update(Content.styled(text, "bold $stop" if kind == "bad" else "$strong"))

    def action_undo(self) -> None:
        """Take back the last change."""
        self._work.action_undo()
        self._moved()

    def action_redo(self) -> None:
        """Make the change again that was taken back."""
        self._work.action_redo()
        self._moved()

    def _moved(self) -> None:
        """Tell what was taken back or made again."""
        notice = self._work.desk.notice
        self._say(notice.text if notice is not None else "")
