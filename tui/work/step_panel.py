"""The panel of the step at hand: its prompts, the one entry line among them, and what fits."""

from dataclasses import dataclass

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from core.lock.paths import short_label
from tui.desk.checking import Checked
from tui.desk.desk import Desk
from tui.steps.walk import all_steps
from tui.widgets import desk_text as wording
from tui.widgets.entry import Entry, Taker


class PromptRows(Static):
    """The prompts above or below the one at hand, a line each; a click takes one to hand."""

    @dataclass
    class Chosen(Message):
        """The maker wants the prompt of a path."""

        path: str

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty."""
        super().__init__("", id=id, markup=False)
        self._paths: tuple[str, ...] = ()

    def show(self, desk: Desk, paths: tuple[str, ...], found: Checked | None) -> None:
        """Show the prompts of other paths."""
        self._paths = paths
        windows = found.windows if found is not None else {}
        self.set_class(not paths, "empty")
        self.update(
            Content("\n").join(wording.row(desk.lock, path, windows.get(path)) for path in paths)
        )

    def on_click(self, event: events.Click) -> None:
        """Tell which prompt was clicked on."""
        if 0 <= event.y < len(self._paths):
            self.post_message(self.Chosen(self._paths[event.y]))


class StepPanel(VerticalScroll, can_focus=False):
    """The step at hand."""

    def __init__(self, taker: Taker, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Build around one entry line, whose keys go to `taker`."""
        super().__init__(id=id)
        self.entry = Entry(taker, "prompt", "rows", "proposing")
        self._at: tuple[str, str] | None = None
        self._said: dict[str, Content] = {}
        self._in_sight = ""

    def compose(self) -> ComposeResult:
        """Lay out the parts from top to bottom."""
        yield Static(id="head", markup=False)
        yield Static(id="intro", markup=False)
        yield PromptRows(id="above")
        with Horizontal(id="at-hand"):
            yield Static(id="label", markup=False)
            yield self.entry
            yield Static(id="unit", markup=False)
        yield Static(id="fit", markup=False)
        yield Static(id="notice", markup=False)
        yield PromptRows(id="below")
        yield Static(id="readings", markup=False)
        yield Static(id="caution", markup=False)

    def show(self, desk: Desk, found: Checked | None, *, typed: bool = False) -> None:
        """Show the desk; with `typed` the entry keeps what was typed and refused."""
        step, spec, units = desk.step, desk.spec, desk.lock.units
        asked = step.asked(desk.lock)
        here = asked.index(desk.path) if desk.path else 0
        self._say("#head", wording.head(step, desk.step_number + 1, len(all_steps()), found))
        self._say("#intro", Content.styled(step.intro, "$quiet"))
        self.query_one("#above", PromptRows).show(desk, asked[:here], found)
        at_hand = self.query_one("#at-hand")
        at_hand.set_class(spec.kind.long, "long")
        label = short_label(spec, desk.path, wording.LABEL) if desk.path else spec.label
        self._say("#label", Content.styled(f"> {label}", "bold $strong"))
        self._say("#unit", Content.styled(f" {spec.unit(units)} ", "$quiet"))
        if not typed and (self._at != (desk.path, desk.text) or self.entry.value != desk.text):
            anew = self._at is None or self._at[0] != desk.path
            self.entry.load(desk.text, spec.kind, anew=anew)
        self._at = (desk.path, desk.text)
        grown = self._say("#fit", self._fit(desk, found))
        grown |= self._say("#notice", wording.notice_text(desk.notice, found))
        self.query_one("#below", PromptRows).show(desk, asked[here + 1 :], found)
        self._say("#readings", wording.readings(step.read_off, desk.lock))
        self._say("#caution", Content.styled(step.caution, "italic $quiet"))
        if grown or desk.path != self._in_sight:
            # by the mouse wheel the maker may look elsewhere in a long step, until something is done
            self._in_sight = desk.path
            self.call_after_refresh(self._look_at_hand)

    def _look_at_hand(self) -> None:
        """Scroll to the prompt at hand, with what is said below it."""
        for which in ("#notice", "#fit", "#at-hand"):
            widget = self.query_one(which)
            if widget.display:
                self.scroll_to_widget(widget, animate=False)

    def _fit(self, desk: Desk, found: Checked | None) -> Content:
        window = found.windows.get(desk.path) if found is not None else None
        width = max(self.size.width - 5, 20)
        return wording.fit(desk.spec, desk.value, window, desk.lock.units, width)

    def _say(self, which: str, text: Content) -> bool:
        """Show a text, and say whether it is another one than before."""
        before = self._said.get(which)
        if before is not None and before.is_same(text):  # laying out anew costs more than looking
            return False
        self._said[which] = text
        widget = self.query_one(which, Static)
        widget.set_class(not text.plain, "empty")
        widget.update(text)
        return True
