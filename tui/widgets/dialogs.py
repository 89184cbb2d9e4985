"""Questions to the maker: a choice of answers, or a name for a file."""

from dataclasses import dataclass
from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from core.errors import BadEntryError
from core.text import plain
from tui.desk.naming import file_named
from tui.keys.acts import bindings
from tui.keys.of_dialogs import ASK, ASK_KEYS, NAME, NAME_KEYS
from tui.widgets.choice_list import ChoiceList
from tui.widgets.help_text import heading_line
from tui.widgets.hints import Hints
from tui.widgets.keyed import Dialog
from tui.widgets.line import Line
from tui.widgets.telling import tell


@dataclass(frozen=True)
class Answer:
    """One answer: what it stands for, and its words."""

    name: str
    text: str


class Ask(Dialog[str]):
    """A question with answers to choose from; ends with the name of one, the last at Esc."""

    KEYS = ASK_KEYS
    BINDINGS = bindings(ASK)

    def __init__(self, question: str, *answers: Answer) -> None:
        """Ask `question`; the first answer is the one that Enter gives."""
        super().__init__()
        self._question, self._answers = Content(plain(question)), answers

    def compose(self) -> ComposeResult:
        """Show the question over its answers."""
        with Vertical(classes="box"):
            yield Static(self._question, classes="question", markup=False)
            yield ChoiceList(self._answered, id="answers")
            yield Hints(self.KEYS, classes="hint")

    def on_mount(self) -> None:
        """Begin at the first answer."""
        answers = self.query_one(ChoiceList)
        answers.fill(Content(answer.text) for answer in self._answers)
        answers.action_first()

    def _answered(self, number: int) -> None:
        self.dismiss(self._answers[number].name)

    def action_stay(self) -> None:
        """End with the last answer, which changes nothing."""
        self._answered(-1)

    def help_page(self) -> Content:
        """Return the question."""
        return Content("\n").join([heading_line("THE QUESTION"), self._question])


class AskName(Dialog[Path | None]):
    """Asks for the name of the file to save in; ends with None at Esc."""

    KEYS = NAME_KEYS
    BINDINGS = bindings(NAME)

    def __init__(self, suggested: Path, why: str = "") -> None:
        """Suggest a name; `why` says what was wrong with the one before."""
        super().__init__()
        self._suggested, self._why = suggested, why
        try:
            folder = plain(str(Path.cwd()))
        except OSError:  # it has been taken away meanwhile; saving will say so
            folder = "this folder"
        self._question = Content(f"Name of the file to save the lock in, in {folder}:")

    def compose(self) -> ComposeResult:
        """Show the question over the line to type the name in."""
        with Vertical(classes="box"):
            yield Static(self._question, classes="question", markup=False)
            yield Line(plain(str(self._suggested)), id="name")
            yield Static(Content(plain(self._why)), id="wrong", markup=False)
            yield Hints(self.KEYS, classes="hint")

    def action_save(self) -> None:
        """End with the name, a project file's ending added where it has none."""
        try:
            path = file_named(self.query_one(Line).value)
        except BadEntryError as refusal:
            tell(self, "wrong", Content(f"{refusal}."))
        else:
            self.dismiss(path)

    def action_stay(self) -> None:
        """End without a name."""
        self.dismiss(None)

    def help_page(self) -> Content:
        """Return what there is to say of a name."""
        told = "Without an ending the file gets .toml. A name may lead into another folder."
        return Content("\n").join([heading_line("THE NAME OF THE FILE"), Content(told)])
