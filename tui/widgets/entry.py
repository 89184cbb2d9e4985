"""The entry: the one line in which every value is typed. One widget serves all prompts."""

from collections.abc import Callable
from typing import Protocol

from textual import events

from core.lock.kinds import BREAK
from core.lock.numbers import ACROSS, LENGTH
from core.lock.spec import Kind
from tui.keys.acts import bindings
from tui.keys.common import CHOICE, LINE, NOTES, OPENINGS, PROMPT, SEE_WAY
from tui.widgets.hints import Hints
from tui.widgets.line import Line

_EDITS = {act.name for act in LINE.acts}
_TURNS = {act.name for act in CHOICE.acts}


class Taker(Protocol):
    """What the entry hands over to; each call has taken effect when it returns."""

    def action_more(self) -> None:
        """Nudge up, or turn to the choice before."""

    def action_less(self) -> None:
        """Nudge down, or turn to the next choice."""

    def pick(self, start: str, *, next_one: bool = False) -> bool:
        """Take the choice that begins with `start`, or the next that does; say whether there is one."""


class Entry(Line):
    """The entry line. `kind` says what it takes at the prompt at hand."""

    BINDINGS = bindings(LINE, CHOICE, NOTES, PROMPT, OPENINGS)
    kind: Kind = LENGTH
    keys_now = ""
    """Letters that are keys at the number at hand just now, and are not typed."""
    unread = False
    """Whether something was typed at a choice that no word there begins with."""

    def __init__(
        self,
        taker: Taker,
        opens: Callable[[int], None] | None = None,
        sees: Callable[[], None] | None = None,
    ) -> None:
        """Start empty, with `taker` to hand choices and turns of the wheel to.

        `opens` is told the number of what shall be set elsewhere, so that something fits here; `sees` is called
        to look at the next of these first.
        """
        super().__init__(id="entry")
        self._taker, self._opens, self._sees = taker, opens, sees
        self._letters = self._picked = ""

    def load(self, text: str, kind: Kind) -> None:
        """Show another value, selected whole so that typing replaces it."""
        other, self.kind, self.unread = kind.entering != self.kind.entering, kind, False
        if other:
            for hints in self.screen.query(Hints):
                hints.follow()
        self.value = text
        self.select_all()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Say whether an act has a meaning at the prompt at hand: a choice has no letters to edit."""
        del parameters
        entering = self.kind.entering
        if action in _EDITS:
            return entering in ("typed", "free")
        if action in _TURNS:
            return entering == "picked"
        if action in ("opening", SEE_WAY.name):
            return self._opens is not None and entering == "typed"
        return action != "line_break" or entering == "free"

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Say whether a key is a character to be typed here; a question mark at a number asks for help."""
        del key
        if character is None or not character.isprintable():
            return False
        match self.kind.entering:
            case "picked":
                return character != "?" and (character != " " or bool(self._letters))
            case "typed":
                return character != "?" and (character not in self.keys_now or self._names_side)
            case "free":
                return True
            case "none":
                return False

    @property
    def _names_side(self) -> bool:
        """Whether a letter goes on with what is typed here: a distance across, after which its side is named."""
        begun = self.cursor_position == len(self.value) and not self.selected_text
        return self.kind is ACROSS and begun and bool(self.value)

    def typed(self, character: str) -> bool:
        """Put a character in; at a choice, take the word that begins so, or the next one that does."""
        if not self.check_consume_key("", character):
            return False
        if self.kind.entering == "picked":
            self._choose(character)
            return True
        return super().typed(character)

    def action_word_before(self) -> None:
        """Turn to the choice before."""
        self._taker.action_more()

    def action_word_after(self) -> None:
        """Turn to the next choice."""
        self._taker.action_less()

    def action_opening(self, number: int) -> None:
        """Set elsewhere what lets something fit here."""
        if self._opens is not None:
            self._opens(number)

    def action_see_way(self) -> None:
        """Look at the next of what lets something fit here."""
        if self._sees is not None:
            self._sees()

    def _choose(self, letter: str) -> None:
        # a letter carries on the word that those before it picked, or else goes on to the next that it begins
        before = self._letters if self.value == self._picked else ""
        self._letters = before + letter
        found = bool(before) and self._taker.pick(self._letters)
        if not found:
            self._letters = letter
            found = self._taker.pick(letter, next_one=True)
        self._picked, self.unread = self.value, not found

    def action_line_break(self) -> None:
        """Begin a new line in the notes."""
        self.put(BREAK)

    def paste(self, lines: list[str]) -> None:
        """Put pasted lines in; at a choice there is nothing to put in."""
        if self.kind.entering in ("typed", "free"):
            self.put((BREAK if self.kind.entering == "free" else " ").join(lines).strip())

    def _on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self._taker.action_more()

    def _on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self._taker.action_less()
