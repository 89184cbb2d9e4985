"""The key line: the keys that work where the cursor is, in up to two rows; each can be clicked."""

from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from tui.keys.acts import Act, Keys, Place, Stand

ROWS = 2
"""Rows that the line may take."""
_GAP = 2


class Hints(Widget):
    """The hints for one screen, made from its keys; they follow the cursor, and what it may type."""

    def __init__(self, keys: Keys, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Name what can be done on the screen with these keys."""
        super().__init__(id=id, classes=classes)
        self._keys = keys
        self._left_out: tuple[Place, ...] = ()
        self._told: Stand | None = None

    def on_mount(self) -> None:
        """Follow the cursor."""
        self.watch(self.screen, "focused", self.follow)

    def leave_out(self, *places: Place) -> None:
        """Name nothing of these places, where they do not hold just now."""
        if places != self._left_out:
            self._left_out = places
            self.refresh(layout=True)

    def follow(self) -> None:
        """Name the keys of where the cursor is now, if these are others; of a screen that has gone there are none."""
        if self.is_attached and self.stand is not self._told:
            self._told = self.stand
            self.refresh(layout=True)

    @property
    def stand(self) -> Stand:
        """Where the cursor is."""
        cursor = self.screen.focused
        if cursor is None:
            return self._keys.stands[0]
        kind = getattr(cursor, "kind", None)
        return self._keys.stand(cursor.id or "", kind.entering if kind is not None else "")

    def _named(self) -> list[Act]:
        left_out = {act for place in self._left_out for act in place.acts}
        return [act for act in self.stand.hints if act not in left_out]

    def _placed(self, width: int) -> list[tuple[int, int, Act]]:
        """Return row, column and act of each hint that fits in `width` columns, in the order of the ranks."""
        found, ends = [], [1] * ROWS
        for act in self._named():
            length = len(act.shown) + len(act.hint) + 1
            row = next((n for n in range(ROWS) if ends[n] + length <= width), None)
            if row is not None:
                found.append((row, ends[row], act))
                ends[row] += length + _GAP
        return found

    def left_over(self) -> tuple[Act, ...]:
        """Return the acts that work here and have no room in the line."""
        shown = [act for _, _, act in self._placed(self.content_size.width)]
        return tuple(act for act in self._named() if act not in shown)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return the rows that the hints take in `width` columns."""
        del container, viewport
        return max((row for row, _, _ in self._placed(width)), default=0) + 1

    def render(self) -> Content:
        """Return the rows."""
        rows = [Content("")] * ROWS
        for row, column, act in self._placed(self.content_size.width):
            rows[row] = rows[row].pad_right(column - rows[row].cell_length) + Content.assemble(
                Content.styled(act.shown, "bold $accent"), Content.styled(f" {act.hint}", "$quiet")
            )
        return Content("\n").join(row for row in rows if row.plain)

    async def on_click(self, event: events.Click) -> None:
        """Carry out the hint under the mouse, unless another screen came up in front of it in the meantime."""
        place = event.get_content_offset(self)
        if place is None or not self.screen.is_active:
            return
        for row, column, act in self._placed(self.content_size.width):
            if row == place.y and column <= place.x < column + len(act.shown) + len(act.hint) + 1:
                await self._carry_out(act)

    async def _carry_out(self, act: Act) -> None:
        """Do what the act's key would do: where the cursor is, or else on the screen."""
        bound = self.screen.active_bindings.get(act.keys[0])
        if bound is not None and bound.binding.action.removeprefix("screen.") == act.action:
            await self.app.run_action(bound.binding.action, bound.node)
        else:
            await self.app.run_action(act.action, self.screen)
