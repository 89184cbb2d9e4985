"""What speaks for the proposal at hand, which scrolls where it has no room."""

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from tui.widgets.keyed import Keyed
from tui.widgets.pane import Pane
from tui.widgets.telling import tell


class Why(Pane):
    """The reasons, each word of which can be read."""

    def compose(self) -> ComposeResult:
        """Show one text."""
        yield Static(id="about", markup=False)


class Reasoned(Keyed[None]):
    """A screen with the reasons for a proposal, through which two of its keys read."""

    def tell_why(self, about: Content) -> None:
        """Show other reasons, from their first line on."""
        tell(self, "about", about)
        self.query_one(Why).scroll_home(animate=False)

    def action_read_on(self) -> None:
        """Read on in the reasons, a line short of what can be seen at once."""
        why = self.query_one(Why)
        why.scroll_relative(y=max(why.size.height - 1, 1), animate=False, immediate=True)

    def action_read_back(self) -> None:
        """Read back in the reasons."""
        why = self.query_one(Why)
        why.scroll_relative(y=-max(why.size.height - 1, 1), animate=False, immediate=True)
