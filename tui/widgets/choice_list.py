"""A list to choose from: the toolkit's own, kept upright in a window of any size."""

from collections.abc import Callable
from typing import Any

from textual.widgets import OptionList


class ChoiceList(OptionList):
    """A list of lines with a cursor."""

    def action_page_up(self) -> None:
        """Move the cursor up by what can be seen at once."""
        self._paged(super().action_page_up)

    def action_page_down(self) -> None:
        """Move the cursor down by what can be seen at once."""
        self._paged(super().action_page_down)

    def _paged(self, move: Callable[[], Any]) -> None:
        # the toolkit knows no line of a list that nothing can be seen of, and looks its cursor up all the same
        if self.scrollable_content_region:
            move()
