"""What is made already: the workpieces, each marked as made or not, and what was measured on it."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from core.errors import BoltwrightError
from core.lock.facts import record_of
from core.lock.lock import Lock, spec_of
from tui.change.screen import ChangeScreen
from tui.change.state import begun
from tui.keys import acts
from tui.made import state as made_state
from tui.made import text as made_text
from tui.made.asked import Asked, AskedRows
from tui.made.reading_screen import ReadOffScreen
from tui.widgets.help_screen import Help
from tui.widgets.hints import Hints
from tui.widgets.screens import OverScreen

if TYPE_CHECKING:
    from tui.desk.host import Host


class MadeScreen(OverScreen):
    """The workpieces of one lock. What is made stands in the lock of the working screen, nowhere else."""

    CSS_PATH = "made.tcss"
    BINDINGS = acts.bindings("made")

    def __init__(self, work: "Host") -> None:
        """Show the workpieces of the lock on a working screen."""
        super().__init__(work)
        self._pieces = made_state.workpieces()
        self.part = self._pieces[0][0]
        self.row = 0
        self._shown: Lock | None = None
        self.asked = Asked(self, id="asked")

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            yield OptionList(id="pieces", markup=False)
            with VerticalScroll(id="side", can_focus=False):
                yield Static(id="head", markup=False)
                yield self.asked
                yield Static(id="told", markup=False)
                yield Static(id="stands", markup=False)
        yield Static("", id="small", markup=False)
        yield Hints("made", id="hints")

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one("#pieces", OptionList).add_options([Option("") for _ in self._pieces])
        self._show()
        self.action_list()

    def on_screen_resume(self) -> None:
        """Show what may have been changed on another screen."""
        if self._shown is not None:
            # what is typed, and was only weighed there, still stands here
            self._show(typed=self._shown == self.at_hand)

    def _rest(self) -> None:
        self.action_list()

    def _show(self, *, typed: bool = False) -> None:
        lock, pieces = self.at_hand, self.query_one("#pieces", OptionList)
        self._shown = lock
        self.query_one("#title", Static).update(made_text.title(lock, self.size.width))
        for index, (part, name) in enumerate(self._pieces):
            pieces.replace_option_prompt_at_index(index, made_text.piece(lock, part, name))
        self.query_one("#head", Static).update(made_text.head(lock, self.part))
        rows = made_state.measured_rows(lock, self.part)
        self.row = min(self.row, max(len(rows) - 1, 0))
        self.asked.show(rows, self.row, typed=typed)
        self._show_said()
        self.query_one("#stands", Static).update(made_text.stands(lock, self.part))

    def _change(self, lock: Lock, what: str, told: str) -> None:
        """Go on with another lock, in one change that can be taken back."""
        self._work.set_desk(self._work.desk.changed(lock, what).silent())
        self._say(told)

    # the list

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the workpiece at the cursor."""
        self._to_part(self._pieces[event.option_index][0])

    def _to_part(self, part: str) -> None:
        if part != self.part:
            self.part, self.row = part, 0
            self._say("")

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go to what can be measured on the workpiece."""
        self.part = self._pieces[event.option_index][0]
        self._to_entry()

    def _to_entry(self) -> None:
        if record_of(self.at_hand, self.part) is None:
            self._say("Not marked as made: Space marks it, with the dimensions as they now stand.")
        elif made_state.measurable(self.at_hand, self.part):
            self.row = 0
            self.asked.entry.focus()
            self._say("")
        else:
            self._say("Nothing of it is measured here.")

    def action_mark(self) -> None:
        """Mark the workpiece at the cursor as made, or as not made."""
        cursor = self.query_one("#pieces", OptionList).highlighted
        if cursor is not None:
            # in a fast burst of keys the list's word of its cursor is still on its way
            self._to_part(self._pieces[cursor][0])
        lock, part = self.at_hand, self.part
        what = made_state.turned_words(lock, part)
        new = made_state.turned(lock, part)
        said = (
            "as everything now stands"
            if record_of(new, part) is not None
            else "what was measured goes too"
        )
        self._change(new, what, f"{what[0].upper()}{what[1:]}: {said}. Ctrl+Z takes it back.")

    def action_list(self) -> None:
        """Go to the list."""
        self.query_one("#pieces").focus()
        self.query_one("#pieces", OptionList).highlighted = [p for p, _ in self._pieces].index(
            self.part
        )

    # what the entry hands over

    def _path(self) -> str:
        return made_state.measurable(self.at_hand, self.part)[self.row]

    def _take(self) -> bool:
        """Take what is typed as measured; say whether it may stand."""
        lock, path, text = self.at_hand, self._path(), self.asked.entry.value
        before = made_state.measured_rows(lock, self.part)[self.row].text
        if text.strip() == before:
            return True
        try:
            new = made_state.with_entry(lock, self.part, path, text)
        except BoltwrightError as refusal:
            self._say(str(refusal).replace(path, spec_of(path).label, 1), "bad", typed=True)
            return False
        name = dict(self._pieces)[self.part]
        gone = not text.strip()
        what = f"{spec_of(path).label}, {'not ' if gone else ''}measured on the {name}"
        self._change(new, what, made_text.after(new, self.part, path))
        return True

    def _step(self, by: int) -> None:
        if not self._take():
            return
        row = self.row + by
        if not 0 <= row < len(made_state.measurable(self.at_hand, self.part)):
            self.action_list()
            self._show()
            return
        self.row = row
        self._show()

    def action_enter(self) -> None:
        """Take what is typed and go on to the next row."""
        self._step(1)

    def action_prompt_back(self) -> None:
        """Take what is typed and go back one row."""
        self._step(-1)

    def _nudge(self, steps: int) -> None:
        path = self._path()
        try:
            text = made_state.nudged_text(
                self.at_hand, self.part, path, self.asked.entry.value, steps
            )
        except BoltwrightError as refusal:
            self._say(str(refusal), "bad", typed=True)
            return
        self.asked.entry.load(text, spec_of(path).kind, anew=True)
        self._take()

    def on_asked_rows_chosen(self, message: AskedRows.Chosen) -> None:
        """Go to the row that was clicked on."""
        if record_of(self.at_hand, self.part) is None:
            self._to_entry()
            return
        self.row = made_state.measurable(self.at_hand, self.part).index(message.key)
        self.asked.entry.focus()
        self._say("")

    # what can be done anywhere here

    def action_escape(self) -> None:
        """From an entry go back to the list, from there to the step; what was typed is dropped."""
        if self.asked.entry.has_focus:
            self.action_list()
            self._say("")
        else:
            self.dismiss(None)

    def action_weigh(self) -> None:
        """See in the change view what the value at hand leads to, before it is kept."""
        if record_of(self.at_hand, self.part) is None or not self.asked.entry.has_focus:
            self._to_entry()
            return
        trial = begun(self.at_hand, self._path()).taken(self.asked.entry.value)
        if trial.refused and trial.notice is not None:
            self._say(trial.notice.text, "bad", typed=True)
            return
        self.app.push_screen(ChangeScreen(self._work, trial))

    def action_plug(self) -> None:
        """Plug what stands astray, in one change that can be taken back."""
        new = made_state.with_plugs(self.at_hand)
        if new is self.at_hand:
            self._say("No hole in a made plate is to be plugged.")
            return
        self._change(new, made_text.PLUGGED, made_text.after_plugs(self.at_hand, new))

    def action_read_off(self) -> None:
        """Go to what was read off with the parts put together."""
        self.app.push_screen(ReadOffScreen(self._work))

    def action_help(self) -> None:
        """Help."""
        self.app.push_screen(Help(made_text.help_text(), "the made parts"))


def over(work: "Host") -> MadeScreen:
    """Return the list of made parts over a working screen."""
    return MadeScreen(work)
