"""What was read off with the parts put together, and which dimension is the likely cause."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from core.change.causes import Cause, Diagnosis, corrected, diagnose
from core.change.causes_text import MOST
from core.errors import BoltwrightError
from tui.desk import answer
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, QUESTION
from tui.keys.of_made import READ_OFF, READ_OFF_KEYS
from tui.made import state as made_state
from tui.made import text as made_text
from tui.made.asked import Asked, AskedRows
from tui.widgets.choice_list import ChoiceList
from tui.widgets.hints import Hints
from tui.widgets.pane import Pane
from tui.widgets.screens import OverScreen

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tui.desk.host import Host
    from tui.made.state import Row


class ReadOffScreen(OverScreen):
    """Readings at the bench. They are kept while the screen is open, and are no part of the lock."""

    CSS_PATH = "made.tcss"
    KEYS = READ_OFF_KEYS
    BINDINGS = bindings(READ_OFF, ACROSS, QUESTION)

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
        with Pane(id="side"):
            yield self.asked
            yield Static(id="how", markup=False)
            yield Static(id="told", markup=False)
            yield Static(id="causes-head", markup=False)
            yield ChoiceList(self._found, id="causes")
            yield Static(id="next", markup=False)
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    @property
    def causes(self) -> tuple[Cause, ...]:
        """The causes that are offered."""
        if self.diagnosis is None or self.diagnosis.fine:
            return ()
        return (self.diagnosis.likely or self.diagnosis.causes[:1])[:MOST]

    def on_mount(self) -> None:
        """Begin at the first reading."""
        self._show()
        self.action_rest()

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
        causes = self.query_one("#causes", ChoiceList)
        causes.fill(made_text.cause_line(self.at_hand, cause) for cause in self.causes)

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
            value = answer.read(spec, typed, units) if typed.strip() else planned
        except BoltwrightError as refusal:
            self._say(str(refusal), "bad", typed=True)
            return
        if isinstance(value, float):
            text = answer.written(spec, answer.nudged(spec, value, units, steps), units)
            self.asked.entry.load(text, row.kind)
            self._take()

    def on_asked_rows_chosen(self, message: AskedRows.Chosen) -> None:
        """Go to the reading that was clicked on."""
        if self._take():
            self.row = [row.key for row in self._rows()].index(message.key)
            self.action_rest()
            self._say("")

    def _found(self, number: int) -> None:
        """Take a cause as found."""
        cause = self.causes[number]
        words = f"correction: {cause.suspect.words}"
        desk = self._work.desk.changed(corrected(self.at_hand, cause), words)
        self._work.set_desk(desk.silent())
        self._diagnose()
        self.action_rest()
        self._say(f"Taken as found: {cause.suspect.words}. Ctrl+Z takes it back.")

    # what can be done anywhere here

    def action_causes(self) -> None:
        """Go into the likely causes."""
        if self._take():
            if self.causes:
                self.to("causes")
            else:
                self._say("There is no cause to take yet: type what was read off.")

    def _moved(self) -> None:
        self._diagnose()
        super()._moved()

    def help_page(self) -> Content:
        """Return the help of the readings."""
        return made_text.read_off_help()


def over(work: "Host") -> ReadOffScreen:
    """Return the readings at the bench over a working screen."""
    return ReadOffScreen(work)
