"""What was read off with the parts put together, and which dimension is the likely cause."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from core.change.causes import Cause, Diagnosis, corrected, diagnose
from core.change.causes_text import MOST
from core.errors import BoltwrightError
from tui.keys import acts
from tui.made import state as made_state
from tui.made import text as made_text
from tui.made.asked import Asked, AskedRows
from tui.widgets.help_screen import Help
from tui.widgets.hints import Hints
from tui.widgets.lists import LeavableList
from tui.widgets.screens import OverScreen

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tui.desk.host import Host
    from tui.made.state import Row


class Causes(LeavableList):
    """The likely causes; Enter or a click takes one as found."""

    @dataclass
    class Chosen(Message):
        """The maker takes a cause as found, by its number from 0."""

        number: int

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tell which one was chosen."""
        event.stop()
        self.post_message(self.Chosen(event.option_index))


class ReadOffScreen(OverScreen):
    """Readings at the bench. They are kept while the screen is open, and are no part of the lock."""

    CSS_PATH = "made.tcss"
    BINDINGS = acts.bindings("read off")

    def __init__(self, work: "Host") -> None:
        """Ask for what was read off on the lock of a working screen."""
        super().__init__(work)
        self.read: Mapping[str, float] = {}
        self.row = 0
        self.diagnosis: Diagnosis | None = None
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
    def causes(self) -> tuple[Cause, ...]:
        """The causes that are offered."""
        if self.diagnosis is None or self.diagnosis.fine:
            return ()
        return (self.diagnosis.likely or self.diagnosis.causes[:1])[:MOST]

    def on_mount(self) -> None:
        """Begin at the first reading."""
        self._show()
        self.asked.entry.focus()

    def _rest(self) -> None:
        self.asked.entry.focus()

    def _rows(self) -> "tuple[Row, ...]":
        return made_state.read_off_rows(self.at_hand, self.read)

    def _show(self, *, typed: bool = False) -> None:
        rows, lock = self._rows(), self.at_hand
        self.query_one("#title", Static).update(
            made_text.title(lock, self.size.width, "Read off at the bench")
        )
        self.asked.show(rows, self.row, typed=typed)
        self.query_one("#how", Static).update(made_text.how(rows[self.row].key))
        self._show_said()
        self.query_one("#causes-head", Static).update(made_text.causes_heading(self.diagnosis))
        self.query_one("#next", Static).update(made_text.after_causes(lock, self.diagnosis))

    def _diagnose(self) -> None:
        """Find the likely causes of the readings at hand; the list is written anew."""
        self.diagnosis = diagnose(self.at_hand, self.read) if self.read else None
        causes = self.query_one(Causes)
        causes.clear_options()
        causes.add_options([Option(made_text.cause_line(self.at_hand, c)) for c in self.causes])

    # what the entry hands over

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
            value = spec.read(typed, units) if typed.strip() else planned
        except BoltwrightError as refusal:
            self._say(str(refusal), "bad", typed=True)
            return
        if isinstance(value, float):
            text = spec.written(spec.nudged(value, units, steps), units)
            self.asked.entry.load(text, row.kind, anew=True)
            self._take()

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

    def on_leavable_list_left(self) -> None:
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

    def _moved(self) -> None:
        self._diagnose()
        super()._moved()

    def action_help(self) -> None:
        """Help."""
        self.app.push_screen(Help(made_text.read_off_help(), "the readings"))


def over(work: "Host") -> ReadOffScreen:
    """Return the readings at the bench over a working screen."""
    return ReadOffScreen(work)
