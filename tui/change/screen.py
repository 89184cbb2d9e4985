"""The change view: one dimension set otherwise, before and after over each other, to keep or to drop."""

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from core.lock.lock import spec_of
from core.made.standing import standing
from tui.change import overlay
from tui.change import text as change_text
from tui.change.before_after import ChangeDrawing
from tui.change.help import help_text
from tui.change.panel import ChangePanel, Ways
from tui.change.pick import Pick
from tui.change.state import Trial, Weighed, begun, layout_shown, weighing
from tui.desk.session import layout_of
from tui.keys import acts
from tui.plot.scale import Sight
from tui.widgets.entry import Entry
from tui.widgets.help_screen import Help
from tui.widgets.hints import Hints
from tui.widgets.screens import EntryScreen

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tui.change.overlay import View
    from tui.desk.host import Host
    from tui.plot.frame import Spot


class ChangeScreen(EntryScreen):
    """One change of one lock. All that is true of it is in `trial`; the widgets only show that."""

    CSS_PATH = "change.tcss"
    BINDINGS = acts.bindings("change")

    def __init__(self, work: "Host", trial: Trial) -> None:
        """Begin with a trial in the lock of a working screen."""
        super().__init__()
        self._work = work
        self.trial = trial
        self.found: Weighed | None = None
        self.view: View | None = None
        self._spots: tuple[Spot, ...] = ()
        self._before = standing(work.desk.lock)
        self._work_on: Iterator[Weighed | None] = iter(())
        self._round, self._done = 0, -1
        self.entry = Entry(self)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="at-hand"):
            yield Static(id="label", markup=False)
            yield self.entry
            yield Static(id="unit", markup=False)
        yield Static(id="fit", markup=False)
        yield Static(id="meant", markup=False)
        with Horizontal(id="bench"):
            yield ChangeDrawing(id="drawing")
            yield ChangePanel(id="panel")
        yield Static("", id="small", markup=False)
        yield Hints("change", id="hints")

    @property
    def checks_done(self) -> bool:
        """Whether everything has been worked out for what is tried."""
        return self._round == self._done

    def on_mount(self) -> None:
        """Show the dimension at hand."""
        self.entry.focus()
        self._changed()

    def _rest(self) -> None:
        self.entry.focus()

    # the state, and showing it

    def _set(self, trial: Trial) -> None:
        """Put another trial in place and show it; a refused entry stays as it was typed."""
        before, self.trial = self.trial, trial
        if replace(trial, notice=None) == replace(before, notice=None):
            self._show(typed=trial.refused)
            return
        if trial.path != before.path:
            self.query_one(ChangeDrawing).look(Sight())
        same = (trial.path, trial.value, trial.kind) == (before.path, before.value, before.kind)
        self._changed(self.found if same else None)

    def _changed(self, known: Weighed | None = None) -> None:
        """Show what is tried at once; work out what it leads to when the screen has been drawn."""
        self.found = known
        self._show()
        self._round += 1
        self._work_on = weighing(self.trial, self._before, known)
        self.call_after_refresh(self._weigh, self._round)

    def _weigh(self, number: int) -> None:
        """Work out one more piece, unless another value is tried by now."""
        if number != self._round or not self.is_attached:
            return
        step = next(self._work_on, None)
        if step is not None:
            self.found = step
            self._show(typed=True)
            if step.complete:
                self._done = number
                return
        self.call_later(self._weigh, number)

    def _show(self, *, typed: bool = False) -> None:
        if not self.is_attached:
            return
        trial, found, width = self.trial, self.found, self.size.width
        spec, units = trial.spec, trial.base.units
        self._say("#title", change_text.title(trial, found, width))
        self._say("#label", Content.styled(f"> {spec.label}", "bold $strong"))
        old = spec.shown(trial.old, units)
        self._say("#unit", Content.styled(f" {spec.unit(units)}   before: {old} ", "$quiet"))
        if not typed:
            self.entry.load(trial.text, spec.kind, anew=True)
        window = found.window if found is not None else None
        self._say("#fit", change_text.fits(trial, window, width))
        self._say("#meant", change_text.meant(trial, found))
        self._draw()
        self.query_one(ChangePanel).show(trial, found)

    def _draw(self) -> None:
        drawing = self.query_one(ChangeDrawing)
        old, new = layout_of(self.trial.base), layout_shown(self.trial)
        scene = overlay.scene(old, new)
        path, size = self.trial.path, (drawing.size.width, drawing.size.height)
        view = self.view or overlay.first_view(old, new, scene, path, size)
        spots = self._spots if self.found is None else ()
        if self.found is not None:
            spots = overlay.spots(new, self.found.standing(self.trial).verdicts)
        self._spots = spots  # until more is known the signs stay, so that nothing jumps
        place = spots[0].at if spots else scene.place
        region = overlay.region(old, new, scene, view, place)
        drawing.show_both(scene, region, spots, path)

    def _say(self, which: str, text: Content) -> None:
        widget = self.query_one(which, Static)
        widget.set_class(not text.plain, "empty")
        widget.update(text)

    # what the entry hands over

    def pick(self, start: str) -> bool:
        """Try the choice that begins with `start`; say whether there is one."""
        self._set(self.trial.picked(start))
        return not self.trial.refused

    def _typed(self) -> bool:
        """Try what is typed; say whether it may stand."""
        if self.trial.spec.kind.entering != "picked":
            self._set(self.trial.taken(self.entry.value))
        return not self.trial.refused

    def action_enter(self) -> None:
        """Try what is typed."""
        before = self.trial
        if self._typed() and self.trial.value == before.value and self.trial.changed:
            self._set(self.trial.said("F2 keeps the change; Esc goes back without it."))

    def _nudge(self, steps: int) -> None:
        if self._typed():
            self._set(self.trial.nudged(steps))

    def action_prompt_back(self) -> None:
        """Go to the dimension before."""
        self.action_dimension_back()

    # what can be done anywhere here

    def action_keep(self) -> None:
        """Go on with the lock as it is shown."""
        if not self._typed():
            return
        trial, work = self.trial, self._work
        if not trial.changed:
            self._set(trial.said("Nothing is changed yet: type or nudge a new value."))
            return
        desk = work.desk.changed(trial.lock, trial.what, trial.goes_to).at_path(trial.goes_to)
        self.dismiss(None)
        work.set_desk(desk.said(f"Kept: {trial.what}. Ctrl+Z takes it back; F2 saves the lock."))

    def action_escape(self) -> None:
        """Go back without a change."""
        self.dismiss(None)

    def action_other_meaning(self) -> None:
        """Mean the change the other way."""
        if self._typed():
            self._set(self.trial.turned())

    def action_ways(self) -> None:
        """Go into the ways out."""
        self.query_one(Ways).focus()

    def action_view(self) -> None:
        """Change the view."""
        order = overlay.VIEWS
        self.view = order[(order.index(self.view) + 1) % len(order)] if self.view else order[0]
        self.query_one(ChangeDrawing).look(Sight())
        self._show(typed=True)

    def action_drawing(self) -> None:
        """Go into the drawing."""
        self.query_one(ChangeDrawing).focus()

    def action_dimensions(self) -> None:
        """Choose another dimension."""
        self.app.push_screen(Pick(self.trial.base, self.trial.path), self._picked)

    def _picked(self, path: str | None) -> None:
        if path is not None and path != self.trial.path:
            self._set(begun(self.trial.base, path))
        self.entry.focus()

    def action_dimension_back(self) -> None:
        """Try the dimension before."""
        self._set(self.trial.at(-1))

    def action_dimension_on(self) -> None:
        """Try the next dimension."""
        self._set(self.trial.at(1))

    def action_help(self) -> None:
        """Help."""
        self.app.push_screen(Help(help_text(spec_of(self.trial.path)), "the change"))

    # messages of the widgets

    def on_ways_chosen(self, message: Ways.Chosen) -> None:
        """Show a way out taken, or taken back."""
        self._set(self.trial.with_offer(message.offer))

    def on_leavable_list_left(self) -> None:
        """Go back to the prompt."""
        self.entry.focus()

    on_drawing_left = on_leavable_list_left


def over(work: "Host") -> ChangeScreen:
    """Return the change view of the prompt at hand of a working screen."""
    return ChangeScreen(work, begun(work.desk.lock, work.desk.path))
