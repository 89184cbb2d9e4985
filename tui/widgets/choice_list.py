"""A list to choose from, kept upright in a window of any size."""

from collections.abc import Callable, Iterable
from typing import Any

from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from tui.keys.acts import bindings
from tui.keys.common import LIST

_NARROWEST = 4
"""Columns of the narrowest list that lines are broken for: the gutter, the space on both sides, and a letter."""


class ChoiceList(OptionList, inherit_bindings=False):
    """A list of lines with a cursor. Enter or a click chooses one.

    `chosen` is told its number from 0, and `moved`, if there is one, that of the line that the cursor comes to.
    """

    BINDINGS = bindings(LIST)

    def __init__(
        self,
        chosen: Callable[[int], None],
        moved: Callable[[int], None] | None = None,
        *,
        id: str | None = None,  # noqa: A002 - the toolkit's name
    ) -> None:
        """Start empty, with what is to happen with a line that is chosen, or come to."""
        super().__init__(id=id, markup=False)
        self._chosen, self._moved = chosen, moved

    def fill(self, lines: Iterable[Content]) -> None:
        """Show other lines, the cursor where it was if it can be."""
        here = self.highlighted
        self.clear_options()
        self.add_options([Option(line) for line in lines])
        if here is not None and self.option_count:
            self.highlighted = min(here, self.option_count - 1)

    def write(self, lines: Iterable[Content]) -> None:
        """Write the lines anew, of which there are as many as before."""
        for index, line in enumerate(lines):
            self.replace_option_prompt_at_index(index, line)

    def watch_highlighted(self, highlighted: int | None) -> None:
        """Tell at once where the cursor has come to: the toolkit's own word of it comes late."""
        super().watch_highlighted(highlighted)
        if highlighted is not None and self._moved is not None:
            self._moved(highlighted)

    def on_focus(self) -> None:
        """Begin at the first line."""
        if self.highlighted is None:
            self.action_first()

    def action_select(self) -> None:
        """Choose the line at the cursor, or the one that was clicked on, at once.

        The second click of a double one finds another screen in front: it chooses nothing again.
        """
        if self.app.screen is not self.screen:
            return
        option = self.highlighted_option
        if option is not None and self.highlighted is not None and not option.disabled:
            self._chosen(self.highlighted)

    # the toolkit cannot break lines that have no width at all

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Return the height [rows] for a width [columns], of a list too narrow for anything that of the narrowest."""
        return super().get_content_height(container, viewport, max(width, _NARROWEST))

    def _update_lines(self) -> None:
        if self.scrollable_content_region.width >= _NARROWEST:
            super()._update_lines()

    def on_click(self, event: events.Click) -> None:
        """Let a click on a line that the list has no more, since it was filled anew, be a click on nothing."""
        if event.style.meta.get("option", 0) >= self.option_count:
            event.prevent_default()

    def action_page_up(self) -> None:
        """Move the cursor up by what can be seen at once."""
        self._paged(super().action_page_up)

    def action_page_down(self) -> None:
        """Move the cursor down by what can be seen at once."""
        self._paged(super().action_page_down)

    def _paged(self, move: Callable[[], Any]) -> None:
        # the toolkit knows no line of a list that nothing can be seen of, and looks its cursor up all the same
        region = self.scrollable_content_region
        if region and region.width >= _NARROWEST:
            move()
