"""The entry: the one line in which every value is typed.

One widget serves all prompts and works off each key at once, in the order typed, so that a burst of
digits, corrections and Enters never lands in the wrong place.
"""

from typing import Protocol

from textual import events

from core.lock.kinds import BREAK
from core.lock.numbers import LENGTH
from core.lock.spec import Kind
from tui.keys import acts
from tui.keys.acts import Where
from tui.widgets.line import CUTS, EDITS, Line


class Taker(Protocol):
    """What the entry hands its keys to; each call has taken effect when it returns."""

    def take(self, act: str) -> None:
        """Carry out an action of the table by its name."""

    def pick(self, start: str) -> bool:
        """Take the choice that begins with `start`; say whether there is one."""


class Entry(Line):
    """The entry line. `kind` says what it takes at the prompt at hand."""

    kind: Kind = LENGTH

    def __init__(self, taker: Taker, *places: Where) -> None:
        """Start empty, with `taker` to hand keys to: those of `places`, by default of the prompt."""
        super().__init__(id="entry")
        self._taker = taker
        self._letters = ""
        self._acts = {
            key: act for place in places or ("prompt",) for key, act in acts.keys(place).items()
        }

    def load(self, text: str, kind: Kind, *, anew: bool) -> None:
        """Show another value, selected whole so that typing replaces it; `anew` at another prompt."""
        if anew:
            self._letters = ""
        self.kind = kind
        self.value = text
        self.select_all()

    def work_off(self, event: events.Key) -> bool:
        """Work one key off and say whether it was one for the entry."""
        key, choice = event.key, self.kind.entering == "picked"
        free = self.kind.entering == "free"
        if key == "ctrl+j" and free:
            self.put(BREAK)
        elif choice and key in ("left", "right"):
            self._letters = ""
            self._taker.take("more" if key == "left" else "less")
        elif key in self._acts:
            self._letters = ""
            self._taker.take(self._acts[key])
        elif key == "ctrl+c":  # the toolkit would copy; makers mean to stop
            self._taker.take("leave")
        elif event.character == "?" and not free:
            self._taker.take("help")
        elif choice and event.is_printable and event.character is not None:
            # a letter carries the word on, or else begins another
            self._letters += event.character
            if not self._taker.pick(self._letters) and len(self._letters) > 1:
                self._letters = event.character
                self._taker.pick(self._letters)
        elif choice and (key in EDITS or key in CUTS):
            self._letters = ""
        elif self.kind.entering == "none" and (event.is_printable or key in CUTS):
            self._taker.take("escape")  # there is nothing to type it into
        else:
            return super().work_off(event)
        return True

    def paste(self, lines: list[str]) -> None:
        """Put pasted lines in; at a choice there is nothing to put in."""
        if self.kind.entering in ("typed", "free"):
            self.put((BREAK if self.kind.entering == "free" else " ").join(lines).strip())

    def _on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self._taker.take("more")

    def _on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self._taker.take("less")
