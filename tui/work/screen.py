"""The working screen: one lock, its steps, its drawing and its findings."""

import importlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from tui.desk import row_moves
from tui.desk.checking import Checked, checking
from tui.desk.desk import Desk
from tui.desk.mending import mended_at
from tui.desk.proposing import proposed
from tui.desk.session import Session, layout_of
from tui.keys import acts
from tui.plot.picture import Wanted
from tui.plot.scale import Sight
from tui.plot.views import View, region, upright
from tui.steps.walk import all_steps
from tui.widgets import desk_text as wording
from tui.widgets.drawing_view import Drawing
from tui.widgets.finding_help import finding_help
from tui.widgets.help_screen import Help, help_text
from tui.widgets.hints import Hints
from tui.widgets.lists import FindingList, StepList
from tui.widgets.screens import EntryScreen
from tui.work.keeping import Keeping
from tui.work.row_name import RowName
from tui.work.step_panel import PromptRows, StepPanel

_VIEWS: tuple[View, ...] = ("whole", "plate", "tooth")
_LOOK_AT_DISK = 2.0  # [s]


class WorkScreen(EntryScreen):
    """One lock. All that is true of it is in `desk`; the widgets only show that."""

    BINDINGS: ClassVar = [
        *acts.bindings("anywhere"),
        *acts.bindings("rows"),
        *acts.bindings("proposing"),
    ]

    def __init__(self, session: Session, news: str = "") -> None:
        """Show the first prompt of the session's lock, with `news` of its file, if there are any."""
        super().__init__()
        self.desk = Desk(session).said(news) if news else Desk(session)
        self.found: Checked | None = None
        self.view: View = self.desk.step.view
        self._checks: Iterator[Checked | None] = iter(())
        self._round, self._done = 0, -1
        self._keeping = Keeping(self)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        yield StepList(all_steps(), id="steps")
        with Horizontal(id="bench"):
            with Vertical(id="board"):
                yield Drawing(id="drawing")
            with Vertical(id="side"):
                yield StepPanel(self, id="panel")
                yield FindingList(id="findings")
        yield Static("", id="small", markup=False)
        yield Hints(id="hints")

    @property
    def checks_done(self) -> bool:
        """Whether everything has been worked out for the lock at hand."""
        return self._round == self._done

    def on_mount(self) -> None:
        """Show the lock and start to watch its file."""
        self._keeping.watch_anew()
        self.set_interval(_LOOK_AT_DISK, self._keeping.look_at_disk)
        self.query_one("#entry").focus()
        self._changed(new_step=True)

    def _rest(self) -> None:
        self.action_prompt()

    def on_app_focus(self) -> None:
        """Look at the file when the maker comes back to this window."""
        self._keeping.look_at_disk()

    # the state, and showing it

    def set_desk(self, desk: Desk, *, typed: bool = False) -> None:
        """Put another desk in place and show it; with `typed` the entry keeps what was typed."""
        before, self.desk = self.desk, desk
        if desk.session.lock != before.session.lock:
            self._changed(new_step=desk.step != before.step)
        else:
            self._turn_to_step(desk.step != before.step)
            self._show(typed=typed)

    def _changed(self, *, new_step: bool) -> None:
        """Show a changed lock at once; check it and keep a copy when the screen has been drawn."""
        self._turn_to_step(new_step)
        self._show()
        self._round += 1
        self._checks = checking(layout_of(self.desk.lock), self.desk.session.notes)
        self.call_after_refresh(self._check_on, self._round)

    def _turn_to_step(self, new: bool) -> None:
        if new:
            self.view = self.desk.step.view
            self.query_one(Drawing).look(Sight())

    def _show(self, *, typed: bool = False) -> None:
        if not self.is_attached:
            return
        desk, found = self.desk, self.found
        layout = layout_of(desk.lock)
        drawing = self.query_one(Drawing)
        wanted = Wanted(desk.parts, desk.measured_out, desk.path)
        drawing.show(upright(layout), region(layout, self.view), wanted)
        self.query_one(StepPanel).show(desk, found, typed=typed)
        wanting = {"rows": bool(desk.step.rows), "proposing": desk.step.propose is not None}
        places = (place for place in acts.WORKING if wanting.get(place, True))
        self.query_one(Hints).at(*places)
        self._show_found()

    def _show_found(self) -> None:
        title = wording.title_line(self.desk.session, self.found, self.size.width)
        self.query_one("#title", Static).update(title)
        self.query_one(StepList).show(self.desk.step_number, self.found)
        if self.found is not None:
            self.query_one(FindingList).show(self.found.findings)

    def _check_on(self, number: int) -> None:
        """Work out one more share of the checks, unless the lock has changed since."""
        if number != self._round or not self.is_attached:
            return
        for step in self._checks:
            if step is None:
                break
            before = self.found.findings if self.found is not None else ()
            self.found = step if step.complete else replace(step, findings=before)
            self.desk = self.desk.judged(step.windows)
            self.query_one(StepPanel).show(self.desk, self.found, typed=True)
            if step.complete:
                self._done = number
                self._show_found()
                self._keeping.keep_copy()
                return
        self.call_later(self._check_on, number)

    # what the entry hands over

    def pick(self, start: str) -> bool:
        """Take the choice that begins with `start`; say whether there is one."""
        self.set_desk(self.desk.picked(start))
        return not self.desk.refused

    def then(self, go_on: Callable[[Desk], Desk]) -> bool:
        """Take what is typed and go on from there; a bad entry stays. Say whether it went on."""
        entry = self.query_one(StepPanel).entry
        desk = (
            self.desk if self.desk.spec.kind.entering == "picked" else self.desk.taken(entry.value)
        )
        if desk.refused:
            self.set_desk(desk, typed=True)
            return False
        self.set_desk(go_on(desk))
        return True

    def action_enter(self) -> None:
        """Take the entry and go on."""
        self.then(Desk.on)

    def action_prompt_back(self) -> None:
        """Take the entry and go back one prompt."""
        self.then(Desk.back)

    def _nudge(self, steps: int) -> None:
        self.then(lambda desk: desk.nudged(steps))

    def action_escape(self) -> None:
        """Put the value back as it was."""
        self.set_desk(self.desk.silent())

    def action_line_break(self) -> None:
        """Say where a line break belongs; the entry sets it itself where it does."""
        self.set_desk(self.desk.said("New lines are for notes only."))

    # what can be done anywhere

    def action_help(self) -> None:
        """Help on the finding at the cursor, or else on the prompt."""
        finding = self.query_one(FindingList).at_cursor
        self.app.push_screen(Help(finding_help(finding) if finding else help_text(self.desk)))

    def action_open(self, name: str) -> None:
        """Take what is typed and open the screen of a module of `tui` over this one."""
        if self.then(Desk.silent):
            # not loaded before it is wanted
            module = importlib.import_module(f"tui.{name}")
            self.app.push_screen(module.over(self))

    def action_undo(self) -> None:
        """Take back the last change."""
        self.set_desk(self.desk.undone())

    def action_redo(self) -> None:
        """Make the change again that was taken back."""
        self.set_desk(self.desk.redone())

    def action_row_add(self) -> None:
        """Add a row."""
        self._with_rows(row_moves.added)

    def action_row_copy(self) -> None:
        """Add a copy of the row at hand."""
        self._with_rows(row_moves.copied)

    def action_row_remove(self) -> None:
        """Take the row at hand away; what is typed at its prompt goes with it."""
        self.set_desk(row_moves.removed(self.desk))
        self.action_prompt()

    def action_propose(self) -> None:
        """Take what the step proposes."""
        self.then(proposed)
        self.action_prompt()

    def action_row_name(self) -> None:
        """Ask for another name for the row at hand."""
        if not self.desk.row:
            self._with_rows(row_moves.copied)  # says that there is none
        elif self.then(Desk.silent):
            self.app.push_screen(RowName(self.desk), self._renamed)

    def _renamed(self, name: str | None) -> None:
        if name is not None:
            self.set_desk(row_moves.renamed(self.desk, name))

    def _with_rows(self, move: Callable[[Desk], Desk]) -> None:
        self.then(move)
        self.action_prompt()

    def action_step_back(self) -> None:
        """Go to the step before."""
        self._go(self.desk.step_number - 1)

    def action_step_on(self) -> None:
        """Go to the next step."""
        self._go(self.desk.step_number + 1)

    def _go(self, number: int) -> None:
        self.then(lambda desk: desk.at_step(number))
        self.action_prompt()

    def action_prompt(self) -> None:
        """Go back to the prompt."""
        self.query_one("#entry").focus()

    def action_findings(self) -> None:
        """Go into the findings."""
        self.query_one(FindingList).focus()

    def action_steps(self) -> None:
        """Go into the list of steps."""
        self.query_one(StepList).focus()

    def action_drawing(self) -> None:
        """Go into the drawing."""
        self.query_one(Drawing).focus()

    def action_view(self) -> None:
        """Change the view."""
        self.view = _VIEWS[(_VIEWS.index(self.view) + 1) % len(_VIEWS)]
        self.query_one(Drawing).look(Sight())
        self.set_desk(self.desk.said(f"View: {self.view}."), typed=True)

    def action_save(self) -> None:
        """Save the lock."""
        if self.then(Desk.silent):
            self._keeping.save()

    def action_leave(self) -> None:
        """Leave the lock."""
        if self.then(Desk.silent):
            self._keeping.leave()

    # messages of the widgets

    def on_prompt_rows_chosen(self, message: PromptRows.Chosen) -> None:
        """Go to the prompt that was clicked on."""
        self.then(lambda desk: desk.at_path(message.path).silent())
        self.action_prompt()

    def on_step_list_chosen(self, message: StepList.Chosen) -> None:
        """Go to the step that was chosen."""
        self._go(message.number)

    def on_finding_list_chosen(self, message: FindingList.Chosen) -> None:
        """Go to what mends the finding: a prompt, or the screen of the made parts."""
        opens = acts.opened_at(message.finding.step)
        if opens:
            self.action_open(opens)
        else:
            self.then(lambda desk: mended_at(desk, message.finding, self.found).silent())
            self.action_prompt()

    def on_step_list_left(self) -> None:
        """Go back to the prompt."""
        self.action_prompt()

    on_leavable_list_left = on_drawing_left = on_step_list_left
