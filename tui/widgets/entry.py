"""The entry: the one line in which every value is typed.

One widget serves all prompts and works off each key at once, in the order typed, so that a burst of
digits, corrections and Enters never lands in the wrong place.
"""

from typing import Protocol

from textual import events
from textual.widgets import Input

from core.text import plain
from core.values.fields import Kind
from tui import actions
from tui.answer import BREAK

_EDITS: dict[str, tuple[str, bool]] = {
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
_CUTS = {
    "backspace": "action_delete_left",
    "ctrl+h": "action_delete_left",
    "delete": "action_delete_right",
    "ctrl+d": "action_delete_right",
    "ctrl+w": "action_delete_left_word",
    "ctrl+u": "action_delete_left_all",
    "ctrl+k": "action_delete_right_all",
}


class Taker(Protocol):
    """What the entry hands its keys to; each call has taken effect when it returns."""

    def take(self, act: str) -> None:
        """Carry out an action of the table by its name."""

    def pick(self, start: str) -> None:
        """Take the choice that begins with `start`."""


class Entry(Input):
    """The entry line. `kind` says what it takes at the prompt at hand."""

    kind: Kind = "length"

    def __init__(self, taker: Taker) -> None:
        """Start empty, with `taker` to hand keys to."""
        super().__init__(compact=True, select_on_focus=False, id="entry")
        self.cursor_blink = False  # a steady cursor: less to redraw over a slow line
        self._taker = taker
        self._letters = ""
        self._acts = actions.keys("prompt")

    def load(self, text: str, kind: Kind) -> None:
        """Show another value, selected whole so that typing replaces it."""
        self.kind = kind
        self._letters = ""
        self.value = text
        self.select_all()

    async def _on_key(self, event: events.Key) -> None:
        if self._work_off(event):
            event.stop()
            event.prevent_default()

    def _work_off(self, event: events.Key) -> bool:
        """Work one key off and say whether it was one for the entry."""
        key, choice = event.key, self.kind == "choice"
        if key == "ctrl+j" and self.kind == "text":
            self.insert_text_at_cursor(BREAK)
        elif choice and key in ("left", "right"):
            self._taker.take("more" if key == "left" else "less")
        elif key in self._acts:
            self._taker.take(self._acts[key])
        elif key in _EDITS and not choice:
            name, select = _EDITS[key]
            getattr(self, name)(select)
        elif key in _CUTS and not choice:
            getattr(self, _CUTS[key])()
        elif event.is_printable and event.character is not None:
            self._type(event.character)
        else:
            return False
        return True

    def _type(self, character: str) -> None:
        if character == "?" and self.kind != "text":
            self._taker.take("help")
        elif self.kind == "choice":
            # a letter that carries the word on, or else begins anew
            self._letters = self._letters + character
            self._taker.pick(self._letters)
        elif self.selection.is_empty:
            self.insert_text_at_cursor(character)
        else:
            self.replace(character, *sorted((self.selection.start, self.selection.end)))

    def _on_paste(self, event: events.Paste) -> None:
        lines = [plain(line) for line in event.text.splitlines()]
        text = (BREAK if self.kind == "text" else " ").join(lines).strip()
        if text and self.kind != "choice":
            self.replace(text, *sorted((self.selection.start, self.selection.end)))
        event.stop()
        event.prevent_default()

    def _on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self._taker.take("more")

    def _on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self._taker.take("less")
