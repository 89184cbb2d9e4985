"""The working screen: one lock, its steps, its drawing and its findings."""

import importlib
from collections.abc import Iterator
from dataclasses import replace

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from core.files.recovery import Typed
from core.layout.findings import Finding
from tui.desk.checking import Checked
from tui.desk.checks import checks_of
from tui.desk.desk import Desk, typed_again
from tui.desk.mending import mended_at
from tui.desk.opening import Opened, taken
from tui.desk.proposing import proposed
from tui.desk.session import Session
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, OPENINGS, QUESTION
from tui.keys.of_work import KEYS, PROPOSING, ROWS, WORK, opened_at
from tui.steps.walk import all_steps
from tui.widgets import desk_text as wording
from tui.widgets.drawing_view import Drawing
from tui.widgets.finding_help import finding_help
from tui.widgets.hints import Hints
from tui.widgets.lists import FindingList, StepList
from tui.widgets.piecework import Brought, Ended, Piecework, there
from tui.widgets.telling import tell
from tui.work.ahead import Ahead
from tui.work.board import Board
from tui.work.guide import guide_text, guided
from tui.work.help import help_page
from tui.work.keeping import Keeping
from tui.work.resting import Resting
from tui.work.row_keys import RowKeys
from tui.work.step_panel import StepPanel
from tui.work.ways import Ways

_LOOK_AT_DISK = 2.0  # [s]


_HELP_EDGES = 9
"""Columns of the help that its frame and its bar take."""


