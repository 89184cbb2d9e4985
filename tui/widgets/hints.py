"""The last line: the keys that are needed, as many as fit; each can be clicked."""

from textual import events
from textual.content import Content
from textual.widget import Widget

from tui.keys.acts import Act, Keys, Place


class Hints(Widget):
    """The hints for one screen, made from its keys."""

    def __init__(self, keys: Keys, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Name what can be done on the screen with these keys."""
        super().__init__(id=id, classes=classes)
        self._keys = keys
        self._left_out: tuple[Place, ...] = ()

    def leave_out(self, *places: Place) -> None:
        """Name nothing of these places, where they do not hold just now."""
        if places != self._left_out:
            self._left_out = places
            self.refresh()

    def _shown(self) -> list[tuple[int, Act]]:
        """Return column and act of each hint that fits, in the order of the ranks."""
        width, found = self.content_size.width, []
        left_out = {act for place in self._left_out for act in place.acts}
        used = 1
        for act in (act for act in self._keys.hints if act not in left_out):
            length = len(act.shown) + len(act.hint) + 3
            if used + length <= width + 2:
                found.append((used, act))
                used += length
        return found

    def render(self) -> Content:
        """Return the line."""
        line = Content(" ")
        for _, act in self._shown():
            line = line + Content.assemble(
                Content.styled(act.shown, "bold $accent"),
                Content.styled(f" {act.hint}  ", "$quiet"),
            )
        return line

    async def on_click(self, event: events.Click) -> None:
        """Carry out the hint under the mouse."""
        place = event.get_content_offset(self)
        if place is None:
            return
        for column, act in self._shown():
            if column <= place.x < column + len(act.shown) + len(act.hint) + 1:
                await self._carry_out(act)

    async def _carry_out(self, act: Act) -> None:
        """Do what the act's key would do: where the cursor is, or else on the screen."""
        bound = self.screen.active_bindings.get(act.keys[0])
        if bound is not None and bound.binding.action.removeprefix("screen.") == act.action:
            await self.app.run_action(bound.binding.action, bound.node)
        else:
            await self.app.run_action(act.action, self.screen)
