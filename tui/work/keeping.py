"""Saving and leaving: the questions that come with them, for the working screen."""

from dataclasses import replace
from pathlib import Path
from typing import Any, Protocol

from textual.app import App

from core.errors import BoltwrightError, SaveError
from core.files.project_file import load
from core.files.recent import remember
from core.files.recovery import Typed
from core.files.safe_save import ChangedOnDiskError
from core.text import plain
from tui.desk import saving
from tui.desk.desk import Desk
from tui.desk.session import opened
from tui.widgets.dialogs import Answer, Ask, AskName


class Kept(Protocol):
    """The screen whose lock is kept."""

    desk: Desk

    @property
    def app(self) -> App[Any]:
        """The program."""

    def set_desk(self, desk: Desk, *, typed: bool = False) -> None:
        """Put another desk in place and show it; with `typed` the entry keeps what was typed."""

    def dismiss(self, result: None = None) -> Any:
        """Leave the screen."""


class Keeping:
    """Saves the lock of a working screen, keeps its recovery copy, and asks before it is left."""

    def __init__(self, screen: Kept) -> None:
        """Serve one working screen."""
        self._screen = screen
        self._watch = saving.Watch()
        self._leaving = False
        self._copy_failed = False
        self._seated = True

    @property
    def _desk(self) -> Desk:
        return self._screen.desk

    def _say(self, text: str) -> None:
        self._screen.set_desk(self._desk.said(text), typed=True)

    def watch_anew(self) -> None:
        """Watch the file of the session at hand."""
        self._watch = saving.Watch.of(self._desk.session)

    def look_at_disk(self) -> None:
        """Tell the maker when the file has been changed by somebody else."""
        self._watch, news = self._watch.looked()
        if news:
            self._say(news)

    def keep_copy(self, typed: Typed | None = None) -> str:
        """Write the recovery copy, with what is `typed` and not entered; return why it could not be.

        A failure is shown once, not at every value.
        """
        try:
            saving.keep_copy(self._desk.session, typed)
        except SaveError as error:
            if not self._copy_failed:
                self._say(f"{error}. F2 still saves the lock itself.")
            self._copy_failed = True
            return f"{error}."
        self._copy_failed = False
        return ""

    def stand_up(self) -> None:
        """Let other programs have the lock to themselves."""
        if self._seated:  # once: by the time the screen is gone, another may have the same lock
            saving.stand_up(self._desk.session)
        self._seated = False

    def _go(self) -> None:
        self.stand_up()
        self._screen.dismiss(None)

    def save(self) -> None:
        """Save to the lock's own file, or ask for a name."""
        if self._desk.session.project.path is None:
            self._ask_name()
        else:
            self._write(None, over=False)

    def save_as(self) -> None:
        """Ask for a name, and save under it."""
        self._ask_name()

    def leave(self) -> None:
        """Leave, asking first if anything is unsaved."""
        if not self._desk.session.dirty:
            self.keep_copy()  # takes it away: the checks that would have may not have come to it yet
            self._go()
            return
        title = plain(self._desk.lock.title)
        new = self._desk.session.project.path is None
        question = Ask(
            f"{title} was never saved." if new else f"{title} has changes that are not saved.",
            Answer("save", "Save, then leave"),
            Answer("drop", "Leave without saving"),
            Answer("stay", "Stay here"),
        )
        self._screen.app.push_screen(question, self._leave_as)

    def _leave_as(self, answer: str | None) -> None:
        if answer == "save":
            self._leaving = True
            self.save()
        elif answer == "drop":
            session = self._desk.session
            # what is left on purpose is not offered again
            self._screen.desk = replace(
                self._desk, session=replace(session, lock=session.project.lock)
            )
            self.keep_copy()
            self._go()

    def _ask_name(self, why: str = "") -> None:
        name = saving.suggested_name(self._desk.session)
        self._screen.app.push_screen(AskName(name, why), self._named)

    def _named(self, path: Path | None) -> None:
        if path is None:
            self._leaving = False
            self._say("Not saved.")
        else:
            self._write(path, over=False)

    def _write(self, path: Path | None, *, over: bool) -> None:
        target = path or self._desk.session.project.path
        try:
            session, news = saving.saved(self._desk.session, path, over=over)
        except ChangedOnDiskError as error:
            self._ask_over(target, str(error))
            return
        except BoltwrightError as error:
            self._leaving = False
            self._say(f"{error}.")
            return
        if session.project.path is not None:
            remember(session.project.path)
        done, told = replace(self._desk, session=session), f"Saved in {plain(str(target))}. {news}"
        try:
            saving.keep_history(session)
        except SaveError as error:
            told += f" {error}."
        self._screen.set_desk(done.said(told.strip()), typed=True)
        self.watch_anew()
        if self._leaving:
            self._go()

    def _ask_over(self, target: Path | None, why: str) -> None:
        own = target == self._desk.session.project.path
        answers = [
            Answer("over", "Write over it; what is there now is kept beside it, with a ~"),
            Answer("name", "Save under another name"),
            Answer("stay", "Go back without saving"),
        ]
        if own:
            answers.insert(2, Answer("theirs", "Drop what is here and take the file as it is now"))

        def done(answer: str | None) -> None:
            if answer == "over":
                self._write(target, over=True)
            elif answer == "name":
                self._ask_name()
            elif answer == "theirs" and target is not None:
                self._take_theirs(target)
            else:
                self._leaving = False

        self._screen.app.push_screen(Ask(f"{why}.", *answers), done)

    def _take_theirs(self, path: Path) -> None:
        self._leaving = False
        try:
            project = load(path)
        except BoltwrightError as error:
            self._say(f"{error}.")
            return
        session = self._desk.session
        # the maker's own lock is one step back, should it be wanted after all
        mine = opened(project)
        history = session.changed(project.lock, what="the file taken from the disk").history
        taken = replace(mine, history=history, seat=session.seat)
        desk = replace(self._desk, session=taken)
        self._screen.set_desk(desk.at_step(self._desk.step_number).said("Taken from the disk."))
        self.watch_anew()
        self.keep_copy()
