"""Asks for another name for a row."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from core.errors import BoltwrightError
from core.lock.paths import row_title
from core.lock.row import NAME_TAKES
from tui.desk.desk import Desk
from tui.desk.row_moves import renamed
from tui.widgets.line import Line


class RowName(ModalScreen[str | None]):
    """Asks for a name for the row at hand that may stand; ends with None at Esc."""

    BINDINGS: ClassVar = [Binding("escape,f10,ctrl+q,ctrl+c", "stay", "stay", priority=True)]

    def __init__(self, desk: Desk) -> None:
        """Ask for the row at hand on a desk."""
        super().__init__()
        self._desk = desk

    def compose(self) -> ComposeResult:
        """Show the question over the line to type the name in."""
        title = row_title(self._desk.path)
        with Vertical(classes="box"):
            yield Static(Content(f"Another name for {title}: {NAME_TAKES}."), classes="question")
            yield Line(self._desk.row)
            yield Static("", classes="wrong", markup=False)
            yield Static("Enter: take it.  Esc: leave it as it is.", classes="hint", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """End with the name, or say why it may not stand."""
        event.stop()
        name = event.value.strip()
        try:
            renamed(self._desk, name)
        except BoltwrightError as refusal:
            self.query_one(".wrong", Static).update(Content(f"{refusal}."))
        else:
            self.dismiss(name)

    def action_stay(self) -> None:
        """End without another name."""
        self.dismiss(None)
