"""What is made already: the workpieces, each marked as made or not, and what was measured on it."""

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from core.files.recovery import Typed
from tui.change.screen import ChangeScreen
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, QUESTION
from tui.keys.of_made import KEYS, MADE, MARK, PARTS
from tui.made import state as made_state
from tui.made import text as made_text
from tui.made.asked import Asked
from tui.made.measured import Measured
from tui.made.reading_screen import ReadOffScreen
from tui.widgets.choice_list import ChoiceList
from tui.widgets.hints import Hints
from tui.widgets.pane import Pane
from tui.widgets.screens import OverScreen
from tui.widgets.telling import tell

if TYPE_CHECKING:
    from core.lock.lock import Lock
    from tui.desk.host import Host


class Pieces(ChoiceList, inherit_bindings=False):
    """The workpieces, each marked as made or not."""

    BINDINGS = bindings(PARTS, MARK)


class MadeScreen(OverScreen[Measured]):
    """The workpieces of one lock. What is made stands in the lock of the working screen, nowhere else."""

    CSS_PATH = "made.tcss"
    KEYS = KEYS
    BINDINGS = bindings(MADE, ACROSS, QUESTION)

    def __init__(self, work: "Host") -> None:
        """Show the workpieces of the lock on a working screen."""
        super().__init__(work)
        self._pieces = made_state.workpieces()
        self._at = Measured(work.desk, self._pieces[0][0])
        self._shown: Lock | None = None

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            yield Pieces(self._to_values, self._to_piece, id="pieces")
            with Pane(id="side"):
                yield Static(id="head", markup=False)
                yield Asked(self, self._to_row, id="asked")
                yield Static(id="told", markup=False)
                yield Static(id="stands", markup=False)
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(Pieces).fill(Content("") for _ in self._pieces)
        self._show()
        self.action_list()

    def on_screen_resume(self) -> None:
        """Show what may have been changed on another screen."""
        if self._shown is not None:
            # what is typed, and was only weighed there, still stands here
            self._show(typed=self._shown == self.at_hand)

    @property
    def resting_place(self) -> Widget:
        """The list of parts."""
        return self.query_one(Pieces)

    # the state, and showing it

    @property
    def state(self) -> Measured:
        """The workpiece and the row at hand, on the desk of the working screen."""
        return replace(self._at, desk=self._work.desk)

    def put(self, state: Measured, *, typed: bool = False) -> None:
        """Put another workpiece or row at hand, or another lock on the desk, and show it."""
        self._at = state
        if state.desk is not self._work.desk:
            self._work.set_desk(state.desk)
        if not state.open and self.focused is self.entry:
            self.action_list()
        self._show(typed=typed)

    def _show(self, *, typed: bool = False) -> None:
        state = self.state
        lock = self._shown = state.lock
        tell(self, "title", made_text.title(lock, self.size.width))
        self.query_one(Pieces).write(made_text.piece(lock, *piece) for piece in self._pieces)
        tell(self, "head", made_text.head(lock, state.part))
        rows = made_state.measured_rows(lock, state.part)
        here = min(state.row, max(len(rows) - 1, 0))
        self.query_one(Asked).show(rows, here, typed=typed)
        self._show_how()
        self._show_said()
        tell(self, "stands", made_text.stands(lock, state.part))

    def on_descendant_focus(self) -> None:
        """Say how a value is measured while it is asked for, and only then."""
        self._show_how()

    def _show_how(self) -> None:
        state = self.state
        asked = state.open and self.focused is self.entry
        how = made_text.how_measured(state.part, state.path, state.units) if asked else ""
        self.query_one(Asked).tell_how(how)

    # the list

    def _to_piece(self, number: int) -> None:
        """Show the workpiece at the cursor."""
        state = self.state.at_part(self._pieces[number][0])
        if state.part != self._at.part:
            self.put(state)

    def _to_values(self, number: int) -> None:
        """Go to what can be measured on a workpiece."""
        self._to_piece(number)
        self._to_entry()

    def _to_entry(self) -> None:
        state = self.state
        if state.open:
            self.put(replace(state, row=0).silent())
            self.to("entry")
        else:
            self.put(state.said(state.closed))

    def action_mark(self) -> None:
        """Mark the workpiece at the cursor as made, or as not made."""
        self.put(self.state.turned())

    def action_list(self) -> None:
        """Go to the list."""
        pieces = self.query_one(Pieces)
        self.set_focus(pieces)
        pieces.highlighted = [part for part, _ in self._pieces].index(self._at.part)

    # what the entry hands over

    def unentered(self) -> Typed | None:
        """Take what is typed as measured, as on leaving the row; return what may not stand."""
        if not self.entry.has_focus or self.take():
            return None
        return Typed(f"made.{self.state.part}.measured.{self.state.path}", self.entry.value)

    def _step(self, by: int) -> None:
        if self.take():
            state = self.state.stepped(by)
            if state is None:
                self.action_list()
            else:
                self.put(state)

    def action_enter(self) -> None:
        """Take what is typed and go on to the next row."""
        self._step(1)

    def action_prompt_back(self) -> None:
        """Take what is typed and go back one row."""
        self._step(-1)

    def _to_row(self, path: str) -> None:
        """Go to the row that was clicked on."""
        if self.focused is not self.entry:
            self._to_entry()
        if self.state.open and self.then(lambda state: state.at_path(path)):
            self.to("entry")

    # what can be done anywhere here

    def action_rest(self) -> None:
        """Go back to the list; what was typed is dropped."""
        self.action_list()
        self.put(self.state.silent())

    def action_weigh(self) -> None:
        """See in the change view what the value at hand leads to, before it is kept."""
        if not self.state.open or self.focused is not self.entry:
            self._to_entry()
            return
        trial = self.state.weighed(self.entry.value)
        if trial.refused:
            self.put(self.state.noticed(trial.notice), typed=True)
            return
        self.app.push_screen(ChangeScreen(self._work, trial))

    def action_plug(self) -> None:
        """Plug what stands astray, in one change that can be taken back."""
        new = made_state.with_plugs(self.at_hand)
        if new is self.at_hand:
            self.put(self.state.said("No hole in a made plate is to be plugged."))
            return
        told = made_text.after_plugs(self.at_hand, new)
        self._work.set_desk(self._work.desk.changed(new, made_text.PLUGGED).silent())
        self.put(self.state.said(told))

    def action_read_off(self) -> None:
        """Go to what was read off with the parts put together."""
        self.app.push_screen(ReadOffScreen(self._work))

    def help_page(self) -> Content:
        """Return the help of the made parts."""
        return made_text.help_page()


def over(work: "Host") -> MadeScreen:
    """Return the list of made parts over a working screen."""
    return MadeScreen(work)
