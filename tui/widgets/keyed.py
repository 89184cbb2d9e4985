"""What every screen and dialog has: its keys from the table, a help that tells them, and the way across it."""

from typing import ClassVar, Protocol, runtime_checkable

from rich.console import RenderableType
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.renderables.background_screen import BackgroundScreen
from textual.screen import ModalScreen, Screen, ScreenResultType
from textual.widgets import Static

from tui.desk.desk import Desk
from tui.keys.acts import Keys, bindings
from tui.keys.of_dialogs import HELP_KEYS, READING
from tui.widgets.behind import Behind
from tui.widgets.help_search import found_text
from tui.widgets.help_text import keys_told, not_in_line
from tui.widgets.hints import Hints
from tui.widgets.line import Line


@runtime_checkable
class OfLock(Protocol):
    """A screen of one lock."""

    desk: Desk


class Keyed(Screen[ScreenResultType], inherit_bindings=False):
    """A screen whose keys all stand in the table."""

    KEYS: ClassVar[Keys]

    @property
    def units(self) -> str:
        """The units of the lock at hand; millimetres where there is none."""
        return next((s.desk.units for s in self.app.screen_stack if isinstance(s, OfLock)), "mm")

    def help_page(self) -> Content:
        """Return what there is to say of the screen, above its keys."""
        raise NotImplementedError

    def action_help(self) -> None:
        """Show the help, with every key of the screen."""
        over = [act for hints in self.query(Hints) for act in hints.left_over()]
        page = Content("\n").join([*not_in_line(over), self.help_page(), *keys_told(self.KEYS)])
        self.app.push_screen(Help(page))

    def on_compose(self) -> None:
        """Take the classes of the window's size before anything is laid out: the toolkit draws once without them."""
        points = (self.app.HORIZONTAL_BREAKPOINTS, self.app.VERTICAL_BREAKPOINTS)
        for length, steps in zip(self.app.size, points, strict=True):
            self.add_class(*self._get_breakpoint_classes(length, steps or []))

    async def _dispatch_message(self, message: Message) -> None:
        """Leave a screen that was on its way up when the program ended: the toolkit puts no more into it."""
        if self.app._exit and isinstance(message, events.Mount | events.Resize):
            return
        await super()._dispatch_message(message)

    def action_across(self) -> None:
        """Go on to the next place that the cursor can be in."""
        self.focus_next()

    def action_across_back(self) -> None:
        """Go back to the place before."""
        self.focus_previous()


class Dialog(Keyed[ScreenResultType], ModalScreen[ScreenResultType]):
    """A screen over another one, which it leaves in sight."""

    def render(self) -> RenderableType:
        """Show the screen behind."""
        shown = super().render()
        return Behind(shown.screen, shown.color) if isinstance(shown, BackgroundScreen) else shown


class Help(Dialog[None]):
    """A help, over the screen that it belongs to. A word that is typed is looked for in all of the help."""

    KEYS = HELP_KEYS
    BINDINGS = bindings(READING)

    def __init__(self, text: Content) -> None:
        """Show `text`, and the keys of the help itself below it."""
        super().__init__()
        self._text = Content("\n").join([text, *keys_told(self.KEYS)])
        self._word = ""

    def compose(self) -> ComposeResult:
        """Show the help, to be scrolled, below the line for a word."""
        with Horizontal(id="search"):
            yield Static("Search for: ", markup=False)
            yield Line(id="word")
        with VerticalScroll(classes="box", id="help", can_focus=False):
            yield Static(self._text, id="page", markup=False)
        yield Hints(self.KEYS, classes="hint")

    def on_input_changed(self) -> None:
        """Show what was found."""
        word = self.query_one(Line).value
        if word == self._word:
            return
        self._word = word
        page = self.query_one("#page", Static)
        page.update(found_text(word, self.units) if word.strip() else self._text)
        self._page.scroll_home(animate=False)

    def action_escape(self) -> None:
        """Forget the word, or go back to the screen below."""
        line = self.query_one(Line)
        if line.value:
            line.value = ""
            self.on_input_changed()
        else:
            self.action_close()

    def action_close(self) -> None:
        """Go back to the screen below."""
        self.dismiss(None)

    # reading

    @property
    def _page(self) -> VerticalScroll:
        return self.query_one("#help", VerticalScroll)

    def action_read_back(self) -> None:
        """Read back by a line."""
        self._page.scroll_up(animate=False)

    def action_read_on(self) -> None:
        """Read on by a line."""
        self._page.scroll_down(animate=False)

    def action_page_back(self) -> None:
        """Read back by what can be seen at once."""
        self._page.scroll_page_up(animate=False)

    def action_page_on(self) -> None:
        """Read on by what can be seen at once."""
        self._page.scroll_page_down(animate=False)

    def action_begin(self) -> None:
        """Go back to where it begins."""
        self._page.scroll_home(animate=False)

    def action_finish(self) -> None:
        """Go on to where it ends."""
        self._page.scroll_end(animate=False)
