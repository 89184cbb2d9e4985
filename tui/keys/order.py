"""Keys, one after the other: each has taken effect before the next one is looked at.

The toolkit hands a key to the widget that has the cursor and goes on to the next key before that one has
been worked off. On a slow line, or from somebody who types ahead, a value would then land at the prompt
that F4 was to leave, and a letter in a line that Esc had closed.
"""

from collections import deque
from typing import Protocol, runtime_checkable

from textual import events
from textual.app import App


@runtime_checkable
class Typed(Protocol):
    """A widget that characters are typed into."""

    def typed(self, character: str) -> bool:
        """Work off a character that was typed; say whether it was one for this widget."""


@runtime_checkable
class LaidOut(Protocol):
    """A screen that is laid out only once it is seen."""

    @property
    def laid_out(self) -> bool:
        """Whether all is there that keys go to."""


class OrderedApp(App[None], inherit_bindings=False):
    """A program that works its keys off in the order in which they were pressed."""

    def __init__(self) -> None:
        """Start with no key pressed."""
        super().__init__()
        self._pressed: deque[events.Key] = deque()

    async def on_event(self, event: events.Event) -> None:
        """Take keys in; leave everything else to the toolkit."""
        if isinstance(event, events.Key):
            self._pressed.append(event)
            await self._work_off()
        else:
            await super().on_event(event)

    async def _work_off(self) -> None:
        """Work off the key that was pressed first, once the screen in front is there to take it."""
        if not self._pressed:
            return
        screen = self.screen
        if not screen.is_mounted or (isinstance(screen, LaidOut) and not screen.laid_out):
            # what the screen is asked now it answers when it has been built
            screen.call_later(self.call_later, self._work_off)
            return
        event = self._pressed.popleft()
        if screen.children:  # else the program is on its way out, and nobody is there to take it
            await self._worked_off(event)
        if self._pressed:
            self.call_later(self._work_off)

    async def _worked_off(self, event: events.Key) -> None:
        self.app_focus = True  # keys come to the window in front only
        cursor = self.focused
        # a terminal sends Alt with a letter as Esc and that letter, which is not meant to be typed
        plain = event.is_printable and not event.key.startswith("alt+")
        typed = event.character if plain else None
        if typed is not None and isinstance(cursor, Typed) and cursor.typed(typed):
            return
        keys = self.screen.active_bindings
        # a capital works as its small letter does
        bound = keys.get(event.key) or keys.get(event.key.lower() if len(event.key) == 1 else "")
        if bound is not None and bound.enabled:
            await self.run_action(bound.binding.action, bound.node)
