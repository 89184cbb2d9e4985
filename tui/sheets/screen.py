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
from core.sheets.paper import PAPERS
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, LINE
from tui.keys.of_sheets import FOLDER, KEYS, MARK, SHEETS, WHICH
from tui.sheets import job as sheets_job
from tui.sheets import text as sheets_text
from tui.sheets.job import Choice, Done, Order, StoppedError
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
        """What there is to write."""

        choices: tuple[Choice, ...]

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
        self.paper = sheets_job.first_paper(session.lock)
        self.choices: tuple[Choice, ...] = ()
        self.chosen: frozenset[str] = frozenset()
        self.writing = False
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
        return bool(self.choices) and not self.writing

    def on_mount(self) -> None:
        """Begin at the folder; find out what there is to write."""
        self.query_one("#head", Static).update(sheets_text.head(self._session))
        self.set_focus(self.query_one(Folder))
        self._say("Finding out what there is to write ...")
        self._show()
        self._run(self._offer)

    def on_unmount(self) -> None:
        """Write no more files once nobody can see it."""
        self._stop.set()

    # beside the screen: messages only

    def _run(self, what: Callable[[], None]) -> None:
        self.run_worker(what, thread=True, exit_on_error=False)

    def _offer(self) -> None:
        self.post_message(self.Offered(sheets_job.choices(self._session.lock)))

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
        """Show what there is, all of it chosen."""
        self.choices = message.choices
        self.chosen = frozenset(choice.name for choice in message.choices)
        self.query_one(Which).fill(Content("") for _ in self.choices)
        self._say("")
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
        self.writing = False
        self._say(text, bad=bad)
        self._show()

    def _show(self) -> None:
        self.query_one("#paper", Static).update(sheets_text.papers(self.paper))
        self.query_one(Which).write(
            sheets_text.row(choice, chosen=choice.name in self.chosen) for choice in self.choices
        )

    # keys

    def _turn(self, index: int) -> None:
        if not self.writing:
            self.chosen = self.chosen ^ {self.choices[index].name}
            self._show()

    def action_mark(self) -> None:
        """Choose the sheet at the cursor, or leave it out."""
        here = self.query_one(Which).highlighted
        if here is not None and self.choices:
            self._turn(here)

    def action_all(self) -> None:
        """Choose all, or none if all are chosen."""
        if not self.writing:
            names = frozenset(choice.name for choice in self.choices)
            self.chosen = frozenset() if self.chosen == names else names
            self._show()

    def action_list(self) -> None:
        """Go into the list of sheets."""
        self.set_focus(self.query_one(Which))

    def action_paper(self) -> None:
        """Turn to the other paper."""
        if not self.writing:
            papers = tuple(PAPERS)
            self.paper = papers[(papers.index(self.paper) + 1) % len(papers)]
            self._show()

    def action_write(self) -> None:
        """Write what is chosen."""
        if self.writing or not self.choices:
            return
        names = tuple(c.name for c in self.choices if c.name in self.chosen)
        folder = self.query_one(Folder).value
        try:
            order = sheets_job.ordered(self._session, folder, self.paper, names)
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
