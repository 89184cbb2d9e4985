"""Texts that are told again and again while a screen is open, and rows of them that can be clicked on."""

from collections.abc import Callable, Iterable

from textual import events
from textual.content import Content
from textual.dom import DOMNode
from textual.widgets import Static


def tell(screen: DOMNode, which: str, text: Content) -> bool:
    """Show a text in the widget of the name `which`, of the class `empty` where there is none; say if it is another."""
    widget = screen.query_one(f"#{which}", Static)
    shown = widget.content
    if isinstance(shown, Content) and shown.is_same(
        text
    ):  # laying out anew costs more than looking
        return False
    widget.set_class(not text.plain, "empty")
    widget.update(text)
    return True


class ClickRows(Static):
    """Rows with a key each; a click takes the key of a row to hand."""

    def __init__(self, chosen: Callable[[str], None], *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty, with what is to happen with the key of a row that is clicked on."""
        super().__init__("", id=id, markup=False)
        self._chosen = chosen
        self._keys: tuple[str, ...] = ()

    def show(self, rows: Iterable[tuple[str, Content]]) -> None:
        """Show other rows, each with its key."""
        lines = dict(rows)
        self._keys = tuple(lines)
        self.set_class(not lines, "empty")
        self.update(Content("\n").join(lines.values()))

    def on_click(self, event: events.Click) -> None:
        """Take the row that was clicked on to hand."""
        if 0 <= event.y < len(self._keys):
            self._chosen(self._keys[event.y])
