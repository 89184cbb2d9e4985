"""The panel of the change view: made parts, the ways out to choose from, and what comes of the change."""

from dataclasses import dataclass

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from core.change.rescue import Offer
from tui.change import text as change_text
from tui.change.state import Trial, Weighed
from tui.widgets.lists import LeavableList


class Ways(LeavableList):
    """The ways out; Enter or a click takes one, or takes it back."""

    @dataclass
    class Chosen(Message):
        """The maker wants to see a way out taken."""

        offer: Offer

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty."""
        super().__init__(id=id, markup=False)
        self._ways: tuple[Offer, ...] = ()
        self._written: tuple[Content, ...] = ()

    def show(self, offers: tuple[Offer, ...], lines: tuple[Content, ...]) -> None:
        """Show other ways out, or the same ones marked otherwise."""
        alike = len(lines) == len(self._written) and all(
            a.is_same(b) for a, b in zip(lines, self._written, strict=True)
        )
        self._ways = offers
        if alike:
            return
        self._written, here = lines, self.highlighted
        self.clear_options()
        self.add_options([Option(line) for line in lines])
        if here is not None and lines:
            self.highlighted = min(here, len(lines) - 1)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tell which way out was chosen."""
        event.stop()
        self.post_message(self.Chosen(self._ways[event.option_index]))

    def on_key(self, event: events.Key) -> None:
        """Read on in the panel by PgUp and PgDn."""
        if event.key in ("pagedown", "pageup") and self.parent is not None:
            scroll = getattr(self.parent, f"scroll_page_{event.key.removeprefix('page')}")
            scroll(animate=False)
            event.stop()
            event.prevent_default()


class ChangePanel(VerticalScroll, can_focus=False):
    """What a change leads to."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty."""
        super().__init__(id=id)
        self._said: dict[str, Content] = {}

    def compose(self) -> ComposeResult:
        """Lay out the parts from top to bottom."""
        yield Static(id="parts", markup=False)
        yield Static(id="ways-head", markup=False)
        yield Ways(id="ways")
        yield Static(id="comes", markup=False)

    def show(self, trial: Trial, found: Weighed | None) -> None:
        """Show what is known of a trial."""
        if found is None:
            self._say("#comes", change_text.comes_of_it(trial, None))
            return
        self._say("#parts", change_text.parts(trial, found))
        self._say("#ways-head", change_text.offers_heading(trial, found))
        self.query_one(Ways).show(
            found.offers, tuple(change_text.offer_line(trial, found, o) for o in found.offers)
        )
        self._say("#comes", change_text.comes_of_it(trial, found.comparison))

    def _say(self, which: str, text: Content) -> None:
        before = self._said.get(which)
        if before is None or not before.is_same(text):
            self._said[which] = text
            widget = self.query_one(which, Static)
            widget.set_class(not text.plain, "empty")
            widget.update(text)
