"""Questions to the maker: a choice of answers, or a name for a file."""

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from core.errors import BadEntryError
from core.text import plain
from tui.desk.naming import file_named
from tui.widgets.line import Line


@dataclass(frozen=True)
class Answer:
    """One answer: what it stands for, and its words."""

    name: str
    text: str


class Ask(ModalScreen[str]):
    """A question with answers to choose from; ends with the name of one, the last at Esc."""

    BINDINGS: ClassVar = [("escape", "stay", "stay")]

    def __init__(self, question: str, *answers: Answer) -> None:
        """Ask `question`; the first answer is the one that Enter gives."""
        super().__init__()
        self._question, self._answers = question, answers

    def compose(self) -> ComposeResult:
        """Show the question over its answers."""
        with Vertical(classes="box"):
            yield Static(Content(plain(self._question)), classes="question", markup=False)
            yield OptionList(*(Option(Content(a.text)) for a in self._answers), markup=False)
            yield Static("Up and Down, then Enter.  Esc: go back.", classes="hint", markup=False)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """End with the answer chosen."""
        self.dismiss(self._answers[event.option_index].name)

    def action_stay(self) -> None:
        """End with the last answer, which changes nothing."""
        self.dismiss(self._answers[-1].name)


class AskName(ModalScreen[Path | None]):
    """Asks for the name of the file to save in; ends with None at Esc."""

    BINDINGS: ClassVar = [("escape", "stay", "stay")]

    def __init__(self, suggested: Path, why: str = "") -> None:
        """Suggest a name; `why` says what was wrong with the one before."""
        super().__init__()
        self._suggested, self._why = suggested, why

    def compose(self) -> ComposeResult:
        """Show the question over the line to type the name in."""
        try:
            folder = plain(str(Path.cwd()))
        except OSError:  # it has been taken away meanwhile; saving will say so
            folder = "this folder"
        with Vertical(classes="box"):
            yield Static(
                Content(f"Name of the file to save the lock in, in {folder}:"),
                classes="question", markup=False,
            )  # fmt: skip
            yield Line(plain(str(self._suggested)))
            yield Static(Content(plain(self._why)), id="wrong", classes="wrong", markup=False)
            yield Static("Enter: save.  Esc: go back without saving.", classes="hint", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """End with the name, a project file's ending added where it has none."""
        try:
            path = file_named(event.value)
        except BadEntryError as refusal:
            self.query_one("#wrong", Static).update(Content(f"{refusal}."))
        else:
            self.dismiss(path)

    def action_stay(self) -> None:
        """End without a name."""
        self.dismiss(None)
