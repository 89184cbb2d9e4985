"""The panel of the change view: made parts, the remedies to choose from, and what comes of the change."""

from collections.abc import Callable

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from core.change.rescue import Offer
from tui.change import text as change_text
from tui.change.state import Trial, Weighed
from tui.keys.acts import bindings
from tui.keys.of_change import WAYS
from tui.widgets.choice_list import ChoiceList
from tui.widgets.pane import Pane
from tui.widgets.telling import tell


class Ways(ChoiceList, inherit_bindings=False):
    """The remedies; Enter or a click takes one, or takes it back."""

    BINDINGS = bindings(WAYS)

    def __init__(self, chosen: Callable[[Offer], None], *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty, with what is to happen with a remedy that is chosen."""
        super().__init__(lambda number: chosen(self._ways[number]), id=id)
        self._ways: tuple[Offer, ...] = ()
        self._written: tuple[Content, ...] = ()

    def show(self, offers: tuple[Offer, ...], lines: tuple[Content, ...]) -> None:
        """Show other remedies, or the same ones marked otherwise."""
        alike = len(lines) == len(self._written) and all(
            a.is_same(b) for a, b in zip(lines, self._written, strict=True)
        )
        self._ways = offers
        if not alike:
            self._written = lines
            self.fill(lines)

    def action_read_back(self) -> None:
        """Read back in the panel around."""
        self._panel.scroll_page_up(animate=False)

    def action_read_on(self) -> None:
        """Read on in the panel around."""
        self._panel.scroll_page_down(animate=False)

    @property
    def _panel(self) -> "ChangePanel":
        return self.query_ancestor(ChangePanel)


class ChangePanel(Pane):
    """What a change leads to."""

    def __init__(self, chosen: Callable[[Offer], None], *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty, with what is to happen with a remedy that is chosen."""
        super().__init__(id=id)
        self._chosen = chosen

    def compose(self) -> ComposeResult:
        """Lay out the parts from top to bottom."""
        yield Static(id="parts", markup=False)
        yield Static(id="ways-head", markup=False)
        yield Ways(self._chosen, id="ways")
        yield Static(id="comes", markup=False)

    def show(self, trial: Trial, found: Weighed | None) -> None:
        """Show what is known of a trial."""
        if found is None:
            tell(self, "comes", change_text.comes_of_it(trial, None))
            return
        tell(self, "parts", change_text.parts(trial, found))
        tell(self, "ways-head", change_text.offers_heading(trial, found))
        self.query_one(Ways).show(
            found.offers, tuple(change_text.offer_line(trial, found, o) for o in found.offers)
        )
        tell(self, "comes", change_text.comes_of_it(trial, found.comparison))
