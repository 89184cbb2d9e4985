"""One line to type over the sheets dialog: a kerf, the mark of a printed sheet, or what a printer's bars measure."""

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from core.errors import BoltwrightError
from tui.keys.acts import bindings
from tui.keys.of_sheets import ASKED, ASKED_KEYS
from tui.widgets.help_text import heading_line
from tui.widgets.hints import Hints
from tui.widgets.keyed import Dialog
from tui.widgets.line import Line
from tui.widgets.telling import tell


class AskLine(Dialog[str | None]):
    """Asks for one line; ends with what came of it, or with None at Esc. What is refused stays, to be put right."""

    KEYS = ASKED_KEYS
    BINDINGS = bindings(ASKED)

    def __init__(self, question: str, suggested: str, then: Callable[[str], str]) -> None:
        """Ask `question`, with a line that may be taken as it stands; `then` does it, and says what came of it."""
        super().__init__()
        self._question, self._suggested, self._then = Content(question), suggested, then

    def compose(self) -> ComposeResult:
        """Show the question over the line."""
        with Vertical(classes="box"):
            yield Static(self._question, classes="question", markup=False)
            yield Line(self._suggested, id="asked")
            yield Static("", id="wrong", markup=False)
            yield Hints(self.KEYS, classes="hint")

    def action_take(self) -> None:
        """End with what comes of the line, or say why it may not stand."""
        try:
            told = self._then(self.query_one(Line).value.strip())
        except BoltwrightError as refusal:
            tell(self, "wrong", Content(f"{refusal}."))
        else:
            self.dismiss(told)

    def action_stay(self) -> None:
        """End with nothing."""
        self.dismiss(None)

    def help_page(self) -> Content:
        """Return the question."""
        return Content("\n").join([heading_line("WHAT IS ASKED"), self._question])
