"""Texts that are told again and again while a screen is open, and rows of them that can be clicked on."""

from collections.abc import Callable, Iterable

from textual import events
from textual.content import Content
from textual.dom import DOMNode
from textual.widgets import Static


def tell(screen: DOMNode, which: str, text: Content) -> bool:
    """Show a text in the widget of the name `which`, of the class `empty` where there is none; say if it is another."""
    return told(screen.query_one(f"#{which}", Static), text)


def told(widget: Static, text: Content) -> bool:
    """Show a text in a widget, of the class `empty` where there is none; say if it is another."""
    shown = widget.content
    if isinstance(shown, Content) and shown.is_same(text):
        return False
    widget.set_class(not text.plain, "empty")
    # laying the screen out anew costs more than all else
    room = _room(widget, text)
    same = room is not None and isinstance(shown, Content) and _room(widget, shown) == room
    widget.update(text, layout=not same)
    return True


def _room(widget: Static, text: Content) -> tuple[int, ...] | None:
    """Return what a text takes of a widget: its lines, and their columns where the widget is as wide as its text.

    None for a text that is broken into more lines than it has, or is none.
    """
    lines = [line.cell_length for line in text.split("\n", allow_blank=True)]
    if not text.plain or max(lines) > widget.content_size.width:
        return None
    width = widget.styles.width
    return tuple(lines) if width is not None and width.is_auto else (len(lines),)


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
        told(self, Content("\n").join(lines.values()))

    def on_click(self, event: events.Click) -> None:
        """Take the row that was clicked on to hand."""
        if 0 <= event.y < len(self._keys):
            self._chosen(self._keys[event.y])
