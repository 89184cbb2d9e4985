"""The last line: the keys that are needed, as many as fit; each can be clicked."""

from textual import events
from textual.content import Content
from textual.widget import Widget

from tui.keys.acts import WORKING, Act, Where, hints

_ALSO = {
    "more": "Up/Down", "much_more": "PgUp/PgDn", "step_back": "F3", "step_on": "F4",
    "on_one": "Left/Right", "on_ten": "Up/Down",
}  # fmt: skip
"""Keys that are written together, although each is an action of its own."""


class Hints(Widget):
    """The hints for one screen, made from the table of actions."""

    def __init__(self, *places: Where, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Name what can be done at these places; without any, at those of the working screen."""
        super().__init__(id=id)
        self._places = places or WORKING

    def at(self, *places: Where) -> None:
        """Name what can be done at other places."""
        if places != self._places:
            self._places = places
            self.refresh()

    def _shown(self) -> list[tuple[int, str, str, Act]]:
        """Return column, key, word and action of each hint that fits, in the order of the ranks."""
        width, found = self.size.width, []
        used = 1
        for act in hints(self._places):
            key = _ALSO.get(act.name, act.shown)
            length = len(key) + len(act.hint) + 3
            if used + length <= width + 2:
                found.append((used, key, act.hint, act))
                used += length
        return found

    def render(self) -> Content:
        """Return the line."""
        line = Content(" ")
        for _, key, word, _ in self._shown():
            line = line + Content.assemble(
                Content.styled(key, "bold $accent"), Content.styled(f" {word}  ", "$quiet")
            )
        return line

    async def on_click(self, event: events.Click) -> None:
        """Carry out the hint under the mouse."""
        for column, key, word, act in self._shown():
            if column <= event.x < column + len(key) + len(word) + 1:
                await self.app.run_action(act.action, self.screen)
