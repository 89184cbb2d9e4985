"""Asks for another name for a row."""

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from core.errors import BoltwrightError
from core.lock.paths import row_title
from core.lock.row import NAME_TAKES
from tui.desk.desk import Desk
from tui.desk.row_moves import renamed
from tui.keys.acts import bindings
from tui.keys.of_work import NAME, NAME_KEYS
from tui.widgets.help_text import heading_line
from tui.widgets.hints import Hints
from tui.widgets.keyed import Dialog
from tui.widgets.line import Line
from tui.widgets.telling import tell


class RowName(Dialog[str | None]):
    """Asks for a name for the row at hand that may stand; ends with None at Esc."""

    KEYS = NAME_KEYS
    BINDINGS = bindings(NAME)

    def __init__(self, desk: Desk) -> None:
        """Ask for the row at hand on a desk."""
        super().__init__()
        self._desk = desk
        self._question = Content(f"Another name for {row_title(desk.path)}: {NAME_TAKES}.")

    def compose(self) -> ComposeResult:
        """Show the question over the line to type the name in."""
        with Vertical(classes="box"):
            yield Static(self._question, classes="question", markup=False)
            yield Line(self._desk.row, id="name")
            yield Static("", id="wrong", markup=False)
            yield Hints(self.KEYS, classes="hint")

    def action_take(self) -> None:
        """End with the name, or say why it may not stand."""
        name = self.query_one(Line).value.strip()
        try:
            renamed(self._desk, name)
        except BoltwrightError as refusal:
            tell(self, "wrong", Content(f"{refusal}."))
        else:
            self.dismiss(name)

    def action_stay(self) -> None:
        """End without another name."""
        self.dismiss(None)

    def help_page(self) -> Content:
        """Return the question."""
        return Content("\n").join([heading_line("THE NAME OF THE ROW"), self._question])
