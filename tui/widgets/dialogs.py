"""Questions to the maker: a choice of answers, a line to type, or a name for a file."""

from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from core.errors import BoltwrightError
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

T = TypeVar("T")


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


class AskLine(Dialog[T | None], Generic[T]):
    """Asks for one line; ends with what is made of it, or with None at Esc. What is refused stays, to be put right."""

    HEADING = "WHAT IS ASKED"
    LINE_ID = "name"

    def __init__(self, question: str, suggested: str, wrong: str = "") -> None:
        """Ask `question`, with a line that may be taken as it stands; `wrong` says what was wrong with one before."""
        super().__init__()
        self._question, self._suggested, self._wrong = Content(question), suggested, wrong

    def compose(self) -> ComposeResult:
        """Show the question over the line."""
        with Vertical(classes="box"):
            yield Static(self._question, classes="question", markup=False)
            yield Line(self._suggested, id=self.LINE_ID)
            yield Static(Content(plain(self._wrong)), id="wrong", markup=False)
            yield Hints(self.KEYS, classes="hint")

    def made_of(self, typed: str) -> T:
        """Return what is made of the line; refused with an error of the program's own."""
        raise NotImplementedError

    def about(self) -> Content:
        """Return what there is to say of the line."""
        return self._question

    def action_take(self) -> None:
        """End with what is made of the line, or say why it may not stand."""
        try:
            made = self.made_of(self.query_one(Line).value.strip())
        except BoltwrightError as refusal:
            tell(self, "wrong", Content(f"{refusal}."))
        else:
            self.dismiss(made)

    def action_stay(self) -> None:
        """End with nothing."""
        self.dismiss(None)

    def help_page(self) -> Content:
        """Return what there is to say of the line."""
        return Content("\n").join([heading_line(self.HEADING), self.about()])


class AskName(AskLine[Path]):
    """Asks for the name of the file to save in, a project file's ending added where it has none."""

    KEYS = NAME_KEYS
    BINDINGS = bindings(NAME)
    HEADING = "THE NAME OF THE FILE"

    def __init__(self, suggested: Path, why: str = "") -> None:
        """Suggest a name; `why` says what was wrong with the one before."""
        try:
            folder = plain(str(Path.cwd()))
        except OSError:  # it has been taken away meanwhile; saving will say so
            folder = "this folder"
        question = f"Name of the file to save the lock in, in {folder}:"
        super().__init__(question, plain(str(suggested)), why)

    def made_of(self, typed: str) -> Path:
        """Return the file of that name."""
        return file_named(typed)

    def about(self) -> Content:
        """Return what there is to say of a name."""
        return Content(
            "Without an ending the file gets .toml. A name may lead into another folder."
        )
