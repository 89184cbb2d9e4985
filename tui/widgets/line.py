"""A line of text that works off each key at once, in the order typed.

The toolkit's own input types a character at once but cuts and submits later, so that a fast burst
of digits, corrections and Enter can end as something that nobody typed.
"""

from textual import events
from textual.widgets import Input

from core.text import plain

EDITS: dict[str, tuple[str, bool]] = {
    "left": ("action_cursor_left", False),
    "shift+left": ("action_cursor_left", True),
    "right": ("action_cursor_right", False),
    "shift+right": ("action_cursor_right", True),
    "home": ("action_home", False),
    "shift+home": ("action_home", True),
    "ctrl+a": ("action_home", False),
    "end": ("action_end", False),
    "shift+end": ("action_end", True),
    "ctrl+e": ("action_end", False),
}
"""Keys that move the cursor, with the input's own method and whether it selects on the way."""
CUTS = {
    "backspace": "action_delete_left",
    "ctrl+h": "action_delete_left",
    "delete": "action_delete_right",
    "ctrl+d": "action_delete_right",
    "ctrl+w": "action_delete_left_word",
    "ctrl+u": "action_delete_left_all",
    "ctrl+k": "action_delete_right_all",
}


class Line(Input):
    """An input for one line; plain text only comes in, by keyboard or by pasting."""

    def __init__(self, text: str = "", *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Show `text`, selected whole so that typing replaces it."""
        super().__init__(text, compact=True, id=id)
        self.cursor_blink = False  # a steady cursor: less to redraw over a slow line

    async def _on_key(self, event: events.Key) -> None:
        if self.work_off(event):
            event.stop()
            event.prevent_default()

    def work_off(self, event: events.Key) -> bool:
        """Work one key off and say whether it was one for this line."""
        if event.key in EDITS:
            name, select = EDITS[event.key]
            getattr(self, name)(select)
        elif event.key in CUTS:
            getattr(self, CUTS[event.key])()
        elif event.key == "enter":
            self.post_message(self.Submitted(self, self.value))
        elif event.is_printable and event.character is not None:
            self.put(event.character)
        else:
            return False
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
