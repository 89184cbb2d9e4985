"""What the screens have in common: the look, small windows, an entry, and standing over the working screen."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Generic, TypeVar

from textual import events
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from core.files.recovery import Typed
from tui.desk.at_prompt import AtPrompt
from tui.themes import few_colours, other_theme
from tui.widgets.entry import Entry
from tui.widgets.keyed import Keyed
from tui.widgets.piecework import there
from tui.widgets.telling import tell

if TYPE_CHECKING:
    from core.lock.lock import Lock
    from tui.desk.host import Host

State = TypeVar("State", bound=AtPrompt)


class ShadedScreen(Keyed[None]):
    """A screen that can be light or dark."""

    def action_shade(self) -> None:
        """Change between dark, high contrast and light."""
        self.app.theme = other_theme(
            self.app.theme, few=few_colours(self.app), none=self.app.no_color
        )


class FullScreen(ShadedScreen):
    """A screen with a widget `small`, which its style sheet shows where the window is too small for the rest."""

    def on_resize(self, event: events.Resize) -> None:
        """Say how small the window is."""
        self.query_one("#small", Static).update(
            f"{event.size.width} x {event.size.height} is too small: 60 x 20 is the least."
        )


class EntryScreen(FullScreen, Generic[State]):
    """A screen with an entry line, and a state with a value at hand, which everything that is typed goes to."""

    def on_resize(self, event: events.Resize) -> None:  # noqa: ARG002 - the toolkit calls it and the base's own
        """Write the texts anew for another width."""
        self.call_after_refresh(self._fitted)

    def _fitted(self) -> None:
        """Show the texts in their new width; a window that was too small has lost its focus."""
        if not there(self):
            return
        if self.focused is None:
            self.action_rest()
        self._show(typed=True)

    @property
    def state(self) -> State:
        """The value at hand, with what belongs to it."""
        raise NotImplementedError

    def put(self, state: State, *, typed: bool = False) -> None:
        """Put another state in place and show it; with `typed` the entry keeps what was typed."""
        raise NotImplementedError

    def _show(self, *, typed: bool = False) -> None:
        """Show everything as it now is; with `typed` the entry keeps what was typed."""
        raise NotImplementedError

    @property
    def entry(self) -> Entry:
        """The entry line."""
        return self.query_one("#entry", Entry)

    # where the cursor is

    @property
    def resting_place(self) -> Widget:
        """Where the cursor belongs when nothing else is done."""
        return self.entry

    def action_rest(self) -> None:
        """Put the cursor where it belongs when nothing else is done."""
        self.set_focus(self.resting_place)

    def to(self, name: str) -> None:
        """Put the cursor in the widget of that name."""
        self.set_focus(self.query_one(f"#{name}"))

    def action_escape(self) -> None:
        """Put the cursor back; where it is back already, give up what is at hand."""
        if self.focused is self.resting_place:
            self._given_up()
        else:
            self.action_rest()

    def _given_up(self) -> None:
        """Give up what is at hand: by default the whole screen."""
        self.dismiss(None)

    # what is typed

    def then(self, go_on: Callable[[State], State]) -> bool:
        """Take what is typed and go on from there; a bad entry stays. Say whether it went on."""
        state = self.state
        if state.spec.kind.entering != "picked":
            state = state.taken(self.entry.value)
        elif state.refused and self.entry.unread:
            # what was typed is no word here: it may be meant for another prompt, so that this one stays once
            self.entry.unread = False
            self.put(
                state.said(
                    f"It stays {self.entry.value}. Type its first letter for another; Enter goes on."
                )
            )
            return False
        if state.refused:
            self.put(state, typed=True)
            return False
        self.put(go_on(state))
        return True

    def take(self) -> bool:
        """Take what is typed; say whether it may stand."""
        return self.then(lambda state: state)

    def unentered(self) -> Typed | None:
        """Return what is typed and not entered, before the program is stopped from outside."""
        return None

    def pick(self, start: str, *, next_one: bool = False) -> bool:
        """Take the choice that begins with `start`, or the next that does; say whether there is one."""
        self.put(self.state.picked(start, next_one=next_one))
        return not self.state.refused

    def _nudge(self, steps: int) -> None:
        self.then(lambda state: state.nudged(steps))

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


class OverScreen(EntryScreen[State]):
    """Rows to be asked for, over a working screen, in whose desk all that is true of the lock stays."""

    def __init__(self, work: "Host") -> None:
        """Stand over a working screen."""
        super().__init__()
        self._work = work

    @property
    def at_hand(self) -> "Lock":
        """The lock at hand."""
        return self._work.desk.lock

    def _show_said(self) -> None:
        notice, style = self.state.notice, "bold $stop" if self.state.refused else "$strong"
        tell(self, "told", Content.styled(notice.text if notice is not None else "", style))

    def action_back(self) -> None:
        """Go back, wherever the cursor is."""
        self.dismiss(None)

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
        self.put(self.state.noticed(self._work.desk.notice))
