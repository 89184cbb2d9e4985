"""What every screen and dialog has: its keys from the table, a help that tells them, and the way across it."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen, Screen, ScreenResultType
from textual.widgets import Static

from tui.keys.acts import Keys, bindings
from tui.keys.of_dialogs import CLOSE, HELP_KEYS, READING
from tui.widgets.help_text import keys_told, not_in_line
from tui.widgets.hints import Hints


class Keyed(Screen[ScreenResultType], inherit_bindings=False):
    """A screen whose keys all stand in the table."""

    KEYS: ClassVar[Keys]

    def help_page(self) -> Content:
        """Return what there is to say of the screen, above its keys."""
        raise NotImplementedError

    def action_help(self) -> None:
        """Show the help, with every key of the screen."""
        over = [act for hints in self.query(Hints) for act in hints.left_over()]
        page = Content("\n").join([*not_in_line(over), self.help_page(), *keys_told(self.KEYS)])
        self.app.push_screen(Help(page))

    def action_across(self) -> None:
        """Go on to the next place that the cursor can be in."""
        self.focus_next()

    def action_across_back(self) -> None:
        """Go back to the place before."""
        self.focus_previous()


class Dialog(Keyed[ScreenResultType], ModalScreen[ScreenResultType]):
    """A screen over another one, which it leaves in sight."""


class Page(VerticalScroll, inherit_bindings=False):
    """A page to read, longer than the screen."""

    BINDINGS = bindings(READING)


class Help(Dialog[None]):
    """A help, over the screen that it belongs to."""

    KEYS = HELP_KEYS
    BINDINGS = bindings(CLOSE)

    def __init__(self, text: Content) -> None:
        """Show `text`, and the keys of the help itself below it."""
        super().__init__()
        self._text = Content("\n").join([text, *keys_told(self.KEYS)])

    def compose(self) -> ComposeResult:
        """Show the help, to be scrolled."""
        with Page(classes="box", id="help"):
            yield Static(self._text, markup=False)
        yield Hints(self.KEYS, classes="hint")

    def action_close(self) -> None:
        """Go back to the screen below."""
        self.dismiss(None)
