"""Asks for another name for a row."""

from core.lock.paths import row_title
from core.lock.row import NAME_TAKES
from tui.desk.desk import Desk
from tui.desk.row_moves import renamed
from tui.keys.acts import bindings
from tui.keys.of_work import NAME, NAME_KEYS
from tui.widgets.dialogs import AskLine


class RowName(AskLine[str]):
    """Asks for a name for the row at hand that may stand; ends with None at Esc."""

    KEYS = NAME_KEYS
    BINDINGS = bindings(NAME)
    HEADING = "THE NAME OF THE ROW"

    def __init__(self, desk: Desk) -> None:
        """Ask for the row at hand on a desk."""
        super().__init__(f"Another name for {row_title(desk.path)}: {NAME_TAKES}.", desk.row)
        self._desk = desk

    def made_of(self, typed: str) -> str:
        """Return the name, tried on the desk."""
        renamed(self._desk, typed)
        return typed
