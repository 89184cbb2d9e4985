"""What was read off with the parts put together, and which dimension is the likely cause."""

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from core.change.causes import corrected
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, QUESTION
from tui.keys.of_made import READ_OFF, READ_OFF_KEYS
from tui.made import state as made_state
from tui.made import text as made_text
from tui.made.asked import Asked
from tui.made.read_off import Bench
from tui.widgets.choice_list import ChoiceList
from tui.widgets.hints import Hints
from tui.widgets.pane import Pane
from tui.widgets.screens import OverScreen
from tui.widgets.telling import tell

if TYPE_CHECKING:
    from tui.desk.host import Host


class ReadOffScreen(OverScreen[Bench]):
    """Readings at the bench. They are kept while the screen is open, and are no part of the lock."""

    CSS_PATH = "made.tcss"
    KEYS = READ_OFF_KEYS
    BINDINGS = bindings(READ_OFF, ACROSS, QUESTION)

    def __init__(self, work: "Host") -> None:
        """Ask for what was read off on the lock of a working screen."""
        super().__init__(work)
        self._at = Bench(work.desk.lock)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Pane(id="side"):
            yield Asked(self, self._to_row, id="asked")
            yield Static(id="told", markup=False)
            yield Static(id="causes-head", markup=False)
            yield ChoiceList(self._found, id="causes")
            yield Static(id="next", markup=False)
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    def on_mount(self) -> None:
        """Begin at the first reading."""
        self._show()
        self.action_rest()

    # the state, and showing it

    @property
    def state(self) -> Bench:
        """The readings, with the lock of the working screen."""
        return replace(self._at, lock=self.at_hand)

    def put(self, state: Bench, *, typed: bool = False) -> None:
        """Put other readings in place, or another one at hand, and show it."""
        self._at = state
        self._show(typed=typed)

    def _show(self, *, typed: bool = False) -> None:
        state = self.state
        lock, found = state.lock, state.diagnosis
        tell(self, "title", made_text.title(lock, self.size.width, "Read off at the bench"))
        rows = made_state.read_off_rows(lock, state.read)
        asked = self.query_one(Asked)
        asked.show(rows, state.row, typed=typed)
        asked.tell_how(made_text.how(state.name))
        self._show_said()
        tell(self, "causes-head", made_text.causes_heading(found))
        causes = self.query_one("#causes", ChoiceList)
        causes.fill(made_text.cause_line(lock, cause) for cause in state.causes)
        tell(self, "next", made_text.after_causes(lock, found))

    # what the entry hands over

    def action_enter(self) -> None:
        """Take what is typed and go on to the next reading."""
        self.then(lambda state: state.at(state.row + 1))

    def action_prompt_back(self) -> None:
        """Take what is typed and go back one reading."""
        self.then(lambda state: state.at(state.row - 1))

    def _to_row(self, name: str) -> None:
        """Go to the reading that was clicked on."""
        if self.then(lambda state: state.at_name(name)):
            self.action_rest()

    def _found(self, number: int) -> None:
        """Take a cause as found."""
        cause = self.state.causes[number]
        words = f"correction: {cause.suspect.words}"
        desk = self._work.desk.changed(corrected(self.at_hand, cause), words)
        self._work.set_desk(desk.silent())
        self.action_rest()
        self.put(self.state.said(f"Taken as found: {cause.suspect.words}. Ctrl+Z takes it back."))

    # what can be done anywhere here

    def action_causes(self) -> None:
        """Go into the likely causes."""
        if self.take():
            if self.state.causes:
                self.to("causes")
            else:
                said = "There is no cause to take yet: type what was read off."
                self.put(self.state.said(said))

    def help_page(self) -> Content:
        """Return the help of the readings."""
        return made_text.read_off_help()


def over(work: "Host") -> ReadOffScreen:
    """Return the readings at the bench over a working screen."""
    return ReadOffScreen(work)