class WorkScreen(RowKeys):
    """One lock. All that is true of it is in `desk`; the widgets only show that."""

    KEYS = KEYS
    BINDINGS = bindings(WORK, ROWS, PROPOSING, ACROSS, QUESTION)

    def __init__(
        self, session: Session, news: str = "", typed: Typed | None = None, *, guided: bool = False
    ) -> None:
        """Show the first prompt of the session's lock, with `news` of its file, if there are any.

        `typed` stood in the entry, and was not entered, when an earlier program was stopped; `guided` is a first lock.
        """
        super().__init__()
        self._typed = typed
        desk = Desk(session, guided=guided)
        self.desk = desk.said(news) if news else desk
        self.found: Checked | None = None
        self.board = Board(self)
        self._checks = Piecework[Checked](self, self._learn)
        self._shows = Piecework[Ended](self, lambda _: self._show_rest())
        self._to_show = False
        self.ways = Ways(self, self._learn_ways)
        self._resting = Resting(self, self._narrow)
        self._ahead = Ahead(self, self.board.foresee)
        self._keeping = Keeping(self)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        yield StepList(all_steps(), self._go, id="steps")
        yield Static(id="guide", markup=False)
        with Horizontal(id="bench"):
            with Vertical(id="board"):
                yield Drawing(id="drawing")
            with Vertical(id="side"):
                yield StepPanel(self, self._to_prompt, self._open, self._see_way, id="panel")
                yield FindingList(self._mend, id="findings")
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    @property
    def opened(self) -> Opened | None:
        """What lets something fit at the prompt at hand, or clears its stop, as far as it is known."""
        return self.ways.opened

    @property
    def checks_done(self) -> bool:
        """Whether everything has been worked out for the lock at hand."""
        shown = self._checks.done and not self._to_show
        return shown and self.ways.complete

    def on_mount(self) -> None:
        """Show the lock and start to watch its file."""
        if not self.children:
            return  # the program was left before the screen could be laid out
        self._keeping.watch_anew()
        self.set_interval(_LOOK_AT_DISK, self._keeping.look_at_disk)
        self.action_rest()
        self._show()
        self._show_rest()  # nobody has pressed a key yet: nothing goes before the drawing
        self._check_anew()
        if self._typed is not None:
            self.desk, open_still = typed_again(self.desk, self._typed)
            self._show()
            if open_still:
                self.entry.value = self._typed.text

    def on_unmount(self) -> None:
        """Let other programs have the lock to themselves."""
        self._keeping.stand_up()

    def unentered(self) -> Typed | None:
        """Return what is typed at the prompt and not entered."""
        entry = self.entry
        untouched = entry.kind.entering in ("picked", "none") or entry.value == self.desk.text
        return None if untouched else Typed(self.desk.path, entry.value)

    def keep(self, above: Typed | None) -> str:
        """Keep everything in the recovery copy, as the program is being stopped; return what went wrong.

        What is typed at the prompt counts, as it does on leaving, if it may stand; what is typed `above`, on another
        screen, is kept as it is.
        """
        own = self.unentered()
        if own is not None:
            taken = self.desk.taken(own.text)
            self.desk = self.desk if taken.refused else taken
        return self._keeping.keep_copy(above or own)

    def on_app_focus(self) -> None:
        """Look at the file when the maker comes back to this window."""
        self._keeping.look_at_disk()

    # the state, and showing it

    @property
    def state(self) -> Desk:
        """The desk."""
        return self.desk

    def put(self, state: Desk, *, typed: bool = False) -> None:
        """Put another desk in place and show it."""
        self.set_desk(state, typed=typed)

    def set_desk(self, desk: Desk, *, typed: bool = False) -> None:
        """Put another desk in place and show it; with `typed` the entry keeps what was typed."""
        before, self.desk = self.desk, desk
        self._ahead.leave_off()
        same = desk.session.lock == before.session.lock
        elsewhere = desk.step != before.step and not self._checks.done
        if not same or elsewhere or desk.session.notes != before.session.notes:
            self._check_anew()
        self._show(typed=typed and same)

    def _check_anew(self) -> None:
        """Check the lock, and keep a copy of it, when the screen has been drawn."""
        self._checks.begin(self._checking(self.desk))

    def _checking(self, desk: Desk) -> Iterator[Checked | Brought | None]:
        """Show the lock as it is before it is checked."""
        checks = checks_of(desk.lock, desk.session.notes, desk.in_view)
        self._show_rest()
        if checks.known is None:
            yield Brought()
        yield from checks.pieces()

    def _show(self, *, typed: bool = False) -> None:
        """Show what was typed at once, and all that takes longer when that stands on the screen."""
        if not there(self):
            return
        self.ways.keep_to(self.desk)
        self.query_one(StepPanel).show(self.desk, self.found, self.opened, typed=typed)
        self._to_show = True
        self._shows.begin(iter((Ended(),)))
        self._rest()

    def _show_rest(self) -> None:
        """Show in the drawing and the lists what has not been shown there yet."""
        if not self._to_show or not there(self):
            return
        self._to_show = False
        self.board.show(self.desk, self.opened)
        self._leave_out()
        self._show_found()
        self._look_for_ways()
        self.board.drawing.paint()

    def _leave_out(self) -> None:
        """Name no keys that do nothing just now."""
        step, ways = self.desk.step, self.ways.any
        idle = {ROWS: not step.rows, PROPOSING: step.propose is None, OPENINGS: not ways}
        self.set_class(ways, "-opened")
        self.query_one("#hints", Hints).leave_out(*(place for place, so in idle.items() if so))

    def _look_for_ways(self) -> None:
        if self._checks.done and self.found is not None:
            self.ways.look_for(self.desk, self.found)

    def _learn_ways(self, opened: Opened) -> None:
        """Show what lets something fit, if it is about the prompt at hand still."""
        if opened.is_of(self.desk):
            self.ways.learned(opened)
            self.query_one(StepPanel).show(self.desk, self.found, self.opened, typed=True)
            self._leave_out()

    def _show_found(self) -> None:
        found = self.found
        if found is not None:
            self.query_one(FindingList).show(found.findings)
        if found is None or found.complete:
            self.board.mark(self.desk, self.opened, found)
        tell(self, "title", wording.title_line(self.desk.session, found, self.app.size.width))
        steps = guided(self.desk)
        unseen = [number for number, step in enumerate(steps) if self.desk.unseen(step)]
        self.query_one(StepList).show(steps, self.desk.step_number, found, unseen)
        tell(self, "guide", guide_text(self.desk))

    def _learn(self, found: Checked) -> None:
        """Show what has been found of the lock at hand."""
        before = self.found.findings if self.found is not None else ()
        known = found if found.heard else replace(found, findings=before)
        self.found = self._resting.narrowed(known)
        self.desk = self.desk.judged(self.found.windows)
        self.query_one(StepPanel).show(self.desk, self.found, self.opened, typed=True)
        if found.heard:
            self._show_found()
        if found.complete:
            self._keeping.keep_copy()
            self._look_for_ways()
            self._rest()

    def _rest(self) -> None:
        """Use the time once all is known of the lock and the keys rest, for what may be asked next."""
        self._resting.begin(self.desk, self.found if self._checks.done else None)
        if self._checks.done:
            self._ahead.begin(self.desk)

    def _narrow(self) -> None:
        """Show the window at the prompt narrowed to what a turn of the key leaves of it."""
        if self.found is not None:
            self.found = self._resting.narrowed(self.found)
            self.query_one(StepPanel).show(self.desk, self.found, self.opened, typed=True)

    # what the entry hands over

    def action_enter(self) -> None:
        """Take the entry and go on; from the end of the walk to the first of what still stops the lock."""
        stops = [f for f in self.found.findings if f.level == "stop"] if self.found else []
        if stops and self.desk.ended and self.desk.untouched(self.entry.value):
            self._mend(stops[0])
        else:
            self.then(Desk.on)

    def action_prompt_back(self) -> None:
        """Take the entry and go back one prompt."""
        self.then(Desk.back)

    def _nudge(self, steps: int) -> None:
        self._ahead.nudged(self.desk.path, steps)
        super()._nudge(steps)

    def _given_up(self) -> None:
        """Put the value back as it was; where a way is looked at, look at the lock as it is before that."""
        if self.opened is not None and self.opened.looked_at is not None:
            self._look(replace(self.opened, looked=-1))
        else:
            self.set_desk(self.desk.silent())

    # what can be done anywhere

    def help_page(self) -> Content:
        """Return the help on the finding at the cursor, or else on the prompt at hand."""
        finding = self.query_one(FindingList).at_cursor
        return (
            finding_help(finding)
            if finding is not None
            else help_page(self.desk, min(self.size.width, 78) - _HELP_EDGES)
        )

    def action_open(self, name: str) -> None:
        """Take what is typed and open the screen of a module of `tui` over this one."""
        if self.then(Desk.silent):
            # not loaded before it is wanted
            self.entry.select_all()
            module = importlib.import_module(f"tui.{name}")
            self.app.push_screen(module.over(self))

    def action_keep(self) -> None:
        """Keep the size at hand in all that is proposed, or no more."""
        self.then(Desk.keep_turned)

    def action_undo(self) -> None:
        """Take back the last change."""
        self.set_desk(self.desk.undone())

    def action_redo(self) -> None:
        """Make the change again that was taken back."""
        self.set_desk(self.desk.redone())

    def _open(self, number: int) -> None:
        """Set elsewhere what lets something fit at the prompt at hand; what is typed there is put back."""
        self.set_desk(taken(self.desk, self.opened, number))

    def _see_way(self) -> None:
        """Draw the lock as the next of what can be set elsewhere would leave it; what is typed stays."""
        if self.opened is not None:
            self._look(self.opened.next_looked())

    def _look(self, opened: Opened) -> None:
        """Look at a way, in a view that shows what it sets, or at the lock as it is, as the prompt would have it."""
        self.ways.opened = opened
        self.board.look(self.desk, opened)
        self._show(typed=True)

    def action_propose(self) -> None:
        """Take what the step proposes."""
        self.then(proposed)
        self.action_rest()

    def action_guide(self) -> None:
        """Put the guide away, or call it."""
        self.then(Desk.guide_turned)

    def action_step_back(self) -> None:
        """Go to the step before."""
        self._go(self.desk.step_number - 1)

    def action_step_on(self) -> None:
        """Go to the next step."""
        self._go(self.desk.step_number + 1)

    def _go(self, number: int) -> None:
        self.then(lambda desk: desk.at_step(number))
        self.action_rest()

    def action_findings(self) -> None:
        """Go into the findings."""
        self.to("findings")

    def action_steps(self) -> None:
        """Go into the list of steps."""
        self.to("steps")

    def action_drawing(self) -> None:
        """Go into the drawing, in the view that it is to have: who moves it moves that."""
        self.board.choose(self.desk)
        self.to("drawing")

    def action_view(self) -> None:
        """Change the view."""
        self.set_desk(self.desk.said(f"View: {self.board.turn_view(self.desk)}."), typed=True)

    def action_save(self) -> None:
        """Save the lock."""
        if self.then(Desk.silent):
            self.entry.select_all()
            self._keeping.save()

    def action_save_as(self) -> None:
        """Save the lock under another name."""
        if self.then(Desk.silent):
            self.entry.select_all()
            self._keeping.save_as()

    def action_leave(self) -> None:
        """Leave the lock."""
        if self.then(Desk.silent):
            self._keeping.leave()

    # messages of the widgets

    def _to_prompt(self, path: str) -> None:
        """Go to the prompt that was clicked on."""
        self.then(lambda desk: desk.at_path(path).silent())
        self.action_rest()

    def _mend(self, finding: Finding) -> None:
        """Go to what mends a finding: a prompt, or the screen of the made parts."""
        opens = opened_at(finding.step)
        if opens:
            self.action_open(opens)
        else:
            self.then(lambda desk: mended_at(desk, finding, self.found).silent())
            self.action_rest()
