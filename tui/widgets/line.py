"""A line of text to type in. Its keys are those of the place LINE."""

from textual import events
from textual.widgets import Input

from core.text import plain
from tui.keys.acts import bindings
from tui.keys.common import LINE


class Line(Input, inherit_bindings=False):
    """An input for one line; plain text only comes in, by keyboard or by pasting."""

    BINDINGS = bindings(LINE)

    def __init__(self, text: str = "", *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Show `text`, selected whole so that typing replaces it."""
        super().__init__(text, compact=True, id=id)
        self.cursor_blink = False  # a steady cursor: less to redraw over a slow line

    def typed(self, character: str) -> bool:
        """Put a character in that was typed."""
        self.put(character)
        return True

    def put(self, text: str) -> None:
        """Put text in at the cursor, in place of what is selected."""
        self.replace(text, *sorted((self.selection.start, self.selection.end)))

    def _on_paste(self, event: events.Paste) -> None:
        self.paste([plain(line) for line in event.text.splitlines()])
        event.stop()
        event.prevent_default()

    def paste(self, lines: list[str]) -> None:
        """Put pasted lines in, as one."""
        self.put(" ".join(lines).strip())

    def action_select_left(self) -> None:
        """Mark the letter before."""
        self.action_cursor_left(select=True)

    def action_select_right(self) -> None:
        """Mark the letter after."""
        self.action_cursor_right(select=True)

    def action_select_home(self) -> None:
        """Mark all up to where the line begins."""
        self.action_home(select=True)

    def action_select_end(self) -> None:
        """Mark all up to where the line ends."""
        self.action_end(select=True)
