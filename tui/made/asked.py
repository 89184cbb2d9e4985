"""Rows that are asked for, one entry line among them: for measured values and for readings at the bench."""

from dataclasses import dataclass

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from tui.made.state import Row
from tui.widgets.entry import Entry, Taker

LABEL = 36
"""Columns that a row's label takes at most."""


class AskedRows(Static):
    """The rows above or below the one at hand; a click takes one to hand."""

    @dataclass
    class Chosen(Message):
        """The maker wants the row of a key."""

        key: str

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Start empty."""
        super().__init__("", id=id, markup=False)
        self._keys: tuple[str, ...] = ()

    def show(self, rows: tuple[Row, ...], width: int) -> None:
        """Show other rows, with labels of so many columns."""
        self._keys = tuple(row.key for row in rows)
        self.set_class(not rows, "empty")
        self.update(Content("\n").join(_line(row, width) for row in rows))

    def on_click(self, event: events.Click) -> None:
        """Tell which row was clicked on."""
        if 0 <= event.y < len(self._keys):
            self.post_message(self.Chosen(self._keys[event.y]))


class Asked(Vertical):
    """All rows, with the entry in the one at hand."""

    def __init__(self, taker: Taker, *, id: str | None = None) -> None:  # noqa: A002 - the toolkit's name
        """Build around one entry line, whose keys go to `taker`."""
        super().__init__(id=id)
        self.entry = Entry(taker)
        self._at: tuple[str, str] | None = None

    def compose(self) -> ComposeResult:
        """Lay out the rows."""
        yield AskedRows(id="above")
        with Horizontal(id="at-hand"):
            yield Static(id="label", markup=False)
            yield self.entry
            yield Static(id="beside", markup=False)
        yield AskedRows(id="below")

    def show(self, rows: tuple[Row, ...], here: int, *, typed: bool = False) -> None:
        """Show the rows; with `typed` the entry keeps what was typed and refused."""
        self.query_one("#at-hand").set_class(not rows, "empty")
        width = min(max((len(row.label) for row in rows), default=0), LABEL)
        self.query_one("#above", AskedRows).show(rows[:here], width)
        self.query_one("#below", AskedRows).show(rows[here + 1 :], width)
        if not rows:
            return
        row = rows[here]
        label = f"> {row.label[:width].ljust(width)} "
        self.query_one("#label", Static).update(Content.styled(label, "bold $strong"))
        beside = f" {row.unit}  {row.beside}"
        self.query_one("#beside", Static).update(Content.styled(beside, "$quiet"))
        if not typed and (self._at != (row.key, row.text) or self.entry.value != row.text):
            self.entry.load(row.text, row.kind)
        self._at = (row.key, row.text)


def _line(row: Row, width: int) -> Content:
    value = f"{row.text} {row.unit}" if row.text else "-"
    return Content.assemble(
        Content.styled(f"  {row.label[:width].ljust(width)} ", "$quiet"),
        f"{value:<12}", Content.styled(f"  {row.beside}", "$quiet"),
    )  # fmt: skip
