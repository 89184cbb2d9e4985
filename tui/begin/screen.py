"""The first page of a new lock: questions on the left, below them what is proposed; a look at it on the right."""

from collections.abc import Callable, Iterator

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from core.layout.layout import Layout
from core.lock.lock import Lock, specs
from core.propose.first_page import questions
from core.propose.given import AT_HAND
from core.propose.proposals import Proposed, proposing
from tui.begin import state as begin_state
from tui.begin import text as begin_text
from tui.begin.state import Answers, Offered
from tui.begin.why import Reasoned, Why
from tui.desk.session import layout_of
from tui.keys.acts import bindings
from tui.keys.common import ACROSS, QUESTION
from tui.keys.of_begin import BEGIN, BEGIN_KEYS, REASONS
from tui.made.asked import Asked
from tui.plot.picture import Wanted
from tui.plot.views import region, upright
from tui.widgets.choice_list import ChoiceList
from tui.widgets.drawing_view import Drawing
from tui.widgets.hints import Hints
from tui.widgets.pane import Pane
from tui.widgets.piecework import Piecework
from tui.widgets.screens import EntryScreen
from tui.widgets.telling import tell

Taken = Callable[[Lock, frozenset[str]], None]
"""What is to happen with a lock that is taken, and the paths that nobody has answered for."""


class BeginScreen(Reasoned, EntryScreen[Answers]):
    """Asks what the maker has and offers locks for it; what is taken is handed on when the screen has gone."""

    CSS_PATH = "begin.tcss"
    KEYS = BEGIN_KEYS
    BINDINGS = bindings(BEGIN, REASONS, ACROSS, QUESTION)

    def __init__(self, lock: Lock, taken: Taken) -> None:
        """Begin with a new lock; `taken` is told the one that was taken."""
        super().__init__()
        self._at, self._taken = Answers(lock), taken
        self._offered: Offered | None = None
        self._work: Piecework[Offered] = Piecework(self, self._learn)

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield Static(id="title", markup=False)
        with Horizontal(id="bench"):
            with Pane(id="side"):
                yield Asked(self, self._to_row, id="asked")
                yield Static(id="told", markup=False)
                yield ChoiceList(self._take_offer, self._look_at, id="offers")
            with Vertical(id="preview"):
                yield Why(id="why")
                yield Drawing(id="drawing")
        yield Static("", id="small", markup=False)
        yield Hints(self.KEYS, id="hints")

    def on_mount(self) -> None:
        """Begin at the first question."""
        self.query_one("#drawing").can_focus = False
        self._show()
        self.action_rest()

    # the state, and showing it

    @property
    def state(self) -> Answers:
        """The answers."""
        return self._at

    def put(self, state: Answers, *, typed: bool = False) -> None:
        """Put other answers in place and show them; what was proposed for others goes."""
        if state.lock != self._at.lock:
            self._offered = None
        self._at = state
        self._show(typed=typed)

    def _show(self, *, typed: bool = False) -> None:
        answers, offered = self._at, self._offered
        tell(self, "title", begin_text.title(self.size.width))
        asked = self.query_one(Asked)
        asked.show(begin_state.rows(answers), answers.row, typed=typed)
        asked.tell_how(begin_text.how(answers) if offered is None else "")
        tell(self, "told", begin_text.told(answers, offered))
        offers = self.query_one("#offers", ChoiceList)
        offers.set_class(not self._offers, "empty")
        if not self._offers:
            offers.clear_options()
            self._draw(answers.lock, Content.styled(begin_text.SAFE, "$quiet"), bare=True)

    @property
    def checks_done(self) -> bool:
        """Whether nothing is being worked out."""
        return self._offered is None or self._offered.complete

    @property
    def _offers(self) -> tuple[Proposed, ...]:
        found = self._offered.found if self._offered is not None else None
        return found.found if found is not None else ()

    def _draw(self, lock: Lock, about: Content, *, bare: bool = False) -> None:
        """Draw a lock; a `bare` one is a plate with its shackle's end, the rest being still to be found."""
        layout = layout_of(lock)
        marks = upright(layout)
        if bare:
            marks = tuple(mark for mark in marks if mark.part in ("plate", "inner wall", "shackle"))
        self.query_one(Drawing).show(marks, region(layout, "whole"), Wanted(("shackle",)))
        self.tell_why(about)

    # what the entry hands over

    def action_enter(self) -> None:
        """Take the answer and go on; from the last question to the proposals."""
        if self._at.last:
            self.action_offers()
        else:
            self.then(lambda state: state.at(state.row + 1))

    def action_prompt_back(self) -> None:
        """Take the answer and go back to the question before."""
        self.then(lambda state: state.at(state.row - 1))

    def _to_row(self, path: str) -> None:
        if self.then(lambda state: state.at_path(path)):
            self.action_rest()

    # the proposals

    def action_offers(self) -> None:
        """Take the answer and work out what is proposed; go into it, where that has been done."""
        if self.take() and self._offers:
            self._go_into()
        elif not self.state.refused:
            self._offered = Offered(self._at.lock, None)
            self._work.begin(_offering(self._at))
            self._show()

    def _learn(self, offered: Offered) -> None:
        """Show what is proposed, if it is for the answers as they stand."""
        if offered.lock != self._at.lock or self._offered is None:
            return
        self._offered = offered
        self._show()
        if self._offers:
            self.query_one("#offers", ChoiceList).fill(map(begin_text.offer_line, self._offers))
            self._go_into()

    def _go_into(self) -> None:
        self.to("offers")
        self._look_at(self.query_one("#offers", ChoiceList).highlighted or 0)

    def _look_at(self, number: int) -> None:
        """Draw the proposal at the cursor."""
        if number < len(self._offers):
            one = self._offers[number]
            self._draw(one.lock, begin_text.reasons(one))

    def _take_offer(self, number: int) -> None:
        """Go on with a proposal."""
        one = self._offers[number]
        self.dismiss(None)
        self._taken(one.lock, frozenset(specs()) - set(questions(one.lock)))

    # what can be done anywhere here

    def action_back(self) -> None:
        """Go back to the list of locks."""
        self.dismiss(None)

    def help_page(self) -> Content:
        """Return the help of the page."""
        return begin_text.help_page()


def _offering(answers: Answers) -> Iterator[Offered | None]:
    for found in proposing(answers.lock, answers.typed & {*AT_HAND}):
        yield None if found is None else Offered(Layout(answers.lock).plan, found)
