"""The change view: one dimension set otherwise, before and after over each other, to keep or to drop."""

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from core.files.recovery import Typed
from core.lock.facts import dated
from core.lock.lock import spec_of
from core.made.standing import standing
from core.sheets.paper import today
from tui.change import overlay
from tui.change import text as change_text
from tui.change.before_after import ChangeDrawing
from tui.change.help import help_page
from tui.change.panel import ChangePanel
from tui.change.pick import Pick
from tui.change.state import Trial, Weighed, begun, layout_shown, weighing
from tui.desk.session import layout_of
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, QUESTION
from tui.keys.of_change import CHANGE, KEYS
from tui.plot.scale import Sight
from tui.widgets.entry import Entry
from tui.widgets.hints import Hints
from tui.widgets.piecework import Piecework
from tui.widgets.screens import EntryScreen
from tui.widgets.telling import tell

if TYPE_CHECKING:
    from core.change.rescue import Offer
    from tui.change.overlay import View
    from tui.desk.host import Host
    from tui.plot.frame import Spot


class ChangeScreen(EntryScreen[Trial]):
    """One change of one lock. All that is true of it is in `trial`; the widgets only show that."""

    CSS_PATH = "change.tcss"
    KEYS = KEYS
    BINDINGS = bindings(CHANGE, ACROSS, QUESTION)

    def __init__(self, work: "Host", trial: Trial) -> None:
        """Begin with a trial in the lock of a working screen."""
        super().__init__()
        self._work = work
        self.trial = trial
        self.found: Weighed | None = None
        self.view: View | None = None
        self._spots: tuple[Spot, ...] = ()
        self._before = standing(work.desk.lock)
        self._weighing = Piecework[Weighed](self, self._learn)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="at-hand"):
            yield Static(id="label", markup=False)
            yield Entry(self)
            yield Static(id="unit", markup=False)
        yield Static(id="fit", markup=False)
        yield Static(id="meant", markup=False)
        with Horizontal(id="bench"):
            yield ChangeDrawing(id="drawing")
            yield ChangePanel(self._way, id="panel")
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    @property
    def checks_done(self) -> bool:
        """Whether everything has been worked out for what is tried."""
        return self._weighing.done

    def on_mount(self) -> None:
        """Show the dimension at hand."""
        self.action_rest()
        self._changed()

    # the state, and showing it

    @property
    def state(self) -> Trial:
        """The trial."""
        return self.trial

    def put(self, state: Trial, *, typed: bool = False) -> None:
        """Put another trial in place and show it."""
        before, self.trial = self.trial, state
        if replace(state, notice=None) == replace(before, notice=None):
            self._show(typed=typed)
            return
        if state.path != before.path:
            self.query_one(ChangeDrawing).look(Sight())
        same = (state.path, state.value, state.kind) == (before.path, before.value, before.kind)
        self._changed(self.found if same else None, typed=typed)

    def on_input_changed(self) -> None:
        """Follow each character that makes a number; what makes none yet leaves everything as it is."""
        trial = self.trial.following(self.entry.value)
        if trial is not self.trial:
            self.put(trial, typed=True)

    def _changed(self, known: Weighed | None = None, *, typed: bool = False) -> None:
        """Show what is tried at once; work out what it leads to when the screen has been drawn."""
        self.found = known
        self._show(typed=typed)
        self._weighing.begin(weighing(self.trial, self._before, known))

    def _learn(self, found: Weighed) -> None:
        """Show what has been found of what is tried."""
        self.found = found
        self._show(typed=True)

    def _show(self, *, typed: bool = False) -> None:
        if not self.is_attached:
            return
        trial, found, width = self.trial, self.found, self.size.width
        spec, units = trial.spec, trial.base.units
        tell(self, "title", change_text.title(trial, found, width))
        tell(self, "label", Content.styled(f"> {spec.label}", "bold $strong"))
        old = spec.shown(trial.old, units)
        tell(self, "unit", Content.styled(f" {spec.unit(units)}   before: {old} ", "$quiet"))
        if not typed:
            self.entry.load(trial.text, spec.kind)
        window = found.window if found is not None else None
        tell(self, "fit", change_text.fits(trial, window, width))
        tell(self, "meant", change_text.meant(trial, found))
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
        region = overlay.region(old, new, scene, view, place, path)
        drawing.show_both(scene, region, spots, path, overlay.told(scene, new, path, region))

    # what the entry hands over

    def unentered(self) -> Typed | None:
        """Return the value that is tried: it stands in no lock yet."""
        value, trial = self.entry.value, self.trial
        same = value == trial.spec.written(trial.old, trial.base.units)
        return None if same or trial.spec.kind.entering == "picked" else Typed(trial.path, value)

    def action_enter(self) -> None:
        """Try what is typed."""
        before = self.trial
        if self.take() and self.trial.value == before.value and self.trial.changed:
            self.put(self.trial.said("F2 keeps the change; Esc goes back without it."))

    def action_prompt_back(self) -> None:
        """Go to the dimension before."""
        self.action_dimension_back()

    # what can be done anywhere here

    def action_keep(self) -> None:
        """Go on with the lock as it is shown."""
        if not self.take():
            return
        trial, work = self.trial, self._work
        if not trial.changed:
            self.put(trial.said("Nothing is changed yet: type or nudge a new value."))
            return
        lock = dated(work.desk.lock, trial.lock, today().isoformat())
        desk = work.desk.changed(lock, trial.what, trial.goes_to).at_path(trial.goes_to)
        self.dismiss(None)
        work.set_desk(desk.said(f"Kept: {trial.what}. Ctrl+Z takes it back; F2 saves the lock."))

    def action_drop(self) -> None:
        """Go back without a change."""
        self.dismiss(None)

    def action_other_meaning(self) -> None:
        """Mean the change the other way."""
        if self.take():
            self.put(self.trial.turned())

    def action_ways(self) -> None:
        """Go into the remedies."""
        self.to("ways")

    def action_view(self) -> None:
        """Change the view."""
        order = overlay.VIEWS
        self.view = order[(order.index(self.view) + 1) % len(order)] if self.view else order[0]
        self.query_one(ChangeDrawing).look(Sight())
        self._show(typed=True)

    def action_drawing(self) -> None:
        """Go into the drawing."""
        self.to("drawing")

    def action_dimensions(self) -> None:
        """Choose another dimension."""
        self.app.push_screen(Pick(self.trial.base, self.trial.path), self._picked)

    def _picked(self, path: str | None) -> None:
        if path is not None and path != self.trial.path:
            self.put(begun(self.trial.base, path))
        self.action_rest()

    def action_dimension_back(self) -> None:
        """Try the dimension before."""
        self.put(self.trial.at(-1))

    def action_dimension_on(self) -> None:
        """Try the next dimension."""
        self.put(self.trial.at(1))

    def help_page(self) -> Content:
        """Return the help on the dimension at hand."""
        return help_page(spec_of(self.trial.path), self.trial.base.units)

    def _way(self, offer: "Offer") -> None:
        """Show a remedy taken, or taken back."""
        self.put(self.trial.with_offer(offer))


def over(work: "Host") -> ChangeScreen:
    """Return the change view of the prompt at hand of a working screen."""
    return ChangeScreen(work, begun(work.desk.lock, work.desk.path))
