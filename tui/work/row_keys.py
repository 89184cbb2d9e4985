"""What the keys of rows do on the working screen: posts, rivets and the like are added, copied, named, taken away."""

from collections.abc import Callable

from tui.desk import row_moves
from tui.desk.desk import Desk
from tui.widgets.screens import EntryScreen
from tui.work.row_name import RowName


class RowKeys(EntryScreen[Desk]):
    """The part of a working screen that moves rows."""

    def action_row_add(self) -> None:
        """Add a row."""
        self._with_rows(row_moves.added)

    def action_row_copy(self) -> None:
        """Add a copy of the row at hand."""
        self._with_rows(row_moves.copied)

    def action_row_remove(self) -> None:
        """Take the row at hand away; what is typed at its prompt goes with it."""
        self.put(row_moves.removed(self.state))
        self.action_rest()

    def action_row_name(self) -> None:
        """Ask for another name for the row at hand."""
        if not self.state.row:
            self._with_rows(row_moves.copied)  # says that there is none
        elif self.then(Desk.silent):
            self.app.push_screen(RowName(self.state), self._renamed)

    def _renamed(self, name: str | None) -> None:
        if name is not None:
            self.put(row_moves.renamed(self.state, name))

    def _with_rows(self, move: Callable[[Desk], Desk]) -> None:
        self.then(move)
        self.action_rest()
