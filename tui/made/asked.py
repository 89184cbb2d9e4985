"""Rows that are asked for, one entry line among them: for measured values and for readings at the bench."""

from collections.abc import Callable, Iterator

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from tui.made.state import Row
from tui.widgets.entry import Entry, Taker
from tui.widgets.telling import ClickRows, tell

LABEL = 36
"""Columns that a row's label takes at most."""
VALUE = 8
"""Columns that a row's value takes at least: a size in inches with its unit, or the entry."""


class Asked(Vertical):
    """All rows, with the entry in the one at hand."""

    def __init__(
        self,
        taker: Taker,
        chosen: Callable[[str], None],
        *,
        id: str | None = None,  # noqa: A002 - the toolkit's name
    ) -> None:
        """Build around one entry line; `chosen` is told the key of a row that is clicked on."""
        super().__init__(id=id)
        self.entry, self._chosen = Entry(taker), chosen
        self._at: tuple[str, str] | None = None

    def compose(self) -> ComposeResult:
        """Lay out the rows."""
        yield ClickRows(self._chosen, id="above")
        with Horizontal(id="at-hand"):
            yield Static(id="label", markup=False)
            yield self.entry
            yield Static(id="beside", markup=False)
        yield Static(id="how", markup=False)
        yield ClickRows(self._chosen, id="below")

    def tell_how(self, how: str) -> None:
        """Say below the entry how the value at hand is measured."""
        self.query_one("#how").set_class(not how, "empty")
        tell(self, "how", Content.styled(how, "$quiet"))
        if how:
            self.call_after_refresh(self._into_view)

    def _into_view(self) -> None:
        """Scroll what is asked for, and how it is measured, into view; on a screen that has gone since, nothing is."""
        for name in ("#how", "#at-hand"):
            for asked in self.query(name):
                asked.scroll_visible(animate=False, immediate=True)

    def show(self, rows: tuple[Row, ...], here: int, *, typed: bool = False) -> None:
        """Show the rows; with `typed` the entry keeps what was typed and refused."""
        self.query_one("#at-hand").set_class(not rows, "empty")
        width = min(max((len(row.label) for row in rows), default=0), LABEL)
        values = max((len(_value(row)) for row in rows), default=0)
        self.query_one("#above", ClickRows).show(_lines(rows[:here], width, values))
        self.query_one("#below", ClickRows).show(_lines(rows[here + 1 :], width, values))
        if not rows:
            return
        row = rows[here]
        label = f"> {row.label[:width].ljust(width)} "
        tell(self, "label", Content.styled(label, "bold $strong"))
        tell(self, "beside", Content.styled(f" {row.unit}  {row.beside}", "$quiet"))
        if not typed and (self._at != (row.key, row.text) or self.entry.value != row.text):
            self.entry.load(row.text, row.kind)
        self._at = (row.key, row.text)


def _lines(rows: tuple[Row, ...], width: int, values: int) -> Iterator[tuple[str, Content]]:
    return ((row.key, _line(row, width, max(values, VALUE))) for row in rows)


def _value(row: Row) -> str:
    return f"{row.text} {row.unit}".strip() if row.text else "-"


def _line(row: Row, width: int, values: int) -> Content:
    return Content.assemble(
        Content.styled(f"  {row.label[:width].ljust(width)} ", "$quiet"),
        _value(row).ljust(values), Content.styled(f"  {row.beside}", "$quiet"),
    )  # fmt: skip
