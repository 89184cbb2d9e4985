"""The panel of the step at hand: its prompts, the one entry line among them, and what fits."""

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from core.lock.paths import short_label
from tui.desk.checking import Checked
from tui.desk.desk import Desk
from tui.desk.opening import Opened
from tui.steps.walk import all_steps
from tui.widgets import desk_text as wording
from tui.widgets.entry import Entry, Taker
from tui.widgets.pane import Pane
from tui.widgets.piecework import once_drawn
from tui.widgets.telling import ClickRows, tell

ROOMY = 18
"""Rows from which on a panel has room for prompt, ends, three ways to let something fit, and what there is to say."""


class StepPanel(Pane):
    """The step at hand."""

    def __init__(
        self,
        taker: Taker,
        chosen: Callable[[str], None],
        opens: Callable[[int], None],
        sees: Callable[[], None],
        *,
        id: str | None = None,  # noqa: A002 - the toolkit's name
    ) -> None:
        """Build around one entry line; `chosen` is told the path of a prompt that is clicked on.

        `opens` is told the number of what shall be set elsewhere, so that something fits at the prompt; `sees` is
        called to look at the next of these first.
        """
        super().__init__(id=id)
        self.entry, self._chosen = Entry(taker, opens, sees), chosen
        self._at: tuple[str, str] | None = None
        self._in_sight = ""

    def compose(self) -> ComposeResult:
        """Lay out the parts from top to bottom."""
        yield Static(id="head", markup=False)
        yield Static(id="caution", markup=False)
        yield Static(id="intro", markup=False)
        yield ClickRows(self._chosen, id="above")
        with Horizontal(id="at-hand"):
            yield Static(id="label", markup=False)
            yield self.entry
            yield Static(id="unit", markup=False)
        yield Static(id="fit", markup=False)
        yield Static(id="ways", markup=False)
        yield Static(id="notice", markup=False)
        yield ClickRows(self._chosen, id="below")
        yield Static(id="readings", markup=False)

    def show(
        self,
        desk: Desk,
        found: Checked | None,
        opened: Opened | None = None,
        *,
        typed: bool = False,
    ) -> None:
        """Show the desk; with `typed` the entry keeps what was typed and refused.

        `opened` is what lets something fit at the prompt at hand, where nothing does.
        """
        step, spec, units = desk.step, desk.spec, desk.lock.units
        asked = step.asked(desk.lock)
        here = asked.index(desk.path) if desk.path else 0
        tell(
            self,
            "head",
            wording.head(
                step, desk.step_number + 1, len(all_steps()), found, unseen=desk.unseen(step)
            ),
        )
        tell(self, "intro", Content.styled(step.intro, "$quiet"))
        entered = (
            step.caution if here == 0 else ""
        )  # said once, on coming to the step; F1 has it at each prompt
        tell(self, "caution", Content.styled(entered, "italic $look"))
        self._prompts("#above", desk, asked[:here], found)
        at_hand = self.query_one("#at-hand")
        at_hand.set_class(spec.kind.long, "long")
        label = short_label(spec, desk.path, wording.LABEL) if desk.path else spec.label
        tell(self, "label", Content.styled(f"> {label}", "bold $strong"))
        kept = "kept " if desk.path in desk.session.held else ""
        tell(self, "unit", Content.styled(f" {spec.unit(units)} {kept}", "$quiet"))
        if not typed and (self._at != (desk.path, desk.text) or self.entry.value != desk.text):
            self.entry.load(desk.text, spec.kind)
        self._at = (desk.path, desk.text)
        # what is said of the last key goes before what sets the ends, where both have no room beside the ways
        full = opened is None or desk.notice is None or self.size.height >= ROOMY
        grown = tell(self, "fit", self._fit(desk, found, set_by=full))
        grown |= tell(self, "ways", wording.ways(opened, desk.units))
        self.entry.keys_now = wording.keys_of(opened)
        grown |= tell(self, "notice", wording.notice_text(desk.notice, found))
        self._prompts("#below", desk, asked[here + 1 :], found)
        tell(self, "readings", wording.readings(step.read_off, desk.lock))
        if grown or desk.path != self._in_sight:
            # by the mouse wheel the maker may look elsewhere in a long step, until something is done
            self._in_sight = desk.path
            once_drawn(self, self._look_at_hand)

    def on_resize(self) -> None:
        """Keep the prompt at hand in sight in a window of another size, in which lines are broken anew."""
        self.call_after_refresh(self._look_at_hand)

    def _look_at_hand(self) -> None:
        """Scroll to the prompt at hand, with what is said below it."""
        for which in ("#notice", "#ways", "#fit", "#at-hand"):
            for widget in self.query(which):  # none where the program is on its way out
                if widget.display:
                    # at once: one that is put off is reckoned from where the one before it began
                    self.scroll_to_widget(widget, animate=False, immediate=True)

    def _fit(self, desk: Desk, found: Checked | None, *, set_by: bool) -> Content:
        window = found.windows.get(desk.path) if found is not None else None
        width = max(self.size.width - 5, 20)
        return wording.fit(desk.spec, desk.value, window, desk.lock.units, width, set_by=set_by)

    def _prompts(
        self, where: str, desk: Desk, paths: tuple[str, ...], found: Checked | None
    ) -> None:
        """Show the prompts above or below the one at hand, a line each."""
        windows = found.windows if found is not None else {}
        self.query_one(where, ClickRows).show(
            (path, wording.row(desk.lock, path, windows.get(path), desk.session.beside_it(path)))
            for path in paths
        )
