"""The sheets: which of them, on what paper, into what folder; written beside the screen, with progress."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from core.errors import BoltwrightError
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, LINE
from tui.keys.of_sheets import FOLDER, KEYS, MARK, SHEETS, WHICH
from tui.sheets import job as sheets_job
from tui.sheets import text as sheets_text
from tui.sheets.asking import AskAndDo
from tui.sheets.job import Done, Order, StoppedError
from tui.sheets.state import Choice, State
from tui.widgets.choice_list import ChoiceList
from tui.widgets.dialogs import Answer, Ask
from tui.widgets.hints import Hints
from tui.widgets.keyed import Dialog
from tui.widgets.line import Line

if TYPE_CHECKING:
    from tui.desk.host import Host


class Folder(Line, inherit_bindings=False):
    """The line for the folder's name."""

    BINDINGS = bindings(LINE, FOLDER)


class Which(ChoiceList, inherit_bindings=False):
    """The sheets to choose from; up from the first one leads back to the folder."""

    BINDINGS = bindings(WHICH, MARK)

    def action_cursor_up(self) -> None:
        """Go to the sheet above, from the first one to the folder."""
        if self.highlighted:
            super().action_cursor_up()
        else:
            self.screen.focus_previous()


class SheetsScreen(Dialog[None]):
    """The sheets of one lock. A worker writes them; it only posts messages."""

    CSS_PATH = "sheets.tcss"
    KEYS = KEYS
    BINDINGS = bindings(SHEETS, ACROSS)

    @dataclass
    class Offered(Message):
        """What there is to write, for a cutter with a `kerf` [mm] or on paper, and the printers that were measured.

        `refusal` says in a sentence why there is nothing.
        """

        choices: tuple[Choice, ...]
        printers: tuple[str, ...]
        kerf: float | None = None
        refusal: str = ""

    @dataclass
    class Began(Message):
        """A file is being written."""

        number: int
        count: int
        name: str

    @dataclass
    class Ended(Message):
        """Writing came to an end: done, or why it was not in a sentence; `names` are in the way."""

        done: Done | None = None
        refusal: str = ""
        names: tuple[str, ...] = ()

    def __init__(self, work: "Host") -> None:
        """Offer the sheets of the lock on a working screen."""
        super().__init__()
        self._work = work
        session = work.desk.session
        self._session = session
        self.state = State(sheets_job.first_paper(session.lock))
        self.writing = False
        self.looking = False
        self._kerf: float | None = None
        self._order: Order | None = None
        self._stop = threading.Event()

    def compose(self) -> ComposeResult:
        """Lay out the dialog."""
        with Vertical(classes="box"):
            yield Static(id="head", markup=False)
            with Horizontal(id="where"):
                yield Static("Folder  ", markup=False)
                yield Folder(sheets_job.first_folder(self._session), id="folder")
            yield Static(id="paper", markup=False)
            yield Which(self._turn, id="sheets")
            yield Static(id="told", markup=False)
        yield Hints(self.KEYS, id="hints")

    @property
    def checks_done(self) -> bool:
        """Whether nothing is being worked out or written."""
        return not (self.looking or self.writing)

    def on_mount(self) -> None:
        """Begin at the folder; find out what there is to write."""
        self.query_one("#head", Static).update(sheets_text.head(self._session))
        self.set_focus(self.query_one(Folder))
        self._look(None)

    def on_unmount(self) -> None:
        """Write no more files once nobody can see it."""
        self._stop.set()

    # beside the screen: messages only

    def _run(self, what: Callable[[], None]) -> None:
        self.run_worker(what, thread=True, exit_on_error=False)

    def _look(self, kerf: float | None) -> None:
        """Find out what there is to write for a cutter with that kerf [mm], or on paper."""
        self._kerf, self.looking = kerf, True
        self._say("Finding out what there is to write ...")
        self._show()
        self._run(self._offer)

    def _offer(self) -> None:
        kerf, session = self._kerf, self._session
        names = sheets_job.printers().names
        try:
            choices = (
                sheets_job.choices(session.lock, session.project.path, session.project.notes)
                if kerf is None
                else sheets_job.parts(session.lock, kerf)
            )
        except BoltwrightError as error:
            self.post_message(self.Offered((), names, kerf, f"{error}."))
        else:
            self.post_message(self.Offered(choices, names, kerf))

    def _write(self) -> None:
        from core.sheets.folder import NotOursError

        if self._order is None:
            return
        try:
            done = sheets_job.written(self._order, self._progress)
        except NotOursError as error:
            self.post_message(self.Ended(refusal=f"{error}.", names=error.names))
        except BoltwrightError as error:
            self.post_message(self.Ended(refusal=f"{error}."))
        except StoppedError as stop:
            self.post_message(self.Ended(refusal=sheets_text.stopped(stop.written, stop.count)))
        else:
            self.post_message(self.Ended(done))

    def _progress(self, number: int, count: int, name: str) -> None:
        if self._stop.is_set():
            raise StoppedError(number - 1, count)
        self.post_message(self.Began(number, count, name))

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Tell of a fault in the program; nothing else is lost by it."""
        if event.state == WorkerState.ERROR:
            fault = event.worker.error
            self._end(
                f"The sheets could not be written ({type(fault).__name__}: {fault}). That is a fault in this "
                "program; the lock is kept as it is.", bad=True,
            )  # fmt: skip

    # what the worker posts

    def on_sheets_screen_offered(self, message: Offered) -> None:
        """Show what there is, all of it chosen but the test page; or say why there is nothing, and stay as it was."""
        self.looking = False
        if message.refusal:
            self._say(message.refusal, bad=True)
            return
        usual = frozenset(c.name for c in message.choices) - {sheets_job.TEST_PAGE}
        state = replace(self.state, printers=message.printers, kerf=message.kerf)
        self.state = state.offering(message.choices, usual)
        self._say("")
        self._compare()

    def on_input_changed(self) -> None:
        """Say anew what is stale: another folder is typed."""
        self._compare()

    def _compare(self) -> None:
        """Look what has become of the sheets in the folder that is typed."""
        folder, path = self.query_one(Folder).value, self._session.project.path
        found = sheets_job.found(self.state.choices, folder, path)
        self.state = replace(self.state, found=found)
        self._show()

    def on_sheets_screen_began(self, message: Began) -> None:
        """Show how far it is."""
        told = sheets_text.progress(
            message.number, message.count, message.name, stopping=self._stop.is_set()
        )
        self.query_one("#told", Static).update(told)

    def on_sheets_screen_ended(self, message: Ended) -> None:
        """Say what came of it, or ask about files that are in the way."""
        if message.done is not None and self._order is not None:
            self._end(sheets_text.done(message.done, self._order))
            self._compare()
        elif message.names:
            self._end("")
            self._ask_over(message.refusal)
        else:
            self._end(message.refusal, bad=not self._stop.is_set())

    def _ask_over(self, why: str) -> None:
        question = Ask(
            why,
            Answer("stay", "Leave them as they are, and choose another folder"),
            Answer("over", "Write over them"),
            Answer("stay", "Go back"),
        )

        def answered(answer: str | None) -> None:
            if answer == "over" and self._order is not None:
                self._begin(replace(self._order, replace=True))
            else:
                self._say("Nothing was written.")
                self.set_focus(self.query_one(Folder))

        self.app.push_screen(question, answered)

    # showing

    def _say(self, text: str, *, bad: bool = False) -> None:
        self.query_one("#told", Static).update(
            Content.styled(text, "bold $stop" if bad else "$strong")
        )

    def _end(self, text: str, *, bad: bool = False) -> None:
        self.writing = self.looking = False
        self._say(text, bad=bad)
        self._show()

    def _show(self) -> None:
        self.query_one("#paper", Static).update(
            sheets_text.settings(self.state, self._session.lock.units)
        )
        rows = [sheets_text.row(choice, self.state) for choice in self.state.choices]
        sheets = self.query_one(Which)
        if sheets.option_count == len(rows):
            sheets.write(rows)
        else:
            sheets.fill(rows)

    # keys

    def put(self, state: State) -> None:
        """Show another state, unless sheets are being written."""
        if not self.writing:
            self.state = state
            self._show()

    def _turn(self, index: int) -> None:
        self.put(self.state.turned(self.state.choices[index].name))

    def action_mark(self) -> None:
        """Choose the sheet at the cursor, or leave it out."""
        here = self.query_one(Which).highlighted
        if here is not None and self.state.choices:
            self._turn(here)

    def action_all(self) -> None:
        """Choose all, or none if all are chosen."""
        self.put(self.state.all_or_none())

    def action_list(self) -> None:
        """Go into the list of sheets."""
        self.set_focus(self.query_one(Which))

    def action_paper(self) -> None:
        """Turn to the other paper."""
        self.put(self.state.with_paper_turned())

    def action_printer(self) -> None:
        """Turn to the next printer that was measured, or to none."""
        if not self.state.printers:
            self._say("No printer was measured so far: M measures one.")
        self.put(self.state.with_printer_turned())

    def action_measure(self) -> None:
        """Ask what the bars of a printer measure, and keep it."""
        self._ask(
            sheets_text.ask_bars(self._session.lock.units), self.state.printer, self._measured
        )

    def _measured(self, typed: str) -> str:
        name = sheets_job.measured(typed, self._session.lock.units)
        names = sheets_job.printers().names
        self.put(replace(self.state, printers=names, printer=name))
        return sheets_text.kept(name)

    def action_cutter(self) -> None:
        """Turn to files for a cutter, asking for its kerf, or back to sheets."""
        if self.looking or self.writing:
            return
        if self.state.for_cutter:
            self._look(None)
        else:
            self._ask(sheets_text.ask_kerf(self._session.lock.units), "0", self._cut)

    def _cut(self, typed: str) -> str:
        self._look(sheets_job.kerf_typed(typed, self._session.lock.units))
        return ""

    def action_check(self) -> None:
        """Ask for the mark of a printed sheet, and say whether it agrees with the lock."""
        self._ask(sheets_text.ASK_MARK, "", self._checked)

    def _checked(self, typed: str) -> str:
        return sheets_job.checked(self._session, typed)

    def _ask(self, question: str, suggested: str, then: Callable[[str], str]) -> None:
        """Ask for a line and do something with it; what that returns is told."""
        if self.writing:
            return

        def answered(told: str | None) -> None:
            if told:
                self._say(told)

        self.app.push_screen(AskAndDo(question, suggested, then), answered)

    def action_write(self) -> None:
        """Write what is chosen."""
        if self.looking or self.writing:
            return
        try:
            order = sheets_job.ordered(self._session, self.query_one(Folder).value, self.state)
        except BoltwrightError as refusal:
            self._say(f"{refusal}.", bad=True)
        else:
            self._begin(order)

    def _begin(self, order: Order) -> None:
        self._order, self.writing = order, True
        self._stop.clear()
        self._say("Laying out the sheets ...")
        self._run(self._write)

    def action_escape(self) -> None:
        """Stop writing, or go back."""
        if not self.writing:
            self.dismiss(None)
            return
        self._stop.set()
        self._say("Stopping after the file at hand ...")

    def help_page(self) -> Content:
        """Return the help of the dialog."""
        return sheets_text.help_page()


def over(work: "Host") -> SheetsScreen:
    """Return the sheets dialog over a working screen."""
    return SheetsScreen(work)
