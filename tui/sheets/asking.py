"""One line to type over the sheets dialog: a kerf, the mark of a printed sheet, or what a printer's bars measure."""

from collections.abc import Callable

from tui.keys.acts import bindings
from tui.keys.of_sheets import ASKED, ASKED_KEYS
from tui.widgets.dialogs import AskLine


class AskAndDo(AskLine[str]):
    """Asks for one line, does something with it, and ends with what came of it."""

    KEYS = ASKED_KEYS
    BINDINGS = bindings(ASKED)
    LINE_ID = "asked"

    def __init__(self, question: str, suggested: str, then: Callable[[str], str]) -> None:
        """Ask `question`; `then` does what is typed, and says what came of it."""
        super().__init__(question, suggested)
        self._then = then

    def made_of(self, typed: str) -> str:
        """Do it, and return what came of it."""
        return self._then(typed)
