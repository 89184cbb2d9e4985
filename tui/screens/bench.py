"""What was read off with the parts put together, and which dimension is the likely cause."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from core.change.causes import Cause, Diagnosis, corrected, diagnose
from core.change.causes_text import MOST
from core.errors import BoltwrightError
from tui import actions, answer, made_state, made_text
from tui.screens.help import Help
from tui.widgets.asked import Asked, AskedRows
from tui.widgets.hints import Hints

if TYPE_CHECKING:
    from collections.abc import Mapping

    from core.lock import Lock
    from tui.made_state import Row
    from tui.screens.work import WorkScreen


class Causes(OptionList):
    """The likely causes; Enter or a click takes one as found."""

    @dataclass
    class Chosen(Message):
        """The maker takes a cause as found, by its number from 0."""

        number: int

    class Left(Message):
        """The maker wants back to the entry."""

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tell which one was chosen."""
        event.stop()
        self.post_message(self.Chosen(event.option_index))

    def on_focus(self) -> None:
        """Begin at the likeliest."""
        if self.highlighted is None:
            self.action_first()

    def on_key(self, event: events.Key) -> None:
        """Go back to the entry at Esc."""
        if event.key == "escape":
            event.stop()
            self.post_message(self.Left())


class ReadOffScreen(Screen[None]):
    """Readings at the bench. They are kept while the screen is open, and are no part of the lock."""

    CSS_PATH = "../styles/made.tcss"
    BINDINGS = actions.bindings("read off")

    def __init__(self, work: "WorkScreen") -> None:
        """Ask for what was read off on the lock of a working screen."""
        super().__init__()
        self._work = work
        self.read: Mapping[str, float] = {}
        self.row = 0
        self.diagnosis: Diagnosis | None = None
        self._said = ("", "")
        self.asked = Asked(self, id="asked")

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with VerticalScroll(id="side", can_focus=False):
            yield self.asked
            yield Static(id="how", markup=False)
            yield Static(id="told", markup=False)
            yield Static(id="causes-head", markup=False)
            yield Causes(id="causes", markup=False)
            yield Static(id="next", markup=False)
        yield Static("", id="small", markup=False)
        yield Hints("read off", id="hints")

    @property
    def at_hand(self) -> "Lock":
        """The lock at hand."""
        return self._work.desk.lock

    @property
    def causes(self) -> tuple[Cause, ...]:
        """The causes that are offered."""
        if self.diagnosis is None or self.diagnosis.fine:
            return ()
        return (self.diagnosis.likely or self.diagnosis.causes[:1])[:MOST]

    def on_mount(self) -> None:
        """Begin at the first reading."""
        self._show()
        self.asked.entry.focus()

    def on_resize(self, event: events.Resize) -> None:
        """Write the texts anew for another width."""
        self.query_one("#small", Static).update(
            f"{event.size.width} x {event.size.height} is too small: 60 x 20 is the least."
        )
        self.call_after_refresh(self._fitted)

    def _fitted(self) -> None:
        if self.focused is None:
            self.asked.entry.focus()
        self._show(typed=True)

    def _rows(self) -> "tuple[Row, ...]":
        return made_state.read_off_rows(self.at_hand, self.read)

    def _show(self, *, typed: bool = False) -> None:
        rows, lock = self._rows(), self.at_hand
        self.query_one("#title", Static).update(
            made_text.title(lock, self.size.width, "Read off at the bench")
        )
        self.asked.show(rows, self.row, typed=typed)
        self.query_one("#how", Static).update(made_text.how(rows[self.row].key))
        kind, text = self._said
        told = self.query_one("#told", Static)
        told.set_class(not text, "empty")
        told.update(Content.styled(text, "bold $stop" if kind == "bad" else "$strong"))
        self.query_one("#causes-head", Static).update(made_text.causes_heading(self.diagnosis))
        self.query_one("#next", Static).update(made_text.after_causes(lock, self.diagnosis))

    def _say(self, text: str, kind: str = "said", *, typed: bool = False) -> None:
        self._said = (kind, text)
        self._show(typed=typed)

    def _diagnose(self) -> None:
        """Find the likely causes of the readings at hand; the list is written anew."""
        self.diagnosis = diagnose(self.at_hand, self.read) if self.read else None
        causes = self.query_one(Causes)
        causes.clear_options()
        causes.add_options([Option(made_text.cause_line(self.at_hand, c)) for c in self.causes])

    # what the entry hands over

    def take(self, act: str) -> None:
        """Carry out an action of the table by its name, at once."""
        getattr(self, f"action_{act}")()

    def pick(self, start: str) -> bool:
        """Say that there is no choice here."""
        del start
        return False

    def _take(self) -> bool:
        """Take what is typed as read; say whether it may stand."""
        row, text = self._rows()[self.row], self.asked.entry.value
        if text.strip() == row.text:
            return True
        try:
            self.read = made_state.with_reading(self.read, row.key, text, self.at_hand.units)
        except BoltwrightError as refusal:
            self._say(str(refusal), "bad", typed=True)
            return False
        self._diagnose()
        self._say("")
        return True

    def _step(self, by: int) -> None:
        if self._take():
            self.row = (self.row + by) % len(self._rows())
            self._say("")

    def action_enter(self) -> None:
        """Take what is typed and go on to the next reading."""
        self._step(1)

    def action_prompt_back(self) -> None:
        """Take what is typed and go back one reading."""
        self._step(-1)

    def _nudge(self, steps: int) -> None:
        row = self._rows()[self.row]
        spec, units, typed = (
            made_state.read_spec(row.key),
            self.at_hand.units,
            self.asked.entry.value,
        )
        try:
            planned = made_state.planned(self.at_hand, row.key)
            value = answer.read(spec, typed, units) if typed.strip() else planned
        except BoltwrightError as refusal:
            self._say(str(refusal), "bad", typed=True)
            return
        if isinstance(value, float):
            text = answer.written(spec, answer.nudged(spec, value, units, steps), units)
            self.asked.entry.load(text, row.kind, anew=True)
            self._take()

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

    def on_asked_rows_chosen(self, message: AskedRows.Chosen) -> None:
        """Go to the reading that was clicked on."""
        if self._take():
            self.row = [row.key for row in self._rows()].index(message.key)
            self.asked.entry.focus()
            self._say("")

    def on_causes_chosen(self, message: Causes.Chosen) -> None:
        """Take a cause as found."""
        cause = self.causes[message.number]
        words = f"correction: {cause.suspect.words}"
        desk = self._work.desk.changed(corrected(self.at_hand, cause), words)
        self._work.set_desk(desk.silent())
        self._diagnose()
        self.asked.entry.focus()
        self._say(f"Taken as found: {cause.suspect.words}. Ctrl+Z takes it back.")

    def on_causes_left(self) -> None:
        """Go back to the entry."""
        self.asked.entry.focus()

    # what can be done anywhere here

    def action_causes(self) -> None:
        """Go into the likely causes."""
        if self._take():
            if self.causes:
                self.query_one(Causes).focus()
            else:
                self._say("There is no cause to take yet: type what was read off.")

    def action_escape(self) -> None:
        """Go back; readings are dropped, corrections that were taken stay."""
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
        self._diagnose()
        notice = self._work.desk.notice
        self._say(notice.text if notice is not None else "")

    def action_help(self) -> None:
        """Help."""
        self.app.push_screen(Help(made_text.read_off_help(), "the readings"))

    def action_shade(self) -> None:
        """Change between dark and light."""
        self._work.action_shade()


def over(work: "WorkScreen") -> ReadOffScreen:
    """Return the readings at the bench over a working screen."""
    return ReadOffScreen(work)
